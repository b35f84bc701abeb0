"""The curve of the circular deviation, against the theory of the pendulum and the clock's own figures."""

from __future__ import annotations

from itertools import pairwise
from math import pi, radians

import pytest
from countwheel.emit.draw_arc import LEFT, LONG, TALL, TOP, arc_and_rate, loss
from hand_drawn import circles_in, clock_of, lines_in, words_in
from manual_samples import compiled
from mpmath import ellipk, sin


@pytest.mark.parametrize("degrees", [0.5, 2.0, 18.0, 90.0])
def test_the_curve_is_the_elliptic_integral(degrees: float) -> None:
    # T/T0 = 2 K(m)/π with m = sin²(a/2), by another library
    wanted = 86400 * (2 * ellipk(sin(radians(degrees) / 2) ** 2) / pi - 1)
    assert loss(degrees) == pytest.approx(float(wanted), rel=1e-9)


def test_the_curve_agrees_with_the_usual_rule() -> None:
    # E. Beckett, Clocks, Watches and Bells, gives the loss as about 1.65 s a day times the square of the half arc
    # in degrees (from memory): 86400 (a²/16) with a in radians.
    assert loss(2.0) == pytest.approx(1.65 * 4, rel=0.01)


def test_the_clock_and_its_least_arc_are_marked_on_the_curve() -> None:
    result = clock_of("penquay-harbour-office")
    assert result.clock is not None
    (made,) = arc_and_rate(result.clock, result.figures)
    dots = [(x, y) for x, y, radius in circles_in(made) if radius == pytest.approx(1.3, abs=0.01)]
    # 2.0 and 1.4 degrees on a field of 3 degrees and 16 s/day
    assert [round((x - LEFT) / LONG * 3, 2) for x, _ in dots] == [2.0, 1.4]
    lost = result.figures["pendulum.circular_deviation"].value
    gained = result.figures["pendulum.circular_deviation.to_least_arc"].value
    assert isinstance(lost, float)
    assert isinstance(gained, float)
    assert [(TOP + TALL - y) / TALL * 16 for _, y in dots] == pytest.approx([lost, lost - gained], abs=0.01)
    told = " ".join(words_in(made))
    assert "half arc 2.0°: loses 6.58 s/day" in told
    assert "gains 3.36 s/day against A" in told


def test_the_curve_begins_at_nothing_and_bends_upwards() -> None:
    result = clock_of("skarnhove-chapel")
    assert result.clock is not None
    (made,) = arc_and_rate(result.clock, result.figures)
    curve = max(lines_in(made), key=len)
    assert curve[0] == pytest.approx((LEFT, TOP + TALL), abs=0.01)
    rises = [before[1] - after[1] for before, after in pairwise(curve)]
    assert rises == sorted(rises)


def test_nothing_is_drawn_where_the_arc_is_not_known() -> None:
    result = clock_of("regulator")
    assert result.clock is not None
    assert arc_and_rate(result.clock, result.figures) == ()


@pytest.mark.parametrize("arc", ["0 °", "0.5 °", "89 °", "100 °"])
def test_an_arc_that_no_clock_has_is_no_fault(arc: str) -> None:
    result = compiled(f"countwheel 1\n\nescapement anchor\n\npendulum\n  beat 1 s\n  half arc {arc}\n")
    assert result.clock is not None
    assert len(arc_and_rate(result.clock, result.figures)) == (arc in ("0.5 °", "89 °"))
