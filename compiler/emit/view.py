"""The clock as the manual's templates see it: values ready to print, choices already made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from countwheel.emit import view_counts, view_power, view_strike, view_time
from countwheel.emit.keeper_text import KeeperText, keeper_text
from countwheel.emit.naming import Names
from countwheel.emit.shown import Shown, ShownFigure, show, show_figure
from countwheel.emit.stated import all_there, fact, has, is_lost, there
from countwheel.figures.record import Figure
from countwheel.figures.terms import weakest
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node


@dataclass(frozen=True, slots=True)
class TrainView:
    """One train. `called` is what a keeper calls it: 'striking train'."""

    name: str
    role: str
    called: str
    power: view_power.Power
    striking: view_strike.Striking | None
    arbors: tuple[view_counts.ArborRows, ...]
    remontoire: Shown | None
    has_remontoire: bool
    turning: (
        str  # how the weakest fact is known behind the turns and senses of its arbors; '' where none is known
    )


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
    """A text of the keeper's under some part: its path, what the part is called in a sentence and in a table."""

    path: str
    of: str
    where: str
    text: KeeperText


@dataclass(frozen=True, slots=True)
class State:
    """The state that a part is in, when it was renewed, where it lies: `word` is the vocabulary's."""

    where: str
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
    lost: tuple[str, ...]  # the parts that are lost, by what a keeper calls them
    figures: Mapping[str, ShownFigure]
    names: Names

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
    def ever_by_hand(self) -> tuple[str, ...]:
        """What some train is wound with by hand, be it only when its motor has failed: 'handle', 'endless rope'."""
        own = [train.power.winding.by for train in self.by_hand if train.power.winding]
        spare = [train.power.motor.by_hand for train in self.motors if train.power.motor]
        return (*own, *(winding.by for winding in spare if winding and winding.by))

    @property
    def hammers(self) -> int:
        return sum(len(train.striking.hammers) for train in self.trains if train.striking)

    @property
    def motors(self) -> tuple[TrainView, ...]:
        return tuple(train for train in self.trains if train.power.motor)

    @property
    def switches(self) -> tuple[tuple[Shown | None, tuple[TrainView, ...]], ...]:
        """Where the supply of the motors is cut off, each place once with the trains that it belongs to."""
        places: dict[str, Shown | None] = {}
        groups: dict[str, tuple[TrainView, ...]] = {}
        for train in self.motors:
            place = train.power.motor.isolator if train.power.motor else None
            key = place.text if place else ""
            places.setdefault(key, place)
            groups[key] = (*groups.get(key, ()), train)
        return tuple((places[key], group) for key, group in groups.items())

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
    def wind_share(self) -> ShownFigure | None:
        """What the worst wind may take of the power at a minute hand: of the dial where that is most."""
        shares = [f for id, f in self.figures.items() if id.endswith(".minute_hand.wind_share") and f.value]
        return max(shares, key=lambda share: share.value or 0.0, default=None)

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
    node, place = there(clock.fact("clock")), there(clock.place)
    names = Names(clock)
    facts = {word: show(fact(node, word)) for word in _SAID}
    return ClockView(
        name=clock.name,
        place=(place.label or place.text(part="name") or place.text() or "") if place else "",
        country=(place.text("country") or "") if place else "",
        time_zone=(place.text("time zone") or "") if place else "",
        facts=facts,
        wound=_wound(fact(node, "wound")),
        trains=tuple(_train(train, figures, names) for train in clock.trains),
        escapement=view_time.escapement_of(clock),
        pendulum=view_time.pendulum_of(clock, figures),
        dials=tuple(view_time.dial_of(dial, figures) for dial in clock.dials),
        lead_off=view_time.lead_off_of(clock),
        setting=view_time.setting_of(clock),
        bells=view_strike.bells_of(clock),
        seasons=view_power.seasons_of(clock, names),
        contacts=tuple(map(_contact, all_there(clock.root, "contact"))),
        tasks=tuple(_tasks(clock.root)),
        procedures={
            (way.label or ""): text
            for way in all_there(clock.root, "procedure")
            if (text := keeper_text(way, "text"))
        },
        history=keeper_text(fact(node, "history")),
        notes=tuple(_notes(clock.root, names)),
        states=tuple(_states(clock.root, names)),
        others=view_counts.other_counts(clock, names),
        lost=tuple(_lost(clock.root, names)),
        figures={id: shown for id, figure in figures.items() if (shown := show_figure(figure))},
        names=names,
    )


def _train(train: Train, figures: Mapping[str, Figure], names: Names) -> TrainView:
    remontoire = view_power.train_fact(train, "remontoire")
    turning = (
        figure
        for arbor in train.arbors
        for what in ("turns_per_hour", "sense")
        if (figure := figures.get(f"{arbor.path}.{what}")) and figure.value is not None
    )
    inputs = [one for figure in turning for one in figure.inputs]
    return TrainView(
        train.name,
        train.role,
        names.train(train.name),
        view_power.power_of(train, figures, names),
        view_strike.striking_of(train, figures, names),
        view_counts.arbors_of(train, figures),
        show(remontoire, "every"),
        remontoire is not None,
        weakest(inputs) if inputs else "",
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
        has(node, "holds key"),
    )


def _tasks(root: Node) -> Iterator[Task]:
    for care in all_there(root, "care"):
        for task in care.facts:
            every = show(task, "every")
            if every:
                yield Task(task.text(part="task") or task.written, every, task.text(part="who") or "")


def _notes(root: Node, names: Names) -> Iterator[Note]:
    for node in root.walk():
        for remark in node.all("remark"):
            text = keeper_text(remark)
            if text:
                where = names.part(node.path, node.word)
                yield Note(node.path, names.phrase(node.path, word=node.word), where, text)


def _states(root: Node, names: Names) -> Iterator[State]:
    for node in root.walk():
        if node.word == "remains":
            continue
        for word in _STATES:
            shown = show(fact(node, word))
            if shown and shown.known:
                yield State(names.part(node.path, node.word), word, shown)


def _lost(root: Node, names: Names) -> Iterator[str]:
    for node in root.walk():
        if node.word != "lost" and is_lost(node):
            yield names.phrase(node.path, word=node.word)
