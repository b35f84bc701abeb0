"""What to turn: in the right direction, no finer than the record allows, and not at all where a fault is."""

from __future__ import annotations

import json
from dataclasses import replace
from random import Random

import pytest
from countwheel.api import check_text
from countwheel.emit import rate_json, rate_text
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.record.entries import Entry
from countwheel.record.report import Report, report
from jsonschema import validate
from made_logs import Truth, entry, record

CLOCK = """countwheel 1

pendulum
  beat 1 s
  rating nut
    divisions 20
    left raises
{tray}"""
PER_TURN, PER_GRAM = 44.0, 0.11


def told(read: list[Entry], tray: bool = False, known: bool = True) -> Report:
    clock = check_text(CLOCK.format(tray="  tray\n" if tray else "")).clock
    assert isinstance(clock, Clock)
    figures = {
        "pendulum.nut.rate_per_turn": Figure("pendulum.nut.rate_per_turn", "", PER_TURN, uncertainty=0.1),
        "pendulum.tray.rate_per_gram": Figure("pendulum.tray.rate_per_gram", "", PER_GRAM, uncertainty=0.001),
    }
    if not tray:
        del figures["pendulum.tray.rate_per_gram"]
    return report(clock, figures if known else {}, read=tuple(read))


def words(made: Report) -> str:
    """The report without its line breaks."""
    validate(json.loads(rate_json.dump("A clock", made)), rate_json.schema())
    return " ".join(rate_text.text("A clock", made).split())


@pytest.mark.parametrize("rate", [-9.0, 9.0])
def test_the_nut_against_the_rate_in_whole_divisions(rate: float) -> None:
    made = told(record(Truth(rate=rate, wander=0.3, number=20, stop_at=99), Random(2)))
    one = made.advice
    assert one.action == "nut"
    assert one.turns is not None
    assert one.divisions == pytest.approx(one.turns * 20)
    assert one.divisions == pytest.approx(round(one.divisions))
    # the turn takes the rate away, to within half a division
    assert abs(rate + one.turns * PER_TURN) <= PER_TURN / 40 + one.half
    assert one.left == pytest.approx((one.rate or 0) + one.turns * PER_TURN)
    way = (
        "down, so that the bob sinks (to the right,"
        if rate > 0
        else "up, so that the bob rises (to the left,"
    )
    assert way in words(made)


def test_the_tray_goes_before_the_nut_and_the_grams_are_round() -> None:
    made = told(record(Truth(rate=-2.0, wander=0.2, number=20, stop_at=99), Random(3)), tray=True)
    one = made.advice
    assert one.action == "tray"
    assert one.grams is not None
    assert one.grams * PER_GRAM == pytest.approx(2.0, abs=one.half + PER_GRAM)
    assert one.grams % 1 == 0
    assert f"Lay {one.grams:g} g on the tray" in words(made)


def test_a_rate_that_is_not_told_from_nothing_is_left_alone() -> None:
    made = told(record(Truth(rate=0.02, wander=0.3, number=20, stop_at=99), Random(4)), tray=True)
    assert made.advice.action == "leave"
    assert (made.advice.turns, made.advice.grams) == (None, None)
    assert "Leave it alone: the record does not tell whether it gains or loses" in words(made)


def test_less_than_half_a_division_is_left_alone() -> None:
    made = told(record(Truth(rate=0.4, wander=0.01, number=40, stop_at=99), Random(5)))
    assert made.advice.action == "leave"
    assert "less than the smallest step" in words(made)


def test_where_the_description_does_not_tell_what_a_turn_does() -> None:
    made = told(record(Truth(rate=5.0, number=20, stop_at=99), Random(6)), known=False)
    assert made.advice.action == "unknown"
    assert "does not tell what a turn of the nut" in words(made)


def test_after_an_adjustment_it_waits() -> None:
    read = record(Truth(rate=5.0, number=20, stop_at=99), Random(7))
    read[-1] = replace(read[-1], nut=-0.1)
    made = told(read)
    assert made.advice.action == "wait"
    assert words(made).count("Wait.") == 1


@pytest.mark.parametrize("weeks", [2, 8])
def test_the_expected_error_grows_with_the_weeks(weeks: int) -> None:
    read = tuple(record(Truth(rate=9.0, wander=0.3, number=20, stop_at=99), Random(2)))
    clock = check_text(CLOCK.format(tray="")).clock
    assert clock is not None
    short, long = (report(clock, {}, number, read).advice for number in (weeks, 2 * weeks))
    assert short.expected < long.expected < 2 * short.expected + 1


