"""From facts to a clock: which wheel turns which pinion, which train does what, how each dial is reached.

Within a train each arbor's pinion meshes with the wheel of the arbor before
it, unless the line says `driven by`. What cannot be linked because a fact is
unknown or could not be read is left out without a word; it has been told already.
"""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.model.clock import Arbor, Clock, Dial, Gear, LeadingOff, LeadStep, Mesh, Role, Train
from countwheel.model.node import Node
from countwheel.model.values import Unknown
from countwheel.resolve.builder import slug

LEAST_LEAVES = (
    4  # old dial work has pinions of four; nothing in a clock has three (common practice, no source)
)
_REVERSES = {
    "external": True,
    "lantern": True,
    "crossed cord": True,
    "internal": False,
    "chain": False,
    "open cord": False,
}
_UNDRIVEN = ("M403", "M404", "M405")
_ESCAPES = ("escape wheel", "pins", "legs")
_STEPS = {
    "bevel": "bevel",
    "central bevel": "central bevel",
    "shaft": "shaft",
    "universal joint": "joint",
    "gear": "gear",
}


def link(root: Node, file: str, report: list[Diagnostic], damaged: frozenset[str] = frozenset()) -> Clock:
    """The clock with its trains, dials and the ways to them; what does not fit together goes to the report.

    Of trains that are `damaged` (a line of theirs had to be left out) nothing
    is said: that their wheels do not fit may only follow from it.
    """
    trains: list[Train] = []
    doubtful = set(damaged)
    for node in root.all("train"):
        told: list[Diagnostic] = []
        trains.append(_train(node, told))
        name = trains[-1].name
        sound = name not in damaged and "*" not in damaged
        report += [one for one in told if sound or one.code not in _UNDRIVEN]
        doubtful.update({name} if told else ())
    ways = tuple(_leading_off(node, root) for node in root.all("leading off"))
    dials = tuple(_dial(node, root, ways) for node in root.all("dial"))
    name = root.text("clock", "name") or "the clock"
    return Clock(
        name=name,
        file=file,
        root=root,
        trains=tuple(trains),
        dials=dials,
        leading_off=ways,
        damaged=frozenset(doubtful),
    )


# -- trains --------------------------------------------------------------------


def _train(node: Node, report: list[Diagnostic]) -> Train:
    arbors = tuple(_arbor(fact, report) for fact in node.all("arbor"))
    meshes = _meshes(node, arbors, report)
    return Train(
        name=slug(node.label or ""), role=_role(node, arbors), node=node, arbors=arbors, meshes=meshes
    )


def _role(node: Node, arbors: tuple[Arbor, ...]) -> Role:
    """What the train does: by what it carries first, by its name where that says nothing."""
    name = (node.label or "").lower()
    strikes = node.text("strikes") or ""
    wheels = [
        fact for holder in (node, *(arbor.node for arbor in arbors)) for fact in holder.all("count wheel")
    ]
    cut = next((wheel.text("cut for") or "" for wheel in wheels), "") or strikes
    if any(arbor.escape for arbor in arbors) or name in ("going", "time", "watch"):
        return "going"
    quarters = "quarter" in cut or "tang" in cut
    if (
        node.get("chime barrel")
        or node.get("quarter")
        or quarters
        or name in ("chime", "chiming", "quarter", "quarters")
    ):
        return "chime"
    holders = (node, *(arbor.node for arbor in arbors))
    if cut or any(
        holder.get(word) for holder in holders for word in ("count wheel", "rack", "hammer", "lifting pins")
    ):
        return "strike"
    return "strike" if name.startswith(("strik", "hour")) else "other"


def _arbor(node: Node, report: list[Diagnostic]) -> Arbor:
    gears = tuple(_gear(fact, report) for fact in node.facts if fact.word in ("wheel", "pinion"))
    escape = next((fact for fact in node.facts if fact.word in _ESCAPES), None)
    if escape is not None and escape.word == "escape wheel":
        _few_teeth(escape, report)
    return Arbor(
        name=slug(node.label or ""),
        path=node.path,
        node=node,
        gears=gears,
        barrel=node.get("barrel"),
        escape=escape,
        fly=node.get("fly"),
    )


