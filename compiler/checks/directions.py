"""Which way things lie and look: movement, trains and dials by the same compass."""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.dials import ROUND, called
from countwheel.figures.record import Figure
from countwheel.figures.senses import OPPOSITE_SIDES
from countwheel.model.clock import Clock
from countwheel.model.node import Node

Figures = dict[str, Figure]
_FAR, _NEAR = ("far", "back"), ("near", "front")


def _direction(node: Node | None, part: str = "value") -> str:
    """A direction of the compass that a fact states, '' where it states none."""
    found = node.text(part=part) if node is not None else None
    return found if found in ROUND else ""


def _apart(one: str, other: str) -> bool:
    """Whether two directions are a quarter of a turn apart or more: less may be a keeper's rounding."""
    steps = abs(ROUND.index(one) - ROUND.index(other))
    return min(steps, 8 - steps) > 1


def runs(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M516: the arbors of a train do not point at who stands before the movement."""
    faces = clock.fact("clock", "faces")
    looked = _direction(faces)
    if faces is None or not looked:
        return
    towards = OPPOSITE_SIDES[looked]  # from the back to the front: towards the face of who looks at it
    for train in clock.trains:
        node = train.node.get("runs")
        said = _direction(node, "axis")
        if node is not None and said and _apart(said, towards):
            yield say(
                "M516",
                node.span,
                f"The {train.name} train is said to run {said}, but who looks {looked} at the front of the movement"
                f" looks against its arbors, so they run {towards}.",
                label=f"{said} here",
                others=(Label(faces.span, f"looking {looked}"),),
                hints=("an arbor runs from the back of the movement to its front", "look at a compass again"),
            )


def looks(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M516: a dial on the movement itself looks where its side of the movement does not."""
    faces = clock.fact("clock", "faces")
    looked = _direction(faces)
    if faces is None or not looked:
        return
    for dial in clock.dials:
        driven, node = dial.node.get("driven by"), dial.node.get("looks")
        said = _direction(node) or (dial.name.replace("_", "-") if node is None else "")
        side = driven.text(part="side") if driven is not None else None
        if said not in ROUND or side not in _FAR + _NEAR:
            continue
        outward = looked if side in _FAR else OPPOSITE_SIDES[looked]
        if driven is not None and _apart(said, outward):
            name = f"The {called(dial)} dial" if called(dial) else "The dial"
            yield say(
                "M516",
                node.span if node is not None else dial.node.word_span,
                f"{name} is on the {side} side of the movement, which looks {outward}, and not {said}.",
                label=f"{said} here",
                others=(Label(driven.span, f"the {side} side"), Label(faces.span, f"looking {looked}")),
                hints=("the near side is the front, where the keeper stands", "look at a compass again"),
            )


CHECKS = (runs, looks)
