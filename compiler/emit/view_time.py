"""What the manual says of escapement, pendulum, hands and dials, taken from the clock and its figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from countwheel.emit.shown import Shown, ShownFigure, bearing, show, show_figure
from countwheel.emit.stated import evidence, fact, has, is_lost, there
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Dial
from countwheel.model.node import Node

# Daily errors to mend that the regulating table is made for: in seconds, but in minutes for a verge, which keeps
# time to some minutes a day (common practice, no source).
_ERRORS = (1, 2, 5, 10, 20)
# Those that the table of the tray is made for, in seconds: what small weights are for.
_SMALL_ERRORS = ("0.2", "0.5", "1", "2", "5")


@dataclass(frozen=True, slots=True)
class Escapement:
    """`kind` is '' where it is not said. `wheel` is its teeth, pins or legs, of which `what` is the word.

    `double` says whether the legs stand in two planes; `sides` on which sides the pins stand.
    """

    kind: str
    what: str
    wheel: Shown | None
    double: bool
    sides: str


@dataclass(frozen=True, slots=True)
class Correction:
    """One line of the regulating table: an error by the day and the week, and how far to turn the nut."""

    daily: int
    weekly: int
    turns: str
    divisions: str  # '' where the nut has no marks


@dataclass(frozen=True, slots=True)
class TrayRow:
    """One line of the tray's table: an error by the day and the week in seconds, and how many grams mend it."""

    daily: str
    weekly: str
    grams: str


@dataclass(frozen=True, slots=True)
class Pendulum:
    beat: Shown | None
    rod: Shown | None
    bob: Shown | None
    mass: Shown | None
    arc: Shown | None
    mercury: bool
    lost: tuple[str, ...]  # of its parts (rod, suspension spring, bob, rating nut), those that are lost
    spring: bool  # whether it is said to hang from one: a verge's may not
    crutch: str  # 'stated', 'perhaps' or ''
    nut: bool
    thread: Shown | None
    divisions: Shown | None
    raises: str  # 'right' or 'left' seen from below, '' where it is not stated
    per_turn: ShownFigure | None
    per_division: ShownFigure | None
    corrections: tuple[Correction, ...]
    in_minutes: bool  # the errors of these, else in seconds
    tray: bool
    tray_weights: Shown | None
    per_gram: ShownFigure | None
    tray_rows: tuple[TrayRow, ...]
    per_degree: ShownFigure | None
    per_hectopascal: ShownFigure | None
    per_ten_hectopascal: str  # in s/day, without its sign: 1 hPa moves a clock too little to be noticed
    wood: bool
    beat_setting: Shown | None


@dataclass(frozen=True, slots=True)
class DialView:
    """One dial; `name` is '' where the clock has but one and gave it no name."""

    name: str
    diameter: Shown | None
    height: Shown | None
    minute_hand: bool
    counterpoised: bool
    hours: int
    setting_dial: bool
    led: bool  # turned through leading-off work
    sense: ShownFigure | None


@dataclass(frozen=True, slots=True)
class DialGroup:
    """Dials of which the same is said; `like` is the first of them."""

    names: tuple[str, ...]
    like: DialView


def groups_of(dials: tuple[DialView, ...]) -> tuple[DialGroup, ...]:
    """Dials that are described in the same words, together, in the order of the first of each."""
    found: dict[tuple[str, ...], list[DialView]] = {}
    for dial in dials:
        said = tuple(value.text if value else "" for value in (dial.diameter, dial.height))
        marks = (str(dial.minute_hand), str(dial.counterpoised), str(dial.hours), str(dial.setting_dial))
        found.setdefault(said + marks, []).append(dial)
    return tuple(DialGroup(tuple(dial.name for dial in alike), alike[0]) for alike in found.values())


@dataclass(frozen=True, slots=True)
class LeadOff:
    """The way to the dials in numbers: shafts, joints and pairs of bevels."""

    shafts: int
    joints: int
    bevels: int


@dataclass(frozen=True, slots=True)
class Setting:
    by: Shown | None
    dial: Shown | None
    friction: Shown | None


def escapement_of(clock: Clock) -> Escapement | None:
    node = there(clock.escapement)
    arbor = next((train.escape_arbor for train in clock.trains if train.escape_arbor), None)
    wheel = there(arbor.escape) if arbor else None
    if node is None and wheel is None:
        return None
    kind = (node.text(part="kind") if node else None) or ""
    return Escapement(
        kind,
        wheel.word if wheel else "",
        show(wheel, "teeth") or show(wheel),
        wheel is not None and wheel.text(part="planes") == "double",
        (wheel.text(part="sides") or "") if wheel else "",
    )


