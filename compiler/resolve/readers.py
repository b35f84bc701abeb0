"""Readers of values: from items of a line to a value of the model, one reader a kind.

A reader yields every way it can be read, preferred first: the item after it,
the value, and what is amiss with a value that was understood but cannot be
(no teeth, a range that runs backwards). Such a value becomes an unknown, so
that one fault costs one message and nothing that follows from it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction

from countwheel import units, vocabulary
from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.model.values import AnyValue, Count, Counts, Moment, Number, Quantity, Text, Tolerance, Unknown, Words
from countwheel.resolve.numbers import as_fraction
from countwheel.resolve.patterns import Attempt, Element, Literal, Maybe, Part
from countwheel.source import Span
from countwheel.syntax.tree import Item

Way = tuple[int, AnyValue, tuple[Diagnostic, ...]]
Reader = Callable[[Attempt, Part, int, tuple[Element, ...]], Iterator[Way]]

MONTHS = (
    "january february march april may june july august september october november december"
).split()
_DAYS_IN_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MOST_TEETH = 10_000  # no turret clock has a wheel of more; a number beyond is a slip of the pen
_SIGNED = ("temperature", "latitude", "longitude", "rate")
_MAY_BE_ZERO = ("angle", "percent", "frequency", *_SIGNED)


def read(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    """Reads one part of a pattern from item `at` on."""
    reader = _READERS.get(part.kind)
    if reader is not None:
        yield from reader(attempt, part, at, rest)
    else:
        yield from _quantity(attempt, part, at, rest)


def _span(attempt: Attempt, first: Item, last: Item) -> Span:
    return attempt.source.span(first.start, last.end)


def _written(attempt: Attempt, first: Item, last: Item) -> str:
    return attempt.source.text[first.start : last.end]


def _missing(attempt: Attempt, at: int, what: str) -> None:
    start, end = attempt.span_of(at)
    attempt.fault(
        at,
        1,
        say("M204", attempt.source.span(start, end), f"`{attempt.word}` needs {what}, and there is none.", label="missing here"),
    )


def _unfit(attempt: Attempt, at: int, what: str) -> None:
    start, end = attempt.span_of(at)
    attempt.fault(
        at,
        1,
        say("M205", attempt.source.span(start, end), f"`{attempt.word}` needs {what} here.", label=f"not {what}"),
    )


def _want(attempt: Attempt, at: int, what: str) -> None:
    (_missing if at >= len(attempt.items) else _unfit)(attempt, at, what)


# -- unknowns ------------------------------------------------------------------


def _unknown(attempt: Attempt, at: int, dimension: str | None) -> Way:
    """A `?` with what is known of it; numbers become SI where a dimension is asked for."""
    item = attempt.items[at]
    span = _span(attempt, item, item)
    report: list[Diagnostic] = []
    numbers = [(text, start, end) for kind, text, start, end in item.parts if kind == "number"]
    forms = [text for kind, text, _, _ in item.parts if kind == "unit"]
    kinds = [kind for kind, _, _, _ in item.parts]
    parity = next((text for kind, text, _, _ in item.parts if kind == "parity"), None)
    scale = 1.0
    if numbers and dimension is not None:
        found = [units.lookup(form, dimension) for form in forms]
        if not forms or None in found:
            report.append(
                say(
                    "M302" if forms else "M301",
                    span,
                    f"What is known of `{attempt.word}` needs a unit of {dimension}.",
                    label="no fitting unit",
                    hints=(f"write for example {_usual(dimension)} behind the number",),
                )
            )
            numbers = []
        elif found[0] is not None:
            scale = found[0].size
    elif numbers and forms:
        report.append(
            say("M302", span, f"`{attempt.word}` is a plain number and takes no unit.", label="a unit", hints=("leave the unit out",))
        )
    figures = [float(as_fraction(text)) * scale for text, _, _ in numbers]
    low = high = about = None
    choices: tuple[float, ...] = ()
    if "range" in kinds and len(figures) == 2:
        low, high = figures
        if low > high:
            first, second = numbers[0], numbers[1]
            report.append(_backwards(attempt.source.span(first[1], second[2]), first[0], second[0]))
            low, high = high, low
    elif "or" in kinds:
        choices = tuple(figures)
    elif "about" in kinds and figures:
        about = figures[0] if len(figures) == 1 else sum(figures)
    value = Unknown(
        written=item.text,
        span=span,
        dimension=dimension,
        low=low,
        high=high,
        choices=choices,
        parity=parity,  # type: ignore[arg-type]
        about=about,
    )
    return at + 1, value, tuple(report)


def _backwards(span: Span, low: str, high: str) -> Diagnostic:
    return say(
        "M306",
        span,
        f"This range runs from {low} down to {high}.",
        label="backwards",
        hints=(f"write {high}..{low}",),
        edits=(Edit(span, f"{high}..{low}", f"write {high}..{low}"),),
    )


def _nothing(item: Item, attempt: Attempt, dimension: str | None = None) -> Unknown:
    """What stands in for a value that cannot be: it is stated, but of no use."""
    return Unknown(written=item.text, span=_span(attempt, item, item), dimension=dimension)


def _usual(dimension: str) -> str:
    forms = units.preferred_forms(dimension)
    return ", ".join(forms[:4]) + (" ..." if len(forms) > 4 else "")


# -- quantities ----------------------------------------------------------------


def _quantity(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    dimension = part.kind
    items = attempt.items
    if at >= len(items):
        _want(attempt, at, _a(dimension))
        return
    item = items[at]
    if item.kind == "unknown":
        yield _unknown(attempt, at, dimension)
        return
    if item.kind == "number":
        _without_unit(attempt, at, dimension)
        return
    if item.kind == "range":
        yield at + 1, _nothing(item, attempt, dimension), (
            say(
                "M205",
                _span(attempt, item, item),
                "A range is not a value; it may say what is known of an unknown one.",
                label="a range",
                hints=(f"write ? {item.text}",),
                edits=(Edit(attempt.source.span(item.start, item.start), "? ", f"write ? {item.text}"),),
            ),
        )
        return
    if item.kind != "measure":
        _want(attempt, at, _a(dimension))
        return
    if _unit_of(item, dimension) is None:
        if dimension == "thread" and _unit_of(item, "length"):
            yield from _measures(attempt, at, "length", dimension)
            return
        _wrong_unit(attempt, at, dimension)
        return
    yield from _measures(attempt, at, dimension, dimension)


def _unit_of(item: Item, dimension: str) -> units.Unit | None:
    return units.lookup(item.parts[1][1], dimension)


def _a(dimension: str) -> str:
    article = "an" if dimension[0] in "aeiou" else "a"
    return {"thread": "a thread (16 per inch, or 1.5 mm)", "percent": "a share in %"}.get(
        dimension, f"{article} {dimension} with its unit"
    )


def _without_unit(attempt: Attempt, at: int, dimension: str) -> None:
    """A bare number where a unit is needed: perhaps the unit is there but misspelt."""
    items, item = attempt.items, attempt.items[at]
    if at + 1 < len(items) and items[at + 1].kind == "word":
        spelt = items[at + 1].text
        forms = [form for form, several in units.units().items() if any(u.dimension == dimension for u in several)]
        near = nearest(spelt, forms)
        span = _span(attempt, items[at + 1], items[at + 1])
        attempt.fault(
            at + 1,
            2,
            say(
                "M303",
                span,
                f"`{spelt}` is not a unit of {dimension} that is known here.",
                label="which unit?",
                hints=((f"write {near[0]}",) if near else ()) + (f"units of {dimension}: {_usual(dimension)}",),
                edits=(Edit(span, near[0], f"write {near[0]}"),) if near else (),
            ),
        )
        return
    span = _span(attempt, item, item)
    attempt.fault(
        at,
        2,
        say(
            "M301",
            span,
            f"`{attempt.word}` is {_a(dimension)}, and {item.text} has none.",
            label=f"{item.text} of what?",
            hints=(f"write the unit behind it: {_usual(dimension)}",),
        ),
    )


def _wrong_unit(attempt: Attempt, at: int, dimension: str) -> None:
    item = attempt.items[at]
    kind, form, start, end = item.parts[1]
    span = attempt.source.span(start, end)
    others = units.dimensions_of(form)
    hint = f"write {_usual(dimension)}"
    if dimension in ("latitude", "longitude") and "angle" in others:
        letters = "N or S" if dimension == "latitude" else "E or W"
        message, hint = f"Is this {letters}?", f"write {item.parts[0][1]} °{letters[0]}"
    else:
        message = f"`{form}` measures {' or '.join(others)}; `{attempt.word}` is {_a(dimension)}."
    attempt.fault(at, 2, say("M302", span, message, label=f"not a unit of {dimension}", hints=(hint,)))


def _measures(attempt: Attempt, at: int, read_as: str, dimension: str) -> Iterator[Way]:
    """One measure, or several of falling size (`2 cwt 3 qr 4 lb`), and the tolerance behind them."""
    items = attempt.items
    first = items[at]
    total, offset = Fraction(0), 0.0
    report: list[Diagnostic] = []
    after, last_size, unit = at, float("inf"), _unit_of(first, read_as)
    assert unit is not None
    largest = unit
    while after < len(items) and items[after].kind == "measure":
        item = items[after]
        unit = _unit_of(item, read_as)
        if unit is None:
            break
        number = as_fraction(item.parts[0][1])
        if abs(unit.size) >= last_size:
            span = _span(attempt, first, item)
            report.append(
                say(
                    "M308",
                    span,
                    f"`{item.parts[1][1]}` is not smaller than the unit before it.",
                    label="units out of order",
                    hints=("write the largest unit first: 2 cwt 3 qr 4 lb, 6 ft 3 1/2 in",),
                )
            )
        if dimension == "thread" and read_as == "thread":
            total += Fraction(unit.size) / number if number else Fraction(0)
        else:
            total += number * Fraction(unit.size)
        offset = unit.offset
        last_size = abs(unit.size)
        after += 1
    si = float(total) + offset
    last = items[after - 1]
    span = _span(attempt, first, last)
    tolerance = None
    if after < len(items) and items[after].kind == "tolerance":
        tolerance, amiss = _tolerance(attempt, items[after], read_as, abs(si))
        report.extend(amiss)
        last = items[after]
        after += 1
    report.extend(_out_of_reach(attempt, span, si, dimension, _written(attempt, first, last)))
    written = _written(attempt, first, last)
    if any(diagnostic.severity == "error" for diagnostic in report):
        yield after, Unknown(written=written, span=span, dimension=dimension), tuple(report)
        return
    whole = attempt.source.span(first.start, last.end)
    yield (
        after,
        Quantity(written=written, span=whole, si=si, dimension=dimension, unit=largest.form, tolerance=tolerance),
        tuple(report),
    )


def _out_of_reach(attempt: Attempt, span: Span, si: float, dimension: str, written: str) -> Iterator[Diagnostic]:
    if dimension == "latitude" and abs(si) > 1.5707963268:
        yield say("M310", span, f"A latitude of {written} is beyond the pole.", label="more than 90 °")
    elif dimension == "percent" and si > 1:
        yield say("M310", span, f"`{attempt.word}` cannot be more than 100 %.", label="more than the whole")
    elif dimension == "angle" and si > 6.2832:
        yield say("M310", span, f"{written} is more than a full turn.", label="more than 360 °")
    if dimension in _SIGNED or attempt.word == "above sea":
        return
    if si < 0 or (si == 0 and dimension not in _MAY_BE_ZERO):
        yield say(
            "M307",
            span,
            f"`{attempt.word}` cannot be {written}: it must be more than nothing.",
            label="nothing, or less",
            hints=("write `?` where it is not known",),
        )


def _tolerance(
    attempt: Attempt, item: Item, dimension: str | None, size: float
) -> tuple[Tolerance | None, list[Diagnostic]]:
    """The ± behind a value: in a unit of the same dimension, in per cent, or plain for a plain number."""
    span = _span(attempt, item, item)
    half = 0.0
    pieces = [part for part in item.parts if part[0] in ("number", "unit")]
    for index, (kind, text, _, _) in enumerate(pieces):
        if kind != "number":
            continue
        form = pieces[index + 1][1] if index + 1 < len(pieces) and pieces[index + 1][0] == "unit" else None
        number = float(as_fraction(text))
        if form is not None and units.lookup(form, "percent"):
            half += size * number / 100
        elif form is None and dimension is None:
            half += number
        else:
            unit = units.lookup(form, dimension) if form is not None and dimension else None
            if unit is None:
                return None, [
                    say(
                        "M309",
                        span,
                        f"The tolerance of `{attempt.word}` does not fit its value.",
                        label="in which unit?",
                        hints=(f"write it in {_usual(dimension)} or in %" if dimension else "write it without a unit, or in %",),
                    )
                ]
            half += number * abs(unit.size)
    if half < 0 or (size and half > size and dimension not in _SIGNED):
        return None, [
            say(
                "M309",
                span,
                f"The tolerance of `{attempt.word}` is larger than the value itself.",
                label="too wide",
                hints=("write `? LOW..HIGH` where so little is known",),
            )
        ]
    return Tolerance(half_width=half, written=item.text, stated=True), []


# -- plain numbers -------------------------------------------------------------


def _count(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at >= len(items):
        _want(attempt, at, "a count")
        return
    item = items[at]
    if item.kind == "unknown":
        yield _unknown(attempt, at, None)
        return
    span = _span(attempt, item, item)
    if item.kind == "measure":
        _, form, start, end = item.parts[1]
        attempt.fault(
            at,
            2,
            say("M302", attempt.source.span(start, end), f"`{attempt.word}` is a count and takes no unit.", label="a unit", hints=(f"write {item.parts[0][1]}",)),
        )
        return
    if item.kind == "range":
        yield at + 1, _nothing(item, attempt), (
            say("M205", span, "A range is not a count; it may say what is known of an unknown one.", label="a range", hints=(f"write ? {item.text}",)),
        )
        return
    if item.kind != "number":
        _want(attempt, at, "a count")
        return
    number = as_fraction(item.text)
    if number.denominator != 1:
        yield at + 1, _nothing(item, attempt), (
            say(
                "M304",
                span,
                f"`{attempt.word}` counts whole things, and {item.text} is not whole.",
                label="not a whole number",
                hints=(f"write {int(number)} or {int(number) + 1}, or ? {int(number)} or {int(number) + 1}",),
            ),
        )
        return
    if not 1 <= number <= MOST_TEETH:
        yield at + 1, _nothing(item, attempt), (
            say(
                "M305",
                span,
                f"`{attempt.word}` cannot be {item.text}.",
                label="not possible",
                hints=("write `?` where it is not known, or leave the line out where there is none",),
            ),
        )
        return
    yield at + 1, Count(written=item.text, span=span, value=int(number)), ()


def _number(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at >= len(items) or items[at].kind not in ("number", "unknown", "measure"):
        _want(attempt, at, "a number")
        return
    item = items[at]
    if item.kind == "unknown":
        yield _unknown(attempt, at, None)
        return
    if item.kind == "measure":
        _, _, start, end = item.parts[1]
        attempt.fault(at, 2, say("M302", attempt.source.span(start, end), f"`{attempt.word}` is a plain number and takes no unit.", label="a unit", hints=(f"write {item.parts[0][1]}",)))
        return
    value = float(as_fraction(item.text))
    last, report, after, tolerance = item, [], at + 1, None
    if after < len(items) and items[after].kind == "tolerance":
        tolerance, report = _tolerance(attempt, items[after], None, abs(value))
        last = items[after]
        after += 1
    if value < 0:
        report.append(say("M307", _span(attempt, item, item), f"`{attempt.word}` cannot be {item.text}: it must not be less than nothing.", label="less than nothing"))
    span, written = _span(attempt, item, last), _written(attempt, item, last)
    if report:
        yield after, Unknown(written=written, span=span), tuple(report)
        return
    yield after, Number(written=written, span=span, value=value, tolerance=tolerance), ()


def _counts(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items, after, figures = attempt.items, at, []
    while after < len(items) and items[after].kind == "number":
        number = as_fraction(items[after].text)
        if number.denominator != 1 or not 1 <= number <= MOST_TEETH:
            item = items[after]
            attempt.fault(after, 3, say("M304" if number.denominator != 1 else "M305", _span(attempt, item, item), f"{item.text} cannot be a count.", label="not possible"))
            return
        figures.append(int(number))
        after += 1
        if after < len(items) and items[after].kind == "comma":
            after += 1
    if not figures:
        if at < len(items) and items[at].kind == "unknown":
            yield _unknown(attempt, at, None)
            return
        _want(attempt, at, "a count or several, with commas")
        return
    first, last = items[at], items[after - 1]
    yield after, Counts(written=_written(attempt, first, last), span=_span(attempt, first, last), values=tuple(figures)), ()


# -- words ---------------------------------------------------------------------


def _words_value(attempt: Attempt, first: Item, last: Item, text: str | None = None) -> Words:
    written = _written(attempt, first, last)
    return Words(written=written, span=_span(attempt, first, last), text=text if text is not None else written)


def _name(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind in ("word", "text", "number"):
        item = items[at]
        if item.text.strip():
            yield at + 1, _words_value(attempt, item, item, item.text), ()
            return
    start, end = attempt.span_of(at)
    attempt.fault(
        at, 1, say("M209", attempt.source.span(start, end), f"`{attempt.word}` needs a name here.", label="which one?")
    )


def _names(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items, after, names = attempt.items, at, []
    while after < len(items) and items[after].kind in ("word", "text", "number"):
        names.append(items[after].text)
        after += 1
        if after < len(items) and items[after].kind == "comma":
            after += 1
            continue
        break
    if not names:
        _want(attempt, at, "a name")
        return
    yield after, _words_value(attempt, items[at], items[after - 1], ", ".join(names)), ()


def _words(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    """One item or more; the longest run first, stopping short of a word that the form goes on with."""
    items = attempt.items
    if at >= len(items):
        _want(attempt, at, "a word or a few")
        return
    if items[at].kind == "unknown":
        yield _unknown(attempt, at, None)
        return
    if items[at].kind == "text":
        yield at + 1, _words_value(attempt, items[at], items[at], items[at].text), ()
        return
    stop = at
    while stop < len(items) and items[stop].kind not in ("text", "block", "unknown"):
        stop += 1
    for after in range(stop, at, -1):
        yield after, _words_value(attempt, items[at], items[after - 1]), ()


def _text(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind in ("text", "block"):
        item = items[at]
        yield at + 1, Text(written=item.text, span=_span(attempt, item, item), text=item.text), ()
        return
    if at < len(items) and items[at].kind == "unknown":
        yield _unknown(attempt, at, None)
        return
    if at < len(items):
        first, last = items[at], items[-1]
        span = _span(attempt, first, last)
        words = _written(attempt, first, last)
        attempt.fault(
            at,
            2,
            say(
                "M205",
                span,
                f"The text of `{attempt.word}` stands in quotation marks.",
                label="not in quotes",
                hints=(f'write "{words}"',),
                edits=(Edit(span, f'"{words}"', "put it in quotes"),) if '"' not in words else (),
            ),
        )
        return
    _missing(attempt, at, "a text in quotation marks")


def _path(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind == "word":
        yield at + 1, _words_value(attempt, items[at], items[at]), ()
        return
    _want(attempt, at, "the path of a part, such as going.centre")


def _choice(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    known = vocabulary.load().choices[part.choice]
    items = attempt.items
    if at < len(items) and items[at].kind == "unknown":
        yield _unknown(attempt, at, None)
        return
    longest = max(len(spelling.split()) for spelling in known)
    stop = at
    while stop < len(items) and stop - at < longest and items[stop].kind == "word":
        stop += 1
    for after in range(stop, at, -1):
        spelling = " ".join(item.text.lower() for item in items[at:after])
        entry = known.get(spelling)
        if entry is not None:
            yield after, _words_value(attempt, items[at], items[after - 1], entry.word), ()
    if at >= len(items):
        _missing(attempt, at, "one of " + ", ".join(dict.fromkeys(entry.word for entry in known.values())))
        return
    spelt = [item.text for item in items[at : max(stop, at + 1)]]
    near = nearest(" ".join(spelt), list(known)) or nearest(spelt[0], list(known))
    span = _span(attempt, items[at], items[max(stop, at + 1) - 1])
    every = ", ".join(dict.fromkeys(entry.word for entry in known.values()))
    attempt.fault(
        at,
        2 if items[at].kind == "word" else 1,
        say(
            "M206",
            span,
            f"`{' '.join(spelt)}` is not one of the {part.choice} known here.",
            label="not known",
            hints=((f"write {known[near[0]].word}",) if near else ()) + (f"there are: {every}",),
            edits=(Edit(span, known[near[0]].word, f"write {known[near[0]].word}"),) if near else (),
        ),
    )


# -- dates and times -----------------------------------------------------------


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


def _date(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at < len(items):
        item = items[at]
        span = _span(attempt, item, item)
        if item.kind == "date":
            fault = check_date(item.text, span)
            yield at + 1, Moment(written=item.text, span=span, iso=item.text), (fault,) if fault else ()
            return
        if item.kind == "number" and re.fullmatch(r"\d{4}", item.text):
            yield at + 1, Moment(written=item.text, span=span, iso=item.text), ()
            return
        if item.kind == "unknown":
            yield _unknown(attempt, at, None)
            return
    _want(attempt, at, "a date, such as 2026-05-02, 1931-07 or 1931")


def _time_of_day(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind == "time":
        item = items[at]
        hour, minute = (int(piece) for piece in item.text.split(":"))
        span = _span(attempt, item, item)
        report: tuple[Diagnostic, ...] = ()
        if minute > 59 or hour > 24 or (hour == 24 and minute):
            report = (say("M108", span, f"No clock shows {item.text}.", label="no such time", hints=("hours go from 00 to 24 and minutes to 59",)),)
        yield at + 1, Moment(written=item.text, span=span, iso=f"{hour:02}:{minute:02}"), report
        return
    _want(attempt, at, "a time of day, such as 07:00")


def _day(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    """A day of the year: `1 November`, or `November 1`."""
    items = attempt.items
    pair = items[at : at + 2]
    if len(pair) == 2 and {item.kind for item in pair} == {"number", "word"}:
        number, word = sorted(pair, key=lambda item: item.kind)
        month = next((n for n, name in enumerate(MONTHS, 1) if len(word.text) >= 3 and name.startswith(word.text.lower())), 0)
        span = _span(attempt, pair[0], pair[1])
        if not month:
            near = nearest(word.text.lower(), list(MONTHS))
            attempt.fault(at + 1, 2, say("M206", _span(attempt, word, word), f"`{word.text}` is not a month.", label="which month?", hints=(f"write {near[0].capitalize()}",) if near else ()))
            return
        report: tuple[Diagnostic, ...] = ()
        if not re.fullmatch(r"\d{1,2}", number.text) or not 1 <= int(number.text) <= _DAYS_IN_MONTH[month - 1]:
            report = (say("M107", span, f"{MONTHS[month - 1].capitalize()} has no day {number.text}.", label="no such day"),)
        yield at + 2, Moment(written=_written(attempt, pair[0], pair[1]), span=span, iso=f"--{month:02}-{number.text.zfill(2)[:2]}"), report
        return
    _want(attempt, at, "a day of the year, such as 1 November")


# -- the rest of a line --------------------------------------------------------


def _any(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    """A value of whatever kind its unit or look says: for seasons and log entries."""
    items = attempt.items
    if at >= len(items):
        _missing(attempt, at, "a value")
        return
    item = items[at]
    if item.kind == "measure":
        for dimension in units.dimensions_of(item.parts[1][1])[:1]:
            yield from _measures(attempt, at, dimension, dimension)
    elif item.kind == "number":
        number = as_fraction(item.text)
        span = _span(attempt, item, item)
        if number.denominator == 1 and 1 <= number <= MOST_TEETH:
            yield at + 1, Count(written=item.text, span=span, value=int(number)), ()
        else:
            yield at + 1, Number(written=item.text, span=span, value=float(number)), ()
    elif item.kind == "unknown":
        yield _unknown(attempt, at, None)
    else:
        yield from _words(attempt, part, at, rest)


def _everything(attempt: Attempt, part: Part, at: int, rest: tuple[Element, ...]) -> Iterator[Way]:
    """All that is left of the line, as written; a later pass reads it."""
    items = attempt.items
    if at >= len(items):
        _missing(attempt, at, "something more")
        return
    yield len(items), _words_value(attempt, items[at], items[-1]), ()


def literals(elements: tuple[Element, ...]) -> list[str]:
    """The fixed words that a form may go on with at once."""
    found = []
    for element in elements:
        if isinstance(element, Literal):
            return [*found, element.word]
        if isinstance(element, Maybe):
            found += literals(element.inside)
        else:
            return found
    return found


_READERS: dict[str, Reader] = {
    "count": _count,
    "number": _number,
    "counts": _counts,
    "name": _name,
    "names": _names,
    "words": _words,
    "text": _text,
    "path": _path,
    "choice": _choice,
    "date": _date,
    "time of day": _time_of_day,
    "day": _day,
    "any": _any,
    "claim": _everything,
    "events": _everything,
    "changes": _everything,
}
