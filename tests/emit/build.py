"""Clocks made by hand, without the language: the drawings are tested on the model alone."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from math import gcd

from countwheel.figures.record import Figure
from countwheel.model.clock import Arbor, Clock, Dial, Gear, LeadingOff, LeadStep, Mesh, Role, Train
from countwheel.model.node import Node
from countwheel.model.values import (
    UNSTATED,
    Absent,
    AnyValue,
    Count,
    Counts,
    Evidence,
    How,
    Number,
    Quantity,
    Unknown,
    Words,
)
from countwheel.source import Span

HERE = Span("test.movement", 0, 1)


def known(how: How, lost: bool = False) -> Evidence:
    return Evidence(how=how, lost=lost)


def count(value: int, evidence: Evidence = UNSTATED) -> Count:
    return Count(written=str(value), span=HERE, evidence=evidence, value=value)


def unknown(written: str = "?", lost: bool = False) -> Unknown:
    return Unknown(written=written, span=HERE, evidence=Evidence(lost=lost))


def size(written: str, si: float = 1.0, dimension: str = "length") -> Quantity:
    return Quantity(written=written, span=HERE, si=si, dimension=dimension, unit=written.split()[-1])


def say(text: str) -> Words:
    return Words(written=text, span=HERE, text=text)


def number(value: float) -> Number:
    return Number(written=f"{value:g}", span=HERE, value=value)


def absent() -> Absent:
    return Absent(written="no", span=HERE)


def fact(
    word: str,
    value: AnyValue | None = None,
    *facts: Node,
    path: str = "",
    label: str | None = None,
    **parts: AnyValue,
) -> Node:
    values = dict(parts) if value is None else {"value": value, **parts}
    return Node(
        word=word,
        written=word,
        path=path or word.replace(" ", "_"),
        span=HERE,
        word_span=HERE,
        label=label,
        values=values,
        evidence=value.evidence if value is not None else UNSTATED,
        facts=facts,
    )


def gear(
    kind: str,
    teeth: int | AnyValue,
    *facts: Node,
    label: str | None = None,
    form: str = "external",
    path: str = "",
) -> Gear:
    value = count(teeth) if isinstance(teeth, int) else teeth
    node = fact(kind, value, *facts, path=path, label=label)
    return Gear(
        path=path or f"{label or kind}",
        kind="pinion" if kind == "pinion" else "wheel",
        label=label,
        form=form,
        teeth=value.value if isinstance(value, Count) else None,
        node=node,
    )


def arbor(
    train: str,
    name: str,
    *gears: Gear,
    barrel: Node | None = None,
    escape: Node | None = None,
    fly: Node | None = None,
    facts: Iterable[Node] = (),
) -> Arbor:
    return Arbor(
        name=name,
        path=f"{train}.{name}",
        node=fact("arbor", None, *facts, path=f"{train}.{name}", label=name),
        gears=gears,
        barrel=barrel,
        escape=escape,
        fly=fly,
    )


def train(name: str, role: Role, arbors: tuple[Arbor, ...], *facts: Node) -> Train:
    """Meshes by the rule of the language: each arbor's first pinion with the first wheel before it."""
    meshes: list[Mesh] = []
    for before, after in pairwise(arbors):
        driver = next((gear for gear in before.gears if gear.kind == "wheel"), None)
        driven = next((gear for gear in after.gears if gear.kind == "pinion"), None)
        if driver and driven:
            key = f"{before.name}_{after.name}"
            meshes.append(
                Mesh(
                    name=key,
                    path=f"{name}.{key}",
                    driver_arbor=before.path,
                    driven_arbor=after.path,
                    driver=driver,
                    driven=driven,
                    form=driven.form,
                    reverses=True,
                )
            )
    node = fact("train", say(name), *facts, path=name, label=name)
    return Train(name=name, role=role, node=node, arbors=arbors, meshes=tuple(meshes))


def barrel(path: str, weight: str = "2 cwt 3 qr 4 lb", parts: int = 2) -> Node:
    line = fact("line", None, fact("diameter", size("6 mm")), kind=say("steel wire rope"))
    return fact(
        "barrel",
        None,
        fact("diameter", size("10 1/4 in")),
        fact("turns of line", number(17)),
        line,
        fact("parts", count(parts)),
        fact("weight", size(weight, dimension="mass")),
        fact("fall", size("34 ft")),
        path=path,
    )


def going(lost_wheel: bool = True) -> Train:
    third: AnyValue = unknown("? 60..84", lost=True) if lost_wheel else count(72)
    return train(
        "going",
        "going",
        (
            arbor(
                "going",
                "barrel",
                gear("wheel", 144, fact("module", size("4 mm")), label="great"),
                barrel=barrel("going.barrel"),
            ),
            arbor("going", "centre", gear("pinion", 12), gear("wheel", count(80, known("counted")))),
            arbor("going", "third", gear("pinion", 10), gear("wheel", third)),
            arbor(
                "going",
                "escape",
                gear("pinion", count(12, known("assumed"))),
                escape=fact("escape wheel", None, teeth=count(30)),
            ),
        ),
        fact("winding", None, fact("jack", None, driver=count(12), driven=count(96))),
    )


