"""Rates from errors, where both the readings and the clock itself scatter.

A reading is wrong by a reading error, which does not grow; the clock's own error wanders as well, with a variance that
grows with time. What is fitted is the change from each reading to the next: neighbours share a reading, so that their
covariance has three diagonals. With no wander this is just the straight line through the errors; with nothing but
wander it is the line from the first to the last. How much there is of either is told by the record itself, by
restricted maximum likelihood (H. D. Patterson and R. Thompson, Biometrika 58, 1971, p. 545).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from math import exp, inf, log, sqrt
from typing import NamedTuple

from countwheel.record.entries import EYE_AND_EAR

LEAST_FOR_WANDER = 8  # degrees of freedom that wander can be told from
#: How many residuals the stated error of a reading weighs as much as: it is a judgement, but what goes beyond it is
#: more often the clock than the keeper, and the two are hard to tell apart in a short record.
BELIEF = 40.0
#: s²/day by which the clock's own error is taken to wander where the record is too short to tell: a second in a week.
#: Our own judgement; without it two readings would seem to tell the rate as well as a year of them.
USUAL_WANDER = 1.0 / 7.0
_RATIOS = (0.0, *(10.0 ** (power / 2) for power in range(-4, 9)))


class Changes(NamedTuple):
    """A run of changes in which each begins with the reading that the last one ended with.

    `days`, `changes` (s): one a change; `variances` (s²): one a reading, so one more; `columns`: for each further thing
    that the rate may hang on, its value times the days, one a change.
    """

    group: int
    days: tuple[float, ...]
    changes: tuple[float, ...]
    variances: tuple[float, ...]
    columns: tuple[tuple[float, ...], ...] = ()


class Rates(NamedTuple):
    """Rate of each group in s/day with its standard error; coefficients of the columns with their covariance.

    `wander` is the variance that the clock's own error gains in a day, s²/day. `scale` multiplies the variances of the
    readings: above 1 where the record scatters more than they say. `freedom` is that of the noise as it was found in
    the record, infinite where none of it was taken from there. `ratio` is the likeliest of wander to `scale`.
    """

    rates: dict[int, float]
    errors: dict[int, float]
    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    wander: float
    scale: float
    freedom: float
    spare: int
    rss: float
    ratio: float


class _Group(NamedTuple):
    days: float
    with_changes: float
    with_columns: tuple[float, ...]


class _Sums(NamedTuple):
    groups: dict[int, _Group]
    rss: float
    determinant: float  # log of those of the covariance and of what the groups take
    coefficients: tuple[float, ...]
    inverse: tuple[tuple[float, ...], ...]
    spare: int


def _whiten(run: Changes, ratio: float) -> tuple[list[list[float]], float]:
    """Days, changes and columns with independent parts of variance 1, and the log of the covariance's determinant."""
    rows = [run.days, run.changes, *run.columns]
    made: list[list[float]] = [[] for _ in rows]
    under, total = 0.0, 0.0
    variances = run.variances
    for i, days in enumerate(run.days):
        pivot = sqrt(variances[i] + variances[i + 1] + ratio * days - under * under)
        total += 2.0 * log(pivot)
        for row, out in zip(rows, made, strict=True):
            out.append((row[i] - (under * out[-1] if i else 0.0)) / pivot)
        under = -variances[i + 1] / pivot
    return made, total


