"""Depth-first search over one group of unknowns that rules tie together.

Unknowns are chosen in a fixed order. At each, the bounds of every rule are laid on its domain by bisection, the
rest of each rule taken at its extremes; so the last unknown of an exact product is found by dividing, and the last
of an interval by bisecting. A value after which something can no longer divide is dropped on the spot.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from countwheel.search.forms import Domains, Form, Level, begin, lay, unknowns


class Budget:
    """Steps to spend: one for each value tried and one for each bound laid on an unknown."""

    def __init__(self, steps: int) -> None:
        self.limit = steps
        self.spent = 0

    def out(self) -> bool:
        return self.spent > self.limit


def groups(number: int, forms: Sequence[Form]) -> list[tuple[list[int], list[Form]]]:
    """Unknowns that rules tie together, directly or through others, each group with its rules."""
    leader = list(range(number))
    for one in forms:
        tied = {leader[at] for at in unknowns(one)}
        if len(tied) > 1:
            leader = [min(tied) if of in tied else of for of in leader]
    found: list[tuple[list[int], list[Form]]] = []
    for head in sorted(set(leader)):
        members = [at for at in range(number) if leader[at] == head]
        found.append((members, [one for one in forms if unknowns(one) and leader[unknowns(one)[0]] == head]))
    return found


def settle(domains: Domains, forms: Sequence[Form], budget: Budget) -> list[tuple[int, ...]]:
    """The domains without the values that some rule forbids whatever the others are; an empty one: no solution.

    Goes on until nothing changes, or the budget is out.
    """
    settled = list(domains)
    waiting = [(number, at) for number, one in enumerate(forms) for at in unknowns(one)]
    while waiting and not budget.out() and all(settled):
        number, at = waiting.pop(0)
        one = forms[number]
        level = Level(settled[at])
        lay(level, number, one, at, [other for other in unknowns(one) if other != at], settled)
        so_far = begin(forms)
        kept: Sequence[int] = level.within(so_far)
        budget.spent += level.cost()
        if level.divides:
            budget.spent += len(kept)
            kept = [place for place in kept if level.chosen(so_far, place) is not None]
        if len(kept) == len(settled[at]):
            continue
        settled[at] = tuple(level.domain[place] for place in kept)
        for again, form in enumerate(forms):
            if at in unknowns(form):
                waiting += [
                    (again, other)
                    for other in unknowns(form)
                    if (again, other) not in waiting and (again != number or other != at)
                ]
    return settled


def order(members: Sequence[int], domains: Domains, forms: Sequence[Form]) -> list[int]:
    """The order to choose in: what an exact rule then leaves no choice for, else the smallest domain."""
    chosen: list[int] = []
    open_ones = list(members)
    while open_ones:

        def rank(at: int) -> tuple[bool, int, int, int]:
            bound = [one for one in forms if at in unknowns(one)]
            forced = any(
                one.low == one.high and one.low is not None and {*unknowns(one)} <= {at, *chosen}
                for one in bound
            )
            return not forced, len(domains[at]), -len(bound), at

        chosen.append(min(open_ones, key=rank))
        open_ones.remove(chosen[-1])
    return chosen


class Search:
    """A group's search; `run` may be steered by laying other forms for its rules on the way."""

    def __init__(self, members: Sequence[int], domains: Domains, forms: Sequence[Form]) -> None:
        """`members` in ascending order; no domain empty."""
        self.order = order(members, domains, forms)
        self.domains = domains
        self.places = [self.order.index(at) for at in members]
        self.lay(forms)

    def lay(self, forms: Sequence[Form]) -> None:
        """Lays these forms from the next unknown opened on; each binds the same unknowns as the one it replaces."""
        self.forms = forms
        self.levels = []
        for depth, at in enumerate(self.order):
            level = Level(self.domains[at])
            for number, one in enumerate(forms):
                if at in unknowns(one):
                    lay(level, number, one, at, self.order[depth + 1 :], self.domains)
            self.levels.append(level)

    def run(self, visit: Callable[[tuple[int, ...]], bool], budget: Budget) -> bool:
        """Shows each solution (values in the order of `members`) to `visit`, until that says to stop.

        True where the search went to its end, False where it was stopped or the budget ran out.
        """
        last = len(self.order) - 1
        so_far = [begin(self.forms)]
        values = [0] * len(self.order)
        opened: list[Iterator[int]] = [iter(self._open(0, so_far[0], budget))]
        while opened:
            depth = len(opened) - 1
            level, before = self.levels[depth], so_far[depth]
            for at in opened[-1]:
                budget.spent += 1
                if budget.spent > budget.limit:
                    return False
                after = level.chosen(before, at) if depth < last or level.divides else before
                if after is None:
                    continue
                values[depth] = level.domain[at]
                if depth == last:
                    if visit(tuple([values[place] for place in self.places])):
                        return False
                    continue
                inner = self._open(depth + 1, after, budget)
                if inner:
                    so_far[depth + 1 :] = [after]
                    opened.append(iter(inner))
                    break
            else:
                opened.pop()
        return True

    def _open(self, depth: int, so_far: list[int], budget: Budget) -> range:
        level = self.levels[depth]
        budget.spent += level.cost()
        return level.within(so_far)