def test_a_drift_is_a_fault_and_nothing_is_to_be_turned() -> None:
    made = told(record(Truth(rate=1.0, drift=0.02, wander=0.05, number=60, stop_at=99), Random(8)))
    assert [one.kind for one in made.faults] == ["rate drifts"]
    assert "Look for a fault before anything is turned" in words(made)
    assert "Turn the rating nut" not in words(made)


def test_a_mis_reading_is_named_with_what_it_is_likely_to_be() -> None:
    made = told(record(Truth(rate=1.0, wrong=60.0, wander=0.05, number=40, stop_at=99), Random(9)))
    (odd,) = made.cleaned.odd
    assert odd.likely == "a minute"
    assert "too fast for its neighbours, like a minute; set aside" in words(made)


def test_a_jump_near_the_end_is_a_fault() -> None:
    read = [entry(7.0 * week, 0.0 if week < 18 else -25.0) for week in range(22)]
    made = told(read)
    assert [(one.kind, round(one.amount)) for one in made.faults] == [("jump", -25)]


def test_the_nut_beside_what_the_description_says() -> None:
    first = record(Truth(rate=4.4, wander=0.02, number=20, stop_at=99), Random(1))
    turned = replace(first[-1], nut=-0.1)
    start, at = turned.left or 0.0, turned.at
    agrees = [
        *first[:-1],
        turned,
        *(entry(at + 7.0 * week, round(start + 0.0 * week)) for week in range(1, 15)),
    ]
    (one,) = told(agrees).compared
    assert one.of == "nut"
    assert one.low == pytest.approx(-4.4)
    assert one.agrees
    stuck = [
        *first[:-1],
        turned,
        *(entry(at + 7.0 * week, round(start + 4.4 * 7 * week)) for week in range(1, 15)),
    ]
    made = told(stuck)
    (other,) = made.compared
    assert not other.agrees
    assert "they do not agree" in words(made)


def test_an_empty_log() -> None:
    made = told([])
    assert "no reading" in words(made)
    assert made.advice.action == "wait"


def test_a_nut_without_stated_divisions_is_turned_by_parts_that_an_eye_can_judge() -> None:
    read = record(Truth(rate=0.6, wander=0.01, number=40, stop_at=99), Random(5))
    clock = check_text(CLOCK.format(tray="").replace("    divisions 20\n", "")).clock
    assert clock is not None
    turn = {"pendulum.nut.rate_per_turn": Figure("pendulum.nut.rate_per_turn", "", PER_TURN)}
    made = report(clock, turn, read=tuple(read))
    assert (made.advice.action, made.advice.least) == ("leave", 1 / 16)
    assert "by less than 1/16 turn of the nut makes" in words(made)
    fast = record(Truth(rate=9.0, wander=0.01, number=40, stop_at=99), Random(5))
    other = report(clock, turn, read=tuple(fast)).advice
    assert (other.action, other.divisions) == ("nut", None)
    assert other.turns == pytest.approx(-3 / 16)  # 9 s of 44 s a turn


def test_what_is_taken_off_the_tray_may_not_be_there() -> None:
    made = told(record(Truth(rate=2.0, wander=0.2, number=20, stop_at=99), Random(3)), tray=True)
    assert "off the tray, without touching the rod. If less lies on it" in words(made)


def test_readings_hours_apart() -> None:
    read = [entry(hour / 24, 0.4 * hour) for hour in range(0, 24, 2)]
    made = told(read)
    assert made.advice.action == "wait"
    assert made.rates[0].rate == pytest.approx(9.6)
    assert "over 2 hours (10 comparisons)" in words(made)


def test_two_entries_and_one() -> None:
    made = told([entry(0.0, 3.0), entry(7.0, 8.0)])
    assert (made.advice.action, round(made.rates[0].rate, 2)) == ("wait", 0.71)
    alone = told([entry(0.0, 3.0)])
    assert "one reading, day 0" in words(alone)
    assert alone.rates == ()


def test_hands_not_left_as_written_are_told_of_as_such() -> None:
    read = [entry(7.0 * week, 2.0 + week % 2) for week in range(20)]
    read[10] = replace(read[10], left=0.0, was_set=True)
    read[11:] = [replace(one, found=(one.found or 0) + 58, left=(one.found or 0) + 58) for one in read[11:]]
    said = words(told(read))
    assert "day 70 09:00: what it was set to is, as written, 6" in said
    assert "s too slow for what follows, like a minute; not used. Were the hands left as written?" in said
