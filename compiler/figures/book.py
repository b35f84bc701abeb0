"""The book: figures in the order worked out, each resting on facts or on earlier figures."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from fractions import Fraction

from countwheel.figures import typography
from countwheel.figures.facts import At, child_path
from countwheel.figures.formula import Formula, FormulaError, Numeric, Sym, formula
from countwheel.figures.record import Figure, Input, Result
from countwheel.figures.rounding import (
    USUAL_DIGITS,
    exact_text,
    fewest_digits,
    fixed,
    order,
    places_for,
    plain_fraction,
    result_text,
    significant,
)
from countwheel.figures.terms import Origin, Term, constant, fact_term, waiting, weakest
from countwheel.figures.trials import Plan
from countwheel.figures.units import ANGLES, radians
from countwheel.model.clock import Clock
from countwheel.model.node import Node

NO_SOURCE = "common practice, no source"
FIRST_ORDER = "first order, correlations kept (GUM 5.1.2)"
# Where the second-order change at one standard uncertainty is more than this share of it, the
# function bends strongly and trials are made as well.
BENDS = 0.25
TRIALS = 1000


class _Worked:
    """What the book keeps beside a figure, to use it in the next one and to work it out again."""

    __slots__ = ("figure", "formula", "term", "where")

    def __init__(self, figure: Figure, term: Term, read: Formula | None, where: Mapping[str, Term]) -> None:
        self.figure = figure
        self.term = term
        self.formula = read
        self.where = where


def _merge(groups: Iterable[tuple[Input, ...]]) -> tuple[Input, ...]:
    seen: dict[Input, None] = {}
    for group in groups:
        for one in group:
            seen[one] = None
    return tuple(seen)


def in_formula(value: Numeric, unit: str) -> Numeric:
    """An angle goes into a formula as an angle (radians); everything else as its number."""
    return float(value) * radians(unit) if unit in ANGLES else value


class Book:
    """Works out figures and keeps them. Nothing here raises for what a description says.

    A figure whose facts are missing waits, and names those facts; one whose
    numbers do not allow it (a division by nothing) has no value and says so.
    """

    def __init__(self, clock: Clock, working: bool = True) -> None:
        """`working` False leaves out what only a reader of the sheets needs: formula, substitution, trials."""
        self.clock = clock
        self.working = working
        self._worked: dict[str, _Worked] = {}

    # -- reading -------------------------------------------------------
    @property
    def figures(self) -> tuple[Figure, ...]:
        return tuple(worked.figure for worked in self._worked.values())

    def get(self, id: str) -> Figure | None:
        worked = self._worked.get(id)
        return worked.figure if worked else None

    def has(self, id: str) -> bool:
        return id in self._worked

    def known(self, id: str) -> bool:
        """Whether the figure is there and has a value."""
        worked = self._worked.get(id)
        return worked is not None and worked.figure.value is not None

    def terms_of(self, id: str) -> Mapping[str, Term]:
        """The terms that a figure was worked out from, by symbol; none for a result that is stated."""
        worked = self._worked.get(id)
        return worked.where if worked is not None else {}

    def formula_of(self, id: str) -> Formula | None:
        worked = self._worked.get(id)
        return worked.formula if worked is not None else None

    # -- terms ---------------------------------------------------------
    def at(self, node: Node | None, path: str) -> At:
        return At(node, path)

    def fact(self, node: Node | None, path: str, what: str, unit: str, part: str = "value") -> Term:
        """A fact of the description as a term in `unit`; waits for `path` where it is missing or unknown."""
        return fact_term(node, path, what, unit, part)

    def use(self, which: Figure | str, unit: str | None = None) -> Term:
        """An earlier figure as a term, with all that it rests on. Waits for the id where there is none."""
        id = which if isinstance(which, str) else which.id
        worked = self._worked.get(id)
        if worked is None:
            return waiting(id, id, unit or "")
        return worked.term if unit is None else worked.term.to(unit)

    # -- working out ---------------------------------------------------
    def derive(
        self,
        id: str,
        title: str,
        text: str,
        where: Mapping[str, Term] | None = None,
        *,
        unit: str = "",
        symbol: str = "",
        source: str = NO_SOURCE,
        method: str = "",
        cautions: tuple[str, ...] = (),
        digits: int | None = None,
    ) -> Figure:
        """Work out a figure by the formula `text`, record it and return it.

        `where` gives each symbol its term; `symbol` is what stands left of the
        equals sign. `digits` fixes the significant digits where the value is
        inexact and nothing says how well it is known. The first figure of an
        id stays; a second one is not recorded.
        """
        if id in self._worked:
            return self._worked[id].figure
        read = formula(text)
        terms = dict(where or {})
        if missing := [name for name in read.symbols if name not in terms]:
            raise FormulaError(f"{id}: nothing is given for {', '.join(missing)}")
        used = {name: terms[name] for name in read.symbols}
        plain = isinstance(read.tree, Sym)  # a fact taken over as it stands needs no equals sign
        left = f"{typography.symbol_text(symbol)} = " if symbol and not plain else ""
        waits = tuple(dict.fromkeys(path for term in used.values() for path in term.waits))
        inputs = _merge(term.inputs for term in used.values())
        term = Term(None, unit, title, {}, inputs, waits, Origin("figure", id))
        value: Numeric | None = None
        trouble: tuple[str, ...] = ()
        if not waits and (lacking := [one.what for one in used.values() if one.value is None]):
            trouble = (f"It cannot be worked out, since there is no value for this: {lacking[0]}.",)
        elif not waits:
            try:
                value, term = self._value(read, used, term)
            except (ZeroDivisionError, ValueError, OverflowError) as error:
                trouble = (f"It cannot be worked out from these values ({error}).",)
        shown, substitution, u, how, budget = self._printed(read, used, term, digits)
        figure = Figure(
            id=id,
            title=title,
            value=None if value is None else float(value),
            unit=unit,
            shown=shown,
            exact=value if isinstance(value, Fraction) and not u else None,
            uncertainty=u or None,
            how_propagated=how,
            formula=left + typography.to_text(read.tree) if self.working else "",
            substitution=substitution,
            symbols=_symbols(used),
            inputs=inputs,
            budget=budget,
            standing=weakest(inputs),
            method=method,
            source=source,
            cautions=cautions + trouble,
            waits_for=waits,
            expression=read.text,
        )
        self._worked[id] = _Worked(figure, term, read, used)
        return figure

    def state(
        self,
        id: str,
        title: str,
        value: Result,
        inputs: Iterable[Term] = (),
        *,
        unit: str = "",
        shown: str = "",
        source: str = NO_SOURCE,
        method: str = "",
        cautions: tuple[str, ...] = (),
        facts: tuple[Input, ...] = (),
    ) -> Figure:
        """Record a result that is a word or a yes or no. It waits where any of its `inputs` waits."""
        if id in self._worked:
            return self._worked[id].figure
        terms = tuple(inputs)
        waits = tuple(dict.fromkeys(path for term in terms for path in term.waits))
        given = None if waits else value
        if not shown and given is not None:
            shown = {True: "yes", False: "no"}[given] if isinstance(given, bool) else str(given)
        all_inputs = _merge([*(term.inputs for term in terms), facts])
        figure = Figure(
            id=id,
            title=title,
            value=given,
            unit=unit,
            shown="" if given is None else shown,
            inputs=all_inputs,
            standing=weakest(all_inputs),
            method=method,
            source=source,
            cautions=cautions,
            waits_for=waits,
        )
        term = Term(None, unit, title, {}, all_inputs, waits, Origin("figure", id))
        self._worked[id] = _Worked(figure, term, None, {})
        return figure

    # -- the parts of derive -------------------------------------------
    def _value(self, read: Formula, used: Mapping[str, Term], term: Term) -> tuple[Numeric, Term]:
        active = frozenset(name for name, one in used.items() if one.parts)
        env = {name: in_formula(one.value, one.unit) for name, one in used.items() if one.value is not None}
        value, slopes = read.work(env, active)
        if any(isinstance(one, float) for one in env.values()):
            value = float(value)  # the lesser of 17 turns and a measured fall is not exact
        parts: dict[str, float] = {}
        for name, slope in slopes.items():
            one = used[name]
            by = slope * radians(one.unit)
            for key, part in one.parts.items():
                parts[key] = parts.get(key, 0.0) + by * part
        if term.unit in ANGLES:
            size = radians(term.unit)
            value = float(value) / size
            parts = {key: part / size for key, part in parts.items()}
        # what is left of contributions that cancel is noise of the arithmetic
        least = 1e-12 * max((abs(part) for part in parts.values()), default=0.0) + 1e-15 * abs(float(value))
        parts = {key: part for key, part in parts.items() if abs(part) > least}
        made = Term(value, term.unit, term.what, parts, term.inputs, term.waits, term.origin)
        if not (math.isfinite(value) and math.isfinite(made.uncertainty)):
            raise ValueError("the result has no bound")
        return value, made

    def _printed(
        self, read: Formula, used: Mapping[str, Term], term: Term, digits: int | None
    ) -> tuple[str, str, float, str, dict[str, float]]:
        if term.value is None:
            return "", "", 0.0, "", {}
        value = term.value
        u = term.uncertainty
        numbers = {
            name: plain_fraction(one.value) for name, one in used.items() if isinstance(one.value, Fraction)
        }
        if isinstance(value, Fraction) and not u:
            if not self.working:
                return exact_text(value), "", 0.0, "exact", {}
            return exact_text(value), typography.to_text(read.tree, _signed(numbers, used)), 0.0, "exact", {}
        if not u and digits is None:
            digits = USUAL_DIGITS
        places = places_for(float(value), u, digits)
        bare = digits is not None  # no uncertainty says how many zeros at the end mean something
        shown = result_text(float(value), places, bare)
        budget = (
            dict(sorted(((k, (p / u) ** 2) for k, p in term.parts.items()), key=lambda item: -item[1]))
            if u
            else {}
        )
        if not self.working:
            return shown, "", u, "", budget
        size = radians(term.unit)
        fixed_env = {
            name: float(in_formula(one.value, one.unit))
            for name, one in used.items()
            if isinstance(one.value, Fraction)
        }
        loose = {name: one.value for name, one in used.items() if isinstance(one.value, float)}
        scale = {name: radians(one.unit) for name, one in used.items()}

        def gives(printed: dict[str, float]) -> bool:
            env: dict[str, Numeric] = dict(fixed_env)
            for name, x in printed.items():
                env[name] = x * scale[name]
            try:
                return result_text(read.quick(env) / size, places, bare) == shown
            except (ZeroDivisionError, ValueError, OverflowError):
                return False

        start = max(2, min(order(float(value)) + places + 1, 8)) if value else 3
        found = fewest_digits(loose, gives, start)
        numbers.update(found or {name: significant(x, 17) for name, x in loose.items()})
        substitution = typography.to_text(read.tree, _signed(numbers, used))
        if not u:
            bears = any(one.parts for one in used.values())
            how = "what is uncertain cancels out" if bears else "no tolerance bears on it"
            return shown, substitution, 0.0, how, {}
        how = FIRST_ORDER
        if self._bends(read, used, u * size):
            mean, spread = self._trials(term, read, used)
            how += (
                f"; the function bends here, and {TRIALS} trials (GUM Supplement 1) give"
                f" {fixed(mean, places)} with a standard deviation of {fixed(spread, places)}"
            )
        return shown, substitution, u, how, budget

    def _bends(self, read: Formula, used: Mapping[str, Term], u: float) -> bool:
        env: dict[str, Numeric] = {
            name: float(in_formula(one.value, one.unit))
            for name, one in used.items()
            if one.value is not None
        }
        middle = read.quick(env)
        # along each input, with all terms that it moves at once: what is correlated must not seem bent
        keys = dict.fromkeys(key for one in used.values() for key in one.parts)
        for key in keys:
            steps = {
                name: one.parts[key] * radians(one.unit) for name, one in used.items() if key in one.parts
            }
            try:
                above = read.quick({**env, **{name: env[name] + step for name, step in steps.items()}})
                below = read.quick({**env, **{name: env[name] - step for name, step in steps.items()}})
            except (ZeroDivisionError, ValueError, OverflowError):
                return True
            if abs(above + below - 2 * middle) / 2 > BENDS * u:
                return True
        return False

    def _trials(self, term: Term, read: Formula, used: Mapping[str, Term]) -> tuple[float, float]:
        """Mean and standard deviation over trials in which every input is drawn from its own rectangle."""
        from random import Random

        dice = Random(1938)  # fixed, so that the same description gives the same bytes
        size = radians(term.unit)
        plan = self._plan(read, used)
        results = []
        for _ in range(TRIALS):
            try:
                results.append(plan.draw({}, dice) / size)
            except (ZeroDivisionError, ValueError, OverflowError):
                continue
        if len(results) < 2:
            return math.nan, math.nan
        mean = math.fsum(results) / len(results)
        return mean, math.sqrt(math.fsum((x - mean) ** 2 for x in results) / (len(results) - 1))

    def _plan(self, read: Formula, used: Mapping[str, Term]) -> Plan:
        """The formula with all that it rests on, down to the facts, ready to be drawn many times."""
        fixed_terms: dict[str, Numeric] = {}
        loose: list[tuple[str, float, tuple[tuple[str, float], ...]]] = []
        below: list[tuple[str, float, Plan]] = []
        for name, one in used.items():
            if one.value is None:
                continue
            to_formula = radians(one.unit)
            worked = self._worked.get(one.origin.key) if one.origin and one.origin.kind == "figure" else None
            if not one.parts:
                fixed_terms[name] = float(one.value) * to_formula
            elif worked is not None and worked.formula is not None and one.origin is not None:
                scale = to_formula * float(one.origin.scale) / radians(worked.term.unit)
                below.append((name, scale, self._plan(worked.formula, worked.where)))
            else:
                parts = tuple((key, part * to_formula * math.sqrt(3)) for key, part in one.parts.items())
                loose.append((name, float(one.value) * to_formula, parts))
        return Plan(read, fixed_terms, loose, below)


def _signed(numbers: Mapping[str, str], used: Mapping[str, Term]) -> dict[str, str]:
    signed = {}
    for name, text in numbers.items():
        sign = ANGLES.get(used[name].unit, "")
        signed[name] = f"({text}){sign}" if sign and ("×" in text or "/" in text) else text + sign
    return signed


def _symbols(used: Mapping[str, Term]) -> tuple[tuple[str, str], ...]:
    return tuple(
        (typography.symbol_text(name), one.what + (f", in {one.unit}" if one.unit else ""))
        for name, one in used.items()
    )


__all__ = ["At", "Book", "Term", "child_path", "constant", "waiting"]
