"""The count wheel with its notches, or its pins, where they must stand by what it is cut for."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import cycle
from math import cos, pi, sin
from typing import NamedTuple

from countwheel.emit.drawing import Drawing
from countwheel.emit.graph_words import marked, said
from countwheel.emit.naming import train_name, train_stems
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, WIDE, Place, Sketch
from countwheel.emit.sketch_words import STEP, Foot, Sample, drawn, lines_of, paragraph, words_of
from countwheel.emit.stated import fact, there
from countwheel.figures.record import Figure
from countwheel.figures.strike_work import schedule
from countwheel.figures.striking import blows_a_turn, kind_of, unit_of
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node

Figures = Mapping[str, Figure]
RADIUS, MIDDLE = 72.0, WIDE / 2  # mm
_DEPTH, _TICKS = 5.0, 7.5  # of a notch, and how far within the rim the single blows are marked
_MOST_TURNS = 4  # twelve hours that may be cut round one wheel

_KEY: tuple[tuple[Sample, str], ...] = (("dashed", "dashed: does not fit what is stated"),)


class Cut(NamedTuple):
    """One striking on the wheel: its name, its blows, and where its notch stands, in turns from the first blow on."""

    name: str
    blows: int
    turn: Fraction


def count_wheels(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`count-wheel-TRAIN` for every train whose count wheel says what it is cut for."""
    made = (_wheel(clock, train, stem, figures) for train, stem in train_stems(clock))
    return tuple(drawing for drawing in made if drawing is not None)


def wheel_of(train: Train) -> Node | None:
    """The count wheel of a train, where it has one."""
    return there(train.fact("count wheel"))


