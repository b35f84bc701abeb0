"""The face view of a train: pitch circles in mesh, to scale, with the way each arbor turns."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from countwheel.emit.drawing import Drawing
from countwheel.emit.face_layout import (
    Crossing,
    Face,
    Stood,
    crossing_width,
    lay_out,
    pallet_distance,
)
from countwheel.emit.face_parts import View, crossing_ends, draw_arbor, draw_cord, draw_crossing, sense_of
from countwheel.emit.graph_svg import Words
from countwheel.emit.graph_words import Figures
from countwheel.emit.naming import Names
from countwheel.emit.pitch_sizes import Sizes, sizes_of
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
    size_notes,
    tag,
    title_height,
    turning_words,
)
from countwheel.emit.sketch import TALL, WIDE, Sketch
from countwheel.emit.stated import fact, is_lost, there
from countwheel.emit.train_tree import tree_of
from countwheel.model.clock import Clock, Train

#: The columns of labels at both sides, and between them the picture, in mm.
_COLUMN, _GUTTER = 36.0, 3.0
_PICTURE = WIDE - 2 * (EDGE + _COLUMN + _GUTTER)
#: A drawing without a scale is not blown up beyond this, in mm across its largest circle.
_LARGEST = 80.0


def draw_faces(clock: Clock, train: Train, figures: Figures, stem: str, title: str) -> list[Drawing]:
    """The face view; arbors that stand across have sheets of their own where they drive others."""
    tree = tree_of(train)
    sizes = sizes_of(tree, figures)
    node = fact(clock.root, "clock", "frame")
    frame = (node.text() or "") if node is not None else ""
    groups = [tree.roots]
    made: list[Drawing] = []
    for roots in groups:
        face = lay_out(tree, sizes, roots, frame)
        groups += [(one.pair.driven,) for one in face.crossings if tree.pairs_of(one.pair.driven)]
        first = not made
        seen = "seen from the front" if first else "seen along the arbors that stand across"
        id = f"face-{stem}" if first else f"face-{stem}-sheet-{len(made) + 1}"
        made.append(_sheet(clock, figures, sizes, face, id, f"{title}, {seen}"))
    return made


# -- one sheet ------------------------------------------------------------------------
def _sheet(clock: Clock, figures: Figures, sizes: Sizes, face: Face, id: str, title: str) -> Drawing:
    left, top, right, bottom = extent(clock, sizes, face)
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

    def tags(view: View) -> list[Tag]:
        found = [_tag(view, one, names) for one in face.stood.values()]
        return found + [_crossing_tag(view, one, names) for one in face.crossings]

    words = Words(id, title, f"{title}. {'. '.join(_in_words(face, figures))}.")
    # The labels' heights do not hang on where they point, so they can be asked before there is a sheet.
    trial = View(Sketch(words, TALL), sizes, figures, face, 1 / ratio, 0.0, 0.0)
    columns = _columns(tags(trial))
    tall = max((top - bottom) / ratio, *(column_height(one) for one in columns))
    height = min(title_height(title, clock.name) + tall + foot_height(foot), TALL)
    sketch = Sketch(words, height)
    middle = (
        title_height(title, clock.name) + (height - title_height(title, clock.name) - foot_height(foot)) / 2
    )
    view = View(
        sketch, sizes, figures, face, 1 / ratio,
        WIDE / 2 - (left + right) / 2 / ratio, middle + (top + bottom) / 2 / ratio,
    )  # fmt: skip
    for one in face.stood.values():
        sketch.group(one.arbor.path)
        draw_arbor(view, one, clock)
    sketch.group()
    for pair in face.pairs:
        if pair.way == "cord":
            draw_cord(view, pair)
    for crossing in face.crossings:
        sketch.group(crossing.pair.driven.path)
        draw_crossing(view, crossing)
    sketch.group()
    ends = (title_height(title, clock.name), height - foot_height(foot))
    put_title(sketch, title, clock.name)
    for side, column in zip((EDGE, WIDE - EDGE - _COLUMN), _columns(tags(view)), strict=True):
        put_column(sketch, column, side, ends)
    put_foot(sketch, foot)
    return sketch.finish()


def extent(clock: Clock, sizes: Sizes, face: Face) -> tuple[float, float, float, float]:
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
    if any(sense_of(figures, one.arbor) for one in face.stood.values()):
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


# -- the words ------------------------------------------------------------------------------
def _tag(view: View, one: Stood, names: Names) -> Tag:
    arbor = one.arbor
    turned = turning_words(arbor, view.figures, names)
    waits = f"{arbor.path}.sense" in view.figures and not sense_of(view.figures, arbor) and bool(turned)
    lines = (
        *arbor_words(arbor, map(gear_words, arbor.gears)),
        *turned,
        "which way it turns: not known" if waits else "",
    )
    return tag(view.middle(one), arbor_name(arbor), lines, _COLUMN)


def _crossing_tag(view: View, one: Crossing, names: Names) -> Tag:
    arbor = one.pair.driven
    start, end, _ = crossing_ends(view, one)
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
        ways = [sense_of(figures, arbor) or "not known which way" for arbor in (pair.driver, pair.driven)]
        yield (
            f"The {arbor_name(pair.driver)} ({count_words(pair.mesh.driver)}, turns {ways[0]}) drives the "
            f"{arbor_name(pair.driven)} ({count_words(pair.mesh.driven)}, turns {ways[1]}){across}"
        )
    if not face.pairs and not face.crossings:
        yield "; ".join(arbor_name(one.arbor) for one in face.stood.values())
