"""What the manual says of weights, lines and winding, taken from the clock and its figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from countwheel.emit.naming import Names
from countwheel.emit.shown import Shown, ShownFigure, Span, bearing, show, show_figure, span_of
from countwheel.emit.stated import all_there, fact, has, is_lost, there
from countwheel.figures.record import Figure
from countwheel.figures.units import unit
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node

# The maintaining powers that do nothing until the keeper sets them to work.
_RAISED_BY_HAND = frozenset({"bolt and shutter"})
# Those that are part of the winding gear, with nothing to run out.
_DRIVES_ON = frozenset({"none needed", "sun and planet"})


@dataclass(frozen=True, slots=True)
class Maintaining:
    """`kind` is '' where it is not said. `raised` says whether the keeper must engage it before winding."""

    kind: str
    raised: bool
    lasts: Shown | None
    needed: bool  # False: the train is driven while it is wound
    covers: bool | None  # whether it lasts as long as winding takes; None where that is not known


@dataclass(frozen=True, slots=True)
class Weight:
    """What hangs on the line. `coils` says whether the line is wound on a barrel, in so many `layers`."""

    total: Shown | None
    lost: bool
    slabs: tuple[Shown, Shown] | None  # how many, how heavy each
    tackle: Shown | None
    line: Shown | None  # the kind of line
    diameter: Shown | None
    parts: Shown | None
    fall: Shown | None
    fitted: Shown | None
    condition: Shown | None
    coils: bool
    layers: int
    soft: bool  # the line is of natural fibre, which damp shortens
    length: Shown | None
    ending: Shown | None
    pulleys: int


@dataclass(frozen=True, slots=True)
class Winding:
    """How one train is wound. `by` is 'handle', 'bars', 'lever', 'rope'...; '' where nothing says.

    `sense` is '' where it is not stated. `turns_a_day` is what one day's going
    uses of the winding turns, '' where it cannot be worked out.
    """

    by: str
    sense: str
    throw: Shown | None
    turns: ShownFigure | None
    turns_a_day: str
    force: ShownFigure | None
    like_lifting: str  # the mass in kg that is as heavy as that force, to two digits; '' where not known
    minutes: ShownFigure | None
    takes: Shown | None
    mark: Shown | None
    stop_work: Shown | None
    jockey: Shown | None
    maintaining: Maintaining | None
    no_maintaining: bool  # the description says that there is none


@dataclass(frozen=True, slots=True)
class Motor:
    """Automatic winding."""

    motor: Shown | None
    starts: Shown | None
    stops: Shown | None
    reserve: Shown | None
    isolator: Shown | None
    by_hand: Winding | None  # what is said of winding it by hand all the same


@dataclass(frozen=True, slots=True)
class Power:
    """The power of one train; `runs` is how long it goes on one winding, `limit` the figure that ends it."""

    weight: Weight | None
    winding: Winding | None
    motor: Motor | None
    runs: Span | None
    duration: ShownFigure | None
    waits_for: tuple[str, ...]  # what its run waits for, by what a keeper calls it
    limit: str  # 'turns' or 'fall', '' where one of the two is not known


def train_fact(train: Train, word: str) -> Node | None:
    """A fact of the whole train, wherever under it the keeper wrote it (`winding` under its barrel)."""
    return next((node for node in train.node.walk() if node.word == word and there(node)), None)


def power_of(train: Train, figures: Mapping[str, Figure], names: Names) -> Power:
    duration = figures.get(f"{train.name}.duration")
    seconds = _seconds(duration)
    motor = train_fact(train, "automatic winding")
    by_hand = _winding(train, figures, seconds)
    return Power(
        _weight(train, by_hand.by if by_hand else "", figures),
        None if motor else by_hand,
        _motor(motor, by_hand) if motor else None,
        span_of(seconds) if seconds else None,
        show_figure(duration),
        tuple(names.phrase(path) for path in duration.waits_for if not names.is_denied(path))
        if duration
        else (),
        _limit(train.name, figures),
    )


def _seconds(figure: Figure | None) -> float | None:
    if figure is None or isinstance(figure.value, (bool, str)) or figure.value is None:
        return None
    return float(figure.value) * float(unit(figure.unit).factor)


def _limit(name: str, figures: Mapping[str, Figure]) -> str:
    turns, fall = (_seconds(figures.get(f"{name}.duration.by_{what}")) for what in ("turns", "fall"))
    if turns is None or fall is None:
        return ""
    return "turns" if turns < fall else "fall"


def _weight(train: Train, by: str, figures: Mapping[str, Figure]) -> Weight | None:
    """None where there is no barrel, or no weight on it. Its mass is that stated, else the sum of its slabs."""
    barrel = there(train.barrel)
    if barrel is None or barrel.denies("weight"):
        return None
    weight, line = fact(barrel, "weight"), fact(barrel, "line")
    number, each = (show(fact(weight, "slabs"), part) for part in ("number", "each"))
    endless = "endless" in by or "chain" in by
    total = show(weight)
    summed = show_figure(figures.get(f"{train.name}.weight.mass"))
    if summed is not None and summed.known:
        total = Shown(f"{summed.short} {summed.unit}", summed.id, summed.standing, number=True)
    return Weight(
        total,
        is_lost(weight),
        (number, each) if number and each else None,
        show(fact(weight, "tackle")),
        show(line, "kind"),
        show(fact(line, "diameter")),
        show(fact(barrel, "parts")),
        show(fact(barrel, "fall")),
        show(fact(line, "fitted")),
        show(fact(line, "condition")),
        not (endless or barrel.denies("turns of line")),
        barrel.count("layers") or 1,
        _is_soft(line),
        show(fact(line, "length")),
        show(fact(line, "ending")),
        sum(there(pulley) is not None for pulley in barrel.all("pulley")),
    )


_FIBRES = frozenset({"manila", "hemp", "sisal"})


def _is_soft(line: Node | None) -> bool:
    """Whether it is of laid natural fibre, which grows shorter in damp (common practice, no source)."""
    return line is not None and bool(_FIBRES.intersection((line.text(part="kind") or "").lower().split()))


def _winding(train: Train, figures: Mapping[str, Figure], seconds: float | None) -> Winding | None:
    """None where the train has no barrel and nothing is said of winding it."""
    node = train_fact(train, "winding")
    if node is None and there(train.barrel) is None:
        return None
    turns, force = (figures.get(f"{train.name}.winding.{what}") for what in ("turns", "handle_force"))
    return Winding(
        by=_way(node),
        sense=next((sense for sense in ("clockwise", "anticlockwise") if has(node, sense)), ""),
        throw=_first(node, "handle", "lever"),
        turns=show_figure(turns),
        turns_a_day=_turns_a_day(turns, seconds),
        force=show_figure(force),
        like_lifting=_like_lifting(force),
        minutes=show_figure(figures.get(f"{train.name}.winding.minutes")),
        takes=_first(node, "takes"),
        mark=_first(node, "mark"),
        stop_work=_first(node, "stop work"),
        jockey=_first(node, "jockey weight"),
        no_maintaining=any(fact.denies("maintaining power") for fact in train.node.walk()),
        maintaining=_maintaining(
            train_fact(train, "maintaining power"), figures.get(f"{train.name}.maintaining.covers")
        ),
    )


def _way(node: Node | None) -> str:
    """What the keeper winds with: said outright, or plain from the facts of the winding gear."""
    if node is None:
        return ""
    said = node.text(part="by")
    if said:
        return said
    found = next((word for word in ("handle", "bars", "lever") if has(node, word)), "")
    return found or ("handle" if has(node, "jack") else "")


def _first(node: Node | None, *words: str) -> Shown | None:
    found = (show(fact(node, word)) for word in words)
    return next((shown for shown in found if shown), None)


def _like_lifting(force: Figure | None) -> str:
    """The mass that weighs as much, in kg, by standard gravity (9.80665 m/s², CGPM 1901)."""
    newtons = force.value if force and force.unit == "N" else None
    return bearing(newtons / 9.80665, None, 2) if isinstance(newtons, float) else ""


def _turns_a_day(turns: Figure | None, seconds: float | None) -> str:
    """Winding turns that one day's going uses, to the digits they bear."""
    if turns is None or not isinstance(turns.value, float) or not seconds:
        return ""
    days = seconds / 86400
    spread = turns.uncertainty / days if turns.uncertainty else None
    return bearing(turns.value / days, spread, 2).removesuffix(".0") if days >= 2 else ""