def _gear(node: Node, report: list[Diagnostic]) -> Gear:
    form = node.text(part="form") or node.text(part="form2") or "external"
    if form != "worm":
        _few_teeth(node, report)
    return Gear(
        path=node.path,
        kind="pinion" if node.word == "pinion" else "wheel",
        label=node.label,
        form=form,
        teeth=node.count(part="teeth"),
        node=node,
    )


def _few_teeth(node: Node, report: list[Diagnostic]) -> None:
    teeth = node.count(part="teeth")
    if teeth is None or teeth >= LEAST_LEAVES:
        return
    what = "leaves" if node.word == "pinion" else "teeth"
    report.append(
        say(
            "M305",
            node.values["teeth"].span,
            f"A {node.word} of {teeth} {what} cannot work: there is always one leaf to take over from the last.",
            label=f"{teeth} {what}",
            hints=(
                f"count again; a {node.word} has at least {LEAST_LEAVES} {what}",
                "write `worm` before the count if it is a worm",
            ),
        )
    )


def _meshes(node: Node, arbors: tuple[Arbor, ...], report: list[Diagnostic]) -> tuple[Mesh, ...]:
    found: list[Mesh] = []
    taken = _taken(arbors)
    for index, arbor in enumerate(arbors):
        said = arbor.node.get("driven by")
        if said is not None:
            mesh = _driven_by(node, arbor, said, arbors, report)
        elif index:
            mesh = _next_to(node, arbors[index - 1], arbor, taken, report)
        else:
            mesh = None
            _first_pinion(node, arbor, report)
        if mesh is not None:
            found.append(mesh)
    return tuple(found)


def _first_pinion(node: Node, arbor: Arbor, report: list[Diagnostic]) -> None:
    """A plain pinion on the first arbor is driven by nothing; one that drives something says so or has a name."""
    for gear in arbor.gears:
        if (
            gear.kind == "pinion"
            and gear.label is None
            and gear.form == "external"
            and not gear.node.get("drives")
        ):
            report.append(
                say(
                    "M403",
                    gear.node.word_span,
                    f"This pinion has no wheel to drive it: {_the(arbor)} is the first of its train.",
                    label="driven by what?",
                    hints=(
                        "write the `arbor` line above it where it belongs to another arbor",
                        "give it a name (`pinion count 20`) where it drives something itself",
                    ),
                )
            )


def _taken(arbors: tuple[Arbor, ...]) -> set[str]:
    """Paths of wheels that another arbor is said to be driven by."""
    return {fact.text() or "" for arbor in arbors for fact in arbor.node.all("driven by")}


def _driven_gear(arbor: Arbor) -> Gear | None:
    """The pinion by which an arbor is driven: the unlabelled one, else the first; a wheel where it has no pinion."""
    pinions = [gear for gear in arbor.gears if gear.kind == "pinion" and gear.label != "count"]
    plain = [gear for gear in pinions if gear.label is None]
    if plain or pinions:
        return (plain or pinions)[0]
    return None


