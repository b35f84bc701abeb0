"""Where the power leaves a train: escapement, pendulum, fly, hammers, count wheel, dials, other trains."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from countwheel.emit.draw_sheet import Owner, Sheet, arbor_of, gear_port, owned, owner_of
from countwheel.emit.graph import Link
from countwheel.emit.graph_words import Figures, dial_name, exactly, is_weak, marked, part, said, sized
from countwheel.emit.naming import quoted
from countwheel.emit.stated import all_there, fact, is_lost, there
from countwheel.model.clock import Arbor, Clock, Train
from countwheel.model.node import Node


def draw_escapement(clock: Clock, sheet: Sheet, figures: Figures) -> None:
    train = sheet.train
    holder = train.escape_arbor
    if holder is None or train.role != "going" or not sheet.here((holder.path, "")):
        return
    escapement, pendulum = there(clock.escapement), there(clock.pendulum)
    beats = figures.get(f"{train.name}.train.beats_per_hour")
    kind = part(escapement, "kind") or said(escapement)
    lines: tuple[str, ...] = (
        f"{kind} escapement" if kind else "escapement",
        f"{beats.shown or beats.value} beats an hour" if beats and beats.value is not None else "",
    )
    sheet.put("escapement", lines, "escapement")
    sheet.links.append(Link(holder.path, "escapement", "escape", "in", kind="leads", main=True))
    if pendulum is not None:
        gone = [word for word in ("suspension spring", "bob", "rod") if is_lost(fact(pendulum, word))]
        lines = ("pendulum", owned("beat", fact(pendulum, "beat")), *(f"{word} lost" for word in gone))
        sheet.put("pendulum", lines, "pendulum", bool(gone))
        sheet.links.append(Link("escapement", "pendulum", "in", "in", kind="leads", main=True))


# -- the remontoire --------------------------------------------------------------
def remontoire_of(train: Train) -> tuple[Node, Arbor | None, Arbor | None] | None:
    """The remontoire with the arbors that it stands after and before, where they are stated."""
    node = fact(train.node, "remontoire")
    if node is None:
        return None
    after, drives = (arbor_of(train, said(fact(node, word))) for word in ("after", "drives"))
    return node, after, drives


def draw_remontoire(sheet: Sheet) -> None:
    """Its box, between the arbors that it stands between; where teeth join these, their ratio goes with it."""
    found = remontoire_of(sheet.train)
    if found is None:
        return
    node, after, drives = found
    if not sheet.here((after.path, "") if after else None):
        return
    every = part(node, "every") or said(node)
    lines = (
        "remontoire",
        marked(f"every {every}", node) if every else "",
        owned("weight", fact(node, "weight")),
    )
    sheet.put("remontoire", lines, node.path)
    geared = any(link.head == "remontoire" for link in sheet.links)
    if after is not None and not geared:
        sheet.links.append(Link(after.path, "remontoire", "", "in", kind="leads", main=True))
    if drives is not None and not geared and sheet.here((drives.path, "")):
        sheet.links.append(Link("remontoire", drives.path, "in", kind="leads", main=True))


def draw_flies(sheet: Sheet) -> None:
    for arbor in sheet.train.arbors:
        fly = there(arbor.fly)
        if fly is None or not sheet.here((arbor.path, "")):
            continue
        key = f"fly {arbor.path}"
        vanes = fact(fly, "vanes")
        sheet.put(key, ("fly", f"{sized(vanes)} vanes" if vanes is not None else ""), fly.path, is_lost(fly))
        if next(box for box in sheet.boxes if box.key == arbor.path).rows[-1][0].port == "arbor":
            sheet.links.append(Link(arbor.path, key, "arbor", "in", kind="leads", main=True))
        else:
            sheet.leave((arbor.path, "arbor"), key)


# -- hammers -----------------------------------------------------------------


def _hammer_words(hammer: Node) -> tuple[str, ...]:
    on = fact(hammer, "on")
    bell = part(on, "name") or said(on)
    lines = (
        quoted("hammer", hammer.label or ""),
        owned("mass", fact(hammer, "mass")),
        owned("lift", fact(hammer, "lift")),
        f"on {quoted('bell', bell)}" if bell else "",
    )
    return tuple(line for line in lines if line)


def _ratio(driver: str, driven: str) -> str:
    """'90 ÷ 30 = 3' of two counts as written."""
    if not (driver.isdigit() and driven.isdigit() and int(driven)):
        return f"{driver} ÷ {driven}"
    return f"{driver} ÷ {driven} = {exactly(Fraction(int(driver), int(driven)))}"


def _driver_port(train: Train, owner: Owner | None, count: str, label: str) -> Owner | None:
    """Of an arbor's wheels and pinions the one that drives: by its label, else the one with that count."""
    arbor = arbor_of(train, owner[0]) if owner and owner[1] == "arbor" else None
    if arbor is None:
        return owner
    fits = [gear for gear in arbor.gears if gear.label == label] or [
        gear for gear in arbor.gears if count and str(gear.teeth) == count
    ]
    return (arbor.path, gear_port(fits[0].path)) if len(fits) == 1 else owner


