"""The compass of movement, trains and dials: by geometry, whoever looks north stands south of what he looks at."""

from __future__ import annotations

import pytest
from countwheel.api import check_text
from countwheel.diagnostics.record import Diagnostic

CARD = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def told(
    faces: str, *, runs: str = "", dial: str = "", looks: str = "", side: str = "far"
) -> list[Diagnostic]:
    """What is said of a clock that a person looks at towards `faces`."""
    text = 'countwheel 1\n\nclock "A"\n' + (f"  faces {faces}\n" if faces else "")
    text += "train going\n" + (f"  runs {runs}\n" if runs else "")
    text += "  arbor centre\n    wheel 80\n    rate once an hour\n"
    text += f"dial {dial}\n  driven by going.centre on {side} side\n" + (
        f"  looks {looks}\n" if looks else ""
    )
    return [one for one in check_text(text).diagnostics if one.code == "M516"]


@pytest.mark.parametrize("faces", CARD)
@pytest.mark.parametrize("turn", range(8))
def test_arbors_run_against_who_looks(faces: str, turn: int) -> None:
    # straight at him is half round the card; an eighth either way may be rounding
    runs = CARD[(CARD.index(faces) + turn) % 8]
    assert bool(told(faces, runs=runs)) == (turn not in (3, 4, 5))


@pytest.mark.parametrize("faces", CARD)
@pytest.mark.parametrize("turn", range(8))
@pytest.mark.parametrize("named", [True, False])
def test_a_dial_looks_away_from_its_side(faces: str, turn: int, named: bool) -> None:
    # beyond the movement it looks the way that he does, before it the other way
    way = CARD[(CARD.index(faces) + turn) % 8]
    says = {"dial": way} if named else {"dial": "yard", "looks": way}
    assert bool(told(faces, **says)) == (turn not in (7, 0, 1))
    assert bool(told(faces, **says, side="near")) == (turn not in (3, 4, 5))


def test_what_is_not_stated_contradicts_nothing() -> None:
    assert not told("", runs="north", dial="north")
    assert not told("north", runs="up", dial="yard")
    assert not told("north", dial="south", side="left")


def test_the_dial_is_called_as_the_keeper_calls_it() -> None:
    (one,) = told("south", dial="north-west")
    assert one.message.startswith("The north-west dial is on the far side")
    (other,) = told("south", looks="north")
    assert other.message.startswith("The dial is on the far side")
