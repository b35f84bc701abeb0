"""The same problems put to OR-tools' CP-SAT, which shares no thought with our search: it enumerates all solutions.

Products become multiplication constraints on whole numbers, so bounds must stay within 64 bits.
"""

from __future__ import annotations

from fractions import Fraction
from math import lcm, prod

from countwheel.search.problem import Problem, Sum, Whole
from ortools.sat.python import cp_model


class _Kept(cp_model.CpSolverSolutionCallback):
    def __init__(self, unknowns: list[cp_model.IntVar]) -> None:
        super().__init__()
        self.unknowns = unknowns
        self.found: list[tuple[int, ...]] = []

    def on_solution_callback(self) -> None:
        self.found.append(tuple(self.value(one) for one in self.unknowns))


class Model:
    """A problem as CP-SAT's own model."""

    def __init__(self, problem: Problem) -> None:
        self.model = cp_model.CpModel()
        self.domains = {unknown.name: unknown.domain for unknown in problem.unknowns}
        self.unknowns = {
            name: self.model.new_int_var_from_domain(cp_model.Domain.from_values(domain), name)
            for name, domain in problem.unknowns
        }
        for rule in problem.rules:
            if isinstance(rule, Sum):
                self._sum(rule)
                continue
            sign = 1 if rule.factor > 0 else -1
            above, most_above = self._product([pair for pair in rule.powers if pair[1] > 0])
            below, _ = self._product([pair for pair in rule.powers if pair[1] < 0])
            factor = rule.factor * sign
            if isinstance(rule, Whole):
                if not factor:
                    continue
                times = self.model.new_int_var(1, factor.numerator * most_above, "")
                both = self.model.new_int_var(1, factor.numerator * most_above, "")
                self.model.add_multiplication_equality(both, [times, below])
                self.model.add(factor.numerator * above == factor.denominator * both)
                continue
            low, high = sorted((rule.low * sign, rule.high * sign))
            self.model.add(
                factor.numerator * low.denominator * above >= low.numerator * factor.denominator * below
            )
            self.model.add(
                factor.numerator * high.denominator * above <= high.numerator * factor.denominator * below
            )

    def _product(self, powers: list[tuple[str, int]]) -> tuple[cp_model.IntVar, int]:
        most = prod(self.domains[name][-1] ** abs(power) for name, power in powers)
        made = self.model.new_int_var(1, most, "")
        factors = [self.unknowns[name] for name, power in powers for _ in range(abs(power))]
        self.model.add_multiplication_equality(made, factors or [1])
        return made, most

    def _sum(self, rule: Sum) -> None:
        given = [weight for _, weight in rule.weights]
        scale = lcm(*(one.denominator for one in (*given, rule.offset, rule.low, rule.high)))
        total = sum(int(weight * scale) * self.unknowns[name] for name, weight in rule.weights)
        self.model.add_linear_constraint(total, _whole(rule.low, rule, scale), _whole(rule.high, rule, scale))

    def solutions(self) -> list[tuple[int, ...]]:
        """All of them, in ascending order."""
        kept = _Kept(list(self.unknowns.values()))
        solver = cp_model.CpSolver()
        solver.parameters.enumerate_all_solutions = True
        solver.parameters.num_workers = 1
        status = solver.solve(self.model, kept)
        assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
        return sorted(kept.found)


def _whole(bound: Fraction, rule: Sum, scale: int) -> int:
    return int((bound - rule.offset) * scale)
