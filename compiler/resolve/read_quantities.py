"""Quantities: measures of falling size, their unit and dimension, the tolerance behind them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from countwheel import units
from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.forms import Part
from countwheel.model.values import Quantity, Tolerance, Unknown
from countwheel.resolve.matching import Attempt
from countwheel.resolve.numbers import as_fraction
from countwheel.resolve.reading import Way, nothing, span_of, unknown, usual, want, written_of
from countwheel.source import Span
from countwheel.syntax.tree import Item


@lru_cache(maxsize=256)
def exact_size(unit: units.Unit) -> Fraction:
    """The size of a unit as the fraction that its decimals say (0.0254 is 127/5000)."""
    return Fraction(str(unit.size))


SIGNED = ("temperature", "latitude", "longitude", "rate")
_MAY_BE_ZERO = ("angle", "percent", "frequency", *SIGNED)


def quantity(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    dimension = part.kind
    items = attempt.items
    if at >= len(items):
        want(attempt, at, _a(dimension))
        return
    item = items[at]
    if item.kind == "unknown":
        yield unknown(attempt, at, dimension)
        return
    if item.kind == "number":
        _without_unit(attempt, at, dimension)
        return
    if item.kind == "range":
        yield (
            at + 1,
            nothing(item, attempt, dimension),
            (
                say(
                    "M205",
                    span_of(attempt, item, item),
                    "A range is not a value; it may say what is known of an unknown one.",
                    label="a range",
                    hints=(f"write ? {item.text}",),
                    edits=(Edit(attempt.source.span(item.start, item.start), "? ", f"write ? {item.text}"),),
                ),
            ),
        )
        return
    if item.kind != "measure":
        if not _roughly(attempt, at):
            want(attempt, at, _a(dimension))
        return
    if _unit_of(item, dimension) is None:
        by_letter = _by_letter(attempt, at, dimension) if dimension in _LETTERS else None
        if by_letter is not None:
            yield by_letter
            return
        if dimension == "thread" and _unit_of(item, "length"):
            yield from measures(attempt, at, "length", dimension)
            return
        _wrong_unit(attempt, at, dimension)
        return
    yield from measures(attempt, at, dimension, dimension)


_LETTERS = {"latitude": "NS", "longitude": "EW"}


def _by_letter(attempt: Attempt, at: int, dimension: str) -> Way | None:
    """`50 ° 7 ′ N`: degrees and minutes with the letter behind them all; None where there is no letter."""
    items = attempt.items
    for after, value, report in (
        measures(attempt, at, "angle", "angle") if _unit_of(items[at], "angle") else ()
    ):
        if after >= len(items) or items[after].text not in tuple(_LETTERS[dimension]):
            return None
        letter = items[after].text
        if not isinstance(value, Quantity):
            return after + 1, value, report
        si = -value.si if letter in "SW" else value.si
        span, written = (
            span_of(attempt, items[at], items[after]),
            written_of(attempt, items[at], items[after]),
        )
        update = {"si": si, "dimension": dimension, "unit": f"°{letter}", "span": span, "written": written}
        amiss = tuple(_out_of_reach(attempt, span, si, dimension, written))
        return after + 1, value.model_copy(update=update), report + amiss
    return None


_ROUGHLY = ("about", "circa", "ca", "ca.", "approximately", "approx", "approx.", "roughly", "nearly", "some")


def _roughly(attempt: Attempt, at: int) -> bool:
    """Tells how `about 10 in` is written; False where nothing of the kind stands there."""
    items = attempt.items
    if items[at].text.lower() not in _ROUGHLY or at + 1 >= len(items) or items[at + 1].kind != "measure":
        return False
    span, written = span_of(attempt, items[at], items[at]), items[at + 1].text
    attempt.fault(
        at,
        2,
        lambda: say(
            "M205",
            span,
            "A value that is only roughly known is an unknown one, and may say about how much.",
            label="roughly?",
            hints=(f"write ? about {written}, or {written} estimated",),
            edits=(Edit(span, "? about", f"write ? about {written}"),),
        ),
    )
    return True


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
        forms = [
            form for form, several in units.units().items() if any(u.dimension == dimension for u in several)
        ]
        near = nearest(spelt, forms)
        span = span_of(attempt, items[at + 1], items[at + 1])
        attempt.fault(
            at + 1,
            2,
            lambda: say(
                "M303",
                span,
                f"`{spelt}` is not a unit of {dimension} that is known here.",
                label="which unit?",
                hints=((f"write {near[0]}",) if near else ())
                + (f"units of {dimension}: {usual(dimension)}",),
                edits=(Edit(span, near[0], f"write {near[0]}"),) if near else (),
            ),
        )
        return
    parts = [item.text]
    for other in items[at + 1 :]:
        if other.kind not in ("number", "measure") or not re.fullmatch(r"\d{3}", other.parts[0][1]):
            break
        parts.append(other.parts[0][1])
    if len(parts) > 1 and re.fullmatch(r"\d{1,3}", item.text):
        joined = "".join(parts)
        whole = attempt.source.span(item.start, items[at + len(parts) - 1].parts[0][3])
        attempt.fault(
            at,
            2,
            lambda: say(
                "M112",
                whole,
                "There is a space inside this number.",
                label="one number?",
                hints=(f"write {joined}",),
                edits=(Edit(whole, joined, f"write {joined}"),),
            ),
        )
        return
    span = span_of(attempt, item, item)
    attempt.fault(
        at,
        2,
        lambda: say(
            "M301",
            span,
            f"`{attempt.word}` is {_a(dimension)}, and {item.text} has none.",
            label=f"{item.text} of what?",
            hints=(f"write the unit behind it: {usual(dimension)}",),
        ),
    )


def _wrong_unit(attempt: Attempt, at: int, dimension: str) -> None:
    item = attempt.items[at]
    _, form, start, end = item.parts[1]
    span = attempt.source.span(start, end)
    others = units.dimensions_of(form)
    hint = f"write {usual(dimension)}"
    if dimension in ("latitude", "longitude") and "angle" in others:
        letters = "N or S" if dimension == "latitude" else "E or W"
        message, hint = f"Is this {letters}?", f"write {item.parts[0][1]} °{letters[0]}"
    else:
        message = f"`{form}` measures {' or '.join(others)}; `{attempt.word}` is {_a(dimension)}."
    attempt.fault(
        at, 2, lambda: say("M302", span, message, label=f"not a unit of {dimension}", hints=(hint,))
    )


def measures(attempt: Attempt, at: int, read_as: str, dimension: str) -> Iterator[Way]:
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
            span = span_of(attempt, first, item)
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
            total += exact_size(unit) / number if number else Fraction(0)
        else:
            total += number * exact_size(unit)
        offset = unit.offset
        last_size = abs(unit.size)
        after += 1
    si = float(total) + offset
    last = items[after - 1]
    span = span_of(attempt, first, last)
    tolerance = None
    if after < len(items) and items[after].kind == "tolerance":
        tolerance, amiss = tolerance_of(attempt, items[after], read_as, abs(si))
        report.extend(amiss)
        last = items[after]
        after += 1
    report.extend(_out_of_reach(attempt, span, si, dimension, written_of(attempt, first, last)))
    written = written_of(attempt, first, last)
    if any(diagnostic.severity == "error" for diagnostic in report):
        yield after, Unknown(written=written, span=span, dimension=dimension), tuple(report)
        return
    whole = attempt.source.span(first.start, last.end)
    yield (
        after,
        Quantity(
            written=written, span=whole, si=si, dimension=dimension, unit=largest.form, tolerance=tolerance
        ),
        tuple(report),
    )


def _out_of_reach(
    attempt: Attempt, span: Span, si: float, dimension: str, written: str
) -> Iterator[Diagnostic]:
    if dimension in _LETTERS and attempt.source.text[span.start] in "-−":
        yield say(
            "M310",
            span,
            f"The letter says on which side of the line it lies, so {written} needs no minus.",
            label="both",
            hints=("write the other letter, without the minus",),
        )
    elif dimension == "longitude" and abs(si) > 3.1415926536:
        yield say(
            "M310", span, f"A longitude of {written} is more than half way round.", label="more than 180 °"
        )
    elif dimension == "temperature" and si < 0:
        yield say("M310", span, f"Nothing is as cold as {written}.", label="colder than can be")
    elif dimension == "latitude" and abs(si) > 1.5707963268:
        yield say("M310", span, f"A latitude of {written} is beyond the pole.", label="more than 90 °")
    elif dimension == "percent" and si > 1:
        yield say("M310", span, f"`{attempt.word}` cannot be more than 100 %.", label="more than the whole")
    elif dimension == "angle" and si > 6.2832:
        yield say("M310", span, f"{written} is more than a full turn.", label="more than 360 °")
    if dimension in SIGNED or attempt.word == "above sea":
        return
    if si < 0 or (si == 0 and dimension not in _MAY_BE_ZERO):
        yield say(
            "M307",
            span,
            f"`{attempt.word}` cannot be {written}: it must be more than nothing.",
            label="nothing, or less",
            hints=(_instead(attempt.word, si),),
        )


def _instead(word: str, si: float) -> str:
    """What to write in the place of a value that is nothing or less."""
    if word not in ("found", "left", "set"):
        return "write `?` where it is not known"
    if si == 0:
        return f"write `{word} right`"
    return "write it without a sign, and `fast` or `slow` behind it"


def tolerance_of(
    attempt: Attempt, item: Item, dimension: str | None, size: float
) -> tuple[Tolerance | None, list[Diagnostic]]:
    """The ± behind a value: in a unit of the same dimension, in per cent, or plain for a plain number."""
    span = span_of(attempt, item, item)
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
                        hints=(
                            f"write it in {usual(dimension)} or in %"
                            if dimension
                            else "write it without a unit, or in %",
                        ),
                    )
                ]
            half += number * abs(unit.size)
    if half < 0 or (size and half > size and dimension not in SIGNED):
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
