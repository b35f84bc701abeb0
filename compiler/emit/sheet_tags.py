"""What stands around a drawing to scale: its title, a column of labels with their leaders, scale, key and notes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from countwheel.emit.draw_sheet import joined
from countwheel.emit.draw_train import turning
from countwheel.emit.graph_svg import POINT_IN_MM
from countwheel.emit.graph_words import Figures, gear_name, said, sized, standing
from countwheel.emit.lettering import width_of, wrap
from countwheel.emit.naming import Names, ending
from countwheel.emit.pitch_sizes import Sizes, is_worm
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, WIDE, Place, Sketch
from countwheel.emit.stated import fact, has, is_lost, there
from countwheel.model.clock import Arbor, Gear

SMALL, NAMED, TITLED = 7.5, 8.0, 9.5
EDGE = 2.0
_STEP = 1.25 * SMALL * POINT_IN_MM
#: No name takes more lines than this, no label more than that.
_MOST_OF_NAME, _MOST = 3, 12


class Tag(NamedTuple):
    """A label in the margin: what it points at, a name, and lines under it, all wrapped to its column."""

    at: Place
    name: tuple[str, ...]
    lines: tuple[str, ...]

    @property
    def tall(self) -> float:
        return (len(self.name) + len(self.lines)) * _STEP


def tag(at: Place, name: str, lines: Iterable[str], room: float) -> Tag:
    """A label for a column `room` mm wide; what is too long is cut, its whole is in the description."""
    points = room / POINT_IN_MM
    named = _cut(wrap(name, NAMED, points, bold=True), _MOST_OF_NAME)
    under = [line for text in lines if text for line in wrap(text, SMALL, points)]
    return Tag(at, named, _cut(under, _MOST))


def _cut(lines: Sequence[str], most: int) -> tuple[str, ...]:
    return tuple(lines) if len(lines) <= most else (*lines[: most - 1], f"{lines[most - 1][:-1]}…")


# -- columns ------------------------------------------------------------------------
def column_height(tags: Sequence[Tag]) -> float:
    return sum(one.tall + _STEP for one in tags)


def _fitted(tags: Sequence[Tag], room: float) -> list[Tag]:
    """The labels, the longest of them cut line by line until the column is no taller than `room`."""
    found = list(tags)
    while column_height(found) > room:
        at = max(range(len(found)), key=lambda at: len(found[at].lines))
        lines = found[at].lines
        if len(lines) < 2:
            break
        kept = lines[-2].removesuffix("…")
        found[at] = found[at]._replace(lines=(*lines[:-2], f"{kept[:-1]}…"))
    return found


def put_column(sketch: Sketch, tags: Sequence[Tag], left: float, ends: tuple[float, float]) -> None:
    """The labels from top to bottom as near as may be to what they point at, within `ends`, none over another."""
    ordered = sorted(_fitted(tags, ends[1] - ends[0]), key=lambda one: (one.at[1], one.at[0]))
    tops: list[float] = []
    floor = ends[0]
    for one in ordered:
        tops.append(max(floor, one.at[1] - one.tall / 2))
        floor = tops[-1] + one.tall + _STEP
    ceiling = ends[1]
    for at in reversed(range(len(tops))):
        tops[at] = min(tops[at], ceiling - ordered[at].tall)
        ceiling = tops[at] - _STEP
    for one, top in zip(ordered, tops, strict=True):
        y = top + 0.8 * _STEP
        others = [width_of(line, NAMED, bold=True) for line in one.name[1:]]
        others += [width_of(line, SMALL) for line in one.lines]
        # The name must clear the leader in the widest face; the lines under it lie to its side.
        wide = max([width_of(one.name[0], NAMED, bold=True), *(0.84 * other for other in others)])
        beside = left + wide * POINT_IN_MM + 0.8 if one.at[0] > left else left - 0.8
        sketch.line([(beside, y - 0.9), one.at], FINE)
        for line in one.name:
            sketch.text((left, y), line, NAMED, bold=True)
            y += _STEP
        for line in one.lines:
            sketch.text((left, y), line, SMALL)
            y += _STEP


# -- the words of one arbor -------------------------------------------------------------
def count_words(gear: Gear) -> str:
    """'80 teeth', '12 leaves', '10 staves', '1 start', '? teeth'; of a pulley for a cord the number alone."""
    starts = gear.node.count("starts") or (gear.teeth if is_worm(gear) else None)
    if starts is not None:
        return f"{starts} start{'s' if starts != 1 else ''}"
    many = "?" if gear.teeth is None else str(gear.teeth)
    if gear.form.endswith("cord"):
        return many  # pulleys have no teeth: their sizes to one another are all that is told
    if gear.kind == "wheel":
        return f"{many} teeth"
    return f"{many} staves" if gear.form == "lantern" else f"{many} leaves"


def gear_words(gear: Gear) -> str:
    """'great wheel: 144 teeth', 'wheel: ? teeth, lost'."""
    return ", ".join((f"{gear_name(gear)}: {count_words(gear)}", *standing(gear.node)))


def escape_words(arbor: Arbor) -> str:
    """'escape wheel: 30 teeth', 'pins: 40', 'legs: 3 double'; '' where it carries none."""
    node = there(arbor.escape)
    if node is None:
        return ""
    many = node.count(part="teeth")
    count = "?" if many is None else str(many)
    unit = "teeth" if node.word == "escape wheel" else node.text(part="planes") or ""
    return ", ".join((joined(f"{node.word}:", count, unit), *standing(node)))


def arbor_name(arbor: Arbor) -> str:
    if is_lost(arbor.node):
        return f"lost arbor “{arbor.name}”"
    return arbor.name if arbor.name in ("count wheel", "chime barrel") else ending(arbor.name, "arbor")


def turning_words(arbor: Arbor, figures: Figures, names: Names) -> tuple[str, ...]:
    """How fast the arbor turns and which way, each on a line; that it is seen from the front goes without saying."""
    if is_lost(arbor.node) and not arbor.gears:
        return ()
    if arbor.name == "count wheel":
        figure = figures.get(f"{arbor.path}.blows_per_turn")
        return (f"{figure.shown} blows in a turn",) if figure is not None and figure.shown else ()
    return tuple(line.removesuffix(" from the front") for line in turning(arbor, figures, names)[0])


def barrel_words(arbor: Arbor) -> str:
    """'barrel: 10 1/4 in across'; '' where it carries none."""
    barrel = there(arbor.barrel)
    if barrel is None:
        return ""
    across = fact(barrel, "diameter")
    return ", ".join((f"barrel: {sized(across)} across" if said(across) else "barrel", *standing(barrel)))


def fly_words(arbor: Arbor) -> str:
    """'fly: 2 vanes'; '' where it carries none."""
    fly = there(arbor.fly)
    if fly is None:
        return ""
    vanes = fact(fly, "vanes")
    return ", ".join((f"fly: {sized(vanes)} vanes" if said(vanes) else "fly", *standing(fly)))


def pins_words(arbor: Arbor) -> str:
    """'lifting pins: 20'; '' where it carries none."""
    pins = fact(arbor.node, "lifting pins")
    return ", ".join((f"lifting pins: {said(pins)}", *standing(pins))) if pins is not None else ""


def arbor_words(arbor: Arbor, gears: Iterable[str]) -> tuple[str, ...]:
    """All that it carries, each on a line; of the wheels and pinions what is given."""
    told = (barrel_words(arbor), pins_words(arbor), escape_words(arbor), fly_words(arbor), doubtful(arbor))
    return tuple(line for line in (*gears, *told) if line)


def doubtful(arbor: Arbor) -> str:
    return "belonging here is doubtful" if has(arbor.node, "belongs") else ""


# -- above and below ---------------------------------------------------------------------
class Foot(NamedTuple):
    """What stands under a drawing. `scale` is the 1 : n of the clock's millimetres, 0 where there is none."""

    scale: float
    keys: tuple[tuple[str, str], ...]  # (sample, words); samples: plain, dashed, heavy, arrow
    notes: tuple[str, ...]


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


