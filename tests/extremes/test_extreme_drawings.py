"""Drawings of clocks with more parts than a sheet can show: words in their place, and the rest of the papers made."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from countwheel import outputs
from countwheel.api import check_text
from countwheel.emit.drawing import Drawing
from countwheel.emit.drawings import MOST_ARBORS, MOST_DIALS
from extreme_running import arbors, dials


def drawn(text: str) -> dict[str, Drawing]:
    result = check_text(text, "x.movement")
    assert not result.has_errors
    return {one.id: one for one in outputs.drawings(result)}


def lettering(drawing: Drawing) -> str:
    space = "{http://www.w3.org/2000/svg}"
    return " ".join(one.text or "" for one in ET.fromstring(drawing.svg).iter(f"{space}text"))


@pytest.mark.parametrize("number", [MOST_ARBORS + 1, 400])
def test_a_train_of_too_many_arbors_is_told_in_words(number: int) -> None:
    found = drawn(arbors(number))
    assert list(found) == ["train-going"]
    assert f"This train has {number} arbors: too many for one drawing." in lettering(found["train-going"])
    assert f"{number} arbors" in found["train-going"].alt


@pytest.mark.parametrize("number", [MOST_DIALS + 1, 1000])
def test_too_many_dials_are_told_in_words(number: int) -> None:
    way = drawn(dials(number))["way-to-the-dials"]
    assert f"This clock has {number} dials: too many for one drawing." in lettering(way)


def test_a_long_train_is_drawn_on_as_many_sheets_as_keep_it_legible() -> None:
    found = drawn(arbors(30))
    sheets = [id for id in found if id.startswith("train-going")]
    assert len(sheets) > 1
    assert "elevation-going" in found
    assert all(f"a{at}" in " ".join(lettering(found[id]) for id in sheets) for at in range(1, 29))