def _next_to(
    node: Node, before: Arbor, arbor: Arbor, taken: set[str], report: list[Diagnostic]
) -> Mesh | None:
    if (
        before.node.get("lost")
        or arbor.node.get("lost")
        or arbor.node.evidence.lost
        or before.node.evidence.lost
    ):
        return None
    pinion = _driven_gear(arbor)
    wheels = [gear for gear in before.gears if gear.kind == "wheel"]
    # A wheel that another arbor is said to be driven by may drive this one too, if there is no other.
    wheels = [gear for gear in wheels if gear.path not in taken] or wheels
    if pinion is None:
        wheel = next((gear for gear in arbor.gears if gear.kind == "wheel"), None)
        drivers = [gear for gear in before.gears if gear.kind == "pinion" and gear.label != "count"]
        # A slow arbor is driven by its wheel from a pinion before it, once that pinion is not the one being driven.
        if wheel is not None and not wheels and len(drivers) == 1:
            return _mesh(node, before, drivers[0], arbor, wheel)
        report.append(
            say(
                "M405",
                arbor.node.word_span,
                f"{_this(arbor)} has no pinion, so nothing drives it.",
                label="what turns this?",
                others=(Label(before.node.word_span, "the arbor before it"),),
                hints=(
                    "write `pinion` and its count under it, or `pinion ?`",
                    "write `driven by` and the wheel that drives it where that is another arbor's",
                ),
            )
        )
        return None
    if not wheels:
        report.append(
            say(
                "M403",
                pinion.node.word_span,
                f"This pinion has no wheel to drive it: {_the(before)} before it carries none.",
                label="driven by what?",
                others=(Label(before.node.word_span, "no wheel here"),),
                hints=(
                    f"write `wheel` and its count under {_the(before)}, or `wheel ?`",
                    "write `driven by` under this arbor where another wheel drives it",
                ),
            )
        )
        return None
    wheel = _choose(wheels)
    if wheel is None:
        names = " or ".join(gear.path for gear in wheels)
        report.append(
            say(
                "M404",
                pinion.node.word_span,
                f"Several wheels of {_the(before)} could drive this pinion.",
                label="which of them?",
                others=tuple(Label(gear.node.word_span, "one of them") for gear in wheels),
                hints=(f"write `driven by {wheels[0].path}` under {_the(arbor)} (there are {names})",),
            )
        )
        return None
    return _mesh(node, before, wheel, arbor, pinion)


def _the(arbor: Arbor) -> str:
    return f"arbor {arbor.node.label}" if arbor.node.label else "the arbor without a name"


def _this(arbor: Arbor) -> str:
    return f"Arbor {arbor.node.label}" if arbor.node.label else "This arbor"


def _choose(wheels: list[Gear]) -> Gear | None:
    """The wheel that drives the next arbor: the only one, else the only one without a label or called great."""
    if len(wheels) == 1:
        return wheels[0]
    plain = [gear for gear in wheels if gear.label is None]
    named = [gear for gear in wheels if gear.label in ("great", "main", "driving")]
    return next((some[0] for some in (plain, named) if len(some) == 1), None)


def _driven_by(
    node: Node, arbor: Arbor, said: Node, arbors: tuple[Arbor, ...], report: list[Diagnostic]
) -> Mesh | None:
    path = (said.text() or "").lower()
    means = said.text(part="means")
    for other in arbors:
        if other is arbor:
            continue
        gear = next((gear for gear in other.gears if gear.path == path), None)
        if gear is None and path in (other.path, other.name):
            pool = [g for g in other.gears if g.kind == "wheel"] or list(other.gears)
            gear = _choose(pool) or (pool[0] if pool else None)
            if gear is None:
                report.append(
                    say(
                        "M403",
                        said.span,
                        f"{_this(other)} carries no wheel that could drive this one.",
                        label="driven by what?",
                    )
                )
                return None
        if gear is not None:
            driven = _mate(arbor, gear)
            if driven is None:
                report.append(
                    say(
                        "M405",
                        arbor.node.word_span,
                        f"{_this(arbor)} has no pinion or wheel to be driven by.",
                        label="what turns this?",
                        hints=("write `pinion` and its count, or `pinion ?`",),
                    )
                )
                return None
            return _mesh(node, other, gear, arbor, driven, means)
    return None  # an arbor of another train, or a path that leads nowhere: the paths' own pass tells


def _mate(arbor: Arbor, driver: Gear) -> Gear | None:
    """The gear of an arbor that a driver named by `driven by` turns: a wheel for a pinion, a pinion for a wheel."""
    wheel = next((gear for gear in arbor.gears if gear.kind == "wheel"), None)
    first = next(iter(arbor.gears), None)
    return (wheel if driver.kind == "pinion" else None) or _driven_gear(arbor) or first


def _mesh(
    node: Node, before: Arbor, driver: Gear, arbor: Arbor, driven: Gear, means: str | None = None
) -> Mesh:
    form = means or next((g.form for g in (driver, driven) if g.form != "external"), "external")
    name = f"{before.name}_{arbor.name}"
    return Mesh(
        name=name,
        path=f"{slug(node.label or '')}.{name}",
        driver_arbor=before.path,
        driven_arbor=arbor.path,
        driver=driver,
        driven=driven,
        form=form,
        reverses=_REVERSES.get(form),
    )


