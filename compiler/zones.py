"""When the clocks of a time zone are changed, from the IANA time zone database that comes with the program.

The copy in the `tzdata` package is read, never the one of the machine, so that
the same description gives the same dates everywhere.
"""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from importlib import import_module
from typing import NamedTuple
from zoneinfo import ZoneInfo

_NAME = re.compile(r"[A-Za-z0-9_+-]+(/[A-Za-z0-9_+-]+)*")
_STEP = timedelta(days=6)  # no zone has two changes within a week
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_NTH = ("first", "second", "third", "fourth", "fifth")
RULE_YEARS = 6  # enough for a 'last Sunday' to fall on a fourth and on a fifth one


class Change(NamedTuple):
    """`day` and `minute` (of the day) by the clock as it stands before the change; `by` minutes, + is forward."""

    day: date
    minute: int
    by: int


class Rule(NamedTuple):
    """A change that comes on a like day every year: `last Sunday in March`, at a time of day, by so many minutes."""

    when: str
    minute: int
    by: int


@lru_cache(maxsize=16)
def zone(name: str) -> ZoneInfo | None:
    """The zone of that name; None where the database has none."""
    if not _NAME.fullmatch(name):
        return None
    from io import BytesIO

    package = import_module("tzdata")
    try:
        # the package's own loader: importlib.resources is much dearer to import
        data = package.__loader__.get_data(f"{package.__path__[0]}/zoneinfo/{name}")  # type: ignore[union-attr]
        return ZoneInfo.from_file(BytesIO(data), key=name)
    except (OSError, ValueError):
        return None


def database_year() -> int:
    """The year of the database's release: what it says of later years is the rule at present."""
    return int(import_module("tzdata").IANA_VERSION[:4])


@lru_cache(maxsize=64)
def changes(name: str, year: int) -> tuple[Change, ...]:
    """The changes of one year, in their order; none where the zone is not known."""
    here = zone(name)
    if here is None:
        return ()

    def offset(moment: datetime) -> timedelta:
        return moment.astimezone(here).utcoffset() or timedelta()

    found = []
    before = datetime(year, 1, 1, tzinfo=UTC) - timedelta(days=1)
    end = datetime(year + 1, 1, 2, tzinfo=UTC)
    old = offset(before)
    while before < end:
        after = before + _STEP
        new = offset(after)
        if new != old:
            low, high = before, after
            while high - low > timedelta(minutes=1):
                middle = low + timedelta(minutes=(high - low) // timedelta(minutes=2))
                low, high = (middle, high) if offset(middle) == old else (low, middle)
            local = high + old
            if local.year == year:
                by = int((new - old).total_seconds() // 60)
                found.append(Change(local.date(), 60 * local.hour + local.minute, by))
        before, old = after, new
    return tuple(found)


def day_text(day: date) -> str:
    return f"{day.day} {_MONTHS[day.month - 1]}"


def _names(day: date) -> set[str]:
    """What a day can be called by its weekday and month: `last Sunday in March`, `fifth Sunday in March`."""
    where = f"{_WEEK[day.weekday()]} in {_MONTHS[day.month - 1]}"
    found = {f"{_NTH[(day.day - 1) // 7]} {where}"}
    if day.day + 7 > monthrange(day.year, day.month)[1]:
        found.add(f"last {where}")
    return found


@lru_cache(maxsize=16)
def rules(name: str, first: int) -> tuple[Rule, ...] | None:
    """The yearly changes that hold from the year `first` on; empty where there are none, None where no rule is seen."""
    years = [changes(name, year) for year in range(first, first + RULE_YEARS)]
    if len({len(one) for one in years}) != 1:
        return None
    found = []
    for same in zip(*years, strict=True):
        names = set.intersection(*(_names(change.day) for change in same))
        if len({(change.minute, change.by) for change in same}) != 1 or not names:
            return None
        # where both hold for these years, `last` is the commoner rule
        when = next((one for one in sorted(names) if one.startswith("last")), min(names))
        found.append(Rule(when, same[0].minute, same[0].by))
    return tuple(found)
