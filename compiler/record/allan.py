"""The Allan deviation of a clock's rate, from its errors on an even grid, gaps left out.

W. J. Riley, Handbook of Frequency Stability Analysis, NIST SP 1065, 2008, sections 5.2.2 and 5.2.4.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import sqrt
from typing import NamedTuple

Errors = Sequence[float | None]


class Deviation(NamedTuple):
    """`value` in s per day where errors are in s and the step in days; `terms` second differences went into it."""

    span: float
    value: float
    terms: int


def deviation(runs: Sequence[Errors], step: float, number: int, overlapping: bool = True) -> Deviation | None:
    """The deviation over `number` steps, pooled over runs between which nothing is known of the error.

    Each run is a row of errors at every `step`, None where there is no reading. Only second differences of which all
    three readings are there count: a gap is neither bridged nor filled. None where there is no such difference.
    """
    total, terms = 0.0, 0
    for run in runs:
        for at in range(0, len(run) - 2 * number, 1 if overlapping else number):
            first, second, third = run[at], run[at + number], run[at + 2 * number]
            if first is not None and second is not None and third is not None:
                total += (third - 2.0 * second + first) ** 2
                terms += 1
    if not terms:
        return None
    span = number * step
    return Deviation(span, sqrt(total / (2.0 * terms)) / span, terms)


#: How far from its place on the grid a reading may have been taken, as a share of the step.
AWAY = 0.1
_LEAST = 5  # second differences that a deviation is given for


def grid(moments: Sequence[float]) -> float | None:
    """The usual step between moments, whole days where it is longer than one; None where there is no usual one."""
    steps = sorted(later - earlier for earlier, later in pairwise(moments) if later > earlier)
    if len(steps) < 2:
        return None
    middle = steps[len(steps) // 2]
    step = float(round(middle)) if middle >= 0.9 else middle
    near = sum(abs(one - step) <= AWAY * step for one in steps)
    return step if step > 0 and near >= 0.5 * len(steps) else None


def on_grid(moments: Sequence[float], errors: Sequence[float], step: float) -> Errors:
    """Errors by their place on the grid that starts with the first moment; those too far from a place are left out."""
    if not moments:
        return ()
    # The grid goes through most of the readings, not through the first, which may have been late.
    offset = (
        sorted((moment - moments[0] + step / 2) % step for moment in moments)[len(moments) // 2] - step / 2
    )
    places = [(moment - moments[0] - offset) / step for moment in moments]
    first = round(places[0])
    row: list[float | None] = [None] * (round(places[-1]) - first + 1)
    for place, error in zip(places, errors, strict=True):
        if abs(place - round(place)) <= AWAY:
            row[round(place) - first] = error
    return row


def deviations(runs: Sequence[Errors], step: float) -> tuple[Deviation, ...]:
    """Over one step, two, four, eight and so on, as far as there are differences enough."""
    found: list[Deviation] = []
    number = 1
    while True:
        one = deviation(runs, step, number)
        if one is None or one.terms < _LEAST:
            return tuple(found)
        found.append(one)
        number *= 2
