"""The dials in plan: each where the compass has it, every step of the way numbered and told once."""

from __future__ import annotations

from math import atan2, degrees

import pytest
from countwheel.emit.draw_plan import dials_in_plan, looks_of, plan_of
from countwheel.figures.dials import ROUND
from hand_drawn import DEMOS, circles_in, clock_of, words_in
from manual_samples import compiled

STEMS = tuple(path.stem for path in DEMOS)
HOSTILE = '<script>alert(1)</script> & \\\\N "quoted" '.replace('"', "'") + "long" * 60


@pytest.mark.parametrize("stem", STEMS)
def test_every_dial_whose_direction_is_known_stands_that_way_from_its_shaft(stem: str) -> None:
    result = clock_of(stem)
    assert result.clock is not None
    plan = plan_of(result.clock)
    assert [dial.path for dial, _, _ in plan.dials] == [
        dial.path for way in (*result.clock.leading_off, None) for dial in result.clock.dials
        if looks_of(result.clock, dial)
        and (dial.name in way.dials if way else all(dial.name not in w.dials for w in result.clock.leading_off))
    ]  # fmt: skip
    for dial, _, looks in plan.dials:
        assert looks == looks_of(result.clock, dial)


def test_four_dials_stand_round_the_compass_on_the_page() -> None:
    result = clock_of("penquay-harbour-office")
    assert result.clock is not None
    (made,) = dials_in_plan(result.clock, result.figures)
    faces = [(x, y) for x, y, radius in circles_in(made) if radius == pytest.approx(6.0, abs=0.01)]
    middle = (sum(x for x, _ in faces) / 4, sum(y for _, y in faces) / 4)
    # north at the top of the page, east to the right
    bearings = [round(degrees(atan2(x - middle[0], middle[1] - y))) % 360 for x, y in faces]
    assert [ROUND[bearing // 45] for bearing in bearings] == ["north", "east", "south", "west"]


def test_left_and_right_are_told_from_the_front_of_the_movement() -> None:
    # Who looks south at the front of the movement has the east to the left.
    result = clock_of("ellenfrith-school")
    assert result.clock is not None
    faces = result.clock.fact("clock", "faces")
    assert faces is not None
    assert faces.text() == "south"
    plan = plan_of(result.clock)
    (start, end, _, known) = plan.shafts[0]
    assert (start, end, known) == ((0.0, 0.0), (1.0, 0.0), True)


@pytest.mark.parametrize("stem", STEMS)
def test_every_step_is_numbered_and_told(stem: str) -> None:
    result = clock_of(stem)
    assert result.clock is not None
    (made,) = dials_in_plan(result.clock, result.figures)
    steps = sum(len(way.steps) for way in result.clock.leading_off)
    told = [word for word in words_in(made) if word.partition(":")[0].isdigit()]
    assert [word.partition(":")[0] for word in told if ":" in word] == [
        str(number + 1) for number in range(steps)
    ]


def test_a_name_too_long_for_the_plan_stands_below_it_with_a_letter() -> None:
    result = compiled(f'countwheel 1\n\ndial "{HOSTILE}"\n  looks south\n\ndial west\n')
    assert result.clock is not None
    (made,) = dials_in_plan(result.clock, result.figures)
    words = words_in(made)
    assert "dial A" in words
    assert "A: <script>alert(1)</script>" in " ".join(words)
    assert "<script" not in made.svg
    assert "west dial" in words


def test_nothing_is_drawn_where_no_dial_says_which_way_it_looks() -> None:
    result = compiled("countwheel 1\n\ndial\n  diameter 2 m\n")
    assert result.clock is not None
    assert dials_in_plan(result.clock, result.figures) == ()
