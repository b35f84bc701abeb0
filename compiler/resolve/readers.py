"""The readers of values by kind, as the `takes` column of the vocabulary names them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from countwheel import units
from countwheel.forms import Part
from countwheel.model.values import MOST_TEETH, Count, Number
from countwheel.resolve.matching import Attempt
from countwheel.resolve.numbers import as_fraction
from countwheel.resolve.read_dates import date_of, day, time_of_day
from countwheel.resolve.read_numbers import count, counts, number
from countwheel.resolve.read_quantities import measures, quantity
from countwheel.resolve.read_words import choice, name, names, path, text, words, words_value
from countwheel.resolve.reading import Way, missing, span_of, unknown

Reader = Callable[[Attempt, Part, int], Iterator[Way]]


def read(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """Reads one part of a pattern from item `at` on."""
    reader = _READERS.get(part.kind)
    if reader is not None:
        yield from reader(attempt, part, at)
    else:
        yield from quantity(attempt, part, at)


def any_value(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """A value of whatever kind its unit or look says: for seasons and log entries."""
    items = attempt.items
    if at >= len(items):
        missing(attempt, at, "a value")
        return
    item = items[at]
    if item.kind == "measure":
        for dimension in units.dimensions_of(item.parts[1][1])[:1]:
            yield from measures(attempt, at, dimension, dimension)
    elif item.kind == "number":
        number = as_fraction(item.text)
        span = span_of(attempt, item, item)
        if number.denominator == 1 and 1 <= number <= MOST_TEETH:
            yield at + 1, Count(written=item.text, span=span, value=int(number)), ()
        else:
            yield at + 1, Number(written=item.text, span=span, value=float(number)), ()
    elif item.kind == "unknown":
        yield unknown(attempt, at, None)
    else:
        yield from words(attempt, part, at)


def everything(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """All that is left of the line, as written; a later pass reads it."""
    items = attempt.items
    if at >= len(items):
        missing(attempt, at, "something more")
        return
    yield len(items), words_value(attempt, items[at], items[-1]), ()


def changes(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """The bells of a quarter. Two spaces or more part one change from the next, however many they are."""
    for after, value, clauses in everything(attempt, part, at):
        parted = re.sub(r"\s{2,}", "  ", value.written)
        yield after, value.model_copy(update={"text": parted}), clauses


_READERS: dict[str, Reader] = {
    "count": count,
    "number": number,
    "counts": counts,
    "name": name,
    "names": names,
    "words": words,
    "text": text,
    "path": path,
    "choice": choice,
    "date": date_of,
    "time of day": time_of_day,
    "day": day,
    "any": any_value,
    "claim": everything,
    "events": everything,
    "changes": changes,
}
