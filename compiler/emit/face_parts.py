"""The parts of a face view: an arbor with its circles, escape wheel, fly and pins, and the way it turns."""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, cos, pi, radians, sin
from typing import NamedTuple

from countwheel.emit.face_layout import Crossing, Face, Stood, pallet_distance, plate_radius
from countwheel.emit.graph_words import Figures, is_weak
from countwheel.emit.pitch_sizes import Sizes, barrel_circle, escape_circle
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, Place, Sketch
from countwheel.emit.stated import fact, is_lost, there
from countwheel.emit.train_tree import Pair
from countwheel.model.clock import Arbor, Clock


class View(NamedTuple):
    """One sheet while it is drawn: `scale` is mm of the page for one of the clock."""

    sketch: Sketch
    sizes: Sizes
    figures: Figures
    face: Face
    scale: float
    left: float
    top: float

    def at(self, x: float, y: float) -> Place:
        return self.left + x * self.scale, self.top - y * self.scale

    def middle(self, one: Stood) -> Place:
        return self.at(one.x, one.y)


def draw_arbor(view: View, one: Stood, clock: Clock) -> None:
    sketch, middle, arbor, scale = view.sketch, view.middle(one), one.arbor, view.scale
    lost = is_lost(arbor.node)
    if there(arbor.barrel) is not None:
        drum = barrel_circle(view.sizes, arbor)
        sketch.circle(middle, drum.radius * scale, HEAVY * 0.7, "" if drum.sure and not lost else DASHED)
    for gear in arbor.gears:
        size = view.sizes.of(arbor, gear)
        sketch.circle(middle, size.radius * scale, PLAIN, "" if size.sure and not lost else DASHED)
    plate = plate_radius(view.sizes, arbor)
    if plate:
        sketch.circle(middle, plate * scale, FINE)
    if not arbor.gears and not there(arbor.escape) and not there(arbor.barrel):
        sketch.circle(middle, one.reach * scale, PLAIN, DASHED if lost else "")
    pins = fact(arbor.node, "lifting pins")
    if pins is not None:
        many, far = min(pins.count() or 0, 100), view.sizes.largest(arbor) * scale * 0.92
        for place in _round(middle, far, many):
            sketch.circle(place, min(0.7, far / many), FINE, "", "none" if is_weak(pins) else "black")
    if there(arbor.escape) is not None:
        _draw_escape(view, one)
        if there(clock.escapement) is not None:
            _draw_pallets(view, one, clock)
    if there(arbor.fly) is not None:
        _draw_fly(view, one)
    sketch.circle(middle, 0.6, FINE, "", "black")
    _draw_sense(view, one)


def _round(middle: Place, far: float, many: int, start: float = pi / 2) -> Iterator[Place]:
    for at in range(many):
        angle = start + 2 * pi * at / many
        yield middle[0] + far * cos(angle), middle[1] - far * sin(angle)


def _draw_escape(view: View, one: Stood) -> None:
    """Teeth as a saw whose points lead, pins as small rings, legs as rays."""
    node = one.arbor.escape
    assert node is not None
    circle, middle, sketch = escape_circle(view.sizes, one.arbor), view.middle(one), view.sketch
    far, many = circle.radius * view.scale, node.count(part="teeth")
    dash = "" if circle.sure and not is_weak(node) else DASHED
    if not many or many > 150:
        sketch.circle(middle, far, PLAIN, DASHED)
        return
    if node.word == "legs":
        for at in _round(middle, far, many):
            sketch.line([middle, at], HEAVY, dash)
        if node.text(part="planes") == "double":
            for at in _round(middle, far, many, pi / 2 + pi / many):
                sketch.line([middle, at], PLAIN, dash)
        sketch.circle(middle, far, FINE, DASHED)
        return
    if node.word == "pins":
        sketch.circle(middle, far, FINE, dash)
        for at in _round(middle, far, many):
            sketch.circle(at, min(0.6, far * pi / many / 2), FINE)
        return
    lead = -1 if sense_of(view.figures, one.arbor) == "clockwise" else 1
    tips = list(_round(middle, far, many))
    roots = list(_round(middle, far * 0.86, many, pi / 2 - lead * 0.35 * 2 * pi / many))
    points = [point for pair in zip(tips, roots, strict=True) for point in pair]
    if lead > 0:
        points = [point for pair in zip(roots, tips, strict=True) for point in pair]
    sketch.line(points, PLAIN * 0.75, dash, closed=True)


def _draw_pallets(view: View, one: Stood, clock: Clock) -> None:
    far, sure = pallet_distance(clock, view.sizes, one.arbor)
    radius = escape_circle(view.sizes, one.arbor).radius
    open_ = acos(radius / far)
    pivot, dash = view.at(one.x, one.y + far), "" if sure else DASHED
    tips = [view.at(one.x + side * radius * sin(open_), one.y + radius * cos(open_)) for side in (-1, 1)]
    view.sketch.line([tips[0], pivot, tips[1]], PLAIN * 1.4, dash)
    view.sketch.circle(pivot, 0.6, FINE, "", "black")


