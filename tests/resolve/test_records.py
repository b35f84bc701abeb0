"""The log, seasons, care and expectations: what each line of them says, and faults in them."""

from __future__ import annotations

import pytest
from countwheel.model.node import Node
from countwheel.model.values import Moment
from resolve_reading import clock_of, codes, fact, told

GOING = """train going
  arbor barrel
    barrel
      turns of line 17
      weight 2 cwt
    wheel 144
  arbor centre
    pinion 12
    rate once an hour
"""


def entries(lines: str) -> tuple[Node, ...]:
    log = clock_of("log\n" + "".join(f"  {line}\n" for line in lines.split("\n"))).root.get("log")
    assert log is not None
    return log.all("entry")


# -- the log -------------------------------------------------------------------------


def test_an_entry_and_its_events() -> None:
    (entry,) = entries(
        '2026-05-02 9:05   found 12 s fast, left right    at 11 °C  at 1013 hPa  wound  by "KT"'
    )
    assert [event.word for event in entry.facts] == ["found", "left", "at", "at", "wound", "by"]
    date, time = entry.part("date", Moment), entry.part("time", Moment)
    assert date is not None
    assert time is not None
    assert (date.iso, time.iso) == ("2026-05-02", "09:05")
    found = entry.facts[0]
    assert (found.quantity().si, found.text(part="way")) == (12.0, "fast")  # type: ignore[union-attr]
    assert [at.quantity().dimension for at in entry.all("at")] == ["temperature", "pressure"]  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("line", "events"),
    [
        ("2026-05-02 wound", ["wound"]),
        ("2026-05 wound", ["wound"]),
        ("2026-05-02 09:00 oiled pivots wound", ["oiled", "wound"]),
        ("2026-05-02 oiled, cleaned, started", ["oiled", "cleaned", "started"]),
        ("2026-05-02 by KT wound", ["by", "wound"]),
        ('2026-05-02 stopped "snow on the hands" started set right', ["stopped", "started", "set"]),
        ("2026-05-02 nut 1/5 division up tray plus 5 g arc 1.9 °", ["nut", "tray", "arc"]),
        ("2026-05-02 found 1 min 5 s slow left 2 s fast", ["found", "left"]),
        ('2026-05-02 note "wound, found and left"', ["note"]),
    ],
)
def test_runs_of_events(line: str, events: list[str]) -> None:
    assert [event.word for event in entries(line)[0].facts] == events
    assert codes(f"log\n  {line}\n") == []


@pytest.mark.parametrize(
    ("line", "code", "at"),
    [
        ("2026-05-02 09:00", "M703", "09:00"),
        ("2026-05-02", "M204", ""),
        ("2026-05-02 greased", "M703", "greased"),
        ("2026-05-02 foud 3 s fast", "M703", "foud"),
        ("2026-05-02 found late", "M703", "late"),
        ("2026-05-02 found 12 fast", "M703", "fast"),
        ("2026-05-02 found 12 s", "M703", ""),
        ("2026-05-02 at 11", "M703", "11"),
        ("2026-05-02 at 3 kg", "M703", "kg"),
        ("2026-05-02 nut up", "M703", "up"),
        ("2026-05-02 note snow", "M703", "snow"),
        ("2026-05-02 24:01 wound", "M108", "24:01"),
        ("2026-05-02 09:60 wound", "M108", "09:60"),
        ("2026-02-30 wound", "M107", "2026-02-30"),
        ("2026-5-2 wound", "M106", "2026-5-2"),
        ("2 May 2026 wound", "M703", "2"),
        ("2026 wound", "M703", "2026"),
        ("wound", "M202", "wound"),
    ],
)
def test_faults_of_an_entry(line: str, code: str, at: str) -> None:
    assert told(f"log\n  2026-01-01 wound\n  {line}\n") == [(code, at)]


def test_events_before_a_fault_are_kept() -> None:
    assert [event.word for event in entries("2026-05-02 wound greased oiled")[0].facts] == ["wound"]


def test_entries_stand_in_the_order_of_their_dates() -> None:
    text = "log\n  2026-05-02 09:00 wound\n  2026-05-02 08:00 wound\n  2026-05-03 wound\n  2026-05-01 wound\n"
    assert told(text) == [("M702", "2026-05-02"), ("M702", "2026-05-01")]
    assert codes("log\n  2026-05-02 09:00 wound\n  2026-05-02 09:00 wound\n  2026-05-02 24:00 wound\n") == []


def test_an_entry_one_step_too_deep_is_told_once() -> None:
    text = "log\n  2026-05-02 wound\n    2026-05-03 wound\n    2026-05-04 wound\n"
    assert codes(text)[0] == "M102"
    assert len(clock_of(text).root.get("log").all("entry")) == 3  # type: ignore[union-attr]


# -- seasons ---------------------------------------------------------------------------


