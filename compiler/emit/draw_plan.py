"""The way to the dials from above, with the points of the compass: shafts, bevels, joints, how each dial looks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import cos, pi, radians, sin

from countwheel.emit.draw_dials import step_lines
from countwheel.emit.drawing import Drawing
from countwheel.emit.graph_words import dial_name, is_weak
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, WIDE, Box, Place, Sketch
from countwheel.emit.sketch_words import STEP, Foot, Sample, drawn, lines_of, paragraph, words_of
from countwheel.emit.stated import fact, has, is_lost
from countwheel.figures.dials import ROUND, compass
from countwheel.figures.record import Figure
from countwheel.figures.senses import front_side
from countwheel.model.clock import Clock, Dial, LeadingOff, LeadStep
from countwheel.model.node import Node

Figures = Mapping[str, Figure]
_LONGEST, _ROOM = 26.0, (66.0, 80.0)  # mm: one shaft at most, the room for all of them across and up
_DIAL, _SIDE, _LABEL = 6.0, 1.6, 36.0  # mm: radius of a dial, of a bevel; how wide its words may be
_LEAST_TALL = 25.0  # mm: the compass stands beside the plan
_MOST = 235.0
_MORE = "The rest of the steps stand in the drawing of the way to the dials."
# Where left and right cannot be told as points of the compass, the movement is drawn with its front to the south.
_ON_PAGE = {
    "left": "west",
    "right": "east",
    "far": "north",
    "back": "north",
    "near": "south",
    "front": "south",
}
_UP_AND_DOWN = ("up", "down", "above", "below")


@dataclass(slots=True)
class Plan:
    """The way in units of one shaft, x to the east and y to the north."""

    shafts: list[tuple[Place, Place, str, bool]] = field(default_factory=list)  # from, to, its number, known
    stations: dict[Place, list[tuple[str, str]]] = field(default_factory=dict)  # numbers there, with the kind
    dials: list[tuple[Dial, Place, str]] = field(
        default_factory=list
    )  # where its shaft ends, which way it looks
    steps: list[tuple[str, LeadStep]] = field(default_factory=list)  # every step by its number

    def places(self) -> Iterator[Place]:
        yield (0.0, 0.0)
        for start, end, _, _ in self.shafts:
            yield from (start, end)
        for _, place, looks in self.dials:
            yield place
            yield _on(place, looks, 0.5)


def dials_in_plan(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`dials-in-plan`; none where it is not known of any dial which way it looks."""
    if not any(looks_of(clock, dial) for dial in clock.dials):
        return ()
    return (_draw(clock, plan_of(clock), figures),)


def looks_of(clock: Clock, dial: Dial) -> str:
    """The point of the compass that a dial looks to, by what is stated or by its name; '' where neither tells."""
    stated = fact(dial.node, "looks")
    found = compass(clock, (stated.text() or "") if stated is not None else "")
    named = (dial.node.label or dial.name).lower()
    return found if found in ROUND else named if named in ROUND else ""


def _on(place: Place, direction: str, by: float = 1.0) -> Place:
    """The place so far on in a direction, on a grid fine enough that equal places are the same."""
    turn = ROUND.index(direction) / 8 * 2 * pi
    return round(place[0] + by * sin(turn), 6), round(place[1] + by * cos(turn), 6)


def plan_of(clock: Clock) -> Plan:
    plan = Plan()
    led: set[str] = set()
    for way in clock.leading_off:
        _lead(clock, way, plan)
        led.update(way.dials)
    for dial in clock.dials:
        looks = looks_of(clock, dial)
        if dial.name not in led and looks:
            end = _free(plan, _on((0.0, 0.0), looks), looks)
            plan.shafts.append(((0.0, 0.0), end, "", has(dial.node, "driven by")))
            plan.dials.append((dial, end, looks))
    return plan


