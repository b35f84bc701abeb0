"""Facts of the trade that every keeper knows: common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from outside_reading import INCH, at_latitude, clock, compiled, exact, faults, pendulum, train, value

CLOCK = train("going", "144/12 80/10 72/12", "escape wheel 30", anchor="second once an hour")
MOTION = "motion work\n  cannon pinion 30\n  minute wheel 90\n  minute pinion 20\n  hour wheel 80\n"


@pytest.mark.parametrize("latitude", [40, 48, 51.5, 56])
def test_a_seconds_pendulum_is_about_39_inches_and_an_eighth(latitude: float) -> None:
    # common practice, no source
    result = compiled(at_latitude(latitude), "pendulum\n  beat 1 s\n")
    assert value(result, "pendulum.theoretical_length") / INCH == pytest.approx(39.125, abs=0.035)
    assert value(result, "pendulum.theoretical_length") == pytest.approx(0.994, abs=0.001)


def test_the_hour_hand_goes_twelve_times_slower() -> None:
    # common practice, no source
    dial = "dial north\n  driven by going.second on far side\n"
    result = compiled(CLOCK, "escapement deadbeat", MOTION, dial)
    hands = [exact(result, f"dial.north.{hand}_hand.turns_per_hour") for hand in ("minute", "hour")]
    assert hands == [1, Fraction(1, 12)]


def test_plain_hours_are_156_blows_a_day() -> None:
    # common practice, no source
    assert exact(clock("house-eight-day"), "strike.blows_per_day") == 156


def test_a_fall_of_the_arc_from_four_degrees_to_three_gains_eleven_seconds() -> None:
    # common practice, no source: about 11 s a day
    result = compiled(pendulum("beat 1 s", "half arc 4 °"), "escapement recoil anchor\n  least arc 3 °\n")
    assert value(result, "pendulum.circular_deviation.to_least_arc") == pytest.approx(11.5, abs=0.6)


def test_a_pendulum_four_times_as_long_beats_half_as_often() -> None:
    # common practice, no source
    one, two = (value(compiled(pendulum(f"beat {beat} s")), "pendulum.theoretical_length") for beat in (1, 2))
    assert two / one == pytest.approx(4)


def test_the_clock_of_the_language_s_own_example_beats_2880_an_hour() -> None:
    # common practice, no source: a beat of 1¼ s
    result = compiled(CLOCK, "escapement deadbeat", "pendulum\n  beat 1.25 s\n")
    assert exact(result, "going.train.beats_per_hour") == 2880
    assert "M501" not in faults(result)


@pytest.mark.parametrize("tooth", [1, -1])
def test_a_tooth_miscounted_cannot_pass_for_a_good_clock(tooth: int) -> None:
    # common practice, no source: one tooth of 80 is 18 minutes in a day
    text = CLOCK.replace("wheel 80", f"wheel {80 + tooth}")
    result = compiled(text, "escapement deadbeat", "pendulum\n  beat 1.25 s\n")
    assert "M501" in faults(result)
    assert abs(value(result, "going.train.error_per_day")) / 60 == pytest.approx(18, abs=0.3)
    # more beats to the hour at the same beat take longer: the hands are slow
    assert value(result, "going.train.error_per_day") * tooth < 0


def test_raising_the_bob_gains() -> None:
    # common practice, no source: the figure is for the turn that raises the bob
    result = compiled(pendulum("beat 1 s", "rating nut", "  thread 20 per inch"))
    assert value(result, "pendulum.nut.rate_per_turn") > 0


def test_two_wheels_in_mesh_turn_opposite_ways() -> None:
    # common practice, no source
    text = CLOCK.replace("    wheel great 144", "    wheel great 144\n    turns clockwise from front")
    result = compiled(text, "escapement deadbeat")
    senses = [
        result.figures[f"going.{arbor}.sense"].value for arbor in ("barrel", "second", "third", "escape")
    ]
    assert senses == ["clockwise", "anticlockwise", "clockwise", "anticlockwise"]
    # seen from behind it is the other way
    back = compiled(text.replace("from front", "from back"), "escapement deadbeat")
    assert back.figures["going.barrel.sense"].value == "anticlockwise"
