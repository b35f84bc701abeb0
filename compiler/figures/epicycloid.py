"""How high a tooth stands that two epicycloids bound: lengths in modules, angles in radians.

A point of a circle of radius r that rolls on the outside of a pitch circle of radius R traces an
epicycloid. With r half the mate's pitch radius the mate's flanks are radial (leaved pinions); with r
the whole of it the curve is the way of a trundle's centre (lantern pinions), and the tooth lies within it by
half the trundle. Worked out here from that definition.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

_ROUNDS = 60


def epicycloid_tip(pitch_radius: float, rolling_radius: float, share: float) -> float:
    """Height above the pitch circle where both flanks of a tooth meet that is `share` of the pitch thick.

    Raises ValueError where a radius is not positive, or the flanks do not meet.
    """
    return _tip(pitch_radius, rolling_radius, 0.0, math.pi * share / (2 * pitch_radius))


def trundle_tip(pitch_radius: float, rolling_radius: float, trundle: float) -> float:
    """The same for a wheel that drives a lantern pinion; `trundle` is across one trundle, without play."""
    return _tip(pitch_radius, rolling_radius, trundle / 2, math.pi / (2 * pitch_radius))


@lru_cache(maxsize=1024)
def _tip(R: float, r: float, within: float, middle: float) -> float:
    """Where the curve `within` the epicycloid has turned by the angle `middle`, that of the tooth's middle."""
    if min(R, r, middle) <= 0 or within < 0:
        raise ValueError("a tooth needs sizes greater than nothing")

    def point(u: float) -> tuple[float, float]:
        x = (R + r) * math.cos(u) - r * math.cos((1 + R / r) * u)
        y = (R + r) * math.sin(u) - r * math.sin((1 + R / r) * u)
        # the curve's normal goes through the point where the circles touch
        to_x, to_y = R * math.cos(u) - x, R * math.sin(u) - y
        far = math.hypot(to_x, to_y) or 1.0
        return x + within * to_x / far, y + within * to_y / far

    def before(u: float) -> bool:
        x, y = point(u)
        return math.atan2(y, x) < middle

    # From the pitch circle towards the crest of the curve the angle only grows: in steps so small that it is
    # not passed and gone round, then by halving.
    crest = math.pi * r / R
    low = high = 1e-4 * crest
    if not before(low):
        raise ValueError("the flanks of such a tooth do not meet")
    while before(high):
        if high >= crest:
            raise ValueError("the flanks of such a tooth do not meet")
        low, high = high, min(1.3 * high, crest)
    for _ in range(_ROUNDS):
        u = (low + high) / 2
        if before(u):
            low = u
        else:
            high = u
    return math.hypot(*point(high)) - R


def slopes(of: Callable[..., float], *at: float) -> tuple[float, ...]:
    """The derivatives of one of these to each of its arguments, by small steps to both sides."""
    found = []
    for which, value in enumerate(at):
        step = 1e-5 * max(abs(value), 1e-3)
        above, below = (of(*at[:which], value + sign * step, *at[which + 1 :]) for sign in (1, -1))
        found.append((above - below) / (2 * step))
    return tuple(found)
