"""What can be asked of a problem of whole numbers: all its solutions, and what comes nearest to one rule.

Everything is exact: whole numbers and fractions throughout, so a solution is one and nothing that is one is missed.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import islice, product
from typing import NamedTuple

from countwheel.search.depth_first import Budget, Search, settle
from countwheel.search.forms import Form, constant_holds, form, unknowns
from countwheel.search.problem import Problem, Product, Sum, Whole, apart, faults, numbers, places_of, value

# What it costs to work out in fractions by how much an assignment misses, and to keep it in order.
STEPS_TO_COMPARE = 40
# How far out the nearest by ratio are looked for, one window after another, at last without any bound; all but the
# last take at most this share of the steps left.
WINDOWS = (Fraction(1), Fraction(10_001, 10_000), Fraction(101, 100), None)
SHARE = 4
MOST = 10_000
STEPS = 2_000_000

Values = tuple[int, ...]


class Found(NamedTuple):
    """Solutions in ascending order, each with its values in the order of the unknowns.

    `complete`: these are all. If not, `stopped` says what ran out: 'most' (there are more) or 'steps'.
    """

    solutions: tuple[Values, ...]
    complete: bool
    stopped: str
    steps: int


class Near(NamedTuple):
    """An assignment, what the rule comes to for it, and by how much it misses.

    By ratio for a product with positive bounds (1: it does not miss; 1.01: it is 1 % out), else by difference.
    """

    values: Values
    value: Fraction
    miss: Fraction


class Nearest(NamedTuple):
    """The assignments that miss least, the least first; at equal misses in ascending order."""

    nearest: tuple[Near, ...]
    complete: bool
    steps: int


def solve(problem: Problem, most: int = MOST, steps: int = STEPS) -> Found:
    """The solutions of a problem: all, unless there are more than `most` or the search takes more than `steps`.

    A step is a value tried or looked at, or a rule laid on an unknown: half a microsecond or so. Raises ValueError
    where the problem is not one (problem.faults).
    """
    _refuse_faults(problem)
    budget = Budget(steps)
    parts, whole = [], True
    for part in apart(problem):
        found, complete = _solutions(part, most, budget)
        if complete and not found:
            return Found((), True, "", budget.spent)
        parts.append((part, found))
        whole = whole and complete
    solutions = list(islice(_combined(problem, parts), most + 1))
    stopped = "most" if len(solutions) > most else "" if whole else "steps"
    return Found(tuple(sorted(solutions[:most])), not stopped, stopped, budget.spent)


def nearest(problem: Problem, rule_name: str, best: int = 5, steps: int = STEPS) -> Nearest:
    """The `best` assignments (one or more) that keep every other rule and miss this product or sum by least.

    Those that keep it too come first. Where `complete` is False the budget ran out, and others may be nearer.
    Raises ValueError where no product or sum has this name, or the problem is not one (problem.faults).
    """
    _refuse_faults(problem)
    if best < 1:
        raise ValueError("at least one assignment must be asked for")
    rule = next((rule for rule in problem.rules if rule.name == rule_name), None)
    if rule is None or isinstance(rule, Whole):
        raise ValueError(f"no product or sum is named {rule_name!r}")
    budget = Budget(steps)
    parts, whole = [], True
    for part in apart(problem):
        if rule in part.rules:
            found, complete = _least(part, rule, best, budget)
        else:
            found, complete = _solutions(part, MOST, budget)
            found = sorted(found)[:best]
        if complete and not found:
            return Nearest((), True, budget.spent)
        parts.append((part, found))
        whole = whole and complete
    near = [_near(problem, rule, values) for values in _combined(problem, parts)]
    return Nearest(tuple(sorted(near, key=_by_miss)[:best]), whole, budget.spent)


def _refuse_faults(problem: Problem) -> None:
    if wrong := faults(problem):
        raise ValueError("; ".join(wrong))


def _combined(problem: Problem, parts: Sequence[tuple[Problem, list[Values]]]) -> Iterator[Values]:
    """Each solution of each part with each of the others, the values back in the order of the unknowns."""
    if len(parts) == 1:
        yield from parts[0][1]
        return
    flat = [unknown for part, _ in parts for unknown in part.unknowns]
    places = [flat.index(unknown) for unknown in problem.unknowns]
    for chosen in product(*(found for _, found in parts)):
        values = [x for one in chosen for x in one]
        yield tuple([values[place] for place in places])


def _search(part: Problem, forms: Sequence[Form], budget: Budget) -> Search | None:
    """The search of a part once its domains have settled; None where that shows that nothing will do."""
    if not all(constant_holds(one) for one in forms if not unknowns(one)):
        return None
    settled = settle([unknown.domain for unknown in part.unknowns], forms, budget)
    return Search(settled, forms) if all(settled) else None


def _solutions(part: Problem, most: int, budget: Budget) -> tuple[list[Values], bool]:
    """The solutions of a part, at most one more than `most`, and whether they are all."""
    places = places_of(part)
    search = _search(part, [form(rule, places) for rule in part.rules], budget)
    found: list[Values] = []

    def keep(values: Values) -> bool:
        found.append(values)
        return len(found) > most

    return found, search is None or search.run(keep, budget)


def _least(part: Problem, rule: Product | Sum, best: int, budget: Budget) -> tuple[list[Values], bool]:
    """The assignments of a part that keep its other rules and miss this one by least, and whether it is sure.

    Looked for in windows about the rule, each wider than the last, for in a narrow one much less is tried.
    """
    kept: list[Near] = []
    for window in WINDOWS if _by_ratio(rule) else (Fraction(0), None):
        left = budget.limit - budget.spent
        share = Budget(left if window is None else left // SHARE)
        sure = _least_within(window, part, rule, best, kept, share)
        budget.spent += share.spent
        if sure and (window is None or len(kept) == best):
            return [near.values for near in kept], True
    return [near.values for near in kept], False


def _least_within(
    window: Fraction | None, part: Problem, rule: Product | Sum, best: int, kept: list[Near], budget: Budget
) -> bool:
    """Puts among the `kept` what misses by least, and by no more than the window; whether that is sure.

    As soon as there are enough, only what is as near as the farthest of them is let through.
    """
    places = places_of(part)

    def forms() -> list[Form]:
        misses = [*([] if window is None else [window]), *(near.miss for near in kept[best - 1 :])]
        near_it = form(_widened(rule, min(misses)), places) if misses else form(rule, places, bounded=False)
        return [near_it if one == rule else form(one, places) for one in part.rules]

    search = _search(part, forms(), budget)
    if search is None:
        return True

    def keep(values: Values) -> bool:
        budget.spent += STEPS_TO_COMPARE
        near = _near(part, rule, values)
        worst = kept[-1].miss if len(kept) == best else None
        if near in kept:
            return False
        insort(kept, near, key=_by_miss)
        del kept[best:]
        if len(kept) == best and kept[-1].miss != worst:
            budget.spent += sum(len(domain) for domain in search.domains)
            search.lay(forms())
        return False

    return search.run(keep, budget)


def _by_ratio(rule: Product | Sum) -> bool:
    return isinstance(rule, Product) and rule.factor > 0 and rule.high > 0


def _by_miss(near: Near) -> tuple[Fraction, Values]:
    return near.miss, near.values


def _near(problem: Problem, rule: Product | Sum, values: Values) -> Near:
    found = value(rule, numbers(problem, values))
    if _by_ratio(rule):
        return Near(values, found, max(Fraction(1), rule.low / found, found / rule.high))
    return Near(values, found, max(Fraction(0), rule.low - found, found - rule.high))


def _widened(rule: Product | Sum, miss: Fraction) -> Product | Sum:
    """The rule with bounds that let through what misses by no more than this."""
    if _by_ratio(rule):
        return rule._replace(low=rule.low / miss, high=rule.high * miss)
    return rule._replace(low=rule.low - miss, high=rule.high + miss)
