"""The facts of a text by itself: no included file is followed, nothing is linked, no figure is worked out.

Enough to tell one version from another, and fast.
"""

from __future__ import annotations

from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic
from countwheel.model.node import Node
from countwheel.source import Source


class Alone(NamedTuple):
    """The tree of facts, and what could not be read of it (what is only missing is no fault of a text alone)."""

    root: Node
    faults: tuple[Diagnostic, ...]


def facts_of(text: str, file: str = "description.movement") -> Alone:
    """The facts of one text. Never raises for what stands in it."""
    from countwheel.project import parse
    from countwheel.resolve.facts import Facts

    source = Source(file, text)
    tree, report = parse(source)
    facts = Facts({file: source}, report)
    root = facts.root(source)
    facts.read(tree.lines, source, root)
    faults = tuple(fault for fault in report if fault.severity == "error")
    return Alone(facts.freeze(root), faults)
