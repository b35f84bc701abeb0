"""Every word of the vocabulary, and every choice, is used by some whole clock: in specs/ or tests/outside/clocks."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from countwheel.api import compile_file
from countwheel.forms import Either, Element, Maybe, Part, pattern
from countwheel.model.node import Node
from countwheel.vocabulary import EVERYWHERE, Entry, load

ROOT = Path(__file__).parent.parent.parent
DEMOS = sorted(path.parent for path in (ROOT / "specs").glob("*/*.movement") if path.stem == path.parent.name)
CLOCKS = sorted((ROOT / "tests" / "outside" / "clocks").glob("*.movement"))
WORDS = load()
ENTRY = next(entry for entry in WORDS.entries if entry.word == "<entry>")
ROWS = [entry for entry in WORDS.entries if not entry.owners[0].startswith("set ")]
CHOICES = [
    (name, word) for name, some in WORDS.choices.items() for word in {one.word: 0 for one in some.values()}
]


def parts_of(elements: tuple[Element, ...]) -> Iterator[Part]:
    for element in elements:
        if isinstance(element, Maybe):
            yield from parts_of(element.inside)
        elif isinstance(element, Either):
            for way in element.ways:
                yield from parts_of(way)
        elif isinstance(element, Part):
            yield element


def row_of(owner: str, fact: Node) -> Entry:
    """The row of the table that a fact under that owner was read by."""
    if fact.word == "entry":
        return ENTRY
    known = WORDS.owners.get(owner, {}).get(fact.word) or WORDS.owners[EVERYWHERE].get(fact.word)
    return known or WORDS.loose[owner]


def rows_under(node: Node, owner: str) -> Iterator[tuple[Entry, Node]]:
    """Every fact below, recorded values that are less preferred too, with the row that it was read by."""
    for fact in node.facts:
        entry = row_of(owner, fact)
        for value in (fact, *fact.others):
            yield entry, value
            yield from rows_under(value, entry.block)


@cache
def used() -> tuple[frozenset[tuple[tuple[str, ...], str]], frozenset[tuple[str, str]]]:
    """The rows (owners and word) and the choices (their set and word) that the clocks use."""
    rows: set[tuple[tuple[str, ...], str]] = set()
    choices: set[tuple[str, str]] = set()
    for path in (*DEMOS, *CLOCKS):
        clock = compile_file(path, working=False).clock
        assert clock is not None, path
        for entry, fact in rows_under(clock.root, "movement"):
            rows.add((entry.owners, entry.word))
            for part in parts_of(pattern(entry.takes)):
                said = fact.text(part=part.name) if part.kind == "choice" else None
                if said is not None:
                    choices.add((part.choice, said))
    return frozenset(rows), frozenset(choices)


def test_there_are_clocks_to_look_at() -> None:
    assert len(DEMOS) >= 7
    assert len(CLOCKS) >= 10


@pytest.mark.parametrize("entry", ROWS, ids=lambda entry: f"{entry.owners[0]}-{entry.word}")
def test_every_word_is_used_by_some_clock(entry: Entry) -> None:
    assert (entry.owners, entry.word) in used()[0], f"no clock has `{entry.example}`"


@pytest.mark.parametrize("choice", CHOICES, ids=lambda choice: f"{choice[0]}-{choice[1]}")
def test_every_choice_is_used_by_some_clock(choice: tuple[str, str]) -> None:
    assert choice in used()[1], f"no clock has `{choice[1]}` of the {choice[0]}"