def strike() -> Train:
    return train(
        "strike",
        "strike",
        (
            arbor(
                "strike",
                "barrel",
                gear("wheel", 200, label="great"),
                gear("pinion", 20, label="count", path="strike.barrel.count"),
                barrel=barrel("strike.barrel", "11 cwt", 3),
                facts=(fact("lifting pins", count(20)),),
            ),
            arbor("strike", "locking", gear("pinion", 10), gear("wheel", 72)),
            arbor(
                "strike",
                "fly",
                gear("pinion", 9),
                fly=fact("fly", None, fact("vanes", count(2))),
            ),
        ),
        fact(
            "count wheel",
            None,
            fact("count", None, driver=count(20), driven=count(78)),
            fact("cut for", say("hours")),
        ),
        fact("hammer", None, fact("mass", size("38 lb")), fact("lift", size("7 in"))),
        fact("let off by", say("going.centre")),
    )


def motion_work() -> Node:
    return fact(
        "motion work",
        None,
        fact("cannon pinion", None, teeth=count(30)),
        fact("minute wheel", None, teeth=count(90)),
        fact("minute pinion", None, teeth=count(20)),
        fact("hour wheel", None, teeth=count(80)),
    )


def leading_off(dials: tuple[str, ...]) -> LeadingOff:
    bevel = fact("bevel", None, driver=count(48), driven=count(48), side=say("far"))
    shaft = fact(
        "shaft",
        None,
        fact("runs", say("up")),
        fact("length", size("14 ft")),
        path="leading_off.rise",
        label="rise",
    )
    joint = fact("universal joint", None, fact("angle", size("12 °", dimension="angle")))
    fours = Counts(written="48, 48", span=HERE, values=(48,) * len(dials))
    central = fact("central bevel", None, driver=count(48), driven=fours)
    return LeadingOff(
        node=fact("leading off", None, fact("from", say("going.centre")), path="leading_off"),
        from_path="going.centre",
        steps=(
            LeadStep(kind="bevel", node=bevel),
            LeadStep(kind="shaft", node=shaft),
            LeadStep(kind="joint", node=joint),
            LeadStep(kind="central bevel", node=central),
        ),
        dials=dials,
    )


def clock(
    trains: tuple[Train, ...] | None = None,
    dials: tuple[str, ...] = ("north", "east", "south", "west"),
    name: str = "Harbour Office clock",
    *facts: Node,
) -> Clock:
    """The clock of the language's own example, with as many dials as named."""
    ways = (leading_off(dials),) if dials else ()
    work = motion_work()
    root = fact(
        "movement",
        None,
        fact("clock", None, label=name),
        fact("escapement", None, kind=say("deadbeat")),
        fact("pendulum", None, fact("beat", size("1.25 s"))),
        work,
        *facts,
    )
    return Clock(
        name=name,
        file="test.movement",
        root=root,
        trains=(going(), strike()) if trains is None else trains,
        dials=tuple(
            Dial(
                name=dial,
                path=f"dial.{dial}",
                node=fact("dial", None, fact("diameter", size("7 ft")), path=f"dial.{dial}", label=dial),
                motion_work=work,
                leading_off=next(iter(ways), None),
            )
            for dial in dials
        ),
        leading_off=ways,
    )


def _figure(id: str, exact: Fraction | None, unit: str = "", waits: tuple[str, ...] = ()) -> Figure:
    value = None if exact is None else float(exact)
    shown = "" if exact is None else f"{float(exact):.6g}"
    return Figure(id=id, title=id, value=value, unit=unit, shown=shown, exact=exact, waits_for=waits)


def figures(of: Clock) -> dict[str, Figure]:
    """The figures that the drawings read, from the counts alone; the first arbor but one turns hourly."""
    made: list[Figure] = []
    for one in of.trains:
        ratios = {
            mesh.driven_arbor: Fraction(mesh.driver.teeth, mesh.driven.teeth)
            for mesh in one.meshes
            if mesh.driver.teeth and mesh.driven.teeth
        }
        turns: Fraction | None = Fraction(1, 12)
        for part in one.arbors:
            if part is not one.arbors[0]:
                ratio = ratios.get(part.path)
                turns = turns * ratio if turns is not None and ratio is not None else None
            waits = () if turns is not None else ("going.third.wheel",)
            made.append(_figure(f"{part.path}.turns_per_hour", turns, "turns/h", waits))
            made.append(
                Figure(
                    id=f"{part.path}.sense",
                    title="",
                    value="clockwise",
                    shown="clockwise from the front",
                )
            )
        for mesh in one.meshes:
            a, b = mesh.driver.teeth, mesh.driven.teeth
            made.append(_figure(f"{mesh.path}.ratio", Fraction(a, b) if a and b else None))
            if a and b:
                made.append(_figure(f"{mesh.path}.common_factor", Fraction(gcd(a, b))))
                made.append(_figure(f"{mesh.path}.hunting", Fraction(b, gcd(a, b)), "turns"))
    made.append(_figure("going.train.beats_per_hour", Fraction(2880), "beats/h"))
    for dial in of.dials:
        for hand, rate in (("minute_hand", Fraction(1)), ("hour_hand", Fraction(1, 12))):
            made.append(_figure(f"{dial.path}.{hand}.turns_per_hour", rate, "turns/h"))
            way = f"{dial.path}.{hand}.sense_from_outside"
            made.append(Figure(id=way, title="", value="clockwise", shown="clockwise"))
    return {figure.id: figure for figure in made}
