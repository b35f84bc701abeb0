"""The elevations and face views: circles that mesh touch, sizes are as the counts, what is not known is dashed.

Everything is read back from the SVG, so that nothing is judged by what drew it.
"""

from __future__ import annotations

import re
from itertools import pairwise
from math import hypot
from pathlib import Path
from xml.etree import ElementTree as ET

import build
import pytest
from countwheel.api import Result, compile_file
from countwheel.emit.drawing import Drawing
from countwheel.emit.drawings import draw_all
from countwheel.emit.graph_svg import POINT_IN_MM
from countwheel.model.clock import Arbor, Mesh, Train
from manual_samples import compiled
from wreck_samples import WRECK

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[2]
CLOCKS = [path for path in sorted((ROOT / "specs").glob("*/*.movement")) if path.stem == path.parent.name]
CLOCKS += sorted((ROOT / "tests" / "outside" / "clocks").glob("*.movement"))
#: The forms of pairs whose arbors stand side by side, so that their pitch circles touch from outside.
BESIDE = ("external", "lantern")


def drawn(result: Result) -> dict[str, Drawing]:
    assert result.clock is not None
    return {drawing.id: drawing for drawing in draw_all(result.clock, result.figures)}


def words(drawing: Drawing) -> str:
    return "\n".join(text.text or "" for text in ET.fromstring(drawing.svg).iter(f"{SVG}text"))


def group(drawing: Drawing, about: str) -> ET.Element:
    """All that is drawn of a part, by the path that stands in the titles of its groups."""
    whole = ET.Element("g")
    for one in ET.fromstring(drawing.svg).iter(f"{SVG}g"):
        if one.findtext(f"{SVG}title") == about:
            whole.extend(one)
    return whole


def mm(element: ET.Element, *marks: str) -> tuple[float, ...]:
    return tuple(float(element.attrib[mark]) * POINT_IN_MM for mark in marks)


class Circles:
    """An arbor of a face view: where its middle is, and the radii of the circles round it, in mm of the page."""

    def __init__(self, drawing: Drawing, arbor: Arbor | str) -> None:
        drawn = group(drawing, arbor if isinstance(arbor, str) else arbor.path)
        every = [mm(circle, "cx", "cy", "r") for circle in drawn.iter(f"{SVG}circle")]
        middles = [
            circle for circle in drawn.iter(f"{SVG}circle")
            if circle.get("fill") == "black" and mm(circle, "r")[0] == pytest.approx(0.6, abs=0.01)
        ]  # fmt: skip
        self.group = drawn
        # the pallets have a middle of their own, put down before that of the arbor
        self.x, self.y = mm(middles[-1], "cx", "cy")
        self.radii = [r for x, y, r in every if hypot(x - self.x, y - self.y) < 0.02]


def meshes(train: Train) -> list[Mesh]:
    """Each driven arbor's first mesh, of those whose counts are known and whose arbors stand side by side."""
    first: dict[str, Mesh] = {}
    for mesh in train.meshes:
        first.setdefault(mesh.driven_arbor, mesh)
    return [
        mesh for mesh in first.values() if mesh.form in BESIDE and mesh.driver.teeth and mesh.driven.teeth
    ]


def trains() -> list[tuple[str, Train, Drawing]]:
    found = []
    for path in CLOCKS:
        result = compile_file(path)
        assert result.clock is not None
        drawings = drawn(result)
        found += [
            (path.stem, train, drawings[f"face-{train.name}"])
            for train in result.clock.trains
            if meshes(train) and not any(mesh.form == "worm" for mesh in train.meshes)
        ]
    return found


TRAINS = trains()


@pytest.mark.parametrize(
    ("train", "face"), [one[1:] for one in TRAINS], ids=[f"{one[0]}-{one[1].name}" for one in TRAINS]
)
def test_circles_that_mesh_touch_and_are_as_their_counts(train: Train, face: Drawing) -> None:
    for mesh in meshes(train):
        one, two = Circles(face, mesh.driver_arbor), Circles(face, mesh.driven_arbor)
        apart = hypot(one.x - two.x, one.y - two.y)
        assert mesh.driver.teeth is not None
        assert mesh.driven.teeth is not None
        # Definition of the pitch circle: they touch, and are to one another as the counts of their teeth.
        far = apart * mesh.driver.teeth / (mesh.driver.teeth + mesh.driven.teeth)
        assert any(abs(radius - far) < 0.05 for radius in one.radii), mesh.path
        assert any(abs(radius - (apart - far)) < 0.05 for radius in two.radii), mesh.path


