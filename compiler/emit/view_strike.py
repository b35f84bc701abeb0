"""What the manual says of striking and chiming, taken from the clock and its figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from countwheel.emit.shown import Shown, ShownFigure, all_there, show, show_figure, there
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
    let_off_by: str
    blows_12h: ShownFigure | None
    blows_day: ShownFigure | None
    quarters: tuple[tuple[str, str], ...]  # number of the quarter, its changes as written
    notches: Shown | None


@dataclass(frozen=True, slots=True)
class Bell:
    name: str
    mass: Shown | None
    note: Shown | None
    swings: bool  # hung for ringing


def striking_of(train: Train, figures: Mapping[str, Figure]) -> Striking | None:
    if train.role not in ("strike", "chime"):
        return None
    node = train.node
    wheel = there(node.get("count wheel"))
    count = next((word for word in ("count wheel", "rack") if node.says(word) and not node.denies(word)), "")
    cut = wheel.text("cut for") if wheel else None
    return Striking(
        count,
        node.text("strikes") or cut or "",
        tuple(_silence(fact) for fact in all_there(node, "silent")),
        tuple(_hammer(fact) for fact in all_there(node, "hammer")),
        any(arbor.fly for arbor in train.arbors),
        there(node.get("warning")) is not None,
        node.text("let off by") or "",
        show_figure(figures.get(f"{train.name}.blows_per_12h")),
        show_figure(figures.get(f"{train.name}.blows_per_day")),
        tuple(_quarter(fact) for fact in all_there(node, "quarter")),
        (show(wheel.get("notches")) or show(wheel.get("inside pins"))) if wheel else None,
    )


def _silence(node: Node) -> Silence:
    method = show(node, "method")
    words = method.text.lower().split() if method else []
    lifted = bool({"hammer", "hammers"}.intersection(words)) and not {"count", "locking"}.intersection(words)
    return Silence(show(node, "from"), show(node, "to"), method, lifted)


def _hammer(node: Node) -> Hammer:
    on = node.get("on")
    return Hammer(
        node.label or "",
        show(node.get("mass")),
        show(node.get("lift")),
        (on.text(part="name") or on.text() or "") if on else "",
        show(node.get("pulled off")),
    )


def _quarter(node: Node) -> tuple[str, str]:
    number, changes = show(node, "number"), show(node, "changes")
    return (number.text if number else "", changes.text if changes else "")


def bells_of(clock: Clock) -> tuple[Bell, ...]:
    return tuple(
        Bell(
            node.label or "",
            show(node.get("mass")),
            show(node.get("strikes")),
            node.text("hung") == "for ringing",
        )
        for node in all_there(clock.root, "bell")
    )
