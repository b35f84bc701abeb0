"""What holds for every drawing that is put down by hand: labels apart, sizes, hostile names, the same every time."""

from __future__ import annotations

from itertools import combinations
from xml.etree import ElementTree as ET

import pytest
from countwheel.emit.drawing import Drawing
from countwheel.emit.drawings import by_hand
from hand_drawn import DEMOS, OUTSIDE, SVG, clock_of, lettering_boxes

STEMS = tuple(path.stem for path in (*DEMOS, *OUTSIDE))


def drawings_of(stem: str) -> tuple[Drawing, ...]:
    result = clock_of(stem)
    assert result.clock is not None
    return by_hand(result.clock, result.figures)


@pytest.mark.parametrize("stem", STEMS)
def test_no_lettering_lies_over_other_lettering_or_leaves_the_page(stem: str) -> None:
    for drawing in drawings_of(stem):
        boxes = lettering_boxes(drawing)
        height = float(ET.fromstring(drawing.svg).attrib["height"].removesuffix("mm"))
        assert height <= 235
        for box, words in boxes:
            where = (drawing.id, words)
            assert box.left >= 0, where
            assert box.top >= 0, where
            assert box.right <= 170, where
            assert box.bottom <= height, where
        for (one, first), (two, second) in combinations(boxes, 2):
            assert not one.meets(two), (drawing.id, first, second)


@pytest.mark.parametrize("stem", STEMS)
def test_each_is_described_and_the_same_every_time(stem: str) -> None:
    made = drawings_of(stem)
    assert len({drawing.id for drawing in made}) == len(made)
    for drawing, again in zip(made, drawings_of(stem), strict=True):
        assert drawing.svg == again.svg
        assert len(drawing.alt) > 60
        assert "None" not in drawing.alt
        assert "  " not in drawing.alt
        root = ET.fromstring(drawing.svg)
        assert min(float(text.attrib["font-size"]) for text in root.iter(f"{SVG}text")) >= 7
