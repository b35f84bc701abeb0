"""Words: names, free words, quoted texts, paths, one of a closed choice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from countwheel import vocabulary
from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.forms import Part
from countwheel.model.values import Text, Words
from countwheel.resolve.matching import Attempt
from countwheel.resolve.reading import Way, missing, span_of, unknown, want, written_of
from countwheel.syntax.tree import Item

_GAP = re.compile(r'("[^"]*")|\s*,\s*|\s+')  # white space and commas, but for those in quotes


def words_value(attempt: Attempt, first: Item, last: Item, text: str | None = None) -> Words:
    """Words as a value. Without a `text`, what is written, with single spaces, one behind each comma too."""
    written = written_of(attempt, first, last)
    if text is None:
        text = _GAP.sub(lambda gap: gap[1] or (", " if "," in gap[0] else " "), written).strip()
    return Words(written=written, span=span_of(attempt, first, last), text=text)


def name(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind in ("word", "text", "number"):
        item = items[at]
        if item.text.strip():
            yield at + 1, words_value(attempt, item, item, item.text), ()
            return
    start, end = attempt.span_of(at)
    attempt.fault(
        at,
        1,
        lambda: say(
            "M209",
            attempt.source.span(start, end),
            f"`{attempt.word}` needs a name here.",
            label="which one?",
        ),
    )


def names(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items, after, names = attempt.items, at, []
    while after < len(items) and items[after].kind in ("word", "text", "number"):
        names.append(items[after].text)
        after += 1
        if after < len(items) and items[after].kind == "comma":
            after += 1
            continue
        break
    if not names:
        want(attempt, at, "a name")
        return
    yield after, words_value(attempt, items[at], items[after - 1], ", ".join(names)), ()


def words(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """One item or more; the longest run first, stopping short of a word that the form goes on with."""
    items = attempt.items
    if at >= len(items):
        want(attempt, at, "a word or a few")
        return
    if items[at].kind == "unknown":
        yield unknown(attempt, at, None)
        return
    if items[at].kind == "text":
        yield at + 1, words_value(attempt, items[at], items[at], items[at].text), ()
        return
    stop = at
    while stop < len(items) and items[stop].kind not in ("text", "block", "unknown"):
        stop += 1
    for after in range(stop, at, -1):
        yield after, words_value(attempt, items[at], items[after - 1]), ()


def text(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind in ("text", "block"):
        item = items[at]
        yield at + 1, Text(written=item.text, span=span_of(attempt, item, item), text=item.text), ()
        return
    if at < len(items) and items[at].kind == "unknown":
        yield unknown(attempt, at, None)
        return
    if at < len(items):
        first, last = items[at], items[-1]
        span = span_of(attempt, first, last)
        words = written_of(attempt, first, last)
        attempt.fault(
            at,
            2,
            lambda: say(
                "M205",
                span,
                f"The text of `{attempt.word}` stands in quotation marks.",
                label="not in quotes",
                hints=(f'write "{words}"',),
                edits=(Edit(span, f'"{words}"', "put it in quotes"),) if '"' not in words else (),
            ),
        )
        return
    missing(attempt, at, "a text in quotation marks")


def path(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    items = attempt.items
    if at < len(items) and items[at].kind == "word":
        yield at + 1, words_value(attempt, items[at], items[at]), ()
        return
    want(attempt, at, "the path of a part, such as going.centre")


def choice(attempt: Attempt, part: Part, at: int) -> Iterator[Way]:
    """One of a closed set, the longest spelling first; kept as the set's own word."""
    known = vocabulary.load().choices[part.choice]
    items = attempt.items
    if at < len(items) and items[at].kind == "unknown":
        yield unknown(attempt, at, None)
        return
    stop = at
    while stop < len(items) and stop - at < _longest(part.choice) and items[stop].kind == "word":
        stop += 1
    for after in range(stop, at, -1):
        spelling = " ".join(item.text.lower() for item in items[at:after])
        entry = known.get(spelling)
        if entry is not None:
            yield after, words_value(attempt, items[at], items[after - 1], entry.word), ()
    if at >= len(items):
        attempt.fault(at, 1, lambda: _nothing_chosen(attempt, at, part.choice))
    else:
        telling = 2 if items[at].kind == "word" else 1
        attempt.fault(at, telling, lambda: _not_a_choice(attempt, at, max(stop, at + 1), part.choice))


@cache
def _longest(choices: str) -> int:
    return max(len(spelling.split()) for spelling in vocabulary.load().choices[choices])


def _every(choices: str) -> str:
    known = vocabulary.load().choices[choices]
    return ", ".join(dict.fromkeys(entry.word for entry in known.values()))


def _nothing_chosen(attempt: Attempt, at: int, choices: str) -> Diagnostic:
    start, end = attempt.span_of(at)
    return say(
        "M204",
        attempt.source.span(start, end),
        f"`{attempt.word}` needs one of {_every(choices)}, and there is none.",
        label="missing here",
    )


def _not_a_choice(attempt: Attempt, at: int, stop: int, choices: str) -> Diagnostic:
    known = vocabulary.load().choices[choices]
    spelt = [item.text for item in attempt.items[at:stop]]
    near = nearest(" ".join(spelt), list(known)) or nearest(spelt[0], list(known))
    span = span_of(attempt, attempt.items[at], attempt.items[stop - 1])
    word = known[near[0]].word if near else ""
    return say(
        "M206",
        span,
        f"`{' '.join(spelt)}` is not one of the {choices} known here.",
        label="not known",
        hints=((f"write {word}",) if near else ()) + (f"there are: {_every(choices)}",),
        edits=(Edit(span, word, f"write {word}"),) if near else (),
    )