def _lead(clock: Clock, way: LeadingOff, plan: Plan) -> None:
    here: Place = (0.0, 0.0)
    last = ""
    dials = [(dial, looks_of(clock, dial)) for dial in clock.dials if dial.name in way.dials]
    after: list[str] = []  # numbers of the steps that each dial has of its own
    central = False
    for step in way.steps:
        number = str(len(plan.steps) + 1)
        plan.steps.append((number, step))
        if central:
            after.append(number)
            continue
        central = step.kind == "central bevel"
        axis = (step.node.text("runs", part="axis") or "") if step.kind == "shaft" else ""
        if step.kind == "shaft" and axis not in _UP_AND_DOWN:
            direction = compass(clock, axis)
            known = direction in ROUND
            last = (
                direction if known else _ON_PAGE.get(axis, dials[0][1] if dials and dials[0][1] else "north")
            )
            there = _on(here, last)
            plan.shafts.append((here, there, number, known and not is_weak(step.node)))
            here = there
        else:
            plan.stations.setdefault(here, []).append((number, axis or step.kind))
    for dial, looks in dials:
        if looks and looks == last and not central:
            plan.dials.append((dial, here, looks))
        elif looks:
            end = _free(plan, _on(here, looks), looks)
            plan.shafts.append((here, end, ", ".join(after), bool(after)))
            plan.dials.append((dial, end, looks))


def _free(plan: Plan, place: Place, looks: str) -> Place:
    """The place, or one beside it where another dial stands there already."""
    while any(abs(place[0] - x) + abs(place[1] - y) < 0.5 for _, (x, y), _ in plan.dials):
        place = _on(place, ROUND[(ROUND.index(looks) + 2) % 8], 0.8)
    return place


# -- on the page -------------------------------------------------------------------
def _draw(clock: Clock, plan: Plan, figures: Figures) -> Drawing:
    across, up = zip(*plan.places(), strict=True)
    wide, tall = max(across) - min(across), max(up) - min(up)
    unit = min(_LONGEST, _ROOM[0] / max(wide, 0.1), _ROOM[1] / max(tall, 0.1))
    left = (WIDE - wide * unit) / 2
    # From the highest place of the way, in mm: how far dials and words reach over and under it.
    reaches = [_reach((max(up) - y) * unit, looks) for _, (_, y), looks in plan.dials]
    top = 2.0 - min(-10.0, *(over for over, _ in reaches))
    below = max(top + max(tall * unit + 10.0, *(under for _, under in reaches)) + 2.0, _LEAST_TALL)

    def at(place: Place) -> Place:
        return left + (place[0] - min(across)) * unit, top + (max(up) - place[1]) * unit

    letters = {id(dial.node): chr(ord("A") + number % 26) for number, (dial, _, _) in enumerate(plan.dials)}
    labels = {id(dial.node): _label(dial, looks, letters[id(dial.node)]) for dial, _, looks in plan.dials}
    foot = _foot(clock, plan)
    rows = [f"{number}: {', '.join(step_lines(step, figures))}" for number, step in plan.steps]
    rows += [
        f"{letters[id(dial.node)]}: {dial_name(dial)}"
        for dial, _, _ in plan.dials
        if labels[id(dial.node)][0] == f"dial {letters[id(dial.node)]}"
    ]
    lines = [line for row in rows for line in lines_of(row, WIDE)]
    most = int((_MOST - below - foot.height - 2) / STEP)
    if len(lines) > most:
        lines = [*lines[: most - 1], _MORE]
    said = "; ".join(f"the {dial_name(dial)} looks {looks}" for dial, _, looks in plan.dials)
    steps = f" The way there: {'; '.join(rows)}." if rows else ""
    title = f"The {'dial' if len(plan.dials) == 1 else 'dials'} in plan"
    words = words_of("dials-in-plan", title, f"Seen from above, north at the top: {said}.{steps}")
    sketch = Sketch(words, below + len(lines) * STEP + foot.height)
    _rose(sketch)
    _movement(sketch, clock, at((0.0, 0.0)))
    for start, end, number, known in plan.shafts:
        sketch.line([at(start), at(end)], HEAVY, "" if known else DASHED)
        if number:
            x, y = ((a + b) / 2 for a, b in zip(at(start), at(end), strict=True))
            sketch.label((x, y), number, [((x + 1.5, y - 1.5), "start"), ((x + 1.5, y + 4), "start"),
                                          ((x - 1.5, y - 1.5), "end"), ((x - 1.5, y + 4), "end")])  # fmt: skip
    for dial, place, looks in plan.dials:
        _dial(sketch, dial, at(place), looks, labels[id(dial.node)])
    for place, numbers in plan.stations.items():
        _station(sketch, at(place), numbers)
    for row, line in enumerate(lines):
        paragraph(sketch, (0.0, below + row * STEP), line, WIDE + 1)
    return drawn(sketch, foot)


