"""What the log says of when things were done: the winding, and each task of the care list."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment, Quantity, Text, Words

# Words that a task can be told without.
_SMALL = frozenset({"the", "a", "an", "at", "of", "and", "in", "on", "all", "for", "to", "with"})
_DENIED = frozenset({"not", "no", "never", "without", "nobody"})
_WEIGHTS = frozenset({"weight", "weights", "slab", "slabs"})
_CHANGED = frozenset({"change", "changed", "heavier", "lighter", "hung", "added", "removed"})
_PUT = frozenset({"on", "off"})
_TIME_OF_YEAR = re.compile(r"\b(?:summer|winter)[ -]?time\b")  # that of the clocks, not of the weights
_ENDINGS = ("ing", "ed", "es", "e", "s")


class Entry(NamedTuple):
    """One line of the log: its day, the time of day in minutes (None where not written), its events."""

    day: date
    minute: int | None
    events: tuple[Node, ...]


def entries(clock: Clock) -> tuple[Entry, ...]:
    """The entries of all logs with a whole date, by day and time."""
    return tuple(sorted(_entries(clock), key=lambda one: (one.day, one.minute or 0)))


def _entries(clock: Clock) -> Iterator[Entry]:
    for log in clock.root.all("log"):
        for entry in log.all("entry"):
            day = day_of(entry, "date")
            if day is not None:
                time = entry.part("time", Moment)
                hour, minute = (int(part) for part in time.iso.split(":")[:2]) if time else (0, 0)
                yield Entry(day, 60 * hour + minute if time else None, entry.facts)


def day_of(node: Node, part: str) -> date | None:
    """The day that a part of a line names; None where it is not a whole date of the calendar."""
    value = node.part(part, Moment)
    try:
        return date.fromisoformat(value.iso) if value and len(value.iso) == 10 else None
    except ValueError:
        return None


def last_wound(log: tuple[Entry, ...], on: date) -> Entry | None:
    """The last entry up to that day that tells of a winding."""
    return next((one for one in reversed(log) if one.day <= on and _says(one, "wound")), None)


def winding_minute(log: tuple[Entry, ...]) -> int | None:
    """The time of day, in minutes, about which the clock is mostly wound: the middle one that was written."""
    times = sorted(one.minute for one in log if one.minute is not None and _says(one, "wound"))
    return times[len(times) // 2] if times else None


def last_done(log: tuple[Entry, ...], task: str, on: date) -> date | None:
    """The last day up to `on` on which the log has a task done.

    An event tells of it where it has all the words of the task, endings apart: `oiled pivots` and `done "oil pivots"`
    of `oil pivots`, a note too unless it says not. `oiled` and `cleaned` alone tell of all that is oiled or cleaned.
    """
    wanted = stems(task)
    return next(
        (one.day for one in reversed(log) if one.day <= on and any(_tells(e, wanted) for e in one.events)),
        None,
    )


def season_changed(log: tuple[Entry, ...], season: str, first: date, last: date) -> date | None:
    """The last day between two on which the log has a season changed: see `tells_of_season`."""
    names = (stems(season),)
    return next(
        (
            one.day
            for one in reversed(log)
            if first <= one.day <= last and any(tells_of_season(event, names) for event in one.events)
        ),
        None,
    )


def tells_of_season(event: Node, names: Iterable[frozenset[str]]) -> bool:
    """Whether a note or `done` tells that a weight went on or off, or of the change to a season.

    `names` are those of seasons, each as its stems. In a note the name alone is only the weather.
    """
    if event.word not in ("done", "note"):
        return False
    told = " ".join(value.text for value in event.values.values() if isinstance(value, (Words, Text)))
    said = _TIME_OF_YEAR.sub("", told.lower())
    words = set(re.findall(r"[^\W\d_]+", said))
    if _DENIED & words:
        return False
    if _WEIGHTS & words and (_CHANGED | _PUT) & words:
        return True
    named = any(name and name <= stems(said) for name in names)
    return named and (event.word == "done" or bool((_WEIGHTS | _CHANGED) & words))


def put_right(log: tuple[Entry, ...], first: date, last: date, within: float) -> date | None:
    """The last day between two on which the clock was set, or showed the time to within so many s."""
    return next(
        (
            one.day
            for one in reversed(log)
            if first <= one.day <= last and any(_shows_time(event, within) for event in one.events)
        ),
        None,
    )


def _shows_time(event: Node, within: float) -> bool:
    if event.word in ("set", "started"):
        return True
    if event.word not in ("found", "left"):
        return False
    error = event.part("value", Quantity)
    return not event.values or bool(error is None or abs(error.si) < within)


def temperatures(log: tuple[Entry, ...]) -> tuple[tuple[date, float], ...]:
    """Each day of which a temperature is written, with the mean of those of that day, in °C."""
    found: dict[date, list[float]] = {}
    for one in log:
        for event in one.events:
            value = event.part("value", Quantity) if event.word == "at" else None
            if value is not None and value.dimension == "temperature":
                found.setdefault(one.day, []).append(value.si - 273.15)
    return tuple((day, sum(several) / len(several)) for day, several in sorted(found.items()))


def stems(text: str) -> frozenset[str]:
    """The words that matter of a text, each without its ending."""
    words = re.findall(r"[^\W\d_]+", text.lower().replace("'s", "").replace("’s", ""))
    return frozenset(_stem(word) for word in words if word not in _SMALL)


def _stem(word: str) -> str:
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


def _says(entry: Entry, word: str) -> bool:
    return any(event.word == word for event in entry.events)


def _tells(event: Node, wanted: frozenset[str]) -> bool:
    if event.word not in ("oiled", "cleaned", "done", "note") or not wanted:
        return False
    said = " ".join(value.text for value in event.values.values() if isinstance(value, (Words, Text)))
    if event.word == "note" and _DENIED & set(said.lower().split()):
        return False
    own = frozenset() if event.word in ("note", "done") else stems(event.word)
    return bool(own & wanted) if own and not said else wanted <= own | stems(said)