def _draw_fly(view: View, one: Stood) -> None:
    """Two vanes on short arms, edge-on."""
    x, y = view.middle(one)
    arm = max(view.sizes.largest(one.arbor) * view.scale * 1.6, 5.0)
    for side in (-1, 1):
        tip = (x + side * arm, y - side * arm * 0.4)
        view.sketch.line([(x, y), tip], PLAIN)
        near = (x + side * arm * 0.55, y - side * arm * 0.22)
        view.sketch.line([near, tip], HEAVY)


def _draw_sense(view: View, one: Stood) -> None:
    """An arrow round the middle, on the side away from what the arbor meshes with."""
    sense = sense_of(view.figures, one.arbor)
    if not sense:
        return
    x, y = view.middle(one)
    mates = [
        view.face.stood[other.path]
        for pair in view.face.pairs
        for here, other in ((pair.driver, pair.driven), (pair.driven, pair.driver))
        if here.path == one.arbor.path
    ]
    free = max(
        range(0, 360, 45),
        key=lambda angle: (
            -sum(cos(radians(angle)) * (m.x - one.x) + sin(radians(angle)) * (m.y - one.y) for m in mates),
            -angle,
        ),
    )
    wide = view.sizes.largest(one.arbor)
    if there(one.arbor.escape) is not None:
        wide = max(wide, 0.75 * escape_circle(view.sizes, one.arbor).radius)
    far = max(wide * view.scale - 2.0, 2.8)
    spread = min(50.0, 9.0 / far * 180 / pi) if far > 8 else 70.0
    way = -1 if sense == "clockwise" else 1
    steps = [radians(free + way * spread * (at / 6 - 1)) for at in range(13)]
    view.sketch.arrow([(x + far * cos(a), y - far * sin(a)) for a in steps], PLAIN, size=1.8)


def sense_of(figures: Figures, arbor: Arbor) -> str:
    figure = figures.get(f"{arbor.path}.sense")
    return figure.value if figure is not None and isinstance(figure.value, str) else ""


def draw_cord(view: View, pair: Pair) -> None:
    """A chain or cord as two straight runs from rim to rim, crossed where it crosses."""
    ends = []
    for arbor, gear in ((pair.driver, pair.mesh.driver), (pair.driven, pair.mesh.driven)):
        one = view.face.stood[arbor.path]
        ends.append((one.x, one.y, view.sizes.of(arbor, gear).radius))
    (x_0, y_0, r_0), (x_1, y_1, r_1) = ends
    long = ((x_1 - x_0) ** 2 + (y_1 - y_0) ** 2) ** 0.5 or 1.0
    across = (y_0 - y_1) / long, (x_1 - x_0) / long
    turn = -1 if pair.mesh.form == "crossed cord" else 1
    for side in (-1, 1):
        start = view.at(x_0 + side * across[0] * r_0, y_0 + side * across[1] * r_0)
        end = view.at(x_1 + turn * side * across[0] * r_1, y_1 + turn * side * across[1] * r_1)
        view.sketch.line([start, end], FINE, DASHED)


def crossing_ends(view: View, one: Crossing) -> tuple[Place, Place, Place]:
    """Where a crossing arbor begins and ends, and the unit across it, on the page."""
    driver = view.face.stood[one.pair.driver.path]
    angle = radians(one.angle)
    rim = view.sizes.of(one.pair.driver, one.pair.mesh.driver).radius
    start = view.at(driver.x + rim * cos(angle), driver.y + rim * sin(angle))
    far = one.long * view.scale
    return start, (start[0] + far * cos(angle), start[1] - far * sin(angle)), (sin(angle), cos(angle))


def draw_crossing(view: View, one: Crossing) -> None:
    """An arbor at a right angle to the others: what it carries is seen edge-on."""
    start, end, across = crossing_ends(view, one)
    gear, arbor = one.pair.mesh.driven, one.pair.driven
    size = view.sizes.of(arbor, gear)
    dash = "" if size.sure and not is_lost(arbor.node) else DASHED
    if one.pair.mesh.form == "worm":
        slab(view.sketch, start, end, 1.2, dash)
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        ends = [(middle[0] + k * 4 * across[0], middle[1] + k * 4 * across[1]) for k in (-1, 1)]
        view.sketch.line(ends, PLAIN)
        return
    view.sketch.line([start, end], PLAIN, dash)
    _slab_across(view.sketch, start, across, size.radius * view.scale, dash)
    if there(arbor.escape) is not None:
        wheel = escape_circle(view.sizes, arbor)
        _slab_across(view.sketch, end, across, wheel.radius * view.scale, "" if wheel.sure else DASHED)


def _slab_across(sketch: Sketch, at: Place, across: Place, half: float, dash: str) -> None:
    ends = [(at[0] + k * half * across[0], at[1] + k * half * across[1]) for k in (-1, 1)]
    slab(sketch, ends[0], ends[1], 1.2, dash)


def slab(sketch: Sketch, start: Place, end: Place, half: float, dash: str) -> None:
    """A wheel seen edge-on: a white strip from `start` to `end`, `half` of its thickness to each side."""
    long = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 or 1.0
    dx, dy = (end[1] - start[1]) / long * half, (start[0] - end[0]) / long * half
    corners = [
        (start[0] + dx, start[1] + dy), (end[0] + dx, end[1] + dy),
        (end[0] - dx, end[1] - dy), (start[0] - dx, start[1] - dy),
    ]  # fmt: skip
    sketch.line(corners, PLAIN, dash, closed=True, fill="white")
