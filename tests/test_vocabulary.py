"""The vocabulary holds together: each row is well formed, each form compiles, each example is read as it says."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import pytest
from countwheel import grammar
from countwheel.api import Result, check_text
from countwheel.diagnostics.record import Diagnostic
from countwheel.forms import Either, Element, Literal, Maybe, Part, pattern
from countwheel.model.node import Node
from countwheel.resolve.readers import _READERS
from countwheel.units import units
from countwheel.vocabulary import Entry, load

ROWS = grammar.rows("vocabulary.table")
WORDS = load()
DIMENSIONS = {unit.dimension for several in units().values() for unit in several}
PLACED = [(owner, entry) for entry in WORDS.entries for owner in entry.owners if not owner.startswith("set ")]
NAMES = [f"{owner}-{entry.word}" for owner, entry in PLACED]


def line_for(block: str) -> tuple[str, str]:
    """(owner, example line) of the word that opens a block."""
    entry = next(e for _, e in PLACED if e.block == block and block != "*")
    return entry.owners[0], entry.example


def described(owner: str, example: str) -> str:
    """The smallest description that has a line under that owner."""
    above: list[str] = []
    at = "clock" if owner == "*" else owner
    while at != "movement":
        home, line = line_for(at)
        if at == "entry":
            line = line_for("log")[1]
            home = "movement"
            example = f"2026-05-02 09:00 {example}"
        above.insert(0, line)
        at = home
    head = "" if example.startswith("countwheel") else "countwheel 1\n"
    return head + "".join("  " * depth + line + "\n" for depth, line in enumerate([*above, example]))


def amiss(result: Result) -> list[Diagnostic]:
    """What is wrong with words, values and numbers; that other facts are wanted beside them is not."""
    return [
        one
        for one in result.diagnostics
        if one.code[:2] in ("M1", "M2", "M3", "M7") and one.code != "M210" and one.code != "M701"
    ]


def found(result: Result, word: str) -> Node:
    assert result.clock is not None
    return [node for node in result.clock.root.walk() if node.word == word][-1]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0][:20]}-{row[1]}")
def test_every_row_is_well_formed(row: list[str]) -> None:
    assert len(row) == 7
    owners, word, _, need, example, meaning, also = row
    assert owners
    assert word
    assert all(owner.strip() for owner in owners.split(","))
    assert meaning, "every word has a meaning"
    assert not meaning.endswith(".")
    if owners.startswith("set "):
        assert not need
        assert not example
    else:
        assert example
        flags = need.split()
        assert flags[:1] == ["as"] or set(flags) <= {"wanted", "must", "together", "many", "label"}
        assert len(flags) == len(set(flags))
    assert all(name.strip() for name in also.split(",")) if also else True


def elements_of(elements: tuple[Element, ...]) -> Iterator[Element]:
    for element in elements:
        yield element
        if isinstance(element, Maybe):
            yield from elements_of(element.inside)
        elif isinstance(element, Either):
            for way in element.ways:
                yield from elements_of(way)


@pytest.mark.parametrize("entry", [e for e in WORDS.entries if e.takes], ids=lambda e: e.word)
def test_every_form_compiles_and_names_only_what_there_is(entry: Entry) -> None:
    names = Counter[str]()
    for element in elements_of(pattern(entry.takes)):
        if isinstance(element, Part):
            if element.kind == "choice":
                assert element.choice in WORDS.choices, element
            else:
                assert element.kind in DIMENSIONS or element.kind in _READERS, element
            names[element.name] += 1
        elif isinstance(element, Literal):
            assert element.word.isalpha(), element
    inside_either = any(isinstance(element, Either) for element in pattern(entry.takes))
    assert inside_either or all(number == 1 for number in names.values())


def test_every_owner_is_a_word_that_may_own_facts() -> None:
    blocks = {entry.block for entry in WORDS.entries} | {"movement", "*"}
    for owner in {owner for owner, _ in PLACED}:
        assert owner in blocks, owner


def test_no_spelling_means_two_words_under_one_owner() -> None:
    spellings = Counter(
        (owner, spelling.lower())
        for owner, entry in PLACED
        if entry.fixed
        for spelling in (entry.word, *entry.also)
    )
    assert not [twice for twice, number in spellings.items() if number > 1]
    everywhere = {spelling for owner, spelling in spellings if owner == "*"}
    # A log entry has its own `note`; it is never a fact under the entry.
    assert not [pair for pair in spellings if pair[1] in everywhere and pair[0] not in ("*", "entry")]


def test_no_spelling_means_two_of_one_choice() -> None:
    spellings = Counter(
        (owner, spelling.lower())
        for entry in WORDS.entries
        for owner in entry.owners
        if owner.startswith("set ")
        for spelling in (entry.word, *entry.also)
    )
    assert not [twice for twice, number in spellings.items() if number > 1]


def test_every_choice_is_used() -> None:
    used = {
        element.choice
        for entry in WORDS.entries
        for element in elements_of(pattern(entry.takes))
        if isinstance(element, Part)
    }
    assert set(WORDS.choices) <= used


def test_a_label_is_a_name() -> None:
    """A word that may be said several times by its label takes a name to be told apart by."""
    for entry in WORDS.entries:
        if entry.label and entry.many:
            kinds = {e.kind for e in elements_of(pattern(entry.takes)) if isinstance(e, Part)}
            assert kinds & {"name", "names"}, entry.word


@pytest.mark.parametrize(("owner", "entry"), PLACED, ids=NAMES)
def test_the_example_is_read_as_it_says(owner: str, entry: Entry) -> None:
    result = check_text(described(owner, entry.example), "x.movement")
    assert not amiss(result), (described(owner, entry.example), amiss(result))
    if entry.word == "<entry>":
        assert found(result, "entry").facts
        return
    node = found(result, entry.word)
    assert node.written.lower() in (entry.word.lower(), "")
    needed = {part.name for part in pattern(entry.takes) if isinstance(part, Part)}
    if owner != "entry":
        assert needed <= set(node.values)


SECOND = [(owner, entry, also) for owner, entry in PLACED for also in entry.also]


@pytest.mark.parametrize(
    ("owner", "entry", "also"), SECOND, ids=lambda x: x if isinstance(x, str) else x.word
)
def test_a_second_name_means_the_same_and_is_kept_as_written(owner: str, entry: Entry, also: str) -> None:
    assert entry.example.startswith(entry.word)
    result = check_text(described(owner, also + entry.example[len(entry.word) :]), "x.movement")
    assert not amiss(result)
    node = found(result, entry.word)
    assert node.written == also


# Choices that stand in no word's own example: owner, word, part, line.
ELSEWHERE = {
    "winding habits": ("clock", "wound", "how", "wound CHOICE"),
    "winding ways": ("train", "winding", "by", "winding by CHOICE"),
    "gear forms": ("arbor", "wheel", "form", "wheel CHOICE 96"),
    "stack metals": ("rod", "<member>", "material", "CHOICE 8 ft 2 in down"),
    "stack ways": ("rod", "<member>", "way", "iron 8 ft 2 in CHOICE"),
}


def place_of(choice: str) -> tuple[str, str, str, str]:
    """(owner, word, part, line with CHOICE in it) where a choice may stand."""
    if choice in ELSEWHERE:
        return ELSEWHERE[choice]
    for owner, entry in PLACED:
        for part in elements_of(pattern(entry.takes)):
            if isinstance(part, Part) and part.choice == choice:
                value = found(check_text(described(owner, entry.example)), entry.word).values.get(part.name)
                if value is not None:
                    return owner, entry.word, part.name, entry.example.replace(value.written, "CHOICE", 1)
    raise AssertionError(f"no example has one of the {choice}")


@pytest.mark.parametrize("choice", WORDS.choices)
def test_every_spelling_of_a_choice_is_read_as_its_word(choice: str) -> None:
    owner, word, part, line = place_of(choice)
    for spelling, meant in WORDS.choices[choice].items():
        result = check_text(described(owner, line.replace("CHOICE", spelling)), "x.movement")
        assert found(result, word).text(part=part) == meant.word, (line, spelling)
