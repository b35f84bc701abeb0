"""The whole clock, linked: trains with their arbors and meshes, dials with the way to them.

Everything here points back at the facts (`node`) it was made from, so that
evidence, tolerance and place are never lost.
"""

from __future__ import annotations

from functools import cached_property
from typing import Literal

from countwheel.model.node import Node
from countwheel.model.values import Frozen

Sense = Literal["clockwise", "anticlockwise"]
Role = Literal["going", "strike", "chime", "other"]


class Gear(Frozen):
    """A wheel, a pinion, a lantern, a worm... on an arbor. `teeth` is None while unknown.

    `form`: external (the default), internal, contrate, bevel, worm, lantern, chain, crossed cord.
    """

    path: str
    kind: Literal["wheel", "pinion"]
    label: str | None
    form: str
    teeth: int | None
    node: Node


class Arbor(Frozen):
    """One arbor: `name` is its own, `path` is `train.name`."""

    name: str
    path: str
    node: Node
    gears: tuple[Gear, ...] = ()
    barrel: Node | None = None
    escape: Node | None = None  # the escape wheel, its pins or the legs: the fact itself
    fly: Node | None = None


class Mesh(Frozen):
    """`driver` turns `driven`. `name` is DRIVER_DRIVEN by arbor; `path` is `train.name`.

    `reverses` is False for internal gears, chains and open cords, True for
    external ones, None where a drawing of the axes is needed to know (bevel, worm, contrate).
    """

    name: str
    path: str
    driver_arbor: str
    driven_arbor: str
    driver: Gear
    driven: Gear
    form: str
    reverses: bool | None


class Train(Frozen):
    """A train from its power to its escape wheel or fly, arbors in the order written."""

    name: str
    role: Role
    node: Node
    arbors: tuple[Arbor, ...]
    meshes: tuple[Mesh, ...]

    @cached_property
    def by_path(self) -> dict[str, Arbor]:
        """Its arbors by their paths; the first where one path is given twice."""
        return {arbor.path: arbor for arbor in reversed(self.arbors)}

    def arbor(self, name: str) -> Arbor | None:
        return next((arbor for arbor in self.arbors if arbor.name == name), None)

    def fact(self, word: str) -> Node | None:
        """A fact of the train as a whole (`winding`, `count wheel`), whether it stands under the train or an arbor."""
        found = self.node.get(word)
        if found is None:
            found = next((arbor.node.get(word) for arbor in self.arbors if arbor.node.get(word)), None)
        return found

    def facts(self, word: str) -> tuple[Node, ...]:
        """Every fact of that word (`hammer`), under the train first, then under its arbors in their order."""
        return self.node.all(word) + tuple(fact for arbor in self.arbors for fact in arbor.node.all(word))

    def neighbours(self) -> dict[str, list[tuple[Mesh, str, bool]]]:
        """For each arbor the meshes it has: the mesh, the arbor at its other side, whether that one is driven."""
        found: dict[str, list[tuple[Mesh, str, bool]]] = {arbor.path: [] for arbor in self.arbors}
        for mesh in self.meshes:
            found.setdefault(mesh.driver_arbor, []).append((mesh, mesh.driven_arbor, True))
            found.setdefault(mesh.driven_arbor, []).append((mesh, mesh.driver_arbor, False))
        return found

    @property
    def barrel(self) -> Node | None:
        """The barrel's own facts (diameter, line, weight...)."""
        return next((arbor.barrel for arbor in self.arbors if arbor.barrel), None)

    @property
    def barrel_arbor(self) -> Arbor | None:
        return next((arbor for arbor in self.arbors if arbor.barrel), None)

    @property
    def escape_arbor(self) -> Arbor | None:
        return next((arbor for arbor in self.arbors if arbor.escape), None)


class LeadStep(Frozen):
    """One step of the way from the movement to the dials, in the order written.

    `kind`: bevel, central bevel, shaft, joint. `node` holds its facts.
    """

    kind: Literal["bevel", "central bevel", "shaft", "joint", "gear"]
    node: Node


class LeadingOff(Frozen):
    """The leading-off work: from which arbor, through which steps, to which dials (by name)."""

    node: Node
    from_path: str | None
    steps: tuple[LeadStep, ...]
    dials: tuple[str, ...]


class Dial(Frozen):
    """One dial. `name` is '' where the clock has one dial and it was given no name."""

    name: str
    path: str
    node: Node
    motion_work: Node | None
    leading_off: LeadingOff | None


class Expectation(Frozen):
    """What the keeper relies on: a figure's id (or several), a comparison, a value.

    `comparison`: 'is', 'at least', 'at most'. `target` is in the SI unit of
    `unit`'s dimension, or a word such as 'clockwise'.
    """

    node: Node
    figures: tuple[str, ...]
    comparison: Literal["is", "at least", "at most"]
    target: float | str
    unit: str
    written: str
    slack: float = 0.0  # what the keeper allows on top of the uncertainty, in the unit of `target`


class Clock(Frozen):
    """A whole description, resolved. `root` is the tree of facts; the rest are views of it."""

    name: str
    file: str
    root: Node
    trains: tuple[Train, ...] = ()
    dials: tuple[Dial, ...] = ()
    leading_off: tuple[LeadingOff, ...] = ()
    expectations: tuple[Expectation, ...] = ()
    # Trains whose lines had a fault that leaves their wheels in doubt (`*`: some train, not known which).
    damaged: frozenset[str] = frozenset()

    def is_sound(self, train: str) -> bool:
        """Whether what the wheels of a train do can be judged: none of its lines had to be left out."""
        return train not in self.damaged and "*" not in self.damaged

    def fact(self, *words: str) -> Node | None:
        return self.root.get(*words)

    @property
    def place(self) -> Node | None:
        return self.root.get("clock", "place")

    @property
    def pendulum(self) -> Node | None:
        return self.root.get("pendulum")

    @property
    def escapement(self) -> Node | None:
        return self.root.get("escapement")

    def train(self, role_or_name: str) -> Train | None:
        """A train by its name, else the first with that role."""
        for train in self.trains:
            if train.name == role_or_name:
                return train
        return next((train for train in self.trains if train.role == role_or_name), None)

    def trains_of(self, role: Role) -> tuple[Train, ...]:
        return tuple(train for train in self.trains if train.role == role)
