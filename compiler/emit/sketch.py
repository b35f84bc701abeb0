"""A drawing that is put down by hand, to scale: lines, circles and lettering on a page 170 mm wide.

Places and sizes are in millimetres on the page, from its top left corner; lettering is in points. A sketch knows
where its lettering stands, so that a label can look for room.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple
from xml.etree import ElementTree as ET

from countwheel.emit.drawing import Drawing
from countwheel.emit.graph_svg import LEAST_LETTERING, POINT_IN_MM, Words, as_text, number, page
from countwheel.emit.lettering import clean, width_of

Place = tuple[float, float]
WIDE, TALL = 170.0, 235.0
#: Weights of lines in points: what is looked at, what helps, what carries a load.
PLAIN, FINE, HEAVY = 0.8, 0.4, 1.8
DASHED, DOTTED = "4 2.5", "0.8 2.4"
LETTERING = 8.0
_GAP = 0.6  # mm that must be free around lettering


class Box(NamedTuple):
    """A rectangle on the page, in mm."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        return not (
            self.right <= other.left
            or other.right <= self.left
            or self.bottom <= other.top
            or other.bottom <= self.top
        )


class Sketch:
    """Puts down one drawing. `taken` are the boxes of lettering, and others that lettering must leave free."""

    def __init__(self, words: Words, height: float) -> None:
        """`height` in mm, at most `TALL`."""
        self.words = words
        self.height = height
        self.taken: list[Box] = []
        self._svg = page(words, height / POINT_IN_MM)
        self._onto = self._svg

    def group(self, about: str = "") -> None:
        """What follows belongs together, and is `about` a part (its path, for whoever points at it)."""
        self._onto = ET.SubElement(self._svg, "g")
        if about:
            ET.SubElement(self._onto, "title").text = clean(about)

    def finish(self) -> Drawing:
        return Drawing(self.words.id, self.words.title, as_text(self._svg), self.words.alt)

    # -- lines ---------------------------------------------------------------
    def line(self, places: Sequence[Place], weight: float = PLAIN, dash: str = "", closed: bool = False,
             fill: str = "none") -> None:  # fmt: skip
        """A run of straight lines through the places; `fill` is none, black or white."""
        points = " L".join(f"{_p(x)},{_p(y)}" for x, y in places)
        marks = {"d": f"M{points}{' Z' if closed else ''}", "fill": fill, "stroke": "black"}
        ET.SubElement(self._onto, "path", marks | _stroke(weight, dash))

    def strokes(self, runs: Iterable[Sequence[Place]], weight: float = PLAIN) -> None:
        """Many runs of straight lines as one thing: lighter for whoever prints it than as many things."""
        marks = "".join(f"M{' L'.join(f'{_p(x)},{_p(y)}' for x, y in places)}" for places in runs)
        ET.SubElement(
            self._onto, "path", {"d": marks, "fill": "none", "stroke": "black"} | _stroke(weight, "")
        )

    def dots(self, places: Iterable[Place], radius: float) -> None:
        """Many black dots as one thing."""
        r, wide = _p(radius), _p(2 * radius)
        marks = "".join(
            f"M{_p(x - radius)},{_p(y)}a{r},{r} 0 1,0 {wide},0a{r},{r} 0 1,0 -{wide},0z" for x, y in places
        )
        ET.SubElement(self._onto, "path", {"d": marks})

    def circle(
        self, middle: Place, radius: float, weight: float = PLAIN, dash: str = "", fill: str = "none"
    ) -> None:
        marks = {"cx": _p(middle[0]), "cy": _p(middle[1]), "r": _p(radius), "fill": fill, "stroke": "black"}
        ET.SubElement(self._onto, "circle", marks | _stroke(weight, dash))

    def rectangle(self, box: Box, weight: float = PLAIN, dash: str = "", fill: str = "none") -> None:
        marks = {
            "x": _p(box.left), "y": _p(box.top),
            "width": _p(box.right - box.left), "height": _p(box.bottom - box.top),
            "fill": fill, "stroke": "black",
        }  # fmt: skip
        ET.SubElement(self._onto, "rect", marks | _stroke(weight, dash))

    def arrow(
        self, places: Sequence[Place], weight: float = PLAIN, dash: str = "", size: float = 2.2
    ) -> None:
        """A run of lines with a filled head at its last place."""
        (x_0, y_0), (x_1, y_1) = places[-2], places[-1]
        long = ((x_1 - x_0) ** 2 + (y_1 - y_0) ** 2) ** 0.5 or 1.0
        dx, dy = (x_1 - x_0) / long * size, (y_1 - y_0) / long * size
        base = (x_1 - dx, y_1 - dy)
        self.line([*places[:-1], base], weight, dash)
        head = (
            (x_1, y_1),
            (base[0] - dy * 0.38, base[1] + dx * 0.38),
            (base[0] + dy * 0.38, base[1] - dx * 0.38),
        )
        ET.SubElement(self._onto, "polygon", {"points": " ".join(f"{_p(x)},{_p(y)}" for x, y in head)})

    # -- lettering -------------------------------------------------------------
    def text(
        self, place: Place, words: str, size: float = LETTERING, anchor: str = "start", bold: bool = False,
        over: bool = False,
    ) -> Box:  # fmt: skip
        """Lettering with its base line at `place`; `anchor` is start, middle or end. Takes its box.

        `over`: it stands over lines, and so on a ground of white.
        """
        assert size >= LEAST_LETTERING
        told = clean(words)
        if over:
            self._whiten(text_box(place, told, size * 0.85, anchor, bold))
        marks = {"x": _p(place[0]), "y": _p(place[1]), "font-size": number(size)}
        if anchor != "start":
            marks["text-anchor"] = anchor
        if bold:
            marks["font-weight"] = "bold"
        ET.SubElement(self._onto, "text", marks).text = told
        box = text_box(place, told, size, anchor, bold)
        self.taken.append(box)
        return box

    def _whiten(self, box: Box) -> None:
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        points = " L".join(f"{_p(x)},{_p(y)}" for x, y in corners)
        ET.SubElement(self._onto, "path", {"d": f"M{points} Z", "fill": "white"})

    def fits(self, box: Box) -> bool:
        """Whether a box lies on the page and over nothing that is taken."""
        wider = Box(box.left - _GAP, box.top - _GAP, box.right + _GAP, box.bottom + _GAP)
        on_page = wider.left >= 0 and wider.top >= 0 and wider.right <= WIDE and wider.bottom <= self.height
        return on_page and not any(wider.meets(other) for other in self.taken)

    def label(
        self, at: Place, words: str, places: Iterable[tuple[Place, str]], size: float = LETTERING
    ) -> bool:
        """Lettering about the place `at`, at the first of `places` (with its anchor) that is free.

        A fine line leads back to `at` where the lettering stands away from it. False where none is free.
        """
        for place, anchor in places:
            box = text_box(place, clean(words), size, anchor)
            if not self.fits(box):
                continue
            near = (min(max(at[0], box.left), box.right), min(max(at[1], box.top), box.bottom))
            if (near[0] - at[0]) ** 2 + (near[1] - at[1]) ** 2 > 4.0:
                self.line([at, near], FINE)
            self.text(place, words, size, anchor)
            return True
        return False


def text_box(place: Place, words: str, size: float, anchor: str = "start", bold: bool = False) -> Box:
    """The rectangle that lettering takes in a wide face, in mm."""
    wide = width_of(words, size, bold) * POINT_IN_MM
    tall = size * POINT_IN_MM
    left = place[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return Box(left, place[1] - 0.78 * tall, left + wide, place[1] + 0.24 * tall)


def _p(mm: float) -> str:
    """Millimetres in the units of the page, which are points."""
    return number(mm / POINT_IN_MM)


def _stroke(weight: float, dash: str) -> dict[str, str]:
    marks = {"stroke-width": number(weight)}
    if dash:
        marks["stroke-dasharray"] = dash
    if dash == DOTTED:
        marks["stroke-linecap"] = "round"
    return marks
