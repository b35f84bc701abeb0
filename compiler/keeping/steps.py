"""Steps of the calendar: so many days or months, and the days that they lead to.

A step of months from the 31st leads to the last day of a shorter month, and back to the 31st in a longer one. As a
recurrence rule of RFC 5545 that is the last of the days from the 28th to that one which the month has (BYSETPOS).
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from typing import NamedTuple

from countwheel.model.values import Quantity

WEEK = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
END = date(9998, 12, 31)  # what is due then is due for nobody
_MOST_DAYS = 3_000_000  # more than the years that dates can be of
_DAY, _MONTHS = 86400.0, {"month": 2629800.0, "year": 31557600.0}


class Step(NamedTuple):
    """An interval of whole days or of whole months; one of the two is 0."""

    days: int = 0
    months: int = 0

    def after(self, start: date, number: int = 1) -> date:
        """The day that `number` steps lead to; the last of the calendar where that is beyond it."""
        if not self.months:
            days = self.days * number
            return start + timedelta(days=days) if days <= (END - start).days else END
        year, month = divmod(12 * start.year + start.month - 1 + self.months * number, 12)
        if year >= END.year:
            return END
        return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))

    def days_from(self, start: date, first: date, last: date) -> Iterator[date]:
        """The days from `first` to `last` that steps from `start` lead to, `start` itself among them."""
        number = max(0, ((first - start).days // (self.days or 31 * self.months)) - 1)
        day = self.after(start, number)
        while day <= last and day < END:
            if day >= first:
                yield day
            number += 1
            day = self.after(start, number)

    def rule(self, start: date) -> dict[str, object]:
        """The parts of the recurrence rule from `start` on, without its end."""
        if not self.months:
            return {"FREQ": "DAILY", "INTERVAL": self.days}
        rule: dict[str, object] = {"FREQ": "MONTHLY", "INTERVAL": self.months}
        if start.day > 28:
            rule |= {"BYMONTHDAY": list(range(28, start.day + 1)), "BYSETPOS": -1}
        return rule


def step_of(every: Quantity) -> Step:
    """The interval as whole months where it is written in months or years and comes to whole ones, else in days."""
    size = _MONTHS.get(every.unit)
    if size is not None:
        months = Fraction(every.si / _MONTHS["month"]).limit_denominator(1000)
        if months.denominator == 1 and 1 <= months <= 12_000:
            return Step(months=int(months))
    return step_of_days(every.si / _DAY + 1e-6)


def step_of_days(days: float) -> Step:
    """The whole days in so many: one at least, and no more than a calendar holds."""
    return Step(days=int(min(max(1.0, days), _MOST_DAYS)))
