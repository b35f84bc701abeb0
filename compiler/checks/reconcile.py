"""Where facts contradict one another: the smallest sets that clash, and the fact that would put most of it right."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from countwheel.checks.relations import Relation, relations
from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.book import Book
from countwheel.figures.formula import Numeric
from countwheel.figures.rework import Rework, solve
from countwheel.figures.terms import STANDINGS
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Count, Number, Quantity, Tolerance, Value

FARTHEST = 4.0  # a fact that would have to be four times as much or a quarter is not merely misread
SHOWN = 3
NAMED = 8


@dataclass(frozen=True, slots=True)
class Mend:
    """One fact with the value that would reconcile most, what that puts right, and how far it would have to change.

    `away` is the change in half-widths of its tolerance (a count: in teeth); `factor` multiplies the value.
    """

    key: str
    node: Node
    value: Value
    factor: float
    right: tuple[Relation, ...]
    broken: tuple[Relation, ...]
    away: float


class Reconciling:
    """The relations of one clock, those that fail, and what would put them right."""

    def __init__(self, clock: Clock, book: Book) -> None:
        self.book = book
        self.rework = Rework(book)
        self.facts = dict(_facts(clock.root))
        self.every = relations(clock, book)
        self.failing = tuple(one for one in self.every if not self._holds(one, {}))

    def _holds(self, relation: Relation, changes: Mapping[str, Numeric]) -> bool:
        left, right = (self.rework.value(term, changes) for term in (relation.left, relation.right))
        return left is not None and right is not None and relation.holds(left, right)

    def keys(self, relation: Relation) -> tuple[str, ...]:
        """The stated facts that a relation rests on, and on whose value it really depends."""
        found = self.rework.facts(relation.left) | self.rework.facts(relation.right)
        return tuple(key for key in self.facts if key in found and self._matters(relation, key))

    def _matters(self, relation: Relation, key: str) -> bool:
        """A fact that cancels out, or that another limits, has no part in the contradiction."""
        moved = self._apart(relation, {key: 1.01})
        return moved is None or abs(moved - (self._apart(relation, {}) or 0.0)) > 1e-12

    def _apart(self, relation: Relation, changes: Mapping[str, Numeric]) -> float | None:
        left, right = (self.rework.value(term, changes) for term in (relation.left, relation.right))
        return None if left is None or right is None else left - right

    def clashes(self) -> tuple[tuple[Relation, tuple[str, ...]], ...]:
        """Each failing relation with its facts, the smallest set first: with one of them away the rest can be true."""
        return tuple(sorted(((one, self.keys(one)) for one in self.failing), key=lambda pair: len(pair[1])))

    def mends(self) -> tuple[Mend, ...]:
        """For every fact in a clash its best value, those that reconcile most and change least first."""
        found: list[Mend] = []
        for key in dict.fromkeys(key for _, keys in self.clashes() for key in keys):
            tried = [self._judged(key, factor) for factor in dict.fromkeys(self._factors(key))]
            good = [mend for mend in tried if mend is not None and mend.right]
            if good:
                found.append(min(good, key=_order))
        return tuple(sorted(found, key=_order))

    def _factors(self, key: str) -> Iterator[float]:
        """Factors of a fact that would put one failing relation right: for a count those of whole numbers."""
        _, value = self.facts[key]
        for relation in self.failing:
            if key not in self.keys(relation):
                continue
            factor = self._exactly(relation, key)
            if factor is None or not 1 / FARTHEST <= factor <= FARTHEST:
                continue
            if isinstance(value, Count):
                exact = value.value * factor
                yield from (
                    count / value.value for count in {math.floor(exact), math.ceil(exact)} if count > 0
                )
            else:
                yield factor

    def _exactly(self, relation: Relation, key: str) -> float | None:
        def apart(factor: float) -> float | None:
            return self._apart(relation, {key: factor})

        start = self._apart(relation, {})
        if start is None:
            return None
        if relation.comparison == "whole":
            return self._to_whole(relation, key)
        return solve(apart, start, 0.0)

    def _to_whole(self, relation: Relation, key: str) -> float | None:
        """The least change that makes the turns whole."""
        start = self.rework.value(relation.left, {})
        right = self.rework.value(relation.right, {})
        if start is None or right is None:
            return None
        wanted = [right * max(1, step) for step in {math.floor(start / right), math.ceil(start / right)}]
        factors = [
            solve(lambda factor: self.rework.value(relation.left, {key: factor}), start, target)
            for target in wanted
        ]
        known = [factor for factor in factors if factor is not None]
        return min(known, key=lambda factor: abs(math.log(factor)), default=None)

    def _judged(self, key: str, factor: float) -> Mend | None:
        node, value = self.facts[key]
        if abs(factor - 1) < 1e-12:
            return None
        changes = {key: factor}
        right = tuple(one for one in self.failing if self._holds(one, changes))
        held = (one for one in self.every if one not in self.failing)
        broken = tuple(one for one in held if not self._holds(one, changes))
        return Mend(key, node, value, factor, right, broken, _away(value, factor))


def _order(mend: Mend) -> tuple[int, float, int, str]:
    """What reconciles most and breaks least; of equals the smallest change; of these the weakest known."""
    evidence = mend.value.evidence if mend.value.evidence.how != "unstated" else mend.node.evidence
    return (
        len(mend.broken) - len(mend.right),
        round(abs(math.log(mend.factor)), 3),
        -STANDINGS.index(evidence.how),
        mend.key,
    )


def _away(value: Value, factor: float) -> float:
    if isinstance(value, Count):
        return abs(round(value.value * (factor - 1)))
    size = value.si if isinstance(value, Quantity) else value.value if isinstance(value, Number) else 0.0
    tolerance: Tolerance | None = getattr(value, "tolerance", None)
    change = abs(size * (factor - 1))
    return change / tolerance.half_width if tolerance and tolerance.half_width else math.inf


def _facts(root: Node) -> Iterator[tuple[str, tuple[Node, Value]]]:
    """Every stated number of the description by the key that figures know it by."""
    for node in root.walk():
        for part, value in node.values.items():
            if isinstance(value, (Count, Quantity, Number)):
                yield (node.path if part == "value" else f"{node.path} ({part})"), (node, value)


# -- telling it ----------------------------------------------------------------------
def reconcile(clock: Clock, book: Book) -> Iterator[Diagnostic]:
    """M519: which one fact, if it were wrong, would reconcile the most, and by how much it would have to change."""
    sorting = Reconciling(clock, book)
    # A clock that only falls short of what is asked of it (days, room) has no fact that must be wrong.
    at_odds = any(one.comparison in ("is", "whole") for one in sorting.failing)
    mends = sorting.mends() if at_odds else ()
    if not mends:
        return
    best = mends[0]
    total = len(sorting.failing)
    sets = dict.fromkeys(keys for _, keys in sorting.clashes())
    smallest = [keys for keys in sets if not any(set(other) < set(keys) for other in sets)]
    # first those that hold the fact in question
    shown = sorted(smallest, key=lambda keys: best.key not in keys)[:SHOWN]
    others = [
        f"`{_public(mend.key)}` would reconcile {_of(len(mend.right), total)}: {_change(mend)}"
        for mend in mends[1:]
    ]
    yield say(
        "M519",
        best.value.span,
        f"If just one fact is wrong, `{_public(best.key)}` would reconcile"
        f" {_of(len(best.right), total)}: {_change(best)}.",
        label=f"{_value(best)} here?",
        others=tuple(
            Label(sorting.facts[key][1].span, sorting.facts[key][1].written)
            for key in shown[0][:NAMED]
            if sorting.facts[key][1] is not best.value
        ),
        hints=(
            *(_clash(keys) for keys in shown),
            *others[:SHOWN],
            "look at them again at the clock: the figures do not tell which is wrong, or whether only one is",
        ),
    )


def _clash(keys: tuple[str, ...]) -> str:
    named = ", ".join(f"`{_public(key)}`" for key in keys[:NAMED])
    more = f" and {len(keys) - NAMED} more" if len(keys) > NAMED else ""
    return f"these {len(keys)} facts cannot all be true together: {named}{more}"


def _public(key: str) -> str:
    """A fact as its path; the part of its line is told only where it holds several numbers."""
    return key.removesuffix(" (teeth)")


def _of(right: int, total: int) -> str:
    if total == 1:
        return "it"
    return f"all {total} contradictions" if right == total else f"{right} of the {total} contradictions"


def _value(mend: Mend) -> str:
    """The value that the fact would have to have, in the keeper's own unit."""
    if isinstance(mend.value, Count):
        return str(round(mend.value.value * mend.factor))
    if isinstance(mend.value, Quantity):
        from countwheel.units import lookup

        unit = lookup(mend.value.unit, mend.value.dimension)
        if unit is not None and unit.size and not unit.offset and unit.dimension != "thread":
            return f"{mend.value.si * mend.factor / unit.size:.4g} {mend.value.unit}"
        return f"{mend.factor:.4g} times as much"
    return f"{mend.value.value * mend.factor:.4g}" if isinstance(mend.value, Number) else ""


def _change(mend: Mend) -> str:
    """'72 in the place of 71, by one', '1.25 s in the place of 1.27 s, 3 times its tolerance away'."""
    told = f"{_value(mend)} in the place of {mend.value.written}"
    if isinstance(mend.value, Count):
        teeth = round(mend.away)
        return f"{told}, {'one' if teeth == 1 else teeth} {'more' if mend.factor > 1 else 'fewer'}"
    if math.isfinite(mend.away):
        return f"{told}, {mend.away:.2g} times its tolerance away"
    return f"{told}, {100 * abs(mend.factor - 1):.2g} % {'more' if mend.factor > 1 else 'less'}"