@pytest.fixture(scope="module")
def harbour() -> Result:
    return compile_file(ROOT / "specs" / "penquay-harbour-office" / "penquay-harbour-office.movement")


@pytest.fixture(scope="module")
def harbour_drawings(harbour: Result) -> dict[str, Drawing]:
    return drawn(harbour)


@pytest.fixture(scope="module")
def wreck_drawings() -> dict[str, Drawing]:
    return drawn(compiled(WRECK))


def test_sizes_are_as_module_times_count_and_to_the_scale_that_is_printed(
    harbour_drawings: dict[str, Drawing],
) -> None:
    face = harbour_drawings["face-going"]
    scale = re.search(r"scale 1 : ([\d.]+)", words(face))
    assert scale is not None
    # 6, 7 and 8 teeth to the inch of pitch diameter; 10 1/4 in across the barrel
    for arbor, across in (
        ("barrel", 25.4 * 144 / 6), ("barrel", 10.25 * 25.4), ("centre", 25.4 * 80 / 7),
        ("third", 25.4 * 72 / 8), ("escape", 25.4 * 12 / 8),
    ):  # fmt: skip
        wanted = across / 2 / float(scale[1])
        assert any(abs(radius - wanted) < 0.02 for radius in Circles(face, f"going.{arbor}").radii), arbor


def boxes(drawing: Drawing, about: str) -> list[tuple[float, float, float]]:
    """Top, bottom and height of every rectangle of a part, in mm."""
    rects = group(drawing, about).iter(f"{SVG}rect")
    return [(y, y + tall, tall) for y, tall in (mm(rect, "y", "height") for rect in rects)]


def test_from_the_side_wheel_and_pinion_meet_and_are_as_their_counts(
    harbour: Result, harbour_drawings: dict[str, Drawing]
) -> None:
    assert harbour.clock is not None
    for train in harbour.clock.trains:
        side = harbour_drawings[f"elevation-{train.name}"]
        for mesh in meshes(train):
            meet = [
                (wheel, pinion)
                for wheel in boxes(side, mesh.driver_arbor)
                for pinion in boxes(side, mesh.driven_arbor)
                if abs(wheel[0] - pinion[1]) < 0.05
            ]
            assert mesh.driver.teeth is not None
            assert mesh.driven.teeth is not None
            ratio = mesh.driver.teeth / mesh.driven.teeth
            assert any(abs(wheel[2] / pinion[2] - ratio) < 0.02 * ratio for wheel, pinion in meet), mesh.path


def turned(circles: Circles) -> str:
    """Which way the arrow round the middle of an arbor goes, as seen on the page."""
    arrow = circles.group.find(f"{SVG}polygon")
    if arrow is None:
        return ""
    at = list(circles.group).index(arrow) - 1
    numbers = [float(mark) * POINT_IN_MM for mark in re.findall(r"-?[\d.]+", circles.group[at].attrib["d"])]
    (x_0, y_0), (x_1, y_1) = numbers[:2], numbers[-2:]
    cross = (x_0 - circles.x) * (y_1 - circles.y) - (y_0 - circles.y) * (x_1 - circles.x)
    return "clockwise" if cross > 0 else "anticlockwise"


def test_the_arrows_alternate_as_the_figures_say(
    harbour: Result, harbour_drawings: dict[str, Drawing]
) -> None:
    assert harbour.clock is not None
    for train in harbour.clock.trains:
        face = harbour_drawings[f"face-{train.name}"]
        ways = [turned(Circles(face, arbor)) for arbor in train.arbors]
        assert ways == [harbour.figures[f"{arbor.path}.sense"].value for arbor in train.arbors]
        assert all(one != two for one, two in pairwise(ways))


