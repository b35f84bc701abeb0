"""Which gear turns which, within one train.

Each arbor's pinion meshes with the wheel of the arbor before it, unless
`driven by` (under the arbor or under the gear that is driven) or `drives`
(under the gear that drives) says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.model.clock import Arbor, Gear, Mesh
from countwheel.model.node import Node, slug

_REVERSES = {
    "external": True,
    "lantern": True,
    "crossed cord": True,
    "internal": False,
    "chain": False,
    "open cord": False,
}
# Labels by which a gear plainly drives something else and is not the one by which its arbor is driven.
_DRIVERS = ("count", "cannon", "report")


@dataclass(frozen=True, slots=True)
class _Said:
    """A line that names the two sides of a mesh: the driver's arbor and gear, the driven gear where it is told."""

    fact: Node
    path: str
    driver: Gear | None = None
    driven: Gear | None = None
    means: str | None = None


def mesh_train(node: Node, arbors: tuple[Arbor, ...], report: list[Diagnostic]) -> tuple[Mesh, ...]:
    """The meshes of a train, in the order of the driven arbors; what cannot be driven goes to the report."""
    return _Gearing(node, arbors, report).run()


class _Gearing:
    def __init__(self, node: Node, arbors: tuple[Arbor, ...], report: list[Diagnostic]) -> None:
        self.node = node
        self.arbors = arbors
        self.report = report
        self.called: dict[str, Arbor] = {}  # the arbor that a path or a name means
        self.gears: dict[str, Gear] = {}
        for arbor in arbors:
            for name in (arbor.path, arbor.name, *(gear.path for gear in arbor.gears)):
                self.called.setdefault(name, arbor)
            for gear in arbor.gears:
                self.gears.setdefault(gear.path, gear)
        self.said = self._gather()
        self.taken = {one.driver.path for several in self.said.values() for one in several if one.driver}

    def _gather(self) -> dict[str, list[_Said]]:
        """What is said of drivers, by the path of the driven arbor."""
        found: dict[str, list[_Said]] = {}
        for arbor in self.arbors:
            for fact in arbor.node.all("driven by"):
                path = (fact.text() or "").lower()
                one = _Said(fact, path, self.gears.get(path), None, fact.text(part="means"))
                found.setdefault(arbor.path, []).append(one)
            for gear in arbor.gears:
                for fact in gear.node.all("driven by"):
                    path = (fact.text() or "").lower()
                    found.setdefault(arbor.path, []).append(_Said(fact, path, self.gears.get(path), gear))
                for fact in gear.node.all("drives"):
                    path = (fact.text() or "").lower()
                    driven = self.called.get(path)
                    if driven is not None and driven is not arbor:
                        one = _Said(fact, arbor.path, gear, self.gears.get(path))
                        found.setdefault(driven.path, []).append(one)
        return found

    def run(self) -> tuple[Mesh, ...]:
        found: list[Mesh | None] = []
        for index, arbor in enumerate(self.arbors):
            if arbor.path in self.said:
                found += [self._as_said(arbor, one) for one in self.said[arbor.path]]
            elif index:
                found.append(self._next_to(self.arbors[index - 1], arbor))
            else:
                self._first(arbor)
        # The same pair may be told from both of its sides.
        unique = {(mesh.driver.path, mesh.driven.path): mesh for mesh in found if mesh is not None}
        meshes = tuple(unique.values())
        self._ring(meshes)
        return meshes

    def _ring(self, meshes: tuple[Mesh, ...]) -> None:
        """Tells of arbors that drive one another round in a ring, as `driven by` lines can have it."""
        drivers: dict[str, set[str]] = {}
        for mesh in meshes:
            drivers.setdefault(mesh.driven_arbor, set()).add(mesh.driver_arbor)
        drives: dict[str, list[str]] = {}
        for driven, above in drivers.items():
            for driver in above:
                drives.setdefault(driver, []).append(driven)
        # What is driven from outside, and what that drives, is taken away: a ring is left.
        free = [path for path in drives if path not in drivers]
        left = {path: len(above) for path, above in drivers.items()}
        while free:
            for path in drives.get(free.pop(), ()):
                left[path] -= 1
                if not left[path]:
                    del left[path]
                    free.append(path)
        ring = self._round({path: drivers[path] & left.keys() for path in left})
        if ring:
            arbors = [self.called[path] for path in ring]
            names = ", ".join(str(arbor.node.label) for arbor in arbors)
            self._tell(
                "M405",
                arbors[0].node,
                f"These arbors drive one another round in a ring, so nothing drives them: {names}.",
                "driven by what?",
                "look again at their `driven by` and `drives` lines",
                others=tuple(Label(arbor.node.word_span, "and this") for arbor in arbors[1:]),
            )

    def _round(self, drivers: dict[str, set[str]]) -> list[str]:
        """The arbors of one ring in the order written, found by going from driven to driver."""
        way: list[str] = []
        at = next(iter(drivers), None)
        while at is not None and at not in way:
            way.append(at)
            at = min(drivers[at])
        ring = set(way[way.index(at) :]) if at is not None else set()
        return [arbor.path for arbor in self.arbors if arbor.path in ring]

    # -- as the order tells ------------------------------------------------------

    def _first(self, arbor: Arbor) -> None:
        """A plain pinion on the first arbor is driven by nothing; one that drives something says so or has a name."""
        for gear in arbor.gears:
            plain = gear.kind == "pinion" and gear.label is None and gear.form == "external"
            if plain and not gear.node.get("drives"):
                self._tell(
                    "M403",
                    gear.node,
                    f"This pinion has no wheel to drive it: {_the(arbor)} is the first of its train.",
                    "driven by what?",
                    "write the `arbor` line above it where it belongs to another arbor",
                    "give it a name (`pinion count 20`) where it drives something itself",
                )

    def _next_to(self, before: Arbor, arbor: Arbor) -> Mesh | None:
        if is_lost(before) or is_lost(arbor):
            return None
        wheels = [gear for gear in before.gears if gear.kind == "wheel"]
        # A wheel that is said to drive another arbor may drive this one too, if there is no other.
        wheels = [gear for gear in wheels if gear.path not in self.taken] or wheels
        pinion = next(iter(_pinions(arbor)), None)
        if pinion is None:
            return self._slow(before, arbor, wheels)
        if not wheels:
            self._tell(
                "M403",
                pinion.node,
                f"This pinion has no wheel to drive it: {_the(before)} before it carries none.",
                "driven by what?",
                f"write `wheel` and its count under {_the(before)}, or `wheel ?`",
                "write `driven by` under this arbor where another wheel drives it",
                others=(Label(before.node.word_span, "no wheel here"),),
            )
            return None
        wheel = _choose(wheels)
        if wheel is None:
            self._tell(
                "M404",
                pinion.node,
                f"Several wheels of {_the(before)} could drive this pinion.",
                "which of them?",
                f"write `driven by {wheels[0].path}` under {_the(arbor)} "
                f"(there are {' or '.join(gear.path for gear in wheels)})",
                others=tuple(Label(gear.node.word_span, "one of them") for gear in wheels),
            )
            return None
        return self._mesh(before, wheel, arbor, pinion)

    def _slow(self, before: Arbor, arbor: Arbor, wheels: list[Gear]) -> Mesh | None:
        """An arbor without a pinion: a slow one, whose wheel is driven by a pinion before it, or one not driven."""
        wheel = next((gear for gear in arbor.gears if gear.kind == "wheel"), None)
        drivers = [gear for gear in before.gears if gear.kind == "pinion" and gear.label not in _DRIVERS]
        if wheel is not None and not wheels and len(drivers) == 1:
            return self._mesh(before, drivers[0], arbor, wheel)
        self._tell(
            "M405",
            arbor.node,
            f"{_this(arbor)} has no pinion, so nothing drives it.",
            "what turns this?",
            "write `pinion` and its count under it, or `pinion ?`",
            "write `driven by` and the wheel that drives it where that is another arbor's",
            others=(Label(before.node.word_span, "the arbor before it"),),
        )
        return None

    # -- as a line tells ---------------------------------------------------------

    def _as_said(self, arbor: Arbor, said: _Said) -> Mesh | None:
        before = self.called.get(said.path)
        if before is arbor:
            self._tell(
                "M405",
                said.fact,
                f"{_this(arbor)} is said to drive itself.",
                "by itself?",
                "name the arbor or the wheel that drives it",
            )
            return None
        if before is None:
            return None  # an arbor of another train, or a path that leads nowhere: the paths' own pass tells
        driver = said.driver
        if driver is None:
            pool = [gear for gear in before.gears if gear.kind == "wheel"] or list(before.gears)
            driver = _choose(pool) or next(iter(pool), None)
        if driver is None:
            self._tell(
                "M403",
                said.fact,
                f"{_this(before)} carries no wheel that could drive this one.",
                "driven by what?",
            )
            return None
        driven = said.driven or self._mate(arbor, driver)
        return self._mesh(before, driver, arbor, driven, said.means) if driven is not None else None

    def _mate(self, arbor: Arbor, driver: Gear) -> Gear | None:
        """The gear of an arbor that a driver turns: a wheel for a pinion, the plain pinion for a wheel."""
        wheels = [gear for gear in arbor.gears if gear.kind == "wheel"]
        pinions = _pinions(arbor)
        if driver.kind == "pinion" and wheels:
            return wheels[0]
        plain = [gear for gear in pinions if gear.label is None]
        if plain or (pinions and not wheels) or (wheels and not pinions):
            return (plain or pinions or wheels)[0]
        if not arbor.gears:
            self._tell(
                "M405",
                arbor.node,
                f"{_this(arbor)} has no pinion or wheel to be driven by.",
                "what turns this?",
                "write `pinion` and its count, or `pinion ?`",
            )
            return None
        if not pinions:
            return None
        self._tell(
            "M404",
            arbor.node,
            f"{_this(arbor)} could be driven by its wheel or by its pinion.",
            "which of them?",
            f"write `driven by {driver.path}` under the wheel or pinion that is driven",
            others=tuple(Label(gear.node.word_span, "one of them") for gear in (*wheels, *pinions)),
        )
        return None

    # -- both --------------------------------------------------------------------

    def _mesh(
        self, before: Arbor, driver: Gear, arbor: Arbor, driven: Gear, means: str | None = None
    ) -> Mesh:
        forms = {driver.form, driven.form}
        # teeth inside the rim say more of the sense than the pins of a lantern in them
        inside = "internal" if "internal" in forms else None
        form = means or inside or next((g.form for g in (driver, driven) if g.form != "external"), "external")
        name = f"{before.name}_{arbor.name}"
        return Mesh(
            name=name,
            path=f"{slug(self.node.label or '')}.{name}",
            driver_arbor=before.path,
            driven_arbor=arbor.path,
            driver=driver,
            driven=driven,
            form=form,
            reverses=_REVERSES.get(form),
        )

    def _tell(
        self, code: str, node: Node, message: str, label: str, *hints: str, others: tuple[Label, ...] = ()
    ) -> None:
        span = node.word_span
        self.report.append(say(code, span, message, label=label, hints=hints, others=others))


def is_lost(arbor: Arbor) -> bool:
    return arbor.node.evidence.lost or arbor.node.get("lost") is not None


def _pinions(arbor: Arbor) -> list[Gear]:
    """The pinions by which an arbor may be driven, the unlabelled first; those that plainly drive are left out."""
    pinions = [
        gear
        for gear in arbor.gears
        if gear.kind == "pinion" and gear.label not in _DRIVERS and not gear.node.get("drives")
    ]
    return sorted(pinions, key=lambda gear: gear.label is not None)


def _choose(wheels: list[Gear]) -> Gear | None:
    """The wheel that drives the next arbor: the only one, else the only one without a label or called great."""
    if len(wheels) == 1:
        return wheels[0]
    plain = [gear for gear in wheels if gear.label is None]
    named = [gear for gear in wheels if gear.label in ("great", "main", "driving")]
    return next((some[0] for some in (plain, named) if len(some) == 1), None)


def _the(arbor: Arbor) -> str:
    return f"arbor {arbor.node.label}" if arbor.node.label else "the arbor without a name"


def _this(arbor: Arbor) -> str:
    return f"Arbor {arbor.node.label}" if arbor.node.label else "This arbor"
