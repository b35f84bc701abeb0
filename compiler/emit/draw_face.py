"""The face view of a train: pitch circles in mesh, to scale, with the way each arbor turns."""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, cos, pi, radians, sin
from typing import NamedTuple

from countwheel.emit.drawing import Drawing
from countwheel.emit.face_layout import (
    Crossing,
    Face,
    Stood,
    crossing_width,
    lay_out,
    pallet_distance,
    plate_radius,
)
from countwheel.emit.graph_svg import Words
from countwheel.emit.graph_words import Figures, is_weak
from countwheel.emit.naming import Names
from countwheel.emit.pitch_sizes import Sizes, barrel_circle, escape_circle, sizes_of
from countwheel.emit.sheet_tags import (
    EDGE,
    Foot,
    Tag,
    arbor_name,
    arbor_words,
    column_height,
    count_words,
    foot_height,
    gear_words,
    put_column,
    put_foot,
    put_title,
    round_scale,
    tag,
    title_height,
    turning_words,
)
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, TALL, WIDE, Place, Sketch
from countwheel.emit.stated import fact, is_lost, there
from countwheel.emit.train_tree import Pair, Tree, tree_of
from countwheel.model.clock import Arbor, Clock, Train

#: The columns of labels at both sides, and between them the picture, in mm.
_COLUMN, _GUTTER = 36.0, 3.0
_PICTURE = WIDE - 2 * (EDGE + _COLUMN + _GUTTER)
#: A drawing without a scale is not blown up beyond this, in mm across its largest circle.
_LARGEST = 80.0


class _View(NamedTuple):
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


def draw_faces(clock: Clock, train: Train, figures: Figures, stem: str, title: str) -> list[Drawing]:
    """The face view; arbors that stand across have sheets of their own where they drive others."""
    tree = tree_of(train)
    sizes = sizes_of(tree, figures)
    node = fact(clock.root, "clock", "frame")
    frame = (node.text() or "") if node is not None else ""
    groups = [tree.roots]
    for roots in groups:
        face = lay_out(tree, sizes, roots, frame)
        groups += [(one.pair.driven,) for one in face.crossings if tree.pairs_of(one.pair.driven)]
    made = []
    for at, roots in enumerate(groups, 1):
        seen = (
            f"{title}, seen from the front"
            if at == 1
            else f"{title}, seen along the arbors that stand across"
        )
        id = f"face-{stem}" if at == 1 else f"face-{stem}-sheet-{at}"
        face = lay_out(tree, sizes, roots, frame)
        made.append(_sheet(clock, tree, figures, sizes, face, id, seen))
    return made


# -- one sheet ------------------------------------------------------------------------
def _sheet(
    clock: Clock, tree: Tree, figures: Figures, sizes: Sizes, face: Face, id: str, title: str
) -> Drawing:
    left, top, right, bottom = _extent(clock, sizes, face)
    names = Names(clock)
    dashes = sizes.assumed() or any(is_lost(one.arbor.node) for one in face.stood.values())
    # The height of the foot does not hang on the scale.
    room = (
        TALL - title_height(title, clock.name) - foot_height(_foot(clock, sizes, face, figures, 1.0, dashes))
    )
    fit = max((right - left) / _PICTURE, (top - bottom) / room, 1e-6)
    if not sizes.true:
        fit = max(fit, 2 * max(one.reach for one in face.stood.values()) / _LARGEST)
    ratio = round_scale(fit) if sizes.true else fit
    foot = _foot(clock, sizes, face, figures, ratio, dashes)

    def tags(view: _View) -> list[Tag]:
        found = [_tag(view, one, names) for one in face.stood.values()]
        return found + [_crossing_tag(view, one, names) for one in face.crossings]

    words = Words(id, title, f"{title}. {'. '.join(_in_words(face, figures))}.")
    # The labels' heights do not hang on where they point, so they can be asked before there is a sheet.
    trial = _View(Sketch(words, TALL), sizes, figures, face, 1 / ratio, 0.0, 0.0)
    columns = _columns(tags(trial))
    tall = max((top - bottom) / ratio, *(column_height(one) for one in columns))
    height = min(title_height(title, clock.name) + tall + foot_height(foot), TALL)
    sketch = Sketch(words, height)
    middle = (
        title_height(title, clock.name) + (height - title_height(title, clock.name) - foot_height(foot)) / 2
    )
    view = _View(
        sketch, sizes, figures, face, 1 / ratio,
        WIDE / 2 - (left + right) / 2 / ratio, middle + (top + bottom) / 2 / ratio,
    )  # fmt: skip
    for one in face.stood.values():
        sketch.group(one.arbor.path)
        _draw_arbor(view, one, clock)
    sketch.group()
    for pair in face.pairs:
        if pair.way == "cord":
            _draw_cord(view, pair)
    for crossing in face.crossings:
        sketch.group(crossing.pair.driven.path)
        _draw_crossing(view, crossing)
    sketch.group()
    ends = (title_height(title, clock.name), height - foot_height(foot))
    put_title(sketch, title, clock.name)
    for side, column in zip((EDGE, WIDE - EDGE - _COLUMN), _columns(tags(view)), strict=True):
        put_column(sketch, column, side, ends)
    put_foot(sketch, foot)
    return sketch.finish()