def test_a_season_and_its_changes() -> None:
    text = GOING + "season winter\n  from 1 November to March 31\n  going.barrel.weight 3 cwt\n"
    assert codes(text) == []
    node = fact(text, "season.winter.from")
    assert [node.part(part, Moment).iso for part in ("from", "to")] == ["--11-01", "--03-31"]  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("lines", "code", "at"),
    [
        ("from 1 Novembr to 31 March", "M206", "Novembr"),
        ("from 31 November to 31 March", "M107", "31 November"),
        ("from 30 February to 31 March", "M107", "30 February"),
        ("from 1 November", "M205", ""),
        ("from winter to spring", "M205", "winter"),
        ("from 1 May to 2 May\n  going.barrel.weight 3", "M301", "3"),
        ("from 1 May to 2 May\n  going.barrel.weight 3 ft", "M302", "3 ft"),
        ("from 1 May to 2 May\n  going.centre.pinion 3 ft", "M302", "3 ft"),
        ("from 1 May to 2 May\n  going.barrel.wieght 3 cwt", "M402", "going.barrel.wieght"),
        ("from 1 May to 2 May\n  weight 3 cwt", "M202", "weight"),
    ],
)
def test_faults_of_a_season(lines: str, code: str, at: str) -> None:
    assert told(GOING + f"season winter\n  {lines}\n") == [(code, at)]


def test_the_29th_of_february_is_a_day_of_the_year() -> None:
    assert codes("season leap\n  from 29 February to 1 March\n") == []


# -- expectations ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("claim", "figures", "comparison", "target"),
    [
        ("going lasts at least 8 days", ("going.duration",), "at least", 8 * 86400.0),
        ("going lasts 30 h", ("going.duration",), "is", 30 * 3600.0),
        ("going lasts at most 9 days", ("going.duration",), "at most", 9 * 86400.0),
        ("pendulum beats 2880 an hour", ("going.train.beats_per_hour", "pendulum.beats_per_hour"), "is", 0.8),
        ("pendulum beats 0.8 a second", ("going.train.beats_per_hour", "pendulum.beats_per_hour"), "is", 0.8),
        ("going.centre turns once an hour", ("going.centre.turns_per_hour",), "is", 1 / 3600),
        ("going.centre turns once in 30 min", ("going.centre.turns_per_hour",), "is", 1 / 1800),
        ("going.centre turns clockwise", ("going.centre.sense",), "is", "clockwise"),
        (
            "going.centre.turns_per_hour at least 1 an hour",
            ("going.centre.turns_per_hour",),
            "at least",
            1 / 3600,
        ),
        ("going.barrel.teeth is 144", ("going.barrel.teeth",), "is", 144.0),
    ],
)
def test_what_is_expected(claim: str, figures: tuple[str, ...], comparison: str, target: float | str) -> None:
    (expectation,) = clock_of(GOING + f"expect {claim}\n").expectations
    assert expectation.figures == figures
    assert expectation.comparison == comparison
    assert expectation.target == (target if isinstance(target, str) else pytest.approx(target))
    assert expectation.written == claim


def test_hands_of_every_dial_that_has_them() -> None:
    text = "dial north, south\n  no minute hand\n"
    (every,) = clock_of(text + "expect every hand turns clockwise from outside\n").expectations
    assert every.figures == (
        "dial.north.hour_hand.sense_from_outside",
        "dial.south.hour_hand.sense_from_outside",
    )
    (one,) = clock_of("dial north, south\nexpect the minute hand of south turns clockwise\n").expectations
    assert one.figures == ("dial.south.minute_hand.sense_from_outside",)


@pytest.mark.parametrize(
    "claim",
    [
        "going lasts a good while",
        "going lasts 8",
        "going lasts 8 kg",
        "strike lasts 8 days",
        "pendulum beats fast",
        "every hand turns",
        "the hand of west turns clockwise",
        "going.third turns once an hour",
        "going.centre turns once a fortnight",
        "motion work is twelve",
        "it to work",
        "going lasts .. days",
        "going.centre turns once in 0 s",
    ],
)
def test_what_cannot_be_understood(claim: str) -> None:
    assert codes(GOING + f"expect {claim}\n") in (["M603"], ["M205"])


def test_an_expectation_about_what_could_not_be_read_is_let_be() -> None:
    assert codes("trian\n  arbor a\nexpect going lasts at least 8 days\n")[0] in ("M201", "M209")


# -- care ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("oil pivots every 6 months", None),
        ('look at the lines every 12 months by "the insurer"', None),
        ("clean movement every 5 years by clockmaker", None),
        ("oil pivots", "M205"),
        ("oil pivots every", "M204"),
        ("oil pivots every 6", "M301"),
        ("oil pivots every 6 kg", "M302"),
        ("oil pivots every month", "M205"),
        ("every 6 months", "M205"),
    ],
)
def test_tasks(line: str, code: str | None) -> None:
    assert codes(f"care\n  {line}\n") == ([code] if code else [])
