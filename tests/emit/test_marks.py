"""Whatever is not counted, measured or read off the part says so in words wherever the manual prints it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from countwheel import api
from countwheel.emit.document import Document, Inline, Known, Paragraph, Styled, Table
from countwheel.emit.draw_train import train_graph
from countwheel.emit.graph import Box
from countwheel.emit.graph_words import gear_cell
from countwheel.emit.manual import build_manual
from countwheel.emit.register import build_register
from countwheel.emit.shown import value_text
from countwheel.emit.templating import wording
from countwheel.emit.traversal import plain, walk
from countwheel.emit.view import view_of
from countwheel.figures.terms import standing_of
from countwheel.model.values import Moment, Quantity, Text, Words

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)
# What every line that says how it is known is made to say instead, and the word that must stand beside its value.
MARKS = {
    "told": "told",
    "copied": "copied",
    "estimated": "only estimated",
    "assumed": "only assumed",
    'measured doubted "a bad light"': "doubted: a bad light",
    "": "unsourced",
}
_CLAUSE = re.compile(
    r"[ ]+(counted|measured|stamped|copied|told|estimated|assumed)"
    r'( on [\d-]+)?( by "[^"]*")?( from "[^"]*")?( doubted "[^"]*")?[ ]*(?=$|#)',
    re.MULTILINE,
)


@cache
def known_only(demo: str, words: str) -> api.Result:
    """The demo clock with every line that says how it is known saying `words`."""
    folder = SPECS / demo

    def text(name: str) -> str:
        written = (folder / name).read_text(encoding="utf-8")
        return _CLAUSE.sub(f" {words}".rstrip() + " ", written)

    result = api.check_text(text(f"{demo}.movement"), f"{demo}.movement", text)
    assert result.clock is not None
    return result


def manual(result: api.Result) -> Document:
    assert result.clock is not None
    return build_manual(result.clock, result.figures)


def lines(document: Document) -> Iterator[tuple[Inline, ...]]:
    """Every run of inline parts, but for cells of tables."""
    in_tables = {
        id(cell) for part in walk(document) if isinstance(part, Table) for row in part.rows for cell in row
    }
    for part in walk(document):
        parts = getattr(part, "parts", ())
        if parts and id(part) not in in_tables and not isinstance(part, Styled):
            yield parts


def words_of(result: api.Result) -> set[str]:
    """Names, words and dates of the description as printed: without evidence they are the keeper's own, unmarked."""
    assert result.clock is not None
    return {
        " ".join(value_text(value).split())
        for node in result.clock.root.walk()
        for value in node.values.values()
        if isinstance(value, (Words, Text, Moment))
    }


@pytest.mark.parametrize("words", MARKS)
@pytest.mark.parametrize("demo", DEMOS)
def test_each_value_in_running_text_has_its_mark(demo: str, words: str) -> None:
    result = known_only(demo, words)
    own, told = words_of(result), 0
    for parts in lines(manual(result)):
        for part, after in zip(parts, (*parts[1:], None), strict=True):
            if isinstance(part, Styled) and part.style == "value" and plain(part) not in own:
                assert isinstance(after, Known), f"{plain(part)} in {plain(Paragraph(parts))}"
                told += 1
    assert told > 5


@pytest.mark.parametrize("words", MARKS)
@pytest.mark.parametrize("demo", DEMOS)
def test_a_measure_is_printed_nowhere_in_running_text_without_being_a_value(demo: str, words: str) -> None:
    """What a figure rests on is found by its own words, so that none slips through beside the values."""
    result = known_only(demo, words)
    assert result.clock is not None
    document = manual(result)
    measures = {
        value.written.partition("±")[0].strip()
        for node in result.clock.root.walk()
        for value in node.values.values()
        if isinstance(value, Quantity) and node.word not in ("every", "blow interval", "interval")
    }
    for parts in lines(document):
        if not any(isinstance(part, Styled) and part.style == "value" for part in parts):
            continue
        loose = " ".join(plain(part) for part in parts if not (isinstance(part, (Styled, Known))))
        for measure in measures:
            assert not re.search(rf"(?<![\w.]){re.escape(measure)}(?!\w)", loose), (measure, loose)