_ROOM = (WIDE - 2 * EDGE) / POINT_IN_MM


def title_lines(title: str, clock: str) -> list[tuple[str, float, bool]]:
    """What the drawing is called and below it of which clock it is, as (words, size, bold)."""
    named = [(line, TITLED, True) for line in _cut(wrap(title, TITLED, _ROOM, bold=True), 5)]
    return named + [(line, SMALL, False) for line in _cut(wrap(clock, SMALL, _ROOM), 5) if line]


def title_height(title: str, clock: str) -> float:
    return EDGE + sum(size * 1.2 * POINT_IN_MM for _, size, _ in title_lines(title, clock)) + 1.5


def put_title(sketch: Sketch, title: str, clock: str) -> None:
    y = EDGE
    for line, size, bold in title_lines(title, clock):
        y += size * 1.2 * POINT_IN_MM
        sketch.text((EDGE, y - 0.8), line, size, bold=bold)


def foot_height(foot: Foot) -> float:
    lines = sum(len(wrap(note, SMALL, _ROOM)) for note in foot.notes)
    return (len(_key_rows(foot.keys)) + lines) * _STEP * 1.05 + (6.0 if foot.scale else 0.0) + 4.0


def _key_rows(keys: Sequence[tuple[str, str]]) -> list[list[tuple[str, str, float]]]:
    """The samples of the key in rows that fit the page, each with its place from the left."""
    rows: list[list[tuple[str, str, float]]] = []
    x = WIDE
    for sample, words in keys:
        wide = 12.0 + width_of(words, SMALL) * POINT_IN_MM + 4.0
        if x + wide > WIDE - EDGE:
            rows.append([])
            x = EDGE
        rows[-1].append((sample, words, x))
        x += wide
    return rows


