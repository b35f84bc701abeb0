"""A contradiction planted in each part of a clock: the smallest set that clashes, and the fact that would mend it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from countwheel.api import check_text
from countwheel.checks.reconcile import Mend, Reconciling
from countwheel.figures import work_out
from countwheel.model.values import Count, Number, Quantity

WHOLE = (Path(__file__).parent / "whole.movement").read_text(encoding="utf-8")
NO_EXPECTATIONS = WHOLE.partition("expect going")[0]


def sorting(text: str) -> Reconciling:
    clock = check_text(text).clock
    assert clock is not None
    return Reconciling(clock, work_out(clock, working=False))


def planted(old: str, new: str, text: str = NO_EXPECTATIONS) -> Reconciling:
    assert text.count(old) == 1, old
    return sorting(text.replace(old, new))


def size(mend: Mend) -> float:
    """What the fact would have to be, in SI."""
    value = mend.value
    if isinstance(value, Quantity):
        return value.si * mend.factor
    assert isinstance(value, (Count, Number))
    return value.value * mend.factor


def test_where_all_agrees_nothing_fails() -> None:
    made = sorting(WHOLE)
    assert made.failing == ()
    assert len(made.every) > 15
    assert made.mends() == ()


INCH, POUND = 0.0254, 0.45359237

# The line that is wrong, the fact's key, what it was, and within what the mend must come back to it (by ratio):
# exactly for a count, else within what the relation lets pass.
PLANTS = {
    "a count of the train": ("wheel 60\n", "wheel 59\n", "going.third.wheel (teeth)", 60, 0),
    "a pinion": ("    pinion 8\n", "    pinion 7\n", "going.third.pinion (teeth)", 8, 0),
    "the escape wheel": ("escape wheel 30", "escape wheel 31", "going.escape.escape_wheel (teeth)", 30, 0),
    "the beat": ("beat 1.25 s\n", "beat 1.26 s\n", "pendulum.beat", 1.25, 1e-6),
    "the motion work": ("hour wheel 80", "hour wheel 72", "motion_work.hour_wheel (teeth)", 80, 0),
    "the centres of the motion work": ("minute pinion 20\n    module 6", "minute pinion 20\n    module 5",
                                       "motion_work.minute_pinion.module", 0.006, 1e-6),
    "the leading off": ("48 drives 48 on far", "48 drives 40 on far", "leading_off.bevel (driven)", 48, 0),
    "the count wheel": ("count 20 drives 78", "count 20 drives 72", "strike.count_wheel.count (driven)", 78, 0),
    "the locking": ("pinion 10\n    wheel 72", "pinion 9\n    wheel 72", "strike.locking.pinion (teeth)", 10, 0),
    "the barrel's length": ("length 14 in", "length 3 in", "going.barrel.length", 14 * INCH, 5),
    "the line": ("fall 22 ft 9 in", "fall 62 ft 9 in", "going.barrel.fall", 22.75 * 0.3048, 1),
    "the bob": ("mass 210 lb", "mass 80 lb", "pendulum.bob.mass", 210 * POUND, 0.5),
    "the pendulum's length": ("length 61 in", "length 88 in", "pendulum.length", 61 * INCH, 0.05),
    "the centre distance": ("distance 312 mm", "distance 350 mm", "going.barrel.centre_distance", 0.312, 1e-6),
}  # fmt: skip


@pytest.mark.parametrize("part", PLANTS)
def test_a_contradiction_in_each_part_is_found_and_its_fact_named(part: str) -> None:
    old, new, key, was, within = PLANTS[part]
    made = planted(old, new)
    assert made.failing, part
    clash = next(keys for _, keys in made.clashes() if key in keys)
    assert len(clash) >= 2 or part in ("the motion work",)
    mend = next(one for one in made.mends() if one.key == key)
    assert abs(math.log(size(mend) / was)) <= within + 1e-9, size(mend)
    assert mend.right == made.failing
    assert mend.broken == ()


@pytest.mark.parametrize("part", PLANTS)
def test_one_fact_of_a_smallest_set_taken_away_lets_the_rest_be_true(part: str) -> None:
    """Each fact of a set can be given a value, odd as it may be, with which the relation holds."""
    old, new, *_ = PLANTS[part]
    made = planted(old, new)
    relation, keys = made.clashes()[0]
    for key in keys:
        below, above = (made.rework.value(relation.left, {key: factor}) for factor in (0.999, 1.001))
        right = [made.rework.value(relation.right, {key: factor}) for factor in (0.999, 1.001)]
        assert (below, right[0]) != (above, right[1]), key


def test_two_modules_are_a_set_of_two() -> None:
    made = planted("pinion 12\n      module 4 mm", "pinion 12\n      module 4.5 mm")
    keys = made.clashes()[0][1]
    assert keys == ("going.barrel.great.module", "going.centre.pinion.module")


def test_the_fact_in_several_contradictions_comes_first() -> None:
    # the centre wheel is in the beats; a great wheel with its module is in the distance and in nothing else
    text = (
        NO_EXPECTATIONS + "expect going.escape turns once in 75 s\nexpect going.third turns once in 7.5 min\n"
    )
    made = planted("    wheel 64\n", "    wheel 63\n", text)
    assert len(made.failing) == 3
    best = made.mends()[0]
    assert (best.key, size(best), len(best.right)) == ("going.centre.wheel (teeth)", 64, 3)
    # the third wheel could mend the beats, but not the third arbor's own turns
    others = {one.key: len(one.right) for one in made.mends()}
    assert others.get("going.third.wheel (teeth)", 0) < 3


def test_it_is_said_in_one_piece_of_advice() -> None:
    result = check_text(NO_EXPECTATIONS.replace("wheel 60\n", "wheel 59\n"))
    (advice,) = [one for one in result.diagnostics if one.code == "M519"]
    assert advice.severity == "advice"
    assert "`going.third.wheel` would reconcile it: 60 in the place of 59, one more" in advice.message
    assert "cannot all be true together" in advice.hints[0]
    assert result.sources[advice.span.file].text[advice.span.start : advice.span.end] == "59"


def test_of_a_whole_clock_it_says_nothing() -> None:
    assert "M519" not in {one.code for one in check_text(WHOLE).diagnostics}
