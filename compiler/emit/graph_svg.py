"""A placed graph as an SVG document: 170 mm wide, black on white, lettering as text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product
from xml.etree import ElementTree as ET

from countwheel.emit.graph import (
    LEADING,
    SMALL,
    UPRIGHT,
    Graph,
    Kind,
    SizedBox,
    SizedLink,
)
from countwheel.emit.graph_places import Placed, Sized, place, size_graph
from countwheel.emit.layout_engine import Point
from countwheel.emit.lettering import clean, width_of, wrap

POINT_IN_MM = 25.4 / 72
#: What fits on a page of A4 with margins of 20 mm at the sides and room for a heading and a caption.
PAGE_WIDTH, PAGE_HEIGHT = 170 / POINT_IN_MM, 235 / POINT_IN_MM
#: The smallest lettering that is still read at arm's length, in points.
LEAST_LETTERING = 7.0
#: Small drawings are not blown up beyond this.
MOST_SCALE = 1.1
_MORE = 0.005  # what is larger by less is no better
#: A layout that needs no more shrinking than this is taken as it is.
ENOUGH_SCALE = 0.92
#: Widths of lettering tried until the drawing fits, the roomy ones (the first four) in every way first.
ROOMS = (300.0, 250.0, 200.0, 165.0, 135.0, 110.0, 90.0)

FONT = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"
_MARGIN = 4.0
_DASH = "5 3"
_DOTS = "1 3"


@dataclass(frozen=True, slots=True)
class Words:
    """What a drawing is called and what stands for it where it cannot be seen; `notes` go under it."""

    id: str
    title: str
    alt: str
    notes: tuple[str, ...] = ()


def number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def page(words: Words, height: float) -> ET.Element:
    """An empty page 170 mm wide and `height` points tall, white, with its title and its description."""
    svg = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg", "version": "1.1", "role": "img",
            "aria-labelledby": f"{words.id}-title {words.id}-desc",
            "width": "170mm", "height": f"{number(height * POINT_IN_MM)}mm",
            "viewBox": f"0 0 {number(PAGE_WIDTH)} {number(height)}",
            "font-family": FONT,
        },
    )  # fmt: skip
    ET.SubElement(svg, "title", {"id": f"{words.id}-title"}).text = clean(words.title)
    ET.SubElement(svg, "desc", {"id": f"{words.id}-desc"}).text = clean(words.alt)
    ET.SubElement(svg, "rect", {"width": "100%", "height": "100%", "fill": "white"})
    return svg


def as_text(svg: ET.Element) -> str:
    """The whole document, a line an element, the same every time."""
    ET.indent(svg, " ")
    return ET.tostring(svg, encoding="unicode") + "\n"


class _Pen:
    """Writes SVG elements, taking places in the graph's points and scaling them to the page."""

    def __init__(self, scale: float, left: float, top: float) -> None:
        self.scale, self.left, self.top = scale, left, top

    def at(self, point: Point) -> str:
        return f"{self.x(point[0])},{self.y(point[1])}"

    def x(self, value: float) -> str:
        return number(self.left + value * self.scale)

    def y(self, value: float) -> str:
        return number(self.top + value * self.scale)

    def long(self, value: float) -> str:
        return number(value * self.scale)

    def rectangle(
        self,
        onto: ET.Element,
        box: tuple[float, float, float, float],
        line: float,
        dash: str = "",
        round_: float = 0,
    ) -> None:
        left, top, width, height = box
        marks = {
            "x": self.x(left), "y": self.y(top), "width": self.long(width), "height": self.long(height),
            "fill": "none", "stroke": "black", "stroke-width": number(line),
        }  # fmt: skip
        if round_:
            marks["rx"] = self.long(round_)
        if dash:
            marks["stroke-dasharray"] = dash
        ET.SubElement(onto, "rect", marks)

    def line(self, onto: ET.Element, points: str, width: float, dash: str = "") -> None:
        marks = {"d": points, "fill": "none", "stroke": "black", "stroke-width": number(width)}
        if dash:
            marks["stroke-dasharray"] = dash
        if dash == _DOTS:
            marks["stroke-linecap"] = "round"
        ET.SubElement(onto, "path", marks)

    def text(
        self,
        onto: ET.Element,
        point: Point,
        words: str,
        size: float,
        bold: bool = False,
        anchor: str = "middle",
    ) -> None:
        marks = {"x": self.x(point[0]), "y": self.y(point[1]), "font-size": self.long(size)}
        if anchor != "start":
            marks["text-anchor"] = anchor
        if bold:
            marks["font-weight"] = "bold"
        ET.SubElement(onto, "text", marks).text = words