@pytest.mark.parametrize("words", [words for words in MARKS if words])
def test_the_tables_of_counts_say_it_of_every_count(words: str) -> None:
    result = known_only("penquay-harbour-office", words)
    assert result.clock is not None
    how = wording("HOW")[words.split()[0]]
    chapter = next(one for one in manual(result).chapters if one.id == "counts")
    tables = [
        part
        for part in walk(chapter)
        if isinstance(part, Table) and plain(part.heads[-1]).strip() == "Count known by"
    ]
    assert tables
    rows = [row for table in tables for row in table.rows]
    assert sum(plain(row[-1]).strip().startswith(how) for row in rows) > 10
    assert all(plain(row[-1]).strip() for row in rows if any(letter.isdigit() for letter in plain(row[2])))


@pytest.mark.parametrize("demo", DEMOS)
def test_as_described_the_marks_are_those_of_the_facts(demo: str) -> None:
    """Of the demo as it is: each weak input of a figure that the manual prints stands with its own mark."""
    result = api.compile_file(str(SPECS / demo))
    assert result.clock is not None
    view = view_of(result.clock, result.figures)
    document = manual(result)
    pendulum = view.pendulum
    found = [
        (plain(part), after.text)
        for parts in lines(document)
        for part, after in pairwise(parts)
        if isinstance(part, Styled) and part.style == "value" and isinstance(after, Known)
    ]
    shown = [
        value
        for train in view.by_hand
        if train.power.weight
        for value in (train.power.weight.total, train.power.weight.diameter, train.power.weight.parts)
    ] + ([pendulum.mass, pendulum.beat, pendulum.arc] if pendulum else [])
    for value in shown:
        if value and value.known and value.marked and value.how != "unstated":
            marks = [mark for text, mark in found if text.startswith(value.text)]
            assert any(value.how in mark for mark in marks), (value, marks)


# -- drawings ----------------------------------------------------------------------------------


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("words", ["told", "copied", "estimated", "assumed", "counted doubted"])
def test_the_drawings_say_it_beside_each_measure_and_count(demo: str, words: str) -> None:
    """No more numbers carry a mark than facts are weak, and every one of these cells does."""
    result = known_only(demo, words)
    assert result.clock is not None
    how = words.split()[-1]
    for train in result.clock.trains:
        told = [
            line for box in train_graph(result.clock, train, result.figures).boxes for line in box_lines(box)
        ]
        for gear in (gear for arbor in train.arbors for gear in arbor.gears if gear.teeth and arbor.path):
            if standing_of(gear.node.evidence) == how:
                assert how in gear_cell(gear).paragraphs, gear.path
        barrel = train.barrel
        for word in ("diameter", "turns of line", "fall"):
            node = barrel.get(word) if barrel else None
            if node is not None and standing_of(node.evidence) == how and isinstance(node.value, Quantity):
                written = node.value.written.partition("±")[0].strip()
                assert any(written in line and how in line for line in told), (word, told)


def box_lines(box: Box) -> Iterator[str]:
    for row in box.rows:
        for cell in row:
            yield from cell.paragraphs


# -- two values of one fact ----------------------------------------------------------------------
TWO = """countwheel 1

clock "Two"
pendulum
  beat 1 s measured
  bob iron
    mass
      150 lb ± 1 lb    measured on 2026-05-02 by "KT"
      168 lb           stamped
train going
  arbor centre
    wheel
      80 counted
      82 copied from "survey"
"""


def test_what_lies_between_two_recorded_values_is_said() -> None:
    result = api.check_text(TWO)
    text = " ".join(plain(manual(result)).split())
    assert "counted; also recorded: 82 (copied from a paper, from survey; 2 from the one that holds)" in text
    # the usual 2 % of a stamped mass, 3.36 lb, and 1 lb
    assert result.clock is not None
    register = " ".join(plain(build_register(result.clock, result.sources)).split())
    assert "; 18 lb from the one that holds, where the tolerances allow 4.4 lb" in register
