"""The content tree as data for the template that sets the pages.

What has to be counted over every cell and line is counted here, since the template's own language is slow at it.
"""

from __future__ import annotations

import re
from dataclasses import fields
from functools import cache
from typing import Any

from countwheel.emit.document import Card, Cell, Document, Entry, Picture, Table, Text
from countwheel.emit.drawing import Drawing
from countwheel.emit.photo import Photo
from countwheel.emit.traversal import blocks

# A word of so many letters may be broken in a cell of a table; of so many, in a line of the page.
_IN_CELL, _IN_LINE = 16, 40
_LONG_WORD = {most: re.compile(rf"(\S{{{most},}})") for most in (_IN_CELL, _IN_LINE)}
_PIECE = re.compile(r"[^._@/]+[._@/]?|[._@/]")
_NARROW = (Cell, Card, Entry)
_PAGE = 70  # lines: a page or little more of sheets
_FEW = 12  # lines: too few for a page to themselves
_ROW = 1_200  # letters of a row: a longer one may not fit a page
_OTHER = 12  # letters that a part without any is as wide as


def as_data(part: Any, most: int = _IN_LINE) -> Any:
    """A part of the tree as plain lists, dictionaries, texts and numbers, each part with its `kind`.

    A `Text` is its text alone, but for words of `most` letters, which may be broken, and what is nothing but texts
    is one text. A picture keeps its id, title and words, since its drawing goes beside the tree. A cell says how
    `long` it is and whether it is a `gap` to write in; a table tells the same of its `columns`; a dense document has
    its chapters in `runs` that are set at a time.
    """
    kind: Any = type(part)
    if kind is str or kind is bool or kind is int:
        return part
    if kind is Text:
        text = part.text
        return _text(text, most) if len(text) >= most else text
    if kind is tuple:
        return _together(
            [one.text if type(one) is Text and len(one.text) < most else as_data(one, most) for one in part]
        )
    if kind is Drawing:
        return {"title": part.title, "alt": part.alt}
    if kind is Photo:
        return {"alt": part.alt}
    if kind in _NARROW:
        most = _IN_CELL
    data: dict[str, Any] = {}
    for name in _fields(kind):
        value = getattr(part, name)
        data[name] = value if type(value) is str else as_data(value, most)
    if kind is Cell:
        data["long"] = _long(data["parts"])
        data["gap"] = len(part.parts) == 1 and part.parts[0].kind == "blank"
    elif kind is Table:
        _measure(data)
    elif kind is Document:
        data["pictured"] = any(isinstance(one, Picture) for one in blocks(part))
        apart = part.dense and not part.paged
        data["runs"] = _runs(data["chapters"]) if apart else [data["chapters"]]
        del data["chapters"]
    return data


def _together(parts: list[Any]) -> list[Any] | str:
    """A list; where it is nothing but texts, one text."""
    return "".join(parts) if set(map(type, parts)) == {str} else parts


def _text(text: str, most: int) -> str | dict[str, Any]:
    """A text; one with a word of `most` letters in the parts that it may be broken between."""
    if not _LONG_WORD[most].search(text):
        return text
    pieces: list[str] = []
    for at, between in enumerate(_LONG_WORD[most].split(text)):  # the long words are every second
        pieces += _PIECE.findall(between) if at % 2 else [between]
    return {"kind": "long", "parts": pieces}


def _long(parts: Any) -> int:
    """How many letters wide something in a line is, roughly."""
    if isinstance(parts, str):
        return len(parts)
    if isinstance(parts, list):
        return sum(map(_long, parts))
    return _long(parts["parts"]) if "parts" in parts else _OTHER


def _measure(table: dict[str, Any]) -> None:
    """Says of each column how long its longest cell is, and whether some or all of it are gaps; of each row whether
    it is short enough to stand whole on a page.
    """
    columns = [[row[at] for row in table["rows"]] for at in range(len(table["heads"]))]
    table["columns"] = [
        {
            "longest": max((cell["long"] for cell in column), default=0),
            "gaps": any(cell["gap"] for cell in column),
            "open": all(cell["gap"] for cell in column),
        }
        for column in columns
    ]
    table["rows"] = [
        {"cells": row, "whole": sum(cell["long"] for cell in row) < _ROW} for row in table["rows"]
    ]


def _runs(chapters: list[Any]) -> list[list[Any]]:
    """The chapters by the pages that they have to themselves: each its own, but short ones in a row together, and one
    of a few lines with what stands before it.
    """
    runs: list[list[Any]] = []
    room = 0
    for chapter in chapters:
        lines = sum(map(_lines, chapter["blocks"]))
        if not runs or lines > max(room, _FEW):
            runs.append([])
            room = _PAGE
        runs[-1].append(chapter)
        room -= lines
    return runs


def _lines(block: dict[str, Any]) -> int:
    """How many lines a block of a dense document takes, roughly."""
    match block["kind"]:
        case "section":
            return 2 + sum(map(_lines, block["blocks"]))
        case "facts":
            return len(block["facts"])
        case "table":
            return 2 + 2 * len(block["rows"])
    return 3


@cache
def _fields(kind: Any) -> tuple[str, ...]:
    """What is kept of a part, its `kind` among it."""
    return tuple(field.name for field in fields(kind)) + (("kind",) if hasattr(kind, "kind") else ())
