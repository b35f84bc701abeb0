"""The parts of an elevation: an arbor from the side, with what it carries edge-on between back and front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from countwheel.emit.draw_reeving import break_mark, has_weight
from countwheel.emit.draw_sheet import joined, owned
from countwheel.emit.elevation_rows import Chain, Jack, Row, goes_up, jacks_of
from countwheel.emit.face_layout import crossing_length, pallet_distance, plate_radius
from countwheel.emit.graph_svg import POINT_IN_MM
from countwheel.emit.graph_words import Figures, is_weak, marked, part, said, sized
from countwheel.emit.lettering import width_of
from countwheel.emit.naming import Names
from countwheel.emit.pitch_sizes import Sizes, barrel_circle, escape_circle
from countwheel.emit.sheet_tags import (
    EDGE,
    SMALL,
    Tag,
    arbor_name,
    arbor_words,
    count_words,
    gear_words,
    tag,
    turning_words,
)
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, WIDE, Box, Sketch, text_box
from countwheel.emit.stated import all_there, fact, has, is_lost, there
from countwheel.emit.train_tree import Pair
from countwheel.figures.senses import upright
from countwheel.model.clock import Arbor, Clock, Gear, Train
from countwheel.model.node import Node

#: The insides of the back and the front of the frame, and the column of labels, in mm from the left of the sheet.
BACK, FRONT = 25.0, 107.0
PLATE = 2.2
LABELS = 121.0
COLUMN = WIDE - EDGE - LABELS
#: Half the thickness of a wheel and of a pinion, seen edge-on. Not to scale: the widths are seldom recorded.
_WHEEL, _PINION = 1.1, 2.4
_LONGEST_BARREL, _USUAL_BARREL = 58.0, 40.0
#: How far a fly is drawn to each side of its arbor, in mm of the page: mostly far less than its true length.
FLY = 6.0

Planes = dict[tuple[str, str], float]


@dataclass
class View:
    """One sheet while it is drawn: `scale` is mm of the page for one of the clock."""

    sketch: Sketch
    sizes: Sizes
    figures: Figures
    names: Names
    scale: float
    tags: list[Tag] = field(default_factory=list)
    counts: list[tuple[Box, str]] = field(default_factory=list)

    def solid(self, box: Box, dash: str = "") -> None:
        """Something seen from its side, that hides what is behind it; lettering keeps clear of it."""
        self.sketch.rectangle(box, PLAIN, dash, "white")
        self.sketch.taken.append(box)


# -- from back to front -------------------------------------------------------------------
def planes_of(chain: Chain) -> Planes:
    """Where each wheel and pinion sits: the pairs by turns at the back and at the front, going inwards."""
    step = min(11.0, 60.0 / max(len(chain.pairs), 1))
    found: Planes = {}

    def slot(at: int) -> float:
        return BACK + 6 + step * (at // 2) if at % 2 == 0 else FRONT - 18 - step * (at // 2)

    for at, pair in enumerate(chain.pairs):
        found.setdefault((pair.driver.path, pair.mesh.driver.path), slot(at))
        found[pair.driven.path, pair.mesh.driven.path] = slot(at)
        found[pair.driven.path, ""] = slot(at + 1)  # an escape wheel or a fly there
    for pair, x in zip(chain.hung, (BACK + 13, FRONT - 12), strict=False):
        found.setdefault((pair.driver.path, pair.mesh.driver.path), x)
        found[pair.driven.path, pair.mesh.driven.path] = found[pair.driver.path, pair.mesh.driver.path]
    return found


def _free(planes: Planes, arbor: Arbor) -> Iterator[float]:
    """Places on an arbor for what meshes with nothing on this sheet, clear of what sits there already."""
    sits = [x for (path, of), x in planes.items() if path == arbor.path and of]
    for x in (*(FRONT - 18 - 5.5 * at for at in range(11)), *(BACK + 3 + 2.75 * at for at in range(24))):
        if all(abs(x - other) > 5 for other in sits):
            sits.append(x)
            yield x
    while True:
        yield (BACK + FRONT) / 2


# -- arbors ----------------------------------------------------------------------------------
def draw_chain(
    view: View, clock: Clock, train: Train, chain: Chain, rows: tuple[Row, ...], zero: float
) -> None:
    """A chain of arbors upwards from `zero`, where the first lies."""
    planes = planes_of(chain)
    for row in rows:
        view.sketch.group(row.arbor.path)
        _draw_row(view, row, planes, zero - row.y * view.scale)
    for pair in chain.across:
        row = next(row for row in rows if row.arbor.path == pair.driver.path)
        view.sketch.group(pair.driven.path)
        _draw_across(view, pair, planes, zero - row.y * view.scale, -1 if goes_up(chain, pair) else 1)
    for row in rows:
        if there(row.arbor.escape) is not None and row.whole and there(clock.escapement) is not None:
            view.sketch.group("escapement")
            _draw_pallets(view, clock, row.arbor, planes, zero - row.y * view.scale)
    if chain.whole and there(chain.first.barrel) is not None:
        view.sketch.group("winding")
        _draw_winding(view, train, jacks_of(train, view.sizes, chain), zero)
    view.sketch.group()
    for pair in (*chain.pairs, *chain.hung):
        if pair.way == "cord":
            _draw_cord(view, pair, planes, rows, zero)
    for row, pair in zip(rows, chain.pairs, strict=False):
        _draw_distance(view, pair, zero - row.y * view.scale)


def _draw_row(view: View, row: Row, planes: Planes, y: float) -> None:
    """One arbor with all that it carries."""
    sketch, arbor = view.sketch, row.arbor
    lost = is_lost(arbor.node)
    free = _free(planes, arbor)
    gears = [gear for gear in arbor.gears if row.whole or (arbor.path, gear.path) in planes]
    for gear in gears:
        if (arbor.path, gear.path) not in planes:
            planes[arbor.path, gear.path] = next(free)
    sits = [planes[arbor.path, gear.path] for gear in gears]
    left, right = BACK - PLATE, FRONT + PLATE
    if row.hung and sits:
        # A short arbor in the nearer end of the frame, so that it does not cross what stands beside it.
        long = 14.0 if arbor.node.word == "chime barrel" else 6.0
        left, right = (
            (left, max(sits) + long) if sits[0] - BACK < FRONT - sits[0] else (min(sits) - long, right)
        )
    dash = DASHED if lost else ""
    sketch.line([(left, y), (right, y)], PLAIN * 1.5, dash)
    sketch.taken.append(Box(left, y - 0.4, right, y + 0.4))
    if row.whole and there(arbor.barrel) is not None:
        _draw_barrel(view, arbor, sits, y)
    for gear in gears:
        _draw_gear(view, arbor, gear, planes[arbor.path, gear.path], y)
    plate = plate_radius(view.sizes, arbor)
    if plate and sits:
        long = 9.0 if arbor.node.word == "chime barrel" else 1.2
        way = 1 if left < BACK else -1
        _block(view, sits[0] + way * (long / 2 + 2.5), y, plate, long / 2, dash)
    plane = planes.get((arbor.path, "")) or next(free)
    if there(arbor.escape) is not None and row.whole:
        _draw_escape(view, arbor, plane, y)
    if there(arbor.fly) is not None and row.whole:
        _draw_fly(view, plane, y)
    told = [_gear_words(view.sizes, arbor, gear) for gear in gears]
    lines = (*told, "the rest of it stands on another sheet")
    if row.whole:
        lines = (*arbor_words(arbor, told), *turning_words(arbor, view.figures, view.names))
    view.tags.append(tag((right, y), arbor_name(arbor), lines, COLUMN))


def _gear_words(sizes: Sizes, arbor: Arbor, gear: Gear) -> str:
    """'wheel: 80 teeth, 290.3 mm': the diameter of the pitch circle only where it is recorded."""
    size = sizes.of(arbor, gear)
    return f"{gear_words(gear)}, {2 * size.radius:.4g} mm" if sizes.true and size.sure else gear_words(gear)


def _block(view: View, x: float, y: float, radius: float, half: float, dash: str) -> Box:
    """Something round, seen edge-on: `radius` in mm of the clock, `half` its thickness on the page."""
    box = Box(x - half, y - radius * view.scale, x + half, y + radius * view.scale)
    view.solid(box, dash)
    return box


def _draw_gear(view: View, arbor: Arbor, gear: Gear, x: float, y: float) -> None:
    size = view.sizes.of(arbor, gear)
    dash = "" if size.sure and not is_lost(arbor.node) else DASHED
    wheel = gear.kind == "wheel"
    box = _block(view, x, y, size.radius, _WHEEL if wheel else _PINION, dash)
    if not wheel and box.bottom - box.top > 2.4:
        for off in (-0.5, 0.0, 0.5):
            mid = y + off * (box.bottom - box.top)
            view.sketch.line([(box.left, mid), (box.right, mid)], FINE)
    view.counts.append((box, count_words(gear)))
    pins = fact(arbor.node, "lifting pins")
    if pins is not None and wheel and size.radius == view.sizes.largest(arbor):
        for side in (-1, 1):
            at = y + side * 0.9 * size.radius * view.scale
            pin = Box(box.right, at - 0.6, box.right + 2.6, at + 0.6)
            view.solid(pin, DASHED if is_weak(pins) else "")


def _draw_barrel(view: View, arbor: Arbor, sits: list[float], y: float) -> None:
    """The drum between the wheels of its arbor, with a few turns of the line, and the line cut off below."""
    barrel = arbor.barrel
    assert barrel is not None
    drum = barrel_circle(view.sizes, arbor)
    length = view.sizes.length(fact(barrel, "length"))
    left = max((x for x in sits if x < (BACK + FRONT) / 2), default=BACK) + 5
    room = min((x for x in sits if x > left), default=FRONT - 7) - 3 - left
    most = max(min(room, _LONGEST_BARREL), 6.0)
    long = min(length * view.scale if length else _USUAL_BARREL, most)
    lost = is_lost(arbor.node) or is_lost(barrel)
    box = _block(
        view, left + long / 2, y, drum.radius, long / 2, "" if drum.sure and length and not lost else DASHED
    )
    if length and length * view.scale > most + 0.01:
        _cut_short(view, box)
    line = fact(barrel, "line")
    if not has_weight(barrel):
        return
    dash = DASHED if line is None or is_lost(line) else ""
    for at in range(6):
        x = box.left + 2 + 1.6 * at
        if x < box.right - 1:
            view.sketch.line([(x, box.top), (x, box.bottom)], FINE, dash)
    down = (box.left + 2, box.bottom + 6)
    view.sketch.line([(down[0], box.bottom), down], HEAVY, dash)
    break_mark(view.sketch, down)
    view.sketch.taken.append(Box(down[0] - 1.5, box.bottom, down[0] + 1.5, down[1] + 1.5))


def _cut_short(view: View, box: Box) -> None:
    """A gap across a barrel that is longer than there is room for."""
    x = box.left + 0.7 * (box.right - box.left)
    edges = [[(x + off + 0.7, box.top - 1), (x + off - 0.7, box.bottom + 1)] for off in (-0.8, 0.8)]
    view.sketch.line([*edges[0], *reversed(edges[1])], 0, closed=True, fill="white")
    for edge in edges:
        view.sketch.line(edge, FINE)


def _draw_escape(view: View, arbor: Arbor, x: float, y: float) -> None:
    """The escape wheel edge-on; pins stand out to the sides that they are on, double legs are two discs."""
    node, circle = arbor.escape, escape_circle(view.sizes, arbor)
    assert node is not None
    dash = "" if circle.sure and not is_weak(node) else DASHED
    count = node.count(part="teeth")
    word = "teeth" if node.word == "escape wheel" else node.word
    if node.word == "legs":
        planes = (-1.6, 1.6) if node.text(part="planes") == "double" else (0.0,)
        boxes = [_block(view, x + off, y, circle.radius, 0.5, dash) for off in planes]
        view.counts.append((boxes[-1], f"{'?' if count is None else count} {word}"))
        return
    box = _block(view, x, y, circle.radius, 0.8, dash)
    view.counts.append((box, f"{'?' if count is None else count} {word}"))
    if node.word == "pins":
        both = node.text(part="sides") == "both sides"
        for side in (-1, 1):
            at = y + side * circle.radius * view.scale * 0.94
            view.sketch.line([(box.left - (1.6 if both else 0.0), at), (box.right + 1.6, at)], PLAIN)


def _draw_fly(view: View, x: float, y: float) -> None:
    """Two vanes on short arms."""
    for side in (-1, 1):
        view.sketch.line([(x, y), (x, y + side * 2)], PLAIN)
        low, high = sorted((y + side * 2, y + side * FLY))
        view.solid(Box(x - 2.5, low, x + 2.5, high))


def _draw_pallets(view: View, clock: Clock, arbor: Arbor, planes: Planes, y: float) -> None:
    """The arbor of the pallets, from the back to the escape wheel."""
    far, sure = pallet_distance(clock, view.sizes, arbor)
    x, high, dash = (
        planes.get((arbor.path, ""), (BACK + FRONT) / 2),
        y - far * view.scale,
        "" if sure else DASHED,
    )
    low = y - escape_circle(view.sizes, arbor).radius * view.scale
    view.sketch.line([(BACK - PLATE, high), (x + 4, high)], PLAIN * 1.5, dash)
    view.sketch.line([(x, high), (x, min(low + 2, y))], PLAIN, dash)
    view.sketch.taken.append(Box(BACK - PLATE, high - 0.4, x + 4, high + 0.4))
    kind = part(clock.escapement, "kind") or said(clock.escapement)
    distance = owned("pallet centre distance", fact(clock.escapement, "pallet centre distance"))
    view.tags.append(tag((x + 4, high), "pallets", (joined(kind, "escapement"), distance), COLUMN))


def _draw_across(view: View, pair: Pair, planes: Planes, y: float, way: int) -> None:
    """An arbor at a right angle to its driver, upwards (`way` -1) or downwards."""
    arbor, size = pair.driven, view.sizes.of(pair.driven, pair.mesh.driven)
    x = planes.get((pair.driver.path, pair.mesh.driver.path), (BACK + FRONT) / 2)
    start = y + way * view.sizes.of(pair.driver, pair.mesh.driver).radius * view.scale
    end = start + way * crossing_length(pair, view.sizes) * view.scale
    dash = "" if size.sure and not is_lost(arbor.node) else DASHED
    far = size.radius * view.scale
    if pair.mesh.form == "worm" and not upright(arbor.node):
        view.sketch.circle((x, (start + end) / 2), far, PLAIN, dash, "white")
        view.sketch.taken.append(Box(x - far, min(start, end), x + far, max(start, end)))
    else:
        x += 2.2
        view.sketch.line([(x, start), (x, end)], PLAIN * 1.5, dash)
        for at, wide, drawn in (
            (start, far, True),
            (end, _escape_width(view, arbor), bool(there(arbor.escape))),
        ):
            if drawn:
                box = Box(x - wide, at - _WHEEL, x + wide, at + _WHEEL)
                view.solid(box, dash)
    told = (_gear_words(view.sizes, arbor, gear) for gear in arbor.gears)
    turned = turning_words(arbor, view.figures, view.names)
    lines = ("stands across", *arbor_words(arbor, told), *turned)
    view.tags.append(tag((x, (start + end) / 2), arbor_name(arbor), lines, COLUMN))


def _escape_width(view: View, arbor: Arbor) -> float:
    return escape_circle(view.sizes, arbor).radius * view.scale if there(arbor.escape) else 0.0


def _draw_cord(view: View, pair: Pair, planes: Planes, rows: tuple[Row, ...], zero: float) -> None:
    """A cord or chain from rim to rim; how far it goes is not recorded."""
    x = planes[pair.driver.path, pair.mesh.driver.path]
    ends = []
    for arbor, gear in ((pair.driver, pair.mesh.driver), (pair.driven, pair.mesh.driven)):
        row = next(row for row in rows if row.arbor.path == arbor.path)
        ends.append((zero - row.y * view.scale, view.sizes.of(arbor, gear).radius * view.scale))
    (y_0, r_0), (y_1, r_1) = ends
    way = -1 if y_1 < y_0 else 1
    view.sketch.line([(x, y_0 + way * r_0), (x, y_1 - way * r_1)], PLAIN, DASHED)


# -- winding, distances, counts ------------------------------------------------------------------
def _draw_winding(view: View, train: Train, jacks: tuple[Jack, ...], zero: float) -> None:
    """The winding wheels at the front, taken as large as they fit, and the square that the handle goes on."""
    winding = there(train.fact("winding"))
    if winding is None:
        return
    x, y = FRONT - 5, zero
    for jack in jacks:
        low = zero - jack.y * view.scale
        wheel = _block(view, x, y, jack.driven, _WHEEL, DASHED)
        view.sketch.line([(x - 5, low), (FRONT + PLATE, low)], PLAIN * 1.5)
        pinion = _block(view, x, low, jack.driver, _PINION, DASHED)
        view.counts += [(wheel, f"{jack.counts[1]} teeth"), (pinion, f"{jack.counts[0]} leaves")]
        x, y = x - 7, low
    if not jacks and not has(winding, "handle") and part(winding, "by") != "handle":
        view.tags.append(tag((FRONT + PLATE, zero + 1), "winding", _winding_words(winding), COLUMN))
        return
    box = Box(FRONT + PLATE, y - 1.3, FRONT + PLATE + 5.5, y + 1.3)
    view.solid(box)
    view.sketch.line([(box.left, box.top), (box.right, box.bottom)], FINE)
    view.sketch.line([(box.left, box.bottom), (box.right, box.top)], FINE)
    view.tags.append(tag((box.right, y), "winding square, at the front", _winding_words(winding), COLUMN))


def _winding_words(winding: Node) -> tuple[str, ...]:
    by = part(winding, "by")
    way = next((word for word in ("clockwise", "anticlockwise") if has(winding, word)), "")
    handle = fact(winding, "handle")
    return (
        f"wound by {by}" if by and by != "handle" else "",
        f"handle {sized(handle)}" if said(handle) else "",
        *(
            marked(f"{part(jack, 'driver')} leaves drive {part(jack, 'driven')} teeth", jack)
            for jack in all_there(winding, "jack")
        ),
        f"turned {way} to wind" if way else "",
    )


def _draw_distance(view: View, pair: Pair, y: float) -> None:
    """The distance between the centres of a pair, where it is known, at the back."""
    figure = view.figures.get(f"{pair.mesh.path}.centre_distance")
    if figure is None or figure.value is None:
        return
    high = y - view.sizes.distance(pair).radius * view.scale
    x, middle = BACK - 5, (y + high) / 2
    for at in (y, high):
        view.sketch.line([(x - 1.2, at), (BACK - PLATE, at)], FINE)
    view.sketch.arrow([(x, middle), (x, high)], FINE, size=1.5)
    view.sketch.arrow([(x, middle), (x, y)], FINE, size=1.5)
    view.sketch.text((1.5, middle + 0.9), f"{figure.shown} {figure.unit}", SMALL)


def put_counts(view: View) -> None:
    """The count of each wheel beside it where there is room; all stand in the column of labels too."""
    for box, words in view.counts:
        wide, middle = width_of(words, SMALL) * POINT_IN_MM, (box.top + box.bottom) / 2
        tall = box.bottom - box.top
        ys = (
            box.bottom - 0.4,
            box.top + 2.6,
            middle + tall / 4,
            middle - tall / 4,
            middle - 1.2,
            middle + 3.2,
        )
        places = [(x, y) for y in ys for x in (box.right + 1.0, box.left - wide - 1.0)]
        for place in places:
            room = text_box(place, words, SMALL)
            if room.left > BACK + 0.5 and room.right < FRONT - 0.5 and view.sketch.fits(room):
                view.sketch.text(place, words, SMALL, over=True)
                break
