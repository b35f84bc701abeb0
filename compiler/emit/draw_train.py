"""One train as a drawing: from the weight down to the escapement or fly, and what leaves it on the way."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from countwheel.emit.draw_exits import (
    draw_counting,
    draw_escapement,
    draw_flies,
    draw_hammers,
    draw_remontoire,
    draw_ways_out,
    remontoire_of,
)
from countwheel.emit.draw_sheet import Sheet, arbor_of, gear_port, joined, owned
from countwheel.emit.graph import Box, Cell, Graph, Link
from countwheel.emit.graph_words import (
    Figures,
    gear_cell,
    gear_name,
    hunting,
    is_weak,
    marked,
    part,
    ratio,
    said,
    sense,
    sized,
    standing,
    turns,
    turns_each,
)
from countwheel.emit.naming import Names, ending
from countwheel.emit.stated import all_there, fact, has, is_lost, main_value, there
from countwheel.figures.senses import upright
from countwheel.model.clock import Arbor, Clock, Mesh, Train
from countwheel.model.node import Node
from countwheel.model.values import Unknown


def _lines(*lines: str) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


# -- the arbors --------------------------------------------------------------


def _barrel_cell(barrel: Node) -> Cell:
    diameter, line_turns = fact(barrel, "diameter"), fact(barrel, "turns of line")
    lines = _lines(
        f"barrel {sized(diameter)} across" if said(diameter) else "barrel",
        f"{sized(line_turns)} turns of line" if said(line_turns) else "",
        *standing(barrel),
    )
    dashed = is_weak(barrel) or any(node is not None and is_weak(node) for node in (diameter, line_turns))
    return Cell(lines, port="barrel", dashed=dashed)


def _escape_cell(escape: Node) -> Cell:
    """The escape wheel, its pins or legs, with the count."""
    count = "?" if isinstance(main_value(escape), Unknown) else said(escape)
    sides = part(escape, "sides")
    extra = joined(part(escape, "planes"), f"on {sides}" if sides else "")
    lines = _lines(joined(escape.word, count), extra, *standing(escape))
    return Cell(lines, port="escape", dashed=is_weak(escape))


def turning(arbor: Arbor, figures: Figures, names: Names) -> tuple[tuple[str, ...], bool]:
    """How the arbor turns, in a few lines, and whether its speed is missing.

    A train that strikes turns by blows: its turns an hour are only a mean.
    """
    each = turns_each(figures.get(f"{arbor.path}.turns_per_blow"), "blow") or turns_each(
        figures.get(f"{arbor.path}.turns_per_change"), "change"
    )
    figure = figures.get(f"{arbor.path}.turns_per_hour")
    rate, missing = turns(figure) if not each else (each, False)
    waits = ""
    if missing and figure and figure.waits_for:
        waits = f"waits for the {names.phrase(figure.waits_for[0], arbor.path.partition('.')[0])}"
    seen = "from above" if upright(arbor.node) else "from the front"
    return _lines(rate, waits, sense(figures.get(f"{arbor.path}.sense"), seen)), missing


def _arbor_box(arbor: Arbor, driven: set[str], figures: Figures, names: Names) -> Box:
    """What drives it on top, its name and turns in the middle, what it drives below."""
    top = [gear_cell(gear, gear_port(gear.path)) for gear in arbor.gears if gear.path in driven]
    bottom = [gear_cell(gear, gear_port(gear.path)) for gear in arbor.gears if gear.path not in driven]
    barrel, escape = there(arbor.barrel), there(arbor.escape)
    if barrel is not None:
        top.insert(0, _barrel_cell(barrel))
    if escape is not None:
        bottom.append(_escape_cell(escape))
    pins, snail, locks = (fact(arbor.node, word) for word in ("lifting pins", "snail", "locks"))
    if pins is not None:
        bottom.append(
            Cell((joined("lifting pins", said(pins)), *standing(pins)), port="pins", dashed=is_weak(pins))
        )
    if snail is not None:
        steps = part(snail, "steps")
        bottom.append(Cell(_lines("snail", marked(f"{steps} steps", snail) if steps else ""), port="snail"))
    lost = is_lost(arbor.node)
    # Of an arbor that is gone and whose place in the train nobody knows there is nothing to say of its turns.
    turned, missing = turning(arbor, figures, names) if arbor.gears or not lost else ((), False)
    name = ending(arbor.name, "arbor")
    lines = _lines(
        f"lost arbor “{arbor.name}”" if lost else name,
        *turned,
        f"locks {sized(locks)} in a turn" if locks is not None else "",
        *(line for line in standing(arbor.node) if line != "lost"),
    )
    middle = Cell(lines, port="arbor", name=True, dashed=missing)
    rows = tuple(tuple(row) for row in (top, [middle], bottom) if row)
    return Box(arbor.path, rows, about=arbor.path, dashed=lost)


def _mesh_link(mesh: Mesh, tail: str, head: str, tail_port: str, figures: Figures) -> Link:
    # The pinion or wheel mostly says its own form already.
    form = "" if mesh.form in ("external", gear_name(mesh.driver), gear_name(mesh.driven)) else mesh.form
    if form and form in f"{gear_name(mesh.driver)} {gear_name(mesh.driven)}":
        form = ""
    words = _lines(
        ratio(mesh.driver.teeth, mesh.driven.teeth, figures.get(f"{mesh.path}.ratio")),
        hunting(figures.get(f"{mesh.path}.common_factor"), figures.get(f"{mesh.path}.hunting")),
        form,
    )
    dashed = is_weak(mesh.driver.node) or is_weak(mesh.driven.node)
    return Link(tail, head, tail_port, gear_port(mesh.driven.path), words, "drives", dashed, main=True)


def _draw_arbors(sheet: Sheet, figures: Figures) -> None:
    train, names = sheet.train, sheet.names
    driven = {mesh.driven.path for mesh in train.meshes}
    _, after, drives = remontoire_of(train) or (None, None, None)
    for arbor in train.arbors:
        if arbor.path in sheet.arbors:
            sheet.boxes.append(_arbor_box(arbor, driven, figures, names))
    told: set[tuple[str, str, str, str]] = set()
    for mesh in train.meshes:
        ends = mesh.driver_arbor, mesh.driver.path, mesh.driven_arbor, mesh.driven.path
        if ends in told:
            continue
        told.add(ends)
        tail, head = arbor_of(train, mesh.driver_arbor), arbor_of(train, mesh.driven_arbor)
        tail_key = tail.path if tail else mesh.driver_arbor
        head_key = head.path if head else mesh.driven_arbor
        # An idle wheel is driven and drives: its cell is on top, so the arrow leaves by the arbor.
        port = "" if mesh.driver.path in driven else gear_port(mesh.driver.path)
        if tail_key not in sheet.arbors and head_key not in sheet.arbors:
            continue
        through = after is not None and after is tail and drives is head and tail_key in sheet.arbors
        if tail_key not in sheet.arbors:
            # It stands on the sheet before, or in another train: named, not drawn.
            name = f"from the {names.phrase(tail_key, train.name)}"
            # One arbor may drive several here, each by a wheel of its own: a box for every such wheel.
            tail_key, port = f"from {mesh.driver.path}", "in"
            sheet.put(tail_key, (name, *gear_cell(mesh.driver).paragraphs))
        elif head_key not in sheet.arbors:
            name = f"to the {names.phrase(head_key, train.name)}"
            head_key = f"to {mesh.driven.path}"
            sheet.put(head_key, (name, *gear_cell(mesh.driven).paragraphs))
        link = _mesh_link(mesh, tail_key, head_key, port, figures)
        if through:
            sheet.links.append(replace(link, head="remontoire", head_port="in"))
            link = Link("remontoire", head_key, "in", link.head_port, kind="leads", main=True)
        sheet.links.append(link)


def _draw_gaps(sheet: Sheet) -> None:
    """An arbor that nothing is stated to drive still stands below the one before it.

    Of a lost one nobody knows even that: it only stands there, tied to nothing.
    """
    train = sheet.train
    held = {mesh.driven_arbor for mesh in train.meshes}
    driven = [arbor for arbor in train.arbors if arbor.path in held or arbor.name in held]
    remontoire = remontoire_of(train)
    if remontoire is not None:
        driven += [arbor for arbor in train.arbors if arbor is remontoire[2]]
    for before, after in pairwise(train.arbors):
        if {before.path, after.path} <= sheet.arbors and all(after is not arbor for arbor in driven):
            hidden = is_lost(after.node) or is_lost(before.node)
            words = () if hidden else ("how it is driven: ?",)
            sheet.links.append(
                Link(
                    before.path, after.path, words=words, kind="leads", dashed=True,
                    main=not hidden, hidden=hidden,
                )
            )  # fmt: skip


# -- what brings the power ---------------------------------------------------


def _draw_weight(sheet: Sheet, holder: Arbor, barrel: Node) -> None:
    weight = fact(barrel, "weight")
    if weight is None:
        return
    slabs, line, parts = fact(weight, "slabs"), fact(barrel, "line"), fact(barrel, "parts")
    known = [line for line in standing(weight) if line not in said(weight) and line != "lost"]
    lines = (
        joined("lost weight" if is_lost(weight) else "weight", said(weight)),
        marked(f"{part(slabs, 'number')} slabs of {part(slabs, 'each')}", slabs) if slabs is not None else "",
        *known,
        owned("fall", fact(barrel, "fall")),
    )
    sheet.put("weight", lines, weight.path, is_weak(weight), "weight")
    thick = fact(line, "diameter") or fact(line, "girth")
    words = _lines(
        joined(said(line) or "line", owned(thick.word, thick) if thick is not None else ""),
        marked(f"in {said(parts)} part{'' if said(parts) == '1' else 's'}", parts)
        if parts is not None
        else "",
    )
    dashed = is_lost(weight) or (line is not None and is_lost(line))
    sheet.links.append(Link("weight", holder.path, "in", "barrel", words, "line", dashed, main=True))


def _draw_power(sheet: Sheet) -> None:
    train = sheet.train
    holder = train.barrel_arbor
    barrel = there(holder.barrel) if holder is not None else None
    if holder is None or barrel is None or holder.path not in sheet.arbors:
        return
    _draw_weight(sheet, holder, barrel)
    # Both may stand under the train or under the arbor that is wound.
    winding, motor = (
        fact(train.node, word) or fact(holder.node, word) for word in ("winding", "automatic winding")
    )
    if motor is not None:
        lines: tuple[str, ...] = (
            "automatic winding",
            owned("motor", fact(motor, "motor")),
            owned("reserve", fact(motor, "reserve")),
        )
        sheet.put("automatic winding", lines, motor.path)
        sheet.arrive("automatic winding", holder)
    if winding is not None:
        way = next((word for word in ("clockwise", "anticlockwise") if has(winding, word)), "")
        by = part(winding, "by")
        lines = (
            f"winding by {by}" if by else "winding",
            *(owned(word, fact(winding, word)) for word in ("handle", "lever", "bars")),
            *(
                marked(f"pinion {part(jack, 'driver')} drives wheel {part(jack, 'driven')}", jack)
                for jack in all_there(winding, "jack")
            ),
            f"turn {way}" if way else "",
        )
        sheet.put("winding", lines, winding.path)
        sheet.arrive("winding", holder, side="left" if motor is not None else "right")


def train_graph(
    clock: Clock, train: Train, figures: Figures, arbors: tuple[Arbor, ...] | None = None
) -> Graph:
    """The boxes and arrows of one train, in the order of the power.

    `arbors` limits it to some of them, for a train that needs several sheets.
    """
    shown = train.arbors if arbors is None else arbors
    sheet = Sheet(
        train, Names(clock), frozenset(arbor.path for arbor in shown), shown[:1] == train.arbors[:1]
    )
    _draw_power(sheet)
    _draw_arbors(sheet, figures)
    _draw_gaps(sheet)
    draw_remontoire(sheet)
    draw_escapement(clock, sheet, figures)
    draw_flies(sheet)
    draw_counting(clock, sheet, figures)
    draw_hammers(sheet)
    draw_ways_out(clock, sheet)
    return sheet.graph()


def arbor_in_words(arbor: Arbor) -> str:
    """'centre arbor: pinion 12, wheel 80', for readers who cannot see the drawing."""
    cells = [gear_cell(gear) for gear in arbor.gears]
    barrel, escape = there(arbor.barrel), there(arbor.escape)
    if escape is not None:
        cells.append(_escape_cell(escape))
    if barrel is not None:
        cells.insert(0, _barrel_cell(barrel))
    name = f"lost arbor “{arbor.name}”" if is_lost(arbor.node) else ending(arbor.name, "arbor")
    parts = [" ".join(cell.paragraphs) for cell in cells]
    return f"{name}: {', '.join(parts)}" if parts else name
