"""Steps of the calendar against the dates that RFC 5545 prints, and as rules against dateutil."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import islice
from random import Random

import pytest
from countwheel.emit.calendar_entries import yearly
from countwheel.keeping.duties import Winding
from countwheel.keeping.seasons import Turn
from countwheel.keeping.steps import END, WEEK, Step, step_of
from countwheel.model.values import Quantity
from countwheel.source import Span
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st
from icalendar import vRecur
from keeping_reading import compiled

SEPTEMBER = date(1997, 9, 2)
# RFC 5545, section 3.8.5.3: the rule, its first day, and the days as printed there.
PRINTED = [
    ("FREQ=DAILY;COUNT=10", Step(days=1), SEPTEMBER, [(1997, 9, day) for day in range(2, 12)]),
    (
        "FREQ=DAILY;INTERVAL=10;COUNT=5",
        Step(days=10),
        SEPTEMBER,
        [(1997, 9, 2), (1997, 9, 12), (1997, 9, 22), (1997, 10, 2), (1997, 10, 12)],
    ),
    (
        "FREQ=WEEKLY;COUNT=10",
        Step(days=7),
        SEPTEMBER,
        [
            *((1997, 9, day) for day in (2, 9, 16, 23, 30)),
            *((1997, 10, day) for day in (7, 14, 21, 28)),
            (1997, 11, 4),
        ],
    ),
    (
        "FREQ=DAILY;INTERVAL=2",
        Step(days=2),
        SEPTEMBER,
        [
            *((1997, 9, day) for day in range(2, 31, 2)),
            *((1997, 10, day) for day in range(2, 31, 2)),
            *((1997, 11, day) for day in range(1, 30, 2)),
            *((1997, 12, day) for day in (1, 3)),
        ],
    ),
    (
        "FREQ=WEEKLY;UNTIL=19971224T000000Z",
        Step(days=7),
        SEPTEMBER,
        [
            *((1997, 9, day) for day in (2, 9, 16, 23, 30)),
            *((1997, 10, day) for day in (7, 14, 21, 28)),
            *((1997, 11, day) for day in (4, 11, 18, 25)),
            *((1997, 12, day) for day in (2, 9, 16, 23)),
        ],
    ),
    (
        "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
        Step(days=14),
        SEPTEMBER,
        [
            *((1997, 9, day) for day in (2, 16, 30)),
            *((1997, 10, day) for day in (14, 28)),
            *((1997, 11, day) for day in (11, 25)),
            *((1997, 12, day) for day in (9, 23)),
            *((1998, 1, day) for day in (6, 20)),
            *((1998, 2, day) for day in (3, 17)),
        ],
    ),
]


@pytest.mark.parametrize(("rule", "step", "start", "days"), PRINTED, ids=[one[0] for one in PRINTED])
def test_steps_lead_to_the_days_that_the_standard_prints(
    rule: str, step: Step, start: date, days: list[tuple[int, int, int]]
) -> None:
    expected = [date(*day) for day in days]
    assert list(islice(step.days_from(start, start, date(2000, 1, 1)), len(days))) == expected
    theirs = rrulestr(rule.replace("00Z", "00"), dtstart=_moment(start))
    assert [one.date() for one in islice(theirs, len(days))] == expected
    if "COUNT" in rule or "UNTIL" in rule:
        assert len(list(theirs)) == len(days)


def test_winding_days_are_those_that_the_standard_prints() -> None:
    """`FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH` from 2 September 1997, section 3.8.5.3."""
    printed = [*((1997, 9, day) for day in (2, 4, 9, 11, 16, 18, 23, 25, 30)), (1997, 10, 2)]
    winding, day, found = Winding((1, 3), None, True, None), SEPTEMBER - timedelta(days=1), []
    for _ in printed:
        day = winding.after(day)
        found.append((day.year, day.month, day.day))
    assert found == printed


@pytest.mark.parametrize(
    ("rule", "start", "days"),
    [
        ("FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", date(1997, 9, 4),
         [(1997, 9, 4), (1997, 10, 7), (1997, 11, 6)]),
        ("FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", date(1997, 9, 29),
         [(1997, 9, 29), (1997, 10, 30), (1997, 11, 27), (1997, 12, 30), (1998, 1, 29), (1998, 2, 26), (1998, 3, 30)]),
    ],
)  # fmt: skip
def test_the_reader_takes_bysetpos_as_the_standard_does(
    rule: str, start: date, days: list[tuple[int, int, int]]
) -> None:
    """Our steps of months hang on it; the days are those printed in section 3.8.5.3."""
    found = islice(rrulestr(rule, dtstart=_moment(start)), len(days))
    assert [(one.year, one.month, one.day) for one in found] == days


def test_three_thousand_rules_as_they_are_written_into_the_calendar() -> None:
    """Steps of days and months, days of the week, days of the year: the same days by our steps and by dateutil."""
    random = Random(20260412)
    for _ in range(3000):
        start = date(1970, 1, 1) + timedelta(days=random.randrange(40000))
        last = start + timedelta(days=random.randrange(1, 2500))
        rule: dict[str, object]
        match random.randrange(4):
            case 0 | 1:
                step = random.choice(
                    (Step(days=random.randrange(1, 300)), Step(months=random.randrange(1, 40)))
                )
                ours, rule = list(step.days_from(start, start, last)), step.rule(start)
            case 2:
                days = tuple(sorted(random.sample(range(7), random.randrange(1, 4))))
                winding, ours = Winding(days, None, True, None), []
                day = winding.after(start - timedelta(days=1))
                while day <= last:
                    ours.append(day)
                    day = winding.after(day)
                rule = {"FREQ": "WEEKLY", "BYDAY": [WEEK[one] for one in days]}
            case _:
                turn = Turn(start.month, start.day, False, None)
                ours = [
                    one
                    for year in range(start.year, last.year + 1)
                    if start <= (one := turn.in_year(year)) <= last
                ]
                rule = yearly(turn)
        written = vRecur({**rule, "UNTIL": last}).to_ical().decode()
        assert [one.date() for one in rrulestr(written, dtstart=_moment(start))] == ours, (start, written)


def test_every_eighteen_months_from_the_tenth() -> None:
    """The first days of `FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15`, RFC 5545 section 3.8.5.3:
    September 10 in 1997, March 10 in 1999.
    """
    found = list(islice(Step(months=18).days_from(date(1997, 9, 10), date(1997, 9, 10), date(2001, 1, 1)), 2))
    assert found == [date(1997, 9, 10), date(1999, 3, 10)]


def test_a_day_that_a_month_lacks_is_left_out_by_a_plain_rule_and_not_by_ours() -> None:
    """RFC 5545 section 3.8.5.3: `FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5` from 15 January 2007 skips 30 February."""
    plain = rrulestr("FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5", dtstart=_moment(date(2007, 1, 15)))
    printed = [(2007, 1, 15), (2007, 1, 30), (2007, 2, 15), (2007, 3, 15), (2007, 3, 30)]
    assert [one.date() for one in plain] == [date(*day) for day in printed]
    ours = list(islice(Step(months=1).days_from(date(2007, 1, 30), date(2007, 1, 30), date(2008, 1, 1)), 3))
    assert ours == [date(2007, 1, 30), date(2007, 2, 28), date(2007, 3, 30)]


def test_the_last_day_of_each_month() -> None:
    """Of `FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1` from 30 September 1997 the last days of the longer months that the
    standard prints (section 3.8.5.3): October 31, December 31, January 31. From the 31st we come to these and to
    November 30.
    """
    found = list(Step(months=1).days_from(date(1997, 10, 31), date(1997, 10, 31), date(1998, 1, 31)))
    assert found == [date(1997, 10, 31), date(1997, 11, 30), date(1997, 12, 31), date(1998, 1, 31)]


def _moment(day: date):  # type: ignore[no-untyped-def]
    from datetime import datetime

    return datetime(day.year, day.month, day.day)


@given(
    st.dates(date(1900, 1, 1), date(2100, 1, 1)),
    st.one_of(
        st.builds(lambda days: Step(days=days), st.integers(1, 400)),
        st.builds(lambda months: Step(months=months), st.integers(1, 130)),
    ),
)
def test_as_a_rule_the_steps_are_the_same_days(start: date, step: Step) -> None:
    last = start + timedelta(days=4000)
    rule = vRecur(step.rule(start)).to_ical().decode()
    theirs = [one.date() for one in rrulestr(rule, dtstart=_moment(start)).between(
        _moment(start), _moment(last), inc=True)]  # fmt: skip
    assert list(step.days_from(start, start, last)) == theirs


@given(st.dates(date(1900, 1, 1), date(2100, 1, 1)), st.integers(1, 40), st.integers(0, 3000))
def test_a_later_beginning_leaves_out_no_day(start: date, months: int, later: int) -> None:
    step, first, last = Step(months=months), start + timedelta(days=later), start + timedelta(days=5000)
    whole = [day for day in step.days_from(start, start, last) if day >= first]
    assert list(step.days_from(start, first, last)) == whole


@pytest.mark.parametrize(
    ("written", "step"),
    [
        ("6 months", Step(months=6)),
        ("1 year", Step(months=12)),
        ("1 1/2 years", Step(months=18)),
        ("2 weeks", Step(days=14)),
        ("10 days", Step(days=10)),
        ("1/2 month", Step(days=15)),
        ("12 h", Step(days=1)),
    ],
)
def test_how_an_interval_is_written(written: str, step: Step) -> None:
    clock = compiled(f"countwheel 1\ncare\n  oil pivots every {written}\n").clock
    assert clock is not None
    every = clock.root.all("care")[0].facts[0].part("every", Quantity)
    assert every is not None
    assert step_of(every) == step


@pytest.mark.parametrize("unit", ["year", "day"])
def test_an_interval_beyond_all_sense_is_still_one(unit: str) -> None:
    every = Quantity(written="", span=Span("", 0, 0), si=1e30, dimension="time", unit=unit)
    step, start = step_of(every), date(2026, 1, 1)
    assert step.after(start, 10**9) == END
    assert list(step.days_from(start, start, date(8999, 1, 1))) == [start]
