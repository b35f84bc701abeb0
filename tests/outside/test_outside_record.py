"""The rate law that an observatory fitted to its mean-time clock, and its record."""

from __future__ import annotations

import pytest
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.record.coefficients import coefficient
from countwheel.record.entries import Entry
from countwheel.record.fitting import least_squares, line
from countwheel.record.report import report
from countwheel.record.stretches import stretches
from countwheel.source import Span

# Hong Kong Sessional Papers 1893, p. 397, table III: the mean-time clock in 1892, rows of ten days from December 27,
# with the temperature (°F), the rate calculated by r = 2.60 - 0.075 (T - 75) + 0.0020 (days from July 1) and the rate
# observed, s/day, as printed. The calculated rate of January 26 is misprinted.
ROWS = (
    (72.8, 2.41, 2.48), (70.1, 2.63, 2.77), (70.6, 2.61, 2.87), (71.7, 2.50, 2.51), (70.6, 2.65, 2.68),
    (70.7, 2.66, 2.54), (71.5, 2.62, 2.49), (71.0, 2.68, 2.47), (71.5, 2.66, 2.62), (71.9, 2.65, 2.63),
    (74.9, 2.45, 2.41), (77.1, 2.30, 2.25), (79.9, 2.11, 2.05), (80.7, 2.07, 2.07), (79.9, 2.15, 2.13),
    (85.8, 1.73, 1.85), (84.6, 1.84, 2.07), (85.0, 1.83, 1.97), (85.2, 1.83, 1.97), (86.3, 1.77, 1.97),
    (86.9, 1.75, 1.76), (86.0, 1.84, 1.82), (86.7, 1.80, 1.87), (85.2, 1.93, 1.78), (83.3, 2.10, 1.86),
    (83.0, 2.14, 1.93), (83.5, 2.12, 1.97), (81.0, 2.33, 2.16), (81.5, 2.31, 2.29), (79.2, 2.50, 2.58),
)  # fmt: skip
MISPRINT = 3
# From December 27 to July 1 of a leap year are 187 days; a row's rate is that of its middle, five days on.
DAYS = tuple(10.0 * row + 5.0 - 187.0 for row in range(len(ROWS)))


def test_the_calculated_rates_give_the_printed_law_back() -> None:
    kept = [row for row in range(len(ROWS)) if row != MISPRINT]
    columns = [[1.0] * len(kept), [ROWS[row][0] - 75.0 for row in kept], [DAYS[row] for row in kept]]
    made = least_squares(columns, [ROWS[row][1] for row in kept])
    assert made is not None
    assert made.values[0] == pytest.approx(2.60, abs=0.005)
    assert made.values[1] == pytest.approx(-0.075, abs=0.0005)
    assert made.values[2] == pytest.approx(0.0020, abs=0.0001)
    # every printed rate is the law's to within the rounding of both
    assert made.scatter < 0.006


def log() -> tuple[Entry, ...]:
    """The observed rates as a log of errors; the mean of a row's temperature is that of both its ends."""
    nowhere = Node(word="entry", written="", path="log", span=Span("", 0, 0), word_span=Span("", 0, 0))
    made, error = [], 0.0
    for row, (warmth, _, rate) in enumerate(ROWS):
        # a reading at each end of the row, so that its temperature is the row's own
        for at, value in ((10.0 * row, error), (10.0 * row + 9.9999, error + 10.0 * rate)):
            made.append(
                Entry(
                    at, f"{at:.4f}", "", nowhere, found=value, found_error=0.1, left=value, left_error=0.1,
                    temperature=(warmth - 32.0) / 1.8,
                )
            )  # fmt: skip
        error += 10.0 * rate
    return tuple(made)


def test_the_record_as_a_whole() -> None:
    # The law was made from several years; what this one says by itself is told by the plain line through its rates.
    warmth = [(row[0] - 32.0) / 1.8 for row in ROWS]
    plain = line(warmth, [row[2] for row in ROWS])
    one = coefficient(stretches(log()), "temperature")
    assert plain is not None
    assert one.value is not None
    assert one.told
    assert one.value == pytest.approx(plain.values[1], abs=0.001)
    root = Node(word="movement", written="", path="", span=Span("", 0, 0), word_span=Span("", 0, 0))
    made = report(Clock(name="", file="", root=root), {}, read=log())
    assert made.cleaned.odd == ()
    assert made.advice.rate is not None
    # the mean of the observed rates of the last four weeks' temperature, by that line
    assert made.advice.warmth == pytest.approx(sum(warmth[-3:]) / 3, abs=0.3)
    expected = plain.values[0] + plain.values[1] * made.advice.warmth
    assert made.advice.rate == pytest.approx(expected, abs=made.advice.half)
