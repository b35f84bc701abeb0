"""The search against trying every combination, and against what its words promise."""

from __future__ import annotations

from fractions import Fraction

from brute import every, reaches
from countwheel.search.integers import nearest, solve
from countwheel.search.problem import Problem, Product, Sum, Whole
from hypothesis import given, settings
from hypothesis import strategies as st
from making import problem


@given(st.integers(0, 10**9).map(problem))
@settings(max_examples=300)
def test_all_solutions_are_found_and_nothing_else(made: Problem) -> None:
    found = solve(made, most=100_000)
    assert (list(found.solutions), found.complete, found.stopped) == (every(made), True, "")


def miss(rule: Product | Sum, numbers: dict[str, int]) -> Fraction:
    """By how much a rule is missed: by ratio where its factor and high bound are positive, else by difference."""
    reached = reaches(rule, numbers)
    if isinstance(rule, Product) and rule.factor > 0 and rule.high > 0:
        return max(Fraction(1), rule.low / reached, reached / rule.high)
    return max(Fraction(0), rule.low - reached, reached - rule.high)


@given(st.integers(0, 10**9).map(problem), st.integers(1, 6))
@settings(max_examples=200)
def test_the_nearest_are_those_that_miss_by_least(made: Problem, best: int) -> None:
    names = [unknown.name for unknown in made.unknowns]
    for rule in made.rules:
        if isinstance(rule, Whole):
            continue
        others = [(values, dict(zip(names, values, strict=True))) for values in every(made, rule.name)]
        expected = sorted((miss(rule, numbers), values, reaches(rule, numbers)) for values, numbers in others)
        found = nearest(made, rule.name, best)
        assert found.complete
        assert [(one.miss, one.values, one.value) for one in found.nearest] == expected[:best]
