"""Readings that do not fit their stretch, named and set aside by a stated rule; jumps that the log does not explain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

from countwheel.record.coefficients import runs_of
from countwheel.record.entries import Entry
from countwheel.record.fitting import quantile
from countwheel.record.stretches import Stretch, stretches
from countwheel.record.wander import LEAST_FOR_WANDER, Changes, Rates, fit, oddest

#: Chance that a record without any wrong reading has one set aside.
CHANCE = 0.01
_SHARE = 10  # at most one reading in so many is set aside
_LEAST_SPARE = 4


@dataclass(frozen=True, slots=True)
class Odd:
    """An entry that was set aside, or before which the error jumped; `amount` in s, fast is positive."""

    entry: Entry
    amount: float
    jump: bool
    likely: str  # 'a minute', 'an hour', or ''
    as_left: bool = False  # what it was set to, and not what was found


@dataclass(frozen=True, slots=True)
class Cleaned:
    """The stretches without what was set aside; the fit of a rate to each; how many readings were looked at."""

    stretches: tuple[Stretch, ...]
    odd: tuple[Odd, ...]
    rates: Rates | None
    limit: float
    readings: int


def likely(amount: float) -> str:
    """'a minute', 'two minutes', 'an hour': what a slip of so many seconds is likely to be; '' where like neither."""
    size = abs(amount)
    if abs(size - 3600.0) <= 150.0:
        return "an hour"
    for number, words in ((1, "a minute"), (2, "two minutes"), (5, "five minutes")):
        if abs(size - 60.0 * number) <= 6.0:
            return words
    return ""


def cleaned(entries: Sequence[Entry]) -> Cleaned:
    """Takes out the reading or names the jump that fits worst, one at a time, until none is beyond the limit.

    The limit is the quantile of Student's t at which, with as many tests as there are readings, a record without
    fault loses one in one case of a hundred (Bonferroni's inequality).
    """
    aside: frozenset[int] = frozenset()
    jumps: frozenset[int] = frozenset()
    unset: frozenset[int] = frozenset()
    odd: list[Odd] = []
    readings = sum(entry.found is not None for entry in entries)
    limit, ratio = inf, None
    while True:
        cut = stretches(entries, aside, jumps, unset)
        runs, rates = _fitted(cut, ratio if readings > 400 else None)
        if rates is None or rates.spare < _LEAST_SPARE:
            break
        ratio = rates.ratio
        tests = sum(2 * len(run.days) + 1 for run in runs)
        limit = quantile(1.0 - CHANCE / (2.0 * tests), inf if rates.freedom == inf else rates.spare - 1)
        worst = oddest(runs, rates)
        if worst is None or worst.score <= limit or len(odd) >= max(1, readings // _SHARE):
            break
        # A run is a stretch here: nothing was left out of it.
        own = cut[worst.run].readings
        entry = own[worst.place + worst.jump].entry
        as_left = not worst.jump and worst.place == 0 and (entry.was_set or entry.started)
        odd.append(Odd(entry, worst.amount, worst.jump, likely(worst.amount), as_left))
        if worst.jump:
            jumps |= {id(entry)}
        elif as_left:
            unset |= {id(entry)}
        else:
            aside |= {id(entry)}
    return Cleaned(cut, tuple(odd), _by_stretch(cut, rates), limit, readings)


def _fitted(cut: Sequence[Stretch], ratio: float | None) -> tuple[list[Changes], Rates | None]:
    """One rate for each stretch; where they are too short for that, as where the hands are put right at every visit,
    one for each time between adjustments.
    """
    runs = runs_of(cut, (), by_spell=False)
    rates = fit(runs, ratio)
    if rates is not None and rates.spare < LEAST_FOR_WANDER:
        whole = runs_of(cut, ())
        other = fit(whole, ratio)
        if other is not None and other.spare >= LEAST_FOR_WANDER:
            return whole, other
    return runs, rates


def _by_stretch(cut: Sequence[Stretch], rates: Rates | None) -> Rates | None:
    """The rate of each stretch, with the wander that the record as a whole tells of."""
    if rates is None or set(rates.rates) == set(range(len(cut))):
        return rates
    made = fit(runs_of(cut, (), by_spell=False), rates.wander / rates.scale)
    if made is None:
        return None
    errors = {group: error * sqrt(rates.scale / made.scale) for group, error in made.errors.items()}
    return made._replace(
        errors=errors, wander=rates.wander, scale=rates.scale, freedom=rates.freedom, spare=rates.spare
    )