def _draw_box(onto: ET.Element, pen: _Pen, sized: SizedBox, middle: Point) -> None:
    box = sized.box
    group = ET.SubElement(onto, "g")
    if box.about:
        ET.SubElement(group, "title").text = clean(box.about)
    left, top = middle[0] - sized.width / 2, middle[1] - sized.height / 2
    dash = _DASH if box.dashed else ""
    pen.rectangle(
        group, (left, top, sized.width, sized.height), 1.8 if box.outline == "weight" else 1.2, dash,
        8.0 if box.outline == "round" else 0,
    )  # fmt: skip
    y = top
    for at, row in enumerate(sized.rows):
        if at:
            pen.line(group, f"M{pen.at((left, y))} H{pen.x(left + sized.width)}", 0.5)
        x = left
        for place_in_row, cell in enumerate(row):
            if place_in_row:
                pen.line(group, f"M{pen.at((x, y))} V{pen.y(y + cell.height)}", 0.5)
            if cell.cell.dashed and not box.dashed:
                pen.rectangle(group, (x + 2, y + 2, cell.width - 4, cell.height - 4), 1.0, _DASH)
            tall = sum(size * LEADING for _, size, _ in cell.lines)
            baseline = y + (cell.height - tall) / 2
            for text, size, bold in cell.lines:
                # The baseline stands about three quarters of the size below the top of its line.
                pen.text(group, (x + cell.width / 2, baseline + size * 0.97), text, size, bold)
                baseline += size * LEADING
            x += cell.width
        y += row[0].height


def _arrow(onto: ET.Element, pen: _Pen, base: Point, tip: Point) -> None:
    dx, dy = tip[0] - base[0], tip[1] - base[1]
    across = (-dy * 0.38, dx * 0.38)
    corners = (tip, (base[0] + across[0], base[1] + across[1]), (base[0] - across[0], base[1] - across[1]))
    ET.SubElement(onto, "polygon", {"points": " ".join(pen.at(corner) for corner in corners)})


_WIDTH_OF: dict[Kind, float] = {"drives": 1.2, "line": 2.4, "leads": 1.2, "lets off": 1.4}


def _draw_link(onto: ET.Element, pen: _Pen, sized: SizedLink, placed: Placed, at: int) -> None:
    route = placed.places.routes[f"e{at}"]
    group = ET.SubElement(onto, "g")
    first, rest = route.points[0], route.points[1:]
    path = f"M{pen.at(first)} C" + " ".join(pen.at(point) for point in rest)
    link = sized.link
    dash = _DOTS if link.kind == "lets off" else _DASH if link.dashed else ""
    pen.line(group, path, _WIDTH_OF[link.kind], dash)
    if route.tip != route.points[-1]:
        _arrow(group, pen, route.points[-1], route.tip)
    if route.label is not None:
        x = route.label[0] - sized.width / 2 + UPRIGHT
        y = route.label[1] - len(sized.lines) * SMALL * LEADING / 2 + SMALL * 0.97
        for line in sized.lines:
            pen.text(group, (x, y), line, SMALL, anchor="start")
            y += SMALL * LEADING


def _legend(graph: Graph) -> tuple[tuple[str, str], ...]:
    """(sample, words) for each kind of line that the graph uses and that explains nothing by itself."""
    cells = [cell for box in graph.boxes for row in box.rows for cell in row]
    dashed = (
        any(box.dashed for box in graph.boxes)
        or any(link.dashed for link in graph.links)
        or any(cell.dashed for cell in cells)
    )
    kinds = {link.kind for link in graph.links if not link.hidden}
    rows: list[tuple[str, str]] = []
    if "drives" in kinds:
        rows.append(("arrow", "arrow: from the driver to the driven"))
    if "line" in kinds:
        rows.append(("line", "heavy: a line under load"))
    if dashed:
        rows.append(("dashed", "dashed: not known, lost or assumed"))
    if "lets off" in kinds:
        rows.append(("dots", "dotted: lets off or counts, carries no power"))
    return tuple(rows)


