"""How a value is written: the `takes` column of the vocabulary, compiled.

`{name:kind}` is a part, `[..]` may be left out, `(a / b)` is one or the other,
other words stand for themselves.
"""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple


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


@cache
def parts(takes: str) -> tuple[Part, ...]:
    """Every part that a value of this form may have, in its order."""
    found: list[Part] = []

    def gather(elements: tuple[Element, ...]) -> None:
        for element in elements:
            if isinstance(element, Part):
                found.append(element)
            elif isinstance(element, Maybe):
                gather(element.inside)
            elif isinstance(element, Either):
                for way in element.ways:
                    gather(way)

    gather(pattern(takes))
    return tuple(found)


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
