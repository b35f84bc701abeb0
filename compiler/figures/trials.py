"""Trials: a figure worked out many times with its facts drawn from their ranges (GUM Supplement 1)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from countwheel.figures.formula import Formula, Numeric

if TYPE_CHECKING:
    from random import Random


class Plan:
    """A formula whose uncertain terms are drawn anew each time, a path of the description once a trial."""

    __slots__ = ("below", "fixed", "loose", "read")

    def __init__(
        self,
        read: Formula,
        fixed_terms: dict[str, Numeric],
        loose: list[tuple[str, float, tuple[tuple[str, float], ...]]],
        below: list[tuple[str, float, Plan]],
    ) -> None:
        self.read = read
        self.fixed = fixed_terms
        self.loose = loose
        self.below = below

    def draw(self, drawn: dict[str, float], dice: Random) -> float:
        """One value. `drawn` holds what was drawn for each input in this trial, from -1 to 1."""
        env = dict(self.fixed)
        for name, value, parts in self.loose:
            for key, half_width in parts:
                if key not in drawn:
                    drawn[key] = 2 * dice.random() - 1
                value += half_width * drawn[key]
            env[name] = value
        for name, scale, plan in self.below:
            env[name] = scale * plan.draw(drawn, dice)
        return self.read.quick(env)
