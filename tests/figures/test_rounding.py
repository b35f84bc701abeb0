"""Digits in print."""

from __future__ import annotations

from fractions import Fraction

import pytest
from countwheel.figures import rounding
from figure_reading import number
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("value", "u", "shown"),
    [
        # GUM 7.2.6 as quoted by support.transmille.com: y = 10,057 62 with u = 0,027 is given as 10,058
        (10.05762, 0.027, "10.058"),
        # NIST, Uncertainty of Measurement Results, examples: 100.021 47 g with u = 0.35 mg
        (100.02147, 0.00035, "100.02147"),
        # Particle Data Group: 0.827 ± 0.119 is given as 0.83 ± 0.12
        (0.827, 0.119, "0.83"),
        (1234.0, 560.0, "1230"),
        (-0.004, 0.1, "0.00"),
        (-12.3456, 0.012, "−12.346"),
        (99.9996, 0.0996, "100.00"),
    ],
)
def test_a_value_has_the_digits_its_uncertainty_bears(value: float, u: float, shown: str) -> None:
    assert rounding.fixed(value, rounding.places_for(value, u)) == shown


@pytest.mark.parametrize(
    ("u", "shown"),
    [(0.5283, "0.53"), (12.3, "12"), (1234.0, "1200"), (0.0000123, "0.000012"), (0.0996, "0.10")],
)
def test_an_uncertainty_has_two(u: float, shown: str) -> None:
    assert rounding.uncertainty_text(u) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Fraction(12), "12"),
        (Fraction(1, 8), "1/8 (0.125)"),
        (Fraction(1, 3), "1/3 (0.33333…)"),
        (Fraction(-7, 3), "−7/3 (−2.3333…)"),
        (Fraction(1, 7200), "1/7200 (0.00013889…)"),
    ],
)
def test_exact_results_exactly(value: Fraction, shown: str) -> None:
    assert rounding.exact_text(value) == shown


@given(st.floats(-1e9, 1e9), st.integers(2, 17))
def test_significant_digits_read_back(x: float, digits: int) -> None:
    assert number(rounding.significant(x, digits)) == pytest.approx(rounding.as_printed(x, digits), rel=1e-15)


@given(st.fractions(max_denominator=400))
def test_fractions_read_back(value: Fraction) -> None:
    assert number(rounding.plain_fraction(value)) == pytest.approx(float(value), rel=1e-15, abs=1e-300)


def test_a_small_difference_asks_for_more_digits() -> None:
    # the usual case of our trade: a rate from two near times; 2.0000 would show 0
    values = {"T": 2.00003942712, "t": 2.0000000001}
    shown = "1.703"
    found = rounding.fewest_digits(values, lambda v: f"{86400 * (v['T'] / v['t'] - 1):.3f}" == shown)
    assert found is not None
    assert f"{86400 * (float(found['T']) / float(found['t']) - 1):.3f}" == shown
    assert len(found["T"]) < len("2.00003942712")
