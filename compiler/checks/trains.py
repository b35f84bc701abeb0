"""Counts against beat, locking, count wheel, observed senses, sizes against centre distance."""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.places import centre_distance
from countwheel.figures.record import Figure
from countwheel.figures.senses import carry, front_side, observed_sense, winding_sense
from countwheel.figures.striking import kind_of, unit_of
from countwheel.model.clock import Clock, Sense
from countwheel.model.node import Node

Figures = dict[str, Figure]


def counts_and_beat(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M501: the counts give one number of beats an hour, the pendulum's beat another."""
    beat = clock.pendulum.get("beat") if clock.pendulum else None
    if beat is None:
        return
    for train in clock.trains_of("going"):
        error = figures.get(f"{train.name}.train.error_per_day")
        counts = figures.get(f"{train.name}.train.beats_per_hour")
        if error is None or not isinstance(error.value, float) or counts is None:
            continue
        # A nominal beat is written short (1.25 s): what its last figure may hide is no contradiction.
        if abs(error.value) <= max(3 * (error.uncertainty or 0.0), _last_figure(beat)):
            continue
        by_beat = figures["pendulum.beats_per_hour"]
        faster = "fast" if error.value > 0 else "slow"
        gears = [gear for mesh in train.meshes for gear in (mesh.driver, mesh.driven)]
        yield say(
            "M501",
            beat.values["value"].span,
            f"The counts of the {train.name} train make {counts.shown} beats an hour, and a beat of "
            f"{beat.values['value'].written} makes {by_beat.shown}: the clock would be "
            f"{_minutes(abs(error.value))} a day {faster}.",
            label="this beat",
            others=tuple(
                Label(gear.node.word_span, f"{gear.teeth} {'leaves' if gear.kind == 'pinion' else 'teeth'}")
                for gear in gears
                if gear.teeth
            ),
            hints=(
                "count the wheels and leaves again, and time the beat over several minutes",
                "write `?` for the fact that is not certain",
            ),
        )


def _last_figure(beat: Node) -> float:
    """Seconds a day that half a unit of the last written figure of the beat stands for."""
    value = beat.quantity()
    if value is None or not value.si:
        return 0.0
    text = value.written.split()[0]
    places = len(text.partition(".")[2])
    # A whole number of seconds, a common fraction or two places is a design value: taken as meant exactly.
    return 5.0 if places <= 2 else 86400 * 0.5 * 10.0**-places / value.si


def _minutes(seconds: float) -> str:
    if seconds < 120:
        return f"{seconds:.0f} s"
    if seconds < 7200:
        return f"{seconds / 60:.0f} min"
    return f"{seconds / 3600:.1f} h"


def locking(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M506: the arbor that locks a striking train must come to the same place after every blow."""
    for train in clock.trains:
        if train.role not in ("strike", "chime"):
            continue
        unit = unit_of(train)
        for arbor in train.arbors:
            gaps = arbor.node.count("locks")
            if arbor.name != "locking" and gaps is None:
                continue
            figure = figures.get(f"{arbor.path}.turns_per_{unit}")
            if figure is None or figure.exact is None:
                continue
            places = figure.exact * (gaps or 1)
            if places.denominator == 1 or (gaps is None and (figure.exact * 2).denominator == 1):
                continue
            yield say(
                "M506",
                arbor.node.word_span,
                f"Arbor {arbor.node.label} of {train.name} makes {figure.shown} turns for each {unit}, "
                "so its locking would be somewhere else every time.",
                label=f"{figure.shown} turns a {unit}",
                others=tuple(
                    Label(gear.node.word_span, f"{gear.teeth} {does}")
                    for mesh in train.meshes
                    if mesh.driven_arbor == arbor.path
                    for gear, does in (
                        (mesh.driven, f"driven by {mesh.driver.teeth}"),
                        (mesh.driver, "drives it"),
                    )
                ),
                hints=(
                    "count its pinion, the wheel that drives it, and the lifting pins again",
                    "write `locks 2 a turn` where it has more than one gap",
                ),
            )


def count_wheel(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M507: the gearing of the count wheel passes another number of blows than it is cut for."""
    for train in clock.trains:
        wheel = train.fact("count wheel")
        figure = figures.get(f"{train.name}.count_wheel.agrees")
        kind = kind_of(train)
        if wheel is None or figure is None or figure.value is not False or kind is None:
            continue
        pair = wheel.get("count")
        pins = next(
            (arbor.node.get("lifting pins") for arbor in train.arbors if arbor.node.get("lifting pins")), None
        )
        passed = figures[f"{train.name}.count_wheel.{unit_of(train)}s_per_turn"]
        yield say(
            "M507",
            (pair or wheel).span if pair else wheel.word_span,
            f"By its gearing the count wheel passes {passed.shown} {unit_of(train)}s in a turn; "
            f"cut for {kind[0]} it needs "
            f"{figures[f'{train.name}.{unit_of(train)}s_per_12h'].shown} in twelve hours.",
            label=f"{passed.shown} a turn",
            others=(Label(kind[1].span, f"cut for {kind[0]}"),)
            + ((Label(pins.span, "the lifting pins"),) if pins else ()),
            hints=("count the count wheel, its pinion and the lifting pins again",),
        )


def senses(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M514: two facts about which way a train turns cannot both be true."""
    for train in clock.trains:
        seen: list[tuple[str, Sense, Node]] = []
        wound = winding_sense(train)
        if wound is not None and train.barrel_arbor is not None:
            seen.append((train.barrel_arbor.path, *wound))
        front = front_side(clock, train)
        for arbor in train.arbors:
            sense, fact = observed_sense(arbor.node, front), arbor.node.get("turns")
            if sense is not None and fact is not None:
                seen.append((arbor.path, sense, fact))
        if len(seen) < 2:
            continue
        first_path, first_sense, first_fact = seen[0]
        reached = carry(train, {first_path: (first_sense, first_path, "")})
        for path, sense, fact in seen[1:]:
            if path not in reached or reached[path][0] == sense:
                continue
            yield say(
                "M514",
                fact.span,
                f"`{path}` is said to turn {sense}, but through the train it turns {reached[path][0]} "
                f"if {first_path} turns {first_sense}.",
                label=f"{sense} here",
                others=(Label(first_fact.span, f"from this {first_path} turns {first_sense}"),),
                hints=("look again from the front, with the clock going",),
            )


def sizes(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M515: a module, the counts and a measured centre distance do not fit one another."""
    for train in clock.trains:
        for mesh in train.meshes:
            figure = figures.get(f"{mesh.path}.centre_distance")
            measured = centre_distance(train, mesh.driver_arbor, mesh.driven_arbor)
            if figure is None or not isinstance(figure.value, float) or measured is None:
                continue
            value = measured.quantity()
            if value is None:
                continue
            apart = abs(figure.value - value.si * 1000)
            spread = 3 * (
                (figure.uncertainty or 0.0) + (value.tolerance.half_width * 1000 if value.tolerance else 0.0)
            )
            if apart > max(spread, 0.01 * figure.value):
                yield say(
                    "M515",
                    value.span,
                    f"Module and counts put these arbors {figure.shown} mm apart; they are stated "
                    f"to be {value.written}.",
                    label=f"{value.si * 1000:.1f} mm",
                    others=(
                        Label(mesh.driver.node.word_span, "this wheel"),
                        Label(mesh.driven.node.word_span, "and this one"),
                    ),
                    hints=(
                        "measure again between the pivots' centres; then look at the counts and the module",
                    ),
                )


def same_module(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M515: two wheels in mesh are stated to have different modules."""
    for train in clock.trains:
        for mesh in train.meshes:
            one, two = mesh.driver.node.get("module"), mesh.driven.node.get("module")
            a, b = one.quantity() if one else None, two.quantity() if two else None
            if one is None or two is None or a is None or b is None:
                continue
            if abs(a.si - b.si) > 0.02 * a.si + sum(q.tolerance.half_width for q in (a, b) if q.tolerance):
                yield say(
                    "M515",
                    two.span,
                    f"`{mesh.driven.path}` has a module of {b.written} and its mate "
                    f"`{mesh.driver.path}` one of {a.written}; they cannot work together.",
                    label=b.written,
                    others=(Label(one.span, a.written),),
                    hints=(
                        "the module is the pitch diameter divided by the count of teeth: measure both again",
                    ),
                )


CHECKS = (counts_and_beat, locking, count_wheel, senses, sizes, same_module)
