"""What is known of one part: its facts with their evidence and their lines in the file, and its figures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from countwheel.api import Result
from countwheel.emit.clean import first_capital
from countwheel.emit.figure_text import value_text
from countwheel.emit.naming import Names
from countwheel.emit.shown import date_text
from countwheel.emit.stated import main_value
from countwheel.figures.record import Figure
from countwheel.model.node import Node
from countwheel.model.values import Evidence
from countwheel.preview.trying import Fact, facts

_GAP = re.compile(r"\s{4,}")


class Line(NamedTuple):
    """Where a fact stands: the file as seen from the description's folder, the line from 1, its text."""

    file: str
    number: int
    text: str


class Stated(NamedTuple):
    """One recorded value: what it is, as written, how it is known, the date in words, its line.

    `holds` is False for one that is recorded beside the value that holds; `try_id` is '' where it cannot be tried.
    """

    what: str
    written: str
    known: Evidence
    on: str
    line: Line | None
    holds: bool
    try_id: str


class PartFigure(NamedTuple):
    """A figure of the part with its title in a keeper's words, and its value as printed."""

    figure: Figure
    title: str
    value: str


class Part(NamedTuple):
    path: str
    name: str
    line: Line | None
    stated: tuple[Stated, ...]
    figures: tuple[PartFigure, ...]


def part_of(result: Result, path: str) -> Part | None:
    """All of a part by its path; None where the description has none."""
    if result.clock is None or len(path) > 300:
        return None
    node = next((one for one in result.clock.root.walk() if one.path == path), None)
    if node is None:
        return None
    names = Names(result.clock)
    can_try = facts(result)
    name = names.part(path, node.word)
    below = [
        one for one in node.walk() if one.values and (one is node or one.word not in ("remark", "photo"))
    ]
    stated = tuple(row for one in below for row in _stated(result, one, node, names, can_try))
    return Part(path, first_capital(name), _line(result, node), stated, _figures(result, path, names))


def _stated(
    result: Result, node: Node, owner: Node, names: Names, can_try: dict[str, Fact]
) -> Iterator[Stated]:
    value = main_value(node)
    if value is None or (node is owner and node.label and value.written.strip('"') == node.label):
        return
    # 'going train, third arbor: wheel' of the third arbor is its wheel.
    what = names.part(node.path, node.word)
    above = names.part(owner.path, owner.word).replace(": ", ", ")
    if node is not owner and what.replace(": ", ", ").startswith(f"{above}, "):
        what = what[len(above) + 2 :].replace(": ", ", ")
    ids = {fact.span: id for id, fact in can_try.items()}
    for one in (node, *node.others):
        here = main_value(one)
        if here is not None:
            known = here.evidence if one.evidence.how == "unstated" else one.evidence
            line = _line(result, one, here.span.start)
            try_id = ids.get(here.span, "") if one is node else ""
            yield Stated(
                first_capital(what), here.written, known, date_text(known.on or ""), line, one is node, try_id
            )


def _figures(result: Result, path: str, names: Names) -> tuple[PartFigure, ...]:
    """The figures of a part and, of an arbor, those of the pairs that it is one half of."""
    train, _, name = path.rpartition(".")
    found = []
    for id, figure in result.figures.items():
        first, _, rest = id.removeprefix(f"{train}.").partition(".")
        meshed = (
            bool(train and rest) and id.startswith(f"{train}.") and name in first.split("_") and "_" in first
        )
        if id.startswith(f"{path}.") or id == path or meshed:
            title = names.in_text(figure.title, path.partition(".")[0])
            found.append(PartFigure(figure, first_capital(title), value_text(figure)))
    return tuple(found)


def _line(result: Result, node: Node, start: int | None = None) -> Line | None:
    source = result.sources.get(node.span.file)
    if source is None:
        return None
    number = source.place(node.span.start if start is None else start).line
    folder = result.file[: result.file.rfind("/") + 1]
    # The room that a keeper leaves to set evidence below evidence is only in the way here.
    text = _GAP.sub("   ", source.line_text(number).strip())
    return Line(node.span.file.removeprefix(folder), number, text)