def _sums(runs: Sequence[Changes], ratio: float, wide: int) -> _Sums | None:
    """The normal equations for a ratio of wander (per day) to reading variance, the groups' rates taken out."""
    groups: dict[int, list[float]] = {}
    pairs = [(i, j) for i in range(wide) for j in range(i + 1)]
    inner, crossed = [0.0] * len(pairs), [0.0] * wide
    square, determinant, number = 0.0, 0.0, 0
    for run in runs:
        (days, changes, *columns), part = _whiten(run, ratio)
        determinant += part
        number += len(days)
        mine = groups.setdefault(run.group, [0.0] * (2 + wide))
        mine[0] += sum(d * d for d in days)
        mine[1] += sum(d * c for d, c in zip(days, changes, strict=True))
        square += sum(c * c for c in changes)
        for k, column in enumerate(columns):
            mine[2 + k] += sum(d * c for d, c in zip(days, column, strict=True))
            crossed[k] += sum(d * c for d, c in zip(changes, column, strict=True))
        for at, (i, j) in enumerate(pairs):
            inner[at] += sum(a * b for a, b in zip(columns[i], columns[j], strict=True))
    for mine in groups.values():
        determinant += log(mine[0])
        square -= mine[1] ** 2 / mine[0]
        for k in range(wide):
            crossed[k] -= mine[2 + k] * mine[1] / mine[0]
        for at, (i, j) in enumerate(pairs):
            inner[at] -= mine[2 + i] * mine[2 + j] / mine[0]
    inverse = _inverse(inner, wide)
    if inverse is None:
        return None
    coefficients = tuple(sum(inverse[i][j] * crossed[j] for j in range(wide)) for i in range(wide))
    square -= sum(c * x for c, x in zip(coefficients, crossed, strict=True))
    if wide:
        determinant += log(inner[0] if wide == 1 else inner[0] * inner[2] - inner[1] ** 2)
    made = {group: _Group(mine[0], mine[1], tuple(mine[2:])) for group, mine in groups.items()}
    spare = number - len(groups) - wide
    return _Sums(made, max(square, 0.0), determinant, coefficients, inverse, spare)


def _inverse(lower: Sequence[float], wide: int) -> tuple[tuple[float, ...], ...] | None:
    """The inverse of a symmetric matrix of none, one or two rows from its lower half; None where it has none."""
    if wide == 0:
        return ()
    if wide == 1:
        return ((1.0 / lower[0],),) if lower[0] > 1e-12 else None
    one, cross, two = lower
    determinant = one * two - cross * cross
    if one <= 1e-12 or determinant <= 1e-9 * one * two:
        return None
    return ((two / determinant, -cross / determinant), (-cross / determinant, one / determinant))


def _scale(sums: _Sums) -> float:
    """By how much the variances of the readings must be multiplied, the stated ones counting as `BELIEF` residuals."""
    return max(1.0, (sums.rss + BELIEF) / (sums.spare + BELIEF))


def _likelihood(sums: _Sums) -> float:
    """Minus twice the restricted likelihood, with what is believed of the readings, but for a constant."""
    scale = _scale(sums)
    return (sums.spare + BELIEF) * log(scale) + (sums.rss + BELIEF) / scale + sums.determinant


def fit(runs: Sequence[Changes], ratio: float | None = None) -> Rates | None:
    """Rates and coefficients; None where there is nothing to fit or the columns are alike.

    `ratio` of wander per day to the readings' variance: where it is not given, every one of a row of them counts by
    its likelihood, so that the uncertainty holds what is not known of the wander too (the law of total variance). A
    record too short to tell has the usual one.
    """
    runs = [run for run in runs if any(run.days)]
    if not runs:
        return None
    wide = len(runs[0].columns)
    first = _sums(runs, ratio if ratio is not None else USUAL_WANDER, wide)
    if first is None:
        return None
    if ratio is not None or first.spare < LEAST_FOR_WANDER:
        return _rounded(_rates(first, ratio if ratio is not None else USUAL_WANDER, given=True), runs)
    tried = [(one, sums) for one in _RATIOS if (sums := _sums(runs, one, wide)) is not None]
    likelihoods = [_likelihood(sums) for _, sums in tried]
    best = min(likelihoods)
    weights = [exp((best - one) / 2.0) for one in likelihoods]
    kept = [
        (weight / sum(weights), _rates(sums, one, given=False))
        for weight, (one, sums) in zip(weights, tried, strict=True)
        if weight > 1e-6
    ]
    return _rounded(_mean(kept), runs)


#: Standard error of a rate of which nothing is known but that the error stayed within one step of the readings from
#: first to last, in steps: what two errors of rounding, each alike likely all over a step, leave open at 95 %.
_WITHIN_A_STEP = (1.0 - sqrt(0.05)) / 1.96


def _rounded(made: Rates, runs: Sequence[Changes]) -> Rates:
    """Readings that hardly leave one step are all rounded the same way, so that their number does not help."""
    days: dict[int, float] = {}
    least: dict[int, float] = {}
    for run in runs:
        days[run.group] = days.get(run.group, 0.0) + sum(run.days)
        step = sqrt(12.0 * max(0.0, min(run.variances) - EYE_AND_EAR**2))
        path = [0.0, *accumulate(run.changes)]
        steps = (max(path) - min(path)) / step if step > 0 else inf
        least[run.group] = min(least.get(run.group, inf), _WITHIN_A_STEP * step / max(1.0, steps))
    errors = {group: max(error, least[group] / days[group]) for group, error in made.errors.items()}
    return made._replace(errors=errors)


