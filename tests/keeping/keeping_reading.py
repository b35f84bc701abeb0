"""Descriptions for the tests of what falls due, and calendars read by a library that the program does not use."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

import vobject
from countwheel import api, outputs

HEAD = 'countwheel 1\nclock "Try clock"\n  place "Try"\n    latitude 50 °N\n'
GOING = """
train going
  arbor barrel
    barrel
      diameter 200 mm
      turns of line 15
      line steel wire rope
        diameter 6 mm
      parts 1
      weight 100 kg
      fall 12 m
    wheel great 144
  arbor centre
    pinion 12
    wheel 80
    rate once an hour
  arbor third
    pinion 10
    wheel 72
  arbor escape
    pinion 12
    escape wheel 30
escapement deadbeat
dial north
"""
STRIKE = """
train strike
  strikes hours
  arbor barrel
    barrel
      weight 200 kg
    wheel great 100
    lifting pins 10
  arbor fly
    pinion 10
    fly
  count wheel
    cut for hours
bell "hour"
"""


def compiled(text: str) -> api.Result:
    result = api.check_text(text)
    assert result.clock is not None
    return result


def calendar_of(result: api.Result, first: date, last: date, issued: date = date(2026, 1, 1)) -> bytes:
    return outputs.calendar(result, first, last, issued)


class Read(NamedTuple):
    """An event as vobject reads it, with the days on which dateutil has it recur."""

    uid: str
    title: str
    text: str
    kind: str
    start: date | datetime
    days: tuple[date, ...]
    event: Any


def read(content: bytes) -> tuple[Read, ...]:
    """Every event of a calendar, read by vobject and its recurrence worked out by dateutil."""
    calendar = vobject.readOne(content.decode("utf-8"))
    assert calendar.behavior is not None
    calendar.validate(raiseException=True)
    return tuple(_read(event) for event in getattr(calendar, "vevent_list", ()))


def _read(event: Any) -> Read:
    start = event.dtstart.value
    rules = event.getrruleset()
    days = tuple(_day(one) for one in rules) if rules is not None else (_day(start),)
    return Read(
        event.uid.value,
        event.summary.value,
        event.description.value,
        event.categories.value[0],
        start,
        days,
        event,
    )


def _day(value: date | datetime) -> date:
    return value.date() if isinstance(value, datetime) else value


def every(first: date, step: int, last: date) -> tuple[date, ...]:
    """The days from `first` on, so many apart, up to the last."""
    return tuple(first + timedelta(days=by) for by in range(0, (last - first).days + 1, step))
