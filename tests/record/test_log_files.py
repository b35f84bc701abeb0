"""The log to CSV and from it."""

from __future__ import annotations

import csv
import io
from contextlib import suppress
from pathlib import Path

import pytest
from cli_running import Call, call  # noqa: F401
from countwheel.api import check_text, compile_file
from countwheel.emit.log_csv import as_csv
from countwheel.record.cells import Unreadable
from countwheel.record.entries import entries
from countwheel.record.importing import FIELDS, columns_of, lines_of
from hypothesis import given
from hypothesis import strategies as st

DEMO = Path(__file__).parents[2] / "specs" / "penquay-harbour-office"
HOSTILE = """countwheel 1

log
  2026-05-02 09:05 found 2 s slow tray minus 5 g nut 2 turns down by "=1+2" note "@SUM(A1), \\"quoted\\""
  2026-05-09 found 3 1/2 s fast oiled pivots oiled pallets note "+44 555" doubted "misread"
"""


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def exported(text: str) -> str:
    clock = check_text(text).clock
    assert clock is not None
    return as_csv(clock)


def test_rfc_4180_and_no_formulas() -> None:
    text = exported(HOSTILE)
    # RFC 4180, section 2: lines end with CR LF, every line has as many cells
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert {len(row) for row in csv.reader(io.StringIO(text, newline=""))} == {len(FIELDS)}
    one, other = rows(text)
    assert (one["by"], one["note"][:5]) == ("'=1+2", "'@SUM")
    assert (one["found"], one["tray"], one["nut"]) == ("-2", "-5", "2 turns down")
    assert (other["found"], other["oiled"], other["note"], other["doubted"]) == (
        "3.5", "pivots; pallets", "'+44 555", "misread",
    )  # fmt: skip
    for row in (one, other):
        for cell in row.values():
            assert not cell.startswith(("=", "+", "@", "\t"))
            assert not cell.startswith("-") or float(cell) < 0


@pytest.mark.parametrize("stem", ["penquay-harbour-office", "vaubrune-gate", "skarnhove-chapel"])
def test_what_goes_out_comes_back_the_same(stem: str) -> None:
    clock = compile_file(DEMO.parent / stem, working=False).clock
    assert clock is not None
    text = as_csv(clock)
    lines, faults, notes = lines_of(text, columns_of("", text))
    assert (faults, notes) == ((), ())
    made = check_text(
        f'countwheel 1\n\nclock "A"\n  place\n    time zone {clock.place.text("time zone") if clock.place else ""}\n'
        "\npendulum\n  rating nut\n    divisions 20\n\nlog\n" + "".join(f"  {line.text}\n" for line in lines)
    )
    assert [one for one in made.diagnostics if one.severity == "error"] == []
    assert made.clock is not None
    assert as_csv(made.clock) == text
    for one, other in zip(entries(clock), entries(made.clock), strict=True):
        assert (one.when, one.found, one.left, one.was_set, one.tray) == (
            other.when, other.found, other.left, other.was_set, other.tray,
        )  # fmt: skip


def test_a_mapping_with_units_dates_in_another_order_and_decimal_commas() -> None:
    text = 'Tag;Uhr;Gang;Warm;Wer;Bem\r\n3.10.2025;9:05;-2,5;52;KT;"zwei\r\nZeilen"\r\n10.10.2025;09:00;+0,5;50;;\r\n'
    columns = columns_of(
        "date=Tag, time=Uhr, error=Gang in min, temperature=Warm in °F, by=Wer, note=Bem", text
    )
    lines, faults, notes = lines_of(text, columns, "d-m-y")
    assert (faults, notes) == ((), ())
    assert [(line.number, " ".join(line.text.split())) for line in lines] == [
        (2, '2025-10-03 09:05 found 2.5 min slow at 52 °F by "KT" note "zwei Zeilen"'),
        (4, "2025-10-10 09:00 found 0.5 min fast at 50 °F"),
    ]


@pytest.mark.parametrize(
    ("mapping", "said"),
    [
        ("date=Day, found=Nothing", "has no column `Nothing`; it has Day, Error"),
        ("date=Day, weather=Error", "is not like `date=Day`"),
        ("found=Error", "which column is the date?"),
        ("date=Day, day=Error", "`date` is given twice"),
    ],
)
def test_a_mapping_that_does_not_fit(mapping: str, said: str) -> None:
    with pytest.raises(Unreadable, match=said.replace("?", r"\?")):
        columns_of(mapping, "Day,Error\r\n2026-01-01,3\r\n")


