"""What can be asked of a problem of whole numbers: all its solutions, and what comes nearest to one rule.

Everything is exact: whole numbers and fractions throughout, so a solution is one and nothing that is one is missed.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import islice, product
from typing import NamedTuple

from countwheel.search.depth_first import Budget, Search, groups, settle
from countwheel.search.forms import Domains, Form, constant_holds, form, unknowns
from countwheel.search.problem import Problem, Product, Sum, Whole, faults, value

# What it costs to work out in fractions by how much an assignment misses, and to keep it in order.
STEPS_TO_COMPARE = 20
MOST = 10_000
STEPS = 2_000_000


class Found(NamedTuple):
    """Solutions in ascending order, each with its values in the order of the unknowns.

    `complete`: these are all. If not, `stopped` says what ran out: 'most' (there are more) or 'steps'.
    """

    solutions: tuple[tuple[int, ...], ...]
    complete: bool
    stopped: str
    steps: int


class Near(NamedTuple):
    """An assignment, what the rule comes to for it, and by how much it misses.

    By ratio for a product with positive bounds (1: it does not miss; 1.01: it is 1 % out), else by difference.
    """

    values: tuple[int, ...]
    value: Fraction
    miss: Fraction


class Nearest(NamedTuple):
    """The assignments that miss least, the least first; at equal misses in ascending order."""

    nearest: tuple[Near, ...]
    complete: bool
    steps: int


def solve(problem: Problem, most: int = MOST, steps: int = STEPS) -> Found:
    """The solutions of a problem: all, unless there are more than `most` or the search takes more than `steps`.

    A step is a value tried or a bound laid on an unknown, about a microsecond. Raises ValueError where the problem
    is not one (problem.faults).
    """
    domains, forms = _read(problem)
    budget = Budget(steps)
    if not all(constant_holds(one) for one in forms if not unknowns(one)) or not all(domains):
        return Found((), True, "", 0)
    parts, whole = [], True
    for members, tied in groups(len(domains), forms):
        found, complete = _group(members, domains, tied, most, budget)
        if complete and not found:
            return Found((), True, "", budget.spent)
        parts.append((members, found))
        whole = whole and complete
    solutions = list(islice(_combined(parts), most + 1))
    stopped = "most" if len(solutions) > most else "" if whole else "steps"
    return Found(tuple(sorted(solutions[:most])), not stopped, stopped, budget.spent)


def _read(problem: Problem) -> tuple[Domains, list[Form]]:
    if wrong := faults(problem):
        raise ValueError("; ".join(wrong))
    return [unknown.domain for unknown in problem.unknowns], [
        form(rule, _places(problem)) for rule in problem.rules
    ]


def _places(problem: Problem) -> dict[str, int]:
    return {unknown.name: at for at, unknown in enumerate(problem.unknowns)}


def _group(
    members: Sequence[int], domains: Domains, forms: Sequence[Form], most: int, budget: Budget
) -> tuple[list[tuple[int, ...]], bool]:
    """A group's solutions, at most one more than `most`, and whether they are all."""
    found: list[tuple[int, ...]] = []

    def keep(values: tuple[int, ...]) -> bool:
        found.append(values)
        return len(found) > most

    settled = settle(domains, forms, budget)
    if not all(settled[at] for at in members):
        return [], True
    complete = Search(members, settled, forms).run(keep, budget)
    return found, complete


def _combined(parts: Sequence[tuple[Sequence[int], list[tuple[int, ...]]]]) -> Iterator[tuple[int, ...]]:
    """Each solution of each group with each of the others, the values back in the order of the unknowns."""
    flat = [at for members, _ in parts for at in members]
    places = [flat.index(at) for at in range(len(flat))]
    for chosen in product(*(found for _, found in parts)):
        values = [x for one in chosen for x in one]
        yield tuple([values[place] for place in places])


