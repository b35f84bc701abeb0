"""What warmth, air pressure and arc do to the rate, pooled over the whole record, or why that cannot be told yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from countwheel.record.fitting import coverage
from countwheel.record.stretches import Interval, Stretch, intervals
from countwheel.record.wander import Changes, fit

LEAST_INTERVALS = 10
#: Spread about its mean within a spell (standard deviation) under which a coefficient is not looked for.
LEAST_SPREAD = {"temperature": 1.0, "pressure": 3.0, "arc": 0.03}
UNITS = {"temperature": "°C", "pressure": "hPa", "arc": "° of arc"}
_ALIKE = 0.9  # correlation with the date, or with another thing, from which two cannot be told apart


@dataclass(frozen=True, slots=True)
class Coefficient:
    """s/day for each unit of `of`, more is a gain; `error` is its standard error, `half` the half-width of 95 %.

    `told` is whether it is told from nothing and from other things; `why_not` says what is lacking. `spread` is the
    standard deviation of what it hangs on within the spells; `with_date` its correlation with the date there.
    """

    of: str
    told: bool
    why_not: str = ""
    value: float | None = None
    error: float = 0.0
    half: float = 0.0
    intervals: int = 0
    spread: float = 0.0
    with_date: float = 0.0
    beside: str = ""  # what was taken out at the same time


def runs_of(
    stretches: Sequence[Stretch],
    names: Sequence[str],
    by_spell: bool = True,
    date_in: int | None = None,
    centre: float | None = None,
) -> list[Changes]:
    """The changes of all stretches, those that lack one of `names` left out.

    `by_spell`: one rate for each spell, else one for each stretch. `date_in`: a spell for which the date (in days
    from the middle of what is used of it) is a column too; only changes of that spell are given. Rates are for the
    mean of each thing over all that is used, that of the first for `centre` where it is given.
    """
    runs: list[Changes] = []
    used = [
        (number, one)
        for number, stretch in enumerate(stretches)
        if date_in is None or stretch.spell == date_in
        for one in intervals(stretch)
        if all(one.mean(name) is not None for name in names)
    ]
    middle = sum(one.middle for _, one in used) / len(used) if used else 0.0
    means = {
        name: sum(one.mean(name) or 0.0 for _, one in used) / len(used) if used else 0.0 for name in names
    }
    if centre is not None and names:
        means[names[0]] = centre
    open_: list[Interval] = []
    at: int | None = None

    def close() -> None:
        if open_ and at is not None:
            columns = [
                tuple(((one.mean(name) or 0.0) - means[name]) * one.days for one in open_) for name in names
            ]
            if date_in is not None:
                columns.append(tuple((one.middle - middle) * one.days for one in open_))
            runs.append(
                Changes(
                    stretches[at].spell if by_spell else at,
                    tuple(one.days for one in open_),
                    tuple(one.change for one in open_),
                    (open_[0].first.sigma ** 2, *(one.last.sigma**2 for one in open_)),
                    tuple(columns),
                )
            )

    for number, one in used:
        if at != number or open_[-1].last is not one.first:
            close()
            open_, at = [], number
        open_.append(one)
    close()
    return runs


def coefficient(stretches: Sequence[Stretch], of: str, beside: str = "") -> Coefficient:
    """That of `of`, with `beside` taken out at the same time where it is given."""
    names = [of, beside] if beside else [of]
    used = [
        (stretch.spell, one)
        for stretch in stretches
        for one in intervals(stretch)
        if all(one.mean(name) is not None for name in names)
    ]
    number = len(used)
    if number < LEAST_INTERVALS:
        many = f"{number or 'no'} interval{'' if number == 1 else 's'} with it at both ends"
        return Coefficient(of, False, f"{many}; it takes {LEAST_INTERVALS}", intervals=number)
    mine = _within(used, of)
    spread = sqrt(sum(x * x for x in mine) / number)
    if spread < LEAST_SPREAD[of]:
        why = f"it hardly changed: by {spread:.2g} {UNITS[of]} about its mean"
        return Coefficient(of, False, why, intervals=number, spread=spread)
    with_date = _correlation(mine, _within(used, "date"))
    if beside and abs(_correlation(mine, _within(used, beside))) > _ALIKE:
        why = f"it went up and down with the {beside}, so that the two cannot be told apart"
        return Coefficient(of, False, why, intervals=number, spread=spread, with_date=with_date)
    rates = fit(runs_of(stretches, names))
    if rates is None or rates.spare < 3:
        return Coefficient(
            of, False, "the adjustments lie too close together", intervals=number, spread=spread
        )
    value, error = rates.coefficients[0], sqrt(rates.covariance[0][0])
    half = coverage(rates.freedom) * error
    why = ""
    if abs(value) <= half:
        why = "it is not told from nothing"
    elif abs(with_date) > _ALIKE:
        why = "it changed with the date throughout, so that it cannot be told from a slow change of the clock"
    return Coefficient(of, not why, why, value, error, half, number, spread, with_date, beside)


def coefficients(stretches: Sequence[Stretch]) -> tuple[Coefficient, ...]:
    """Those of temperature, pressure and arc; temperature is taken out of the others where it was read with them."""
    warmth = coefficient(stretches, "temperature")
    found = [warmth]
    for of in ("pressure", "arc"):
        both = coefficient(stretches, of, "temperature")
        found.append(both if both.value is not None else coefficient(stretches, of))
    return tuple(found)


def _within(used: Sequence[tuple[int, Interval]], name: str) -> list[float]:
    """Values less the mean of their spell."""
    values = [one.middle if name == "date" else one.mean(name) or 0.0 for _, one in used]
    groups: dict[int, list[float]] = {}
    for (spell, _), value in zip(used, values, strict=True):
        groups.setdefault(spell, []).append(value)
    means = {spell: sum(own) / len(own) for spell, own in groups.items()}
    return [value - means[spell] for (spell, _), value in zip(used, values, strict=True)]


def _correlation(one: Sequence[float], other: Sequence[float]) -> float:
    both = sqrt(sum(a * a for a in one) * sum(b * b for b in other))
    return sum(a * b for a, b in zip(one, other, strict=True)) / both if both > 0 else 0.0
