"""Straight lines against certified values, quantiles against scipy."""

from __future__ import annotations

from math import inf, sqrt

import pytest
from countwheel.record.fitting import coverage, least_squares, line, quantile
from scipy import stats

# NIST Statistical Reference Datasets, linear least squares, Norris (calibration of ozone monitors, 36 points), as
# repeated in the tests of several statistics libraries.
NORRIS_X = (
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5,
    11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1,
    448.9, 0.5,
)  # fmt: skip
NORRIS_Y = (
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9,
    10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4,
    449.2, 0.2,
)  # fmt: skip


def test_norris() -> None:
    made = line(NORRIS_X, NORRIS_Y)
    assert made is not None
    assert made.values == pytest.approx((-0.262323073774029, 1.00211681802045), rel=1e-11)
    assert made.errors == pytest.approx((0.232818234301152, 0.429796848199937e-3), rel=1e-11)
    assert made.scatter == pytest.approx(0.884796396144373, rel=1e-11)


def test_noint1() -> None:
    # NIST StRD, NoInt1: y = 130 ... 140 on x = 60 ... 70 without a constant term.
    made = least_squares([tuple(range(60, 71))], tuple(range(130, 141)))
    assert made is not None
    assert made.values[0] == pytest.approx(2.07438016528926, rel=1e-13)
    assert made.errors[0] == pytest.approx(0.0165289256198347, rel=1e-12)
    assert made.scatter == pytest.approx(3.56753034006338, rel=1e-12)


def test_noint2() -> None:
    # NIST StRD, NoInt2: three points without a constant term.
    made = least_squares([(4, 5, 6)], (3, 4, 4))
    assert made is not None
    assert made.values[0] == pytest.approx(0.727272727272727, rel=1e-13)
    assert made.errors[0] == pytest.approx(0.0420827318078432, rel=1e-12)
    assert made.scatter == pytest.approx(0.369274472937998, rel=1e-12)


def test_weights_are_as_so_many_readings() -> None:
    twice = line((0, 1, 1, 3), (1, 2, 2, 5))
    weighed = line((0, 1, 3), (1, 2, 5), (1, 2, 1))
    assert twice is not None
    assert weighed is not None
    assert weighed.values == pytest.approx(twice.values)
    assert weighed.rss == pytest.approx(twice.rss)


def test_columns_that_are_alike_have_no_fit() -> None:
    assert least_squares([(1, 2, 3), (2, 4, 6)], (1, 1, 2)) is None
    assert line((5, 5, 5), (1, 2, 3)) is None


@pytest.mark.parametrize("freedom", [1, 2, 3, 7, 30, 400])
@pytest.mark.parametrize("probability", [0.6, 0.95, 0.975, 0.9995, 0.999999])
def test_quantiles(probability: float, freedom: float) -> None:
    assert quantile(probability, freedom) == pytest.approx(stats.t.ppf(probability, freedom), rel=1e-8)


def test_the_normal_one() -> None:
    assert coverage(inf) == pytest.approx(1.959963984540054)
    assert coverage(inf, 0.99) == pytest.approx(stats.norm.ppf(0.995))
    assert quantile(0.975, 0) == inf
    assert sqrt(coverage(5)) > sqrt(coverage(6))