def nearest(problem: Problem, rule_name: str, best: int = 5, steps: int = STEPS) -> Nearest:
    """The `best` assignments that keep every other rule and miss this product or sum by least.

    Those that keep it too come first. Where `complete` is False the budget ran out, and others may be nearer.
    Raises ValueError where no product or sum has this name, or the problem is not one (problem.faults).
    """
    domains, forms = _read(problem)
    number = [rule.name for rule in problem.rules].index(rule_name)
    rule = problem.rules[number]
    if isinstance(rule, Whole):
        raise ValueError(f"the rule {rule_name!r} has no bounds to miss")
    forms[number] = form(rule, _places(problem), bounded=False)
    if not all(constant_holds(one) for one in forms if not unknowns(one)) or not all(domains):
        return Nearest((), True, 0)
    budget = Budget(steps)
    parts, whole = [], True
    for members, tied in groups(len(domains), forms):
        if forms[number] in tied:
            found, complete = _least(problem, rule, members, domains, tied, best, budget)
        else:
            found, complete = _group(members, domains, tied, MOST, budget)
            found = sorted(found)[:best]
        if complete and not found:
            return Nearest((), True, budget.spent)
        parts.append((members, found))
        whole = whole and complete
    near = [
        _near(rule, numbers, values) for values in _combined(parts) for numbers in [_numbers(problem, values)]
    ]
    near.sort(key=lambda one: (one.miss, one.values))
    return Nearest(tuple(near[:best]), whole, budget.spent)


def _least(
    problem: Problem,
    rule: Product | Sum,
    members: Sequence[int],
    domains: Domains,
    forms: Sequence[Form],
    best: int,
    budget: Budget,
) -> tuple[list[tuple[int, ...]], bool]:
    """The group's assignments that miss `rule` by least, its form among `forms` being without bounds.

    As soon as there are enough, the rule is laid anew with bounds that let through only what is as near.
    """
    kept: list[Near] = []
    # An unknown of the rule outside its group is one that cancels out: any value does.
    numbers = dict.fromkeys((unknown.name for unknown in problem.unknowns), 1)
    number = next(at for at, one in enumerate(forms) if one == form(rule, _places(problem), bounded=False))
    settled = settle(domains, forms, budget)
    if not all(settled[at] for at in members):
        return [], True
    search = Search(members, settled, forms)

    def keep(values: tuple[int, ...]) -> bool:
        budget.spent += STEPS_TO_COMPARE
        numbers.update((problem.unknowns[at].name, x) for at, x in zip(members, values, strict=True))
        near = _near(rule, numbers, values)
        worst = kept[-1].miss if len(kept) == best else None
        insort(kept, near, key=lambda one: (one.miss, one.values))
        del kept[best:]
        if len(kept) == best and kept[-1].miss != worst:
            window = form(_widened(rule, kept[-1].miss), _places(problem))
            search.lay([window if at == number else one for at, one in enumerate(forms)])
            budget.spent += sum(len(settled[at]) for at in members)
        return False

    complete = search.run(keep, budget)
    return [near.values for near in kept], complete


def _by_ratio(rule: Product | Sum) -> bool:
    return isinstance(rule, Product) and rule.factor > 0 and rule.high > 0


def _near(rule: Product | Sum, numbers: dict[str, int], values: tuple[int, ...]) -> Near:
    found = value(rule, numbers)
    if _by_ratio(rule):
        return Near(values, found, max(Fraction(1), rule.low / found, found / rule.high))
    return Near(values, found, max(Fraction(0), rule.low - found, found - rule.high))


def _widened(rule: Product | Sum, miss: Fraction) -> Product | Sum:
    """The rule with bounds that let through what misses by no more than this."""
    if _by_ratio(rule):
        return rule._replace(low=rule.low / miss, high=rule.high * miss)
    return rule._replace(low=rule.low - miss, high=rule.high + miss)


def _numbers(problem: Problem, values: tuple[int, ...]) -> dict[str, int]:
    return {unknown.name: x for unknown, x in zip(problem.unknowns, values, strict=True)}
