"""Boxes and arrows: what a drawing holds, how large each box must be, and where the engine puts it.

All sizes are in points (1/72 in) at the size the drawing is printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from countwheel.emit.layout_engine import Places, lay_out
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

    `beside` puts the head level with the tail, on that side of it, instead of below it.
    Otherwise the arrow comes `into` the top of the head, or its right side.
    `main` links keep their boxes one under another in a straight column; a
    `branch` is one of several from the same box to like boxes, drawn square.
    """

    tail: str
    head: str
    tail_port: str = ""
    head_port: str = ""
    words: tuple[str, ...] = ()
    kind: Kind = "drives"
    dashed: bool = False
    beside: Literal["", "left", "right"] = ""
    into: Literal["top", "right"] = "top"
    main: bool = False
    branch: bool = False


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
    lines = tuple(
        (line, size, bold)
        for text, size, bold in _paragraphs(cell, room, tight)
        for line in wrap(text, size, room - 2 * SIDE, bold)
    )
    width = max((width_of(text, size, bold) for text, size, bold in lines), default=0.0) + 2 * SIDE
    height = sum(size * LEADING for _, size, _ in lines) + 2 * (UPRIGHT / 2 if tight else UPRIGHT)
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


def _widen(box: SizedBox, width: float) -> SizedBox:
    """The box at that width, each row's cells taking an equal part of what is added."""
    rows: list[tuple[SizedCell, ...]] = []
    for row in box.rows:
        spare = (width - sum(cell.width for cell in row)) / len(row)
        rows.append(tuple(replace(cell, width=cell.width + spare) for cell in row))
    return replace(box, rows=tuple(rows), width=width)


def _size_box(box: Box, room: float, tight: bool) -> SizedBox:
    rows: list[tuple[SizedCell, ...]] = []
    for row in filter(None, box.rows):
        cells = _size_row(row, room, tight)
        height = max(cell.height for cell in cells)
        rows.append(tuple(replace(cell, height=height) for cell in cells))
    width = max(sum(cell.width for cell in row) for row in rows)
    return _widen(SizedBox(box, tuple(rows), 0.0, sum(row[0].height for row in rows)), width)


def _size_link(link: Link, room: float) -> SizedLink:
    lines = tuple(line for words in link.words for line in wrap(words, SMALL, room))
    width = max((width_of(line, SMALL) for line in lines), default=0.0) + 2 * UPRIGHT
    return SizedLink(link, lines, width, len(lines) * SMALL * LEADING + UPRIGHT)


# -- places ------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Placed:
    """A graph with every size and place settled; `boxes` and `links` in the order given."""

    boxes: tuple[SizedBox, ...]
    links: tuple[SizedLink, ...]
    column: tuple[str, ...]
    places: Places


def _table(width: float, height: float, inside: str) -> str:
    return (
        f'<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0" FIXEDSIZE="TRUE" '
        f'WIDTH="{round(width)}" HEIGHT="{round(height)}">{inside}</TABLE>'
    )


def _label(box: SizedBox, ports: dict[tuple[str, str], str]) -> str:
    """An empty table of the box's own sizes, so that the engine knows where each port is."""
    rows = ""
    for row in box.rows:
        cells = ""
        for sized in row:
            port = ports.get((box.box.key, sized.cell.port), "")
            at = f'PORT="{port}" ' if port else ""
            cells += (
                f'<TD {at}FIXEDSIZE="TRUE" WIDTH="{round(sized.width)}" HEIGHT="{round(sized.height)}"></TD>'
            )
        rows += f"<TR><TD>{_table(box.width, row[0].height, f'<TR>{cells}</TR>')}</TD></TR>"
    return f"<{_table(box.width, box.height, rows)}>"


