"""How fast lost counts are found, printed: run by hand with `python tests/benchmarks/lost_counts.py`, never as a test.

Problems of three unknown counts are solved by our search and by OR-tools' CP-SAT, which enumerates the same, side by
side in one process and in turns, so that what else the machine does falls on both alike. Each time is the least of
the rounds. Ours runs from the problem to the sorted solutions, and so does theirs; `solving` is the part of theirs
that is left once its model is built, and both ratios are given. Where the solutions differ it says so and ends.

We aim at five times and more where there is something to search. Where bounds or primes settle all, as they do in
the last three, both are done in well under a millisecond and the ratio says little.
"""

from __future__ import annotations

import argparse
import sys
from fractions import Fraction
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1] / "search"))

from countwheel.search.integers import solve
from countwheel.search.problem import Problem, Product, Rule, Sum, Unknown, Whole, size
from cp_sat import Model

ONE = Fraction(1)
WHEELS, PINIONS, PINS = tuple(range(24, 181)), tuple(range(6, 25)), tuple(range(2, 41))
TWO_WHEELS_AND_A_PINION = (Unknown("a", WHEELS), Unknown("b", WHEELS), Unknown("c", PINIONS))


def ratio(low: Fraction, high: Fraction) -> Product:
    """Two wheels over one pinion."""
    return Product("ratio", ONE, (("a", 1), ("b", 1), ("c", -1)), low, high)


def problem(*rules: Rule) -> Problem:
    return Problem(TWO_WHEELS_AND_A_PINION, rules)


SMALLER = Sum("a at most b", (("a", ONE), ("b", -ONE)), Fraction(0), Fraction(-200), Fraction(0))
TOTAL = Sum("total", (("a", ONE), ("b", ONE), ("c", ONE)), Fraction(0), Fraction(190), Fraction(220))
WHOLE_BEATS = Whole("beats", Fraction(30), (("a", 1), ("c", -1)))

PROBLEMS = {
    "an exact ratio": problem(ratio(Fraction(720), Fraction(720))),
    "an exact ratio of large primes": problem(ratio(Fraction(101 * 103, 7), Fraction(101 * 103, 7))),
    "a ratio within 0.1 %": problem(ratio(Fraction(7192, 10), Fraction(7208, 10))),
    "within 1 %, sum and whole": problem(ratio(Fraction(712), Fraction(728)), SMALLER, TOTAL, WHOLE_BEATS),
    "strokes from pins, exact": Problem(
        (Unknown("a", WHEELS), Unknown("b", PINS), Unknown("c", PINIONS)),
        (Product("strokes", Fraction(1, 78), (("a", 1), ("b", 1), ("c", -1)), Fraction(2), Fraction(2)),),
    ),
    "two exact ratios": problem(
        ratio(Fraction(600), Fraction(600)),
        Product("first", ONE, (("a", 1), ("c", -1)), Fraction(15, 2), Fraction(15, 2)),
    ),
    "none, by its range": problem(ratio(Fraction(1000, 997), Fraction(1000, 997))),
    "none, by its primes": problem(ratio(Fraction(7201, 10), Fraction(7201, 10))),
}


class Timed(NamedTuple):
    """Seconds, and the number of solutions."""

    ours: float
    theirs: float
    solving: float
    found: int


def timed(name: str, asked: Problem, rounds: int) -> Timed:
    """The least times of the rounds. Raises SystemExit where the two find different solutions."""
    taken = []
    for _ in range(rounds):
        began = perf_counter()
        found = solve(asked, most=1_000_000)
        ours = perf_counter() - began
        began = perf_counter()
        model = Model(asked)
        built = perf_counter()
        other = model.solutions()
        ended = perf_counter()
        if not found.complete or list(found.solutions) != other:
            raise SystemExit(f"{name}: the solutions differ")
        taken.append((ours, ended - began, ended - built))
    return Timed(*(min(times) for times in zip(*taken, strict=True)), found=len(found.solutions))


def say(name: str, combinations: int, one: Timed) -> None:
    milliseconds = "".join(f"{seconds * 1000:>9.2f} ms" for seconds in one[:3])
    ratios = f"{one.theirs / one.ours:>8.1f}×{one.solving / one.ours:>8.1f}×"
    print(f"{name:<32}{combinations:>9}{one.found:>7}{milliseconds}{ratios}")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=7)
    rounds = options.parse_args().rounds
    print(
        f"{'':<32}{'sizes':>9}{'found':>7}{'ours':>12}{'CP-SAT':>12}{'solving':>12}{'faster':>9}{'solving':>9}"
    )
    every = {name: timed(name, asked, rounds) for name, asked in PROBLEMS.items()}
    for name, one in every.items():
        say(name, size(PROBLEMS[name]), one)
    together = Timed(*(sum(column) for column in zip(*every.values(), strict=True)))
    say("all of them", sum(map(size, PROBLEMS.values())), together)


if __name__ == "__main__":
    main()
