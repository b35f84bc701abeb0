"""The vocabulary as a highlighter needs it: the words that begin a line, and what may stand behind each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import NamedTuple

from countwheel import grammar
from countwheel.forms import Either, Element, Literal, Maybe, Part, pattern
from countwheel.vocabulary import Entry, load

ENTRY = "entry"  # the owner of what happened, in a line of the log
NOTE = "Made from grammar/vocabulary.table and grammar/units.table; do not edit."
NONE = "no"  # before a word: there is no such part (`no minute hand`)


class Behind(NamedTuple):
    """What may stand behind a word: spellings of choices, fixed words, and what a free word is there.

    `names`: a free word is the name of a part. `paths`: it is a path to one. `plain`: it is neither.
    `claim`: all of it is a sentence (`expect`).
    """

    choices: frozenset[str]
    literals: frozenset[str]
    names: bool = False
    paths: bool = False
    plain: bool = False
    claim: bool = False


class Head(NamedTuple):
    """A spelling that begins a line. `part`: lines may stand under it. `opens`: it needs none of its own value."""

    spelling: str
    part: bool
    opens: bool
    behind: Behind


def _pieces(elements: Iterable[Element]) -> Iterator[Literal | Part]:
    for element in elements:
        if isinstance(element, Maybe):
            yield from _pieces(element.inside)
        elif isinstance(element, Either):
            for way in element.ways:
                yield from _pieces(way)
        else:
            yield element


@cache
def behind(takes: str) -> Behind:
    """What the form in a `takes` cell lets stand behind its word."""
    words = load()
    choices: set[str] = set()
    literals: set[str] = set()
    kinds: set[str] = set()
    for piece in _pieces(pattern(takes)):
        if isinstance(piece, Literal):
            literals.add(piece.word.lower())
        elif piece.kind == "choice":
            choices |= set(words.choices[piece.choice])
        else:
            kinds.add(piece.kind)
    if "claim" in kinds:
        choices |= set(words.choices["senses"]) | set(words.choices["directions"])
    names, paths = bool(kinds & {"name", "names"}), "path" in kinds
    plain = bool(kinds & {"words", "day"}) and not names and not paths
    return Behind(frozenset(choices), frozenset(literals), names, paths, plain, "claim" in kinds)


def joined(several: Iterable[Behind]) -> Behind:
    """What may stand behind a word that several owners have."""
    some = list(several)
    plain = any(one.plain for one in some)
    return Behind(
        frozenset().union(*(one.choices for one in some)),
        frozenset().union(*(one.literals for one in some)),
        # Where a word may be a name or not, its first owner in the vocabulary decides.
        any(one.names for one in some) and not some[0].plain,
        any(one.paths for one in some) and not plain,
        plain,
        any(one.claim for one in some),
    )


def _is_head(entry: Entry) -> bool:
    return entry.fixed and any(not owner.startswith("set ") and owner != ENTRY for owner in entry.owners)


def _opens(entry: Entry) -> bool:
    """Whether a line of this word is mostly the beginning of a block: it takes nothing, or only a name."""
    return load().may_own(entry.block) and all(
        isinstance(element, Maybe) or (isinstance(element, Part) and element.kind in ("name", "names"))
        for element in pattern(entry.takes)
    )


@cache
def heads() -> tuple[Head, ...]:
    """Every spelling that can begin a line, whatever its owner; those of more words first, then by the alphabet."""
    words = load()
    found: dict[str, list[Entry]] = {}
    for entry in filter(_is_head, words.entries):
        for spelling in (entry.word, *entry.also):
            found.setdefault(spelling, []).append(entry)
    made = [
        Head(
            spelling,
            any(words.may_own(entry.block) for entry in entries),
            any(_opens(entry) for entry in entries),
            joined(behind(entry.takes) for entry in entries),
        )
        for spelling, entries in found.items()
    ]
    return tuple(sorted(made, key=lambda head: (-len(head.spelling.split()), head.spelling)))


@cache
def alike() -> tuple[tuple[Head, ...], ...]:
    """The heads in groups behind which the same may stand, in the order in which these must be tried.

    A group has spellings of one number of words, and those of more come first: `turns of line` before `turns`.
    """
    found: dict[tuple[int, bool, Behind], list[Head]] = {}
    for head in heads():
        found.setdefault((len(head.spelling.split()), head.part, head.behind), []).append(head)
    return tuple(tuple(group) for group in found.values())


@cache
def events() -> tuple[tuple[str, ...], Behind]:
    """The words of what happened, in a line of the log, and what may stand behind any of them."""
    known = load().owners[ENTRY]
    return in_order(known), joined(behind(entry.takes) for entry in known.values())


def loose(owner: str) -> Behind:
    """What may stand in a line of `owner` that begins with no fixed word."""
    return behind(load().loose[owner].takes)


@cache
def every_choice() -> tuple[str, ...]:
    return in_order({word for known in load().choices.values() for word in known})


@cache
def every_literal() -> tuple[str, ...]:
    entries = load().entries
    return in_order({word for entry in entries for word in behind(entry.takes).literals if entry.takes})


@cache
def unit_forms() -> tuple[str, ...]:
    """Every unit as a keeper may write it, the longest first."""
    forms = {form for row in grammar.rows("units.table") for form in row[1].split(", ")}
    return tuple(sorted(forms, key=lambda form: (-len(form), form)))


def in_order(words: Iterable[str]) -> tuple[str, ...]:
    """Words in the order in which alternatives must be tried: those of more words first."""
    return tuple(sorted(words, key=lambda word: (-len(word.split()), word)))
