"""Counts and beats that follow from the others, and that nothing is judged by what was deduced from it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from countwheel.api import Result, check_text

CLOCK = """countwheel 1
clock "x"
  place "p"
    latitude 50 °N
train going
  arbor barrel
    wheel great {great}
  arbor centre
    pinion 12
    wheel  {centre}
    rate   once an hour
  arbor third
    pinion {leaves}
    wheel  {third}
  arbor escape
    pinion 12
    escape wheel {escape}
escapement deadbeat
pendulum
  beat {beat}
motion work
  cannon pinion 30
  minute wheel  {minute}
  minute pinion 20
  hour wheel    80
train strike
  arbor barrel
    wheel great 200
    lifting pins {pins}
    pinion count 20
  arbor locking
    pinion 10
    wheel 72
  count wheel
    count 20 drives {count}
    cut for hours
"""
WHOLE = {
    "great": "144", "centre": "80", "leaves": "10", "third": "72", "escape": "30", "beat": "1.25 s",
    "minute": "90", "pins": "20", "count": "78",
}  # fmt: skip


def compiled(**changed: str) -> Result:
    return check_text(CLOCK.format(**WHOLE | changed))


def count(result: Result, id: str) -> Fraction | None:
    return result.figures[id].exact


@pytest.mark.parametrize(
    ("word", "id", "expected"),
    [
        ("centre", "going.centre.wheel.teeth", 80),
        ("leaves", "going.third.pinion.teeth", 10),
        ("third", "going.third.wheel.teeth", 72),
        ("escape", "going.escape.escape_wheel.teeth", 30),
        ("minute", "motion_work.minute_wheel.teeth", 90),
        ("pins", "strike.barrel.lifting_pins.pins", 20),
        ("count", "strike.count_wheel.count.driven.teeth", 78),
    ],
)
def test_the_one_count_that_is_lost_follows(word: str, id: str, expected: int) -> None:
    # the same clock as in E. Beckett's manner (80/10, 72/12, 30: 2880 beats), each count taken away in turn
    assert count(compiled(**{word: "?"}), id) == expected


def test_two_lost_counts_do_not_follow() -> None:
    figures = compiled(centre="?", third="?").figures
    assert not [id for id in figures if ".teeth" in id]


def test_a_great_wheel_before_the_first_known_rate_does_not_follow() -> None:
    assert not [id for id in compiled(great="?").figures if ".teeth" in id]


def test_what_no_whole_number_makes_is_sought_in_vain() -> None:
    figures = compiled(third="?", centre="79").figures
    assert figures["going.third.wheel.teeth.sought"].exact == Fraction(72 * 80, 79)
    assert "going.third.wheel.teeth" not in figures


def test_limits_that_are_stated_hold() -> None:
    assert "going.third.wheel.teeth" not in compiled(third="? 60..70").figures


def test_a_beat_that_is_not_exact_leaves_one_whole_number() -> None:
    figures = compiled(third="?", beat="1.25 s ± 0.005 s").figures
    sought = figures["going.third.wheel.teeth.sought"]
    assert sought.uncertainty == pytest.approx(72 * 0.004 / 3**0.5, rel=1e-3)  # 0.4 %, as a rectangle
    assert count(compiled(third="?", beat="1.25 s ± 0.005 s"), "going.third.wheel.teeth") == 72
    assert "limits" in figures["going.third.wheel.teeth"].method


def test_a_beat_too_loose_leaves_several() -> None:
    assert "going.third.wheel.teeth" not in compiled(third="?", beat="1.25 s ± 0.02 s").figures


def test_the_figures_behind_a_deduced_count_stand_on_it() -> None:
    figures = compiled(third="?").figures
    ratio = figures["going.third_escape.ratio"]
    assert ratio.exact == 6
    assert "pendulum.beat" in {given.path for given in ratio.inputs}


@pytest.mark.parametrize(
    ("word", "id"),
    [
        ("third", "going.train.beats_per_hour"),
        ("escape", "going.train.beats_per_hour"),
        ("minute", "motion_work.ratio"),
        ("count", "strike.count_wheel.agrees"),
        ("pins", "strike.count_wheel.agrees"),
    ],
)
def test_nothing_is_judged_by_what_was_deduced_from_it(word: str, id: str) -> None:
    figure = compiled(**{word: "?"}).figures[id]
    assert figure.value is None
    assert figure.waits_for
