"""Records with a known truth, and entries without a description to read them from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi, sin, sqrt
from random import Random

from countwheel.model.node import Node
from countwheel.record.entries import EYE_AND_EAR, Entry, reading_error
from countwheel.source import Span

NOWHERE = Node(word="entry", written="", path="log", span=Span("", 0, 0), word_span=Span("", 0, 0))


def entry(at: float, found: float | None = None, left: float | None = None, **more: object) -> Entry:
    """An entry to the second; `left` other than `found` sets the hands."""
    was_set = left is not None and left != found
    made = Entry(
        at,
        f"day {at:.0f}",
        "09:00",
        NOWHERE,
        found=found,
        found_error=reading_error(1.0),
        left=found if left is None else left,
        left_error=reading_error(1.0),
        was_set=was_set,
    )
    return replace(made, **more)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Truth:
    """s/day; s/day per °C; s/day per day; s²/day; s by which the reading `wrong_at` is off."""

    rate: float = 0.3
    warmth: float = 0.0
    drift: float = 0.0
    wander: float = 0.0
    wrong: float = 0.0
    number: int = 60
    wrong_at: int = 20
    stop_at: int = 35
    mean: float = 10.0


def record(truth: Truth, random: Random) -> list[Entry]:
    """Weekly readings to the whole second by eye and ear; it stops once, is set going and put right a day later.

    The rate follows the mean of the temperatures read at both ends, as it is fitted.
    """
    made: list[Entry] = []
    clock, at = 0.0, 0.0
    warmth = truth.mean
    for week in range(truth.number):
        was, warmth = warmth, truth.mean + 6.0 * sin(2 * pi * week / 52) + random.gauss(0, 2)
        if week:
            days = 7.0 + random.uniform(-0.1, 0.1)
            rate = (
                truth.rate + truth.warmth * ((was + warmth) / 2 - truth.mean) + truth.drift * (at + days / 2)
            )
            clock += rate * days + random.gauss(0, sqrt(truth.wander * days))
            at += days
        if week == truth.stop_at:
            made.append(entry(at, stopped=True, temperature=warmth))
            at += 1.0
            clock = random.gauss(0, EYE_AND_EAR)
            made.append(entry(at, None, 0.0, started=True, was_set=True, temperature=warmth))
            continue
        read = clock + random.gauss(0, EYE_AND_EAR) + (truth.wrong if week == truth.wrong_at else 0.0)
        made.append(entry(at, float(round(read)), temperature=warmth))
    return made