def test_what_cannot_be_read_is_told_with_its_line_and_nothing_is_written(call: Call, tmp_path: Path) -> None:  # noqa: F811
    source, target = tmp_path / "old.csv", tmp_path / "log.movement"
    source.write_text(
        "date,found\n2026-02-30,3\n2026-03-01,late\n03/01/2026,2\n2026-03-02,4\n", encoding="utf-8"
    )
    before = {path: path.read_bytes() for path in DEMO.rglob("*") if path.is_file()}
    done = call("log", DEMO, "--from-csv", source, "--to", target)
    assert done.returncode == 1
    assert done.stdout == b""
    said = done.stderr.decode()
    assert "line 2, column date: `2026-02-30` is not a date in the order y-m-d: there was no such day" in said
    assert "line 3, column found: `late` is not an error such as" in said
    assert "line 4, column date: `03/01/2026` is not a date in the order y-m-d; is it in another" in said
    assert not target.exists()
    source.write_text("date,found\n2026-03-01,late\n2026-03-02,4\n", encoding="utf-8")
    done = call("log", DEMO, "--from-csv", source, "--to", target)
    assert done.returncode == 1
    assert "line 2, column found: " in done.stderr.decode()
    source.write_text("date,found\n2026-03-01,-3\n2026-03-02,4\n", encoding="utf-8")
    assert call("log", DEMO, "--from-csv", source, "--to", target).returncode == 0
    assert target.read_text(encoding="utf-8").split() == (
        ["log", "2026-03-01", "found", "3", "s", "slow", "2026-03-02", "found", "4", "s", "fast"]
    )
    # a file that is there is never written over, and the description stays as it was
    assert call("log", DEMO, "--from-csv", source, "--to", target).returncode == 2
    assert {path: path.read_bytes() for path in DEMO.rglob("*") if path.is_file()} == before


def test_wrong_calls(call: Call, tmp_path: Path) -> None:  # noqa: F811
    assert call("log", DEMO, "--from-csv", tmp_path / "none.csv").returncode == 2
    assert call("log", DEMO, "--columns", "date=Day").returncode == 2
    (tmp_path / "empty.csv").write_text("", encoding="utf-8")
    assert call("log", DEMO, "--from-csv", tmp_path / "empty.csv").returncode == 2
    (tmp_path / "odd.csv").write_bytes(b'date,found\n"2026-01-01,3\n')
    assert call("log", DEMO, "--from-csv", tmp_path / "odd.csv").returncode in (1, 2)


def test_the_export_on_standard_output(call: Call) -> None:  # noqa: F811
    done = call("log", DEMO)
    assert done.returncode == 0
    assert done.stdout.startswith(b"date,time,found,")
    assert done.stdout.count(b"\r\n") == 36


def read_in(
    text: str, mapping: str = "", order: str = "y-m-d"
) -> tuple[list[str], tuple[str, ...], tuple[str, ...]]:
    lines, faults, notes = lines_of(text, columns_of(mapping, text), order)
    return [" ".join(line.text.split()) for line in lines], faults, notes


@pytest.mark.parametrize(
    ("name", "cell", "said"),
    [
        ("found", "-2", "found 2 s slow"),
        ("found", "−2", "found 2 s slow"),
        ("found", "+3 s", "found 3 s fast"),
        ("found", "-1 min 5 s", None),
        ("found", "0,0", "found right"),
        ("found", "3 1/2 s slow", "found 3 1/2 s slow"),
        ("found", "right", "found right"),
        ("found", "1,234.5", None),
        ("found", "00:03", None),
        ("left", "0 s", "left right"),
        ("time", "9.05", "09:05"),
        ("time", "9:05:59", "09:05"),
        ("time", "9:05 pm", "21:05"),
        ("time", "12:05 a.m.", "00:05"),
        ("time", "25:00", None),
        ("time", "0930", None),
        ("temperature", "11,5", "at 11.5 °C"),
        ("temperature", "51 F", "at 51 °F"),
        ("temperature", "-3 C", "at -3 °C"),
        ("temperature", "cold", None),
        ("pressure", "757 mmHg", "at 757 mmHg"),
        ("nut", "-1", "nut 1 division down"),
        ("nut", "1/2", "nut 1/2 division up"),
        ("nut", "-1/4 turn", "nut 1/4 turn down"),
        ("nut", "2 turns up", "nut 2 turns up"),
        ("nut", "0", ""),
        ("nut", "up a bit", None),
        ("tray", "+5", "tray plus 5 g"),
        ("tray", "-2,5", "tray minus 2.5 g"),
        ("tray", "minus 5 g", "tray minus 5 g"),
        ("tray", "some", None),
        ("note", 'He said "no".', "note \"He said 'no'.\""),
        ("wound", "no", ""),
        ("stopped", "wind", 'stopped "wind"'),
    ],
)
def test_cells(name: str, cell: str, said: str | None) -> None:
    """What is read is what the language reads; what is not is told with line and column."""
    table = f"date;Head;by\n2026-05-02;{csv_cell(cell)};KT\n"
    lines, faults, _ = read_in(table, f"date=date, {name}=Head, by=by")
    if said is None:
        assert lines == []
        assert len(faults) == 1
        assert faults[0].startswith(f"line 2, column Head: `{cell}` ")
        return
    assert faults == ()
    assert lines == [" ".join(filter(None, ("2026-05-02", said, 'by "KT"')))] or name in ("note", "stopped")
    assert said in lines[0]
    made = check_text("countwheel 1\n\nlog\n" + "".join(f"  {line}\n" for line in lines))
    assert [one for one in made.diagnostics if one.severity == "error"] == []


