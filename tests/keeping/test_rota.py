"""Whose turn it is, over holidays: worked out by hand on a printed calendar of 2026."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from countwheel.keeping.rota import Rota, on_day, rota_of, turns
from hypothesis import given
from hypothesis import strategies as st
from keeping_reading import HEAD, compiled

ROTA = """
rota
  from 2026-01-05
  winder "AB"
  winder "CE"
    away 2026-01-14 to 2026-01-16 for "a wedding"
    away 2026-02-02 to 2026-02-08
  winder "FG"
    away 2026-01-15
"""


def rota(text: str) -> Rota:
    clock = compiled(HEAD + text).clock
    assert clock is not None
    found = rota_of(clock)
    assert found is not None
    return found


# 5 January 2026 is a Monday. AB has the week to the 11th, CE that to the 18th, FG that to the 25th, and again.
@pytest.mark.parametrize(
    ("day", "name"),
    [
        ((2026, 1, 4), None),
        ((2026, 1, 5), "AB"),
        ((2026, 1, 11), "AB"),
        ((2026, 1, 12), "CE"),
        ((2026, 1, 14), "FG"),  # CE is away, FG is next
        ((2026, 1, 15), "AB"),  # FG too: the one after
        ((2026, 1, 16), "FG"),
        ((2026, 1, 17), "CE"),
        ((2026, 1, 19), "FG"),
        ((2026, 1, 26), "AB"),  # a stand-in keeps the own turn
        ((2026, 2, 2), "FG"),  # CE's next turn, and CE away for all of it
        ((2026, 2, 9), "FG"),
    ],
)
def test_who_winds(day: tuple[int, int, int], name: str | None) -> None:
    turn = on_day(rota(ROTA), date(*day))
    assert (turn.name if turn else None) == name


def test_turns_are_parted_where_somebody_steps_in() -> None:
    found = list(turns(rota(ROTA), date(2026, 1, 5), date(2026, 1, 18)))
    assert [(one.first.day, one.last.day, one.name, one.planned) for one in found] == [
        (5, 11, "AB", "AB"),
        (12, 13, "CE", "CE"),
        (14, 14, "FG", "CE"),
        (15, 15, "AB", "CE"),
        (16, 16, "FG", "CE"),
        (17, 18, "CE", "CE"),
    ]
    assert found[2].why == "a wedding"


def test_nobody_where_everybody_is_away() -> None:
    alone = rota('\nrota\n  from 2026-01-05\n  winder "AB"\n    away 2026-01-06\n')
    turn = on_day(alone, date(2026, 1, 6))
    assert turn is not None
    assert turn.name == ""


def test_turns_of_a_month_go_by_the_month() -> None:
    monthly = rota('\nrota\n  from 2026-01-31\n  turn 1 month\n  winder "AB"\n  winder "CE"\n')
    said = [(one.first, one.name) for one in turns(monthly, date(2026, 1, 1), date(2026, 4, 30))]
    assert said == [
        (date(2026, 1, 31), "AB"),
        (date(2026, 2, 28), "CE"),
        (date(2026, 3, 31), "AB"),
        (date(2026, 4, 30), "CE"),
    ]


def test_a_description_without_one() -> None:
    clock = compiled(HEAD).clock
    assert clock is not None
    assert rota_of(clock) is None


@given(st.dates(date(2026, 1, 1), date(2027, 1, 1)), st.integers(0, 200))
def test_turns_cover_every_day_once_and_say_what_each_day_says(first: date, days: int) -> None:
    last = first + timedelta(days=days)
    kept = rota(ROTA)
    told = {
        one.first + timedelta(days=by): one.name
        for one in turns(kept, first, last)
        for by in range((one.last - one.first).days + 1)
    }
    every = [first + timedelta(days=by) for by in range(days + 1)]
    assert told == {day: turn.name for day in every if (turn := on_day(kept, day))}
