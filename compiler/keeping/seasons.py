"""When what a season changes falls due: by the temperatures in the log where they tell, else by its stated day.

The record tells where it goes down, or up, through the middle between its warmest and its coldest week: that is when
the clock room turns from warm to cold. (To change with the cold: common practice, no source; the middle is our rule.)
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from typing import NamedTuple

from countwheel.keeping.record import Entry, temperatures
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment, Quantity, Words

LEAST_READINGS, LEAST_DAYS = 20, 150  # fewer tell of the weather and not of the seasons
WEEKS = 4  # readings of so many weeks before and after are taken together
NEAR = 60  # days; farther from the stated day the record tells of something else


class Turn(NamedTuple):
    """The day of the year (month, day) on which a season's change is due; `recorded` where the log tells it.

    `stated` is the season's own day; `middle` the temperature that the record goes through, in °C.
    """

    month: int
    day: int
    recorded: bool
    stated: tuple[int, int] | None
    middle: float | None = None

    def in_year(self, year: int) -> date:
        """That day of a year: 29 February is the 28th in a common year."""
        return _day(year, self.month, self.day)

    def next_from(self, day: date) -> date:
        """The first such day that is not before `day`."""
        return next(one for year in (day.year, day.year + 1) if (one := self.in_year(year)) >= day)

    def last_before(self, day: date) -> date:
        """The last such day before `day`, or the stated one that belongs to it where that is later."""
        turn = next(one for year in (day.year, day.year - 1) if (one := self.in_year(year)) < day)
        if self.stated is None:
            return turn
        near = (_day(turn.year + by, *self.stated) for by in (-1, 0, 1))
        return max(turn, min(near, key=lambda one: abs(one - turn)))


def turn_of(clock: Clock, season: Node, log: tuple[Entry, ...]) -> Turn | None:
    """When a season's change is due; None where neither the log nor the season says a day."""
    stated = stated_day(season, "from")
    if stated is None:
        return None
    heavier = _heavier(clock, season)
    found = _crossing(temperatures(log), falling=heavier, near=stated) if heavier is not None else None
    if found is None:
        return Turn(*stated, False, stated)
    day, middle = found
    return Turn(day.month, day.day, True, stated, middle)


def stated_day(season: Node, part: str) -> tuple[int, int] | None:
    """Month and day of a season's `from` or `to`."""
    node = season.get("from")
    value = node.part(part, Moment) if node else None
    if value is None or not value.iso.startswith("--"):
        return None
    month, day = value.iso[2:].split("-")
    try:
        date(2000, int(month), int(day))
    except ValueError:
        return None
    return int(month), int(day)


def now(clock: Clock, on: date) -> Node | None:
    """The season that holds on a day by the stated days; None where none does."""
    for season in clock.root.all("season"):
        since, until = stated_day(season, "from"), stated_day(season, "to")
        if since is None or until is None:
            continue
        today = (on.month, on.day)
        if since <= today <= until or (since > until and (today >= since or today <= until)):
            return season
    return None


def _heavier(clock: Clock, season: Node) -> bool | None:
    """Whether the season hangs on more weight than the other seasons; None where no weight is changed."""
    paths = {node.path.lower(): node for node in clock.root.walk() if node.word == "weight"}
    for change in season.all("<change>"):
        path, value = (change.text(part="of") or "").lower(), change.part("value", Quantity)
        if path not in paths or value is None or value.dimension != "mass":
            continue
        others = [
            one.si
            for other in clock.root.all("season")
            if other is not season
            for change in other.all("<change>")
            if isinstance(change.values.get("of"), Words) and (change.text(part="of") or "").lower() == path
            if (one := change.part("value", Quantity)) is not None
        ]
        stated = paths[path].quantity()
        weights = others or ([stated.si] if stated else [])
        if weights and any(value.si != one for one in weights):
            return value.si > min(weights)
    return None


def _crossing(
    record: tuple[tuple[date, float], ...], *, falling: bool, near: tuple[int, int]
) -> tuple[date, float] | None:
    """The last day near the stated one on which the record goes through its middle that way, and the middle."""
    if len(record) < LEAST_READINGS or (record[-1][0] - record[0][0]).days < LEAST_DAYS:
        return None
    smooth = [(day, _mean_near(record, day)) for day, _ in record]
    warm, cold = max(value for _, value in smooth), min(value for _, value in smooth)
    middle = (warm + cold) / 2
    found = None
    for (day, before), (next_day, after) in pairwise(smooth):
        down, up = before >= middle > after, before <= middle < after
        if not (down if falling else up) or (next_day - day).days > 7 * WEEKS:
            continue
        share = (before - middle) / (before - after)
        crossed = day + timedelta(days=round(share * (next_day - day).days))
        stated = min(
            (_day(crossed.year + by, *near) for by in (-1, 0, 1)), key=lambda one: abs(one - crossed)
        )
        if abs((crossed - stated).days) <= NEAR:
            found = crossed
    return None if found is None else (found, middle)


def _mean_near(record: tuple[tuple[date, float], ...], day: date) -> float:
    """The mean of the readings about a day: within half the weeks before and after."""
    reach = 7 * WEEKS // 2
    values = [value for one, value in record if abs((one - day).days) <= reach]
    return sum(values) / len(values)


def _day(year: int, month: int, day: int) -> date:
    return date(year, month, day) if (month, day) != (2, 29) else date(year, 3, 1) - timedelta(days=1)