def _draw_legend(
    onto: ET.Element, rows: Iterable[tuple[str, str]], notes: Iterable[str], top: float
) -> float:
    """Writes the legend and the notes from `top` down, at full size, and returns where they end."""
    pen = _Pen(1.0, 0.0, 0.0)
    room = PAGE_WIDTH - 2 * _MARGIN
    x, y = _MARGIN, top
    step = SMALL * LEADING + 2
    for sample, words in rows:
        wide = 30 + width_of(words, SMALL) + 14
        if x > _MARGIN and x + wide > PAGE_WIDTH - _MARGIN:
            x, y = _MARGIN, y + step
        middle = y + SMALL * 0.6
        if sample == "arrow":
            pen.line(onto, f"M{pen.at((x, middle))} H{pen.x(x + 17)}", 1.2)
            _arrow(onto, pen, (x + 17, middle), (x + 24, middle))
        elif sample == "line":
            pen.line(onto, f"M{pen.at((x, middle))} H{pen.x(x + 24)}", 2.4)
        elif sample == "dashed":
            pen.rectangle(onto, (x, y, 24, SMALL + 1), 1.0, _DASH)
        else:
            pen.line(onto, f"M{pen.at((x, middle))} H{pen.x(x + 24)}", 1.4, _DOTS)
        pen.text(onto, (x + 30, y + SMALL * 0.9), words, SMALL, anchor="start")
        x += wide
    if x > _MARGIN:
        y += step
    for note in notes:
        for line in wrap(note, SMALL, room):
            pen.text(onto, (_MARGIN, y + SMALL * 0.9), line, SMALL, anchor="start")
            y += SMALL * LEADING
    return y


def _scale(whole: tuple[float, float], tall: float) -> float:
    """By how much a drawing of that width and height can be drawn larger to fill a page so tall."""
    return min((PAGE_WIDTH - 2 * _MARGIN) / whole[0], tall / whole[1], MOST_SCALE)


def _fit(graph: Graph, tall: float) -> tuple[Placed, float]:
    """The roomiest layout that goes on the page at full size; else the one that is shrunk the least.

    Laying out takes the time; so what is known to come out too large from its
    boxes alone is tried only where nothing else fits, and where a layout is too
    tall none with less room is tried, whose lines are more.
    """
    ways = [(False, False)] if graph.column else [(False, False), (False, True)]
    ways += [(True, stacked) for _, stacked in ways]
    small: list[tuple[float, Sized]] = []  # how large at most, and of what
    best: tuple[Placed, float] | None = None

    def laid_out(sized: Sized) -> tuple[Placed, float]:
        placed = place(sized)
        return placed, _scale((placed.places.width, placed.places.height), tall)

    for rooms, (tight, stacked) in product((ROOMS[:4], ROOMS[4:]), ways):
        for room in rooms:
            sized = size_graph(graph, room, tight, stacked)
            hope = _scale(sized.at_least(), tall)
            if hope < ENOUGH_SCALE:
                small.append((hope, sized))
            elif best is None or hope > best[1] + _MORE:
                found = laid_out(sized)
                if best is None or found[1] > best[1] + _MORE:
                    best = found
                if found[1] >= ENOUGH_SCALE:
                    return found
                if tall / found[0].places.height < ENOUGH_SCALE:
                    break
    for hope, sized in sorted(small, key=lambda one: -one[0]):
        if best is None or hope > best[1] + _MORE:
            found = laid_out(sized)
            best = found if best is None or found[1] > best[1] + _MORE else best
    assert best is not None  # ROOMS is never empty
    return best


@dataclass(frozen=True, slots=True)
class Drawn:
    """An SVG document, the engine that laid it out, and its smallest lettering in points at 170 mm."""

    svg: str
    engine: str
    lettering: float


def draw(graph: Graph, words: Words) -> Drawn:
    """The graph as an SVG document 170 mm wide.

    Raises NoLayoutEngine where no engine can be run.
    """
    legend = _legend(graph)
    # The legend is written once on nothing to learn how tall it is.
    foot = _draw_legend(ET.Element("g"), legend, words.notes, 0.0)
    placed, scale = _fit(graph, PAGE_HEIGHT - foot - 5 * _MARGIN)
    wide, tall = placed.places.width * scale, placed.places.height * scale
    height = tall + 2 * _MARGIN + (foot + 3 * _MARGIN if foot else 0)

    svg = page(words, height)
    pen = _Pen(scale, (PAGE_WIDTH - wide) / 2, _MARGIN)
    for at, link in enumerate(placed.links):
        if not link.link.hidden:
            _draw_link(svg, pen, link, placed, at)
    for at, box in enumerate(placed.boxes):
        _draw_box(svg, pen, box, placed.places.boxes[f"n{at}"])
    if foot:
        _draw_legend(ET.SubElement(svg, "g"), legend, words.notes, tall + 4 * _MARGIN)
    return Drawn(as_text(svg), placed.places.engine, SMALL * min(scale, 1.0))
