"""Where the power leaves a train: escapement, pendulum, fly, hammers, count wheel, dials, other trains."""

from __future__ import annotations

from countwheel.emit.draw_sheet import Owner, Sheet, arbor_of, gear_port, owned, owner_of
from countwheel.emit.graph import Link
from countwheel.emit.graph_words import Figures, dial_name, is_weak, part, said
from countwheel.model.clock import Clock
from countwheel.model.node import Node


def draw_escapement(clock: Clock, sheet: Sheet, figures: Figures) -> None:
    train = sheet.train
    holder = train.escape_arbor
    if holder is None or train.role != "going" or not sheet.here((holder.path, "")):
        return
    escapement, pendulum = clock.escapement, clock.pendulum
    beats = figures.get(f"{train.name}.train.beats_per_hour")
    kind = part(escapement, "kind") or said(escapement)
    lines = (
        f"{kind} escapement" if kind else "escapement",
        f"{beats.shown or beats.value} beats an hour" if beats and beats.value is not None else "",
    )
    sheet.put("escapement", lines, "escapement")
    sheet.links.append(Link(holder.path, "escapement", "escape", "in", kind="leads", main=True))
    if pendulum is not None:
        sheet.put("pendulum", ("pendulum", owned("beat", pendulum.get("beat"))), "pendulum")
        sheet.links.append(Link("escapement", "pendulum", "in", "in", kind="leads", main=True))


def draw_remontoire(sheet: Sheet) -> None:
    node = sheet.train.node.get("remontoire")
    if node is None:
        return
    after = arbor_of(sheet.train, said(node.get("after")))
    driven = arbor_of(sheet.train, said(node.get("drives")))
    if not sheet.here((after.path, "") if after else None):
        return
    every = part(node, "every") or said(node)
    lines = ("remontoire", f"every {every}" if every else "", owned("weight", node.get("weight")))
    sheet.put("remontoire", lines, node.path)
    if after is not None:
        sheet.leave((after.path, "arbor"), "remontoire")
    if driven is not None and sheet.here((driven.path, "")):
        # Where teeth drive that arbor too, the straight way down to it is taken.
        toothed = any(mesh.driven_arbor in (driven.path, driven.name) for mesh in sheet.train.meshes)
        sheet.links.append(
            Link("remontoire", driven.path, "in", "arbor", kind="leads", into="right")
            if toothed
            else Link("remontoire", driven.path, "in", kind="leads", main=True)
        )


def draw_flies(sheet: Sheet) -> None:
    for arbor in sheet.train.arbors:
        if arbor.fly is None or not sheet.here((arbor.path, "")):
            continue
        key = f"fly {arbor.path}"
        vanes = arbor.fly.get("vanes")
        sheet.put(key, ("fly", f"{said(vanes)} vanes" if vanes is not None else ""), arbor.fly.path)
        if next(box for box in sheet.boxes if box.key == arbor.path).rows[-1][0].port == "arbor":
            sheet.links.append(Link(arbor.path, key, "arbor", "in", kind="leads", main=True))
        else:
            sheet.leave((arbor.path, "arbor"), key)


# -- hammers -----------------------------------------------------------------


def _hammer_words(hammer: Node) -> tuple[str, ...]:
    bell = part(hammer.get("on"), "name") or said(hammer.get("on"))
    lines = (
        f"hammer {hammer.label}" if hammer.label else "hammer",
        owned("mass", hammer.get("mass")),
        owned("lift", hammer.get("lift")),
        f"on bell {bell}" if bell else "",
    )
    return tuple(line for line in lines if line)


