"""Signs that a trend is a fault of the clock and not a rate to be regulated away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt
from typing import Literal

from countwheel.record.cleaning import Odd
from countwheel.record.coefficients import runs_of
from countwheel.record.entries import Entry
from countwheel.record.fitting import coverage, line
from countwheel.record.stretches import Stretch
from countwheel.record.wander import fit

#: Standard error of a reading of the arc against a degree plate, in degrees (our own judgement: half a tenth).
ARC_ERROR = 0.05
#: How sure it must be that something changes before a fault is spoken of: whoever is told of one looks for it.
SURE = 0.998
_LATELY = 60.0  # days for which a jump is news
_LEAST_FALL = 0.1  # degrees of arc


@dataclass(frozen=True, slots=True)
class Fault:
    """`rate drifts`: s/day gained in 30 days. `arc falls`: degrees lost in 30 days. `jump`: s, at an entry.

    `half` is the half-width at `SURE` (0 for a jump); `first` and `last` are the moments that it is about, as written.
    """

    kind: Literal["rate drifts", "arc falls", "jump"]
    amount: float
    half: float
    first: str
    last: str


def faults(
    entries: Sequence[Entry], stretches: Sequence[Stretch], odd: Sequence[Odd], warmth: bool
) -> tuple[Fault, ...]:
    """`warmth`: whether the temperature's part is told, and so taken out before a drift is looked for."""
    found = []
    drift = _drift(stretches, warmth)
    if drift is not None:
        found.append(drift)
    arc = _arc(entries)
    if arc is not None:
        found.append(arc)
    last = entries[-1].at if entries else 0.0
    found += [
        Fault("jump", one.amount, 0.0, one.entry.when, one.entry.when)
        for one in odd
        if one.jump and last - one.entry.at <= _LATELY
    ]
    return tuple(found)


def _drift(stretches: Sequence[Stretch], warmth: bool) -> Fault | None:
    """Whether the rate itself changes in the last spell: curvature of the error, at `SURE`."""
    if not stretches:
        return None
    spell = stretches[-1].spell
    own = [stretch for stretch in stretches if stretch.spell == spell]
    rates = fit(runs_of(stretches, ("temperature",) if warmth else (), date_in=spell))
    if rates is None or rates.spare < 5:
        return None
    value, error = rates.coefficients[-1], sqrt(rates.covariance[-1][-1])
    half = coverage(rates.freedom, SURE) * error
    if abs(value) <= half:
        return None
    first, last = own[0].readings[0].entry.when, own[-1].readings[-1].entry.when
    return Fault("rate drifts", 30.0 * value, 30.0 * half, first, last)


def _arc(entries: Sequence[Entry]) -> Fault | None:
    """Whether the arc has fallen since the clock was last oiled or cleaned, at `SURE`."""
    since = max((at for at, entry in enumerate(entries) if entry.served), default=0)
    read = [entry for entry in entries[since:] if entry.arc is not None and entry.doubted is None]
    if len(read) < 4 or read[-1].at <= read[0].at:
        return None
    days = [entry.at - read[0].at for entry in read]
    made = line(days, [entry.arc or 0.0 for entry in read])
    if made is None:
        return None
    scatter = max(ARC_ERROR, made.scatter)
    slope, error = made.values[1], made.errors[1] * scatter / (made.scatter or scatter)
    if made.scatter == 0.0:
        mean = sum(days) / len(days)
        error = ARC_ERROR / sqrt(sum((day - mean) ** 2 for day in days))
    half = coverage(inf if scatter == ARC_ERROR else made.freedom, SURE) * error
    if slope >= -half or -slope * days[-1] < _LEAST_FALL:
        return None
    return Fault("arc falls", -30.0 * slope, 30.0 * half, read[0].when, read[-1].when)
