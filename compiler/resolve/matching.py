"""A line's items matched against the form of its word, with backtracking.

The first way through that uses up the line wins; where there is none, the
fault that lies furthest along the line is reported.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic
from countwheel.forms import Either, Element, Literal, Maybe, Part
from countwheel.model.values import AnyValue
from countwheel.source import Source
from countwheel.syntax.tree import Item


class Reading(NamedTuple):
    """A way through a pattern: the values by part, and what is amiss with them (a zero count...)."""

    values: dict[str, AnyValue]
    report: tuple[Diagnostic, ...] = ()


@dataclass(slots=True)
class Attempt:
    """One line being matched. `worst` is the fault farthest along, of these the most telling.

    A fault is kept as a function that makes its diagnostic: most ways that fail
    are followed by one that does not, and then nobody asks.
    """

    source: Source
    items: list[Item]
    word: str
    end: int
    worst: tuple[int, int, Callable[[], Diagnostic]] | None = None

    def fault(self, at: int, telling: int, diagnostic: Callable[[], Diagnostic]) -> None:
        if self.worst is None or (at, telling) > self.worst[:2]:
            self.worst = (at, telling, diagnostic)

    def span_of(self, at: int) -> tuple[int, int]:
        """Offsets of item `at`, or of the end of the line."""
        if at < len(self.items):
            return self.items[at].start, self.items[at].end
        return self.end, self.end


def ways(attempt: Attempt, elements: tuple[Element, ...], at: int) -> Iterator[tuple[int, Reading]]:
    """Every way of reading `elements` from item `at` on, the preferred first."""
    if not elements:
        yield at, Reading({})
        return
    first, rest = elements[0], elements[1:]
    follows = _word_ahead(attempt, first, rest, at)
    for after, reading in _one(attempt, first, at):
        if follows and not _is_word(attempt, after, follows):
            continue
        for end, more in ways(attempt, rest, after):
            yield end, Reading(reading.values | more.values, reading.report + more.report)


def _word_ahead(attempt: Attempt, first: Element, rest: tuple[Element, ...], at: int) -> str:
    """The fixed word behind a run of free words, where it stands farther along: the run ends there."""
    free = isinstance(first, Part) and first.kind == "words"
    if not free or not rest or not isinstance(rest[0], Literal):
        return ""
    word = rest[0].word.lower()
    return word if any(_is_word(attempt, index, word) for index in range(at + 1, len(attempt.items))) else ""


def _is_word(attempt: Attempt, at: int, word: str) -> bool:
    items = attempt.items
    return at < len(items) and items[at].kind == "word" and items[at].text.lower() == word


def _one(attempt: Attempt, element: Element, at: int) -> Iterator[tuple[int, Reading]]:
    from countwheel.resolve.readers import read

    if isinstance(element, Literal):
        if _is_word(attempt, at, element.word.lower()):
            yield at + 1, Reading({})
        else:
            attempt.fault(at, 0, lambda: _expected(attempt, at, f"`{element.word}`"))
    elif isinstance(element, Maybe):
        yield from ways(attempt, element.inside, at)
        yield at, Reading({})
    elif isinstance(element, Either):
        for way in element.ways:
            yield from ways(attempt, way, at)
    else:
        for after, value, report in read(attempt, element, at):
            yield after, Reading({element.name: value}, report)


def _expected(attempt: Attempt, at: int, what: str) -> Diagnostic:
    from countwheel.diagnostics.registry import say

    start, end = attempt.span_of(at)
    span = attempt.source.span(start, end)
    if at >= len(attempt.items):
        return say("M205", span, f"Here {what} is missing.", label="missing here")
    return say("M205", span, f"Here {what} was expected.", label=f"not {what}")