def draw_hammers(sheet: Sheet) -> None:
    train = sheet.train
    hammers, chime = train.node.all("hammer"), train.node.get("chime barrel")
    source: Owner | None = next(
        ((arbor.path, "pins") for arbor in train.arbors if arbor.node.get("lifting pins")), None
    )
    if chime is not None:
        source = owner_of(train, said(chime.get("driven by")))
        if not sheet.here(source):
            return
        changes = chime.get("changes a turn")
        music = f"{said(changes)} changes in a turn" if changes is not None else ""
        sheet.put("chime barrel", ("chime barrel", music), chime.path)
        if source is not None:
            sheet.leave(source, "chime barrel")
        source = ("chime barrel", "in")
    if not hammers or not sheet.here(source):
        return
    if len(hammers) == 1:
        lines, about = _hammer_words(hammers[0]), hammers[0].path
    else:
        lines = (f"{len(hammers)} hammers", *(", ".join(_hammer_words(hammer)) for hammer in hammers))
        about = f"{train.name}.hammer"
    sheet.put("hammers", lines if source else (*lines, "lifted by: not stated"), about)
    if source is not None:
        sheet.leave(source, "hammers")


# -- counting the blows ------------------------------------------------------


def draw_counting(sheet: Sheet, figures: Figures) -> None:
    train = sheet.train
    wheel, rack = train.node.get("count wheel"), train.node.get("rack")
    if rack is not None and sheet.first:
        snail = said(rack.get("snail"))
        sheet.put(
            "rack",
            ("rack", owned("teeth", rack.get("teeth")), f"snail on {snail}" if snail else ""),
            rack.path,
        )
    if wheel is None:
        return
    owner = owner_of(train, said(wheel.get("driven by"))) or next(
        # The pinion labelled `count` turns it, where one is (`count 20 drives 78`).
        (
            (arbor.path, gear_port(gear.path))
            for arbor in train.arbors
            for gear in arbor.gears
            if gear.label == "count"
        ),
        None,
    )
    if not sheet.here(owner):
        return
    count, teeth, cut = wheel.get("count"), wheel.get("wheel"), said(wheel.get("cut for"))
    blows = figures.get(f"{train.name}.count_wheel.blows_per_turn")
    driver, driven = part(count, "driver"), part(count, "driven") or said(teeth)
    lines = (
        "count wheel",
        f"wheel {driven}" if driven else "",
        f"cut for {cut}" if cut else "",
        owned("notches", wheel.get("notches")),
        owned("inside pins", wheel.get("inside pins")),
        f"{blows.shown} blows in a turn" if blows is not None and blows.value is not None else "",
    )
    sheet.put("count wheel", lines, wheel.path, teeth is not None and is_weak(teeth))
    if owner is not None:
        sheet.leave(owner, "count wheel", (f"{driver} ÷ {driven}",) if driver and driven else (), "drives")


# -- to the dials and to other trains ----------------------------------------


def draw_ways_out(clock: Clock, sheet: Sheet) -> None:
    train = sheet.train
    for at, way in enumerate(clock.leading_off):
        owner = owner_of(train, way.from_path or "")
        if owner is not None and sheet.here(owner):
            dials = ", ".join(dial for dial in way.dials if dial)
            key = f"leading off {at}"
            sheet.put(key, ("leading off", f"to {dials}" if dials else "to the dial"), way.node.path)
            sheet.leave(owner, key)
    for dial in clock.dials:
        owner = owner_of(train, said(dial.node.get("driven by")))
        if owner is not None and sheet.here(owner) and dial.leading_off is None:
            key = f"to {dial.path}"
            sheet.put(key, (dial_name(dial),), dial.path)
            sheet.leave(owner, key)
    others: dict[Owner, list[str]] = {}
    for other in clock.trains:
        owner = owner_of(train, said(other.node.get("let off by")))
        if owner is not None and sheet.here(owner) and other.name != train.name:
            others.setdefault(owner, []).append(other.name)
    for owner, names in others.items():
        key = f"lets off from {owner[0]}"
        sheet.put(key, ("lets off", *(f"the {name} train" for name in names)))
        sheet.leave(owner, key, kind="lets off", side="left")
