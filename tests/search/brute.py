"""Every combination tried, each rule worked out in fractions: what the search is held against."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import prod

from countwheel.search.problem import Problem, Rule, Sum, Whole


def reaches(rule: Rule, numbers: dict[str, int]) -> Fraction:
    if isinstance(rule, Sum):
        return sum((w * numbers[name] for name, w in rule.weights), start=rule.offset)
    return rule.factor * prod((Fraction(numbers[name]) ** p for name, p in rule.powers), start=Fraction(1))


def keeps(rule: Rule, numbers: dict[str, int]) -> bool:
    reached = reaches(rule, numbers)
    return reached.denominator == 1 if isinstance(rule, Whole) else rule.low <= reached <= rule.high


def every(problem: Problem, without: str = "") -> list[tuple[int, ...]]:
    """All solutions, in ascending order, of the problem or of it without one rule."""
    names = [unknown.name for unknown in problem.unknowns]
    rules = [rule for rule in problem.rules if rule.name != without]
    found = []
    for values in product(*(unknown.domain for unknown in problem.unknowns)):
        numbers = dict(zip(names, values, strict=True))
        if all(keeps(rule, numbers) for rule in rules):
            found.append(values)
    return found
