"""Where the arbors of a train stand in its face view: those that mesh as far apart as their circles ask, the others
as clear of one another as may be. Nothing here is drawn."""

from __future__ import annotations

from math import cos, hypot, radians, sin
from typing import NamedTuple

from countwheel.emit.pitch_sizes import Sizes, barrel_circle, escape_circle
from countwheel.emit.stated import fact, there
from countwheel.emit.train_tree import Pair, Tree
from countwheel.model.clock import Arbor, Clock

#: How far from upright the line of arbors leans, to one side and the other, in degrees. In the upright frames the
#: arbors stand above one another; elsewhere they stand in a zigzag. Common practice, no source.
_LEAN = {"birdcage": 8.0, "gothic": 8.0, "plate and spacer": 20.0}
_LEAN_ELSE = 35.0
_BRANCHES = (-40.0, 220.0, 270.0, 0.0, 180.0)
_STEP = 10


class Stood(NamedTuple):
    """An arbor in its place: mm of the clock to the right and upwards; `reach` is its largest circle."""

    arbor: Arbor
    x: float
    y: float
    reach: float


class Crossing(NamedTuple):
    """A pair at a right angle: the driven arbor leaves its driver in the direction `angle`, in degrees."""

    pair: Pair
    angle: float
    long: float


class Face(NamedTuple):
    stood: dict[str, Stood]
    pairs: tuple[Pair, ...]
    crossings: tuple[Crossing, ...]


def reach(sizes: Sizes, arbor: Arbor) -> float:
    """The largest circle on an arbor."""
    found = [sizes.largest(arbor), plate_radius(sizes, arbor)]
    if there(arbor.barrel):
        found.append(barrel_circle(sizes, arbor).radius)
    if there(arbor.escape):
        found.append(escape_circle(sizes, arbor).radius)
    return max(found) or sizes.taken * 5


def plate_radius(sizes: Sizes, arbor: Arbor) -> float:
    """Half across a count wheel or a chime barrel, where that is recorded; else 0."""
    if arbor.node.word not in ("count wheel", "chime barrel"):
        return 0.0
    return (sizes.length(fact(arbor.node, "diameter")) or 0.0) / 2


def pallet_distance(clock: Clock, sizes: Sizes, arbor: Arbor) -> tuple[float, bool]:
    """From the escape arbor to that of the pallets, and whether that is recorded."""
    far = sizes.length(fact(clock.escapement, "pallet centre distance"))
    radius = escape_circle(sizes, arbor).radius
    return (far, True) if far and far > radius else (1.4 * radius, False)


def lay_out(tree: Tree, sizes: Sizes, roots: tuple[Arbor, ...], frame: str) -> Face:
    """The places of all arbors that stand side by side with the roots, and the pairs between them."""
    lean = _LEAN.get(frame, _LEAN_ELSE)
    stood: dict[str, Stood] = {}
    pairs: list[Pair] = []
    across: list[Pair] = []
    for root in roots:
        wide = reach(sizes, root)
        # A second arbor that nothing is known to drive stands below and to the right of all the rest.
        x = max((one.x + one.reach for one in stood.values()), default=-wide) + wide
        y = min((one.y - one.reach for one in stood.values()), default=-wide) + wide
        stood[root.path] = Stood(root, x if stood else 0.0, y if stood else 0.0, wide)
        todo = [(pair, at, 1, True) for at, pair in enumerate(tree.pairs_of(root))]
        while todo:
            pair, at, side, main = todo.pop(0)
            if pair.way == "across":
                across.append(pair)
                continue
            main = main and at == 0
            wanted = 90 + side * lean if main else _BRANCHES[at % len(_BRANCHES)]
            stood[pair.driven.path] = _stand(pair, sizes, stood, wanted)
            pairs.append(pair)
            after = [(one, k, -side, main) for k, one in enumerate(tree.pairs_of(pair.driven))]
            todo = after[:1] + todo + after[1:] if main else todo + after
    crossings = tuple(_cross(pair, sizes, stood) for pair in across)
    return Face(stood, tuple(pairs), crossings)


def _stand(pair: Pair, sizes: Sizes, stood: dict[str, Stood], wanted: float) -> Stood:
    driver = stood[pair.driver.path]
    far, wide = sizes.distance(pair).radius, reach(sizes, pair.driven)
    best: tuple[float, Stood] | None = None
    for turn in range(0, 360, _STEP):
        angle = radians(wanted + turn)
        here = Stood(pair.driven, driver.x + far * cos(angle), driver.y + far * sin(angle), wide)
        off = min(turn, 360 - turn) / 180
        cost = off + sum(_crowding(here, other) for other in stood.values() if other is not driver)
        if best is None or cost < best[0] - 1e-9:
            best = cost, here
    assert best is not None
    return best[1]


def _crowding(one: Stood, other: Stood) -> float:
    """How much two circles lie over one another, and more where one hides the middle of the other."""
    apart = hypot(one.x - other.x, one.y - other.y)
    over = max(0.0, one.reach + other.reach - apart) / min(one.reach, other.reach)
    return 0.6 * min(over, 2.0) + (2.0 if apart < 0.35 * max(one.reach, other.reach) else 0.0)


def _cross(pair: Pair, sizes: Sizes, stood: dict[str, Stood]) -> Crossing:
    """The direction in which a crossing arbor meets the fewest circles."""
    driver = stood[pair.driver.path]
    long = crossing_length(pair, sizes)
    best = (float("inf"), 0.0)
    for angle in range(0, 360, 30):
        x, y = (
            driver.x + (driver.reach + long / 2) * cos(radians(angle)),
            driver.y + (driver.reach + long / 2) * sin(radians(angle)),
        )
        here = Stood(pair.driven, x, y, long / 2 + crossing_width(pair, sizes))
        cost = sum(_crowding(here, other) for other in stood.values() if other is not driver)
        best = min(best, (cost, float(angle)))
    return Crossing(pair, best[1], long)


def crossing_width(pair: Pair, sizes: Sizes) -> float:
    """Half of how wide a crossing arbor is with what it carries, seen edge-on."""
    if pair.mesh.form == "worm":
        return sizes.taken * 2
    escape = escape_circle(sizes, pair.driven).radius if there(pair.driven.escape) else 0.0
    return max(sizes.of(pair.driven, pair.mesh.driven).radius, escape)


def crossing_length(pair: Pair, sizes: Sizes) -> float:
    """How far a crossing arbor is drawn out from the rim of its driver."""
    radius = sizes.of(pair.driven, pair.mesh.driven).radius
    if pair.mesh.form == "worm":
        return 2 * radius
    return max(radius, sizes.of(pair.driver, pair.mesh.driver).radius * 0.5)
