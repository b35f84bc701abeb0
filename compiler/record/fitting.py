"""Least squares and the quantiles that go with it, in plain Python."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import exp, inf, lgamma, log, sqrt
from statistics import NormalDist
from typing import NamedTuple


class Fit(NamedTuple):
    """Coefficients, their covariance (scaled by the residual variance), residual sum of squares, degrees of freedom."""

    values: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    rss: float
    freedom: int

    @property
    def errors(self) -> tuple[float, ...]:
        """Standard errors."""
        return tuple(sqrt(self.covariance[i][i]) for i in range(len(self.values)))

    @property
    def scatter(self) -> float:
        """Residual standard deviation."""
        return sqrt(self.rss / self.freedom) if self.freedom > 0 else inf


def least_squares(
    columns: Sequence[Sequence[float]], y: Sequence[float], weights: Sequence[float] | None = None
) -> Fit | None:
    """Weighted least squares of `y` on the columns, by orthogonal columns; None where they do not bear it.

    `weights` are inverse variances up to a common factor. Gram and Schmidt, twice over, so that columns that are
    nearly alike cost no more than they must (A. Bjorck, Numerical Methods for Least Squares Problems, 1996, 2.4.5).
    """
    roots = [sqrt(weight) for weight in weights] if weights is not None else [1.0] * len(y)
    wide = len(columns)
    basis: list[list[float]] = []
    upper = [[0.0] * wide for _ in range(wide)]
    for j, column in enumerate(columns):
        rest = [root * value for root, value in zip(roots, column, strict=True)]
        size = sqrt(_dot(rest, rest))
        for _ in range(2):
            for i, unit in enumerate(basis):
                part = _dot(unit, rest)
                upper[i][j] += part
                rest = [r - part * u for r, u in zip(rest, unit, strict=True)]
        norm = sqrt(_dot(rest, rest))
        if norm <= 1e-12 * size or norm == 0.0:
            return None
        upper[j][j] = norm
        basis.append([r / norm for r in rest])
    left = [root * value for root, value in zip(roots, y, strict=True)]
    along = []
    for unit in basis:
        part = _dot(unit, left)
        along.append(part)
        left = [r - part * u for r, u in zip(left, unit, strict=True)]
    rss, freedom = _dot(left, left), len(y) - wide
    inverse = _inverse_of_upper(upper)
    values = tuple(_dot(inverse[i], along) for i in range(wide))
    scale = rss / freedom if freedom > 0 else inf
    covariance = tuple(tuple(scale * _dot(inverse[i], inverse[j]) for j in range(wide)) for i in range(wide))
    return Fit(values, covariance, rss, freedom)


def line(x: Sequence[float], y: Sequence[float], weights: Sequence[float] | None = None) -> Fit | None:
    """A straight line: values (intercept, slope)."""
    return least_squares([[1.0] * len(x), x], y, weights)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


def _inverse_of_upper(upper: list[list[float]]) -> list[list[float]]:
    wide = len(upper)
    inverse = [[0.0] * wide for _ in range(wide)]
    for j in range(wide):
        inverse[j][j] = 1.0 / upper[j][j]
        for i in range(j - 1, -1, -1):
            inverse[i][j] = -sum(upper[i][k] * inverse[k][j] for k in range(i + 1, j + 1)) / upper[i][i]
    return inverse


@lru_cache(maxsize=256)
def quantile(probability: float, freedom: float) -> float:
    """The t that Student's distribution stays under with that probability, over a half; with `inf` the normal one."""
    if freedom == inf or freedom > 1e6:
        return NormalDist().inv_cdf(probability)
    if freedom < 1:
        return inf
    low, high = 0.0, 2.0
    while _student(high, freedom) < probability:
        high *= 2.0
    for _ in range(70):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _student(middle, freedom) < probability else (low, middle)
    return (low + high) / 2.0


def coverage(freedom: float, share: float = 0.95) -> float:
    """From a standard error to the half-width of the interval that holds the truth in that share of cases."""
    return quantile(0.5 + share / 2.0, freedom)


def _student(t: float, freedom: float) -> float:
    """Student's distribution at t ≥ 0, by the incomplete beta function."""
    return 1.0 - 0.5 * _beta(freedom / 2.0, 0.5, freedom / (freedom + t * t))


def _beta(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function, by its continued fraction (Abramowitz and Stegun 26.5.8)."""
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1.0 - x))
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - front * _fraction(b, a, 1.0 - x) / b
    return front * _fraction(a, b, x) / a


def _fraction(a: float, b: float, x: float) -> float:
    tiny = 1e-300
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d or tiny)
    value = d
    for m in range(1, 400):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1.0 / ((1.0 + term * d) or tiny)
            c = (1.0 + term / c) or tiny
            value *= c * d
        if abs(c * d - 1.0) < 1e-14:
            break
    return value
