"""What is to be done at a clock and when it falls due: from the care lines, the winding, the seasons, and the log."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Literal, NamedTuple

from countwheel import zones
from countwheel.figures.record import Figure
from countwheel.keeping import record, seasons
from countwheel.keeping.steps import WEEKDAYS, Step, step_of
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node
from countwheel.model.values import Absent, Quantity

Kind = Literal["winding", "care", "lines", "season", "clocks"]
State = Literal["overdue", "due", "next", "no record"]
LINES = Step(months=12)  # where the description says nothing: once a year is common practice, no source
LATE = timedelta(
    days=28
)  # as long a season or a change of the clocks of which the log has nothing is called to mind
EARLY = timedelta(days=45)  # before its day a season may have been changed so long
_ABOUT_LINES = frozenset({"lin", "line", "rop", "rope", "wir", "wire", "chain", "gut"})
# Left over of the run where no winding day is stated: a day, of a short run a quarter. Own rule, on the safe side.
MARGIN, SHARE = 1.0, 0.25


class Winding(NamedTuple):
    """How often the clock is wound: on days of the week (0 is Monday) or every so many days.

    `stated` is False where it follows from the run on one winding; `run` is the shortest run of a train in days.
    """

    days: tuple[int, ...]
    step: Step | None
    stated: bool
    run: float | None

    def after(self, day: date) -> date:
        """The next winding behind one on that day."""
        if self.step is not None:
            return self.step.after(day)
        return next(one for by in range(1, 8) if (one := day + timedelta(days=by)).weekday() in self.days)


class Duty(NamedTuple):
    """One thing to be done. `last` is when the log has it done; `day` when it falls due, None where nothing tells.

    `since` is the beginning of the log, where the log has no record of it: it is then due by `day` at the latest.
    `every` is its interval where it has one; `what` is the keeper's own words, or the season's name.
    """

    kind: Kind
    what: str
    who: str
    state: State
    day: date | None
    last: date | None = None
    since: date | None = None
    every: Step | None = None
    node: Node | None = None
    turn: seasons.Turn | None = None
    change: zones.Change | None = None


def winding_of(clock: Clock, figures: Mapping[str, Figure]) -> Winding | None:
    """How often it is wound; None where a motor winds it, where it does not go, or where nothing tells."""
    node = clock.fact("clock", "wound")
    if clock.fact("clock", "stopped since") is not None or (node is not None and _none(node)):
        return None
    runs = [run for train in clock.trains if _by_hand(train) and (run := _run(train, figures)) is not None]
    run = min(runs, default=None)
    if node is not None:
        how, interval = node.text(part="how"), node.part("interval", Quantity)
        if how == "automatically":
            return None
        if how in ("daily", "weekly"):
            return Winding((), Step(days=1 if how == "daily" else 7), True, run)
        if interval is not None:
            return Winding((), step_of(interval), True, run)
        named = (node.text(part="day"), node.text(part="second"))
        days = {WEEKDAYS.index(day.lower()) for day in named if day and day.lower() in WEEKDAYS}
        if days:
            return Winding(tuple(sorted(days)), None, True, run)
    if run is None:
        return None
    return Winding((), Step(days=max(1, int(run - min(MARGIN, SHARE * run)))), False, run)


def _by_hand(train: Train) -> bool:
    automatic = train.fact("automatic winding")
    return train.barrel is not None and (automatic is None or _none(automatic))


def _run(train: Train, figures: Mapping[str, Figure]) -> float | None:
    """The shortest that a train runs on one winding, in days."""
    found = []
    for id, days in ((f"{train.name}.duration", 1.0), (f"{train.name}.duration.at_worst", 1 / 24)):
        figure = figures.get(id)
        if figure is not None and isinstance(figure.value, float):
            found.append(figure.value * days)
    return min(found, default=None)


def _none(node: Node) -> bool:
    return isinstance(node.value, Absent)


# -- what falls due --------------------------------------------------------------
def duties(clock: Clock, figures: Mapping[str, Figure], on: date) -> tuple[Duty, ...]:
    """All that is to be done, as it stands on a day: overdue first, then by the day that it falls due on."""
    log = tuple(one for one in record.entries(clock) if one.day <= on)
    found = [*_winding(clock, figures, log, on), *_care(clock, log, on), *_seasons(clock, log, on)]
    found += _clocks(clock, log, on)
    rank = {"overdue": 0, "due": 1, "next": 2, "no record": 3}
    return tuple(sorted(found, key=lambda one: (rank[one.state], one.day or date.max, one.kind, one.what)))


def overdue(found: tuple[Duty, ...]) -> bool:
    """Whether anything is due or overdue."""
    return any(one.state in ("overdue", "due") for one in found)


def _state(day: date, on: date) -> State:
    return "overdue" if day < on else "due" if day == on else "next"


def _winding(
    clock: Clock, figures: Mapping[str, Figure], log: tuple[record.Entry, ...], on: date
) -> Iterator[Duty]:
    winding = winding_of(clock, figures)
    if winding is None:
        return
    node = clock.fact("clock", "wound")
    last = record.last_wound(log, on)
    if last is not None:
        day = winding.after(last.day)
        yield Duty("winding", "", "", _state(day, on), day, last.day, every=winding.step, node=node)
    elif winding.days:
        day = winding.after(on - timedelta(days=1))
        yield Duty("winding", "", "", "due" if day == on else "no record", day, node=node)
    else:
        yield Duty("winding", "", "", "no record", None, every=winding.step, node=node)


def tasks_of(clock: Clock) -> Iterator[tuple[str, Step | None, str, Node]]:
    """The care lines: what, how often (None where that is not known), by whom."""
    for care in clock.root.all("care"):
        for task in care.facts if not _none(care) else ():
            what, every = task.text(part="task"), task.part("every", Quantity)
            if what:
                yield what, step_of(every) if every else None, task.text(part="who") or "", task


def about_lines(task: str) -> bool:
    """Whether a task looks at the lines that carry the weights."""
    return bool(record.stems(task) & _ABOUT_LINES)


def _care(clock: Clock, log: tuple[record.Entry, ...], on: date) -> Iterator[Duty]:
    tasks = list(tasks_of(clock))
    for what, every, who, node in tasks:
        yield _task("lines" if about_lines(what) else "care", what, every, who, node, log, on)
    hangs = any(train.barrel is not None and train.barrel.get("weight") for train in clock.trains)
    if hangs and not any(about_lines(what) for what, *_ in tasks):
        yield _task("lines", "", LINES, "", None, log, on)


def _task(
    kind: Kind,
    what: str,
    every: Step | None,
    who: str,
    node: Node | None,
    log: tuple[record.Entry, ...],
    on: date,
) -> Duty:
    last = record.last_done(log, what or "inspect lines", on)
    begun = log[0].day if log and last is None else None
    start = last or begun
    if every is None or start is None:
        return Duty(kind, what, who, "no record", None, last, begun, every, node)
    day = every.after(start)
    state = _state(day, on)
    return Duty(kind, what, who, "no record" if last is None and state == "next" else state, day, last, begun,
                every, node)  # fmt: skip


def _seasons(clock: Clock, log: tuple[record.Entry, ...], on: date) -> Iterator[Duty]:
    for season in clock.root.all("season"):
        turn = seasons.turn_of(clock, season, log) if season.all("<change>") else None
        if turn is None or not 1 < on.year < 9998:
            continue
        name = season.label or ""
        before = turn.last_before(on)
        told = record.season_changed(log, name, before - EARLY, on)
        if log and log[0].day <= before and on - before <= LATE and told is None:
            yield Duty("season", name, "", _state(before, on), before, node=season, turn=turn)
            if before >= on:
                continue
        day = turn.next_from(on)
        early = record.season_changed(log, name, day - EARLY, on)
        if early is not None:
            day = turn.next_from(day + timedelta(days=1))
        yield Duty("season", name, "", _state(day, on), day, early, node=season, turn=turn)


def _clocks(clock: Clock, log: tuple[record.Entry, ...], on: date) -> Iterator[Duty]:
    if not 1 < on.year < 9998:
        return
    change = next(clock_changes(clock, on, date(on.year + 1, 12, 31)), None)
    if change is not None:
        yield Duty("clocks", "", "", _state(change.day, on), change.day, change=change)
    for one in clock_changes(clock, on - LATE, on - timedelta(days=1)):
        since = one.day - timedelta(days=1)  # many are changed on the evening before
        if log and log[0].day <= one.day and record.put_right(log, since, on, abs(one.by) * 30.0) is None:
            yield Duty("clocks", "", "", "overdue", one.day, change=one)


def clock_changes(clock: Clock, first: date, last: date) -> Iterator[zones.Change]:
    """The changes of the place's clocks from one day to another; none where the zone is not stated or not known.

    A clock that has neither dials nor a strike, or does not go, has nothing to be put on.
    """
    node = clock.place.get("time zone") if clock.place else None
    name = node.text() if node and not _none(node) else None
    strikes = any(train.role in ("strike", "chime") for train in clock.trains)
    if not name or not (clock.dials or strikes) or clock.fact("clock", "stopped since") is not None:
        return
    for year in range(first.year, last.year + 1):
        yield from (change for change in zones.changes(name, year) if first <= change.day <= last)
