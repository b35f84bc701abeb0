"""All that lost counts can be: every combination that the clock allows, ranked, or why there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatchcase

from countwheel.figures.book import Book
from countwheel.search.clash import Reason, clash
from countwheel.search.evidence import Judge, Judged
from countwheel.search.integers import nearest, solve
from countwheel.search.lost import Lost
from countwheel.search.problem import Whole, size
from countwheel.search.rules import Group, Rule, gather
from countwheel.search.separating import Measurement, measurements

MOST, STEPS = 10_000, 4_000_000
NEAREST = 5


@dataclass(frozen=True, slots=True)
class Miss:
    """Counts that keep every rule but one, what that comes to, and what the clock would gain or lose a day."""

    counts: dict[str, int]
    rule: Rule
    ratio: float
    error: float | None


@dataclass(frozen=True, slots=True)
class Clash:
    """Rules that cannot hold together, any fewer of which can, and why not (clash.Reason)."""

    rules: tuple[Rule, ...]
    reason: Reason


@dataclass(frozen=True, slots=True)
class Findings:
    """What was found for one group of lost counts that bear on one another.

    `candidates` are ranked, the likeliest first. They are all there are where `complete`; if not, `stopped`
    says what ran out: 'most' or 'steps'. Without candidates, `clashes` prove it where `complete`.
    """

    lost: tuple[Lost, ...]
    rules: tuple[Rule, ...]
    combinations: int
    candidates: tuple[Judged, ...]
    complete: bool
    stopped: str
    clashes: tuple[Clash, ...] = ()
    misses: tuple[Miss, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    weight: float = field(init=False)  # of all candidates together: summed once, since there may be 10,000

    def __post_init__(self) -> None:
        object.__setattr__(self, "weight", sum(one.weight for one in self.candidates))

    def share(self, candidate: Judged) -> float:
        """How likely a candidate is among those found, from 0 to 1, by the evidence and the habits of the trade."""
        return candidate.weight / self.weight if self.weight else 0.0


@dataclass(frozen=True, slots=True)
class Found:
    """For a whole clock; `free` are counts on which nothing that is stated bears, each with what it waits for."""

    groups: tuple[Findings, ...]
    free: tuple[tuple[Lost, tuple[str, ...]], ...]

    def only(self, patterns: Sequence[str]) -> Found:
        """The groups that hold a count whose name fits one of the patterns (shell style)."""

        def fits(one: Lost) -> bool:
            return any(fnmatchcase(one.name, pattern) for pattern in patterns)

        return Found(
            tuple(group for group in self.groups if any(fits(one) for one in group.lost)),
            tuple(pair for pair in self.free if fits(pair[0])),
        )


def find(book: Book, most: int = MOST, steps: int = STEPS) -> Found:
    """Candidates for every lost count of a clock. `most` bounds those kept, `steps` the work for each group."""
    gathered = gather(book)
    return Found(tuple(_group(book, group, most, steps) for group in gathered.groups), gathered.free)


def _group(book: Book, group: Group, most: int, steps: int) -> Findings:
    problem = group.problem
    solved = solve(problem, most, steps)
    judge = Judge(book, group)
    candidates = sorted((judge.judge(values) for values in solved.solutions), key=_rank)
    clashes: tuple[Clash, ...] = ()
    misses: tuple[Miss, ...] = ()
    if not candidates:
        misses = _misses(judge, group, steps)
        if solved.complete:
            by_name = {rule.rule.name: rule for rule in group.rules}
            clashes = tuple(
                Clash(tuple(by_name[name] for name in one.rules), one.reason)
                for one in clash(problem, steps).clashes
            )
    return Findings(
        group.lost,
        group.rules,
        size(problem),
        tuple(candidates),
        solved.complete,
        solved.stopped,
        clashes,
        misses,
        measurements(judge, candidates),
    )


def _rank(judged: Judged) -> tuple[float, tuple[int, ...]]:
    return round(judged.cost, 9), tuple(judged.counts.values())


def _misses(judge: Judge, group: Group, steps: int) -> tuple[Miss, ...]:
    """What comes nearest where one rule, that of the beat if there is one, is let go."""
    rules = sorted(
        (rule for rule in group.rules if not isinstance(rule.rule, Whole)),
        key=lambda rule: rule.closing is None or rule.closing.kind != "beats",
    )
    for rule in rules:
        found = nearest(group.problem, rule.rule.name, NEAREST, steps)
        if not found.nearest:
            continue
        names = [one.name for one in group.lost]
        made = []
        for near in found.nearest:
            counts = dict(zip(names, near.values, strict=True))
            made.append(Miss(counts, rule, float(near.miss), judge.error(rule, counts)))
        return tuple(made)
    return ()