def draw_hammers(sheet: Sheet) -> None:
    train = sheet.train
    hammers, chime = all_there(train.node, "hammer"), fact(train.node, "chime barrel")
    source: Owner | None = next(
        ((arbor.path, "pins") for arbor in train.arbors if fact(arbor.node, "lifting pins")), None
    )
    if chime is not None:
        gear = fact(chime, "gear")
        driver, driven = part(gear, "driver"), part(gear, "driven")
        source = _driver_port(train, owner_of(train, said(fact(chime, "driven by"))), driver, "chime")
        if not sheet.here(source):
            return
        changes = fact(chime, "changes a turn")
        lines: tuple[str, ...] = (
            "chime barrel",
            marked(f"wheel {driven}", gear) if driven else "",
            f"{sized(changes)} changes in a turn" if changes is not None else "",
        )
        sheet.put("chime barrel", lines, chime.path)
        if source is not None:
            words = (_ratio(driver, driven),) if driver and driven else ()
            sheet.leave(source, "chime barrel", words, "drives" if words else "leads")
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


def draw_counting(clock: Clock, sheet: Sheet, figures: Figures) -> None:
    train = sheet.train
    _draw_rack(clock, sheet, figures)
    wheel = fact(train.node, "count wheel")
    if wheel is None:
        return
    count, teeth, cut = (fact(wheel, word) for word in ("count", "wheel", "cut for"))
    driver, driven = part(count, "driver"), part(count, "driven") or said(teeth)
    owner = owner_of(train, said(fact(wheel, "driven by"))) or next(
        # The pinion labelled `count` turns it, where one is (`count 20 drives 78`).
        (
            (arbor.path, gear_port(gear.path))
            for arbor in train.arbors
            for gear in arbor.gears
            if gear.label == "count"
        ),
        None,
    )
    owner = _driver_port(train, owner, driver, "count")
    if not sheet.here(owner):
        return
    if not driver and owner is not None:
        # `driven by` names the pinion itself, and its count stands with it.
        driver = next(
            (
                str(gear.teeth)
                for arbor in train.arbors
                for gear in arbor.gears
                if gear.teeth and owner == (arbor.path, gear_port(gear.path))
            ),
            "",
        )
    blows = figures.get(f"{train.name}.count_wheel.blows_per_turn")
    lines = (
        "count wheel",
        marked(f"wheel {driven}", count or teeth) if driven else "",
        f"cut for {said(cut)}" if said(cut) else "",
        owned("notches", fact(wheel, "notches")),
        owned("inside pins", fact(wheel, "inside pins")),
        f"{blows.shown} blows in a turn" if blows is not None and blows.value is not None else "",
    )
    sheet.put("count wheel", lines, wheel.path, teeth is not None and is_weak(teeth))
    if owner is not None:
        sheet.leave(owner, "count wheel", (_ratio(driver, driven),) if driver and driven else (), "drives")


