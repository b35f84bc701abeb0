"""Rules in whole numbers: converted once, so that the search itself never touches a fraction.

A product with a factor is brought to bounds on M, the bare product of powers; a sum is multiplied out to whole
weights. What a rule says of one unknown, while others are chosen and the rest are open, becomes entries of a
`Level`: bounds to bisect its domain with, and what must divide what.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Sequence
from fractions import Fraction
from itertools import chain
from math import ceil, floor, gcd, lcm, prod
from typing import NamedTuple

from countwheel.search.problem import Product, Rule, Sum, Whole, gathered

Domains = Sequence[tuple[int, ...]]
# The least common multiple of a longer domain is too long a number for what it can rule out.
LONG_DOMAIN = 2000


class Times(NamedTuple):
    """M is the product of x**p: within its bounds where it has them, and each k × M**sign is a whole number."""

    powers: tuple[tuple[int, int], ...]
    low: Fraction | None = None
    high: Fraction | None = None
    wholes: tuple[tuple[Fraction, int], ...] = ()


class Plus(NamedTuple):
    """The sum of w × x, within its bounds where it has them; also what holds or fails whatever is chosen."""

    weights: tuple[tuple[int, int], ...]
    low: int | None = None
    high: int | None = None


Form = Times | Plus
ALWAYS, NEVER = Plus(()), Plus((), 1, 0)


def form(rule: Rule, places: dict[str, int], bounded: bool = True) -> Form:
    """The integer form of a rule, its unknowns by their places; `bounded` False leaves its bounds away."""
    if isinstance(rule, Sum):
        return _plus(rule, places, bounded)
    powers = tuple(sorted((places[name], power) for name, power in gathered(rule.powers).items()))
    factor = rule.factor
    if isinstance(rule, Whole):
        return Times(powers, wholes=((abs(factor), 1),)) if factor else ALWAYS
    if not bounded:
        return Times(powers)
    if not factor:
        return ALWAYS if rule.low <= 0 <= rule.high else NEVER
    low, high = sorted_bounds(rule)
    if high <= 0 or low > high:
        return NEVER
    wholes = ((1 / high, 1), (high, -1)) if low == high else ()
    return Times(powers, low if low > 0 else None, high, wholes)


def sorted_bounds(rule: Product) -> tuple[Fraction, Fraction]:
    """The bounds of the bare product, the factor (not 0) divided out."""
    low, high = rule.low / rule.factor, rule.high / rule.factor
    return (low, high) if rule.factor > 0 else (high, low)


def _plus(rule: Sum, places: dict[str, int], bounded: bool) -> Plus:
    given = gathered(rule.weights)
    scale = Fraction(
        lcm(*(weight.denominator for weight in given.values())),
        gcd(*(weight.numerator for weight in given.values())) or 1,
    )
    weights = tuple(sorted((places[name], int(weight * scale)) for name, weight in given.items()))
    if not bounded:
        return Plus(weights)
    least, most = ceil((rule.low - rule.offset) * scale), floor((rule.high - rule.offset) * scale)
    return Plus(weights, least, most) if least <= most else NEVER


def unknowns(one: Form) -> tuple[int, ...]:
    """The places of the unknowns that a form binds."""
    return tuple(at for at, _ in (one.powers if isinstance(one, Times) else one.weights))


def constant_holds(one: Form) -> bool:
    """Whether a form without unknowns holds: its M is 1, its sum 0."""
    if isinstance(one, Plus):
        return (one.low is None or one.low <= 0) and (one.high is None or one.high >= 0)
    within = (one.low is None or one.low <= 1) and (one.high is None or one.high >= 1)
    return within and all(k.denominator == 1 for k, _ in one.wholes)


class Level:
    """What the rules say of one unknown, given what is chosen before it and the domains of what comes after.

    Chosen values live in a list of accumulated numbers, two for each rule: the product above the line and the one
    below, or the sum. An entry names the places in that list, the powers (or multiples) of the domain, and the
    rule's constants.
    """

    def __init__(self, domain: tuple[int, ...]) -> None:
        self.domain = domain
        self.exactly: list[tuple[int, int, dict[int, int], int, int]] = []
        self.least: list[tuple[int, int, tuple[int, ...], int, int]] = []
        self.most: list[tuple[int, int, tuple[int, ...], int, int]] = []
        self.sum_least: list[tuple[int, tuple[int, ...], int, int]] = []
        self.sum_most: list[tuple[int, tuple[int, ...], int, int]] = []
        self.multiples: list[tuple[int, int, tuple[int, ...], int, int]] = []
        self.divisors: list[tuple[int, int, tuple[int, ...], int, int]] = []
        self.times: list[tuple[int, tuple[int, ...]]] = []
        self.plus: list[tuple[int, tuple[int, ...]]] = []

    def left(self, so_far: list[int]) -> tuple[Sequence[int], int]:
        """The places in the domain that the rules leave, and how many steps it took to say so."""
        begin, end = 0, len(self.domain)
        steps = 1 + len(self.times) + len(self.plus)
        for own, other, where, above, below in self.exactly:
            needed, rest = divmod(above * so_far[other], below * so_far[own])
            at = -1 if rest else where.get(needed, -1)
            if not begin <= at < end:
                return (), steps
            begin, end = at, at + 1
        for own, other, table, above, below in self.least:
            begin = bisect_left(table, -(-above * so_far[other] // (below * so_far[own])), begin, end)
        for own, other, table, above, below in self.most:
            end = bisect_right(table, above * so_far[other] // (below * so_far[own]), begin, end)
        for own, table, sign, bound in self.sum_least:
            begin = bisect_left(table, sign * (bound - so_far[own]), begin, end)
        for own, table, sign, bound in self.sum_most:
            end = bisect_right(table, sign * (bound - so_far[own]), begin, end)
        places: Sequence[int] = range(begin, end)
        for own, other, table, above, below in self.multiples:
            steps += len(places)
            multiple, divisor = above * so_far[own], below * so_far[other]
            places = [at for at in places if not multiple * table[at] % divisor]
        for own, other, table, above, below in self.divisors:
            steps += len(places)
            multiple, divisor = above * so_far[other], below * so_far[own]
            places = [at for at in places if not multiple % (divisor * table[at])]
        return places, steps

    def chosen(self, so_far: list[int], at: int) -> list[int]:
        """The accumulated numbers once this value is chosen."""
        after = so_far.copy()
        for own, table in self.times:
            after[own] *= table[at]
        for own, table in self.plus:
            after[own] += table[at]
        return after


def start(forms: Sequence[Form]) -> list[int]:
    """The accumulated numbers before anything is chosen."""
    return list(chain.from_iterable((1, 1) if isinstance(one, Times) else (0, 0) for one in forms))


def lay(level: Level, number: int, one: Form, at: int, later: Collection[int], domains: Domains) -> None:
    """Adds to the level of the unknown at `at` what form `number` says of it, while those in `later` are open."""
    if isinstance(one, Times):
        _lay_times(level, 2 * number, one, at, [pair for pair in one.powers if pair[0] in later], domains)
    else:
        _lay_plus(level, 2 * number, one, at, [pair for pair in one.weights if pair[0] in later], domains)


def _lay_times(
    level: Level, top: int, one: Times, at: int, later: list[tuple[int, int]], domains: Domains
) -> None:
    power = dict(one.powers)[at]
    table = level.domain if abs(power) == 1 else tuple([x ** abs(power) for x in level.domain])
    own, other = (top, top + 1) if power > 0 else (top + 1, top)
    level.times.append((own, table))
    if one.low is not None and one.low == one.high and not later:
        needed = one.low if power > 0 else 1 / one.low
        where = {x: place for place, x in enumerate(table)}
        level.exactly.append((own, other, where, needed.numerator, needed.denominator))
        return
    above = [(domains[j], p) for j, p in later if p > 0]
    below = [(domains[j], -p) for j, p in later if p < 0]
    greatest = prod(of[-1] ** p for of, p in above), prod(of[0] ** p for of, p in below)
    smallest = prod(of[0] ** p for of, p in above), prod(of[-1] ** p for of, p in below)
    if one.low is not None:
        bound = one.low.numerator * greatest[1], one.low.denominator * greatest[0]
        (level.least if power > 0 else level.most).append((own, other, table, *_upright(bound, power)))
    if one.high is not None:
        bound = one.high.numerator * smallest[1], one.high.denominator * smallest[0]
        (level.most if power > 0 else level.least).append((own, other, table, *_upright(bound, power)))
    for k, sign in one.wholes:
        # Of each prime, what is open above the line has at most as many as its least common multiple,
        # what is open below it has at least as many as its greatest common divisor.
        open_above, open_below = (above, below) if sign > 0 else (below, above)
        most = prod(common_multiple(of) ** p for of, p in open_above)
        least = prod(gcd(*of) ** p for of, p in open_below)
        if most:
            entries = level.multiples if power * sign > 0 else level.divisors
            entries.append((own, other, table, k.numerator * most, k.denominator * least))


def _upright(bound: tuple[int, int], power: int) -> tuple[int, int]:
    """A bound of M as one of the unknown's power: turned over where that stands below the line."""
    return bound if power > 0 else (bound[1], bound[0])


def common_multiple(domain: tuple[int, ...]) -> int:
    """The least common multiple of a domain; 0, which everything divides, where it would be too long."""
    return lcm(*domain) if len(domain) <= LONG_DOMAIN else 0


def _lay_plus(
    level: Level, slot: int, one: Plus, at: int, later: list[tuple[int, int]], domains: Domains
) -> None:
    weight = dict(one.weights)[at]
    level.plus.append((slot, tuple([weight * x for x in level.domain])))
    sign = 1 if weight > 0 else -1
    table = tuple([abs(weight) * x for x in level.domain])
    greatest = sum(w * domains[j][-1 if w > 0 else 0] for j, w in later)
    smallest = sum(w * domains[j][0 if w > 0 else -1] for j, w in later)
    low = None if one.low is None else one.low - greatest
    high = None if one.high is None else one.high - smallest
    if sign < 0:
        low, high = high, low
    if low is not None:
        level.sum_least.append((slot, table, sign, low))
    if high is not None:
        level.sum_most.append((slot, table, sign, high))
