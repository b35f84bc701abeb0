"""Boxes and arrows: what a drawing holds, and how large each box must be.

All sizes are in points (1/72 in) at the size the drawing is printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from countwheel.emit.lettering import width_of, wrap

Outline = Literal["square", "round", "weight"]
#: `drives` carries power through teeth, `line` through a line, `leads` carries it on otherwise,
#: `lets off` carries none.
Kind = Literal["drives", "line", "leads", "lets off"]

#: Sizes of lettering: an ordinary line, a name, the words beside an arrow and in the legend.
TEXT, NAME, SMALL = 9.0, 10.5, 8.5
#: From line to line, as a multiple of the size.
LEADING = 1.25
#: Clear space between lettering and the edge of its cell, sideways and up and down.
SIDE, UPRIGHT = 6.0, 4.0
#: The length of an arrow's head.
ARROW = 7.0
#: No cell is made narrower than this.
LEAST_CELL = 72.0
#: How much farther a dashed line keeps its lettering off: it runs inside the cell's own.
DASHED = 3.0
#: The length of an arrow between a box and one that stands beside it.
BESIDE = 22.0


@dataclass(frozen=True, slots=True)
class Cell:
    """A part of a box: paragraphs one under another, the first in bold where it is a `name`.

    `port` is a key that links fasten to; `dashed` marks what is unknown or assumed.
    """

    paragraphs: tuple[str, ...]
    port: str = ""
    name: bool = False
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Box:
    """A part of the clock: rows of cells. `about` is its path and name, shown where a pointer rests."""

    key: str
    rows: tuple[tuple[Cell, ...], ...]
    about: str = ""
    outline: Outline = "square"
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """An arrow from one box (at a port of it) to another, with a few lines beside it.

    `beside` puts one end level with the other instead of below it: the head on that side of
    the tail or, where it `arrives`, the tail on that side of the head. A box can have one such
    companion on each side. `main` links keep their boxes one under another in a straight
    column; a `branch` is one of several from the same box to like boxes, drawn square. One
    that is `hidden` only keeps its head below its tail.
    """

    tail: str
    head: str
    tail_port: str = ""
    head_port: str = ""
    words: tuple[str, ...] = ()
    kind: Kind = "drives"
    dashed: bool = False
    beside: Literal["", "left", "right"] = ""
    arrives: bool = False
    main: bool = False
    branch: bool = False
    hidden: bool = False

    @property
    def anchor(self) -> tuple[str, str]:
        """The box and port that the other end stands beside."""
        return (self.head, self.head_port) if self.arrives else (self.tail, self.tail_port)

    @property
    def companion(self) -> tuple[str, str]:
        """The box and port that stand beside the anchor."""
        return (self.tail, self.tail_port) if self.arrives else (self.head, self.head_port)


@dataclass(frozen=True, slots=True)
class Graph:
    """Boxes and links. `column` names boxes that stand one under another with the rest to their right;
    where it is empty, links run down the page."""

    boxes: tuple[Box, ...]
    links: tuple[Link, ...]
    column: tuple[str, ...] = ()


# -- sizes -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SizedCell:
    """A cell with its lines broken and its size settled. `lines` are (text, size, bold)."""

    cell: Cell
    lines: tuple[tuple[str, float, bool], ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class SizedBox:
    box: Box
    rows: tuple[tuple[SizedCell, ...], ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class SizedLink:
    link: Link
    lines: tuple[str, ...]
    width: float
    height: float


def _paragraphs(cell: Cell, room: float, tight: bool) -> list[tuple[str, float, bool]]:
    """What goes on lines of its own, with size and boldness; `tight` joins short ones while they fit."""
    out: list[tuple[str, float, bool]] = []
    for at, text in enumerate(cell.paragraphs):
        strong = cell.name and at == 0
        if tight and out and not out[-1][2]:
            longer = f"{out[-1][0]}{'' if out[-1][0].endswith(':') else ','} {text}"
            if width_of(longer, TEXT) <= room - 2 * SIDE:
                out[-1] = longer, TEXT, False
                continue
        out.append((text, NAME if strong else TEXT, strong))
    return out


def _size_cell(cell: Cell, room: float, tight: bool) -> SizedCell:
    more = DASHED if cell.dashed else 0.0
    side, upright = SIDE + more, (UPRIGHT / 2 if tight else UPRIGHT) + more
    lines = tuple(
        (line, size, bold)
        for text, size, bold in _paragraphs(cell, room, tight)
        for line in wrap(text, size, room - 2 * side, bold)
    )
    width = max((width_of(text, size, bold) for text, size, bold in lines), default=0.0) + 2 * side
    height = sum(size * LEADING for _, size, _ in lines) + 2 * upright
    return SizedCell(cell, lines, width, height)


def _shares(wanted: Sequence[float], room: float) -> list[float]:
    """The widths of a row's cells: what each wants where that fits, else the widest give way first."""
    if sum(wanted) <= room:
        return list(wanted)
    cap, left, spare = 0.0, len(wanted), room
    for width in sorted(wanted):
        cap = spare / left
        if width <= cap:
            spare -= width
            left -= 1
    return [min(width, max(cap, LEAST_CELL)) for width in wanted]


def _size_row(row: Sequence[Cell], room: float, tight: bool) -> list[SizedCell]:
    wanted = [_size_cell(cell, room, tight).width for cell in row]
    return [_size_cell(cell, share, tight) for cell, share in zip(row, _shares(wanted, room), strict=True)]


def widen(box: SizedBox, width: float) -> SizedBox:
    """The box at that width, each row's cells taking an equal part of what is added."""
    rows: list[tuple[SizedCell, ...]] = []
    for row in box.rows:
        spare = (width - sum(cell.width for cell in row)) / len(row)
        rows.append(tuple(replace(cell, width=cell.width + spare) for cell in row))
    return replace(box, rows=tuple(rows), width=width)


def size_box(box: Box, room: float, tight: bool) -> SizedBox:
    rows: list[tuple[SizedCell, ...]] = []
    for row in filter(None, box.rows):
        cells = _size_row(row, room, tight)
        height = max(cell.height for cell in cells)
        rows.append(tuple(replace(cell, height=height) for cell in cells))
    width = max(sum(cell.width for cell in row) for row in rows)
    return widen(SizedBox(box, tuple(rows), 0.0, sum(row[0].height for row in rows)), width)


def size_link(link: Link, room: float) -> SizedLink:
    lines = tuple(line for words in link.words for line in wrap(words, SMALL, room))
    width = max((width_of(line, SMALL) for line in lines), default=0.0) + 2 * UPRIGHT
    return SizedLink(link, lines, width, len(lines) * SMALL * LEADING + UPRIGHT)
