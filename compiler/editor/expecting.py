"""What may come next in a line, by the form of its word and the pieces that stand in it already."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from countwheel.forms import Either, Element, Literal, Maybe, Part
from countwheel.syntax.tree import Item
from countwheel.vocabulary import Vocabulary

_ONE = {
    "count": ("number", "unknown"),
    "number": ("number", "unknown"),
    "name": ("word", "text", "number"),
    "text": ("text", "block", "unknown"),
    "path": ("word", "unknown"),
    "date": ("date", "number", "unknown"),
    "time of day": ("time",),
}
_RUNS = ("words", "any", "claim", "events", "changes")
_LISTS = {"names": ("word", "text", "number"), "counts": ("number", "unknown")}


class Next(NamedTuple):
    """What may follow: a word or a part of the value. `begun` are the pieces of that part which stand already."""

    element: Literal | Part
    begun: tuple[Item, ...] = ()


def expected(
    elements: tuple[Element, ...], items: list[Item], words: Vocabulary
) -> tuple[tuple[Next, ...], bool]:
    """What may follow the items, each once, and whether the value may end there."""
    found: dict[tuple[Literal | Part, int], Next] = {}
    whole = False
    for following in _following(elements, items, 0, words):
        if following is None:
            whole = True
        else:
            found.setdefault((following.element, len(following.begun)), following)
    return tuple(found.values()), whole


def _following(
    elements: tuple[Element, ...], items: list[Item], at: int, words: Vocabulary
) -> Iterator[Next | None]:
    """What may follow once the items are used up; None where the value may end."""
    if not elements:
        if at == len(items):
            yield None
        return
    first, rest = elements[0], elements[1:]
    if isinstance(first, Maybe):
        yield from _following(first.inside + rest, items, at, words)
        yield from _following(rest, items, at, words)
    elif isinstance(first, Either):
        for way in first.ways:
            yield from _following(way + rest, items, at, words)
    elif at == len(items):
        yield Next(first)
    elif isinstance(first, Literal):
        if items[at].text.lower() == first.word.lower():
            yield from _following(rest, items, at + 1, words)
    else:
        if _goes_on(first, items[at:], words):
            yield Next(first, tuple(items[at:]))
        for stop in _ends(first, items, at, words):
            yield from _following(rest, items, stop, words)


def _goes_on(part: Part, items: list[Item], words: Vocabulary) -> bool:
    """Whether the rest of the line is the beginning of that part."""
    if part.kind in _RUNS:
        return True
    if part.kind == "choice":
        spelt = " ".join(item.text.lower() for item in items) + " "
        return any(spelling.startswith(spelt) for spelling in words.choices[part.choice])
    if part.kind in _LISTS:
        return items[-1].kind == "comma"
    if part.kind in _ONE:
        return False
    return all(item.kind in ("measure", "number") for item in items) and items[-1].kind == "number"


def _ends(part: Part, items: list[Item], at: int, words: Vocabulary) -> Iterator[int]:
    """Where a part that begins at an item may end, the longest first."""
    kind = part.kind
    if kind in _ONE:
        if items[at].kind in _ONE[kind]:
            yield _tolerance(items, at + 1)
    elif kind in _LISTS:
        stop = at
        while stop < len(items) and items[stop].kind in _LISTS[kind]:
            yield stop + 1
            stop += 1
            if stop < len(items) and items[stop].kind == "comma":
                stop += 1
    elif kind == "choice":
        for stop in range(len(items), at, -1):
            if " ".join(item.text.lower() for item in items[at:stop]) in words.choices[part.choice]:
                yield stop
    elif kind == "day":
        yield from range(min(at + 2, len(items)), at, -1)
    elif kind in _RUNS:
        yield from range(len(items), at, -1)
    else:  # a measure, perhaps of several units
        stop = at
        while stop < len(items) and items[stop].kind in ("measure", "unknown", "range"):
            stop += 1
        if stop > at:
            yield _tolerance(items, stop)


def _tolerance(items: list[Item], at: int) -> int:
    return at + 1 if at < len(items) and items[at].kind == "tolerance" else at
