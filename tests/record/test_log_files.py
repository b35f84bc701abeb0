"""The log to CSV and from it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from cli_running import Call, call  # noqa: F401
from countwheel.api import check_text, compile_file
from countwheel.emit.log_csv import as_csv
from countwheel.record.entries import entries
from countwheel.record.importing import FIELDS, Unreadable, columns_of, lines_of

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
    lines, faults = lines_of(text, columns_of("", text))
    assert faults == []
    made = check_text(
        f'countwheel 1\n\nclock "A"\n  place\n    time zone {clock.place.text("time zone") if clock.place else ""}\n'
        "\npendulum\n  rating nut\n    divisions 20\n\nlog\n" + "".join(f"  {line}\n" for _, line in lines)
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
    lines, faults = lines_of(text, columns, "d-m-y")
    assert faults == []
    assert [(number, " ".join(line.split())) for number, line in lines] == [
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
    assert "line 2: `2026-02-30` is not a date" in said
    assert "line 4: `03/01/2026` is not a date in the order y-m-d" in said
    assert not target.exists()
    source.write_text("date,found\n2026-03-01,late\n2026-03-02,4\n", encoding="utf-8")
    done = call("log", DEMO, "--from-csv", source, "--to", target)
    assert done.returncode == 1
    assert "line 2: " in done.stderr.decode()
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
