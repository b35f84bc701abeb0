"""How large the wheels of a train are, for drawings to scale: what is recorded, and what is taken where nothing is."""

from __future__ import annotations

from math import pi
from statistics import median_low
from typing import NamedTuple

from countwheel.emit.graph_words import Figures, is_weak
from countwheel.emit.stated import fact, main_value
from countwheel.emit.train_tree import Pair, Tree
from countwheel.model.clock import Arbor, Gear
from countwheel.model.node import Node
from countwheel.model.values import Quantity, Unknown

#: Counts taken only so that something can be drawn, always dashed. Common practice, no source.
_TAKEN = {"wheel": 60, "pinion": 10}


class Round(NamedTuple):
    """A circle of the clock: its radius in mm of the clock, and whether that is recorded."""

    radius: float
    sure: bool


class Sizes(NamedTuple):
    """The pitch circles by the paths of arbor and gear. `true`: at least one size of tooth is recorded, so that
    lengths are in mm; else every tooth is 1 long and only proportions are true. `taken` is the module that
    stands in where none is recorded."""

    circles: dict[tuple[str, str], Round]
    true: bool
    taken: float

    def of(self, arbor: Arbor, gear: Gear) -> Round:
        return self.circles[arbor.path, gear.path]

    def largest(self, arbor: Arbor) -> float:
        return max((self.of(arbor, gear).radius for gear in arbor.gears), default=0.0)

    def distance(self, pair: Pair) -> Round:
        """Between the centres of a pair; where a cord or a chain joins them it is not known."""
        one, two = self.of(pair.driver, pair.mesh.driver), self.of(pair.driven, pair.mesh.driven)
        if pair.way == "cord":
            return Round(1.2 * (one.radius + two.radius), False)
        if pair.mesh.form == "internal":
            return Round(abs(two.radius - one.radius), one.sure and two.sure)
        return Round(one.radius + two.radius, one.sure and two.sure)

    def assumed(self) -> bool:
        return not all(one.sure for one in self.circles.values())

    def length(self, node: Node | None) -> float | None:
        """A recorded length in mm of the clock; None where it is not known or there is nothing to set it against."""
        found = millimetres(node)
        return found if self.true else None


def millimetres(node: Node | None) -> float | None:
    value = main_value(node)
    return value.si * 1000 if isinstance(value, Quantity) else None


def sizes_of(tree: Tree, figures: Figures) -> Sizes:
    """The pitch circles of all wheels and pinions of a train, each from its module and its count."""
    modules: dict[tuple[str, str], Round] = {}
    pairs = [pair for found in tree.below.values() for pair in found]
    for pair in pairs:
        ends = ((pair.driver, pair.mesh.driver), (pair.driven, pair.mesh.driven))
        figure = figures.get(f"{pair.mesh.path}.module")
        module = None
        if figure is not None and isinstance(figure.value, float | int):
            module = Round(float(figure.value), figure.standing != "assumed")
        elif pair.way == "parallel":
            module = next((own for _, gear in ends if (own := _own_module(gear, figures))), None)
        if module is not None:
            for arbor, gear in ends:
                modules.setdefault((arbor.path, gear.path), module)
    for arbor in tree.arbors:
        for gear in arbor.gears:
            module = _own_module(gear, figures)
            if module is not None:
                modules.setdefault((arbor.path, gear.path), module)
    taken = median_low([module.radius for module in modules.values()]) if modules else 1.0
    circles = {}
    for arbor in tree.arbors:
        for gear in arbor.gears:
            module = modules.get((arbor.path, gear.path), Round(taken, False))
            count, counted = _count(gear, figures)
            circles[arbor.path, gear.path] = Round(module.radius * count / 2, module.sure and counted)
    return Sizes(circles, bool(modules), taken)


def is_worm(gear: Gear) -> bool:
    """Whether it is the screw itself and not the wheel that it turns."""
    return gear.node.count("starts") is not None or (gear.form == "worm" and gear.kind == "pinion")


def _own_module(gear: Gear, figures: Figures) -> Round | None:
    """The module of a gear in mm from its own module, pitch or pitch diameter."""
    for word, factor in (("module", 1.0), ("diametral pitch", 1.0), ("circular pitch", 1 / pi)):
        node = fact(gear.node, word)
        length = millimetres(node)
        if node is not None and length:
            return Round(length * factor, not is_weak(node))
    node = fact(gear.node, "pitch diameter")
    across = millimetres(node)
    if node is not None and across:
        count, counted = _count(gear, figures)
        return Round(across / count, counted and not is_weak(node))
    return None


def _count(gear: Gear, figures: Figures) -> tuple[float, bool]:
    """The teeth of a gear, and whether they are recorded; else those deduced, or the middle of what is possible.

    The starts of a worm say nothing of how thick it is.
    """
    if is_worm(gear):
        return float(_TAKEN["pinion"]), False
    if gear.teeth:
        return float(gear.teeth), not is_weak(gear.node)
    figure = figures.get(f"{gear.node.path}.teeth")
    if figure is not None and isinstance(figure.value, float | int) and figure.value > 0:
        return float(figure.value), False
    value = main_value(gear.node)
    if isinstance(value, Unknown):
        if value.low and value.high:
            return (value.low + value.high) / 2, False
        found = value.about or next(iter(value.choices), None) or value.low or value.high
        if found:
            return float(found), False
    return float(_TAKEN[gear.kind]), False


def escape_circle(sizes: Sizes, arbor: Arbor) -> Round:
    """Half across the escape wheel, its pins or legs; as many teeth of the common size where it is not recorded."""
    node = arbor.escape
    for word in ("outside diameter", "pitch diameter"):
        across = sizes.length(fact(node, word))
        if across:
            return Round(across / 2, True)
    if node is not None and node.word == "escape wheel":
        module = millimetres(fact(node, "module"))
        return Round((module or sizes.taken) * (node.count(part="teeth") or 30) / 2, bool(module))
    return Round(sizes.taken * 20, False)


def barrel_circle(sizes: Sizes, arbor: Arbor) -> Round:
    """Half across the bare barrel; under half of its great wheel where it is not recorded."""
    across = sizes.length(fact(arbor.barrel, "diameter"))
    return (
        Round(across / 2, True) if across else Round(0.45 * (sizes.largest(arbor) or sizes.taken * 60), False)
    )
