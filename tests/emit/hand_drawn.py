"""Reads drawings that were put down by hand, and the clocks that they are tried on."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

from countwheel.api import Result, compile_file
from countwheel.emit.drawing import Drawing
from countwheel.emit.lettering import width_of
from countwheel.emit.sketch import Box

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SVG = "{http://www.w3.org/2000/svg}"
MM = 72 / 25.4
_HERE = Path(__file__).parents[2]
DEMOS = tuple(
    path for path in sorted((_HERE / "specs").glob("*/*.movement")) if path.stem == path.parent.name
)
OUTSIDE = tuple(sorted((_HERE / "tests" / "outside" / "clocks").glob("*.movement")))


@cache
def clock_of(stem: str) -> Result:
    """The compiled demo or outside clock of that name."""
    result = compile_file(next(path for path in (*DEMOS, *OUTSIDE) if path.stem == stem))
    assert result.clock is not None
    return result


def words_in(drawing: Drawing) -> list[str]:
    return [text.text or "" for text in ET.fromstring(drawing.svg).iter(f"{SVG}text")]


def lettering_boxes(drawing: Drawing) -> list[tuple[Box, str]]:
    """The rectangle of each piece of lettering, in mm, in a face of usual width (a tenth narrower than the widest)."""
    found = []
    for text in ET.fromstring(drawing.svg).iter(f"{SVG}text"):
        size = float(text.attrib["font-size"])
        wide = width_of(text.text or "", size, text.get("font-weight") == "bold") * 0.9
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        left = x - wide * {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor", ""), 0.0)
        box = Box(left / MM, (y - 0.72 * size) / MM, (left + wide) / MM, (y + 0.2 * size) / MM)
        found.append((box, text.text or ""))
    return found


def lines_in(drawing: Drawing) -> list[list[tuple[float, float]]]:
    """Every run of straight lines, in mm."""
    found = []
    for run in _runs(drawing):
        if "a" not in run:
            marks = [float(mark) / MM for mark in _NUMBER.findall(run)]
            found.append(list(zip(marks[::2], marks[1::2], strict=True)))
    return found


def dots_in(drawing: Drawing) -> list[tuple[float, float, float]]:
    """Every dot of those put down as one thing: its middle and its radius, in mm."""
    found = []
    for run in _runs(drawing):
        if "a" in run:
            x, y, radius = (float(mark) / MM for mark in _NUMBER.findall(run)[:3])
            found.append((x + radius, y, radius))
    return found


def _runs(drawing: Drawing) -> list[str]:
    """Every piece of every path, each beginning at a place of its own."""
    return [
        run
        for path in ET.fromstring(drawing.svg).iter(f"{SVG}path")
        for run in path.attrib["d"].split("M")
        if run
    ]


def circles_in(drawing: Drawing) -> list[tuple[float, float, float]]:
    """Every circle: its middle and its radius, in mm."""
    return [
        (float(one.attrib["cx"]) / MM, float(one.attrib["cy"]) / MM, float(one.attrib["r"]) / MM)
        for one in ET.fromstring(drawing.svg).iter(f"{SVG}circle")
    ]
