"""A problem of whole numbers: unknowns with their domains, and the rules that bind them."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import prod
from typing import NamedTuple


class Unknown(NamedTuple):
    """A number to be found, with the values that it may have: whole, positive, ascending, none twice."""

    name: str
    domain: tuple[int, ...]


class Product(NamedTuple):
    """low <= factor × the product of each unknown to its power <= high; exact where low = high.

    A power is any whole number but 0, negative for an unknown below the line.
    """

    name: str
    factor: Fraction
    powers: tuple[tuple[str, int], ...]
    low: Fraction
    high: Fraction


class Sum(NamedTuple):
    """low <= offset + the sum of each unknown times its weight <= high; exact where low = high."""

    name: str
    weights: tuple[tuple[str, Fraction], ...]
    offset: Fraction
    low: Fraction
    high: Fraction


class Whole(NamedTuple):
    """factor × the product of each unknown to its power is a whole number."""

    name: str
    factor: Fraction
    powers: tuple[tuple[str, int], ...]


Rule = Product | Sum | Whole


class Problem(NamedTuple):
    unknowns: tuple[Unknown, ...]
    rules: tuple[Rule, ...]


def size(problem: Problem) -> int:
    """The number of combinations of the domains, 1 where there is no unknown."""
    return prod(len(unknown.domain) for unknown in problem.unknowns)


def named(rule: Rule) -> tuple[str, ...]:
    """The unknowns that a rule speaks of."""
    return tuple(name for name, _ in (rule.weights if isinstance(rule, Sum) else rule.powers))


def value(rule: Rule, numbers: dict[str, int]) -> Fraction:
    """What a rule's product or sum comes to for these numbers."""
    if isinstance(rule, Sum):
        return rule.offset + sum(weight * numbers[name] for name, weight in rule.weights)
    return rule.factor * prod(Fraction(numbers[name]) ** power for name, power in rule.powers)


def holds(rule: Rule, numbers: dict[str, int]) -> bool:
    """Whether a rule holds for these numbers."""
    found = value(rule, numbers)
    return found.denominator == 1 if isinstance(rule, Whole) else rule.low <= found <= rule.high


def faults(problem: Problem) -> list[str]:
    """What is wrong with the problem as such: it cannot be searched while this says anything."""
    names = [unknown.name for unknown in problem.unknowns]
    rules = [rule.name for rule in problem.rules]
    found = [f"the name {name!r} is given twice" for of in (names, rules) for name in _doubles(of)]
    for name, domain in problem.unknowns:
        rising = all(one < other for one, other in pairwise(domain))
        if not rising or (domain and domain[0] < 1):
            found.append(f"the domain of {name!r} is not of positive numbers in ascending order")
    for rule in problem.rules:
        found += [f"the rule {rule.name!r} names no unknown: {name!r}" for name in {*named(rule)} - {*names}]
    return found


def _doubles(names: list[str]) -> list[str]:
    return sorted({name for name in names if names.count(name) > 1})
