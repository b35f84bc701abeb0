"""A clock's calendar as an iCalendar file (RFC 5545), the same bytes from the same description, days and issue.

Every entry has its own identity, made from the clock and what the entry is of, so that a calendar that has read an
earlier file changes its entries and adds none twice. The time zone stands in the file, change by change as the tzdata
package has them, so that no reader needs its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid5

from countwheel import zones
from countwheel.emit.calendar_entries import Entry
from icalendar import Alarm, Calendar, Event, Timezone, TimezoneDaylight, TimezoneStandard, vRecur, vText

PRODUCT = "-//countwheel//calendar//EN"
_OURS = UUID("6f0f3f0e-5f0c-5d35-9e0a-2a5d1a7f6c11")  # any one will do, so long as it stays
_COUNTED_FROM = date(2000, 1, 1)  # the sequence number is the days from here to the issue


def identity(clock: str, place: str, key: str) -> str:
    """The UID of an entry: the same for the same clock, place and thing to do (RFC 4122, name-based)."""
    return str(uuid5(_OURS, "\n".join((clock, place, key))))


def calendar_file(
    name: str,
    place: str,
    zone: str,
    entries: Iterable[Entry],
    last: date,
    issued: date,
) -> bytes:
    """The whole file. `last` ends what recurs; `issued` dates the entries (DTSTAMP) and numbers them (SEQUENCE).

    `zone` is the name of the place's time zone, '' where it is not known: then no entry is at a time of day.
    """
    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("method", "PUBLISH")
    # Escaped as TEXT by us: of properties that are not in RFC 5545 the library does not know what they are.
    made.add("name", vText(name))
    made.add("x-wr-calname", vText(name))
    several = tuple(entries)
    timed = [one.start for one in several if isinstance(one.start, datetime)]
    if timed and zone:
        made.add_component(_zone(zone, min(timed).date(), last))
    for entry in several:
        made.add_component(_event(name, place, entry, last, issued))
    return bytes(made.to_ical())


def _event(name: str, place: str, entry: Entry, last: date, issued: date) -> Event:
    event = Event()
    event.add("uid", identity(name, place, entry.key))
    stamp = datetime.combine(issued, time(), UTC)
    event.add("dtstamp", stamp)
    event.add("last-modified", stamp)
    event.add("sequence", max(0, (issued - _COUNTED_FROM).days))
    event.add("dtstart", entry.start)
    if isinstance(entry.start, datetime):
        event.add("duration", entry.lasts or timedelta(hours=1))
    else:
        event.add("dtend", (entry.last or entry.start) + timedelta(days=1))  # the day after, RFC 5545 3.6.1
        event.add("transp", "TRANSPARENT")
    if entry.rule is not None:
        end: date = last
        if isinstance(entry.start, datetime):  # in UTC where the start has a zone, 3.3.10
            end = datetime.combine(last, time(23, 59, 59), entry.start.tzinfo).astimezone(UTC)
        event.add("rrule", vRecur({**entry.rule, "UNTIL": end}))
    event.add("summary", entry.title)
    event.add("description", entry.text)
    if place:
        event.add("location", place)
    event.add("categories", [entry.category])
    if entry.alarm is not None:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", entry.title)
        alarm.add("trigger", entry.alarm)
        event.add_component(alarm)
    return event


def _zone(name: str, first: date, last: date) -> Timezone:
    """The zone with each of its changes from the year before the first day to the last.

    A change is told by the clock as it stands before it (3.6.5: TZOFFSETFROM goes with DTSTART).
    """
    made = Timezone()
    made.add("tzid", name)
    here = zones.zone(name)
    assert here is not None
    begin = datetime(first.year - 1, 1, 1, tzinfo=here)
    offset = begin.utcoffset() or timedelta()
    made.add_component(_observance(begin.replace(tzinfo=None), offset, begin))
    for year in range(first.year - 1, last.year + 1):
        for change in zones.changes(name, year):
            start = datetime.combine(change.day, time()) + timedelta(minutes=change.minute)
            after = (start - offset + timedelta(minutes=1)).replace(tzinfo=UTC).astimezone(here)
            made.add_component(_observance(start, offset, after))
            offset = after.utcoffset() or timedelta()
    return made


def _observance(start: datetime, before: timedelta, after: datetime) -> TimezoneStandard | TimezoneDaylight:
    """What holds from a change on; `after` is a moment behind it, in the zone."""
    made = TimezoneDaylight() if after.dst() else TimezoneStandard()
    made.add("dtstart", start)
    made.add("tzoffsetfrom", before)
    made.add("tzoffsetto", after.utcoffset() or timedelta())
    made.add("tzname", after.tzname() or "")
    return made
