"""The entries of a clock's calendar: when, and in what words. The wording is in `templates/manual/calendar.xml.j2`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from countwheel import zones
from countwheel.emit.clean import printable_text
from countwheel.emit.document import Paragraph
from countwheel.emit.due_text import step_text
from countwheel.emit.markup import read_blocks
from countwheel.emit.shown import date_text
from countwheel.emit.templating import environment
from countwheel.emit.traversal import plain
from countwheel.emit.view import ClockView, view_of
from countwheel.figures.record import Figure
from countwheel.figures.rounding import fixed
from countwheel.keeping import duties, record, rota
from countwheel.keeping.duties import Duty
from countwheel.keeping.seasons import Turn
from countwheel.keeping.steps import WEEK
from countwheel.model.clock import Clock

# How long before an entry it is called to mind: in the morning of a day before a day-long one, an hour before another.
_EVE, _WEEK_BEFORE, _HOUR = timedelta(hours=-15), timedelta(days=-6, hours=-15), timedelta(hours=-1)
_LEAST, _USUAL, _ROUND = 15, 30, 5  # minutes of a winding


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. `key` is the same at every export: what it is of, not when.

    `start` is a day, or a moment in the place's zone; `last` the last day of one that takes several; `lasts` how long
    one at a moment takes; `rule` the parts of its recurrence without the end, None where it comes once.
    """

    key: str
    title: str
    text: str
    start: date | datetime
    alarm: timedelta | None
    rule: Mapping[str, object] | None = None
    last: date | None = None
    lasts: timedelta | None = None
    category: str = ""


@dataclass(frozen=True, slots=True)
class _Said:
    """What the template is given of an entry."""

    kind: str
    what: str = ""
    who: str = ""
    every: str = ""
    last: str = ""
    since: str = ""
    run: str = ""
    stated: bool = True
    recorded: bool = False
    stated_day: str = ""
    changes: tuple[tuple[str, str], ...] = ()
    at: str = ""
    by: int = 0
    instead: str = ""
    why: str = ""


@dataclass(slots=True)
class _Maker:
    view: ClockView
    used: dict[str, int] = field(default_factory=dict)

    def make(self, key: str, said: _Said, start: date, alarm: timedelta | None, **more: Any) -> Entry:
        self.used[key] = self.used.get(key, 0) + 1
        if self.used[key] > 1:  # two lines of the same words are two entries
            key = f"{key} {self.used[key]}"
        title, text = (self._written(said, part) for part in ("title", "text"))
        return Entry(key, title, text, start, alarm, category=said.kind, **more)

    def _written(self, said: _Said, part: str) -> str:
        xml = environment().get_template("calendar.xml.j2").render(clock=self.view, e=said, part=part)
        blocks = read_blocks(printable_text(xml), {}, "calendar.xml.j2")
        return "\n".join(
            "".join(plain(one) for one in block.parts).strip()
            for block in blocks
            if isinstance(block, Paragraph)
        )


def entries(clock: Clock, figures: Mapping[str, Figure], first: date, last: date) -> tuple[Entry, ...]:
    """All entries from one day to another, in the order of their first days.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    maker = _Maker(view_of(clock, figures))
    found = [
        *_winding(maker, clock, figures, first, last),
        *_duties(maker, clock, figures, first, last),
        *_clocks(maker, clock, first, last),
        *_rota(maker, clock, figures, first, last),
    ]
    return tuple(sorted(found, key=lambda one: (one.start.isoformat(), one.key)))


def _winding(
    maker: _Maker, clock: Clock, figures: Mapping[str, Figure], first: date, last: date
) -> Iterator[Entry]:
    winding = duties.winding_of(clock, figures)
    if winding is None:
        return
    log = record.entries(clock)
    run = fixed(int(winding.run * 10) / 10, 1).removesuffix(".0") if winding.run is not None else ""
    said = _Said("winding", run=run, stated=winding.stated)
    series: list[tuple[str, date, Mapping[str, object]]] = []
    for weekday in winding.days:
        start = first + timedelta(days=(weekday - first.weekday()) % 7)
        series.append((f"winding {WEEK[weekday]}", start, {"FREQ": "WEEKLY", "BYDAY": [WEEK[weekday]]}))
    if winding.step is not None:
        before = record.last_wound(log, first)
        begins = next(winding.step.days_from(before.day, first, last), first) if before else first
        series.append(("winding", begins, winding.step.rule(begins)))
    minute, zone = record.winding_minute(log), zone_of(clock)
    for key, day, rule in series:
        if day > last:
            continue
        if minute is None or zone is None:
            yield maker.make(key, said, day, _EVE, rule=rule)
            continue
        moment = datetime.combine(day, time(minute // 60 % 24, minute % 60), zones.zone(zone))
        yield maker.make(key, said, moment, _HOUR, rule=rule, lasts=_lasts(figures))


def _lasts(figures: Mapping[str, Figure]) -> timedelta:
    """How long all the winding takes, on the long side."""
    minutes = [
        figure.value
        for id, figure in figures.items()
        if id.endswith(".winding.minutes") and isinstance(figure.value, float)
    ]
    whole = _ROUND * -(-int(sum(minutes)) // _ROUND) if minutes else _USUAL
    return timedelta(minutes=max(_LEAST, min(whole, 600)))


def zone_of(clock: Clock) -> str | None:
    """The name of the place's time zone, where it is stated and known."""
    node = clock.place.get("time zone") if clock.place else None
    name = node.text() if node else None
    return name if name and zones.zone(name) is not None else None


