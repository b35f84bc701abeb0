"""Counts and plain numbers: teeth, pins, turns, several counts with commas."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.forms import Part
from countwheel.model.values import MOST_TEETH, Count, Counts, Number, Tolerance, Unknown
from countwheel.resolve.matching import Attempt
from countwheel.resolve.numbers import as_fraction
from countwheel.resolve.read_quantities import tolerance_of
from countwheel.resolve.reading import Way, nothing, span_of, unknown, want, written_of
from countwheel.syntax.tree import Item


def count(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at >= len(items):
        want(attempt, at, "a count")
        return
    item = items[at]
    if item.kind == "unknown":
        yield unknown(attempt, at, None)
        return
    span = span_of(attempt, item, item)
    if item.kind == "measure":
        _takes_no_unit(item, at, attempt, "a count")
        return
    if item.kind == "range":
        yield (
            at + 1,
            nothing(item, attempt),
            (
                say(
                    "M205",
                    span,
                    "A range is not a count; it may say what is known of an unknown one.",
                    label="a range",
                    hints=(f"write ? {item.text}",),
                ),
            ),
        )
        return
    if item.kind != "number":
        want(attempt, at, "a count")
        return
    number = as_fraction(item.text)
    if number.denominator != 1:
        yield (
            at + 1,
            nothing(item, attempt),
            (
                say(
                    "M304",
                    span,
                    f"`{attempt.word}` counts whole things, and {item.text} is not whole.",
                    label="not a whole number",
                    hints=(
                        f"write {int(number)} or {int(number) + 1}, or ? {int(number)} or {int(number) + 1}",
                    ),
                ),
            ),
        )
        return
    if not 1 <= number <= MOST_TEETH:
        yield (
            at + 1,
            nothing(item, attempt),
            (
                say(
                    "M305",
                    span,
                    f"`{attempt.word}` cannot be {item.text}.",
                    label="not possible",
                    hints=("write `?` where it is not known, or leave the line out where there is none",),
                ),
            ),
        )
        return
    yield at + 1, Count(written=item.text, span=span, value=int(number)), ()


def number(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at >= len(items) or items[at].kind not in ("number", "unknown", "measure"):
        want(attempt, at, "a number")
        return
    item = items[at]
    if item.kind == "unknown":
        yield unknown(attempt, at, None)
        return
    if item.kind == "measure":
        _takes_no_unit(item, at, attempt, "a plain number")
        return
    value = float(as_fraction(item.text))
    last, after = item, at + 1
    report: list[Diagnostic] = []
    tolerance: Tolerance | None = None
    if after < len(items) and items[after].kind == "tolerance":
        tolerance, report = tolerance_of(attempt, items[after], None, abs(value))
        last = items[after]
        after += 1
    if value < 0:
        report.append(
            say(
                "M307",
                span_of(attempt, item, item),
                f"`{attempt.word}` cannot be {item.text}: it must not be less than nothing.",
                label="less than nothing",
            )
        )
    span, written = span_of(attempt, item, last), written_of(attempt, item, last)
    if report:
        yield after, Unknown(written=written, span=span), tuple(report)
        return
    yield after, Number(written=written, span=span, value=value, tolerance=tolerance), ()


def _takes_no_unit(item: Item, at: int, attempt: Attempt, what: str) -> None:
    _, _, start, end = item.parts[1]
    attempt.fault(
        at,
        2,
        lambda: say(
            "M302",
            attempt.source.span(start, end),
            f"`{attempt.word}` is {what} and takes no unit.",
            label="a unit",
            hints=(f"write {item.parts[0][1]}",),
        ),
    )


def _no_count(attempt: Attempt, item: Item, broken: bool) -> Callable[[], Diagnostic]:
    code = "M304" if broken else "M305"
    span = span_of(attempt, item, item)
    return lambda: say(code, span, f"{item.text} cannot be a count.", label="not possible")


def counts(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items, after = attempt.items, at
    figures: list[int] = []
    while after < len(items) and items[after].kind == "number":
        number = as_fraction(items[after].text)
        if number.denominator != 1 or not 1 <= number <= MOST_TEETH:
            attempt.fault(after, 3, _no_count(attempt, items[after], number.denominator != 1))
            return
        figures.append(int(number))
        after += 1
        if after < len(items) and items[after].kind == "comma":
            after += 1
    if not figures:
        if at < len(items) and items[at].kind == "unknown":
            yield unknown(attempt, at, None)
            return
        want(attempt, at, "a count or several, with commas")
        return
    first, last = items[at], items[after - 1]
    yield (
        after,
        Counts(
            written=written_of(attempt, first, last),
            span=span_of(attempt, first, last),
            values=tuple(figures),
        ),
        (),
    )