def _rates(sums: _Sums, ratio: float, given: bool) -> Rates:
    """`given`: the ratio is not taken from the record, so that only a scale above 1 is."""
    wide = len(sums.coefficients)
    freedom = sums.spare + (BELIEF if given else 0.0)
    scale = _scale(sums)
    if scale < 1.0 + 1e-9 and (given or ratio == 0.0):
        freedom = inf  # the readings are believed as they are, and nothing else was to be found
    rates, errors = {}, {}
    for group, mine in sums.groups.items():
        part = [value / mine.days for value in mine.with_columns]
        rates[group] = (mine.with_changes - _along(sums.coefficients, mine.with_columns)) / mine.days
        more = sum(part[i] * sums.inverse[i][j] * part[j] for i in range(wide) for j in range(wide))
        errors[group] = sqrt(scale * (1.0 / mine.days + more))
    covariance = tuple(tuple(scale * value for value in row) for row in sums.inverse)
    return Rates(
        rates, errors, sums.coefficients, covariance, scale * ratio, scale, freedom, sums.spare, sums.rss, ratio
    )  # fmt: skip


def _mean(kept: Sequence[tuple[float, Rates]]) -> Rates:
    """One fit of several by their weights; ratio, scale and freedom are those of the weightiest."""
    best = max(kept, key=lambda one: one[0])[1]
    wide = range(len(best.coefficients))
    rates = {group: sum(w * one.rates[group] for w, one in kept) for group in best.rates}
    errors = {
        group: sqrt(sum(w * (one.errors[group] ** 2 + (one.rates[group] - mean) ** 2) for w, one in kept))
        for group, mean in rates.items()
    }
    middle = tuple(sum(w * one.coefficients[i] for w, one in kept) for i in wide)
    covariance = tuple(
        tuple(
            sum(
                w
                * (
                    one.covariance[i][j]
                    + (one.coefficients[i] - middle[i]) * (one.coefficients[j] - middle[j])
                )
                for w, one in kept
            )
            for j in wide
        )
        for i in wide
    )
    wander = sum(w * one.wander for w, one in kept)
    return best._replace(
        rates=rates, errors=errors, coefficients=middle, covariance=covariance, wander=wander
    )


def ends(runs: Sequence[Changes], ratio: float) -> list[tuple[float, float]]:
    """What a second more in the first and in the last reading of each run does to its group's rate, in s/day.

    With them goes the covariance of two rates that share a reading, the last of one run and the first of the next.
    """
    solved = []
    whole: dict[int, float] = {}
    for run in runs:
        diagonal, beside = _covariance(run, ratio)
        down = [diagonal[0]]
        for i in range(1, len(diagonal)):
            down.append(diagonal[i] - beside[i - 1] ** 2 / down[-1])
        solved.append(_solve(down, beside, run.days))
        whole[run.group] = whole.get(run.group, 0.0) + _along(run.days, solved[-1])
    return [(-w[0] / whole[run.group], w[-1] / whole[run.group]) for run, w in zip(runs, solved, strict=True)]


def _covariance(run: Changes, ratio: float) -> tuple[list[float], list[float]]:
    """The covariance of a run's changes: its diagonal, and the one beside it; all others are nothing."""
    number = len(run.days)
    diagonal = [run.variances[i] + run.variances[i + 1] + ratio * run.days[i] for i in range(number)]
    return diagonal, [-run.variances[i + 1] for i in range(number - 1)]


