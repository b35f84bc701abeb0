"""Places in the description, there or not, from which a figure takes its facts."""

from __future__ import annotations

import re

from countwheel.figures.terms import Term, fact_term
from countwheel.model.node import Node


def child_path(path: str, *words: str) -> str:
    """The path of a fact that is not stated: its owner's path and its own words."""
    return ".".join([path, *(re.sub(r"\W+", "_", word.lower()).strip("_") for word in words)])


class At:
    """A place in the description, there or not: facts below it are asked for by their word."""

    __slots__ = ("node", "path")

    def __init__(self, node: Node | None, path: str, several: int = 0) -> None:
        self.node = node
        self.path = node.path if node is not None else path
        if several:
            self.path += f" ({several})"

    def at(self, *words: str) -> At:
        found = self.node.get(*words) if self.node is not None else None
        return At(found, child_path(self.path, *words))

    def has(self, *words: str) -> bool:
        """Whether something is stated there that is not 'there is none'."""
        node = self.at(*words).node
        return node is not None and getattr(node.value, "kind", "") != "absent"

    def term(self, word: str, what: str, unit: str, part: str = "value") -> Term:
        """The fact of that word as a term; it waits where the fact is missing or unknown."""
        return self.at(word).own(what, unit, part)

    def own(self, what: str, unit: str, part: str = "value") -> Term:
        return fact_term(self.node, self.path, what, unit, part, key=self.path)

    def all(self, word: str) -> tuple[At, ...]:
        """Every fact of that word; where several share one path, each is told by its number."""
        found = self.node.all(word) if self.node is not None else ()
        shared = [sum(other.path == one.path for other in found) > 1 for one in found]
        return tuple(At(one, one.path, i + 1 if shared[i] else 0) for i, one in enumerate(found))

    def text(self, word: str | None = None, part: str = "value") -> str | None:
        return self.node.text(word, part) if self.node is not None else None
