"""How fast lost counts are found, printed: run by hand with `python tests/benchmarks/lost_counts.py`, never as a test.

Problems of three unknown counts are solved by our search and by OR-tools' CP-SAT, which enumerates the same, side by
side in one process and in turns, so that what else the machine does falls on both alike. Each time is the least of
the rounds and runs from the problem to the sorted solutions; CP-SAT's is also given without the building of its
model, and the ratio is taken with that, which is fairer to it. Where the solutions differ it says so and ends.
"""

from __future__ import annotations

import argparse
import sys
from fractions import Fraction
from pathlib import Path
from time import perf_counter

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
ALL_COUNTED = Sum("cost", (("a", ONE), ("b", ONE), ("c", ONE)), Fraction(0), Fraction(190), Fraction(220))
WHOLE_BEATS = Whole("beats", Fraction(30), (("a", 1), ("c", -1)))

PROBLEMS = {
    "an exact ratio": problem(ratio(Fraction(720), Fraction(720))),
    "an exact ratio of large primes": problem(ratio(Fraction(101 * 103, 7), Fraction(101 * 103, 7))),
    "a ratio within 0.1 %": problem(ratio(Fraction(7192, 10), Fraction(7208, 10))),
    "within 1 %, sum and whole": problem(
        ratio(Fraction(712), Fraction(728)), SMALLER, ALL_COUNTED, WHOLE_BEATS
    ),
    "two exact ratios": problem(
        ratio(Fraction(600), Fraction(600)),
        Product("first", ONE, (("a", 1), ("c", -1)), Fraction(15, 2), Fraction(15, 2)),
    ),
    "no solution": problem(ratio(Fraction(1000, 997), Fraction(1000, 997))),
    "no solution, but searched": problem(ratio(Fraction(7201, 10), Fraction(7201, 10))),
    "pins, exact, three powers": Problem(
        (Unknown("a", WHEELS), Unknown("b", PINS), Unknown("c", PINIONS)),
        (Product("strokes", Fraction(1, 78), (("a", 1), ("b", 1), ("c", -1)), Fraction(2), Fraction(2)),),
    ),
}


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=5)
    rounds = options.parse_args().rounds
    print(f"{'':<32}{'sizes':>9}{'found':>7}{'ours':>12}{'CP-SAT':>12}{'all of it':>12}{'faster':>9}")
    for name, asked in PROBLEMS.items():
        ours, theirs, whole = [], [], []
        for _ in range(rounds):
            began = perf_counter()
            found = solve(asked, most=1_000_000)
            ours.append(perf_counter() - began)
            began = perf_counter()
            model = Model(asked)
            built = perf_counter()
            other = model.solutions()
            theirs.append(perf_counter() - built)
            whole.append(perf_counter() - began)
            if not found.complete or list(found.solutions) != other:
                raise SystemExit(f"{name}: the solutions differ")
        mine, their, all_of_it = min(ours), min(theirs), min(whole)
        print(
            f"{name:<32}{size(asked):>9}{len(found.solutions):>7}{mine * 1000:>9.2f} ms"
            f"{their * 1000:>9.2f} ms{all_of_it * 1000:>9.2f} ms{their / mine:>8.1f}×"
        )


if __name__ == "__main__":
    main()