def _once_a_blow(train: Train, figures: Figures) -> Arbor | None:
    """The arbor that turns once at each blow, and so takes up the rack by one tooth."""
    for arbor in train.arbors:
        each = figures.get(f"{arbor.path}.turns_per_blow")
        if each is not None and each.exact == 1:
            return arbor
    return None


def _draw_rack(clock: Clock, sheet: Sheet, figures: Figures) -> None:
    """The rack, what it falls on and what takes it up."""
    train, rack = sheet.train, fact(sheet.train.node, "rack")
    holder = _once_a_blow(train, figures)
    if rack is None or not sheet.here((holder.path, "") if holder else None):
        return
    sheet.put("rack", ("rack", owned("teeth", fact(rack, "teeth"))), rack.path)
    path = said(fact(rack, "snail"))
    if path:
        arbor = next((arbor for one in clock.trains for arbor in one.arbors if arbor.path == path), None)
        steps = part(fact(arbor.node, "snail"), "steps") if arbor else ""
        lines = ("snail", f"{steps} steps" if steps else "", f"on the {sheet.names.phrase(path, train.name)}")
        sheet.put("snail", lines, path)
        sheet.links.append(Link("snail", "rack", "in", "in", ("how far it falls",), "lets off"))
    if holder is not None:
        sheet.arrive("rack", holder, "lets off", "left")


def _draw_snails(clock: Clock, sheet: Sheet) -> None:
    """From a snail on this sheet to the racks that fall on it."""
    racks: dict[str, list[str]] = {}
    for train in clock.trains:
        path = said(fact(train.node, "rack", "snail"))
        if path and train.name != sheet.train.name:
            racks.setdefault(path, []).append(sheet.names.train(train.name))
    for arbor in sheet.train.arbors:
        if arbor.path in racks and fact(arbor.node, "snail") and sheet.here((arbor.path, "")):
            lines = ("rack", *(f"of the {name}" for name in racks[arbor.path]))
            sheet.put("racks", lines, f"{arbor.path}.snail")
            sheet.links.append(Link(arbor.path, "racks", "snail", "in", kind="lets off"))


# -- to the dials and to other trains ----------------------------------------


def _and(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else ""


def draw_ways_out(clock: Clock, sheet: Sheet) -> None:
    train = sheet.train
    for at, way in enumerate(clock.leading_off):
        owner = owner_of(train, way.from_path or "")
        if owner is not None and sheet.here(owner):
            called = {dial.name: dial.node.label or dial.name for dial in clock.dials}
            dials = [called.get(dial, dial) for dial in way.dials if dial]
            to = f"to the {_and(dials)} dial{'s' if len(dials) > 1 else ''}" if dials else "to the dial"
            key = f"leading off {at}"
            sheet.put(key, ("leading off", to), way.node.path)
            sheet.leave(owner, key)
    for dial in clock.dials:
        owner = owner_of(train, said(fact(dial.node, "driven by")))
        if owner is not None and sheet.here(owner) and dial.leading_off is None:
            key = f"to {dial.path}"
            sheet.put(key, (dial_name(dial),), dial.path)
            sheet.leave(owner, key)
    others: dict[Owner, list[str]] = {}
    for other in clock.trains:
        owner = owner_of(train, said(fact(other.node, "let off by")))
        if owner is not None and sheet.here(owner) and other.name != train.name:
            others.setdefault(owner, []).append(sheet.names.train(other.name))
    for owner, names in others.items():
        key = f"lets off from {owner[0]}"
        sheet.put(key, ("lets off", *(f"the {name}" for name in names)))
        sheet.leave(owner, key, kind="lets off", side="left")
    _draw_snails(clock, sheet)
