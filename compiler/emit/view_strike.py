"""What the manual says of striking and chiming, taken from the clock and its figures."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from countwheel.emit.naming import Names
from countwheel.emit.shown import Shown, ShownFigure, show, show_figure
from countwheel.emit.stated import all_there, fact, has
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node


@dataclass(frozen=True, slots=True)
class Silence:
    since: Shown | None
    until: Shown | None
    method: Shown | None
    keeps_count: bool  # the train runs and counts on, with its hammers lifted


@dataclass(frozen=True, slots=True)
class Hammer:
    name: str
    mass: Shown | None
    lift: Shown | None
    bell: str
    pulled_off: Shown | None


@dataclass(frozen=True, slots=True)
class Striking:
    """One striking or chiming train.

    `count` is 'count wheel', 'rack' or '' (neither is stated). `strikes` is the
    vocabulary's word for what it sounds (`hours`, `hours and halves`...), '' where not stated.
    """

    count: str
    strikes: str
    silent: tuple[Silence, ...]
    hammers: tuple[Hammer, ...]
    fly: bool
    warning: bool
    let_off_by: str  # the name of the train that lets it off
    let_off_from: str  # the arbor that does, by what a keeper calls it
    blows_12h: ShownFigure | None
    blows_day: ShownFigure | None
    quarters: tuple[tuple[str, tuple[str, ...]], ...]  # number of the quarter, its changes one by one
    notches: Shown | None


@dataclass(frozen=True, slots=True)
class Bell:
    name: str
    mass: Shown | None
    note: Shown | None
    swings: bool  # hung for ringing


def striking_of(train: Train, figures: Mapping[str, Figure], names: Names) -> Striking | None:
    if train.role not in ("strike", "chime"):
        return None
    node = train.node
    wheel = fact(node, "count wheel")
    count = next((word for word in ("count wheel", "rack") if has(node, word)), "")
    let_off = node.text("let off by") or ""
    cut = wheel.text("cut for") if wheel else None
    return Striking(
        count,
        node.text("strikes") or cut or "",
        tuple(_silence(silent) for silent in all_there(node, "silent")),
        tuple(_hammer(hammer) for hammer in all_there(node, "hammer")),
        any(arbor.fly and not arbor.node.denies("fly") for arbor in train.arbors),
        has(node, "warning"),
        let_off.partition(".")[0],
        names.phrase(let_off),
        show_figure(figures.get(f"{train.name}.blows_per_12h")),
        show_figure(figures.get(f"{train.name}.blows_per_day")),
        tuple(_quarter(quarter) for quarter in all_there(node, "quarter")),
        show(fact(wheel, "notches")) or show(fact(wheel, "inside pins")),
    )


def _silence(node: Node) -> Silence:
    method = show(node, "method")
    words = method.text.lower().split() if method else []
    lifted = bool({"hammer", "hammers"}.intersection(words)) and not {"count", "locking"}.intersection(words)
    return Silence(show(node, "from"), show(node, "to"), method, lifted)


def _hammer(node: Node) -> Hammer:
    on = fact(node, "on")
    return Hammer(
        node.label or "",
        show(fact(node, "mass")),
        show(fact(node, "lift")),
        (on.text(part="name") or on.text() or "") if on else "",
        show(fact(node, "pulled off")),
    )


def _quarter(node: Node) -> tuple[str, tuple[str, ...]]:
    """Its number and its changes. Two spaces or more in the line part one change from the next."""
    number, changes = show(node, "number"), show(node, "changes")
    parted = re.split(r"\s{2,}", changes.text.strip()) if changes and changes.known else []
    return (number.text if number else "", tuple(parted))


def bells_of(clock: Clock) -> tuple[Bell, ...]:
    return tuple(
        Bell(
            node.label or "",
            show(fact(node, "mass")),
            show(fact(node, "strikes")),
            node.text("hung") == "for ringing",
        )
        for node in all_there(clock.root, "bell")
    )