def test_where_the_sense_waits_it_is_said_and_no_arrow_is_drawn(wreck_drawings: dict[str, Drawing]) -> None:
    face = wreck_drawings["face-going"]
    assert "which way it turns: not" in words(face)
    assert ET.fromstring(face.svg).find(f".//{SVG}polygon") is None
    assert "not known which way" in face.alt


def dashed(element: ET.Element) -> bool:
    return "stroke-dasharray" in element.attrib


def test_a_lost_arbor_is_dashed_and_said_to_be_lost(wreck_drawings: dict[str, Drawing]) -> None:
    for view in ("face", "elevation"):
        drawing = wreck_drawings[f"{view}-going"]
        drawn = [part for part in group(drawing, "going.upper") if part.get("fill") == "none"]
        assert drawn
        assert all(dashed(part) for part in drawn)
        assert "lost arbor “upper”" in words(drawing)


def test_a_lost_wheel_is_dashed_with_what_is_known_of_its_count(wreck_drawings: dict[str, Drawing]) -> None:
    drawing = wreck_drawings["elevation-going"]
    assert "? teeth" in words(drawing)
    rects = list(group(drawing, "going.third").iter(f"{SVG}rect"))
    assert dashed(max(rects, key=lambda rect: float(rect.attrib["height"])))
    assert "lost" in words(drawing)


def test_counts_names_and_turns_stand_on_both(harbour_drawings: dict[str, Drawing]) -> None:
    for view in ("face", "elevation"):
        text = words(harbour_drawings[f"{view}-going"])
        for said in ("centre arbor", "144 teeth", "12 leaves", "1 turn an hour", "escape wheel: 30 teeth"):
            assert said in text, (view, said)


def test_the_elevation_has_the_winding_square_the_line_and_what_counts(
    harbour_drawings: dict[str, Drawing],
) -> None:
    text = words(harbour_drawings["elevation-strike"])
    for said in (
        "winding square, at the front", "in 3 parts", "pulley “lead” 9 in, fixed", "lifting pins: 20",
        "count wheel", "fly: 2 vanes", "333.38 mm",
    ):  # fmt: skip
        assert said in text, said


def test_where_no_size_is_recorded_there_is_no_scale_and_it_is_said() -> None:
    result = compile_file(ROOT / "specs" / "wenlodden-institute" / "wenlodden-institute.movement")
    for view in ("face", "elevation"):
        drawing = drawn(result)[f"{view}-going"]
        assert "No size of a tooth is recorded" in words(drawing)
        assert "scale 1 :" not in words(drawing)
    circles = group(drawn(result)["face-going"], "going.centre").iter(f"{SVG}circle")
    assert all(dashed(circle) for circle in circles if circle.get("fill") == "none")


def test_known_sizes_are_not_dashed(harbour_drawings: dict[str, Drawing]) -> None:
    for arbor in ("barrel", "centre", "third", "escape"):
        drawn = group(harbour_drawings["face-going"], f"going.{arbor}")
        assert not any(dashed(circle) for circle in drawn.iter(f"{SVG}circle"))


def test_each_count_beside_its_wheel_is_read_once() -> None:
    clock = build.clock()
    made = {drawing.id: drawing for drawing in draw_all(clock, build.figures(clock))}
    text = words(made["elevation-strike"]).split("\n")
    assert text.count("200 teeth") == 1
    assert text.count("72 teeth") == 1


def test_a_train_that_is_too_long_goes_on_further_sheets() -> None:
    gears = [
        build.arbor(
            "long", f"number {at}",
            *([build.gear("pinion", 8, path=f"long.{at}.pinion")] if at else []),
            build.gear("wheel", 64, path=f"long.{at}.wheel"),
        )
        for at in range(12)
    ]  # fmt: skip
    clock = build.clock((build.train("long", "other", tuple(gears)),), ())
    made = [
        drawing for drawing in draw_all(clock, build.figures(clock)) if drawing.id.startswith("elevation")
    ]
    assert len(made) > 1
    text = "\n".join(map(words, made))
    assert all(f"number {at} arbor" in text for at in range(12))
    assert "stands on another" in text
