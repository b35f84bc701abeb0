"""What drives what in a train, as a tree: the main line from the power on, and what branches off it.

The count wheel and the chime barrel stand in the model as facts of the train. Drawn to scale they are arbors like
the others, so they are made such here.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from countwheel.emit.draw_sheet import arbor_of
from countwheel.emit.graph_words import part, said
from countwheel.emit.stated import fact
from countwheel.model.clock import Arbor, Gear, Mesh, Train
from countwheel.model.node import Node

#: How the two arbors of a pair stand: side by side, with a cord between them, or at a right angle.
Way = Literal["parallel", "cord", "across"]
_ACROSS = frozenset({"bevel", "contrate", "worm"})
_CORDS = frozenset({"chain", "open cord", "crossed cord"})


class Pair(NamedTuple):
    """A mesh with its two arbors."""

    mesh: Mesh
    driver: Arbor
    driven: Arbor

    @property
    def way(self) -> Way:
        form = self.mesh.form
        return "across" if form in _ACROSS else "cord" if form in _CORDS else "parallel"


class Tree(NamedTuple):
    """`roots` are the arbors that nothing is known to drive; `below` has the pairs of each driver by its
    path, the one that leads on to the escapement or the fly first."""

    arbors: tuple[Arbor, ...]
    roots: tuple[Arbor, ...]
    below: dict[str, tuple[Pair, ...]]

    def pairs_of(self, arbor: Arbor) -> tuple[Pair, ...]:
        return self.below.get(arbor.path, ())

    def main_line(self, arbor: Arbor) -> list[Pair]:
        """The pairs from the arbor on to the end of the train, as long as the arbors lie side by side."""
        line: list[Pair] = []
        while (found := self.pairs_of(arbor)) and found[0].way != "across":
            line.append(found[0])
            arbor = found[0].driven
        return line


def tree_of(train: Train) -> Tree:
    """The tree of a train; an arbor that two are stated to drive hangs on the first of them."""
    arbors: dict[str, Arbor] = {}
    for arbor in train.arbors:
        arbors.setdefault(arbor.path, arbor)
    pairs: dict[str, list[Pair]] = {}
    held: set[str] = set()
    for mesh in train.meshes:
        driver, driven = arbor_of(train, mesh.driver_arbor), arbor_of(train, mesh.driven_arbor)
        if driver is None or driven is None or driven.path in held or _reaches(pairs, driven, driver):
            continue
        held.add(driven.path)
        pairs.setdefault(driver.path, []).append(Pair(mesh, driver, driven))
    for pair in _counting(train):
        arbors[pair.driven.path] = pair.driven
        held.add(pair.driven.path)
        pairs.setdefault(pair.driver.path, []).append(pair)
    below = {path: tuple(sorted(found, key=lambda pair: _rank(pairs, pair))) for path, found in pairs.items()}
    roots = tuple(arbor for arbor in arbors.values() if arbor.path not in held)
    return Tree(tuple(arbors.values()), roots, below)


def _reaches(pairs: dict[str, list[Pair]], arbor: Arbor, wanted: Arbor) -> bool:
    return arbor.path == wanted.path or any(
        _reaches(pairs, pair.driven, wanted) for pair in pairs.get(arbor.path, ())
    )


def _rank(pairs: dict[str, list[Pair]], pair: Pair) -> tuple[bool, int]:
    """What leads to the escapement or the fly goes first, then what leads furthest."""
    line = _all_after(pairs, pair.driven)
    return (not any(arbor.escape or arbor.fly for arbor in line), -len(line))


def _all_after(pairs: dict[str, list[Pair]], arbor: Arbor) -> list[Arbor]:
    return [arbor, *(one for pair in pairs.get(arbor.path, ()) for one in _all_after(pairs, pair.driven))]


# -- what counts and what plays --------------------------------------------------
def _counting(train: Train) -> list[Pair]:
    found: list[Pair] = []
    for word, label, gears in (("count wheel", "count", "count"), ("chime barrel", "chime", "gear")):
        node = fact(train.node, word)
        if node is None:
            continue
        counts = fact(node, gears)
        driven = part(counts, "driven") or said(fact(node, "wheel"))
        held = _driver(train, said(fact(node, "driven by")), label, part(counts, "driver"))
        if held is not None:
            found.append(_as_pair(train, word, node, held, driven))
    return found


def _driver(train: Train, path: str, label: str, count: str) -> tuple[Arbor, Gear] | None:
    """The arbor and its gear that drive: the gear named, else the one so labelled, else the one of that count."""
    named = arbor_of(train, path) if path else None
    arbors = (named,) if named is not None else train.arbors
    gears = [(arbor, gear) for arbor in arbors for gear in arbor.gears]
    for fits in (
        [one for one in gears if path and one[1].path == path],
        [one for one in gears if one[1].label == label],
        [one for one in gears if named is not None and count and str(one[1].teeth) == count],
    ):
        if fits:
            return fits[0]
    return None


def _as_pair(train: Train, word: str, node: Node, held: tuple[Arbor, Gear], driven: str) -> Pair:
    teeth = int(driven) if driven.isdigit() else None
    path = f"{node.path}.wheel"
    gear_node = fact(node, "wheel") or fact(node, "count") or fact(node, "gear") or node
    gear = Gear(path=path, kind="wheel", label=None, form="external", teeth=teeth, node=gear_node)
    arbor = Arbor(name=word, path=node.path, node=node, gears=(gear,))
    mesh = Mesh(
        name=word, path=node.path, driver_arbor=held[0].path, driven_arbor=node.path,
        driver=held[1], driven=gear, form="external", reverses=True,
    )  # fmt: skip
    return Pair(mesh, held[0], arbor)