def _reach(y: float, looks: str) -> tuple[float, float]:
    """From where to where a dial with its words stands on the page, its shaft ending at `y`, in mm."""
    east, north = _on((0.0, 0.0), looks)
    words = 3 * STEP + 2.0 if abs(east) <= 0.3 else 0.0
    middle = y - north * (_DIAL + 1)
    over, under = (words, 0.0) if north > 0 else (0.0, words)
    return min(middle - _DIAL - over, y - 8.0) - 1.0, max(middle + _DIAL + under, y + 8.0) + 1.0


def _label(dial: Dial, looks: str, letter: str) -> tuple[str, ...]:
    """The dial's name with the way it looks; a letter where the name is too long to stand beside it."""
    name = dial_name(dial)
    looks = "" if looks in name.lower().split() else f"looks {looks}"
    lines = (*lines_of(name, _LABEL), looks) if looks else lines_of(name, _LABEL)
    return lines if len(lines) <= 3 else tuple(filter(None, (f"dial {letter}", looks)))


def _rose(sketch: Sketch) -> None:
    sketch.arrow([(9.0, 22.0), (9.0, 6.0)], PLAIN, size=3.0)
    sketch.line([(4.0, 15.0), (14.0, 15.0)], FINE)
    sketch.text((9.0, 4.6), "N", 9.0, anchor="middle", bold=True)
    sketch.text((15.0, 16.1), "E", 9.0)


def _movement(sketch: Sketch, clock: Clock, middle: Place) -> None:
    """The movement as a box, a heavy line along its front where it is known which way that is."""
    front = _front(clock)
    turn = radians(ROUND.index(front) * 45 - 180) if front else 0.0

    def at(x: float, y: float) -> Place:
        return middle[0] + x * cos(turn) - y * sin(turn), middle[1] + x * sin(turn) + y * cos(turn)

    corners = [at(-8, -5), at(8, -5), at(8, 5), at(-8, 5)]
    sketch.line(corners, PLAIN, "" if front else DASHED, closed=True, fill="white")
    if front:
        sketch.line([at(-8, 5), at(8, 5)], HEAVY)
    # Numbers look for room beside it.
    reach = max(abs(x - middle[0]) for x, _ in corners), max(abs(y - middle[1]) for _, y in corners)
    sketch.taken.append(
        Box(middle[0] - reach[0], middle[1] - reach[1], middle[0] + reach[0], middle[1] + reach[1])
    )


def _station(sketch: Sketch, place: Place, numbers: list[tuple[str, str]]) -> None:
    """Bevels, upright shafts and joints that stand over one another, with their numbers."""
    x, y = place
    kinds = {kind for _, kind in numbers}
    sketch.circle(place, _SIDE, PLAIN, fill="white")
    if kinds & {"up", "above"}:
        sketch.circle(place, 0.5, fill="black")
    if kinds & {"down", "below"}:
        half = _SIDE * 0.7
        sketch.line([(x - half, y - half), (x + half, y + half)], PLAIN)
        sketch.line([(x - half, y + half), (x + half, y - half)], PLAIN)
    told = _run([int(number) for number, _ in numbers])
    near = [
        ((x + by, y + rise), anchor) for rise in (-2.2, 4.4) for by, anchor in ((2.4, "start"), (-2.4, "end"))
    ]
    far = [
        ((x + by, y + rise), anchor)
        for rise in (-7.0, 9.6)
        for by, anchor in ((11.0, "start"), (-11.0, "end"))
    ]
    sketch.label(place, told, [*near, *far])


