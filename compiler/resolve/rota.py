"""A rota can be followed: it begins on a day, somebody is in it, and nobody comes back before going away."""

from __future__ import annotations

import re

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment

_DAY = re.compile(r"\d{4}-\d\d-\d\d")
SHORTEST = 86400.0  # a turn of less than a day cannot be told from the next by dates


def check_rota(clock: Clock, report: list[Diagnostic]) -> None:
    rota = clock.root.get("rota")
    if rota is None:
        return
    start = rota.get("from")
    if start is not None:
        _whole(start, "value", "A rota begins on a day.", report)
    turn = rota.get("turn")
    length = turn.quantity() if turn else None
    if length is not None and length.si < SHORTEST:
        report.append(
            say(
                "M715",
                length.span,
                "A turn is a day at least.",
                label="too short",
                hints=("write turn 1 week",),
            )
        )
    for winder in rota.all("winder"):
        for away in winder.all("away"):
            _away(away, report)


def _away(away: Node, report: list[Diagnostic]) -> None:
    whole = [
        _whole(away, part, "Who is away is so from one day to another.", report)
        for part in ("from", "to")
        if part in away.values
    ]
    first, last = away.part("from", Moment), away.part("to", Moment)
    if all(whole) and first is not None and last is not None and last.iso < first.iso:
        report.append(
            say(
                "M715",
                last.span,
                f"{last.written} is before {first.written}.",
                label="back before going",
                hints=("write the first day away, then the last",),
            )
        )


def _whole(node: Node, part: str, message: str, report: list[Diagnostic]) -> bool:
    value = node.part(part, Moment)
    if value is None or _DAY.fullmatch(value.iso):
        return True
    report.append(
        say("M715", value.span, message, label="which day?", hints=("write the whole date: 2026-05-04",))
    )
    return False
