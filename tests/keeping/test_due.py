"""What is due on dates before and after, by logs whose days were counted on a printed calendar."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from countwheel.keeping import record
from countwheel.keeping.duties import Duty, duties, overdue, winding_of
from countwheel.keeping.record import stems
from countwheel.keeping.seasons import turn_of
from keeping_reading import GOING, HEAD, STRIKE, compiled

CARE = """
care
  oil pivots    every 6 months
  inspect lines every 12 months by "rigger"
  wash the hands every 5 years
log
  2026-01-02 09:00 wound, oiled pivots
  2026-01-09 09:00 wound
  2026-03-31 09:00 done "inspect lines"
"""


def standing(text: str, on: date) -> dict[str, Duty]:
    result = compiled(text)
    assert result.clock is not None
    return {one.what or one.kind: one for one in duties(result.clock, result.figures, on)}


def with_habit(habit: str, rest: str = "") -> str:
    return HEAD + f"  wound {habit}\n" + GOING + rest


# 9 January 2026 is a Friday.
@pytest.mark.parametrize(
    ("habit", "on", "state", "day"),
    [
        ("every Friday", (2026, 1, 9), "next", (2026, 1, 16)),
        ("every Friday", (2026, 1, 15), "next", (2026, 1, 16)),
        ("every Friday", (2026, 1, 16), "due", (2026, 1, 16)),
        ("every Friday", (2026, 1, 17), "overdue", (2026, 1, 16)),
        ("every Monday and Friday", (2026, 1, 10), "next", (2026, 1, 12)),
        ("every 3 days", (2026, 1, 12), "due", (2026, 1, 12)),
        ("daily", (2026, 1, 11), "overdue", (2026, 1, 10)),
        ("weekly", (2026, 1, 15), "next", (2026, 1, 16)),
        # before the second winding only the first is known of
        ("every Friday", (2026, 1, 8), "next", (2026, 1, 9)),
    ],
)
def test_the_winding(habit: str, on: tuple[int, int, int], state: str, day: tuple[int, int, int]) -> None:
    found = standing(with_habit(habit, CARE), date(*on))["winding"]
    assert (found.state, found.day) == (state, date(*day))


def test_without_a_winding_day_it_follows_from_the_run() -> None:
    """15 turns at one in 12 hours are 7 1/2 days; a day is left over, and whole days are stepped."""
    result = compiled(HEAD + GOING)
    assert result.clock is not None
    winding = winding_of(result.clock, result.figures)
    assert winding is not None
    assert not winding.stated
    assert winding.run == pytest.approx(7.5)
    assert winding.step is not None
    assert winding.step.days == 6


@pytest.mark.parametrize("habit", ["automatically"])
def test_a_motor_is_not_told_to_wind(habit: str) -> None:
    assert "winding" not in standing(with_habit(habit, CARE), date(2026, 1, 20))


def test_a_clock_that_does_not_go_is_not_wound_nor_set() -> None:
    text = HEAD + "    time zone Europe/London\n  stopped since 1971\n  wound every Friday\n" + GOING + CARE
    assert not {"winding", "clocks"} & set(standing(text, date(2026, 3, 20)))


@pytest.mark.parametrize(
    ("on", "state", "day", "last"),
    [
        ((2026, 7, 1), "next", (2026, 7, 2), (2026, 1, 2)),
        ((2026, 7, 2), "due", (2026, 7, 2), (2026, 1, 2)),
        ((2026, 7, 3), "overdue", (2026, 7, 2), (2026, 1, 2)),
    ],
)
def test_a_task_that_the_log_has(
    on: tuple[int, int, int], state: str, day: tuple[int, int, int], last: tuple[int, int, int]
) -> None:
    found = standing(with_habit("every Friday", CARE), date(*on))["oil pivots"]
    assert (found.state, found.day, found.last) == (state, date(*day), date(*last))


def test_a_task_without_a_record_is_overdue_when_the_log_is_older_than_its_interval() -> None:
    text = with_habit("every Friday", CARE)
    before, after = (standing(text, day)["wash the hands"] for day in (date(2031, 1, 2), date(2031, 1, 3)))
    assert (before.state, before.day, before.since) == ("due", date(2031, 1, 2), date(2026, 1, 2))
    assert after.state == "overdue"
    assert standing(text, date(2030, 12, 31))["wash the hands"].state == "no record"


def test_what_was_done_later_is_not_known_earlier() -> None:
    text = with_habit("every Friday", CARE)
    assert standing(text, date(2026, 3, 30))["inspect lines"].last is None
    assert standing(text, date(2026, 3, 31))["inspect lines"].last == date(2026, 3, 31)
    assert standing(text, date(2026, 3, 31))["inspect lines"].day == date(2027, 3, 31)


def test_without_a_log_nothing_is_called_overdue() -> None:
    result = compiled(with_habit("every Friday", CARE.partition("log")[0]))
    assert result.clock is not None
    found = duties(result.clock, result.figures, date(2026, 6, 1))
    assert not overdue(found)
    assert {one.state for one in found if one.kind != "clocks"} == {"no record"}


def test_without_a_log_it_is_due_on_the_winding_day_all_the_same() -> None:
    text = with_habit("every Friday")
    assert standing(text, date(2026, 6, 5))["winding"].state == "due"  # a Friday
    assert standing(text, date(2026, 6, 6))["winding"].state == "no record"


def test_lines_are_looked_at_though_no_care_line_says_so() -> None:
    found = standing(HEAD + GOING + "log\n  2025-01-02 wound\n", date(2026, 1, 3))["lines"]
    assert (found.what, found.state, found.day) == ("", "overdue", date(2026, 1, 2))


@pytest.mark.parametrize(
    ("entry", "tells"),
    [
        ('done "inspect the lines"', True),
        ('done "inspected lines"', True),
        ('note "Inspected all lines, good."', True),
        ('note "Did not inspect the lines."', False),
        ('note "Lines look tired."', False),
        ("cleaned", False),
    ],
)
def test_which_entries_tell_of_a_task(entry: str, tells: bool) -> None:
    text = HEAD + f"care\n  inspect lines every 12 months\nlog\n  2026-01-02 {entry}\n"
    assert (standing(text, date(2026, 2, 1))["inspect lines"].last == date(2026, 1, 2)) == tells


def test_oiled_alone_tells_of_all_that_is_oiled() -> None:
    text = HEAD + "care\n  oil pivots every 12 months\n  clean fly every 12 months\nlog\n  2026-01-02 oiled\n"
    found = standing(text, date(2026, 2, 1))
    assert found["oil pivots"].last == date(2026, 1, 2)
    assert found["clean fly"].last is None


def test_endings_and_small_words_do_not_matter() -> None:
    assert stems("Oiled the pivots") == stems("oil pivot")


# -- seasons ---------------------------------------------------------------------
SEASONS = """
season winter
  from 1 November to 31 March
  going.barrel.weight 110 kg
