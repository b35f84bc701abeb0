"""One sheet of a train while it is being drawn, and the few questions that its parts ask of the model."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from countwheel.emit.graph import Box, Cell, Graph, Kind, Link, Outline
from countwheel.emit.graph_words import said, sized
from countwheel.emit.naming import Names
from countwheel.model.clock import Arbor, Train
from countwheel.model.node import Node

#: A box's key and the port that a link fastens to.
Owner = tuple[str, str]
Side = Literal["left", "right"]


@dataclass
class Sheet:
    """What has been put down so far; given out frozen by `graph`.

    A train too long for one page goes on several sheets: `arbors` are the
    paths of those that stand on this one, `first` tells whether it has the top.
    """

    train: Train
    names: Names
    arbors: frozenset[str]
    first: bool = True
    boxes: list[Box] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    taken: set[tuple[str, str]] = field(default_factory=set)

    def here(self, owner: Owner | None) -> bool:
        """Whether what leaves `owner` belongs on this sheet; what leaves from nowhere goes on the first."""
        return self.first if owner is None else owner[0] in {box.key for box in self.boxes}

    def put(
        self,
        key: str,
        lines: tuple[str, ...],
        about: str = "",
        dashed: bool = False,
        outline: Outline = "round",
    ) -> None:
        """A box of one cell: a place where power leaves the train, or comes to it. A key that is there stays so."""
        if any(box.key == key for box in self.boxes):
            return
        cell = Cell(tuple(line for line in lines if line), port="in", name=True)
        self.boxes.append(Box(key, ((cell,),), about, outline, dashed))

    def leave(
        self, owner: Owner, key: str, words: tuple[str, ...] = (), kind: Kind = "leads", side: Side = "right"
    ) -> None:
        """Power leaves `owner` for the box `key`.

        From an arbor it leaves sideways, one on each side, `side` first; from a
        wheel, or where both are taken, downwards.
        """
        box, port = owner
        sides: tuple[Side, ...] = ("right", "left") if side == "right" else ("left", "right")
        free = next((one for one in sides if (box, one) not in self.taken), None)
        if port == "arbor" and free is not None:
            self.taken.add((box, free))
            self.links.append(Link(box, key, port, "in", words, kind, beside=free))
        else:
            self.links.append(Link(box, key, "" if port == "arbor" else port, "in", words, kind))

    def arrive(self, key: str, arbor: Arbor, kind: Kind = "leads", side: Side = "right") -> None:
        """Something comes to the arbor from the box `key`, from that side or, where it is taken, from the other."""
        sides: tuple[Side, ...] = ("right", "left") if side == "right" else ("left", "right")
        free = next((one for one in sides if (arbor.path, one) not in self.taken), None)
        if free is None:
            self.links.append(Link(key, arbor.path, "in", kind=kind))
        else:
            self.taken.add((arbor.path, free))
            self.links.append(Link(key, arbor.path, "in", "arbor", kind=kind, beside=free, arrives=True))

    def graph(self) -> Graph:
        return Graph(tuple(self.boxes), tuple(self.links))


def joined(*words: str) -> str:
    return " ".join(word for word in words if word)


def owned(word: str, node: Node | None) -> str:
    """'fall 34 ft', 'fall 34 ft (told)'; '' where it is not stated."""
    return joined(word, sized(node)) if said(node) else ""


def arbor_of(train: Train, name: str) -> Arbor | None:
    """The arbor of that name or path."""
    return next((arbor for arbor in train.arbors if name in (arbor.path, arbor.name)), None)


def gear_port(path: str) -> str:
    return f"gear {path}"


def owner_of(train: Train, path: str) -> Owner | None:
    """The box and port that a path names: an arbor of this train, or a gear of one."""
    for arbor in train.arbors:
        for gear in arbor.gears:
            if path and path in (gear.path, gear.node.path):
                return arbor.path, gear_port(gear.path)
    owner = arbor_of(train, path) or arbor_of(train, path.rpartition(".")[0])
    return (owner.path, "arbor") if owner is not None else None
