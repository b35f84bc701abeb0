"""Which wheels and pinions have to be made anew, and with what each of them works."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from countwheel.figures.places import MOTION_WORK as WHEELS
from countwheel.model.clock import Arbor, Clock, Gear, Mesh, Train
from countwheel.model.node import Node
from countwheel.model.values import Quantity

Reason = Literal["lost", "partly gone", "worn"]

_HURT = re.compile(r"\b(worn|broken|cracked|stripped|missing|gone)\b")
# 'not worn', 'no tooth is broken', 'hardly worn': nothing that a new wheel would be made for
_SPARED = re.compile(r"\b(no|not|never|nothing|none|hardly|scarcely|barely|little|slightly)\b[^.,;]*$")
# Pairs whose sizes follow from module and counts.
SPUR = ("external", "lantern")
# Pairs on arbors that lie side by side.
LEVEL = (*SPUR, "internal")


@dataclass(frozen=True, slots=True)
class Part:
    """A wheel or pinion: `reason` why it is to be made anew (None where nothing says so), the mesh that it works in.

    `mesh` is its first, of those whose sizes can be told if it has several; None where nothing meshes with it.
    """

    gear: Gear
    arbor: Arbor | None  # None in motion work, whose centres are not named
    train: Train | None
    mesh: Mesh | None
    others: tuple[Gear, ...]  # what else it meshes with
    reason: Reason | None

    @property
    def path(self) -> str:
        return self.gear.path

    @property
    def drives(self) -> bool:
        return self.mesh is not None and self.mesh.driver.path == self.path

    @property
    def mate(self) -> Gear | None:
        if self.mesh is None:
            return None
        return self.mesh.driven if self.drives else self.mesh.driver

    @property
    def mate_arbor(self) -> str:
        if self.mesh is None:
            return ""
        return self.mesh.driven_arbor if self.drives else self.mesh.driver_arbor

    @property
    def form(self) -> str:
        return self.mesh.form if self.mesh else self.gear.form


def parts_of(clock: Clock) -> tuple[Part, ...]:
    """Every wheel and pinion of the trains, in the order written, and of the motion work."""
    geared = [
        Part(gear, arbor, train, *_meshing(meshes.get(gear.path, []), gear), reason_of(gear.node, arbor.node))
        for train in clock.trains
        for meshes in (_by_gear(train),)
        for arbor in train.arbors
        for gear in arbor.gears
    ]
    owners = (clock.root, *(dial.node for dial in clock.dials))
    works = (work for owner in owners if (work := owner.get("motion work")) is not None)
    return (*geared, *(part for work in works for part in _motion_work(work)))


def _motion_work(work: Node) -> Iterator[Part]:
    """The cannon pinion drives the minute wheel, its pinion the hour wheel; or the first the last, without these."""
    cannon, minute, pinion, hour = (work.get(word) for word in WHEELS)
    direct = work.denies("minute wheel") and work.denies("minute pinion")
    for driver, driven in ((cannon, hour),) if direct else ((cannon, minute), (pinion, hour)):
        leaved, toothed = _gear(driver, "pinion"), _gear(driven, "wheel")
        mesh = None
        if leaved is not None and toothed is not None:
            mesh = Mesh(
                name=work.word,
                path=work.path,
                driver_arbor="",
                driven_arbor="",
                driver=leaved,
                driven=toothed,
                form="external",
                reverses=True,
            )
        for gear in (leaved, toothed):
            if gear is not None:
                yield Part(gear, None, None, mesh, (), reason_of(gear.node))


def _gear(node: Node | None, kind: Literal["wheel", "pinion"]) -> Gear | None:
    if node is None:
        return None
    count = node.count(part="teeth")
    return Gear(path=node.path, kind=kind, label=None, form="external", teeth=count, node=node)


def _by_gear(train: Train) -> dict[str, list[Mesh]]:
    """The meshes of each wheel and pinion by its path, in the order of the train."""
    found: dict[str, list[Mesh]] = {}
    for mesh in train.meshes:
        for path in {mesh.driver.path, mesh.driven.path}:
            found.setdefault(path, []).append(mesh)
    return found


def _meshing(meshes: list[Mesh], gear: Gear) -> tuple[Mesh | None, tuple[Gear, ...]]:
    own = sorted(meshes, key=lambda mesh: mesh.form not in SPUR)
    others = (mesh.driven if mesh.driver.path == gear.path else mesh.driver for mesh in own[1:])
    return next(iter(own), None), tuple(others)


def reason_of(node: Node, arbor: Node | None = None) -> Reason | None:
    """Why the description has it that a wheel or pinion be made anew."""
    told = (node, arbor) if arbor else (node,)
    if any(one.evidence.lost or one.get("lost") for one in told) or any(
        value.evidence.lost for value in node.values.values()
    ):
        return "lost"
    remains = node.get("remains")
    left, of = (remains.count(part=part) if remains else None for part in ("left", "of"))
    if left is not None and of is not None and left < of:
        return "partly gone"
    return "worn" if _is_hurt((node.text("condition") or "").lower()) else None


def _is_hurt(condition: str) -> bool:
    return any(not _SPARED.search(condition[: found.start()]) for found in _HURT.finditer(condition))


def mate_wanted(part: Part) -> str:
    """The path that waits for a mate, where none is known."""
    return f"{part.path}.drives" if part.arbor else f"{part.path} (mate)"


def centre_distances(part: Part) -> Iterator[Node]:
    """The distances from this part's arbor to its mate's that the description states, known ones first."""
    if part.arbor is None or part.train is None or part.mesh is None:
        return
    names = {part.arbor.path: part.mate_arbor, part.mate_arbor: part.arbor.path}
    arbors = [arbor for arbor in part.train.arbors if arbor.path in names]
    found = [
        fact
        for arbor in arbors
        for fact in arbor.node.all("centre distance")
        if _leads_to(fact, names[arbor.path], alone=part.mesh.driven_arbor == arbor.path)
    ]
    yield from sorted(found, key=lambda fact: not isinstance(fact.value, Quantity))


def _leads_to(fact: Node, arbor: str, alone: bool) -> bool:
    """Whether a distance is to that arbor; one that does not say is to the arbor that drives its own."""
    said = (fact.text(part="to") or "").lower()
    return said in (arbor, arbor.split(".")[-1]) or said.startswith(f"{arbor}.") or (alone and not said)
