"""A problem of whole numbers: unknowns with their domains, and the rules that bind them."""

from __future__ import annotations

from fractions import Fraction
from math import prod
from operator import lt
from typing import NamedTuple, TypeVar

Number = TypeVar("Number", int, Fraction)


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


def gathered(pairs: tuple[tuple[str, Number], ...]) -> dict[str, Number]:
    """Powers or weights by name: those of one name added up, and left away where they come to 0."""
    found: dict[str, Number] = {}
    for name, number in pairs:
        found[name] = found[name] + number if name in found else number
    return {name: number for name, number in found.items() if number}


def places_of(problem: Problem) -> dict[str, int]:
    """Each unknown's place among them."""
    return {unknown.name: at for at, unknown in enumerate(problem.unknowns)}


def numbers(problem: Problem, values: tuple[int, ...]) -> dict[str, int]:
    """Values in the order of the unknowns, by their names."""
    return {unknown.name: x for unknown, x in zip(problem.unknowns, values, strict=True)}


def value(rule: Rule, numbers: dict[str, int]) -> Fraction:
    """What a rule's product or sum comes to for these numbers."""
    if isinstance(rule, Sum):
        return rule.offset + sum(weight * numbers[name] for name, weight in rule.weights)
    above = prod(numbers[name] ** power for name, power in rule.powers if power > 0)
    below = prod(numbers[name] ** -power for name, power in rule.powers if power < 0)
    return rule.factor * Fraction(above, below)


def holds(rule: Rule, numbers: dict[str, int]) -> bool:
    """Whether a rule holds for these numbers."""
    found = value(rule, numbers)
    return found.denominator == 1 if isinstance(rule, Whole) else rule.low <= found <= rule.high


def apart(problem: Problem) -> list[Problem]:
    """The problem as smaller ones that share no unknown; rules that name none make up one of their own."""
    leader = {unknown.name: unknown.name for unknown in problem.unknowns}
    for rule in problem.rules:
        tied = sorted({leader[name] for name in named(rule)})
        leader = {name: tied[0] if of in tied else of for name, of in leader.items()}
    heads = [*dict.fromkeys(leader.values())]
    parts = [
        Problem(
            tuple(unknown for unknown in problem.unknowns if leader[unknown.name] == head),
            tuple(rule for rule in problem.rules if named(rule) and leader[named(rule)[0]] == head),
        )
        for head in heads
    ]
    constant = tuple(rule for rule in problem.rules if not named(rule))
    return [Problem((), constant), *parts] if constant else parts


def faults(problem: Problem) -> list[str]:
    """What is wrong with the problem as such: it cannot be searched while this says anything."""
    names = [unknown.name for unknown in problem.unknowns]
    rules = [rule.name for rule in problem.rules]
    found = [f"the name {name!r} is given twice" for of in (names, rules) for name in _doubles(of)]
    for name, domain in problem.unknowns:
        rising = all(map(lt, domain, domain[1:]))
        if not rising or (domain and domain[0] < 1):
            found.append(f"the domain of {name!r} is not of positive numbers in ascending order")
    for rule in problem.rules:
        found += [f"the rule {rule.name!r} names no unknown: {name!r}" for name in {*named(rule)} - {*names}]
    return found


def _doubles(names: list[str]) -> list[str]:
    return sorted({name for name in names if names.count(name) > 1})
