"""What the log tells of the timekeeping, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from countwheel.emit.rate_words import (
    advice_words,
    coefficient_words,
    compared_words,
    fault_words,
    method_words,
    odd_words,
    pair,
    plain,
    stability_words,
)
from countwheel.record.entries import Entry
from countwheel.record.report import Report


def text(movement: str, report: Report, width: int = 100) -> str:
    """The whole report; what to turn comes first, for most look no further."""
    readings = [entry for entry in report.entries if entry.found is not None]
    if not readings:
        return f"The log of {movement} has no reading of how fast or slow the clock was: there is no rate to tell.\n"
    lines = [
        f"Timekeeping of {movement}: {_span_of(readings)}",
        *_wrapped(
            "Fast and gaining are +, slow and losing are −. The truth lies within the ± in 19 cases of 20.",
            width,
            "  ",
        ),
        "",
        "What to do",
        *_items(advice_words(report), width),
    ]
    for title, words in (
        ("Signs of a fault", [fault_words(one) for one in report.faults]),
        ("Readings that do not fit", odd_words(report)),
    ):
        if words:
            lines += ["", title, *_items(words, width)]
    if report.rates:
        lines += [
            "",
            "The rate in each stretch, until hands, nut, tray or weights were touched or the clock stopped",
        ]
        lines += list(_table(report))
    lines += [
        "",
        "What moves it",
        *_items([coefficient_words(one, report.wooden) for one in report.coefficients], width),
    ]
    if report.compared:
        words = [compared_words(one) for one in report.compared]
        lines += ["", "Beside what the description says", *_items(words, width)]
    lines += ["", "How steady it is", *_items(stability_words(report), width)]
    lines += ["", "How this was worked out", *_items(method_words(report), width)]
    return "\n".join(lines) + "\n"


def _span_of(readings: list[Entry]) -> str:
    if len(readings) == 1:
        return f"one reading, {readings[0].day}"
    return f"{len(readings)} readings, {readings[0].day} to {readings[-1].day}"


def _table(report: Report) -> Iterator[str]:
    rows = [("from", "to", "days", "readings", "s/day", "begun by")]
    for one in report.rates:
        rows.append(
            (
                one.first[:10],
                one.last[:10],
                plain(one.days, 1),
                str(one.readings),
                pair(one.rate, one.half),
                one.why,
            )
        )
    wide = [max(len(row[at]) for row in rows) for at in range(6)]
    for row in rows:
        yield "  " + "  ".join(
            cell.rjust(size) if at in (2, 3) else cell.ljust(size)
            for at, (cell, size) in enumerate(zip(row, wide, strict=True))
        ).rstrip()  # fmt: skip


def _items(words: list[str], width: int) -> list[str]:
    return [line for one in words for line in _wrapped(one, width, "  ", "    ")]


def _wrapped(words: str, width: int, first: str, rest: str | None = None) -> list[str]:
    return wrap(
        words,
        width,
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_on_hyphens=False,
        break_long_words=False,
    )
