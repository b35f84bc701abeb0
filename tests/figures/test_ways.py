"""The way to a dial told by the compass, or from the front: the same hands, whichever words are used.

By geometry alone: who stands before the movement and looks that way has the back ahead, and his right
hand a quarter of a turn clockwise from it, as on a compass card. A shaft that goes straight on from an
arbor is the arbor still.
"""

from __future__ import annotations

import pytest
from figure_texts import compiled, figure

CARD = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
FROM_THE_FRONT = {"back": 0, "right": 2, "front": 4, "left": 6}
MINUTE = "dial.minute_hand.sense_from_outside"


def around(faces: str, told: str) -> str:
    """The compass word for a direction told from the front of a movement."""
    return CARD[(CARD.index(faces) + FROM_THE_FRONT[told]) % 8]


def sense(faces: str, *steps: str) -> str:
    way = "".join(f"  {step}\n" for step in steps)
    result = compiled(
        f'clock "A"\n  faces {faces}\n',
        "train going\n  arbor centre\n    wheel 80\n    rate once an hour\n    turns clockwise from front\n",
        f"leading off\n  from going.centre\n{way}",
        "dial\n  minute hand\n    length 1 m\n",
    )
    said = figure(result, MINUTE).value
    assert isinstance(said, str), figure(result, MINUTE).waits_for
    return said


@pytest.mark.parametrize("faces", CARD)
@pytest.mark.parametrize(("told", "side"), [("front", "near"), ("back", "far")])
def test_a_side_of_the_arbor_told_by_the_compass(faces: str, told: str, side: str) -> None:
    by_name = sense(faces, f"bevel 30 drives 30 on {side} side")
    if around(faces, told) in ("north", "south", "east", "west"):
        assert sense(faces, f"bevel 30 drives 30 on {around(faces, told)} side") == by_name
    assert by_name == ("clockwise" if side == "near" else "anticlockwise")


@pytest.mark.parametrize("faces", ["north", "east", "south", "west"])
@pytest.mark.parametrize("runs", ["left", "right"])
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_shaft_to_the_left_or_right(faces: str, runs: str, side: str) -> None:
    first = "bevel 30 drives 30 on far side"
    forward = "anticlockwise"
    words = {
        sense(faces, first, f"shaft a\n    runs {way}", f"bevel 30 drives 30 on {lies} side")
        for way in (runs, around(faces, runs))
        for lies in (side, around(faces, side))
    }
    assert words == {forward if runs == side else "clockwise"}


@pytest.mark.parametrize("faces", CARD)
def test_a_shaft_straight_on_from_the_arbor(faces: str) -> None:
    """Towards the front the arbor is looked at from in front; towards the back, from behind."""
    for told, seen in (("front", "clockwise"), ("back", "anticlockwise")):
        assert sense(faces, f"shaft a\n    runs {told}") == seen
        assert sense(faces, f"shaft a\n    runs {around(faces, told)}") == seen


def test_where_nobody_knows_which_way_the_front_looks_it_waits() -> None:
    result = compiled(
        "train going\n  arbor centre\n    wheel 80\n    rate once an hour\n    turns clockwise from front\n",
        "leading off\n  from going.centre\n  bevel 30 drives 30 on north side\n",
        "dial\n  minute hand\n    length 1 m\n",
    )
    assert figure(result, MINUTE).value is None


def test_an_arbor_seen_from_a_side_between_two_winds() -> None:
    for side, said in (("north-east", "clockwise"), ("south-west", "anticlockwise")):
        result = compiled(
            "train going\n  runs north-east\n  arbor centre\n    wheel 80\n    rate once an hour\n"
            f"    turns clockwise from {side}\n"
        )
        assert figure(result, "going.centre.sense").value == said


def test_the_titles_keep_the_name_of_a_dial() -> None:
    result = compiled(
        "train going\n  arbor centre\n    wheel 80\n    rate once an hour\n",
        "leading off\n  from going.centre\n  bevel 30 drives 30\n  to north-east, south\n",
        "dial north-east, south\n  diameter 2 m\n  minute hand\n    length 1 m\n    mass 1 kg\n",
    )
    titles = " ".join(one.title for one in result.figures.values())
    assert "the north-east dial" in titles
    assert "north_east" not in titles