def dot_text(
    boxes: Sequence[SizedBox], links: Sequence[SizedLink], column: Sequence[str] = (), tight: bool = False
) -> str:
    """The graph as DOT: nodes `n0`, `n1`... and edges `e0`, `e1`... in the order given; sizes, no words."""
    from graphviz import Digraph  # type: ignore[import-untyped]

    node = {box.box.key: f"n{at}" for at, box in enumerate(boxes)}
    ports = {
        (box.box.key, cell.cell.port): f"p{row_at}_{cell_at}"
        for box in boxes
        for row_at, row in enumerate(box.rows)
        for cell_at, cell in enumerate(row)
        if cell.cell.port
    }
    graph = Digraph("drawing")
    apart = "0.15" if tight and column else "0.3"
    graph.attr(rankdir="LR" if column else "TB", nodesep=apart, ranksep="0.7" if column else "0.3")
    graph.attr("node", shape="plain")
    graph.attr("edge", arrowsize="0.7")
    straight = {key for link in links if link.link.main for key in (link.link.tail, link.link.head)}
    for box in boxes:
        group = {"group": "main"} if box.box.key in straight else {}
        graph.node(node[box.box.key], label=_label(box, ports), **group)

    def end(key: str, port: str, side: str) -> str:
        return ":".join(part for part in (node[key], ports.get((key, port), ""), side) if part)

    for at, sized in enumerate(links):
        link = sized.link
        attributes = {"id": f"e{at}"}
        if sized.lines:
            attributes["label"] = f"<{_table(sized.width, sized.height, '<TR><TD></TD></TR>')}>"
        if link.main:
            attributes["weight"] = "20"
        if link.beside == "left":
            # The engine puts the tail of a level link on the left: so it is given the wrong way round.
            ends = end(link.head, link.head_port, "e"), end(link.tail, link.tail_port, "w")
            attributes["dir"] = "back"
        elif link.beside or (column and not (link.tail in column and link.head in column)):
            ends = end(link.tail, link.tail_port, "e"), end(link.head, link.head_port, "w")
        else:
            side = "n" if link.into == "top" else "e"
            ends = end(link.tail, link.tail_port, "s"), end(link.head, link.head_port, side)
        graph.edge(*ends, **attributes)
    level = [(link.link.tail, link.link.head) for link in links if link.link.beside]
    for keys in (*level, column):
        with graph.subgraph() as same:
            same.attr(rank="same")
            for key in keys:
                same.node(node[key])
    return str(graph.source)


@dataclass(frozen=True, slots=True)
class Sized:
    """A graph whose boxes have their sizes and not yet their places."""

    boxes: tuple[SizedBox, ...]
    links: tuple[SizedLink, ...]
    column: tuple[str, ...]
    tight: bool

    def at_least(self) -> tuple[float, float]:
        """A width and a height that no layout of it can be smaller than."""
        if self.column:
            beside = [box for box in self.boxes if box.box.key not in self.column]
            column = [box for box in self.boxes if box.box.key in self.column]
            wide = sum(max((box.width for box in part), default=0.0) for part in (beside, column))
            return wide, max(sum(box.height for box in part) for part in (beside, column))
        chain = {key for one in self.links if one.link.main for key in (one.link.tail, one.link.head)}
        high = sum(box.height for box in self.boxes if box.box.key in chain)
        high += sum(one.height for one in self.links if one.link.main)
        return max(box.width for box in self.boxes), max(high, *(box.height for box in self.boxes))


def size_graph(graph: Graph, room: float, tight: bool = False) -> Sized:
    """Sizes every box for lettering no wider than `room`; `tight` saves height."""
    # Beside a column of boxes the rest wants the room, and looks best all of one width.
    boxes = tuple(
        _size_box(box, room * 0.55 if box.key in graph.column else room, tight) for box in graph.boxes
    )
    if graph.column:
        width = max((box.width for box in boxes if box.box.key not in graph.column), default=0.0)
        boxes = tuple(box if box.box.key in graph.column else _widen(box, width) for box in boxes)
    links = tuple(_size_link(link, max(room * 0.7, 80.0)) for link in graph.links)
    return Sized(boxes, links, graph.column, tight)


def place(sized: Sized) -> Placed:
    """Lays the graph out. Raises NoLayoutEngine where no engine can be run."""
    from countwheel.emit.graph_routes import level

    places = lay_out(dot_text(sized.boxes, sized.links, sized.column, sized.tight))
    return level(Placed(sized.boxes, sized.links, sized.column, places))
