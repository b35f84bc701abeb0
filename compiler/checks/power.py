"""The run on a winding against what the clock is expected to do; the line against its barrel; the fall there is."""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.record import Figure
from countwheel.figures.striking import changes_of, kind_of
from countwheel.model.clock import Clock

Figures = dict[str, Figure]


def one_layer(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M508: the turns of line side by side are longer than the barrel."""
    for train in clock.trains:
        barrel = train.barrel
        if barrel is None or (barrel.count("layers") or 1) > 1:
            continue
        turns, length = barrel.get("turns of line"), barrel.quantity("length")
        line = barrel.get("line")
        pitch = barrel.quantity("groove pitch") or (line.quantity("diameter") if line else None)
        number = barrel.number("turns of line")
        if turns is None or number is None or length is None or not pitch:
            continue
        number += barrel.number("dead turns") or 0
        needed = number * pitch.si
        slack = sum(q.tolerance.half_width for q in (length,) if q.tolerance) + number * (
            pitch.tolerance.half_width if pitch.tolerance else 0
        )
        if needed > length.si + slack:
            yield say(
                "M508",
                turns.span,
                f"{number:g} turns of line side by side take {needed * 1000:.0f} mm, and the barrel is "
                f"{length.written} long ({length.si * 1000:.0f} mm): the line must lie in more than one layer.",
                label="more than one layer",
                others=(Label(length.span, "the barrel's length"), Label(pitch.span, "one turn takes this")),
                hints=(
                    "write `layers 2` where it does",
                    "measure the line's diameter and the barrel's length again",
                ),
            )


def room(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M509: a fall longer than the room there is."""
    place = clock.place
    there = place.quantity("room") if place else None
    if there is None:
        return
    for train in clock.trains:
        fall = train.barrel.get("fall") if train.barrel else None
        value = fall.quantity() if fall else None
        if fall is None or value is None:
            continue
        slack = sum(q.tolerance.half_width for q in (there, value) if q.tolerance)
        if value.si > there.si + slack:
            yield say(
                "M509",
                value.span,
                f"The weight of the {train.name} train is said to fall {value.written}, and there "
                f"is room for {there.written}.",
                label="farther than the room",
                others=(Label(there.span, "the room there is"),),
                hints=("measure both again, from the same floor",),
            )


def winding_day(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M513: a train that stops before the next usual winding."""
    node = clock.fact("clock", "wound")
    if node is None:
        return
    days = interval(clock)
    if days is None:
        return
    for train in clock.trains:
        figure = figures.get(f"{train.name}.duration")
        if figure is None or not isinstance(figure.value, float) or train.fact("automatic winding"):
            continue
        run = figure.value / 24 if figure.unit == "h" else figure.value
        u = (figure.uncertainty or 0.0) / (24 if figure.unit == "h" else 1)
        if run + 2 * u < days:
            yield say(
                "M513",
                node.span,
                f"The {train.name} train runs {run:.1f} days on a winding, and the clock is wound "
                f"every {days:g} days: it would stop before.",
                label=f"every {days:g} days",
                others=(Label(train.node.word_span, f"runs {run:.1f} days"),),
                hints=("wind it oftener, or look again at its turns of line, its fall and its parts",),
            )


def interval(clock: Clock) -> float | None:
    """The longest time between windings, in days."""
    node = clock.fact("clock", "wound")
    if node is None:
        return None
    stated = node.quantity(part="interval")
    if stated is not None:
        return stated.si / 86400
    how = node.text(part="how")
    if how is not None:
        return {"daily": 1.0, "weekly": 7.0}.get(how)
    week = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    first, second = node.text(part="day"), node.text(part="second")
    if first is None:
        return None
    if second is None:
        return 7.0
    gap = abs(week.index(first) - week.index(second))
    return float(max(gap, 7 - gap))


def quarters(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M511: the full hour's changes and blows, at the stated interval, are not done before the next quarter.

    By the figure that says so; where that waits, only what is timed is added up.
    """
    total, parts = 0.0, []
    for train in clock.trains:
        kind = kind_of(train)
        interval = train.node.quantity("blow interval")
        if kind is None or interval is None:
            continue
        # A chime's blows are the places of its last quarter; where these are not written, its changes.
        most = len(changes_of(train).get(4, ())) or 4 if train.role == "chime" else 12
        total += most * interval.si
        parts.append((train, interval))
    if not parts:
        return
    fit = figures.get("quarters.fit")
    if fit is not None and fit.value is not None:
        too_long, told = fit.value is False, fit.method
    else:
        too_long, told = total > 15 * 60, f"They take {total / 60:.0f} min of the 15 that there are."
    if too_long:
        train, interval = parts[-1]
        yield say(
            "M511",
            interval.span,
            f"At twelve the quarters and the hour are not done before the next quarter. {told}",
            label="too slow",
            others=tuple(Label(other.span, f"{t.name}: {other.written}") for t, other in parts[:-1]),
            hints=("time a whole striking with a watch again",),
        )


CHECKS = (one_layer, room, winding_day, quarters)