def pendulum_of(clock: Clock, figures: Mapping[str, Figure]) -> Pendulum | None:
    node = there(clock.pendulum)
    if node is None:
        return None
    nut, tray, bob, rod = (fact(node, word) for word in ("rating nut", "tray", "bob", "rod"))
    material = (bob.text(part="material") or "") if bob else ""
    escapement = there(clock.escapement)
    in_minutes = escapement is not None and escapement.text(part="kind") == "verge"
    buoyant = "pendulum.barometric_coefficient"
    air = figures.get(f"{buoyant}.with_carried_air") or figures.get(buoyant)
    return Pendulum(
        beat=show(fact(node, "beat")),
        rod=show(rod, "material"),
        bob=show(bob, "material"),
        mass=show(fact(bob, "mass")),
        arc=show(fact(node, "half arc")),
        mercury=has(bob, "jars") or has(bob, "mercury height") or "mercury" in material,
        lost=tuple(word for word in _PARTS if is_lost(node.get(word))),
        spring=has(node, "suspension spring"),
        crutch=_crutch(fact(node, "crutch")),
        nut=nut is not None,
        thread=show(fact(nut, "thread")),
        divisions=show(fact(nut, "divisions")),
        raises=next((way for way in ("right", "left") if has(nut, f"{way} raises")), ""),
        per_turn=show_figure(figures.get("pendulum.nut.rate_per_turn")),
        per_division=show_figure(figures.get("pendulum.nut.rate_per_division")),
        corrections=_corrections(
            figures.get("pendulum.nut.rate_per_turn"),
            figures.get("pendulum.nut.rate_per_division"),
            60 if in_minutes else 1,
        ),
        in_minutes=in_minutes,
        tray=tray is not None,
        tray_weights=show(fact(tray, "weights")),
        per_gram=show_figure(figures.get("pendulum.tray.rate_per_gram")),
        tray_rows=_tray_rows(figures.get("pendulum.tray.rate_per_gram")) if tray else (),
        per_degree=show_figure(figures.get("pendulum.temperature_coefficient")),
        per_hectopascal=show_figure(air),
        per_ten_hectopascal=_tenfold(air),
        wood=_is_wood(rod),
        beat_setting=show(fact(node, "beat setting")),
    )


def _crutch(node: Node | None) -> str:
    if node is None or is_lost(node):
        return ""
    return "perhaps" if evidence(node).perhaps else "stated"


# What a pendulum cannot swing, or be regulated, without.
_PARTS = ("rod", "suspension spring", "bob", "rating nut")

_WOODS = frozenset(
    {"wood", "pine", "deal", "fir", "larch", "mahogany", "oak", "teak", "spruce", "cedar", "ash"}
)


def _is_wood(rod: Node | None) -> bool:
    """Whether the rod, or a member of it that its stack names, is of a wood."""
    parts = (rod, *rod.all("<member>")) if rod else ()
    words = " ".join(part.text(part="material") or "" for part in parts if part).lower().split()
    return bool(_WOODS.intersection(words))


def _corrections(turn: Figure | None, division: Figure | None, each: int) -> tuple[Correction, ...]:
    """How far to turn the nut for a handful of errors of `each` seconds; nothing where its rate is not known."""
    per_turn = _number(turn)
    if turn is None or not per_turn:
        return ()
    per_mark = _number(division)
    return tuple(
        Correction(
            error,
            error * 7,
            _share(error * each / abs(per_turn), turn.uncertainty, abs(per_turn)),
            _share(error * each / abs(per_mark), division.uncertainty, abs(per_mark))
            if division and per_mark
            else "",
        )
        for error in _ERRORS
    )


def _tray_rows(gram: Figure | None) -> tuple[TrayRow, ...]:
    """How much to lay on or take off for a handful of small errors; nothing where its rate is not known."""
    per_gram = _number(gram)
    if gram is None or not per_gram:
        return ()
    return tuple(
        TrayRow(
            error,
            f"{float(error) * 7:g}",
            _share(float(error) / abs(per_gram), gram.uncertainty, abs(per_gram)),
        )
        for error in _SMALL_ERRORS
    )


def _share(quotient: float, spread: float | None, of: float) -> str:
    """A quotient to two digits: no keeper turns a nut more finely, and its rate is seldom known better."""
    return bearing(quotient, quotient * spread / of if spread else None, 2)


def _tenfold(figure: Figure | None) -> str:
    value = _number(figure)
    spread = figure.uncertainty if figure else None
    return "" if value is None else bearing(abs(value) * 10, spread * 10 if spread else None, 2)


def _number(figure: Figure | None) -> float | None:
    return figure.value if figure and isinstance(figure.value, float) else None


def dial_of(dial: Dial, figures: Mapping[str, Figure]) -> DialView:
    node = dial.node
    work = there(dial.motion_work)
    return DialView(
        dial.node.label or dial.name,
        show(fact(node, "diameter")),
        show(fact(node, "above ground")),
        not (has(node, "one hand only") or node.denies("minute hand")),
        fact(node, "minute hand", "counterpoise") is not None,
        (work.count("hours") if work else None) or node.count("hours") or 12,
        has(node, "setting dial"),
        dial.leading_off is not None,
        show_figure(figures.get(f"{dial.path}.minute_hand.sense_from_outside")),
    )


def lead_off_of(clock: Clock) -> LeadOff | None:
    if not clock.leading_off:
        return None
    found = {"shaft": 0, "universal joint": 0, "bevel": 0, "central bevel": 0}
    for way in clock.leading_off:
        for node in way.node.walk():
            if node.word in found and there(node):
                found[node.word] += 1
    return LeadOff(found["shaft"], found["universal joint"], found["bevel"] + found["central bevel"])


def setting_of(clock: Clock) -> Setting:
    node = there(clock.fact("setting"))
    slips = (show(fact(way.node, "friction")) for way in clock.leading_off)
    friction = show(fact(node, "friction"))
    return Setting(
        show(fact(node, "by")),
        show(fact(node, "dial")),
        friction or next((slip for slip in slips if slip), None),
    )
