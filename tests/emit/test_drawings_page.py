"""The drawings as things to print: sizes, lettering, nothing from outside, nothing over anything else."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree as ET

import build
import pytest
from countwheel.api import compile_file
from countwheel.emit.drawing import Drawing
from countwheel.emit.drawings import draw_all
from countwheel.emit.graph_svg import POINT_IN_MM
from countwheel.emit.lettering import width_of
from countwheel.emit.sketch import Box, text_box
from countwheel.model.clock import Clock
from manual_samples import compiled
from wreck_samples import GATE, LAYERS, WRECK

SVG = "{http://www.w3.org/2000/svg}"
ROSE = ("north", "east", "south", "west", "north-east", "south-east", "south-west", "north-west")
HOSTILE = (
    '<script>alert("1")</script> & \\N \\l "quoted" \'x\' back\\slash\nnew line \x00\x07 '
    "\U0001f570 שלום \u202eevil ]]> --> " + "long" * 40
)


def hostile_clock() -> Clock:
    return build.clock(
        (
            build.train(
                HOSTILE,
                "going",
                (
                    build.arbor(
                        "going",
                        HOSTILE,
                        build.gear("wheel", 144, label=HOSTILE, path="going.a.wheel"),
                        barrel=build.barrel("going.barrel", weight=HOSTILE),
                    ),
                    build.arbor(
                        "going",
                        "two",
                        build.gear("pinion", 12, path="going.two.pinion"),
                        build.gear("wheel", build.unknown(f"? {HOSTILE}"), path="going.two.wheel"),
                    ),
                ),
            ),
        ),
        (HOSTILE,),
        HOSTILE,
    )


def long_clock() -> Clock:
    """A train longer than any: its labels have to be shortened and its sheets to be several."""
    arbors = [
        build.arbor(
            "long", f"number {at}",
            *([build.gear("pinion", 8, path=f"long.{at}.pinion")] if at else []),
            build.gear("wheel", build.unknown("? about 60 or 62") if at % 3 else 64, path=f"long.{at}.wheel"),
            barrel=None if at else build.barrel("long.barrel"),
        )
        for at in range(23)
    ]  # fmt: skip
    return build.clock((build.train("long", "other", tuple(arbors)),), ())


def all_drawings() -> list[Drawing]:
    clocks = [build.clock(dials=ROSE[:many]) for many in (0, 1, 2, 3, 4, 6, 8)] + [long_clock()]
    made = [d for clock in (*clocks, hostile_clock()) for d in draw_all(clock, build.figures(clock))]
    for text in (GATE, LAYERS, WRECK):
        result = compiled(text)
        assert result.clock is not None
        made += draw_all(result.clock, result.figures)
    root = Path(__file__).parents[2]
    outside = sorted((root / "tests" / "outside" / "clocks").glob("*.movement"))
    for path in (*sorted((root / "specs").glob("*/*.movement")), *outside):
        if path.stem == path.parent.name or path in outside:
            result = compile_file(path)
            assert result.clock is not None
            made += draw_all(result.clock, result.figures)
    return made


DRAWINGS = all_drawings()


@pytest.fixture(params=range(len(DRAWINGS)), ids=lambda at: f"{at}-{DRAWINGS[at].id[:20]}")
def drawing(request: pytest.FixtureRequest) -> Drawing:
    at: int = request.param
    return DRAWINGS[at]


def sizes(root: ET.Element) -> tuple[float, float]:
    """Width and height of the viewBox, in points at the printed size."""
    left, top, width, height = (float(part) for part in root.attrib["viewBox"].split())
    assert (left, top) == (0, 0)
    return width, height


def boxes(root: ET.Element) -> list[tuple[float, float, float, float]]:
    """The outer rectangle of every box, as left, top, right, bottom."""
    out = []
    for group in root.iter(f"{SVG}g"):
        rect = group.find(f"{SVG}rect")
        if (
            group.find(f"{SVG}text") is not None
            and rect is not None
            and group.find(f"{SVG}title") is not None
        ):
            x, y, width, height = (float(rect.attrib[key]) for key in ("x", "y", "width", "height"))
            out.append((x, y, x + width, y + height))
    return out


def test_it_fits_the_page_at_170_mm(drawing: Drawing) -> None:
    root = ET.fromstring(drawing.svg)
    assert root.attrib["width"] == "170mm"
    assert float(root.attrib["height"].removesuffix("mm")) <= 240
    width, height = sizes(root)
    assert width == pytest.approx(170 / 25.4 * 72, abs=0.01)
    assert height / width == pytest.approx(float(root.attrib["height"].removesuffix("mm")) / 170, abs=1e-3)


def test_lettering_can_be_read_at_arms_length(drawing: Drawing) -> None:
    found = [float(text.attrib["font-size"]) for text in ET.fromstring(drawing.svg).iter(f"{SVG}text")]
    assert found
    assert min(found) >= 7.0


def test_it_is_named_and_described(drawing: Drawing) -> None:
    root = ET.fromstring(drawing.svg)
    assert root.attrib["role"] == "img"
    named = root.attrib["aria-labelledby"].split()
    assert [root.find(f"{SVG}{tag}").attrib["id"] for tag in ("title", "desc")] == named  # type: ignore[union-attr]
    assert root.findtext(f"{SVG}title")
    assert root.findtext(f"{SVG}desc")
    assert re.fullmatch(r"[a-z0-9-]+", drawing.id)


def test_black_on_white_with_nothing_from_outside(drawing: Drawing) -> None:
    root = ET.fromstring(drawing.svg)
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "g", "rect", "path", "polygon", "circle", "text"}
    for element in root.iter():
        for name, value in element.attrib.items():
            assert "url(" not in value
            assert not name.endswith("href")
            assert not name.startswith("on")
            if name in ("fill", "stroke"):
                assert value in ("black", "white", "none")
    assert root.attrib["font-family"].endswith("sans-serif")


def test_nothing_in_it_tells_the_machine(drawing: Drawing) -> None:
    assert not drawing.engine or drawing.engine not in drawing.svg  # what is put down by hand has none
    assert "graphviz" not in drawing.svg.lower()
    assert "<!--" not in drawing.svg


def test_no_box_lies_over_another(drawing: Drawing) -> None:
    for one, two in combinations(boxes(ET.fromstring(drawing.svg)), 2):
        apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
        assert apart, (one, two)


def ways(root: ET.Element) -> list[list[tuple[float, float]]]:
    """Every way of an arrow as points along it, without its two ends."""
    out = []
    for path in root.iter(f"{SVG}path"):
        marks = [float(mark) for mark in re.findall(r"-?\d+(?:\.\d+)?", path.attrib["d"])]
        if "C" not in path.attrib["d"]:
            continue
        points = list(zip(marks[::2], marks[1::2], strict=True))
        along = []
        for at in range(0, len(points) - 3, 3):
            a, b, c, d = points[at : at + 4]
            for step in range(21):
                t = step / 20
                parts = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
                along.append(
                    tuple(sum(p * e[i] for p, e in zip(parts, (a, b, c, d), strict=True)) for i in (0, 1))
                )
        out.append([(x, y) for x, y in along[1:-1]])
    return out


def test_no_arrow_runs_through_a_box(drawing: Drawing) -> None:
    root = ET.fromstring(drawing.svg)
    for left, top, right, bottom in boxes(root):
        for way in ways(root):
            assert not any(left + 2 < x < right - 2 and top + 2 < y < bottom - 2 for x, y in way)


def test_no_arrow_runs_through_the_words_beside_another(drawing: Drawing) -> None:
    root = ET.fromstring(drawing.svg)
    for text in root.iter(f"{SVG}text"):
        if text.get("text-anchor"):
            continue
        x, y, size = (float(text.attrib[key]) for key in ("x", "y", "font-size"))
        wide = width_of(text.text or "", size) * 0.8  # common faces are so much narrower
        for way in ways(root):
            assert not any(x < a < x + wide and y - size * 0.7 < b < y for a, b in way), text.text


def lettering_boxes(root: ET.Element) -> list[tuple[Box, str]]:
    """The rectangle that each line of lettering takes in a common face, which is narrower than the wide one."""
    found = []
    for text in root.iter(f"{SVG}text"):
        words, size = text.text or "", float(text.attrib["font-size"])
        at = tuple(float(text.attrib[key]) * POINT_IN_MM for key in ("x", "y"))
        wide = text_box(
            (at[0], at[1]), words, size, text.get("text-anchor", "start"), text.get("font-weight") == "bold"
        )
        off = {"start": 0.0, "middle": 0.1, "end": 0.2}[text.get("text-anchor", "start")]
        left = wide.left + off * (wide.right - wide.left)
        found.append((Box(left, wide.top, left + 0.8 * (wide.right - wide.left), wide.bottom), words))
    return found


def test_no_lettering_lies_over_other_lettering(drawing: Drawing) -> None:
    found = lettering_boxes(ET.fromstring(drawing.svg))
    assert all(box.top >= 0 for box, _ in found)
    for (one, words), (two, others) in combinations(found, 2):
        assert not one.meets(two), (words, others)


def test_lettering_stays_in_its_box_and_on_the_page_in_a_wide_font(drawing: Drawing) -> None:
    root = ET.fromstring(drawing.svg)
    width, height = sizes(root)
    for group in root.iter(f"{SVG}g"):
        rect = group.find(f"{SVG}rect")
        for text in group.findall(f"{SVG}text"):
            size = float(text.attrib["font-size"])
            wide = width_of(text.text or "", size, text.get("font-weight") == "bold")
            x, y = float(text.attrib["x"]), float(text.attrib["y"])
            left = x - wide * {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor", ""), 0.0)
            assert left >= 0
            assert left + wide <= width
            assert y <= height
            if rect is not None and text.get("text-anchor") == "middle":
                assert left >= float(rect.attrib["x"])
                assert left + wide <= float(rect.attrib["x"]) + float(rect.attrib["width"])


def test_hostile_names_are_shown_as_text() -> None:
    clock = hostile_clock()
    for drawing in draw_all(clock, build.figures(clock)):
        assert "<script" not in drawing.svg
        assert "\x00" not in drawing.svg
        assert "\u202e" not in drawing.svg
        root = ET.fromstring(drawing.svg)
        text = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
        for shown in (
            '<script>alert("1")</script>',
            "\\N",
            "back\\slash",
            "שלום",
            "\U0001f570",
            "]]>",
            "-->",
        ):
            assert shown in text
