"""Which one measurement would tell the candidates apart best: by how many would be left of them, on the average."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from countwheel.figures.places import Place
from countwheel.search.evidence import Judge, Judged
from countwheel.search.lost import Lost
from countwheel.search.problem import value

# Minutes that a careful person takes for it at the movement (our own judgement; common practice, no source).
MINUTES = {"count": 5, "diameter": 8, "centre distance": 10, "beat": 20}
# Standard uncertainty of what such a measurement gives, relative: callipers over worn teeth; between pivot
# holes, with the module by the mate's diameter; beats counted for ten minutes against a watch.
SIZE_U, APART_U, BEAT_U = 0.005, 0.008, 0.0005
# Two candidates are told apart where they lie farther apart than this many standard uncertainties.
APART = 3.0


@dataclass(frozen=True, slots=True)
class Measurement:
    """Something to measure, what it would leave of the candidates on the average, and how long it takes.

    `what` for the keeper; `path` the part; `tolerance` how well it need be done, relative (0: a count).
    """

    kind: str
    path: str
    what: str
    left: float
    minutes: int
    tolerance: float


def measurements(judge: Judge, candidates: Sequence[Judged]) -> tuple[Measurement, ...]:
    """Those that would leave fewer than there are, the best first; at equal worth the quicker one first."""
    if len(candidates) < 2:
        return ()
    found = []
    for kind, path, what, values, u in _possible(judge, candidates):
        left = expected_left(values, [one.weight for one in candidates], u)
        if left < len(candidates) - 1e-9:
            found.append(Measurement(kind, path, what, left, MINUTES[kind], _enough(values, u)))
    return tuple(sorted(found, key=lambda one: (round(one.left, 6), one.minutes, one.path)))


def expected_left(values: Sequence[float], weights: Sequence[float], u: Sequence[float]) -> float:
    """How many candidates are left on the average: those whose value lies within reach of the true one's.

    `u` is the standard uncertainty of measuring each value. The true one is any, by its weight.
    """
    ordered = sorted(values)
    total = math.fsum(weights)
    left = 0.0
    for middle, weight, spread in zip(values, weights, u, strict=True):
        reach = APART * spread + 1e-9
        left += weight * (bisect_right(ordered, middle + reach) - bisect_left(ordered, middle - reach))
    return left / total if total else float(len(values))


def _enough(values: Sequence[float], u: Sequence[float]) -> float:
    """The relative half-width that still tells the nearest two values apart; 0 for a count."""
    if not any(u):
        return 0.0
    ordered = sorted(set(values))
    gaps = [above - below for below, above in pairwise(ordered)]
    return min(gaps) / 2 / ordered[-1] if gaps else 0.0


Possible = tuple[str, str, str, list[float], list[float]]


def _possible(judge: Judge, candidates: Sequence[Judged]) -> Iterator[Possible]:
    for one in judge.group.lost:
        counts = [float(candidate.counts[one.name]) for candidate in candidates]
        if one.gone or len(set(counts)) < 2:
            continue
        yield "count", one.name, f"count the {one.word}", counts, [0.0] * len(counts)
        if one.place.node is not None and one.place.node.word in ("wheel", "escape wheel"):
            beyond = [count + 2 for count in counts]
            yield (
                "diameter",
                one.name,
                "measure it across, and its mate across and by its count, which gives the module",
                beyond,
                [SIZE_U * count for count in beyond],
            )
    yield from _between_arbors(judge, candidates)
    for rule in judge.group.rules:
        if rule.closing is not None and rule.closing.kind == "beats":
            values = [float(value(rule.rule, one.counts)) for one in candidates]
            if len(set(values)) > 1:
                yield (
                    "beat",
                    "pendulum.beat",
                    "time the beat: count beats for ten minutes or more against a good watch",
                    values,
                    [BEAT_U * seconds for seconds in values],
                )


def _between_arbors(judge: Judge, candidates: Sequence[Judged]) -> Iterable[Possible]:
    """The pivot holes are there even where the wheel is lost."""
    by_key: dict[object, Lost] = {one.place.key: one for one in judge.group.lost}
    for _, mesh in judge.meshes:
        if mesh.form not in ("external", "lantern"):
            continue
        sums = [0.0] * len(candidates)
        for gear in (mesh.driver, mesh.driven):
            one = by_key.get(Place(gear.node, "teeth", "").key)
            for at, candidate in enumerate(candidates):
                sums[at] += candidate.counts[one.name] if one is not None else gear.teeth or 0
        if len(set(sums)) > 1:
            what = (
                f"measure the distance between the centres of {mesh.driver_arbor} and {mesh.driven_arbor},"
                " and the module by the diameter and count of one of the two"
            )
            yield "centre distance", mesh.path, what, sums, [APART_U * value for value in sums]