def csv_cell(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"'


def test_nothing_is_left_out_without_a_word() -> None:
    lines, faults, notes = read_in("date,found,Weather\n2026-05-02,3,rain\n2026-05-09,,\n2026-05-16,4\n")
    assert (lines, faults) == (["2026-05-02 found 3 s fast", "2026-05-16 found 4 s fast"], ())
    assert notes == (
        "line 3 has nothing but a date, and is left out",
        "not read, since no column of the log is given for them: Weather (1)",
    )


def test_a_decimal_comma_without_quotation_marks_is_not_half_a_number() -> None:
    lines, faults, _ = read_in("date,found\n2026-05-02,3,5\n")
    assert lines == []
    assert faults[0].startswith(
        "line 2 has 3 cells, and there are 2 headings; a comma that belongs to a number"
    )


def test_files_as_spreadsheets_write_them() -> None:
    expected = ["2026-05-02 09:05 found 2.5 s slow", "2026-05-09 09:00 found right"]
    for text, mapping, order in (
        ("sep=;\r\nDate;Time;Error\r\n2.5.2026;09:05;-2,5\r\n9.5.2026;9:00;0\r\n", "", "d-m-y"),
        ("\n\nDate\tHour\tFOUND\n2026-05-02\t09:05\t-2.5\n\n2026-05-09\t09:00\t0\n", "", "y-m-d"),
        ("when,gain\n2026-05-02T09:05:30Z,-2.5\n2026-05-09 9:00,0\n", "date=When, found=gain", "y-m-d"),
        ("date,time,found\n2026-05-09,09:00,0\n2026-05-02,09:05,-2.5\n", "", "y-m-d"),  # the newest first
    ):
        lines, faults, notes = read_in(text, mapping, order)
        assert (lines, faults) == (expected, ())
        assert bool(notes) == ("2026-05-09,09:00" in text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("date,date,found\n2026-05-02,2026-05-03,3\n", "more than one column `date`"),
        ('date,note\n2026-05-02,"never closed\n2026-05-09,x\n', "line 2 is not one of a CSV file"),
        ("date,found\n", "nothing under the headings"),
        ("\n\n", "no line of headings"),
        ("Tag;Gain\n1;2\n", "which column is the date?.* the file has Tag, Gain"),
    ],
)
def test_files_that_are_none(text: str, said: str) -> None:
    with pytest.raises(Unreadable, match=said):
        read_in(text)


def test_hours_that_the_place_did_not_have_or_had_twice_are_told_and_not_dropped(
    call: Call,  # noqa: F811
    tmp_path: Path,
) -> None:
    """IANA time zone database: at Penquay's zone the clocks went on on 2026-03-29 and back on 2026-10-25."""
    source = tmp_path / "old.csv"
    source.write_text(
        "date,Uhr,found\n2026-03-29,01:30,3\n2026-10-25,01:30,4\n2026-10-25,01:10,4\n", encoding="utf-8"
    )
    done = call("log", DEMO, "--from-csv", source, "--columns", "date=date, time=Uhr, found=found")
    said = done.stderr.decode()
    assert done.returncode == 0
    assert done.stdout.count(b"found") == 3
    assert "line 2, column Uhr: There was no 01:30 on 2026-03-29" in said
    assert "line 3, column Uhr: 01:30 came twice" in said
    assert "line 4, column Uhr: 01:10 came twice" in said
    source.write_text("date,found\n2026-05-02,3\n2026-05-16,3\n2026-05-09,4\n", encoding="utf-8")
    done = call("log", DEMO, "--from-csv", source)
    assert done.returncode == 1
    assert (
        "line 4, column date: This entry of the log is earlier than the one above it." in done.stderr.decode()
    )


@given(
    st.lists(st.lists(st.text(max_size=12), max_size=5), max_size=5),
    st.sampled_from(
        ["date=a, found=b", "date=a, time=b, nut=c, tray=d", "date=a, temperature=b, note=c, stopped=d", ""]
    ),
    st.sampled_from(["y-m-d", "d-m-y", "m-d-y"]),
    st.sampled_from([",", ";", "\t"]),
)
def test_whatever_stands_in_a_file_it_is_read_or_told_of(
    rows: list[list[str]], mapping: str, order: str, mark: str
) -> None:
    out = io.StringIO(newline="")
    write = csv.writer(out, delimiter=mark)
    write.writerow(["a", "b", "c", "d"])
    for row in rows:
        write.writerow(["2026-05-02", *row] if len(row) < 4 else row)
    with suppress(Unreadable):
        read_in(out.getvalue(), mapping, order)
