"""Problems made up from a seed: small enough to try every combination, and most of them with a solution."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from brute import reaches
from countwheel.search.problem import Problem, Product, Rule, Sum, Unknown, Whole

NAMES = "abcd"
KINDS = ("exact product", "product", "exact sum", "sum", "whole")


def problem(seed: int) -> Problem:
    """1 to 4 unknowns of 1 to 14 values under 100, and up to 4 rules built about a hidden assignment."""
    dice = Random(seed)
    names = NAMES[: dice.randint(1, 4)]
    unknowns = [
        Unknown(name, tuple(sorted(dice.sample(range(1, 100), dice.randint(1, 14))))) for name in names
    ]
    hidden = {name: dice.choice(domain) for name, domain in unknowns}
    return Problem(
        tuple(unknowns), tuple(rule(dice, f"rule {at}", hidden) for at in range(dice.randint(0, 4)))
    )


def impossible(seed: int) -> Problem:
    """A problem of few values whose rules are built about different assignments, so that most have no solution."""
    dice = Random(seed)
    names = NAMES[: dice.randint(1, 3)]
    unknowns = [Unknown(name, tuple(sorted(dice.sample(range(1, 60), dice.randint(1, 6))))) for name in names]
    rules = []
    for at in range(dice.randint(1, 5)):
        hidden = {name: dice.choice(domain) for name, domain in unknowns}
        rules.append(rule(dice, f"rule {at}", hidden))
    return Problem(tuple(unknowns), tuple(rules))


def rule(dice: Random, name: str, hidden: dict[str, int]) -> Rule:
    """A rule of any kind that the hidden assignment keeps, but one time in eight (and where it is a `Whole`)."""
    about = dice.sample(sorted(hidden), dice.randint(1, len(hidden)))
    # At times an unknown stands in a rule twice, and may cancel out.
    about += about[:1] * (dice.randrange(6) == 0)
    kind = dice.choice(KINDS)
    factor = Fraction(dice.randint(1, 12), dice.randint(1, 12)) * dice.choice((*(1,) * 8, *(-1,) * 3, 0))
    powers = tuple((one, dice.choice((1, 1, 1, -1, -1, 2, -2))) for one in about)
    if kind == "whole":
        return Whole(name, factor, powers)
    made: Product | Sum = Product(name, factor, powers, Fraction(0), Fraction(0))
    if kind.endswith("sum"):
        weights = tuple((one, Fraction(dice.randint(-6, 6), dice.randint(1, 4))) for one in about)
        made = Sum(name, weights, Fraction(dice.randint(-5, 5), 3), Fraction(0), Fraction(0))
    middle = reaches(made, hidden) * (1 if dice.randrange(8) else Fraction(3, 2))
    half = Fraction(0) if kind.startswith("exact") else abs(middle) * Fraction(dice.randint(1, 30), 60)
    return made._replace(low=middle - half, high=middle + half)