def _maintaining(node: Node | None, covers: Figure | None) -> Maintaining | None:
    if node is None:
        return None
    kind = node.text(part="kind") or ""
    return Maintaining(
        kind,
        kind in _RAISED_BY_HAND,
        show(fact(node, "lasts")),
        kind not in _DRIVES_ON,
        covers.value if covers and isinstance(covers.value, bool) else None,
    )


def _motor(node: Node, by_hand: Winding | None) -> Motor:
    motor, starts, stops, reserve, isolator = (
        show(fact(node, word)) for word in ("motor", "starts", "stops", "reserve", "isolator")
    )
    return Motor(motor, starts, stops, reserve, isolator, by_hand)


@dataclass(frozen=True, slots=True)
class Season:
    """What is changed at the movement for a part of the year: parts with their value in the season."""

    name: str
    path: str
    since: Shown | None
    until: Shown | None
    changes: tuple[tuple[str, Shown], ...]


def seasons_of(clock: Clock, names: Names) -> tuple[Season, ...]:
    return tuple(
        Season(
            node.label or "",
            node.path,
            show(fact(node, "from"), "from"),
            show(fact(node, "from"), "to"),
            tuple(
                (names.part(of), shown)
                for change in node.facts
                if (shown := show(change)) and (of := change.text(part="of"))
            ),
        )
        for node in all_there(clock.root, "season")
    )
