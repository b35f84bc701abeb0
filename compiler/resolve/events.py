"""Lines of the log: a date, a time, and a run of events, each a word of the vocabulary with its value."""

from __future__ import annotations

from typing import TYPE_CHECKING

from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.forms import pattern
from countwheel.model.node import Node
from countwheel.model.values import Words
from countwheel.resolve.matching import Attempt, ways
from countwheel.syntax.tree import Item
from countwheel.vocabulary import Entry

if TYPE_CHECKING:
    from countwheel.resolve.builder import Builder
    from countwheel.resolve.facts import Facts


def entry(facts: Facts, builder: Builder) -> Node:
    """The entry with its events as facts of its own: `found`, `left`, `wound`, `nut` ..."""
    line = builder.line
    assert line is not None
    items = [item for item in line.items if item.kind not in ("date", "time")]
    found: list[Node] = []
    events = builder.values.get("events")
    if not items and not line.broken and isinstance(events, Words):
        span = events.span
        facts.report.append(
            say(
                "M703",
                span,
                "This entry of the log says nothing of what was found or done.",
                label="and then?",
                hints=('write for example found 12 s fast, or wound, or note "..."',),
            )
        )
    at = 0
    while at < len(items) and not line.broken:
        if items[at].kind == "comma":
            at += 1
            continue
        step = _event(facts, builder, items, at, line.end)
        if step is None:
            break
        node, at = step
        found.append(node)
    values = {name: value for name, value in builder.values.items() if name != "events"}
    return Node(
        word="entry",
        written="",
        path=builder.path,
        span=builder.span,
        word_span=builder.word_span,
        values=values,
        evidence=builder.evidence,
        facts=tuple(found),
    )


def _event(facts: Facts, builder: Builder, items: list[Item], at: int, end: int) -> tuple[Node, int] | None:
    known = facts.words.owners["entry"]
    source = facts.sources[builder.span.file]
    first = items[at]
    span = source.span(first.start, first.end)
    event = known.get(first.text.lower()) if first.kind == "word" else None
    if event is None:
        near = nearest(first.text.lower(), list(known)) if first.kind == "word" else ()
        every = ", ".join(dict.fromkeys(e.word for e in known.values()))
        facts.report.append(
            say(
                "M703",
                span,
                f"`{first.text}` is not something that a log entry can say.",
                label="not known here",
                hints=((f"write {near[0]}",) if near else ())
                + (f"there are: {every}", "put other words in quotes behind `note`"),
            )
        )
        return None
    # Mostly the event is just what stands before the next end; to try that alone saves long logs half their time.
    ahead = next(stop for stop in range(at + 1, len(items) + 1) if _ends(items, stop, known))
    attempt = Attempt(source, items[at + 1 : ahead], event.word, end)
    found = [way for way in ways(attempt, pattern(event.takes), 0) if at + 1 + way[0] == ahead]
    if not found:
        attempt = Attempt(source, items[at + 1 :], event.word, end)
        found = sorted(ways(attempt, pattern(event.takes), 0), key=lambda way: way[0])
    # The shortest reading that ends at a comma, at the next event or at the end of the line, so that
    # `oiled pivots wound` is two events; else the longest, and what stands behind it is told of.
    ends = [way for way in found if _ends(items, at + 1 + way[0], known)]
    if found:
        after, reading = ends[0] if ends else found[-1]
        stop = at + 1 + after
        facts.report.extend(reading.report)
        node = Node(
            word=event.word,
            written=first.text,
            path=f"{builder.path}.{event.word}",
            span=source.span(first.start, items[stop - 1].end),
            word_span=span,
            values=reading.values,
            evidence=builder.evidence,
        )
        return node, stop
    if attempt.worst is not None:
        told = attempt.worst[2]()
        facts.report.append(
            say(
                "M703",
                told.span,
                told.message,
                label=told.label,
                hints=(*told.hints, f"write it like this: {event.example}"),
            )
        )
    else:
        rest = source.span(first.start, items[-1].end)
        facts.report.append(
            say(
                "M703",
                rest,
                f"This event of the log cannot be read: `{event.word}`.",
                label="not readable",
                hints=(f"write it like this: {event.example}",),
            )
        )
    return None


def _ends(items: list[Item], at: int, known: dict[str, Entry]) -> bool:
    """Whether an event may end before item `at`."""
    if at >= len(items) or items[at].kind == "comma":
        return True
    return items[at].kind == "word" and items[at].text.lower() in known
