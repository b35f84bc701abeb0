"""The face view of a train as one drawing that can turn: pitch circles in mesh, each arbor a group by itself.

It is laid out as the printed face view is; what the arbors carry is drawn to be seen turning. The script of the page
turns every group `turns` by its `data-rate`, in turns an hour with the hands of a clock.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin, tau
from typing import NamedTuple
from xml.etree import ElementTree as ET

from countwheel.emit.clean import first_capital
from countwheel.emit.draw_face import extent
from countwheel.emit.face_layout import Face, Stood, lay_out, pallet_distance, plate_radius
from countwheel.emit.face_parts import View, draw_cord, draw_crossing
from countwheel.emit.graph_svg import POINT_IN_MM, Words
from countwheel.emit.graph_words import Figures, is_weak
from countwheel.emit.naming import train_name, train_stems
from countwheel.emit.pitch_sizes import Sizes, barrel_circle, escape_circle, is_worm, sizes_of
from countwheel.emit.sheet_tags import arbor_name, arbor_words, gear_words
from countwheel.emit.sketch import Sketch
from countwheel.emit.stated import fact, is_lost, there
from countwheel.emit.train_tree import Tree, tree_of
from countwheel.model.clock import Arbor, Clock, Gear
from countwheel.preview.teeth import mate_phase, saw, toothed
from countwheel.preview.turning import Run, Turning, run_of, turnings

#: Across the drawing at most, in its units; a number beside a wheel is so many units tall.
_WIDE, _TALL, _NUMBER = 640.0, 760.0, 15.0
_MARGIN = 26.0
#: More teeth than these are not drawn one by one.
_MOST_TEETH = 400


class Listed(NamedTuple):
    """An arbor with its number on the drawing, what it carries in words, and how it turns.

    `across` where it stands at a right angle to the others and so does not turn in this view.
    """

    number: int
    arbor: Arbor
    name: str
    carries: tuple[str, ...]
    turning: Turning
    across: bool = False


class Drawn(NamedTuple):
    """One view of a train: its drawing as SVG for the page, and all that is on it, in order."""

    id: str
    title: str
    run: Run
    svg: str
    listed: tuple[Listed, ...]


def draw_turning(clock: Clock, figures: Figures) -> tuple[Drawn, ...]:
    """A view of each train from the front, and one more for arbors that stand across and drive others."""
    node = fact(clock.root, "clock", "frame")
    frame = (node.text() or "") if node is not None else ""
    made: list[Drawn] = []
    for train, stem in train_stems(clock):
        if not train.arbors:
            continue
        tree = tree_of(train)
        sizes = sizes_of(tree, figures)
        turned = turnings(train, tree, figures)
        groups = [tree.roots]
        for at, roots in enumerate(groups):
            face = lay_out(tree, sizes, roots, frame)
            groups += [(one.pair.driven,) for one in face.crossings if tree.pairs_of(one.pair.driven)]
            id = f"turning-{stem}" if at == 0 else f"turning-{stem}-{at + 1}"
            seen = "seen from the front" if at == 0 else "seen along the arbors that stand across"
            name = train_name(train, clock)
            title = first_capital(f"{name if name == train.name else f'the {name}'}, {seen}")
            view = _View(clock, tree, sizes, face, turned, figures)
            made.append(view.drawn(id, title, run_of(train, figures)))
    return tuple(made)


class _View:
    def __init__(
        self, clock: Clock, tree: Tree, sizes: Sizes, face: Face, turned: dict[str, Turning], figures: Figures
    ) -> None:
        self.clock, self.tree, self.sizes, self.face = clock, tree, sizes, face
        self.turned, self.figures = turned, figures
        left, top, right, bottom = extent(clock, sizes, face)
        self.scale = min(_WIDE / max(right - left, 1e-6), _TALL / max(top - bottom, 1e-6))
        self.left, self.top = _MARGIN - left * self.scale, _MARGIN + top * self.scale
        self.wide = (right - left) * self.scale + 2 * _MARGIN
        self.tall = (top - bottom) * self.scale + 2 * _MARGIN
        self.phases = self._phases()
        self.numbers: list[tuple[float, float]] = []

    def drawn(self, id: str, title: str, run: Run) -> Drawn:
        svg = ET.Element("svg", {
            "viewBox": f"0 0 {self.wide:.0f} {self.tall:.0f}", "class": "train", "id": id,
            "role": "group", "aria-labelledby": f"{id}-title",
        })  # fmt: skip
        across = [one.pair.driven for one in self.face.crossings]
        listed = tuple(
            Listed(
                number, arbor, first_capital(arbor_name(arbor)), arbor_words(arbor, map(gear_words, arbor.gears)),
                self.turned[arbor.path], arbor in across,
            )
            for number, arbor in enumerate([*(one.arbor for one in self.face.stood.values()), *across], 1)
        )  # fmt: skip
        self._still(svg)
        # Small wheels lie over large ones, so that each can be pointed at.
        order = sorted(self.face.stood.values(), key=lambda one: -one.reach)
        by_path = {one.arbor.path: one for one in listed}
        for one in order:
            self._arbor(svg, one, by_path[one.arbor.path])
        for crossing in self.face.crossings:
            self._crossing(svg, by_path[crossing.pair.driven.path])
        text = ET.tostring(svg, encoding="unicode", method="html")
        return Drawn(id, title, run, text, listed)

    # -- places -------------------------------------------------------------------
    def at(self, x: float, y: float) -> tuple[float, float]:
        return self.left + x * self.scale, self.top - y * self.scale

    def _phases(self) -> dict[tuple[str, str], float]:
        """Where a tooth of every wheel stands, so that what meshes does so in the drawing."""
        found: dict[tuple[str, str], float] = {}
        for pair in self.face.pairs:
            if pair.way == "cord":
                continue
            driver, driven = pair.mesh.driver, pair.mesh.driven
            phase = found.setdefault((pair.driver.path, driver.path), -pi / 2)
            one, two = (self.face.stood[arbor.path] for arbor in (pair.driver, pair.driven))
            counts = self._count(pair.driver, driver), self._count(pair.driven, driven)
            if all(counts):
                towards = atan2(one.y - two.y, two.x - one.x)
                reverses = pair.mesh.reverses is not False
                found[pair.driven.path, driven.path] = mate_phase(phase, *counts, towards, reverses)
        return found

    def _count(self, arbor: Arbor, gear: Gear) -> int:
        """The teeth to draw: none where the count or the size is not recorded."""
        size = self.sizes.of(arbor, gear)
        known = gear.teeth or 0
        cut = not is_worm(gear) and gear.form not in ("open cord", "crossed cord")
        wanted = cut and not is_weak(gear.node) and 4 <= known <= _MOST_TEETH
        return known if wanted and size.radius * self.scale > 3 else 0

    # -- what stands still ----------------------------------------------------------
    def _still(self, svg: ET.Element) -> None:
        """Cords, the pallets, and arbors seen edge-on: taken over from the printed drawing."""
        still = ET.SubElement(svg, "g", {"class": "still", "aria-hidden": "true"})
        sketch = Sketch(Words("", "", ""), 10.0)
        view = View(
            sketch, self.sizes, self.figures, self.face,
            self.scale * POINT_IN_MM, self.left * POINT_IN_MM, self.top * POINT_IN_MM,
        )  # fmt: skip
        for pair in self.face.pairs:
            if pair.way == "cord":
                draw_cord(view, pair)
        for crossing in self.face.crossings:
            draw_crossing(view, crossing)
        for element in ET.fromstring(sketch.finish().svg):
            if element.tag.endswith("}path") and element.get("stroke"):
                kept = {name: value for name, value in element.attrib.items() if name != "stroke-width"}
                ET.SubElement(still, "path", kept)
        for one in self.face.stood.values():
            if there(one.arbor.escape) is not None and there(self.clock.escapement) is not None:
                self._pallets(still, one)

    def _pallets(self, still: ET.Element, one: Stood) -> None:
        far, sure = pallet_distance(self.clock, self.sizes, one.arbor)
        radius = escape_circle(self.sizes, one.arbor).radius
        share = radius / far  # the pallets' arms touch the circle of the wheel
        across, down = radius * (1 - share**2) ** 0.5, radius * share
        pivot = self.at(one.x, one.y + far)
        tips = [self.at(one.x + side * across, one.y + down) for side in (-1, 1)]
        places = " L".join(f"{x:.1f},{y:.1f}" for x, y in (tips[0], pivot, tips[1]))
        ET.SubElement(still, "path", {"d": f"M{places}", "class": "pallets" if sure else "pallets unsure"})

    # -- what turns -------------------------------------------------------------------
    def _arbor(self, svg: ET.Element, one: Stood, listed: Listed) -> None:
        arbor, turning = one.arbor, listed.turning
        link = self._link(svg, listed)
        x, y = self.at(one.x, one.y)
        place = ET.SubElement(link, "g", {"transform": f"translate({x:.2f} {y:.2f})"})
        reach = max(one.reach * self.scale, 9.0)
        _circle(place, reach, "area")
        turns = ET.SubElement(place, "g", {
            "class": "turns", "data-path": arbor.path, "data-rate": f"{turning.clockwise_per_hour!r}",
        })  # fmt: skip
        lost = is_lost(arbor.node)
        if there(arbor.barrel) is not None:
            drum = barrel_circle(self.sizes, arbor)
            _circle(turns, drum.radius * self.scale, "barrel" if drum.sure and not lost else "barrel unsure")
        for gear in arbor.gears:
            self._gear(turns, arbor, gear, lost)
        if not arbor.gears and not there(arbor.escape) and not there(arbor.barrel):
            _circle(turns, one.reach * self.scale, "gear unsure" if lost else "gear")
        if plate := plate_radius(self.sizes, arbor):
            _circle(turns, plate * self.scale, "plate")
        self._pins(turns, arbor)
        if there(arbor.escape) is not None:
            self._escape(turns, one, turning)
        if there(arbor.fly) is not None:
            arm = max(self.sizes.largest(arbor) * self.scale * 1.6, 26.0)
            ET.SubElement(turns, "path", {"d": f"M{-arm:.1f},0L{arm:.1f},0", "class": "arm"})
            vanes = "".join(f"M{side * arm * 0.55:.1f},0L{side * arm:.1f},0" for side in (-1, 1))
            ET.SubElement(turns, "path", {"d": vanes, "class": "vane"})
        # A mark to follow with the eye: there is none on the clock.
        ET.SubElement(turns, "circle", {
            "cx": "0", "cy": f"{-min(reach * 0.72, reach - 4):.2f}", "r": f"{min(max(reach * 0.05, 2.2), 5):.2f}",
            "class": "mark",
        })  # fmt: skip
        _circle(turns, 2.4, "pivot")
        self._number(link, (x, y), reach, one, listed)

    def _gear(self, turns: ET.Element, arbor: Arbor, gear: Gear, lost: bool) -> None:
        size = self.sizes.of(arbor, gear)
        radius = size.radius * self.scale
        many = self._count(arbor, gear)
        if not many:
            _circle(turns, radius, "gear" if size.sure and not lost else "gear unsure")
            return
        module = 2 * radius / many
        # Too quick to be seen tooth by tooth: what the eye would see is a ring.
        fine = ET.SubElement(turns, "g", {"class": "fine", "data-many": str(many)})
        unsure = "" if size.sure and not lost else " unsure"
        classes = f"gear{unsure}"
        if gear.form == "lantern" and gear.kind == "pinion":
            for at in range(many):
                angle = self.phases.get((arbor.path, gear.path), -pi / 2) + tau * at / many
                ET.SubElement(fine, "circle", {
                    "cx": f"{radius * cos(angle):.2f}", "cy": f"{radius * sin(angle):.2f}",
                    "r": f"{module * 0.75:.2f}", "class": classes,
                })  # fmt: skip
        else:
            phase = self.phases.get((arbor.path, gear.path), -pi / 2)
            path = toothed(radius, many, phase, gear.form == "internal" and gear.kind == "wheel")
            ET.SubElement(fine, "path", {"d": path, "class": classes})
        _circle(turns, radius, "blurred")
        _circle(turns, radius, f"pitch{unsure}")
        self._crossings(turns, gear, radius - 2.6 * module)

    def _crossings(self, turns: ET.Element, gear: Gear, rim: float) -> None:
        """The arms of a wheel, where they are counted."""
        node = fact(gear.node, "crossings")
        many = node.count() if node is not None else None
        if not many or not 2 < many < 13 or rim < 14:
            return
        _circle(turns, rim, "rim")
        hub = rim * 0.16
        arms = ET.SubElement(turns, "g", {"class": "fine", "data-many": str(many)})
        lines = "".join(
            f"M{hub * cos(angle):.2f},{hub * sin(angle):.2f}L{rim * cos(angle):.2f},{rim * sin(angle):.2f}"
            for angle in (tau * at / many - pi / 2 for at in range(many))
        )
        ET.SubElement(arms, "path", {"d": lines, "class": "arms"})

    def _pins(self, turns: ET.Element, arbor: Arbor) -> None:
        node = fact(arbor.node, "lifting pins")
        many = min((node.count() or 0) if node is not None else 0, 100)
        far = self.sizes.largest(arbor) * self.scale * 0.9
        pins = ET.SubElement(turns, "g", {"class": "fine", "data-many": str(many)}) if many else turns
        for at in range(many):
            angle = tau * at / many
            ET.SubElement(pins, "circle", {
                "cx": f"{far * cos(angle):.2f}", "cy": f"{far * sin(angle):.2f}",
                "r": f"{min(3.0, far / many):.2f}", "class": "pin",
            })  # fmt: skip

    def _escape(self, turns: ET.Element, one: Stood, turning: Turning) -> None:
        node, circle = one.arbor.escape, escape_circle(self.sizes, one.arbor)
        assert node is not None
        radius, many = circle.radius * self.scale, node.count(part="teeth") or 0
        unsure = "" if circle.sure and not is_weak(node) else " unsure"
        if not 2 <= many <= 150:
            _circle(turns, radius, "gear unsure")
            return
        fine = ET.SubElement(turns, "g", {"class": "fine", "data-many": str(many)})
        if node.word == "escape wheel":
            path = saw(radius, many, turning.sense != "anticlockwise")
            ET.SubElement(fine, "path", {"d": path, "class": f"gear{unsure}"})
        elif node.word == "legs":
            sets = [("leg", 0.0)] + (
                [("leg behind", pi / many)] if node.text(part="planes") == "double" else []
            )
            for name, start in sets:
                legs = "".join(
                    f"M0,0L{radius * cos(angle):.2f},{radius * sin(angle):.2f}"
                    for angle in (start + tau * at / many - pi / 2 for at in range(many))
                )
                ET.SubElement(fine, "path", {"d": legs, "class": f"{name}{unsure}"})
        else:
            for at in range(many):
                angle = tau * at / many
                ET.SubElement(fine, "circle", {
                    "cx": f"{radius * cos(angle):.2f}", "cy": f"{radius * sin(angle):.2f}",
                    "r": f"{min(2.4, radius * pi / many / 2):.2f}", "class": f"gear{unsure}",
                })  # fmt: skip
        _circle(turns, radius, "blurred")
        crossed = Gear(path=node.path, kind="wheel", label=None, form="external", teeth=many, node=node)
        if node.word == "escape wheel":
            self._crossings(turns, crossed, radius * 0.74)

    def _crossing(self, svg: ET.Element, listed: Listed) -> None:
        """The number of an arbor that is seen edge-on, where it is drawn."""
        crossing = next(one for one in self.face.crossings if one.pair.driven.path == listed.arbor.path)
        driver = self.face.stood[crossing.pair.driver.path]
        far = self.sizes.of(crossing.pair.driver, crossing.pair.mesh.driver).radius + crossing.long / 2
        angle = crossing.angle * pi / 180
        x, y = self.at(driver.x + far * cos(angle), driver.y + far * sin(angle))
        link = self._link(svg, listed)
        place = ET.SubElement(link, "g", {"transform": f"translate({x:.2f} {y:.2f})"})
        _circle(place, 16.0, "area")
        self._write(link, (x, y), listed)

    def _link(self, svg: ET.Element, listed: Listed) -> ET.Element:
        return ET.SubElement(svg, "a", {
            "href": f"?part={listed.arbor.path}#part", "class": "arbor", "data-part": listed.arbor.path,
            "aria-label": f"{listed.number}: {'; '.join((listed.name, *listed.carries))}",
        })  # fmt: skip

    # -- numbers -------------------------------------------------------------------------
    def _number(
        self, link: ET.Element, middle: tuple[float, float], reach: float, one: Stood, listed: Listed
    ) -> None:
        """The number stands just within the rim or outside it, where it is clearest of all other circles."""
        others = [
            (*self.at(other.x, other.y), other.reach * self.scale)
            for other in self.face.stood.values()
            if other is not one
        ]
        far = reach - 1.1 * _NUMBER if reach > 60 else reach + 0.85 * _NUMBER

        def clear(place: tuple[float, float]) -> float:
            inside = min(place[0], self.wide - place[0], place[1], self.tall - place[1]) - _NUMBER * 0.6
            rims = [abs(hypot(place[0] - x, place[1] - y) - r) for x, y, r in others]
            middles = [hypot(place[0] - x, place[1] - y) for x, y, _ in others]
            written = [hypot(place[0] - x, place[1] - y) - _NUMBER for x, y in self.numbers]
            return min([*rims, *middles, *written, inside * 3, 40.0])

        places = [
            (middle[0] + far * cos(tau * at / 24), middle[1] + far * sin(tau * at / 24)) for at in range(24)
        ]
        best = max(places, key=clear)
        self.numbers.append(best)
        self._write(link, best, listed)

    def _write(self, link: ET.Element, place: tuple[float, float], listed: Listed) -> None:
        x, y = place
        badge = ET.SubElement(link, "g", {"class": "number", "aria-hidden": "true"})
        ET.SubElement(badge, "circle", {"cx": f"{x:.1f}", "cy": f"{y:.1f}", "r": f"{_NUMBER * 0.72:.1f}"})
        text = ET.SubElement(badge, "text", {"x": f"{x:.1f}", "y": f"{y + _NUMBER * 0.33:.1f}"})
        text.text = str(listed.number)


def _circle(owner: ET.Element, radius: float, name: str) -> None:
    ET.SubElement(owner, "circle", {"r": f"{radius:.2f}", "class": name})