# -- dials ---------------------------------------------------------------------


def _leading_off(node: Node, root: Node) -> LeadingOff:
    """The steps in the order written; what stands under a shaft (its joints) follows the shaft."""
    steps: list[LeadStep] = []
    for fact in node.facts:
        kind = _STEPS.get(fact.word)
        if kind is None:
            continue
        steps.append(LeadStep(kind=kind, node=fact))  # type: ignore[arg-type]
        steps += [LeadStep(kind="joint", node=joint) for joint in fact.all("universal joint")]
    said = node.text("to", part="dials")
    every = [slug(dial.label or "") for dial in root.all("dial")]
    ways = root.all("leading off")
    if said:
        dials = [slug(name) for name in said.split(",")]
    elif len(ways) == 1:
        own = {slug(dial.label or "") for dial in root.all("dial") if dial.get("driven by")}
        dials = [name for name in every if name not in own]
    else:
        dials = []
    return LeadingOff(
        node=node, from_path=(node.text("from") or "").lower() or None, steps=tuple(steps), dials=tuple(dials)
    )


def _dial(node: Node, root: Node, ways: tuple[LeadingOff, ...]) -> Dial:
    name = slug(node.label or "")
    way = next((way for way in ways if name in way.dials), None)
    return Dial(
        name=name,
        path=node.path,
        node=node,
        motion_work=node.get("motion work") or root.get("motion work"),
        leading_off=way,
    )


# -- paths ---------------------------------------------------------------------


def check_paths(clock: Clock, report: list[Diagnostic]) -> None:
    """Every path that a fact refers to leads to a part of this clock; the nearest is offered where it does not."""
    if "*" in clock.damaged:
        return  # a whole block had to be left out: what it named is not known
    known = {node.path.lower() for node in clock.root.walk() if node.path}
    known |= {arbor.name for train in clock.trains for arbor in train.arbors}
    for node in clock.root.walk():
        for part, names in (("value", _PATHS), ("of", ("photo", "<change>")), ("to", ("centre distance",))):
            value = node.values.get(part)
            if node.word not in names or value is None or isinstance(value, Unknown):
                continue
            path = value.written.lower()
            if path in known or (path.split(".")[0] in ("leading_off", "motion_work") and path in known):
                continue
            whole = sorted(name for name in known if "." in name)
            near = _near_path(path, whole)
            report.append(
                say(
                    "M402",
                    value.span,
                    f"There is no part of this clock called `{value.written}`.",
                    label="leads nowhere",
                    hints=(
                        (f"write {near[0]}",)
                        if near
                        else (
                            "a path is the train, the arbor and the part: going.centre, strike.barrel.weight",
                        )
                    ),
                )
            )
    bells = {slug(bell.label or "") for bell in clock.root.all("bell")}
    for node in clock.root.walk():
        if node.word == "on" and "name" in node.values:
            name = node.text(part="name") or ""
            if slug(name) not in bells:
                near = nearest(slug(name), sorted(bells))
                report.append(
                    say(
                        "M406",
                        node.values["name"].span,
                        f"There is no bell called {name}.",
                        label="which bell?",
                        hints=(f"write {near[0]}",) if near else ("write a block `bell` with that name",),
                    )
                )
    dials = {slug(dial.label or "") for dial in clock.root.all("dial")}
    for way in clock.leading_off:
        said = way.node.get("to")
        for name in way.dials:
            if said is not None and name not in dials:
                near = nearest(name, sorted(dials))
                report.append(
                    say(
                        "M406",
                        said.span,
                        f"There is no dial called {name}.",
                        label="which dial?",
                        hints=(f"write {near[0]}",) if near else (),
                    )
                )


def _near_path(path: str, known: list[str]) -> tuple[str, ...]:
    """The path most likely meant: one that ends alike in the same train, else the nearest by letters."""
    train = path.partition(".")[0]
    alike = [
        one for one in known if one.startswith(f"{train}.") and one.endswith(f".{path.rsplit('.', 1)[-1]}")
    ]
    return tuple(alike[:1]) or nearest(path, known) or nearest(path.rsplit(".", 1)[0], known)


_PATHS = ("driven by", "drives", "from", "let off by", "snail", "after", "of")
