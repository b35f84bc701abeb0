"""The record cut where the error or the rate does not go on: at settings, adjustments and stops."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from countwheel.record.entries import Entry


class Reading(NamedTuple):
    """The error at a moment: days, s, its standard error in s, and the entry that it was read from."""

    at: float
    error: float
    sigma: float
    entry: Entry


class Stretch(NamedTuple):
    """Readings between which nobody touched hands, nut, tray or weights, and the clock did not stop.

    `why` says what began it. `spell` counts the times between adjustments and stops: within a spell the rate goes
    on, though the hands may have been set.
    """

    readings: tuple[Reading, ...]
    why: str
    spell: int

    @property
    def days(self) -> float:
        return self.readings[-1].at - self.readings[0].at


def why_begun(entry: Entry) -> str:
    """What was done in an entry that begins a new stretch; '' where nothing was."""
    said = []
    if entry.stopped or entry.started:
        said.append("stopped" if entry.stopped else "set going")
    if entry.was_set:
        said.append("set")
    if entry.nut is not None:
        said.append("nut turned")
    if entry.tray is not None:
        said.append("tray changed")
    if entry.weighted:
        said.append("weight changed")
    return ", ".join(said)


def stretches(
    entries: Iterable[Entry],
    aside: frozenset[int] = frozenset(),
    jumps: frozenset[int] = frozenset(),
    unset: frozenset[int] = frozenset(),
) -> tuple[Stretch, ...]:
    """All stretches with readings at two moments or more, in the order of time.

    `aside` are the entries (by `id`) whose readings are not used, doubted ones apart; `jumps` those before which the
    error jumped though the log says nothing of it; `unset` those that were not left as they say.
    """
    found: list[Stretch] = []
    readings: list[Reading] = []
    why, spell, standing = "the log begins", 0, False

    def close(reason: str) -> None:
        nonlocal why, readings
        if len(readings) > 1 and readings[-1].at > readings[0].at:
            found.append(Stretch(tuple(readings), why, spell))
        readings, why = [], reason

    for entry in entries:
        used = entry.doubted is None and id(entry) not in aside and not standing
        if id(entry) in jumps:
            close("a jump that the log does not explain")
        if entry.found is not None and used and not entry.started:
            readings.append(Reading(entry.at, entry.found, entry.found_error, entry))
        reason = why_begun(entry)
        if not reason:
            continue
        close(reason)
        adjusted = entry.nut is not None or entry.tray is not None or entry.weighted
        spell += adjusted or entry.stopped or entry.started
        standing = (standing or entry.stopped) and not (
            entry.started or (entry.was_set and not entry.stopped)
        )
        # Where the hands were set, the reading after is a new one, whether or not the one before is believed.
        fresh = entry.was_set or entry.started
        if entry.left is not None and not standing and (fresh or used) and id(entry) not in unset:
            readings.append(Reading(entry.at, entry.left, entry.left_error, entry))
    close("")
    return tuple(found)


class Interval(NamedTuple):
    """From one reading to the next: `days` long, the error grew by `change` s; `middle` is its moment."""

    first: Reading
    last: Reading

    @property
    def days(self) -> float:
        return self.last.at - self.first.at

    @property
    def change(self) -> float:
        return self.last.error - self.first.error

    @property
    def middle(self) -> float:
        return (self.last.at + self.first.at) / 2.0

    def mean(self, name: str) -> float | None:
        """The mean of `temperature`, `pressure` or `arc` over it; None where one end lacks it."""
        ends: Sequence[float | None] = [getattr(end.entry, name) for end in (self.first, self.last)]
        return sum(ends) / 2.0 if all(end is not None for end in ends) else None  # type: ignore[arg-type]


def intervals(stretch: Stretch) -> tuple[Interval, ...]:
    return tuple(Interval(one, other) for one, other in pairwise(stretch.readings))
