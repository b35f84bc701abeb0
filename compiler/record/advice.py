"""What to turn, so that the clock neither gains nor loses in the weeks to come: no finer than the record allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from countwheel.record.coefficients import runs_of
from countwheel.record.entries import reading_error
from countwheel.record.fitting import coverage
from countwheel.record.stretches import Stretch, intervals
from countwheel.record.wander import Rates, fit

LEAST_DAYS, LEAST_INTERVALS = 10.0, 2
MOST_ON_TRAY = 100.0  # g laid on at once: beyond, the nut is the better way
_LATELY = 28.0
#: Parts of a turn of a nut that has no divisions.
_PARTS = (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0)

Action = Literal["wait", "leave", "nut", "tray", "unknown"]


@dataclass(frozen=True, slots=True)
class Means:
    """What the description gives to regulate with: s/day per turn and per g, divisions, whether left raises the bob."""

    per_turn: float | None = None
    per_gram: float | None = None
    divisions: float | None = None
    raises: str = ""


@dataclass(frozen=True, slots=True)
class Advice:
    """`rate` and `half` (at 95 %) in s/day, at `warmth` °C where that is known to matter.

    `turns` (up is positive) in `divisions` where the nut has some; `grams` on the tray. `left` is the rate that is
    expected to remain, `expected` how far off the clock may be after `weeks` (s, 95 %) once it has been put right;
    `drifts_by` is what the rate left makes in those weeks. `least` is the turn under which nothing is to be judged,
    where that is why the nut is left alone and its divisions are not stated.
    """

    action: Action
    rate: float | None = None
    half: float = 0.0
    warmth: float | None = None
    weeks: int = 4
    turns: float | None = None
    divisions: float | None = None
    grams: float | None = None
    left: float = 0.0
    expected: float = 0.0
    drifts_by: float = 0.0
    since: str = ""
    raises: str = ""
    least: float | None = None


def advise(
    stretches: Sequence[Stretch],
    spell: int,
    rates: Rates | None,
    warmth: float | None,
    means: Means,
    weeks: int,
) -> Advice:
    """For the spell in which the clock is now. `warmth` (s/day per °C) is None where the record does not tell it."""
    own = [stretch for stretch in stretches if stretch.spell == spell]
    read = [one for stretch in own for one in intervals(stretch)]
    if rates is None or len(read) < LEAST_INTERVALS or sum(one.days for one in read) < LEAST_DAYS:
        return Advice("wait", weeks=weeks)
    since = read[0].first.entry.when
    lately = (
        _lately(own)
        if warmth is not None and all(one.mean("temperature") is not None for one in read)
        else None
    )
    if lately is not None:
        taken = fit(runs_of(stretches, ("temperature",), centre=lately), rates.ratio)
        if taken is not None and spell in taken.rates:
            rates = taken
        else:
            lately = None
    rate, error = rates.rates[spell], rates.errors[spell]
    half = coverage(rates.freedom) * error
    action: Action = "leave"
    turns = divisions = grams = least = None
    effect = 0.0
    if abs(rate) > half:
        action = "unknown"
        if means.per_gram and abs(rate / means.per_gram) <= MOST_ON_TRAY:
            step = _nice(max(1.0, half / abs(means.per_gram)))
            grams = step * round(-rate / means.per_gram / step)
            action, effect = "tray", grams * means.per_gram
        elif means.per_turn:
            step = _step(half / abs(means.per_turn), means.divisions)
            turns = step * round(-rate / means.per_turn / step)
            divisions = turns * means.divisions if means.divisions else None
            action, effect = "nut", turns * means.per_turn
        if action in ("tray", "nut") and effect == 0.0:
            least = step if action == "nut" and not means.divisions else None
            action, turns, divisions, grams = "leave", None, None, None
    days = 7.0 * weeks
    left = rate + effect
    wander = 1.96 * sqrt(rates.wander * days + 2.0 * reading_error(1.0) ** 2)
    expected = sqrt((half * days) ** 2 + wander**2)
    return Advice(
        action, rate, half, lately, weeks, turns, divisions, grams, left, expected, left * days, since, means.raises,
        least,
    )  # fmt: skip


def _lately(own: Sequence[Stretch]) -> float | None:
    """The mean temperature of the last four weeks of readings."""
    last = own[-1].readings[-1].at
    read = [
        reading.entry.temperature
        for stretch in own
        for reading in stretch.readings
        if reading.entry.temperature is not None and last - reading.at <= _LATELY
    ]
    return sum(read) / len(read) if read else None


def _nice(size: float) -> float:
    """The largest of 1, 2, 5, 10, 20 ... that is not over `size`."""
    return max(
        (factor * 10.0**power for power in range(4) for factor in (1, 2, 5) if factor * 10.0**power <= size),
        default=1.0,
    )


def _step(half: float, divisions: float | None) -> float:
    """The step of the nut, in turns, that a rate known to within `half` turns bears: a whole or half division.

    Where the nut has no divisions, a part of a turn that an eye can judge.
    """
    if divisions:
        return (0.5 if half * divisions < 0.25 else 1.0) / divisions
    return next((part for part in _PARTS if part >= half), 1.0)