season summer
  from 1 April to 31 October
  going.barrel.weight 100 kg
"""


def year_of_readings(until: date) -> str:
    """Weekly readings that fall by half a degree a week, through 10 °C on 14 November, and rise again."""
    lines, day = [], date(2025, 7, 25)
    while day <= until:
        weeks = (day - date(2025, 11, 14)).days // 7
        warmth = 10 - weeks / 2 if weeks <= 16 else 2 + (weeks - 16) / 2
        lines.append(f"  {day} at {warmth:g} °C")
        day += timedelta(days=7)
    return "log\n" + "\n".join(lines) + "\n"


def turns(text: str) -> dict[str, tuple[int, int, bool]]:
    clock = compiled(HEAD + GOING + text).clock
    assert clock is not None
    log = record.entries(clock)
    found = {season.label or "": turn_of(clock, season, log) for season in clock.root.all("season")}
    return {name: (turn.month, turn.day, turn.recorded) for name, turn in found.items() if turn}


def test_the_stated_day_holds_without_a_record() -> None:
    assert turns(SEASONS) == {"winter": (11, 1, False), "summer": (4, 1, False)}


def test_the_record_tells_when_it_turns_cold() -> None:
    """Warmest and coldest stand 16 weeks to each side of 14 November: that is the middle. The spring is not known."""
    found = turns(SEASONS + year_of_readings(date(2026, 3, 6)))
    assert found["winter"][2]
    day = date(2025, *found["winter"][:2])
    assert abs(day - date(2025, 11, 14)) <= timedelta(days=3)
    assert found["summer"] == (4, 1, False)


def test_a_short_record_tells_nothing() -> None:
    assert not turns(SEASONS + year_of_readings(date(2025, 10, 31)))["winter"][2]


def test_a_season_is_due_on_its_day_and_then_next_year() -> None:
    text = HEAD + GOING + STRIKE + SEASONS
    assert standing(text, date(2026, 11, 1))["winter"].state == "due"
    assert standing(text, date(2026, 11, 2))["winter"].day == date(2027, 11, 1)


CLOCKS = "    time zone Europe/London\n"


def states(text: str, on: date, kind: str) -> list[tuple[str, date | None]]:
    result = compiled(text)
    assert result.clock is not None
    found = duties(result.clock, result.figures, on)
    return sorted((one.state, one.day) for one in found if one.kind == kind)


# IANA time zone database: Britain put its clocks on on 29 March 2026.
@pytest.mark.parametrize(
    ("entry", "on", "missed"),
    [
        ("2026-03-27 wound", (2026, 3, 28), False),
        ("2026-03-27 wound", (2026, 3, 30), True),
        ("2026-03-27 wound", (2026, 4, 27), False),  # four weeks on somebody would have seen it
        ("2026-03-29 10:00 set right", (2026, 3, 30), False),
        ("2026-03-28 20:00 set 1 h fast", (2026, 3, 30), False),
        ("2026-04-03 found 3 s fast", (2026, 4, 3), False),
        ("2026-04-03 found 1 h slow, left right", (2026, 4, 3), False),
        ("2026-04-03 found 1 h slow", (2026, 4, 3), True),
    ],
)
def test_a_change_of_the_clocks_that_the_log_has_nothing_of(
    entry: str, on: tuple[int, int, int], missed: bool
) -> None:
    text = HEAD + CLOCKS + GOING + STRIKE + f"log\n  2026-01-02 wound\n  {entry}\n"
    assert (("overdue", date(2026, 3, 29)) in states(text, date(*on), "clocks")) == missed
    assert states(text.partition("log")[0], date(*on), "clocks")[0][0] == "next"


@pytest.mark.parametrize(
    ("entry", "on", "found"),
    [
        ("2026-10-30 wound", (2026, 11, 5), [("next", 2027, 4), ("overdue", 2026, 11), ("next", 2027, 11)]),
        ("2026-10-30 wound", (2026, 12, 5), [("next", 2027, 4), ("next", 2027, 11)]),
        ('2026-11-04 done "winter weight"', (2026, 11, 5), [("next", 2027, 4), ("next", 2027, 11)]),
        ('2026-11-04 note "Slab hung on."', (2026, 11, 5), [("next", 2027, 4), ("next", 2027, 11)]),
        ('2026-11-04 note "Slab not on."', (2026, 11, 4),
         [("next", 2027, 4), ("overdue", 2026, 11), ("next", 2027, 11)]),
        # before its day
        ('2026-10-20 note "Winter slab is on."', (2026, 10, 25), [("next", 2027, 4), ("next", 2027, 11)]),
    ],
)  # fmt: skip
def test_a_season_that_the_log_tells_of_or_not(
    entry: str, on: tuple[int, int, int], found: list[tuple[str, int, int]]
) -> None:
    text = HEAD + GOING + SEASONS + f"log\n  2026-01-02 wound\n  {entry}\n"
    assert [
        (state, day.year, day.month) for state, day in states(text, date(*on), "season") if day
    ] == sorted(found, key=lambda one: (one[0], one[1:]))
