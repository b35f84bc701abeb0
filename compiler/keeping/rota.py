"""Who winds when: several winders in turn, and who steps in where one is away.

Turns are counted from the rota's first day, whoever is away: a stand-in takes the day and keeps the own turn. It is
the next winder of the list, from the one who is away on, who is not away.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from countwheel.keeping.record import day_of
from countwheel.keeping.steps import Step, step_of
from countwheel.model.clock import Clock
from countwheel.model.node import Node

USUAL_TURN = Step(days=7)


class Away(NamedTuple):
    """From the first to the last day, both of them away."""

    first: date
    last: date
    why: str


class Winder(NamedTuple):
    name: str
    away: tuple[Away, ...]

    def absence(self, day: date) -> Away | None:
        return next((one for one in self.away if one.first <= day <= one.last), None)


class Rota(NamedTuple):
    start: date
    turn: Step
    winders: tuple[Winder, ...]

    def number(self, day: date) -> int:
        """Which turn a day falls in, from 0 on; below 0 before the rota begins."""
        if day < self.start:
            return -1
        number = (day - self.start).days // (self.turn.days or 31 * self.turn.months)
        while self.turn.after(self.start, number + 1) <= day:
            number += 1
        return number


class Turn(NamedTuple):
    """Days in a row of one turn on which one person winds; `name` is '' where everybody is away.

    `planned` is whose turn it is, `why` the reason where that one is away and it was given.
    """

    number: int
    first: date
    last: date
    name: str
    planned: str
    why: str = ""

    @property
    def stands_in(self) -> bool:
        return self.name != self.planned


def rota_of(clock: Clock) -> Rota | None:
    """The rota as stated; None where there is none, or none that can be followed."""
    node = clock.root.get("rota")
    start = day_of(from_, "value") if node and (from_ := node.get("from")) else None
    if node is None or start is None:
        return None
    winders = tuple(
        Winder(winder.label or "", tuple(_absences(winder))) for winder in node.all("winder") if winder.label
    )
    turn = node.quantity("turn")
    return Rota(start, step_of(turn) if turn else USUAL_TURN, winders) if winders else None


def _absences(winder: Node) -> Iterator[Away]:
    for node in winder.all("away"):
        first = day_of(node, "from")
        last = day_of(node, "to") if "to" in node.values else first
        if first is not None and last is not None and first <= last:
            yield Away(first, last, node.text(part="why") or "")


def on_day(rota: Rota, day: date) -> Turn | None:
    """Who winds on a day, as a turn of that day alone; None before the rota begins."""
    number = rota.number(day)
    if number < 0:
        return None
    several = len(rota.winders)
    order = [rota.winders[(number + by) % several] for by in range(several)]
    missing = order[0].absence(day)
    name = next((one.name for one in order if one.absence(day) is None), "")
    return Turn(number, day, day, name, order[0].name, missing.why if missing else "")


def turns(rota: Rota, first: date, last: date) -> Iterator[Turn]:
    """The turns from one day to another, parted where somebody steps in; cut off at both ends."""
    open_turn: Turn | None = None
    day = max(first, rota.start)
    while day <= last:
        today = on_day(rota, day)
        assert today is not None
        if open_turn is not None and open_turn[0] == today[0] and open_turn[3:] == today[3:]:
            open_turn = open_turn._replace(last=day)
        else:
            if open_turn is not None:
                yield open_turn
            open_turn = today
        day += timedelta(days=1)
    if open_turn is not None:
        yield open_turn