def _extent(clock: Clock, sizes: Sizes, face: Face) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of all that is drawn, in mm of the clock, upwards."""
    marks = [(one.x, one.y, one.reach) for one in face.stood.values()]
    for one in face.stood.values():
        if there(one.arbor.escape):
            marks.append((one.x, one.y + pallet_distance(clock, sizes, one.arbor)[0], sizes.taken))
    for crossing in face.crossings:
        driver = face.stood[crossing.pair.driver.path]
        angle = radians(crossing.angle)
        far = sizes.of(crossing.pair.driver, crossing.pair.mesh.driver).radius + crossing.long
        wide = crossing_width(crossing.pair, sizes)
        marks.append((driver.x + far * cos(angle), driver.y + far * sin(angle), wide))
    return (
        min(x - r for x, _, r in marks), max(y + r for _, y, r in marks),
        max(x + r for x, _, r in marks), min(y - r for _, y, r in marks),
    )  # fmt: skip


def _columns(tags: list[Tag]) -> tuple[list[Tag], list[Tag]]:
    """The labels in two columns about equally tall: those of what stands further left in the left one."""
    ordered = sorted(tags, key=lambda one: (one.at[0], one.at[1]))
    total = column_height(ordered)
    left: list[Tag] = []
    for one in ordered:
        if column_height(left) + one.tall / 2 > total / 2:
            break
        left.append(one)
    return left, ordered[len(left) :]


def _foot(clock: Clock, sizes: Sizes, face: Face, figures: Figures, ratio: float, dashes: bool) -> Foot:
    keys = [("plain", "pitch circle")]
    if any(_sense(figures, one.arbor) for one in face.stood.values()):
        keys.append(("arrow", "the way it turns"))
    if dashes:
        keys.append(("dashed", "not known, lost or assumed"))
    notes = [
        "Arbors that mesh stand as far apart as their circles ask. In which direction they stand from one another "
        "is not recorded: here each stands where it hides the others least."
    ]
    notes += size_notes(sizes)
    arbors = [one.arbor for one in face.stood.values()]
    if any(there(arbor.escape) for arbor in arbors) and there(clock.escapement):
        notes.append("The pallets are only hinted at.")
    if any(there(arbor.fly) for arbor in arbors):
        notes.append("The fly is drawn short.")
    return Foot(ratio if sizes.true else 0.0, tuple(keys), tuple(notes))


def size_notes(sizes: Sizes) -> list[str]:
    """What had to be taken for the sizes that are not recorded, in a sentence."""
    if not sizes.assumed():
        return []
    if not sizes.true:
        return [
            "No size of a tooth is recorded. The same size is taken for the whole train, so only the proportions "
            "of the counts are true, and there is no scale."
        ]
    return [f"Where the size of the teeth is not recorded, a module of {sizes.taken:.3g} mm is taken."]


# -- the parts ---------------------------------------------------------------------------
def _draw_arbor(view: _View, one: Stood, clock: Clock) -> None:
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


def _draw_escape(view: _View, one: Stood) -> None:
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
    lead = -1 if _sense(view.figures, one.arbor) == "clockwise" else 1
    tips = list(_round(middle, far, many))
    roots = list(_round(middle, far * 0.86, many, pi / 2 - lead * 0.35 * 2 * pi / many))
    points = [point for pair in zip(tips, roots, strict=True) for point in pair]
    if lead > 0:
        points = [point for pair in zip(roots, tips, strict=True) for point in pair]
    sketch.line(points, PLAIN * 0.75, dash, closed=True)


def _draw_pallets(view: _View, one: Stood, clock: Clock) -> None:
    far, sure = pallet_distance(clock, view.sizes, one.arbor)
    radius = escape_circle(view.sizes, one.arbor).radius
    open_ = acos(radius / far)
    pivot, dash = view.at(one.x, one.y + far), "" if sure else DASHED
    tips = [view.at(one.x + side * radius * sin(open_), one.y + radius * cos(open_)) for side in (-1, 1)]
    view.sketch.line([tips[0], pivot, tips[1]], PLAIN * 1.4, dash)
    view.sketch.circle(pivot, 0.6, FINE, "", "black")


def _draw_fly(view: _View, one: Stood) -> None:
    """Two vanes on short arms, edge-on."""
    x, y = view.middle(one)
    arm = max(view.sizes.largest(one.arbor) * view.scale * 1.6, 5.0)
    for side in (-1, 1):
        tip = (x + side * arm, y - side * arm * 0.4)
        view.sketch.line([(x, y), tip], PLAIN)
        near = (x + side * arm * 0.55, y - side * arm * 0.22)
        view.sketch.line([near, tip], HEAVY)


def _draw_sense(view: _View, one: Stood) -> None:
    """An arrow round the middle, on the side away from what the arbor meshes with."""
    sense = _sense(view.figures, one.arbor)
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


def _sense(figures: Figures, arbor: Arbor) -> str:
    figure = figures.get(f"{arbor.path}.sense")
    return figure.value if figure is not None and isinstance(figure.value, str) else ""


def _draw_cord(view: _View, pair: Pair) -> None:
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


def _crossing_ends(view: _View, one: Crossing) -> tuple[Place, Place, Place]:
    """Where a crossing arbor begins and ends, and the unit across it, on the page."""
    driver = view.face.stood[one.pair.driver.path]
    angle = radians(one.angle)
    rim = view.sizes.of(one.pair.driver, one.pair.mesh.driver).radius
    start = view.at(driver.x + rim * cos(angle), driver.y + rim * sin(angle))
    far = one.long * view.scale
    return start, (start[0] + far * cos(angle), start[1] - far * sin(angle)), (sin(angle), cos(angle))


def _draw_crossing(view: _View, one: Crossing) -> None:
    """An arbor at a right angle to the others: what it carries is seen edge-on."""
    start, end, across = _crossing_ends(view, one)
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


# -- the words ------------------------------------------------------------------------------
def _tag(view: _View, one: Stood, names: Names) -> Tag:
    arbor = one.arbor
    turned = turning_words(arbor, view.figures, names)
    waits = f"{arbor.path}.sense" in view.figures and not _sense(view.figures, arbor) and bool(turned)
    lines = (
        *arbor_words(arbor, map(gear_words, arbor.gears)),
        *turned,
        "which way it turns: not known" if waits else "",
    )
    return tag(view.middle(one), arbor_name(arbor), lines, _COLUMN)


def _crossing_tag(view: _View, one: Crossing, names: Names) -> Tag:
    arbor = one.pair.driven
    start, end, _ = _crossing_ends(view, one)
    lines = (
        "stands across, seen from its side",
        *arbor_words(arbor, map(gear_words, arbor.gears)),
        *turning_words(arbor, view.figures, names),
    )
    return tag(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), arbor_name(arbor), lines, _COLUMN)


def _in_words(face: Face, figures: Figures) -> Iterator[str]:
    """Each pair in a sentence, with the way its arbors turn."""
    for pair in (*face.pairs, *(one.pair for one in face.crossings)):
        across = " at a right angle" if pair.way == "across" else ""
        ways = [_sense(figures, arbor) or "not known which way" for arbor in (pair.driver, pair.driven)]
        yield (
            f"The {arbor_name(pair.driver)} ({count_words(pair.mesh.driver)}, turns {ways[0]}) drives the "
            f"{arbor_name(pair.driven)} ({count_words(pair.mesh.driven)}, turns {ways[1]}){across}"
        )
    if not face.pairs and not face.crossings:
        yield "; ".join(arbor_name(one.arbor) for one in face.stood.values())
