"""How wide lettering may be, and where lines break."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from countwheel.emit.lettering import clean, width_of, wrap
from hypothesis import given
from hypothesis import strategies as st

# Advance widths of Helvetica in thousandths of the size, from the AFM file of Adobe's Core 14 fonts
# (values from memory). Arial and Liberation Sans have the same widths.
HELVETICA = {
    " ": 278,
    "0": 556,
    "A": 667,
    "M": 833,
    "W": 944,
    "a": 556,
    "e": 556,
    "i": 222,
    "m": 833,
    "w": 722,
}


@pytest.mark.parametrize("letter", sorted(HELVETICA))
def test_boxes_leave_room_for_the_common_face(letter: str) -> None:
    assert width_of(letter, 10) >= HELVETICA[letter] / 100


def test_bold_is_wider() -> None:
    assert width_of("centre arbor", 10, bold=True) > width_of("centre arbor", 10)


def test_a_number_keeps_its_unit_and_a_word_its_number() -> None:
    for room in range(20, 120, 5):
        lines = wrap("the barrel is 10 1/4 in across and 34 ft up", 9, room)
        if max(width_of(line, 9) for line in ("10 1/4 in", "is 10 1/4 in")) <= room:
            assert any("10 1/4 in" in line for line in lines)


@given(st.text(max_size=60), st.floats(min_value=20, max_value=300))
def test_wrapping_loses_nothing_and_fits(text: str, room: float) -> None:
    lines = wrap(text, 9, room)
    assert "".join("".join(lines).split()) == "".join(clean(text).split())
    assert all(width_of(line, 9) <= room + 0.02 or len(line) == 1 for line in lines)


@given(st.text(max_size=60))
def test_any_text_stays_text_for_an_xml_reader(text: str) -> None:
    element = ET.Element("text")
    element.text = clean(text)
    assert (ET.fromstring(ET.tostring(element, encoding="unicode")).text or "") == clean(text)


def test_marks_that_turn_the_writing_round_are_shown_not_obeyed() -> None:
    assert "\u202e" not in clean("wheel \u202e144")
    assert clean("שלום") == "שלום"
