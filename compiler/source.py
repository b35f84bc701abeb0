"""Text, and places in it.

A place is a span: a file and two character offsets into its text. Lines,
columns and UTF-16 units are worked out only at the edge, when a person or an
editor must be told.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import NamedTuple


class Span(NamedTuple):
    """Characters `start` up to, not including, `end` of the text of `file`.

    `file` is the path as shown to people (relative to the description's own
    folder's parent or to where the command was called), never an absolute one.
    """

    file: str
    start: int
    end: int


class Place(NamedTuple):
    """Line and column as a person counts them: both from 1, columns in code points."""

    line: int
    column: int


class Source:
    """One file's text, with its line starts worked out on first use."""

    __slots__ = ("_starts", "file", "text")

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.text = text
        self._starts: list[int] | None = None

    def span(self, start: int, end: int) -> Span:
        return Span(self.file, start, end)

    @property
    def line_starts(self) -> list[int]:
        if self._starts is None:
            starts = [0]
            find = self.text.find
            at = find("\n")
            while at >= 0:
                starts.append(at + 1)
                at = find("\n", at + 1)
            self._starts = starts
        return self._starts

    def place(self, offset: int) -> Place:
        """Line and column of a character offset; an offset past the end is the end."""
        offset = max(0, min(offset, len(self.text)))
        line = bisect_right(self.line_starts, offset)
        return Place(line, offset - self.line_starts[line - 1] + 1)

    def line_text(self, line: int) -> str:
        """The text of a line (counted from 1) without its line end."""
        starts = self.line_starts
        end = starts[line] if line < len(starts) else len(self.text)
        return self.text[starts[line - 1] : end].rstrip("\r\n")