def _along(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


class Oddity(NamedTuple):
    """A reading (or a jump) that does not fit: run, place in it, by how many standard errors, by how many s."""

    run: int
    place: int
    jump: bool
    score: float
    amount: float


#: Changes; in a longer record one wrong reading does not sway what is found of the wander.
MOST_FOR_EVERY_RATIO = 40
#: Changes; in a longer record a little wander is explained by some jump or other, so that a jump has to be likelier
#: than all wander is (the ratio of the likelihoods): by its residual alone one record in fourteen had a false one.
MOST_FOR_RESIDUALS = 16


def oddest(runs: Sequence[Changes], rates: Rates) -> Oddity | None:
    """The reading, or the jump between two, that fits worst among those that the others leave no doubt about.

    The score is the externally studentised residual (R. D. Cook and S. Weisberg, Residuals and Influence in
    Regression, 1982, 2.2.1), with the wander too as it is likeliest without that reading: one that is far out would
    else pass for a clock that wanders. A jump counts only where it explains more than a single wrong reading does.
    """
    runs = [run for run in runs if any(run.days)]
    number = sum(len(run.days) for run in runs)
    every = number <= MOST_FOR_EVERY_RATIO and rates.spare >= LEAST_FOR_WANDER
    best: dict[tuple[int, int, bool], tuple[float, float, float]] = {}
    whole = inf
    for ratio in _RATIOS if every else (rates.ratio,):
        sums = _sums(runs, ratio, len(rates.coefficients))
        if sums is None or sums.spare < 2:
            continue
        made = _rates(sums, ratio, given=True)
        whole = min(whole, _likelihood(sums))
        for at, run in enumerate(runs):
            residuals = [c - made.rates[run.group] * d for c, d in zip(run.changes, run.days, strict=True)]
            for k, coefficient in enumerate(made.coefficients):
                residuals = [r - coefficient * z for r, z in zip(residuals, run.columns[k], strict=True)]
            for place, jump, moved, weight in _tests(run, residuals, ratio, sums.groups[run.group].days):
                taken = moved * moved / weight
                less = max(0.0, sums.rss - taken)
                without = sums._replace(rss=less)
                if not jump:
                    without = without._replace(
                        spare=sums.spare - 1, determinant=sums.determinant + log(weight)
                    )
                unlikely = _likelihood(without)
                key = (at, place, jump)
                if key not in best or unlikely < best[key][0]:
                    best[key] = (unlikely, taken / max(1.0, less / (sums.spare - 1)), moved / weight)
    worst: Oddity | None = None
    for (at, place, jump), (unlikely, square, amount) in best.items():
        ratios = every and jump and number > MOST_FOR_RESIDUALS
        score = sqrt(max(0.0, whole - unlikely) if ratios else square)
        # Of two readings that fit alike ill the later one, which was found and not set.
        if worst is None or score > worst.score * (1.02 if jump else 1.0 - 1e-9):
            worst = Oddity(at, place, jump, score, amount)
    return worst


def _tests(
    run: Changes, residuals: Sequence[float], ratio: float, own: float
) -> list[tuple[int, bool, float, float]]:
    """For each reading, then each change: place, whether a jump, score's numerator, information on its size.

    `own` is the information on the rate of the run's group.
    """
    number = len(run.days)
    diagonal, beside = _covariance(run, ratio)
    # Pivots from both ends give the middle of the inverse (G. Meurant, SIAM J. Matrix Anal. 13, 1992, p. 707).
    down, up = [diagonal[0]], [diagonal[-1]]
    for i in range(1, number):
        down.append(diagonal[i] - beside[i - 1] ** 2 / down[-1])
        up.append(diagonal[-1 - i] - beside[-i] ** 2 / up[-1])
    up.reverse()
    middle = [1.0 / (down[i] + up[i] - diagonal[i]) for i in range(number)]
    next_to = [-middle[i] * beside[i] / up[i + 1] for i in range(number - 1)]
    solved = [_solve(down, beside, row) for row in (residuals, run.days)]
    u, w = solved
    found = []
    for i in range(number + 1):
        moved, weight, along = 0.0, 0.0, 0.0
        if i > 0:
            moved, weight, along = u[i - 1], middle[i - 1], w[i - 1]
        if i < number:
            moved, weight, along = moved - u[i], weight + middle[i], along - w[i]
        if 0 < i < number:
            weight -= 2.0 * next_to[i - 1]
        found.append((i, False, moved, weight, along))
    found += [(i, True, u[i], middle[i], w[i]) for i in range(number)]
    return [
        (i, jump, moved, weight - along**2 / own)
        for i, jump, moved, weight, along in found
        if weight - along**2 / own > 1e-3 * weight
    ]


def _solve(down: Sequence[float], beside: Sequence[float], right: Sequence[float]) -> list[float]:
    """Solves the equations of three diagonals whose pivots are `down`."""
    made = [right[0]]
    for i in range(1, len(right)):
        made.append(right[i] - beside[i - 1] * made[-1] / down[i - 1])
    made[-1] /= down[-1]
    for i in range(len(right) - 2, -1, -1):
        made[i] = (made[i] - beside[i] * made[i + 1]) / down[i]
    return made
