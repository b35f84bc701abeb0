"""Trying another value of a fact: the text with the value changed, compiled in memory, set beside what it was.

The files are never touched: only a copy of their texts is changed, in the span of the value.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import NamedTuple

from countwheel import api
from countwheel.api import Result
from countwheel.compare.versions import Comparison
from countwheel.emit.naming import Names
from countwheel.model.node import Node
from countwheel.model.values import AnyValue, Count, Number, Quantity, Unknown
from countwheel.search.filling import Insertion, inserted
from countwheel.source import Span
from countwheel.units import lookup, squeeze

MOST = 4  # facts that are tried at the same time
#: A slider goes from so much of the value to so much, in about so many steps.
_LOWEST, _HIGHEST, _STEPS = 0.5, 1.5, 200
_LAST_UNIT = re.compile(r"\d\s*([^\d\s][^\d]*?)\s*$")


class Fact(NamedTuple):
    """A fact with a number that can be tried. `id` is its path, with the part where there are several in its line.

    `number`, `low`, `high` and `step` are in `unit`; `tail` is what stands behind the number and stays (a tolerance).
    `number` is None where the fact is not known.
    """

    id: str
    group: str
    what: str
    written: str
    number: float | None
    unit: str
    low: float
    high: float
    step: float
    whole: bool
    span: Span
    tail: str = ""

    def text(self, number: float) -> str:
        """The number as it would be written in the file."""
        told = f"{round(number)}" if self.whole else plain(number, self.step)
        return f"{told} {self.unit}".rstrip() + self.tail


class Tried(NamedTuple):
    """What was tried (fact and number), what came of it, and what changed; `comparison` None where it is unreadable."""

    values: tuple[tuple[Fact, float], ...]
    texts: dict[str, str]
    result: Result
    comparison: Comparison | None


def facts(result: Result) -> dict[str, Fact]:
    """Every fact with a number that a figure was worked out from or waits for, by id, in the order written."""
    if result.clock is None:
        return {}
    names = Names(result.clock)
    used = {one.path for figure in result.figures.values() for one in figure.inputs}
    waited = {path for figure in result.figures.values() for path in figure.waits_for}
    found: dict[str, Fact] = {}
    seen: set[Span] = set()  # what several dials have in common stands in one place
    for node in result.clock.root.walk():
        for part, value in node.values.items():
            id = node.path if part == "value" else f"{node.path} ({part})"
            if id not in used and not (isinstance(value, Unknown) and {id, node.path} & waited):
                continue
            made = _fact(id, names, node, part, value) if value.span not in seen else None
            if made is not None and value.span.file in result.sources:
                found.setdefault(id, made)
                seen.add(value.span)
    return found


def _fact(id: str, names: Names, node: Node, part: str, value: AnyValue) -> Fact | None:
    what = names.part(node.path, node.word)
    if part not in ("value", "teeth"):
        what = f"{what} ({part})"
    group = names.owner(node.path.partition(".")[0])
    number: float | None
    unit, whole, low, high = "", False, 0.0, 0.0
    match value:
        case Count():
            number, whole = float(value.value), True
            low, high = max(1.0, math.floor(number * _LOWEST)), math.ceil(number * _HIGHEST) + 1.0
        case Number():
            number = value.value
        case Quantity():
            # Where several units are mixed (2 cwt 3 qr 4 lb) the last is the finest: 312 lb.
            last = _LAST_UNIT.search(value.written.partition("±")[0])
            unit = squeeze(last[1]) if last else value.unit
            found = lookup(unit, value.dimension) or lookup(unit, "length")
            if found is None or not value.si:
                return None
            number = (value.si - found.offset) / found.size
            if unit.startswith("per "):  # so many in an inch: the model has how long one is
                number = found.size / value.si
        case Unknown() if value.dimension is None and (value.choices or (value.low and value.high)):
            number, whole = None, True
            low, high = value.low or min(value.choices), value.high or max(value.choices)
        case _:
            return None
    if number is not None and not whole:
        if number == 0:
            return None
        low, high = sorted((number * _LOWEST, number * _HIGHEST))
    step = 1.0 if whole else _step((high - low) / _STEPS)
    tail = value.written.partition("±")[2].strip()
    return Fact(
        id, group, what, value.written, number, unit, _on(low, step), _on(high, step), step, whole, value.span,
        f" ± {tail}" if tail else "",
    )  # fmt: skip


def _step(about: float) -> float:
    """The next smaller of 1, 2 and 5 with noughts."""
    power = 10.0 ** math.floor(math.log10(about))
    return next(times * power for times in (5, 2, 1) if times * power <= about * 1.0000001)


def _on(number: float, step: float) -> float:
    return round(number / step) * step


def plain(number: float, step: float) -> str:
    """A number to the places that its step has, without an exponent; one that is finer keeps ten digits of its own."""
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    if abs(number - round(number, places)) > 1e-9 * max(abs(number), 1.0):
        places = max(places, 9 - math.floor(math.log10(abs(number))))
    text = f"{number:.{min(places, 12)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def changed_texts(result: Result, values: Mapping[Fact, float]) -> dict[str, str]:
    """The texts of the files with the numbers in the places of their facts; only those that change."""
    texts = inserted(
        result.sources, (Insertion(*fact.span, fact.text(number)) for fact, number in values.items())
    )
    changed = {fact.span.file for fact in values}
    return {name: text for name, text in texts.items() if name in changed}


def try_values(result: Result, wanted: Mapping[str, float]) -> Tried:
    """Compiles the description with other numbers for the facts named; what is unknown or no number is passed over.

    At most `MOST` facts; a number that the file could not have comes back as the diagnostic that it would bring.
    """
    there = facts(result)
    values = {
        there[id]: number
        for id, number in list(wanted.items())[:MOST]
        if id in there and math.isfinite(number) and abs(number) < 1e9
    }
    texts = changed_texts(result, values)
    after = api.with_texts(result, texts)
    return Tried(tuple(values.items()), texts, after, api.compare(result, after))
