"""Facts of which several values are recorded: those that disagree, and those of which every one is doubted."""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.disagreement import Difference, differences, is_doubted
from countwheel.figures.record import Figure
from countwheel.figures.terms import evidence_text
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Count

Figures = dict[str, Figure]


def disagreeing(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M517: two values of one fact, neither doubted, farther apart than their tolerances allow."""
    for node in _once(clock):
        if is_doubted(node):
            continue
        for other in node.others:
            apart = () if is_doubted(other) else differences(node, other)
            found = next((one for one in apart if not one.agrees), None)
            if found is not None:
                yield say(
                    "M517",
                    found.held.span,
                    f"`{node.path}` is recorded as {found.held.written} ({evidence_text(found.held.evidence)}) "
                    f"and as {found.other.written} ({evidence_text(found.other.evidence)}){_how_far(found)}.",
                    label="this one holds",
                    others=(Label(found.other.span, "this one does not agree"),),
                    hints=(
                        "count or measure it again, then write `doubted` and why behind the value that is wrong",
                        "until then the first value that is not doubted holds: put the one that you trust first",
                    ),
                )


def _how_far(found: Difference) -> str:
    if not found.apart:
        return ", which is not the same"
    if isinstance(found.held, Count):
        return f", which is {found.apart} apart; a count has no tolerance"
    allowed = f"both tolerances together are {found.allowed}" if found.allowed else "neither has a tolerance"
    return f", which is {found.apart} apart; {allowed}"


def all_doubted(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M518: every recorded value of a fact is doubted, so that the first of them holds."""
    for node in _once(clock):
        if node.others and is_doubted(node) and all(map(is_doubted, node.others)):
            part = next(iter(node.others[0].values))
            held = node.values[part]
            yield say(
                "M518",
                held.span,
                f"Every value recorded of `{node.path}` is doubted; the first, {held.written}, holds for want of "
                "a better.",
                label="holds, though doubted",
                others=(Label(other.values[part].span, "doubted too") for other in node.others),
                hints=("count or measure it again and put the new value first",),
            )


def _once(clock: Clock) -> Iterator[Node]:
    """Every fact with several values; what one line says of several dials, once."""
    seen: set[tuple[str, int]] = set()
    for node in clock.root.walk():
        place = (node.span.file, node.span.start)
        if node.others and place not in seen:
            seen.add(place)
            yield node


CHECKS = (disagreeing, all_doubted)
