"""What the record says beside what the description says: the rod in warmth, the nut, the tray, the arc."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf, isnan, sqrt

from countwheel.figures.record import Figure
from countwheel.record.coefficients import Coefficient, runs_of
from countwheel.record.entries import Entry
from countwheel.record.fitting import coverage
from countwheel.record.stretches import Stretch
from countwheel.record.wander import Rates, ends

Figures = Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class Compared:
    """One thing that both speak of, in `unit`; standard errors. `low` and `high` are what the description allows for.

    `apart` is how far the record lies outside, 0 where it lies within; `limit` is how far it may at 95 %. `of` is
    `temperature`, `pressure`, `arc`, `nut` or `tray`; `when` is the entry that it is of, for the last two.
    """

    of: str
    unit: str
    recorded: float
    recorded_error: float
    low: float
    high: float
    described_error: float
    apart: float
    limit: float
    figure: str
    when: str = ""
    turned: float = 0.0

    @property
    def agrees(self) -> bool:
        return self.apart <= self.limit

    @property
    def says_little(self) -> bool:
        """Agrees, but would have done so with half or twice as much too."""
        return self.agrees and self.limit > max(abs(self.low), abs(self.high)) / 2.0


# What each coefficient is compared with, the sign between them: these figures are losses.
_PREDICTED = {
    "temperature": ("pendulum.temperature_coefficient",),
    "pressure": ("pendulum.barometric_coefficient", "pendulum.barometric_coefficient.with_carried_air"),
    "arc": ("pendulum.circular_deviation.per_degree",),
}


def _number(figures: Figures, id: str) -> tuple[float, float] | None:
    figure = figures.get(id)
    value = figure.value if figure is not None else None
    if figure is None or isinstance(value, (bool, str)) or value is None:
        return None
    return float(value), figure.uncertainty or 0.0


def _judged(
    of: str,
    unit: str,
    recorded: tuple[float, float],
    described: Sequence[tuple[float, float]],
    freedom: float,
    figure: str,
    when: str = "",
    turned: float = 0.0,
) -> Compared:
    """`recorded` and `described` are values with their standard errors."""
    low, high = min(value for value, _ in described), max(value for value, _ in described)
    uncertainty = max(own for _, own in described)
    value, error = recorded
    apart = max(low - value, value - high, 0.0)
    limit = coverage(freedom) * sqrt(error**2 + uncertainty**2)
    return Compared(of, unit, value, error, low, high, uncertainty, apart, limit, figure, when, turned)


def compared(
    coefficients: Sequence[Coefficient],
    stretches: Sequence[Stretch],
    rates: Rates | None,
    entries: Sequence[Entry],
    figures: Figures,
) -> tuple[Compared, ...]:
    """`rates` are those of the spells, with the temperature taken out where it is told."""
    found = []
    for one in coefficients:
        known = [number for id in _PREDICTED[one.of] if (number := _number(figures, id)) is not None]
        if one.value is None or not known:
            continue
        losses = [(-value, error) for value, error in known]
        unit = {"temperature": "s/day per °C", "pressure": "s/day per hPa", "arc": "s/day per °"}[one.of]
        found.append(_judged(one.of, unit, (one.value, one.error), losses, inf, _PREDICTED[one.of][0]))
    return (*found, *_adjustments(stretches, rates, entries, figures))


def _adjustments(
    stretches: Sequence[Stretch], rates: Rates | None, entries: Sequence[Entry], figures: Figures
) -> list[Compared]:
    """Each turn of the nut and each change of the tray, where both spells beside it have a rate."""
    if rates is None:
        return []
    found = []
    begun = {stretch.readings[0].entry.at: stretch.spell for stretch in reversed(stretches)}
    shared = _shared(stretches, rates)
    touched = [entry for entry in entries if entry.nut is not None or entry.tray is not None]
    for entry in touched:
        after = begun.get(entry.at)
        if after is None or after not in rates.rates or after - 1 not in rates.rates:
            continue
        for of, amount, id, unit in (
            ("nut", entry.nut, "pendulum.nut.rate_per_turn", "s/day"),
            ("tray", entry.tray, "pendulum.tray.rate_per_gram", "s/day"),
        ):
            number = _number(figures, id)
            other = entry.tray if of == "nut" else entry.nut
            if amount is None or isnan(amount) or number is None or other is not None:
                continue
            change = rates.rates[after] - rates.rates[after - 1]
            both = rates.errors[after] ** 2 + rates.errors[after - 1] ** 2
            error = sqrt(both - 2.0 * shared.get(after, 0.0))
            described = [(amount * number[0], abs(amount) * number[1])]
            found.append(_judged(of, unit, (change, error), described, rates.freedom, id, entry.when, amount))
    return found


def _shared(stretches: Sequence[Stretch], rates: Rates) -> dict[int, float]:
    """The covariance of each spell's rate with that of the spell before, where one reading ends it and begins the
    next: too high, it makes the one too fast and the other too slow.
    """
    pulls = ends(runs_of(stretches, ()), rates.ratio)
    found = {}
    for (one, (_, last)), (other, (first, _)) in pairwise(zip(stretches, pulls, strict=True)):
        begins, ended = other.readings[0], one.readings[-1]
        if other.spell == one.spell + 1 and begins.entry is ended.entry and not begins.entry.was_set:
            found[other.spell] = last * first * rates.scale * begins.sigma**2
    return found
