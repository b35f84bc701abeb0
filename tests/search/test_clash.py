"""Which rules clash, against trying every combination of every set of rules; and the reasons given."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, product
from math import floor, prod

import pytest
from brute import every, reaches
from countwheel.search.clash import Reason, clash
from countwheel.search.problem import Problem, Product, Rule, Sum, Unknown, Whole
from hypothesis import given, settings
from hypothesis import strategies as st
from making import impossible

ONE = Fraction(1)
WHEEL, PINION = Unknown("wheel", tuple(range(60, 100))), Unknown("pinion", tuple(range(6, 13)))


def smallest_clashes(problem: Problem) -> list[tuple[str, ...]]:
    """All sets of the least number of rules that have no solution between them."""
    for number in range(len(problem.rules) + 1):
        sets = combinations(problem.rules, number)
        found = [rules for rules in sets if not every(Problem(problem.unknowns, rules))]
        if found:
            return [tuple(rule.name for rule in rules) for rules in found]
    return []


@given(st.integers(0, 10**9).map(impossible))
@settings(max_examples=150)
def test_the_smallest_clashes_are_found_all_of_them(made: Problem) -> None:
    found = clash(made)
    assert found.complete
    assert [one.rules for one in found.clashes] == smallest_clashes(made)


@given(st.integers(0, 10**9).map(impossible))
@settings(max_examples=150)
def test_a_reason_is_true(made: Problem) -> None:
    for one in clash(made).clashes:
        rules = [rule for rule in made.rules if rule.name in one.rules]
        names = {
            name for rule in rules for name, _ in (rule.weights if isinstance(rule, Sum) else rule.powers)
        }
        unknowns = [unknown for unknown in made.unknowns if unknown.name in names]
        assert one.reason.tried == prod(len(unknown.domain) for unknown in unknowns)
        if one.reason.kind == "range":
            reached = values(rules[0], unknowns)
            assert (one.reason.least, one.reason.most) == (min(reached), max(reached))
            assert nothing_allowed(rules[0], min(reached), max(reached))
        if one.reason.kind == "prime":
            assert one.reason.prime
            assert all(
                lacks(rules[0], x, one.reason.prime, one.reason.above) for x in values(rules[0], unknowns)
            )


def values(rule: Rule, unknowns: list[Unknown]) -> list[Fraction]:
    names = [unknown.name for unknown in unknowns]
    choices = product(*(unknown.domain for unknown in unknowns))
    return [reaches(rule, dict(zip(names, choice, strict=True))) for choice in choices]


def nothing_allowed(rule: Rule, least: Fraction, most: Fraction) -> bool:
    if isinstance(rule, Whole):
        return floor(least) == floor(most) and least.denominator > 1
    return most < rule.low or least > rule.high


def lacks(rule: Rule, reached: Fraction, prime: int, above: bool) -> bool:
    """Whether what is reached has too few of the prime above the line, or below it, for the rule."""
    assert not isinstance(rule, Sum)
    over = reached / rule.low if isinstance(rule, Product) else reached
    return (over.denominator if above else over.numerator) % prime == 0


def exact(name: str, ratio: Fraction, *powers: tuple[str, int]) -> Product:
    return Product(name, ONE, powers, ratio, ratio)


def reason(*rules: Rule) -> tuple[tuple[str, ...], Reason]:
    (found,) = clash(Problem((WHEEL, PINION), rules)).clashes
    return found.rules, found.reason


def test_a_ratio_out_of_reach_says_how_far_it_goes() -> None:
    said = reason(exact("ratio", Fraction(20), ("wheel", 1), ("pinion", -1)))
    assert said == (("ratio",), Reason("range", 40 * 7, Fraction(60, 12), Fraction(99, 6)))


def test_a_prime_that_no_wheel_has_is_named() -> None:
    said = reason(exact("ratio", Fraction(101, 13), ("wheel", 1), ("pinion", -1)))
    assert said == (("ratio",), Reason("prime", 40 * 7, prime=101))


def test_a_prime_that_no_pinion_has_is_named_as_below_the_line() -> None:
    said = reason(exact("ratio", Fraction(100, 13), ("wheel", 1), ("pinion", -1)))
    assert said == (("ratio",), Reason("prime", 40 * 7, prime=13, above=False))


def test_rules_that_hold_alone_but_not_together_were_searched() -> None:
    ratio = exact("ratio", Fraction(8), ("wheel", 1), ("pinion", -1))
    total = Sum("total", (("wheel", ONE), ("pinion", ONE)), Fraction(0), Fraction(80), Fraction(80))
    fine = Whole("fine", ONE, (("wheel", 1),))
    assert reason(fine, ratio, total) == (("ratio", "total"), Reason("searched", 40 * 7))


def test_an_empty_domain_needs_no_rule_to_clash() -> None:
    found = clash(Problem((Unknown("wheel", ()), PINION), (exact("ratio", ONE, ("pinion", 1)),)))
    assert [one.rules for one in found.clashes] == [()]


def test_nothing_clashes_where_there_is_a_solution() -> None:
    found = clash(Problem((WHEEL, PINION), (exact("ratio", Fraction(8), ("wheel", 1), ("pinion", -1)),)))
    assert (found.clashes, found.complete) == ((), True)


@pytest.mark.parametrize("steps", [0, 1000, 100_000])
def test_a_search_for_clashes_of_any_size_ends_within_its_steps(steps: int) -> None:
    unknowns = tuple(Unknown(name, tuple(range(1, 101))) for name in "abcdef")
    powers = tuple((name, power) for name, power in zip("abcdef", (1, -1, 1, -1, 1, -1), strict=True))
    near = Fraction(10**9 + 7, 10**9 + 6)
    rules = [Product(f"rule {at}", Fraction(at), powers, ONE, near) for at in range(1, 25)]
    found = clash(Problem(unknowns, tuple(rules)), steps)
    assert not found.complete
    assert found.steps <= steps + 1000
