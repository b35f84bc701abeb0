"""The clock as the manual's templates see it: values ready to print, choices already made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from countwheel.emit import view_counts, view_gaps, view_power, view_strike, view_time
from countwheel.emit.keeper_text import KeeperText, keeper_text
from countwheel.emit.shown import Shown, ShownFigure, all_there, path_words, show, show_figure
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node


@dataclass(frozen=True, slots=True)
class TrainView:
    """One train. `alone` says whether it is the only one of its role, so that the role names it."""

    name: str
    role: str
    alone: bool
    power: view_power.Power
    striking: view_strike.Striking | None
    arbors: tuple[view_counts.ArborRows, ...]
    remontoire: Shown | None
    has_remontoire: bool


@dataclass(frozen=True, slots=True)
class Wound:
    """When the clock is wound, as far as stated: named days, or an interval, or a habit."""

    days: tuple[str, ...]
    every: Shown | None
    habit: str


@dataclass(frozen=True, slots=True)
class Contact:
    name: str
    role: str
    telephone: str
    address: str
    mail: str
    key: bool


@dataclass(frozen=True, slots=True)
class Task:
    what: str
    every: Shown | None
    by: str


@dataclass(frozen=True, slots=True)
class Note:
    """A text of the keeper's under some part: the words of its path (none for the clock itself), the text."""

    where: tuple[str, ...]
    text: KeeperText


@dataclass(frozen=True, slots=True)
class State:
    """The state that a part is in, when it was renewed, where it lies: `word` is the vocabulary's."""

    where: tuple[str, ...]
    word: str
    value: Shown


@dataclass(frozen=True, slots=True)
class ClockView:
    name: str
    place: str
    country: str
    time_zone: str
    facts: Mapping[str, Shown | None]  # made, maker, frame, owner, keeper, stopped since, front
    wound: Wound | None
    trains: tuple[TrainView, ...]
    escapement: view_time.Escapement | None
    pendulum: view_time.Pendulum | None
    dials: tuple[view_time.DialView, ...]
    lead_off: view_time.LeadOff | None
    setting: view_time.Setting
    bells: tuple[view_strike.Bell, ...]
    seasons: tuple[view_power.Season, ...]
    contacts: tuple[Contact, ...]
    tasks: tuple[Task, ...]
    procedures: Mapping[str, KeeperText]
    history: KeeperText | None
    notes: tuple[Note, ...]
    states: tuple[State, ...]
    others: tuple[view_counts.OtherCount, ...]
    gaps: view_gaps.Gaps
    figures: Mapping[str, ShownFigure]

    # -- what there is -----------------------------------------------------
    @property
    def dial_groups(self) -> tuple[view_time.DialGroup, ...]:
        return view_time.groups_of(self.dials)

    @property
    def going(self) -> TrainView | None:
        return next((train for train in self.trains if train.role == "going"), None)

    @property
    def strikers(self) -> tuple[TrainView, ...]:
        return tuple(train for train in self.trains if train.striking)

    @property
    def by_hand(self) -> tuple[TrainView, ...]:
        return tuple(train for train in self.trains if train.power.winding)

    @property
    def motors(self) -> tuple[TrainView, ...]:
        return tuple(train for train in self.trains if train.power.motor)

    @property
    def weights(self) -> tuple[TrainView, ...]:
        return tuple(train for train in self.trains if train.power.weight)

    @property
    def has_fly(self) -> bool:
        return any(train.striking and train.striking.fly for train in self.trains)

    @property
    def count_wheel(self) -> bool:
        return any(train.striking and train.striking.count == "count wheel" for train in self.trains)

    @property
    def gravity(self) -> bool:
        return bool(self.escapement and self.escapement.kind == "gravity")

    @property
    def swinging(self) -> bool:
        return any(bell.swings for bell in self.bells)

    @property
    def hours(self) -> int:
        """Hours until every dial shows the same again: 12, or 24 where some dial has them."""
        return max((dial.hours for dial in self.dials), default=12)


_SAID = ("made", "maker", "frame", "owner", "keeper", "stopped since", "front", "trains")
_STATES = ("condition", "replaced", "found in", "belongs")


def view_of(clock: Clock, figures: Mapping[str, Figure]) -> ClockView:
    """The whole view of a clock. Nothing of it is worded: that is for the templates."""
    node, place = clock.fact("clock"), clock.place
    facts = {word: show(node.get(word)) if node else None for word in _SAID}
    return ClockView(
        name=clock.name,
        place=(place.label or place.text(part="name") or place.text() or "") if place else "",
        country=(place.text("country") or "") if place else "",
        time_zone=(place.text("time zone") or "") if place else "",
        facts=facts,
        wound=_wound(node.get("wound") if node else None),
        trains=tuple(_train(train, clock, figures) for train in clock.trains),
        escapement=view_time.escapement_of(clock),
        pendulum=view_time.pendulum_of(clock, figures),
        dials=tuple(view_time.dial_of(dial, figures) for dial in clock.dials),
        lead_off=view_time.lead_off_of(clock),
        setting=view_time.setting_of(clock),
        bells=view_strike.bells_of(clock),
        seasons=view_power.seasons_of(clock),
        contacts=tuple(map(_contact, all_there(clock.root, "contact"))),
        tasks=tuple(_tasks(clock.root)),
        procedures={
            (fact.label or ""): text
            for fact in all_there(clock.root, "procedure")
            if (text := keeper_text(fact, "text"))
        },
        history=keeper_text(node.get("history")) if node else None,
        notes=tuple(_notes(clock.root)),
        states=tuple(_states(clock.root)),
        others=view_counts.other_counts(clock),
        gaps=view_gaps.gaps_of(clock, figures),
        figures={id: shown for id, figure in figures.items() if (shown := show_figure(figure))},
    )


def _train(train: Train, clock: Clock, figures: Mapping[str, Figure]) -> TrainView:
    remontoire = view_power.train_fact(train, "remontoire")
    return TrainView(
        train.name,
        train.role,
        len(clock.trains_of(train.role)) == 1,
        view_power.power_of(train, figures),
        view_strike.striking_of(train, figures),
        view_counts.arbors_of(train, figures),
        show(remontoire, "every"),
        remontoire is not None and remontoire.value is None,
    )


def _wound(node: Node | None) -> Wound | None:
    if node is None:
        return None
    days = (node.text(part=part) for part in ("day", "second"))
    return Wound(tuple(day for day in days if day), show(node, "interval"), node.text(part="how") or "")


def _contact(node: Node) -> Contact:
    return Contact(
        node.label or "",
        node.text("role") or "",
        node.text("telephone") or "",
        node.text("address") or "",
        node.text("mail") or "",
        node.says("holds key"),
    )


def _tasks(root: Node) -> Iterator[Task]:
    for care in all_there(root, "care"):
        for fact in care.facts:
            every = show(fact, "every")
            if every:
                yield Task(fact.text(part="task") or fact.written, every, fact.text(part="who") or "")


def _notes(root: Node) -> Iterator[Note]:
    for node in root.walk():
        for fact in node.all("remark"):
            text = keeper_text(fact)
            if text:
                yield Note(path_words(node.path), text)


def _states(root: Node) -> Iterator[State]:
    for node in root.walk():
        if node.word == "remains":
            continue
        for word in _STATES:
            shown = show(node.get(word))
            if shown and shown.known:
                yield State(path_words(node.path), word, shown)
