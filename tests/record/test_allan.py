"""The Allan deviation against the published test suites, and its gaps."""

from __future__ import annotations

from itertools import accumulate

import pytest
from countwheel.record.allan import Errors, deviation, deviations, grid, on_grid

# W. J. Riley, Handbook of Frequency Stability Analysis, NIST SP 1065, 2008, pp. 107-109: the NBS14 set of nine
# frequencies, and 1000 frequencies of a prime modulus generator. Values as repeated by the tests of allantools.
NBS14 = (892.0, 809.0, 823.0, 798.0, 671.0, 644.0, 883.0, 903.0, 677.0)


def phases(frequencies: tuple[float, ...]) -> list[float | None]:
    return [0.0, *accumulate(frequencies)]


def generated() -> tuple[float, ...]:
    number, made = 1234567890, []
    for _ in range(1000):
        made.append(number / 2147483647)
        number = 16807 * number % 2147483647
    return tuple(made)


def test_the_generator_is_the_published_one() -> None:
    assert [round(value * 2147483647) for value in generated()[:4]] == [
        1234567890, 395529916, 1209410747, 633705974,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("number", "overlapping", "published"),
    [(1, False, 91.22945), (2, False, 115.8082), (1, True, 91.22945), (2, True, 85.95287)],
)
def test_nbs14(number: int, overlapping: bool, published: float) -> None:
    found = deviation([phases(NBS14)], 1.0, number, overlapping)
    assert found is not None
    assert found.value == pytest.approx(published, rel=1e-6)


@pytest.mark.parametrize(
    ("number", "overlapping", "published"),
    [
        (1, False, 2.922319e-01), (10, False, 9.965736e-02), (100, False, 3.897804e-02),
        (1, True, 2.922319e-01), (10, True, 9.159953e-02), (100, True, 3.241343e-02),
    ],
)  # fmt: skip
def test_a_thousand_points(number: int, overlapping: bool, published: float) -> None:
    found = deviation([phases(generated())], 1.0, number, overlapping)
    assert found is not None
    assert found.value == pytest.approx(published, rel=1e-6)


def test_a_gap_takes_just_the_differences_that_need_it() -> None:
    whole = phases(NBS14)
    gap: Errors = [None if at == 4 else value for at, value in enumerate(whole)]
    found = deviation([gap], 1.0, 1)
    apart = deviation([whole[:4], whole[5:]], 1.0, 1)
    assert found is not None
    assert found == apart
    assert found.terms == 2 + 3


def test_a_longer_step_is_a_longer_span() -> None:
    found, weekly = deviation([phases(NBS14)], 1.0, 2), deviation([phases(NBS14)], 7.0, 2)
    assert found is not None
    assert weekly is not None
    assert (weekly.span, weekly.value * 7) == (14.0, pytest.approx(found.value))


def test_readings_fall_on_a_grid_though_some_are_late() -> None:
    moments = [0.3, 7.0, 14.01, 21.0, 35.0, 38.0, 42.2]
    assert grid(moments) == 7.0
    assert on_grid(moments, [0.0, 1.0, 2.0, 3.0, 5.0, 5.5, 6.0], 7.0) == [0.0, 1.0, 2.0, 3.0, None, 5.0, 6.0]
    assert grid([0, 1, 5, 30, 31, 60, 100]) is None
    assert grid([0, 7]) is None


def test_as_far_as_there_are_differences_enough() -> None:
    found = deviations([phases(NBS14)], 1.0)
    assert [(one.span, one.terms) for one in found] == [(1.0, 8), (2.0, 6)]
    assert deviations([], 1.0) == ()