def put_foot(sketch: Sketch, foot: Foot) -> None:
    """Scale bar, key and notes at the foot of the sheet."""
    y = sketch.height - foot_height(foot) + 2.0
    if foot.scale:
        _put_scale(sketch, foot.scale, y + 2.6)
        y += 6.0
    for row in _key_rows(foot.keys):
        for sample, words, x in row:
            _put_sample(sketch, sample, x, y + 1.4)
            sketch.text((x + 11, y + 2.3), words, SMALL)
        y += _STEP * 1.05
    for note in foot.notes:
        for line in wrap(note, SMALL, _ROOM):
            sketch.text((EDGE, y + 2.3), line, SMALL)
            y += _STEP * 1.05


def _put_sample(sketch: Sketch, sample: str, x: float, y: float) -> None:
    if sample == "arrow":
        sketch.arrow([(x, y), (x + 9, y)], PLAIN)
    else:
        weight = HEAVY if sample == "heavy" else PLAIN
        sketch.line([(x, y), (x + 9, y)], weight, DASHED if sample == "dashed" else "")


def _put_scale(sketch: Sketch, scale: float, y: float) -> None:
    """A bar of round length, with the scale as a ratio beside it."""
    long = next(
        long for long in (1000, 500, 200, 100, 50, 20, 10, 5, 2, 1) if long / scale <= 60 or long == 1
    )
    end = EDGE + long / scale
    sketch.line([(EDGE, y - 1), (EDGE, y + 1)], PLAIN)
    sketch.line([(EDGE, y), (end, y)], PLAIN)
    sketch.line([(end, y - 1), (end, y + 1)], PLAIN)
    ratio = f"{scale:g}"
    sketch.text((end + 3, y + 0.9), f"{long} mm; scale 1 : {ratio} where the sheet is 170 mm wide", SMALL)


_ROUND = (1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8)


def round_scale(least: float) -> float:
    """The smallest of the usual 1 : n that is no larger than what fits, n at least `least`."""
    power = 1.0
    while power < least / 10:
        power *= 10
    while power > least:
        power /= 10
    return next((n * power for n in _ROUND if n * power >= least - 1e-9), 10 * power)
