"""Lines that stand in the wrong place: put where they belong, and told once, whatever stands under them."""

from __future__ import annotations

import pytest
from countwheel.api import check_text
from resolve_reading import HEAD, clock_of, codes, compiled, told

WHOLE = """train going
  arbor barrel
    barrel
      diameter 10 in
      turns of line 17
      line steel wire rope
        diameter 6 mm
        grade 1770 N/mm²
      pulley "head"
        diameter 9 in
      weight 2 cwt
    wheel great 144
  arbor centre
    pinion 12
    wheel 64
    rate once an hour
  arbor third
    pinion 8
    wheel 60
  arbor escape
    pinion 10
    escape wheel 30
pendulum
  rod pine
    length 68 in
  bob cast iron
    shape cylinder
    mass 210 lb
  tray
    mass 200 g
season winter
  from 1 November to 31 March
  going.barrel.weight 3 cwt
care
  oil pivots every 6 months
  wipe rod every 12 months
log
  2026-05-02 wound
  2026-05-09 wound
"""


def paths(text: str) -> list[str]:
    return sorted(node.path for node in clock_of(text).root.walk())


def moved(line: str, by: int) -> str:
    """The description with one line moved in (or out) by so many spaces."""
    lines = WHOLE.split("\n")
    (at,) = [number for number, one in enumerate(lines) if one.strip() == line]
    lines[at] = " " * by + lines[at] if by > 0 else lines[at][-by:]
    return "\n".join(lines)


def without(line: str) -> str:
    lines = WHOLE.split("\n")
    (at,) = [number for number, one in enumerate(lines) if one.strip() == line]
    return "\n".join(lines[:at] + lines[at + 1 :])


def test_the_whole_has_no_fault() -> None:
    assert codes(WHOLE) == []


# All that is said of the place of one line, and every fact is still where it was.
@pytest.mark.parametrize(
    ("line", "by", "code"),
    [
        ("turns of line 17", -2, "M202"),
        ("turns of line 17", 2, "M202"),
        ("turns of line 17", 1, "M202"),
        ("turns of line 17", -1, "M102"),
        ("barrel", -2, "M202"),
        ("wheel great 144", -2, "M202"),
        ("arbor centre", -2, "M202"),
        ("arbor centre", 2, "M202"),
        ("arbor centre", 1, "M102"),
        ("arbor third", 2, "M202"),
        ("arbor third", -2, "M202"),
        ("line steel wire rope", -2, "M202"),
        ("line steel wire rope", 2, "M202"),
        ('pulley "head"', 2, "M202"),
        ("bob cast iron", 2, "M202"),
        ("bob cast iron", -2, "M202"),
        ("pendulum", 2, "M202"),
        ("season winter", 1, "M102"),
        ("from 1 November to 31 March", -2, "M202"),
        ("care", 2, "M202"),
        ("log", 2, "M202"),
        ("2026-05-09 wound", 2, "M102"),
        ("escape wheel 30", 2, "M202"),
        ("escape wheel 30", -1, "M102"),
    ],
)
def test_a_line_moved_is_put_back_and_told_once(line: str, by: int, code: str) -> None:
    text = moved(line, by)
    assert codes(text) == [code]
    assert paths(text) == paths(WHOLE)


def test_the_mend_of_a_line_moved_brings_the_whole_back() -> None:
    for line, by in (
        ("turns of line 17", -2),
        ("turns of line 17", 2),
        ("wheel great 144", -2),
        ("escape wheel 30", 2),
    ):
        text = HEAD + moved(line, by)
        (fault,) = [one for one in compiled(moved(line, by)).diagnostics if one.code == "M202"]
        (edit,) = fault.edits
        assert text[: edit.span.start] + edit.text + text[edit.span.end :] == HEAD + WHOLE


@pytest.mark.parametrize(
    ("line", "most"),
    [
        ("care", 2),
        ("log", 1),
        ("arbor centre", 2),
        ("arbor third", 1),
        ("season winter", 2),
        ("tray", 1),
        ("barrel", 5),
    ],
)
def test_a_block_whose_first_line_is_gone_is_told_in_few_words(line: str, most: int) -> None:
    assert len(codes(without(line))) <= most


def test_a_run_of_facts_stated_again_is_told_once() -> None:
    text = (
        "bell a\n  mass 3 cwt\n  diameter 30 in\n  mass 4 cwt\n  diameter 40 in\n  hung dead\n  hung dead\n"
    )
    assert told(text) == [("M203", "mass"), ("M203", "hung")]


def test_a_run_of_lines_without_a_word_is_told_once() -> None:
    assert told('care\n  oil pivots every 6 months\n    12\n    13\n    remark "x"\n    14\n') == [
        ("M110", "12"),
        ("M110", "14"),
    ]


def test_a_longer_word_is_not_read_as_a_shorter_one_of_the_part_above() -> None:
    """An arbor `turns` clockwise, and a barrel has its `turns of line`."""
    assert told(moved("turns of line 17", -2)) == [("M202", "turns of line")]


def test_no_and_a_word_stand_where_the_word_does() -> None:
    text = "train strike\n  arbor a\n    wheel 80\n    no silent\n"
    assert told(text) == [("M202", "no silent")]
    assert [node.path for node in clock_of(text).root.walk() if node.word == "silent"] == ["strike.silent"]


def test_a_word_far_from_its_place_is_told_with_its_homes() -> None:
    (fault,) = [one for one in compiled("dial north\n  vanes 2\n").diagnostics if one.code == "M202"]
    assert fault.hints == ("`vanes` may stand under: fly",)
    assert fault.edits == ()


def test_a_line_set_out_from_under_its_arbor_takes_what_follows_with_it_and_is_told_once() -> None:
    # `runs` is a word of the train too; but a wheel under it can only be the arbor's
    text = """countwheel 1

train going
  runs north
  arbor centre
    wheel bevel lower 40
    rate once an hour
  arbor laboratory
    driven by going.centre.lower by bevel
  runs down
    wheel bevel 40
    remark "Goes down to the bench."
"""
    result = check_text(text)
    (fault,) = [one for one in result.diagnostics if one.severity == "error"]
    assert fault.code == "M202"
    assert "arbor laboratory of going" in fault.message
    assert fault.edits[0].text == "    "
    mended = check_text(text.replace("\n  runs down", "\n    runs down"))
    assert not mended.has_errors
    for one in (result, mended):
        assert one.figures["going.laboratory.turns_per_hour"].value == 1


def test_a_line_that_both_may_have_is_the_trains_where_nothing_under_it_says_otherwise() -> None:
    text = 'train going\n  arbor centre\n    wheel 80\n  runs north\n    remark "By the map."\n'
    assert "M202" not in [code for code, _ in told(text)]
    assert [node.path for node in clock_of(text).root.walk() if node.word == "runs"] == ["going.runs"]
