"""One fact of the description, resolved: a word of the vocabulary, its values, its own facts.

A description is a tree of these. What words there are, what each takes and
who may own it stand in the vocabulary; this type only holds what was said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import TypeVar

from countwheel.model.values import (
    UNSTATED,
    AnyValue,
    Count,
    Counts,
    Evidence,
    Frozen,
    Number,
    Quantity,
    Text,
    Unknown,
    Value,
    Words,
)
from countwheel.source import Span
from pydantic import Field

V = TypeVar("V", bound=Value)


@lru_cache(maxsize=2048)
def slug(name: str) -> str:
    """A name as it stands in a path: lower case, other signs than letters and figures made `_`."""
    return re.sub(r"\W+", "_", name.lower()).strip("_")


class Node(Frozen):
    """A fact. `word` is the vocabulary's first name for it, `written` the keeper's own.

    `values` holds the parts of the line by name; the main one is called
    `value`. `label` names one of several (`arbor third`, `dial north`).
    `others` are further recorded values of the same fact, less preferred.
    `path` is the public name: `going.barrel.weight`.
    """

    word: str
    written: str
    path: str
    span: Span
    word_span: Span
    label: str | None = None
    values: dict[str, AnyValue] = Field(default_factory=dict)
    evidence: Evidence = UNSTATED
    facts: tuple[Node, ...] = ()
    others: tuple[Node, ...] = ()

    # -- finding facts -------------------------------------------------
    def get(self, *words: str) -> Node | None:
        """The first fact reached by following `words` down, or None where one is not stated."""
        at: Node | None = self
        for word in words:
            at = next((fact for fact in at.facts if fact.word == word), None) if at else None
        return at

    def all(self, word: str) -> tuple[Node, ...]:
        """Every fact of that word, in the order written."""
        return tuple(fact for fact in self.facts if fact.word == word)

    def walk(self) -> Iterator[Node]:
        """This fact and all below it, in the order written (alternatives left out)."""
        yield self
        for fact in self.facts:
            yield from fact.walk()

    # -- reading values ------------------------------------------------
    @property
    def value(self) -> Value | None:
        return self.values.get("value")

    def part(self, name: str, of: type[V]) -> V | None:
        """The part `name` where it is of that type; None where absent, unknown or of another type."""
        value = self.values.get(name)
        return value if isinstance(value, of) else None

    def quantity(self, word: str | None = None, part: str = "value") -> Quantity | None:
        node = self if word is None else self.get(word)
        return node.part(part, Quantity) if node else None

    def count(self, word: str | None = None, part: str = "value") -> int | None:
        node = self if word is None else self.get(word)
        value = node.part(part, Count) if node else None
        return value.value if value else None

    def number(self, word: str | None = None, part: str = "value") -> float | None:
        """A plain number, whole or not."""
        node = self if word is None else self.get(word)
        if node is None:
            return None
        value = node.values.get(part)
        return float(value.value) if isinstance(value, (Number, Count)) else None

    def counts(self, word: str | None = None, part: str = "value") -> tuple[int, ...]:
        node = self if word is None else self.get(word)
        value = node.part(part, Counts) if node else None
        return value.values if value else ()

    def text(self, word: str | None = None, part: str = "value") -> str | None:
        node = self if word is None else self.get(word)
        if node is None:
            return None
        value = node.values.get(part)
        return value.text if isinstance(value, (Words, Text)) else None

    def says(self, word: str) -> bool:
        """Whether a bare word stands here (`anticlockwise`)."""
        return self.get(word) is not None

    def denies(self, word: str) -> bool:
        """Whether the description says that there is none (`no minute hand`)."""
        node = self.get(word)
        return node is not None and node.value is not None and node.value.kind == "absent"  # type: ignore[attr-defined]

    @property
    def is_unknown(self) -> bool:
        return isinstance(self.value, Unknown)
