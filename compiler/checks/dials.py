"""Motion work and hands: twelve to one, one centre, once an hour, clockwise from outside; quarters in time."""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.dials import called
from countwheel.figures.places import motion_works
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Dial
from countwheel.model.node import Node

Figures = dict[str, Figure]
HANDS = ("minute_hand", "hour_hand")


def ratio(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M502: the hour hand would not go round in twelve hours (or twenty-four)."""
    told: set[int] = set()
    for path, node, hours in motion_works(clock):
        figure = figures.get(f"{path}.ratio")
        if figure is None or figure.exact is None or figure.exact == hours or node.span.start in told:
            continue
        told.add(node.span.start)
        wheels = [fact for fact in node.facts if "teeth" in fact.values]
        yield say(
            "M502",
            node.word_span,
            f"The hour hand would go round once in {figure.shown} turns of the minute hand, and not in {hours}.",
            label=f"{figure.shown} to 1",
            others=tuple(Label(fact.span, fact.word) for fact in wheels),
            hints=("count these wheels again", "write `hours 24` where the dial is of 24 hours")
            if hours == 12
            else ("count these wheels again",),
        )


def coaxial(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M503: with the modules stated, the two pairs cannot stand between the same centres."""
    for path, node, hours in motion_works(clock):
        figure = figures.get(f"{path}.coaxial")
        turns = figures.get(f"{path}.ratio")
        if turns is not None and turns.exact is not None and turns.exact != hours:
            continue  # told as M502: with a count that is wrong the pairs need not fit either
        if figure is not None and figure.value is False:
            yield say(
                "M503",
                node.word_span,
                f"The two pairs of the motion work do not fit between the same two centres. {figure.method}",
                label="does not fit",
                others=tuple(
                    Label((fact.get("module") or fact).span, fact.word)
                    for fact in node.facts
                    if "teeth" in fact.values
                ),
                hints=("measure the modules again; both pairs share their two arbors",),
            )


def backwards(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M504: hands that would run backwards, of named dials; told once for all dials turned by the same way."""
    wrong: dict[tuple[int, tuple[str, ...]], list[Dial]] = {}
    for dial in clock.dials:
        senses = {hand: figures.get(f"{dial.path}.{hand}.sense_from_outside") for hand in HANDS}
        hands = tuple(hand for hand, figure in senses.items() if figure and figure.value == "anticlockwise")
        if hands:
            wrong.setdefault((dial.node.span.start, hands), []).append(dial)
    for (_, hands), dials in wrong.items():
        first = dials[0]
        figure = figures[f"{first.path}.{hands[0]}.sense_from_outside"]
        names = _listed([called(dial) for dial in dials if called(dial)])
        which = f"the {names} dial{'s' if len(dials) > 1 else ''}" if names else "the dial"
        what = "hour hand" if hands == ("hour_hand",) and not first.node.says("one hand only") else "hands"
        steps = first.leading_off.steps if first.leading_off else ()
        yield say(
            "M504",
            first.node.word_span,
            f"The {what} of {which} would run backwards. {figure.method}",
            label="anticlockwise from outside",
            others=(
                *(Label(step.node.span, "this pair on the way") for step in steps if "bevel" in step.kind),
                *(Label(fact.span, "seen to turn so") for fact in _seen(clock, first)),
            ),
            hints=("look which side of each bevel its mate lies on, and which way the arbor turns",),
        )


def _seen(clock: Clock, dial: Dial) -> Iterator[Node]:
    """What was seen of the way that the arbor turns which a dial's hands are taken from."""
    path = dial.leading_off.from_path if dial.leading_off else dial.node.text("driven by")
    for train in clock.trains:
        for arbor in train.arbors:
            fact = arbor.node.get("turns") if arbor.path == (path or "").lower() else None
            if fact is not None:
                yield fact


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1] if names else ""


def once_an_hour(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M505: a minute hand that does not go round once an hour."""
    told: set[int] = set()
    for dial in clock.dials:
        figure = figures.get(f"{dial.path}.minute_hand.turns_per_hour")
        if figure is None or figure.exact is None or figure.exact == 1 or dial.node.span.start in told:
            continue
        if dial.node.says("one hand only"):
            continue
        told.add(dial.node.span.start)
        way = dial.leading_off
        yield say(
            "M505",
            dial.node.word_span,
            f"The minute hand{f' of the {called(dial)} dial' if called(dial) else ''} would go round "
            f"{figure.shown} times in an hour, and not once.",
            label=f"{figure.shown} turns an hour",
            others=tuple(
                Label(step.node.span, "on the way")
                for step in (way.steps if way else ())
                if "driver" in step.node.values
            ),
            hints=(
                "count the wheels of the leading-off work again, and the train up to the arbor they are taken from",
            ),
        )


CHECKS = (ratio, coaxial, backwards, once_an_hour)
