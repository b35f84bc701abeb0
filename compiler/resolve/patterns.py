"""How a value is written, compiled from the `takes` column of the vocabulary and matched with backtracking.

`{name:kind}` is a part, `[..]` may be left out, `(a / b)` is one or the other,
other words stand for themselves. The first way through that uses up the line wins;
where there is none, the fault that lies furthest along the line is reported.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic
from countwheel.model.values import AnyValue
from countwheel.source import Source
from countwheel.syntax.tree import Item


class Literal(NamedTuple):
    word: str


class Part(NamedTuple):
    """A named part of the value. `choice` is the name of a closed set, where `kind` is 'choice'."""

    name: str
    kind: str
    choice: str = ""


class Maybe(NamedTuple):
    inside: tuple[Element, ...]


class Either(NamedTuple):
    ways: tuple[tuple[Element, ...], ...]


Element = Literal | Part | Maybe | Either

_PIECE = re.compile(r"\{([^}]*)\}|([\[\]()/])|([^\s\[\](){}/]+)")


@cache
def pattern(takes: str) -> tuple[Element, ...]:
    """The compiled form of a `takes` cell."""
    pieces = list(_PIECE.finditer(takes))
    elements, at = _sequence(pieces, 0)
    assert at == len(pieces), f"stray bracket in {takes!r}"
    return elements


def _sequence(pieces: list[re.Match[str]], at: int) -> tuple[tuple[Element, ...], int]:
    found: list[Element] = []
    while at < len(pieces):
        inside, mark, word = pieces[at].groups()
        if mark in ("]", ")", "/"):
            break
        if mark == "[":
            body, at = _sequence(pieces, at + 1)
            found.append(Maybe(body))
        elif mark == "(":
            ways = []
            while True:
                body, at = _sequence(pieces, at + 1)
                ways.append(body)
                if pieces[at][2] == ")":
                    break
            found.append(Either(tuple(ways)))
        elif inside is not None:
            name, _, kind = inside.rpartition(":")
            if kind.startswith("<"):
                found.append(Part(name or "value", "choice", kind[1:-1]))
            else:
                found.append(Part(name or "value", kind))
        else:
            found.append(Literal(word))
        at += 1
    return tuple(found), at


def form(takes: str) -> str:
    """A `takes` cell as a keeper would read it: `COUNT drives COUNT`."""

    def show(elements: tuple[Element, ...]) -> str:
        words = []
        for element in elements:
            if isinstance(element, Literal):
                words.append(element.word)
            elif isinstance(element, Maybe):
                words.append(f"[{show(element.inside)}]")
            elif isinstance(element, Either):
                words.append("(" + " or ".join(show(way) for way in element.ways) + ")")
            else:
                words.append(
                    (element.name if element.name != "value" else element.choice or element.kind).upper()
                )
        return " ".join(words)

    return show(pattern(takes))


class Reading(NamedTuple):
    """A way through a pattern: the values by part, and what is amiss with them (a zero count...)."""

    values: dict[str, AnyValue]
    report: tuple[Diagnostic, ...] = ()


@dataclass(slots=True)
class Attempt:
    """One line being matched. `worst` is the fault farthest along, of these the most telling.

    A fault is kept as a function that makes its diagnostic: most ways that fail
    are followed by one that does not, and then nobody asks.
    """

    source: Source
    items: list[Item]
    word: str
    end: int
    worst: tuple[int, int, Callable[[], Diagnostic]] | None = None

    def fault(self, at: int, telling: int, diagnostic: Callable[[], Diagnostic]) -> None:
        if self.worst is None or (at, telling) > self.worst[:2]:
            self.worst = (at, telling, diagnostic)

    def span_of(self, at: int) -> tuple[int, int]:
        """Offsets of item `at`, or of the end of the line."""
        if at < len(self.items):
            return self.items[at].start, self.items[at].end
        return self.end, self.end


def ways(attempt: Attempt, elements: tuple[Element, ...], at: int) -> Iterator[tuple[int, Reading]]:
    """Every way of reading `elements` from item `at` on, the preferred first."""
    if not elements:
        yield at, Reading({})
        return
    first, rest = elements[0], elements[1:]
    for after, reading in _one(attempt, first, at):
        for end, more in ways(attempt, rest, after):
            yield end, Reading(reading.values | more.values, reading.report + more.report)


def _one(attempt: Attempt, element: Element, at: int) -> Iterator[tuple[int, Reading]]:
    from countwheel.resolve.readers import read

    if isinstance(element, Literal):
        items = attempt.items
        if at < len(items) and items[at].kind == "word" and items[at].text.lower() == element.word.lower():
            yield at + 1, Reading({})
        else:
            attempt.fault(at, 0, lambda: _expected(attempt, at, f"`{element.word}`"))
    elif isinstance(element, Maybe):
        yield from ways(attempt, element.inside, at)
        yield at, Reading({})
    elif isinstance(element, Either):
        for way in element.ways:
            yield from ways(attempt, way, at)
    else:
        for after, value, report in read(attempt, element, at):
            yield after, Reading({element.name: value}, report)


def _expected(attempt: Attempt, at: int, what: str) -> Diagnostic:
    from countwheel.diagnostics.registry import say

    start, end = attempt.span_of(at)
    span = attempt.source.span(start, end)
    if at >= len(attempt.items):
        return say("M205", span, f"Here {what} is missing.", label="missing here")
    return say("M205", span, f"Here {what} was expected.", label=f"not {what}")
