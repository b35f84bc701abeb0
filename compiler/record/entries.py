"""Entries of the log as numbers: when by UTC, the error found and left, what was read off and done."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import degrees, sqrt
from typing import Literal

from countwheel.keeping.record import stems, tells_of_season
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment, Number, Quantity
from countwheel.zones import zone

#: Standard error, in seconds, of comparing a public clock with a time signal by eye and ear. Our own judgement: an
#: expert is said to judge a beat to 0.05 s and a beginner to 0.1 to 0.2 s, and a large hand or a hammer is worse.
EYE_AND_EAR = 0.3
NOON = time(12, 0)
_LAST = re.compile(r"(\d+/\d+|\d+(?:[.,](\d+))?)\s*([^\W\d]+)\.?\s*$")
_SIZES = {"s": 1.0, "sec": 1.0, "second": 1.0, "min": 60.0, "minute": 60.0, "h": 3600.0, "hour": 3600.0}
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
Local = Literal["", "skipped", "twice"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. `at` in days; errors in s, fast is positive; `nut` in turns, up is positive; `tray` in g.

    `found_error` and `left_error` are the standard errors of the readings. `local` says whether the time of day is
    one that the place's clocks skipped, or had twice. `nut` and `tray` are None where not touched; NaN where the
    description does not give the divisions of the nut. `node` is the fact that it was read from.
    """

    at: float
    day: str
    hour: str
    node: Node
    local: Local = ""
    found: float | None = None
    found_error: float = 0.0
    left: float | None = None
    left_error: float = 0.0
    was_set: bool = False
    temperature: float | None = None  # °C
    pressure: float | None = None  # hPa
    arc: float | None = None  # degrees to each side
    nut: float | None = None
    tray: float | None = None
    stopped: bool = False
    started: bool = False
    served: bool = False  # oiled or cleaned
    weighted: bool = False  # a weight was changed
    doubted: str | None = None
    by: str = ""

    @property
    def when(self) -> str:
        return f"{self.day} {self.hour}".strip()


def reading_error(step: float) -> float:
    """The standard error, in s, of a reading written down to steps of `step` s: judging, and rounding (GUM F.2.2.1)."""
    return sqrt(EYE_AND_EAR**2 + step**2 / 12.0)


def entries(clock: Clock) -> tuple[Entry, ...]:
    """All entries of the log, in the order of time."""
    place = clock.place
    name = place.text("time zone") if place is not None else None
    divisions = _divisions(clock)
    seasons = [stems(season.label or "") for season in clock.root.all("season")]
    found = []
    before: float | None = None
    for node in _nodes(clock):
        entry = _entry(node, name, divisions, seasons, before)
        if entry is not None:
            found.append(entry)
            before = entry.at
    return tuple(sorted(found, key=lambda entry: entry.at))


def _nodes(clock: Clock) -> Iterable[Node]:
    return (node for log in clock.root.all("log") for node in log.facts if node.word == "entry")


def _divisions(clock: Clock) -> float | None:
    nut = clock.pendulum.get("rating nut") if clock.pendulum is not None else None
    node = nut.get("divisions") if nut is not None else None
    number = getattr(node.value, "value", None) if node is not None else None
    return float(number) if isinstance(number, (int, float)) and number > 0 else None


def utc(day: date, hour: time, zone_name: str | None, after: float | None = None) -> tuple[float, Local]:
    """A local date and time as days, and whether that time was skipped or came twice there.

    A time that came twice is the first of the two, or the second where the first lies before the moment `after`.
    """
    local = datetime.combine(day, hour)
    here = zone(zone_name) if zone_name else None
    if here is None:
        return _days(local.replace(tzinfo=UTC)), ""
    first = local.replace(tzinfo=here, fold=0)
    second = local.replace(tzinfo=here, fold=1)
    if first.utcoffset() == second.utcoffset():
        return _days(first), ""
    if first.astimezone(UTC).astimezone(here).replace(tzinfo=None) != local:
        return _days(first), "skipped"
    early = _days(first)
    return (_days(second) if after is not None and early < after else early), "twice"


def _days(moment: datetime) -> float:
    return (moment - _EPOCH) / timedelta(days=1)


def _entry(
    node: Node,
    zone_name: str | None,
    divisions: float | None,
    seasons: Sequence[frozenset[str]],
    before: float | None,
) -> Entry | None:
    on, hour = node.part("date", Moment), node.part("time", Moment)
    if on is None:
        return None
    try:
        day = date.fromisoformat(on.iso)
        at = time.fromisoformat(hour.iso) if hour is not None else NOON
        moment, local = utc(day, at, zone_name, before)
    except (ValueError, OverflowError):
        return None
    found, found_error = _error(node.get("found"))
    left, left_error = _error(node.get("left"))
    was_set = node.says("set")
    if was_set and left is None:
        left, left_error = _error(node.get("set"))
    was_set = was_set or (left is not None and found is not None and left != found)
    if left is None:
        left, left_error = found, found_error
    elif found is None and not was_set:
        found, found_error = left, left_error
    read = {"temperature": None, "pressure": None, "angle": None} | {
        quantity.dimension: quantity.si
        for quantity in (event.quantity() for event in (*node.all("at"), *node.all("arc")))
        if quantity is not None
    }
    warmth, air, arc = read["temperature"], read["pressure"], read["angle"]
    return Entry(
        moment,
        on.iso,
        hour.iso[:5] if hour is not None else "",
        node,
        local,
        found,
        found_error,
        left,
        left_error,
        was_set,
        warmth - 273.15 if warmth is not None else None,
        air / 100.0 if air is not None else None,
        degrees(arc) if arc is not None else None,
        _nut(node, divisions),
        _tray(node),
        node.says("stopped"),
        node.says("started"),
        node.says("oiled") or node.says("cleaned"),
        any(tells_of_season(event, seasons) for event in node.facts),
        node.evidence.doubted,
        node.text("by") or "",
    )


def _error(event: Node | None) -> tuple[float | None, float]:
    """A signed error in s and the standard error of its reading; `right` is to the second."""
    if event is None:
        return None, 0.0
    value = event.part("value", Quantity)
    if value is None:
        return (None, 0.0) if event.values else (0.0, reading_error(1.0))
    sign = -1.0 if event.text(part="way") == "slow" else 1.0
    return sign * value.si, reading_error(step_of(value.written))


def step_of(written: str) -> float:
    """The step, in s, to which an error was written down: `3 s` 1, `3 1/2 s` 0.5, `2.5 s` 0.1, `2 min` 60."""
    last = _LAST.search(written)
    if last is None:
        return 1.0
    number, decimals, unit = last.groups()
    size = _SIZES.get(unit.lower().removesuffix("s") or "s", 1.0)
    if "/" in number:
        return size / max(1, int(number.split("/")[1]))
    return size * 10.0 ** -len(decimals or "")


def _nut(node: Node, divisions: float | None) -> float | None:
    """Turns by which the nut was turned, up is positive; NaN where it cannot be told."""
    event = node.get("nut")
    if event is None:
        return None
    number, unit = event.part("value", Number), event.text(part="of")
    if number is None:
        return float("nan")
    sign = -1.0 if event.text(part="way") == "down" else 1.0
    if unit == "turn":
        return sign * number.value
    return sign * number.value / divisions if divisions else float("nan")


def _tray(node: Node) -> float | None:
    event = node.get("tray")
    if event is None:
        return None
    mass = event.quantity()
    if mass is None:
        return float("nan")
    return (-1.0 if event.text(part="change") in ("minus", "less") else 1.0) * mass.si * 1000.0
