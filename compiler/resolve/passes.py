"""From the tree as written to a linked clock: the passes in their order."""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.resolve import expectations, links, paths, sanity


def _paths(clock: Clock, report: list[Diagnostic]) -> Clock:
    paths.check_paths(clock, report)
    return clock


def _expectations(clock: Clock, report: list[Diagnostic]) -> Clock:
    return clock.model_copy(update={"expectations": expectations.read_all(clock, report)})


def _sanity(clock: Clock, report: list[Diagnostic]) -> Clock:
    sanity.look_over(clock, report)
    return clock


PASSES = (_paths, _expectations, _sanity)


def resolve(root: Node, file: str, report: list[Diagnostic], damaged: frozenset[str] = frozenset()) -> Clock:
    """Links the facts and runs every pass; faults go to the report. Never raises for a user's fault."""
    clock = links.link(root, file, report, damaged)
    for one in PASSES:
        clock = one(clock, report)
    return clock
