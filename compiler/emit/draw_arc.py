"""What the swing of a pendulum costs: the loss a day against the half arc, and where this clock stands on it."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor, radians
from math import degrees as in_degrees

from countwheel.emit.drawing import Drawing
from countwheel.emit.fall_facts import number_of
from countwheel.emit.graph_words import decimal, is_weak, sized
from countwheel.emit.sketch import DASHED, DOTTED, FINE, HEAVY, PLAIN, WIDE, Place, Sketch
from countwheel.emit.sketch_words import Foot, Sample, drawn, paragraph, words_of
from countwheel.emit.stated import fact
from countwheel.figures.formula import circular_ratio
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.node import Node

Figures = Mapping[str, Figure]
LEFT, TOP, LONG, TALL = 20.0, 8.0, WIDE - 28.0, 105.0  # mm: the corner and the sides of the field
# One, two and five of every power of ten.
_STEPS = tuple(first * 10.0**power for power in range(-3, 5) for first in (1, 2, 5))
_NARROWEST, _WIDEST = 0.1, 90.0  # degrees: no clock swings less or more
_ID = "pendulum.circular_deviation"


def loss(degrees: float) -> float:
    """Seconds a day that a pendulum loses at that half arc, against a swing of no arc: 86400 (T/T₀ - 1)."""
    return 86400.0 * (circular_ratio(radians(degrees)) - 1.0)


def arc_and_rate(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`arc-and-rate` where the half arc is known, and with it what the clock loses."""
    arc = fact(clock.pendulum, "half arc")
    value = arc.quantity() if arc is not None else None
    if arc is None or value is None or number_of(figures, _ID) is None:
        return ()
    degrees = in_degrees(value.si)
    return (_curve(clock, arc, degrees, figures),) if _NARROWEST < degrees < _WIDEST else ()


def _curve(clock: Clock, arc: Node, degrees: float, figures: Figures) -> Drawing:
    least = fact(clock.escapement, "least arc")
    quantity = least.quantity() if least is not None else None
    lowest = in_degrees(quantity.si) if quantity is not None else None
    x_step = next(step for step in _STEPS if degrees * 1.5 / step <= 8)
    x_end = ceil(degrees * 1.5 / x_step) * x_step
    y_step = next(step for step in _STEPS if loss(x_end) / step <= 9)
    y_end = (floor(loss(x_end) / y_step) + 1) * y_step

    def at(x: float) -> Place:
        return LEFT + x / x_end * LONG, TOP + TALL * (1 - loss(x) / y_end)

    told = [f"A: half arc {_degrees(arc)}: loses {_told(figures, _ID)}"]
    marks = [(degrees, arc, "A")]
    if lowest is not None and least is not None and 0 < lowest <= x_end:
        gains = _told(figures, f"{_ID}.to_least_arc")
        told.append(f"B: least arc that escapes {_degrees(least)}: gains {gains} against A")
        marks.append((lowest, least, "B"))
    slope = number_of(figures, f"{_ID}.per_degree")
    if slope is not None and degrees > 0.5 and degrees + 0.5 <= x_end:
        told.append(f"C: one degree more: loses {decimal(slope, 3)} s/day more")
    foot = _foot(figures, told[-1].startswith("C"), any(is_weak(node) for _, node, _ in marks))
    said = "; ".join(line[3:] for line in told)
    alt = (
        f"The loss a day against the half arc, from nothing to {decimal(x_end)} degrees; this clock: {said}."
    )
    sketch = Sketch(words_of("arc-and-rate", "Half arc and rate", alt), TOP + TALL + 12 + foot.height)
    _axes(sketch, (x_end, x_step), (y_end, y_step))
    # The curve bends upwards, so that the field is empty at its upper left.
    y = TOP + 2.0
    for line in told:
        y = paragraph(sketch, (LEFT + 5, y), line, 0.5 * LONG) + 0.8
    sketch.line([at(x_end * step / 60) for step in range(61)], HEAVY)
    for x, node, letter in marks:
        here = at(x)
        dash = DASHED if is_weak(node) else ""
        sketch.line([(here[0], TOP + TALL), here, (LEFT, here[1])], PLAIN if dash else FINE, dash)
        sketch.circle(here, 1.3, fill="black")
        places = [((here[0] - 1.2, here[1] - 2), "end"), ((here[0] + 2.0, here[1] + 3.8), "start")]
        sketch.label(here, letter, places, 9.0)
    if told[-1].startswith("C"):
        (x_0, y_0), (x_1, y_1) = at(degrees - 0.5), at(degrees + 0.5)
        sketch.line([(x_0, y_0), (x_1, y_0), (x_1, y_1)], PLAIN, DOTTED)
        sketch.text((x_1 + 1.5, (y_0 + y_1) / 2 + 1), "C", 9.0, bold=True)
    return drawn(sketch, foot)


def _degrees(node: Node) -> str:
    return sized(node).replace(" °", "°")


def _told(figures: Figures, id: str) -> str:
    figure = figures.get(id)
    return f"{figure.shown} {figure.unit}" if figure is not None and figure.shown else "?"


def _foot(figures: Figures, slope: bool, weak: bool) -> Foot:
    key: list[tuple[Sample, str]] = []
    if slope:
        key.append(("dotted", "dotted: C, from half a degree under A to half a degree over"))
    if weak:
        key.append(("dashed", "dashed: not known or assumed"))
    return Foot(key, ["The circular deviation alone, exact for any arc.", *figures[_ID].cautions])


def _axes(sketch: Sketch, across: tuple[float, float], up: tuple[float, float]) -> None:
    """The field, with degrees along it and seconds a day up it."""
    bottom = TOP + TALL
    sketch.line([(LEFT, TOP), (LEFT, bottom), (LEFT + LONG, bottom)], PLAIN)
    for number in range(round(across[0] / across[1]) + 1):
        x = LEFT + number * across[1] / across[0] * LONG
        sketch.line([(x, bottom), (x, bottom + 1.4)], FINE)
        sketch.text((x, bottom + 5), decimal(number * across[1]), anchor="middle")
    for number in range(round(up[0] / up[1]) + 1):
        y = bottom - number * up[1] / up[0] * TALL
        sketch.line([(LEFT - 1.4, y), (LEFT, y)], FINE)
        sketch.text((LEFT - 2.2, y + 1), decimal(number * up[1]), anchor="end")
    sketch.text((LEFT + LONG / 2, bottom + 9.5), "half arc, degrees to each side of rest", anchor="middle")
    sketch.text((0.0, 3.2), "lost a day, s, against a swing of no arc")