def cuts_of(train: Train) -> tuple[Cut, ...]:
    """The strikings round a count wheel in their order; none where what it is cut for does not come round in a turn.

    Each ends in a notch, which stands after as many blows as have been struck since the wheel began.
    """
    wheel = wheel_of(train)
    kind = kind_of(train)
    whole = blows_a_turn(train, wheel) if wheel is not None and kind is not None else None
    if wheel is None or kind is None or whole is None or whole.denominator != 1 or whole <= 0:
        return ()
    strikings = [(_name(kind[0], at, blows), blows) for at, blows in schedule(kind[0])]
    if kind[0] == "repeated hours":
        strikings = [(name, blows // 2) for name, blows in strikings for _ in range(2)]
    found: list[Cut] = []
    passed = 0
    for number, (name, blows) in enumerate(cycle(strikings)):
        if number >= _MOST_TURNS * len(strikings) or passed >= whole:
            break
        passed += blows
        found.append(Cut(name, blows, Fraction(passed) / whole))
    return tuple(found) if passed == whole else ()


def _name(kind: str, at: Fraction, blows: int) -> str:
    """What stands beside a striking on the wheel: the hour, the half, or the number of the quarter."""
    if "quarter" in kind:
        return str(blows)
    return "½" if at.denominator == 2 else str(at)


def _place(turn: float, radius: float, top: float) -> Place:
    """A place on the wheel: turns from the top, the way of a clock's hands."""
    return MIDDLE + radius * sin(2 * pi * turn), top + RADIUS - radius * cos(2 * pi * turn)


def _wheel(clock: Clock, train: Train, stem: str, figures: Figures) -> Drawing | None:
    cuts = cuts_of(train)
    wheel = wheel_of(train)
    if not cuts or wheel is None:
        return None
    pins = fact(wheel, "inside pins")
    blows = sum(cut.blows for cut in cuts)
    unit, kind = unit_of(train), kind_of(train)
    assert kind is not None
    name = train_name(train, clock)
    what = "pin" if pins is not None else "notch"
    stated = pins if pins is not None else fact(wheel, "notches")
    notes = [
        f"Each {what} stands after all the {unit}s since the mark; the short strokes are single {unit}s, {blows} in a"
        f" turn. Drawn for {kind[0]}, with its numbers in the way of a clock's hands: seen from the other side they"
        " go the other way."
        + ("" if pins is not None else " How wide and deep a notch is cut is not to scale.")
    ]
    doubts = _doubts(train, stated, len(cuts), what, figures)
    foot = Foot(_KEY if doubts else (), [*notes, *doubts])
    title = f"The count wheel of the {name}"
    angles = ", ".join(f"{cut.name} at {round(float(360 * cut.turn), 1):g}" for cut in cuts)
    words = words_of(
        f"count-wheel-{stem}",
        title,
        f"Where each {what} stands, in degrees from the end of the last: {angles}.",
    )
    top = 5.0
    sketch = Sketch(words, top + 2 * RADIUS + 4 + foot.height)
    dash = DASHED if doubts else ""
    _rim(sketch, cuts, pins is not None, top, dash)
    ends = [(number / blows, _TICKS + (1.2 if number else 2.4)) for number in range(blows)]
    sketch.strokes(
        [[_place(turn, RADIUS - deep, top), _place(turn, RADIUS - _TICKS, top)] for turn, deep in ends], FINE
    )
    sketch.arrow([(MIDDLE, top - 5), (MIDDLE, top - 0.5)], PLAIN, size=1.6)
    before = Fraction(0)
    for cut in cuts:
        middle = float(before + cut.turn) / 2
        for deep in (13.0, 17.0, 21.0, 25.0):
            x, y = _place(middle, RADIUS - deep, top)
            if sketch.label((x, y), cut.name, [((x, y + 1.1), "middle")], 9.0):
                break
        before = cut.turn
    _middle(sketch, train, name, top)
    return drawn(sketch, foot)


def _doubts(train: Train, stated: Node | None, cuts: int, what: str, figures: Figures) -> list[str]:
    """What of the wheel does not fit together, in a sentence each."""
    doubts = []
    wheel = wheel_of(train)
    number = wheel.count("inside pins" if what == "pin" else "notches") if wheel is not None else None
    # One blow needs no raised part before its notch, so that two notches may be cut as one.
    if stated is not None and number is not None and number not in (cuts, cuts - 1):
        doubts.append(
            f"{number} are stated, and {cuts} are drawn: one of the two is not right, or some run together."
        )
    agrees = figures.get(f"{train.name}.count_wheel.agrees")
    if agrees is not None and agrees.value is False:
        doubts.append(f"Its gearing does not fit. {agrees.method}")
    return doubts


def _rim(sketch: Sketch, cuts: tuple[Cut, ...], pins: bool, top: float, dash: str) -> None:
    blows = sum(cut.blows for cut in cuts)
    half = min(0.22 / blows, 0.006)  # half the width of a notch, in turns
    if pins:
        sketch.circle((MIDDLE, top + RADIUS), RADIUS, HEAVY, dash)
        for cut in cuts:
            sketch.circle(_place(float(cut.turn), RADIUS - 4.0, top), 1.1, fill="black")
        return
    edge: list[Place] = []
    before = Fraction(0)
    for cut in cuts:
        start, end = float(before) + half, float(cut.turn) - half
        steps = max(round((end - start) * 180), 1)  # a corner every two degrees comes out round
        edge += [_place(start + (end - start) * step / steps, RADIUS, top) for step in range(steps + 1)]
        edge += [_place(float(cut.turn) + side, RADIUS - _DEPTH, top) for side in (-half, half)]
        before = cut.turn
    sketch.line(edge, HEAVY, dash, closed=True)


def _middle(sketch: Sketch, train: Train, name: str, top: float) -> None:
    """What is known of the wheel, within it."""
    wheel = wheel_of(train)
    assert wheel is not None
    sketch.circle((MIDDLE, top + RADIUS), 2.0)
    lines = [*lines_of(f"count wheel of the {name}", 70.0)]
    across, turns = fact(wheel, "diameter"), fact(wheel, "turns")
    if across is not None:
        lines.append(marked(f"{said(across)} across", across))
    if turns is not None:
        lines.append(marked(f"one turn in {said(turns)}", turns))
    y = top + RADIUS + 7
    for line in lines:
        for row in lines_of(line, 80.0):
            sketch.text((MIDDLE, y), row, anchor="middle")
            y += STEP
    paragraph(sketch, (MIDDLE + 2.5, top - 5), "mark", 20.0)
