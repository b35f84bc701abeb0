"""Depth-first search over unknowns that rules tie together.

Unknowns are chosen in a fixed order. At each, the bounds of every rule are laid on its domain by bisection, the
rest of each rule taken at its extremes; so the last unknown of an exact product is found by dividing, and the last
of an interval by bisecting. A value after which something can no longer divide is dropped on the spot.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from countwheel.search.forms import Domains, Form, Level, lay, start, unknowns

# At most this share of the steps goes into settling domains before the search.
SHARE_TO_SETTLE = 4


class Budget:
    """Steps to spend: one for each value tried or looked at, and one for each rule laid on an unknown."""

    def __init__(self, steps: int) -> None:
        self.limit = steps
        self.spent = 0


def settle(domains: Domains, forms: Sequence[Form], budget: Budget) -> list[tuple[int, ...]]:
    """The domains without the values that some rule forbids whatever the others are; an empty one: no solution.

    Goes on until nothing changes, or a share of the budget is spent: bounds can creep up on one another one by one.
    """
    settled = list(domains)
    until = budget.spent + (budget.limit - budget.spent) // SHARE_TO_SETTLE
    binds = [unknowns(one) for one in forms]
    # Rules of few unknowns forbid most; what binds many then has shorter domains to be laid on.
    few_first = sorted(range(len(forms)), key=lambda number: len(binds[number]))
    waiting = [(number, at) for number in few_first for at in binds[number]]
    so_far = start(forms)
    while waiting and budget.spent < until and all(settled):
        number, at = waiting.pop(0)
        level = Level(settled[at])
        lay(level, number, forms[number], at, {*binds[number]} - {at}, settled)
        kept, steps = level.left(so_far)
        budget.spent += steps + len(level.domain)
        if len(kept) == len(settled[at]):
            continue
        settled[at] = tuple([level.domain[place] for place in kept])
        again = [(other, of) for other, places in enumerate(binds) if at in places for of in places]
        waiting += [one for one in again if one not in waiting and one != (number, at)]
    return settled


def order(domains: Domains, forms: Sequence[Form]) -> list[int]:
    """The order to choose in: what an exact rule then leaves no choice for, else the smallest domain."""
    chosen: list[int] = []
    open_ones = list(range(len(domains)))
    binds = [({*unknowns(one)}, one.low is not None and one.low == one.high) for one in forms]

    def rank(at: int) -> tuple[bool, int, int, int]:
        bound = [(places, exact) for places, exact in binds if at in places]
        forced = any(exact and places <= {at, *chosen} for places, exact in bound)
        return not forced, len(domains[at]), -len(bound), at

    while open_ones:
        chosen.append(min(open_ones, key=rank))
        open_ones.remove(chosen[-1])
    return chosen


class Search:
    """A search over these domains, none of them empty; `run` may be steered by laying other forms on the way."""

    def __init__(self, domains: Domains, forms: Sequence[Form]) -> None:
        self.order = order(domains, forms)
        self.domains = domains
        self.places = [self.order.index(at) for at in range(len(domains))]
        self.lay(forms)

    def lay(self, forms: Sequence[Form]) -> None:
        """Lays these forms, one for each of those before, on every unknown opened from now on."""
        self.forms = forms
        self.levels = []
        for depth, at in enumerate(self.order):
            level = Level(self.domains[at])
            for number, one in enumerate(forms):
                if at in unknowns(one):
                    lay(level, number, one, at, self.order[depth + 1 :], self.domains)
            self.levels.append(level)

    def run(self, visit: Callable[[tuple[int, ...]], bool], budget: Budget) -> bool:
        """Shows each solution (values in the order of the domains) to `visit`, until that says to stop.

        True where the search went to its end, False where it was stopped or the budget ran out.
        """
        if not self.order:
            return not visit(())
        last = len(self.order) - 1
        so_far = [start(self.forms)]
        values = [0] * len(self.order)
        opened = [self._open(0, so_far[0], budget)]
        while opened:
            depth = len(opened) - 1
            level, before = self.levels[depth], so_far[depth]
            for at in opened[-1]:
                budget.spent += 1
                if budget.spent > budget.limit:
                    return False
                values[depth] = level.domain[at]
                if depth == last:
                    if visit(tuple([values[place] for place in self.places])):
                        return False
                    continue
                so_far[depth + 1 :] = [level.chosen(before, at)]
                opened.append(self._open(depth + 1, so_far[-1], budget))
                break
            else:
                opened.pop()
        return True

    def _open(self, depth: int, so_far: list[int], budget: Budget) -> Iterator[int]:
        places, steps = self.levels[depth].left(so_far)
        budget.spent += steps
        return iter(places)
