"""Dates, times of day and days of the year, held against the calendar."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.forms import Part
from countwheel.model.values import Moment
from countwheel.resolve.matching import Attempt
from countwheel.resolve.reading import Way, span_of, unknown, want, written_of
from countwheel.source import Span

MONTHS = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
_DAYS_IN_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def check_date(text: str, span: Span) -> Diagnostic | None:
    """A fault where a date written year first does not exist; None where it does."""
    pieces = [int(piece) for piece in text.split("-")]
    year, month, day = (*pieces, 1, 1)[:3]
    try:
        date(year, month, day)
    except ValueError:
        what = f"there is no month {month}" if not 1 <= month <= 12 else f"that month has no day {day}"
        if year < 1:
            what = "there is no year 0"
        return say("M107", span, f"{text} is not in the calendar: {what}.", label="no such date")
    return None


def date_of(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at < len(items):
        item = items[at]
        span = span_of(attempt, item, item)
        if item.kind == "date":
            fault = check_date(item.text, span)
            yield at + 1, Moment(written=item.text, span=span, iso=item.text), (fault,) if fault else ()
            return
        if item.kind == "number" and re.fullmatch(r"\d{4}", item.text):
            yield at + 1, Moment(written=item.text, span=span, iso=item.text), ()
            return
        if item.kind == "unknown":
            yield unknown(attempt, at, None)
            return
    want(attempt, at, "a date, such as 2026-05-02, 1931-07 or 1931")


def time_of_day(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind == "time":
        item = items[at]
        hour, minute = (int(piece) for piece in item.text.split(":"))
        span = span_of(attempt, item, item)
        report: tuple[Diagnostic, ...] = ()
        if minute > 59 or hour > 24 or (hour == 24 and minute):
            report = (
                say(
                    "M108",
                    span,
                    f"No clock shows {item.text}.",
                    label="no such time",
                    hints=("hours go from 00 to 24 and minutes to 59",),
                ),
            )
        yield at + 1, Moment(written=item.text, span=span, iso=f"{hour:02}:{minute:02}"), report
        return
    want(attempt, at, "a time of day, such as 07:00")


def day(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """A day of the year: `1 November`, or `November 1`."""
    items = attempt.items
    pair = items[at : at + 2]
    if len(pair) == 2 and {item.kind for item in pair} == {"number", "word"}:
        number, word = sorted(pair, key=lambda item: item.kind)
        month = next(
            (
                n
                for n, name in enumerate(MONTHS, 1)
                if len(word.text) >= 3 and name.startswith(word.text.lower())
            ),
            0,
        )
        span = span_of(attempt, pair[0], pair[1])
        if not month:
            near = nearest(word.text.lower(), list(MONTHS))
            attempt.fault(
                at + 1,
                2,
                lambda: say(
                    "M206",
                    span_of(attempt, word, word),
                    f"`{word.text}` is not a month.",
                    label="which month?",
                    hints=(f"write {near[0].capitalize()}",) if near else (),
                ),
            )
            return
        report: tuple[Diagnostic, ...] = ()
        day = int(number.text) if re.fullmatch(r"\d{1,2}", number.text) else 0
        if not 1 <= day <= _DAYS_IN_MONTH[month - 1]:
            report = (
                say(
                    "M107",
                    span,
                    f"{MONTHS[month - 1].capitalize()} has no day {number.text}.",
                    label="no such day",
                ),
            )
        yield (
            at + 2,
            Moment(
                written=written_of(attempt, pair[0], pair[1]),
                span=span,
                iso=f"--{month:02}-{day:02}",
            ),
            report,
        )
        return
    want(attempt, at, "a day of the year, such as 1 November")
