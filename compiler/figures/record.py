"""A figure: one computed result, as data. Text, HTML, PDF and JSON are printed from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

Result = float | str | bool | None


class Input(NamedTuple):
    """A fact that a figure rests on: its path, as written, how it is known, the tolerance used.

    `how` is its standing in one word of `terms.STANDINGS`; '' for what a table or a rule gives.
    """

    path: str
    written: str
    evidence: str
    tolerance: str = ""  # '± 1/16 in', '± 0.5 % (usual for measured)', '' where exact
    how: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """One result.

    `value` is in `unit`, in full precision; None where the figure waits.
    `exact` holds it as a fraction where it is exactly known (turns, ratios).
    `uncertainty` is standard (k = 1), in `unit`; None where exact.
    `shown` is the value as printed, to the digits it bears, without its unit.
    `formula` has symbols, `substitution` the same with numbers, which recompute to `shown`.
    `budget` maps an input path to its share of the variance (0 to 1).
    `standing` is the evidence of the weakest input.
    """

    id: str
    title: str
    value: Result
    unit: str = ""
    shown: str = ""
    exact: Fraction | None = None
    uncertainty: float | None = None
    how_propagated: str = ""
    formula: str = ""
    substitution: str = ""
    symbols: tuple[tuple[str, str], ...] = ()  # (symbol, what it is)
    inputs: tuple[Input, ...] = ()
    budget: dict[str, float] = field(default_factory=dict)
    standing: str = "unstated"
    method: str = ""
    source: str = "common practice, no source"
    cautions: tuple[str, ...] = ()
    waits_for: tuple[str, ...] = ()
    expression: str = ""  # the formula in the notation of figures/formula.py, for typesetting it anew

    @property
    def weakest(self) -> tuple[str, ...]:
        """The inputs that the standing comes from, by their paths; none where it rests on no fact."""
        return tuple(dict.fromkeys(one.path for one in self.inputs if one.how == self.standing))

    @property
    def waits(self) -> bool:
        return self.value is None and bool(self.waits_for)
