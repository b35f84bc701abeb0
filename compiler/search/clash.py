"""Why a problem has no solution: the smallest sets of its rules that cannot hold together, each with a reason."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from math import ceil, floor, gcd, prod
from typing import NamedTuple

from countwheel.search.forms import Times, common_multiple, form
from countwheel.search.integers import STEPS, solve
from countwheel.search.problem import (
    Problem,
    Product,
    Rule,
    Sum,
    Unknown,
    gathered,
    holds,
    named,
    numbers,
    places_of,
    size,
)

# What it costs to put a smaller problem together; and the share of all steps that one of them may take.
STEPS_TO_ASK = 100
SHARE = 4
# Primes are looked for by trial up to here.
LARGEST_TRIAL = 1_000_000


class Reason(NamedTuple):
    """Why rules cannot hold, as data.

    'range': what the rule's product or sum can come to, from `least` to `most`, has nothing that it allows.
    'prime': the rule needs the factor `prime` (as often as it needs it) in the unknowns that stand above the line,
    or where `above` is False below it, and their domains cannot give it.
    'searched': no such short reason; none of the `tried` combinations of the unknowns in these rules will do.
    """

    kind: str
    tried: int
    least: Fraction | None = None
    most: Fraction | None = None
    prime: int | None = None
    above: bool = True


class Clash(NamedTuple):
    """Names of rules that cannot hold together, though any fewer of them can; none where a domain is empty."""

    rules: tuple[str, ...]
    reason: Reason


class Clashes(NamedTuple):
    """All the smallest clashes, in the order of the rules; none where there is a solution.

    Where `complete` is False the budget ran out: there may be others, smaller ones too.
    """

    clashes: tuple[Clash, ...]
    complete: bool
    steps: int


def clash(problem: Problem, steps: int = STEPS) -> Clashes:
    """The smallest sets of rules that cannot hold together.

    Sets are asked about from the smallest up; one that a solution found on the way keeps needs no asking. Raises
    ValueError where the problem is not one (problem.faults).
    """
    kept: list[frozenset[Rule]] = []
    spent, complete = 0, True

    def impossible(rules: Sequence[Rule]) -> bool:
        """Whether these rules clash; a set that took too long counts as one that does not."""
        nonlocal spent, complete
        found = solve(Problem(problem.unknowns, tuple(rules)), 1, min(steps // SHARE, steps - spent))
        spent += found.steps + STEPS_TO_ASK
        for values in found.solutions:
            by_name = numbers(problem, values)
            kept.append(frozenset(rule for rule in problem.rules if holds(rule, by_name)))
        complete = complete and (found.complete or bool(found.solutions))
        return found.complete and not found.solutions

    if not impossible(problem.rules) and complete:
        return Clashes((), True, spent)
    complete = True
    for number in range(len(problem.rules) + 1):
        clashes: list[Clash] = []
        for rules in combinations(problem.rules, number):
            spent += 1
            if spent >= steps:
                return Clashes(tuple(clashes), False, spent)
            if not any(of.issuperset(rules) for of in kept) and impossible(rules):
                clashes.append(Clash(tuple(rule.name for rule in rules), _reason(problem, rules)))
        if clashes:
            return Clashes(tuple(clashes), complete, spent)
    return Clashes((), False, spent)


def _reason(problem: Problem, rules: Sequence[Rule]) -> Reason:
    names = {name for rule in rules for name in named(rule)}
    unknowns = tuple(unknown for unknown in problem.unknowns if unknown.name in names)
    tried = size(Problem(unknowns, ()))
    if len(rules) != 1:
        return Reason("searched", tried if rules else 0)
    least, most = _reach(rules[0], unknowns)
    if isinstance(rules[0], Product | Sum):
        outside = most < rules[0].low or least > rules[0].high
    else:
        outside = ceil(least) > floor(most)
    if outside:
        return Reason("range", tried, least, most)
    found = _missing_prime(rules[0], unknowns)
    return Reason("prime", tried, prime=found[0], above=found[1]) if found else Reason("searched", tried)


def _reach(rule: Rule, unknowns: Sequence[Unknown]) -> tuple[Fraction, Fraction]:
    """The least and the most that a rule's product or sum can come to; no domain empty."""
    ends = {name: (domain[0], domain[-1]) for name, domain in unknowns}
    if isinstance(rule, Sum):
        sums = [sorted(w * x for x in ends[name]) for name, w in gathered(rule.weights).items()]
        return rule.offset + sum(low for low, _ in sums), rule.offset + sum(high for _, high in sums)
    powers = [sorted(Fraction(x) ** p for x in ends[name]) for name, p in gathered(rule.powers).items()]
    low, high = rule.factor * prod(of for of, _ in powers), rule.factor * prod(of for _, of in powers)
    return min(low, high), max(low, high)


def _missing_prime(rule: Rule, unknowns: Sequence[Unknown]) -> tuple[int, bool] | None:
    """A prime that an exact product or a whole number needs and that no choice gives; whether above the line.

    None where there is no such prime, or only ones too large to find.
    """
    one = form(rule, places_of(Problem(tuple(unknowns), ())))
    if not isinstance(one, Times):
        return None
    for k, sign in one.wholes:
        above = [(unknowns[at].domain, abs(p)) for at, p in one.powers if p * sign > 0]
        below = [(unknowns[at].domain, abs(p)) for at, p in one.powers if p * sign < 0]
        given = k.numerator * prod(common_multiple(domain) ** p for domain, p in above)
        needed = k.denominator * prod(gcd(*domain) ** p for domain, p in below)
        # What is left over has exactly the primes of which more are needed than can be given.
        prime = _smallest_prime(needed // gcd(needed, given))
        if prime:
            return prime, sign > 0
    return None


def _smallest_prime(number: int) -> int | None:
    """The smallest prime factor; None of 1, or where it is too large to be found by trial."""
    for trial in range(2, LARGEST_TRIAL):
        if trial * trial > number:
            return number if number > 1 else None
        if number % trial == 0:
            return trial
    return None
