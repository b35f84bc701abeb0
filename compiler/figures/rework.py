"""A figure worked out again with some facts changed, down to the facts: what if a count were another."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from countwheel.figures.book import Book, Term, in_formula
from countwheel.figures.formula import Numeric
from countwheel.figures.units import radians


class Rework:
    """Works figures of one book out again. Facts are told by their keys (`going.third.wheel (teeth)`)."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._facts: dict[str, frozenset[str]] = {}

    def facts(self, term: Term) -> frozenset[str]:
        """Keys of all stated facts that a term goes back to."""
        origin = term.origin
        if origin is None or origin.kind == "constant":
            return frozenset()
        if origin.kind == "fact":
            return frozenset({origin.key}) if term.known else frozenset()
        found = self._facts.get(origin.key)
        if found is None:
            self._facts[origin.key] = frozenset()  # figures rest on earlier ones only; a ring would end here
            where = self.book.terms_of(origin.key)
            found = frozenset().union(*(self.facts(one) for one in where.values()))
            self._facts[origin.key] = found
        return found

    def value(self, term: Term, changes: Mapping[str, Numeric]) -> float | None:
        """The term with each fact in `changes` multiplied by its factor; None where that cannot be worked out."""
        try:
            return float(self._value(term, changes, {}))
        except (ZeroDivisionError, ValueError, OverflowError, TypeError):
            return None

    def _value(self, term: Term, changes: Mapping[str, Numeric], done: dict[str, Numeric]) -> Numeric:
        if term.value is None:
            raise ValueError("it waits")
        origin = term.origin
        if origin is None or origin.kind == "constant":
            return term.value
        if origin.kind == "fact":
            factor = changes.get(origin.key)
            return term.value if factor is None else term.value * factor
        if not self.facts(term) & changes.keys():
            return term.value
        if origin.key not in done:
            read = self.book.formula_of(origin.key)
            where = self.book.terms_of(origin.key)
            if read is None:
                return term.value
            env = {name: in_formula(self._value(one, changes, done), one.unit) for name, one in where.items()}
            done[origin.key] = read.quick(env) / radians(self.book.use(origin.key).unit)
        return done[origin.key] * origin.scale


def solve(value: Callable[[float], float | None], start: float, target: float) -> float | None:
    """The factor at which a function of a factor (1: as stated) comes to a target; None where it does not.

    A secant in the logarithm of the factor: the figures are near to powers of a single fact.
    """
    x_0, y_0, x_1 = 0.0, start - target, 1e-4
    for _ in range(30):
        found = value(math.exp(x_1))
        if found is None:
            return None
        y_1 = found - target
        if abs(y_1) <= 1e-12 * max(1.0, abs(target)):
            return math.exp(x_1)
        if y_1 == y_0:
            return None
        x_0, y_0, x_1 = x_1, y_1, x_1 - y_1 * (x_1 - x_0) / (y_1 - y_0)
        if not abs(x_1) < 3:
            return None
        if abs(x_1 - x_0) < 1e-13:
            return math.exp(x_1)
    return None
