"""The commands that go by the calendar, and figures with other values: what they print, write and return."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from countwheel import cli
from pypdf import PdfReader

jsonschema: Any = pytest.importorskip("jsonschema")
SPECS = Path(__file__).parents[2] / "specs"
PENQUAY, ELLENFRITH = SPECS / "penquay-harbour-office", SPECS / "ellenfrith-school"


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    code = cli.main([str(argument) for argument in arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def fits(capsys: pytest.CaptureFixture[str], of: str, printed: str) -> Any:
    schema = json.loads(called(capsys, "schema", of)[1])
    found = json.loads(printed)
    jsonschema.Draft202012Validator(schema).validate(found)
    return found


@pytest.mark.parametrize(("on", "code"), [("2026-04-09", 0), ("2026-04-10", 1), ("2026-04-11", 1)])
def test_due_can_be_asked_by_a_script(capsys: pytest.CaptureFixture[str], on: str, code: int) -> None:
    """The demo was wound on Friday 3 April 2026, and nothing else falls due that week."""
    done, said, told = called(capsys, "due", PENQUAY, "--on", on)
    assert (done, told) == (code, "")
    assert ("overdue" in said.splitlines()) == (on == "2026-04-11")


def test_due_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    found = fits(capsys, "due", called(capsys, "due", PENQUAY, "--on", "2026-04-12", "--json")[1])
    assert [(one["what"], one["day"]) for one in found["duties"] if one["state"] == "overdue"] == [
        ("wind the clock", "2026-04-10")
    ]
    assert found["on"] == "2026-04-12"


def test_today_is_the_day_of_issue_where_one_is_set(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1775952000")  # 12 April 2026
    assert "Sunday 12 April 2026" in called(capsys, "due", PENQUAY)[1]


def test_who_winds(capsys: pytest.CaptureFixture[str]) -> None:
    code, said, _ = called(capsys, "rota", ELLENFRITH, "--on", "2026-04-07")
    assert (code, said) == (0, "Tuesday 7 April 2026: HJ, for FG, who is away (Easter holiday)\n")
    weeks = ("--from", "2026-03-31", "--weeks", "3")
    found = fits(capsys, "rota", called(capsys, "rota", ELLENFRITH, *weeks, "--json")[1])
    assert [(one["from"], one["to"], one["winder"]) for one in found["turns"]] == [
        ("2026-03-31", "2026-04-06", "CE"),
        ("2026-04-07", "2026-04-19", "HJ"),
        ("2026-04-20", "2026-04-20", "FG"),
    ]
    printed = called(capsys, "rota", ELLENFRITH, *weeks)[1]
    assert "HJ, for FG (Easter holiday)" in printed
    assert "Tue 7 Apr" in printed


def test_the_rota_as_a_page(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, _, told = called(capsys, "rota", ELLENFRITH, "--from", "2026-03-31", "--to", tmp_path)
    assert (code, told) == (0, "")
    page = (tmp_path / "rota.html").read_text(encoding="utf-8")
    assert "Easter holiday" in page
    assert "Contents" not in page
    pdf = PdfReader(tmp_path / "rota.pdf")
    assert len(pdf.pages) == 1
    assert "Contents" not in pdf.pages[0].extract_text()


def test_the_calendar_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, said, told = called(
        capsys, "calendar", PENQUAY, "--from", "2026-05-01", "--years", "2", "--to", tmp_path
    )
    assert (code, told) == (0, "")
    assert said.strip() == str(tmp_path / "calendar.ics")
    assert (tmp_path / "calendar.ics").read_bytes().count(b"UNTIL=20280430") > 5


def test_a_season_tried(capsys: pytest.CaptureFixture[str]) -> None:
    code, said, told = called(capsys, "figures", PENQUAY, "--season", "winter")
    assert (code, told) == (0, "")
    assert "half arc: 2.088 deg" in said
    assert "winter is to be changed to about 14 November" in said
    assert "going.line.load  707.8" in said
    found = fits(capsys, "trial", called(capsys, "figures", PENQUAY, "--season", "winter", "--json")[1])
    assert {"going.line.load", "going.click.load"} <= {one["id"] for one in found["figures"]}
    assert not [one["id"] for one in found["figures"] if one["id"].startswith("season.")]


def test_a_heavier_weight_runs_as_long_and_shows_only_what_is_asked_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    tried = ("--set", "going.barrel.weight=3 cwt 0 qr 4 lb", "--only", "going.duration*")
    assert "no figure changed" in called(capsys, "figures", PENQUAY, *tried)[1]
    assert called(capsys, "figures", PENQUAY, *tried[:2], "--only", "nosuch")[0] == 2
    fewer = ("--set", "going.barrel.turns_of_line=10", "--only", "going.duration")
    said = called(capsys, "figures", PENQUAY, *fewer)
    assert "going.duration  8.500" in said[1]
    assert said[0] == 1  # the expectations of the description do not hold then
    assert "M601" in said[2]


def test_a_wrong_value_is_underlined(capsys: pytest.CaptureFixture[str]) -> None:
    code, said, told = called(
        capsys,
        "figures",
        PENQUAY,
        "--season",
        "winter",
        "--set",
        "pendulum.rod=invar",
        "--set",
        "pendulum.bob.mass=9 kgg",
    )
    assert (code, said) == (2, "")
    assert "at --set 2:1:21" in told
    assert told.splitlines()[3].strip().startswith("^^^")


ODD = """countwheel 1
clock "Odd"
  place "Nowhere"
    above sea 2 m
    time zone Europe/London
  wound every 9999 years
care
  oil pivots every 9999999 years
  wink every 1/1000 s
  think every ?
season winter
  from 29 February to 28 February
  clock.place.above_sea 3 m
rota
  from 2026-01-01
  turn 99999 years
  winder "AB"
    away 2026-01-01 to 9999-12-31
log
  0001-01-01 24:00 wound, oiled pivots
dial north
"""


@pytest.mark.parametrize("on", ["1600-01-01", "2026-02-28", "2028-02-29", "8999-12-31"])
@pytest.mark.parametrize(
    "text",
    [
        ODD,
        ODD.replace("every 9999 years", "every Friday"),
        ODD.replace("wound every 9999 years", "wound every 1/9 s"),
    ],
)
def test_odd_intervals_and_days_end_in_no_traceback(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, on: str
) -> None:
    file = tmp_path / "odd.movement"
    file.write_text(text, encoding="utf-8")
    for arguments in (
        ("due", file, "--on", on),
        ("due", file, "--on", on, "--json"),
        ("rota", file, "--on", on),
        ("rota", file, "--from", on),
        ("calendar", file, "--from", on, "--to", tmp_path),
    ):
        code, said, told = called(capsys, *arguments)
        assert code in (0, 1)
        assert said
        assert " error" not in told
    assert (tmp_path / "calendar.ics").is_file()
