"""The search against trying every combination, and against what its words promise."""

from __future__ import annotations

from fractions import Fraction

import pytest
from brute import every, reaches
from countwheel.search.integers import Found, nearest, solve
from countwheel.search.problem import Problem, Product, Rule, Sum, Unknown, Whole, size
from cp_sat import Model
from hypothesis import given, settings
from hypothesis import strategies as st
from making import problem

ONE = Fraction(1)


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


@pytest.mark.parametrize("seed", range(40))
def test_another_solver_finds_the_same_solutions(seed: int) -> None:
    made = problem(seed)
    assert list(solve(made, most=100_000).solutions) == Model(made).solutions()


LETTERS = "abcdef"
BIG = tuple(Unknown(name, tuple(range(1, 101))) for name in LETTERS)
ALTERNATE = tuple(zip(LETTERS, (1, -1) * 3, strict=True))
JUST_OVER_ONE = Fraction(10**9 + 7, 10**9 + 6)
HARD = Product("hard", ONE, ALTERNATE, JUST_OVER_ONE, JUST_OVER_ONE + Fraction(1, 10**9))
HALF = Product("half", ONE, ALTERNATE, Fraction(1, 2), Fraction(1, 2))


def test_a_search_too_big_ends_at_its_steps() -> None:
    found = solve(Problem(BIG, (HARD,)))
    assert (found.complete, found.stopped) == (False, "steps")
    assert 2_000_000 < found.steps < 2_001_000


@pytest.mark.parametrize("rules", [(), (HALF,)])
def test_no_more_solutions_are_kept_than_were_asked_for(rules: tuple[Rule, ...]) -> None:
    found = solve(Problem(BIG, rules), most=500)
    assert (len(set(found.solutions)), found.complete, found.stopped) == (500, False, "most")
    assert list(found.solutions) == sorted(found.solutions)
    assert found.steps < 50_000


def test_unknowns_that_no_rule_binds_do_not_multiply_the_search() -> None:
    nothing = Product(
        "nothing", ONE, (("a", 1), ("b", 1), ("c", 1)), Fraction(97**3 + 2), Fraction(97**3 + 2)
    )
    found = solve(Problem(BIG, (nothing,)))
    assert (found.solutions, found.complete) == ((), True)
    assert found.steps < 100_000


def test_bounds_that_creep_up_on_one_another_end_too() -> None:
    """Each rule takes one value from each domain at a time, and the domains are long."""
    long = tuple(range(1, 20_001))
    over = [
        Sum(name, ((name, ONE), (other, -ONE)), ONE * 0, ONE, ONE * 20_000) for name, other in ("ab", "ba")
    ]
    found = solve(Problem((Unknown("a", long), Unknown("b", long)), tuple(over)))
    assert (found.solutions, found.complete) == ((), True)
    assert found.steps < 1_000_000


def test_exactly_as_many_as_asked_for_are_all() -> None:
    three = Problem((Unknown("a", (1, 2, 3)),), ())
    assert solve(three, most=3) == Found(((1,), (2,), (3,)), True, "", solve(three).steps)
    assert solve(three, most=2).stopped == "most"


def test_a_problem_without_unknowns_has_one_solution_or_none() -> None:
    one = Product("one", ONE, (), ONE, ONE)
    assert solve(Problem((), (one,))).solutions == ((),)
    assert solve(Problem((), (one, one._replace(name="two", factor=Fraction(2))))).solutions == ()


@pytest.mark.parametrize("seed", range(10))
def test_the_same_problem_gives_the_same_answer_however_its_rules_are_ordered(seed: int) -> None:
    made = problem(seed)
    turned = made._replace(rules=made.rules[::-1])
    assert solve(made) == solve(made)
    assert solve(turned, most=100_000).solutions == solve(made, most=100_000).solutions


def test_the_nearest_are_found_in_a_problem_too_big_to_try() -> None:
    """Neither 97⁶ + 1 nor 97⁶ + 2 is a product of six numbers up to 100: both have greater primes. 97⁶ comes next."""
    power = Product("power", ONE, tuple((name, 1) for name in LETTERS), *(Fraction(97**6 + 1),) * 2)
    found = nearest(Problem(BIG, (power,)), "power", best=1)
    assert (found.nearest[0].values, found.complete) == ((97,) * 6, True)
    assert found.nearest[0].miss == Fraction(97**6 + 1, 97**6)


def test_the_nearest_say_when_they_may_not_be_the_nearest() -> None:
    found = nearest(Problem(BIG, (HARD,)), "hard", steps=50_000)
    assert not found.complete
    assert len(found.nearest) == 5
    assert found.steps < 55_000


@pytest.mark.parametrize(
    ("broken", "said"),
    [
        (Problem((Unknown("a", (1, 1)),), ()), "domain of 'a'"),
        (Problem((Unknown("a", (0, 1)),), ()), "domain of 'a'"),
        (Problem((Unknown("a", (1,)), Unknown("a", (2,))), ()), "'a' is given twice"),
        (Problem((Unknown("a", (1,)),), (Whole("w", ONE, (("b", 1),)),)), "names no unknown: 'b'"),
    ],
)
def test_a_problem_that_is_not_one_is_refused(broken: Problem, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        solve(broken)


def test_only_what_has_bounds_can_be_missed() -> None:
    whole = Problem((Unknown("a", (1,)),), (Whole("w", ONE, (("a", 1),)),))
    for name in ("w", "x"):
        with pytest.raises(ValueError, match=name):
            nearest(whole, name)


def test_the_size_is_the_number_of_combinations() -> None:
    assert size(Problem(BIG, ())) == 100**6
