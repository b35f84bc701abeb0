"""Figures that wait for facts of which nothing is said, not even `?`: one piece of advice for the whole description."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock

SHOWN = 6
_KINDS = ("value", "kind", "material")


def not_stated(clock: Clock, figures: dict[str, Figure]) -> Counter[str]:
    """Paths of which the description says nothing, with how many figures wait for each."""
    said = {node.path for node in clock.root.walk()}
    # `on ? side`: that a part of the value is not known may be said in the line itself.
    said |= {
        f"{node.path} ({part})"
        for node in clock.root.walk()
        for part, value in node.values.items()
        if value.kind in ("unknown", "absent")
    }
    # Of a part that is lost, that there is none of, or of which not even the kind is known, no more is asked.
    gone = tuple(
        f"{node.path}."
        for node in clock.root.walk()
        if node.evidence.lost
        or node.get("lost")
        or any(v.kind in ("absent", "unknown") for part, v in node.values.items() if part in _KINDS)
    )
    waits = Counter(path for figure in figures.values() for path in dict.fromkeys(figure.waits_for))
    return Counter(
        {path: number for path, number in waits.items() if path not in said and not path.startswith(gone)}
    )


def waiting(clock: Clock, figures: dict[str, Figure]) -> Iterator[Diagnostic]:
    """M604: the facts not stated that hold up most, so that none goes missing without a word."""
    missing = not_stated(clock, figures)
    if not missing:
        return
    first = clock.root.get("clock") or next(iter(clock.root.facts), clock.root)
    held = sum(1 for figure in figures.values() if any(path in missing for path in figure.waits_for))
    ordered = sorted(missing, key=lambda path: (-missing[path], path))
    listed = ", ".join(ordered[:SHOWN]) + (
        f" and {len(ordered) - SHOWN} more" if len(ordered) > SHOWN else ""
    )
    yield say(
        "M604",
        first.word_span,
        f"{held} figure{'s wait' if held > 1 else ' waits'} for facts of which nothing is said: {listed}.",
        label="of this clock",
        hints=(
            "state them, or write `?` where they are not known",
            "`countwheel figures` shows which figures wait, and for what",
        ),
    )
