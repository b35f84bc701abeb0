"""From facts to a clock: what each train carries and does, how each dial is reached.

What cannot be linked because a fact is unknown or could not be read is left
out without a word; it has been told already.
"""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.model.clock import Arbor, Clock, Dial, Gear, LeadingOff, LeadStep, Role, Train
from countwheel.model.node import Node, slug
from countwheel.model.values import Absent
from countwheel.resolve.gearing import mesh_train

LEAST_LEAVES = (
    4  # old dial work has pinions of four; nothing in a clock has three (common practice, no source)
)
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
    for node in _there(root.all("train")):
        told: list[Diagnostic] = []
        trains.append(_train(node, told))
        name = trains[-1].name
        sound = name not in damaged and "*" not in damaged
        report += [one for one in told if sound or one.code not in _UNDRIVEN]
        doubtful.update({name} if told else ())
    trains = _with_escapement(trains, root.get("escapement"))
    ways = tuple(_leading_off(node, root) for node in _there(root.all("leading off")))
    dials = tuple(_dial(node, root, ways) for node in _there(root.all("dial")))
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


def _there(nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    """Those that are not said to be none (`no fly`)."""
    return tuple(node for node in nodes if not isinstance(node.value, Absent))


# -- trains --------------------------------------------------------------------


def _train(node: Node, report: list[Diagnostic]) -> Train:
    arbors = tuple(_arbor(fact, report) for fact in _there(node.all("arbor")))
    meshes = mesh_train(node, arbors, report)
    return Train(
        name=slug(node.label or ""), role=_role(node, arbors), node=node, arbors=arbors, meshes=meshes
    )


def _with_escapement(trains: list[Train], escapement: Node | None) -> list[Train]:
    """Pins or legs stated under the escapement belong to the escape arbor: the one so called, else the last."""
    fact = next((f for f in escapement.facts if f.word in ("pins", "legs")), None) if escapement else None
    going = next((train for train in trains if train.role == "going"), None)
    if fact is None or going is None or going.escape_arbor is not None or not going.arbors:
        return trains
    last = going.arbor("escape") or going.arbors[-1]
    arbors = tuple(
        arbor.model_copy(update={"escape": fact}) if arbor is last else arbor for arbor in going.arbors
    )
    return [train.model_copy(update={"arbors": arbors}) if train is going else train for train in trains]


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
    facts = _there(node.facts)
    gears = tuple(_gear(fact, report) for fact in facts if fact.word in ("wheel", "pinion"))
    escape = next((fact for fact in facts if fact.word in _ESCAPES), None)
    if escape is not None and escape.word == "escape wheel":
        _few_teeth(escape, report)
    return Arbor(
        name=slug(node.label or ""),
        path=node.path,
        node=node,
        gears=gears,
        barrel=next((fact for fact in facts if fact.word == "barrel"), None),
        escape=escape,
        fly=next((fact for fact in facts if fact.word == "fly"), None),
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
