"""A description as written: logical lines in a tree, with comments and blank lines kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field


@dataclass(slots=True)
class Item:
    """One piece of a line. `start` and `end` are offsets in the file.

    kind: word, text, block, number, measure, range, unknown, tolerance, date, time, comma, dot.
    `text` is the piece as written, except for `text` and `block`: what is between the quotes.
    `parts` holds the (kind, text, start, end) of what it is made of: numbers, units, keywords.
    """

    kind: str
    text: str
    start: int
    end: int
    parts: tuple[tuple[str, str, int, int], ...] = ()


@dataclass(slots=True)
class Clause:
    """One clause of evidence: `kind` is known, on, by, from, lost, perhaps or doubted."""

    kind: str
    text: str
    start: int
    end: int


@dataclass(slots=True, eq=False)
class Line:
    """One logical line. `start` and `end` are offsets of its content, indentation and comment left out.

    `comments` are the whole-line comments just above it, `comment` the one
    behind it; `blanks` counts the empty lines above. `block` is the text
    between triple quotes. `broken` is True where the line could not be read:
    its fault has been reported, its children are kept. `odd` is True where its
    indentation fitted nothing (reported too): `indent` is then where it was put.
    """

    indent: int
    content: str
    start: int
    end: int
    comment: str = ""
    comments: tuple[str, ...] = ()
    blanks: int = 0
    block: str | None = None
    block_end: int = 0
    broken: bool = False
    odd: bool = False
    items: list[Item] = field(default_factory=list)
    clauses: list[Clause] = field(default_factory=list)
    children: list[Line] = field(default_factory=list)


@dataclass(slots=True)
class Tree:
    """A file as written. `tail` holds comments after the last line; `newline` the file's own line end."""

    file: str
    lines: list[Line]
    tail: tuple[str, ...] = ()
    newline: str = "\n"

    def walk(self) -> Iterator[Line]:
        """Every line, in the order written; by a stack of our own, since nesting may be deep."""
        waiting = self.lines[::-1]
        while waiting:
            line = waiting.pop()
            yield line
            waiting.extend(reversed(line.children))
