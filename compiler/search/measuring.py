"""Where and how a fact is found out at the clock, read from `grammar/measuring.table`."""

from __future__ import annotations

import math
from functools import cache
from typing import NamedTuple

from countwheel import grammar

ELSEWHERE = "at the movement"


class Means(NamedTuple):
    """What is needed, how long it takes (min), and the half-width that can be had, in SI; nothing for a count."""

    needed: str
    minutes: int
    absolute: float
    relative: float

    @property
    def any(self) -> bool:
        """Whether it can be found out at the clock at all."""
        return self.needed != "-"

    def half_width(self, value: float) -> float:
        """What can be had for a value in SI."""
        return max(self.absolute, self.relative * abs(value))


class _Tables(NamedTuple):
    places: dict[str, str]
    means: dict[str, list[tuple[float, Means]]]
    goes: frozenset[str]


@cache
def _tables() -> _Tables:
    places: dict[str, str] = {}
    means: dict[str, list[tuple[float, Means]]] = {}
    goes: frozenset[str] = frozenset()
    for kind, *cells in grammar.rows("measuring.table"):
        if kind == "goes":
            goes |= {word.strip() for word in cells[0].split(",")}
        elif kind == "at":
            words, where = cells
            places |= {word.strip(): where for word in words.split(",")}
        else:
            word, up_to, needed, minutes, best = cells
            relative = float(best.rstrip(" %")) / 100 if best.endswith("%") else 0.0
            absolute = 0.0 if best.endswith("%") else float(best)
            limit = float(up_to) if up_to else math.inf
            means.setdefault(word, []).append((limit, Means(needed, int(minutes), absolute, relative)))
    return _Tables(places, means, goes)


def place(words: tuple[str, ...]) -> str:
    """Where the keeper stands for a fact, by the words on the way to it, its own last."""
    places = _tables().places
    return next((places[word] for word in reversed(words) if word in places), ELSEWHERE)


def is_known(kind: str) -> bool:
    """Whether the table tells how a value of that kind is found out."""
    return kind in _tables().means


def needs_going(word: str) -> bool:
    """Whether a fact of that word can be found out only while the clock goes."""
    return word in _tables().goes


def means(word: str, kind: str, value: float = 0.0) -> Means:
    """What is needed for a fact of that word, else of that kind of value; `value` in SI tells small from large."""
    table = _tables().means
    rows = table.get(word) or table.get(kind) or table["text"]
    return next(found for limit, found in rows if abs(value) <= limit)