def _duties(
    maker: _Maker, clock: Clock, figures: Mapping[str, Figure], first: date, last: date
) -> Iterator[Entry]:
    """Care, lines and seasons: what is overdue on the first day stands on that day."""
    for duty in duties.duties(clock, figures, first):
        if duty.kind in ("winding", "clocks"):
            continue
        if duty.turn is not None:
            start = duty.turn.next_from(first)
            if duty.state != "overdue" and start <= last:  # that one stands beside the next of its series
                yield _season(maker, duty, start)
            continue
        start = max(duty.day or first, first)
        if start > last:
            continue
        said = _Said(
            duty.kind,
            what=duty.what,
            who=duty.who,
            every=step_text(duty.every) if duty.every else "",
            last=date_text(duty.last.isoformat()) if duty.last else "",
            since=date_text(duty.since.isoformat()) if duty.since else "",
        )
        rule = duty.every.rule(start) if duty.every else None
        yield maker.make(f"{duty.kind} {duty.what}".strip(), said, start, _WEEK_BEFORE, rule=rule)


def _season(maker: _Maker, duty: Duty, start: date) -> Entry:
    turn = duty.turn
    assert turn is not None
    view = next((one for one in maker.view.seasons if duty.node and one.path == duty.node.path), None)
    said = _Said(
        "season",
        what=duty.what,
        recorded=turn.recorded,
        stated_day=date_text(f"--{turn.stated[0]:02d}-{turn.stated[1]:02d}") if turn.stated else "",
        changes=tuple((what, value.text or "not known") for what, value in view.changes) if view else (),
    )
    return maker.make(f"season {duty.what}", said, start, _WEEK_BEFORE, rule=yearly(turn))


def yearly(turn: Turn) -> dict[str, object]:
    """The parts of the rule of a season's day, without its end."""
    rule: dict[str, object] = {"FREQ": "YEARLY", "BYMONTH": turn.month, "BYMONTHDAY": turn.day}
    if (turn.month, turn.day) == (2, 29):
        rule |= {"BYMONTHDAY": [28, 29], "BYSETPOS": -1}
    return rule


def _clocks(maker: _Maker, clock: Clock, first: date, last: date) -> Iterator[Entry]:
    number: dict[int, int] = {}
    for change in duties.clock_changes(clock, first.replace(month=1, day=1), last):
        number[change.day.year] = number.get(change.day.year, 0) + 1
        if change.day < first:
            continue
        at = f"{change.minute // 60:02d}:{change.minute % 60:02d}"
        said = _Said("clocks", at=at, by=change.by)
        yield maker.make(f"clocks {change.day.year} {number[change.day.year]}", said, change.day, _EVE)


def _rota(
    maker: _Maker, clock: Clock, figures: Mapping[str, Figure], first: date, last: date
) -> Iterator[Entry]:
    """Where the days of winding are stated, an entry for each of them: known by its date, it is changed and not
    doubled by a later file, however the rota has been written anew. Else one for each turn.
    """
    kept, winding = rota.rota_of(clock), duties.winding_of(clock, figures)
    if kept is None:
        return
    if winding is not None and winding.days:
        for by in range((last - first).days + 1):
            day = first + timedelta(days=by)
            turn = rota.on_day(kept, day) if day.weekday() in winding.days else None
            if turn is not None:
                yield maker.make(f"rota {day.isoformat()}", _said_of(turn), day, _EVE)
        return
    number = kept.number(first)
    begun = kept.turn.after(kept.start, number) if number > 0 else kept.start
    parts: dict[int, int] = {}
    # From its beginning, so that its parts have the numbers that they had.
    for turn in rota.turns(kept, begun, last):
        parts[turn.number] = parts.get(turn.number, 0) + 1
        if turn.last >= first:
            key = f"rota {turn.number} {parts[turn.number]}"
            yield maker.make(key, _said_of(turn), max(turn.first, first), _EVE, last=turn.last)


def _said_of(turn: rota.Turn) -> _Said:
    return _Said("rota", what=turn.name, instead=turn.planned if turn.stands_in else "", why=turn.why)
