"""Places as the protocol counts them: lines from 0, columns in UTF-8, UTF-16 or UTF-32 units.

Language Server Protocol 3.17, "Position" and "PositionEncodingKind": a column past the end of a line is its end. Lines
end at `\\n`, `\\r\\n` and `\\r` only; the compiler's texts have them all made `\\n`, by which no line or column moves.
"""

from __future__ import annotations

from typing import Literal

from countwheel.source import Source

Encoding = Literal["utf-8", "utf-16", "utf-32"]


def width(text: str, encoding: Encoding) -> int:
    """How many units a text has."""
    if encoding == "utf-32" or text.isascii():
        return len(text)
    if encoding == "utf-8":
        return len(text.encode("utf-8", "surrogatepass"))
    return len(text) + sum(1 for letter in text if ord(letter) > 0xFFFF)


def _code_points(text: str, units: int, encoding: Encoding) -> int:
    """How many characters of a line begin before a column; one that the column splits is not passed."""
    if encoding == "utf-32" or text.isascii():
        return min(units, len(text))
    passed = 0
    for at, letter in enumerate(text):
        passed += width(letter, encoding)
        if passed > units:
            return at
    return len(text)


def position(source: Source, offset: int, encoding: Encoding) -> tuple[int, int]:
    """Line and column of a character offset."""
    line, column = source.place(offset)
    start = source.line_starts[line - 1]
    return line - 1, width(source.text[start : start + column - 1], encoding)


def offset(source: Source, line: int, column: int, encoding: Encoding) -> int:
    """The character offset of a place; what lies behind the last line is the end of the text."""
    starts = source.line_starts
    if line < 0:
        return 0
    if line >= len(starts):
        return len(source.text)
    start = starts[line]
    end = starts[line + 1] - 1 if line + 1 < len(starts) else len(source.text)
    return start + _code_points(source.text[start:end], max(column, 0), encoding)
