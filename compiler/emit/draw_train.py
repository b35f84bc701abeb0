"""One train as a drawing: from the weight down to the escapement or fly, and what leaves it on the way."""

from __future__ import annotations

from itertools import pairwise

from countwheel.emit.draw_exits import (
    draw_counting,
    draw_escapement,
    draw_flies,
    draw_hammers,
    draw_remontoire,
    draw_ways_out,
)
from countwheel.emit.draw_sheet import Sheet, arbor_of, gear_port, joined, owned
from countwheel.emit.graph import Box, Cell, Graph, Link
from countwheel.emit.graph_words import (
    Figures,
    gear_cell,
    gear_name,
    hunting,
    is_lost,
    is_weak,
    main_value,
    part,
    ratio,
    said,
    sense,
    standing,
    turns,
    turns_each,
)
from countwheel.model.clock import Arbor, Clock, Mesh, Train
from countwheel.model.node import Node
from countwheel.model.values import Unknown


def _lines(*lines: str) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


# -- the arbors --------------------------------------------------------------


def _barrel_cell(barrel: Node) -> Cell:
    diameter, line_turns = barrel.get("diameter"), barrel.get("turns of line")
    lines = _lines(
        f"barrel {said(diameter)} across" if said(diameter) else "barrel",
        f"{said(line_turns)} turns of line" if said(line_turns) else "",
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


def _turning(arbor: Arbor, figures: Figures) -> tuple[tuple[str, ...], bool]:
    """How the arbor turns, in a few lines, and whether its speed is missing.

    A train that strikes turns by blows: its turns an hour are only a mean.
    """
    each = turns_each(figures.get(f"{arbor.path}.turns_per_blow"), "blow") or turns_each(
        figures.get(f"{arbor.path}.turns_per_change"), "change"
    )
    figure = figures.get(f"{arbor.path}.turns_per_hour")
    rate, missing = turns(figure) if not each else (each, False)
    waits = f"waits for {figure.waits_for[0]}" if missing and figure and figure.waits_for else ""
    return _lines(rate, waits, sense(figures.get(f"{arbor.path}.sense"), "from the front")), missing


def _arbor_box(arbor: Arbor, driven: set[str], figures: Figures) -> Box:
    """What drives it on top, its name and turns in the middle, what it drives below."""
    top = [gear_cell(gear, gear_port(gear.path)) for gear in arbor.gears if gear.path in driven]
    bottom = [gear_cell(gear, gear_port(gear.path)) for gear in arbor.gears if gear.path not in driven]
    if arbor.barrel is not None:
        top.insert(0, _barrel_cell(arbor.barrel))
    if arbor.escape is not None:
        bottom.append(_escape_cell(arbor.escape))
    pins, snail, locks = (arbor.node.get(word) for word in ("lifting pins", "snail", "locks"))
    if pins is not None:
        bottom.append(Cell((owned("lifting pins", pins), *standing(pins)), port="pins", dashed=is_weak(pins)))
    if snail is not None:
        bottom.append(Cell((joined("snail", part(snail, "steps")),), port="snail"))
    turning, missing = _turning(arbor, figures)
    lines = _lines(
        f"{arbor.name} arbor",
        *turning,
        f"locks {said(locks)} in a turn" if locks is not None else "",
        *standing(arbor.node),
    )
    middle = Cell(lines, port="arbor", name=True, dashed=missing)
    rows = tuple(tuple(row) for row in (top, [middle], bottom) if row)
    return Box(arbor.path, rows, about=arbor.path, dashed=is_lost(arbor.node))


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
    train = sheet.train
    driven = {mesh.driven.path for mesh in train.meshes}
    for arbor in train.arbors:
        if arbor.path in sheet.arbors:
            sheet.boxes.append(_arbor_box(arbor, driven, figures))
    for mesh in train.meshes:
        tail, head = arbor_of(train, mesh.driver_arbor), arbor_of(train, mesh.driven_arbor)
        tail_key = tail.path if tail else mesh.driver_arbor
        head_key = head.path if head else mesh.driven_arbor
        # An idle wheel is driven and drives: its cell is on top, so the arrow leaves by the arbor.
        port = "" if mesh.driver.path in driven else gear_port(mesh.driver.path)
        if tail_key not in sheet.arbors and head_key not in sheet.arbors:
            continue
        if tail_key not in sheet.arbors:
            # It stands on the sheet before, or in another train: named, not drawn.
            sheet.put(f"from {tail_key}", (f"from {tail_key}", *gear_cell(mesh.driver).paragraphs))
            tail_key, port = f"from {tail_key}", "in"
        elif head_key not in sheet.arbors:
            sheet.put(f"to {head_key}", (f"to {head_key}", *gear_cell(mesh.driven).paragraphs))
            head_key = f"to {head_key}"
        sheet.links.append(_mesh_link(mesh, tail_key, head_key, port, figures))


def _draw_gaps(sheet: Sheet) -> None:
    """An arbor that nothing is stated to drive still stands below the one before it."""
    train = sheet.train
    held = {mesh.driven_arbor for mesh in train.meshes}
    driven = [arbor for arbor in train.arbors if arbor.path in held or arbor.name in held]
    remontoire = train.node.get("remontoire")
    if remontoire is not None:
        driven += [
            arbor for arbor in train.arbors if arbor is arbor_of(train, said(remontoire.get("drives")))
        ]
    for before, after in pairwise(train.arbors):
        if {before.path, after.path} <= sheet.arbors and all(after is not arbor for arbor in driven):
            words = ("how it is driven: ?",)
            sheet.links.append(
                Link(before.path, after.path, words=words, kind="leads", dashed=True, main=True)
            )


# -- what brings the power ---------------------------------------------------


def _draw_weight(sheet: Sheet, holder: Arbor, barrel: Node) -> None:
    weight = barrel.get("weight")
    if weight is None or barrel.denies("weight"):
        return
    slabs, line, parts = weight.get("slabs"), barrel.get("line"), barrel.get("parts")
    lines = (
        joined("weight", said(weight)),
        f"{part(slabs, 'number')} slabs of {part(slabs, 'each')}" if slabs is not None else "",
        owned("fall", barrel.get("fall")),
        # What is known of an unknown weight stands beside its '?' already.
        *(line for line in standing(weight) if line not in said(weight)),
    )
    sheet.put("weight", lines, weight.path, is_weak(weight), "weight")
    thick = line.get("diameter") or line.get("girth") if line is not None else None
    words = _lines(
        joined(said(line) or "line", owned(thick.word, thick) if thick is not None else ""),
        f"in {said(parts)} part{'' if said(parts) == '1' else 's'}" if parts is not None else "",
    )
    sheet.links.append(Link("weight", holder.path, "in", "barrel", words, "line", main=True))


def _draw_power(sheet: Sheet) -> None:
    train = sheet.train
    holder = train.barrel_arbor
    if holder is None or holder.barrel is None or holder.path not in sheet.arbors:
        return
    _draw_weight(sheet, holder, holder.barrel)
    # Both may stand under the train or under the arbor that is wound.
    winding = train.node.get("winding") or holder.node.get("winding")
    motor = train.node.get("automatic winding") or holder.node.get("automatic winding")
    if motor is not None:
        lines = (
            "automatic winding",
            owned("motor", motor.get("motor")),
            owned("reserve", motor.get("reserve")),
        )
        sheet.put("automatic winding", lines, motor.path)
        sheet.arrive("automatic winding", holder)
    elif winding is not None:
        way = next((word for word in ("clockwise", "anticlockwise") if winding.says(word)), "")
        by = part(winding, "by")
        sheet.put(
            "winding",
            (
                f"winding by {by}" if by else "winding",
                owned("handle", winding.get("handle")),
                *(
                    f"pinion {part(jack, 'driver')} drives wheel {part(jack, 'driven')}"
                    for jack in winding.all("jack")
                ),
                f"turn {way}" if way else "",
            ),
            winding.path,
        )
        sheet.arrive("winding", holder)


def train_graph(
    clock: Clock, train: Train, figures: Figures, arbors: tuple[Arbor, ...] | None = None
) -> Graph:
    """The boxes and arrows of one train, in the order of the power.

    `arbors` limits it to some of them, for a train that needs several sheets.
    """
    shown = train.arbors if arbors is None else arbors
    sheet = Sheet(train, frozenset(arbor.path for arbor in shown), shown[:1] == train.arbors[:1])
    _draw_power(sheet)
    _draw_arbors(sheet, figures)
    _draw_gaps(sheet)
    draw_remontoire(sheet)
    draw_escapement(clock, sheet, figures)
    draw_flies(sheet)
    draw_counting(sheet, figures)
    draw_hammers(sheet)
    draw_ways_out(clock, sheet)
    return sheet.graph()


def arbor_in_words(arbor: Arbor) -> str:
    """'centre arbor: pinion 12, wheel 80', for readers who cannot see the drawing."""
    cells = [gear_cell(gear) for gear in arbor.gears]
    if arbor.escape is not None:
        cells.append(_escape_cell(arbor.escape))
    if arbor.barrel is not None:
        cells.insert(0, _barrel_cell(arbor.barrel))
    parts = [" ".join(cell.paragraphs) for cell in cells]
    return f"{arbor.name} arbor: {', '.join(parts)}" if parts else f"{arbor.name} arbor"
