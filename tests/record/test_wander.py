"""The fit of rates where readings and clock both scatter, against the same thing done with whole matrices."""

from __future__ import annotations

from itertools import accumulate, pairwise
from math import sqrt
from random import Random

import numpy as np
import pytest
from countwheel.record.entries import reading_error
from countwheel.record.fitting import coverage, line
from countwheel.record.wander import BELIEF, Changes, ends, fit, oddest


def run(days: list[float], errors: list[float], sigma: float = 0.5, group: int = 0) -> Changes:
    moments = [0.0, *accumulate(days)]
    return Changes(
        group,
        tuple(b - a for a, b in pairwise(moments)),
        tuple(b - a for a, b in pairwise(errors)),
        tuple(sigma**2 for _ in errors),
    )


def made(number: int = 30, seed: int = 5, wander: float = 0.0) -> tuple[list[float], list[float]]:
    random = Random(seed)
    days = [7.0 + random.choice((0.0, 0.0, 1.0, -1.0)) for _ in range(number)]
    path, errors = 0.0, [random.gauss(0, 0.5)]
    for day in days:
        path += 0.3 * day + random.gauss(0, sqrt(wander * day))
        errors.append(path + random.gauss(0, 0.5))
    return days, errors


def test_without_wander_it_is_the_straight_line() -> None:
    days, errors = made()
    found = fit([run(days, errors)], ratio=0.0)
    straight = line([0.0, *accumulate(days)], errors)
    assert found is not None
    assert straight is not None
    assert found.rates[0] == pytest.approx(straight.values[1], rel=1e-9)
    # the standard error is that of the stated reading error, made larger where the record scatters by more
    known = straight.errors[1] / straight.scatter * 0.5
    assert found.errors[0] == pytest.approx(known * sqrt(scale_of(straight.rss / 0.5**2, straight.freedom)))


def scale_of(rss: float, spare: int) -> float:
    return max(1.0, (rss + BELIEF) / (spare + BELIEF))


def test_against_whole_matrices() -> None:
    days, errors = made(wander=0.4)
    z = [Random(1).gauss(0, 2) * day for day in days]
    one = run(days, errors)._replace(columns=(tuple(z),))
    other = run(*made(12, 8, 0.4), group=1)
    other = other._replace(columns=(tuple(0.1 * at * day for at, day in enumerate(other.days)),))
    ratio = 0.4
    found = fit([one, other], ratio)
    assert found is not None
    sizes = [len(one.days), len(other.days)]
    covariance = np.zeros((sum(sizes), sum(sizes)))
    design = np.zeros((sum(sizes), 3))
    at = 0
    for group, part in enumerate((one, other)):
        for i in range(len(part.days)):
            covariance[at + i, at + i] = part.variances[i] + part.variances[i + 1] + ratio * part.days[i]
            if i:
                covariance[at + i, at + i - 1] = covariance[at + i - 1, at + i] = -part.variances[i]
            design[at + i, group] = part.days[i]
            design[at + i, 2] = part.columns[0][i]
        at += len(part.days)
    y = np.array([*one.changes, *other.changes])
    inverse = np.linalg.inv(covariance)
    normal = np.linalg.inv(design.T @ inverse @ design)
    values = normal @ design.T @ inverse @ y
    rest = y - design @ values
    scale = scale_of(float(rest @ inverse @ rest), len(y) - 3)
    assert (found.rates[0], found.rates[1], *found.coefficients) == pytest.approx(tuple(values))
    errors_ = np.sqrt(scale * np.diag(normal))
    assert (found.errors[0], found.errors[1], sqrt(found.covariance[0][0])) == pytest.approx(tuple(errors_))


def test_two_readings_wrong_by_as_much_are_found_one_by_one() -> None:
    days, errors = made(40)
    errors[11] += 5.0
    runs = [run(days, errors)]
    rates = fit(runs)
    assert rates is not None
    worst = oddest(runs, rates)
    assert worst is not None
    assert (worst.place, worst.jump) == (11, False)
    assert worst.amount == pytest.approx(5.0, abs=1.5)
    assert worst.score > 5


def test_a_jump_that_stays_is_no_wrong_reading() -> None:
    days, errors = made(40)
    errors[20:] = [error - 8.0 for error in errors[20:]]
    runs = [run(days, errors)]
    rates = fit(runs)
    assert rates is not None
    worst = oddest(runs, rates)
    assert worst is not None
    # the change from reading 19 to reading 20
    assert (worst.place, worst.jump) == (19, True)
    assert worst.amount == pytest.approx(-8.0, abs=2.5)


def test_nothing_to_fit() -> None:
    assert fit([]) is None
    alike = Changes(0, (7.0, 7.0), (1.0, 1.0), (0.2, 0.2, 0.2), ((7.0, 7.0),))
    assert fit([alike]) is None


def test_the_pull_of_the_end_readings_is_what_moving_them_does() -> None:
    days, errors = made(wander=0.4)
    one, other = run(days, errors), run(*made(9, 3, 0.4))
    plain = fit([one, other], 0.4)
    assert plain is not None
    for at, (first, last) in enumerate(ends([one, other], 0.4)):
        for place, pull in ((0, first), (-1, last)):
            runs = [one, other]
            changes = list(runs[at].changes)
            changes[place] += -1e-3 if place == 0 else 1e-3
            runs[at] = runs[at]._replace(changes=tuple(changes))
            moved = fit(runs, 0.4)
            assert moved is not None
            assert moved.rates[0] - plain.rates[0] == pytest.approx(1e-3 * pull)


@pytest.mark.parametrize("step", [1.0, 60.0])
def test_readings_that_are_all_the_same_tell_no_more_than_their_step(step: float) -> None:
    """Within a step from first to last, each rounding alike likely all over it: 0.78 of a step at 95 %."""
    for number in (10, 200):
        found = fit([run([7.0] * number, [5.0] * (number + 1), reading_error(step))])
        assert found is not None
        assert found.rates[0] == 0.0
        assert 1.96 * found.errors[0] * 7.0 * number >= (1 - sqrt(0.05)) * step * (1 - 1e-9)


@pytest.mark.parametrize("number", [6, 15, 40])
def test_a_slow_rate_read_in_minutes_is_held_in_19_of_20(number: int) -> None:
    held = 0
    for seed in range(200):
        random = Random(seed)
        rate = random.uniform(-1, 1) * random.choice((0.3, 1.0, 3.0)) * 60.0 / (7 * number)
        start = random.uniform(-60, 60)
        errors = [
            60.0 * round((start + rate * 7 * at + random.gauss(0, 0.3)) / 60.0) for at in range(number + 1)
        ]
        found = fit([run([7.0] * number, errors, reading_error(60.0))])
        assert found is not None
        held += abs(found.rates[0] - rate) <= coverage(found.freedom) * found.errors[0]
    assert held >= 0.91 * 200
