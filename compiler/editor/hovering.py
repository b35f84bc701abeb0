"""What is known of the word at a place: its meaning, how it is written, the figures of that part, what waits for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from countwheel import units
from countwheel.diagnostics.registry import CODES
from countwheel.editor.analysis import Analysis, Fact
from countwheel.editor.completing import unit_size
from countwheel.editor.knowing import DETAILS, KNOWN
from countwheel.editor.naming import place_at
from countwheel.emit.figure_text import value_text
from countwheel.figures.record import Figure
from countwheel.forms import form, parts
from countwheel.model.node import Node
from countwheel.model.values import Quantity, Unknown, Words
from countwheel.source import Span
from countwheel.syntax.tree import Item, Line

MOST = 12  # figures that are listed of one part


class Hover(NamedTuple):
    """Markdown, and the characters that it is about."""

    span: Span
    text: str


def hover(analysis: Analysis, file: str, offset: int) -> Hover | None:
    line = analysis.line_at(file, offset)
    if line is None or not line.start <= offset <= line.end:
        return None
    clause = next((one for one in line.clauses if one.start <= offset <= one.end), None)
    if clause is not None:
        return _clause(file, clause.text if clause.kind == "known" else clause.kind, clause.start, clause.end)
    event = analysis.event_at(file, offset)
    facts = [event] if event is not None else analysis.facts_of(file, line)
    item = next((one for one in line.items if one.start <= offset <= one.end), None)
    place = place_at(analysis, file, offset)
    if place is not None and not place.given:
        return Hover(place.span, _fact(analysis, place.fact))
    if not facts:
        return _known_word(analysis, file, line, offset)
    fact = facts[0]
    if fact.node.word == "expect":
        return Hover(fact.node.span, _expectation(analysis, fact))
    if item is not None and not _in(fact.node.word_span, offset):
        found = _unit(file, item, fact.node, offset) or _choice(fact, offset)
        if found is not None:
            return found
    about = facts if place is None else [one for one in facts if one.node is place.fact.node]
    span = fact.node.word_span if _in(fact.node.word_span, offset) else Span(file, line.start, line.end)
    return Hover(span, _fact(analysis, (about or facts)[0]))


def _in(span: Span, offset: int) -> bool:
    return span.start <= offset <= span.end


# -- words -------------------------------------------------------------------


def _clause(file: str, word: str, start: int, end: int) -> Hover | None:
    meaning = KNOWN.get(word) or DETAILS.get(word)
    return Hover(Span(file, start, end), f"**{word}**: {meaning}") if meaning else None


def _known_word(analysis: Analysis, file: str, line: Line, offset: int) -> Hover | None:
    """The word of a line that states nothing, since it could not be read or stands in the wrong place."""
    entries = list(analysis.entries(file, analysis.owners(file, line.start, line.indent)))
    entry = analysis.entry_of(line, entries[-1].block if entries else "movement")
    if entry is None or not entry.fixed or not line.items:
        return None
    span = Span(file, line.items[0].start, line.items[len(entry.word.split()) - 1 :][0].end)
    if not _in(span, offset):
        return None
    return Hover(span, f"**{entry.word}**: {entry.meaning}\n\nFor example: `{entry.example}`")


def _unit(file: str, item: Item, node: Node, offset: int) -> Hover | None:
    """A unit with its size."""
    for kind, text, start, end in item.parts:
        if kind != "unit" or not start <= offset <= end:
            continue
        value = next((one for one in node.values.values() if _in(one.span, offset)), None)
        wanted = value.dimension if isinstance(value, (Quantity, Unknown)) else None
        known = units.dimensions_of(text)
        dimension = wanted if wanted in known else next(iter(known), None)
        if dimension is None:
            return None
        size = unit_size(units.squeeze(text), dimension)
        return Hover(
            Span(file, start, end), f"**{text}**: a unit of {dimension}" + (f"; {size}" if size else "")
        )
    return None


def _choice(fact: Fact, offset: int) -> Hover | None:
    """A word of a closed choice with its meaning."""
    from countwheel import vocabulary

    for part in parts(fact.entry.takes):
        value = fact.node.values.get(part.name)
        if part.kind == "choice" and isinstance(value, Words) and _in(value.span, offset):
            known = vocabulary.load().choices[part.choice].get(value.text.lower())
            return Hover(value.span, f"**{value.text}**: {known.meaning}") if known else None
    return None


# -- facts -------------------------------------------------------------------


def _fact(analysis: Analysis, fact: Fact) -> str:
    """The meaning of a fact, how it is written, and its figures."""
    entry, node = fact.entry, fact.node
    title = (
        f"{entry.word} {node.label}"
        if node.label
        else entry.word
        if entry.fixed
        else node.written or "this line"
    )
    said = [f"**{title}**: {entry.meaning}"]
    written = f"{entry.word} {form(entry.takes)}".strip() if entry.fixed else form(entry.takes)
    example = f", for example `{entry.example}`" if entry.example else ""
    also = f"; also read: {', '.join(entry.also)}" if entry.also else ""
    said.append(f"Written `{written}`{example}{also}.")
    if node.path and entry.word not in ("remark", "expect", "include", "countwheel"):
        said.append(f"`{node.path}`")
    if node.evidence.doubted:
        said.append(f"Doubted: {node.evidence.doubted}")
    if node.others:
        said.append("Also recorded: " + ", ".join(_recorded(other) for other in node.others) + ".")
    own = list(_own(analysis, node))
    if own:
        said.append(_listed(own))
    waiting = [one for one in analysis.figures.values() if node.path in one.waits_for]
    if waiting:
        said.append(f"Waiting for this:\n{_titles(waiting)}")
    resting = [one for one in analysis.figures.values() if any(i.path == node.path for i in one.inputs)]
    if resting and not own:
        most = sorted(resting, key=lambda one: -one.budget.get(node.path, 0.0))
        known = [one for one in most if one.value is not None]
        said.append(f"Figures that rest on it: {len(resting)}, among them\n{_lines(known[:4])}")
    return "\n\n".join(said)


def _recorded(node: Node) -> str:
    value = next(iter(node.values.values()), None)
    doubted = f" (doubted: {node.evidence.doubted})" if node.evidence.doubted else ""
    return f"{value.written if value is not None else '?'} {node.evidence.how}{doubted}"


def _own(analysis: Analysis, node: Node) -> Iterator[Figure]:
    """The figures of a part itself: those under its path and under no longer one, and the meshes that drive it."""
    begins = f"{node.path}."
    for figure in analysis.figures.values():
        if figure.id.startswith(begins) and _longest_path(analysis, figure.id) == node.path:
            yield figure
    for train in analysis.clock.trains:
        for mesh in train.meshes:
            ratio = analysis.figures.get(f"{mesh.path}.ratio")
            if ratio is not None and node.path in (mesh.driven_arbor, mesh.driven.path):
                yield ratio


def _longest_path(analysis: Analysis, id: str) -> str:
    """What a figure is of: the longest beginning of its id that is the path of a fact or the name of a mesh."""
    meshes = {mesh.path for train in analysis.clock.trains for mesh in train.meshes}
    at = id
    while at and at not in analysis.by_path and at not in meshes:
        at = at.rpartition(".")[0]
    return at


def _listed(figures: list[Figure]) -> str:
    more = f"\n- and {len(figures) - MOST} more" if len(figures) > MOST else ""
    return f"Figures:\n{_lines(figures[:MOST])}{more}"


def _lines(figures: list[Figure]) -> str:
    return "\n".join(f"- {figure.title}: **{value_text(figure)}**" for figure in figures)


def _titles(figures: list[Figure]) -> str:
    more = f"\n- and {len(figures) - MOST} more" if len(figures) > MOST else ""
    return "\n".join(f"- {figure.title}" for figure in figures[:MOST]) + more


def _expectation(analysis: Analysis, fact: Fact) -> str:
    """What the figures say to what the keeper expects."""
    said = [f"**expect**: {fact.entry.meaning}"]
    for expectation in analysis.clock.expectations:
        if expectation.node is fact.node:
            figures = [analysis.figures[id] for id in expectation.figures if id in analysis.figures]
            said.append(_lines(figures))
    missed = [
        one
        for one in analysis.result.diagnostics
        if one.span == fact.node.span or _within(one.span, fact.node.span)
    ]
    said += [f"{CODES[one.code].title}: {one.message}" for one in missed]
    return "\n\n".join(part for part in said if part)


def _within(inner: Span, outer: Span) -> bool:
    return inner.file == outer.file and outer.start <= inner.start and inner.end <= outer.end