def _run(numbers: list[int]) -> str:
    """'1 to 6' for numbers that follow one another, else '1, 3'."""
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(map(str, numbers))


def _dial(sketch: Sketch, dial: Dial, end: Place, looks: str, lines: tuple[str, ...]) -> None:
    """A dial at the end of its shaft: the wall it stands in, its face laid flat with its hands, its words beyond."""
    east, north = _on((0.0, 0.0), looks)
    x, y = end[0] + east * (_DIAL + 1), end[1] - north * (_DIAL + 1)
    sketch.line([(end[0] - north * 8, end[1] - east * 8), (end[0] + north * 8, end[1] + east * 8)], HEAVY)
    sketch.circle((x, y), _DIAL, PLAIN, fill="white")
    sketch.taken.append(Box(x - _DIAL, y - _DIAL, x + _DIAL, y + _DIAL))
    for hand, turn, long, weight in (
        ("minute hand", 1 / 6, 0.82, PLAIN),
        ("hour hand", 61 / 72, 0.55, HEAVY),
    ):
        node: Node | None = fact(dial.node, hand)
        if dial.node.denies(hand) or (hand == "minute hand" and has(dial.node, "one hand only")):
            continue
        tip = (x + long * _DIAL * sin(2 * pi * turn), y - long * _DIAL * cos(2 * pi * turn))
        sketch.line([(x, y), tip], weight, DASHED if is_lost(node) else "")
    sketch.circle((x, y), 0.5, fill="black")
    for number, line in enumerate(lines):
        if abs(east) > 0.3:
            place = (
                x + (_DIAL + 1.5) * (1 if east > 0 else -1),
                y + 1 + (number - (len(lines) - 1) / 2) * STEP,
            )
            sketch.text(place, line, anchor="start" if east > 0 else "end")
        else:
            over = y - _DIAL - 1.5 - (len(lines) - 1 - number) * STEP
            sketch.text((x, over if north > 0 else y + _DIAL + 3.6 + number * STEP), line, anchor="middle")


def _foot(clock: Clock, plan: Plan) -> Foot:
    kinds = {kind for numbers in plan.stations.values() for _, kind in numbers}
    notes = [
        "Seen from above and not to scale. The box is the movement, with a heavy line along its front where it is known"
        " which way that is; dials are laid flat, with the hands that they have."
    ]
    if kinds & {"up", "above"}:
        notes[0] += " A ring with a dot: a shaft goes up there."
    if kinds & {"down", "below"}:
        notes[0] += " A ring with a cross: a shaft goes down."
    lacking = [dial_name(dial) for dial in clock.dials if not looks_of(clock, dial)]
    if lacking:
        notes.append(f"Not known which way it looks, and so not drawn: {', '.join(lacking)}.")
    hands = [fact(dial.node, hand) for dial, _, _ in plan.dials for hand in ("minute hand", "hour hand")]
    dashed = any(not known for *_, known in plan.shafts) or any(map(is_lost, hands)) or not _front(clock)
    key: list[tuple[Sample, str]] = [("dashed", "dashed: not described, lost or assumed")] if dashed else []
    return Foot(key, notes)


def _front(clock: Clock) -> str:
    """The point of the compass that the front of the movement is on; '' where it is not known."""
    going = clock.train("going") or next(iter(clock.trains), None)
    front = front_side(clock, going) if going is not None else ""
    return front if front in ROUND else ""
