"""The shape of a file: its parts as nested symbols, and what can be folded."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from countwheel.editor.analysis import Analysis, end_of
from countwheel.source import Span
from countwheel.syntax.tree import Line


class Symbol(NamedTuple):
    """One line with what stands under it. `kind` is 'part' where it can have facts of its own, else 'fact'.

    `span` is all of it, `name_span` its first words.
    """

    name: str
    detail: str
    kind: str
    span: Span
    name_span: Span
    below: tuple[Symbol, ...]


class Fold(NamedTuple):
    """Rows (from 0) that can be folded; kind: region or comment."""

    first: int
    last: int
    kind: str


def symbols(analysis: Analysis, file: str) -> tuple[Symbol, ...]:
    """The lines of a file as symbols; those of a log and of comments are left out."""
    tree = analysis.reading.project.trees.get(file)
    return tuple(_symbols(analysis, file, tree.lines)) if tree is not None else ()


def _symbols(analysis: Analysis, file: str, lines: list[Line]) -> Iterator[Symbol]:
    for line in lines:
        facts = analysis.facts_of(file, line)
        if facts and facts[0].node.word == "entry":
            continue
        source = analysis.sources[file]
        first = line.items[0] if line.items else None
        name_span = source.span(line.start, first.end if first is not None else line.end)
        name, detail, kind = line.content, "", "fact"
        # A further value of a fact, on a line of its own, is called as it is written.
        if facts and facts[0].node.span.start == line.start:
            node = facts[0].node
            name_span = node.word_span
            name = node.written if facts[0].entry.fixed else source.text[name_span.start : name_span.end]
            behind = source.text[name_span.end : line.clauses[0].start if line.clauses else line.end]
            detail = " ".join(behind.split())
            if node.label is not None:
                name = f"{name} {', '.join(fact.node.label or '' for fact in facts)}"
                detail = detail.removeprefix(f'"{node.label}"').removeprefix(node.label).strip(" ,")
                detail = "" if len(facts) > 1 else detail
            kind = "part" if analysis.words.may_own(facts[0].entry.block) else "fact"
        yield Symbol(
            name or "?",
            detail,
            kind,
            source.span(line.start, max(end_of(line), line.end, name_span.end)),
            name_span,
            tuple(_symbols(analysis, file, line.children)),
        )


def folds(analysis: Analysis, file: str) -> list[Fold]:
    """Blocks of facts, texts of several lines, and runs of comments."""
    source = analysis.sources[file]
    found: list[Fold] = []
    for line in analysis.lines(file):
        end = end_of(line) if line.children else line.block_end if line.block is not None else line.end
        first, last = source.place(line.start).line - 1, source.place(end).line - 1
        if last > first:
            found.append(Fold(first, last, "region"))
    run: list[int] = []
    for row in [source.place(start).line - 1 for start, _ in comments(analysis, file, whole=True)]:
        if run and row != run[-1] + 1:
            found += _comment_fold(run)
            run = []
        run.append(row)
    found += _comment_fold(run)
    return sorted(found)


def _comment_fold(run: list[int]) -> list[Fold]:
    return [Fold(run[0], run[-1], "comment")] if len(run) > 1 else []


_WHOLE = re.compile(r"[ \t]*(#.*)")


def comments(analysis: Analysis, file: str, whole: bool = False) -> list[tuple[int, int]]:
    """Where the comments of a file stand: those on lines of their own, and those behind a line as well."""
    source = analysis.sources[file]
    found: list[tuple[int, int]] = []
    lines = analysis.lines(file)
    at = 0
    inside = 0  # up to where the text of the line before reaches
    for row, start in enumerate(source.line_starts, 1):
        while at < len(lines) and lines[at].start < start:
            line = lines[at]
            if line.block is not None:
                inside = line.block_end
            at += 1
        if start <= inside and inside:
            continue
        text = source.line_text(row)
        match = _WHOLE.fullmatch(text)
        if match is not None:
            found.append((start + match.start(1), start + len(text.rstrip())))
    if not whole:
        for line in lines:
            if line.comment:
                stop = source.text.find(line.comment, line.end)
                if stop >= 0:
                    found.append((stop, stop + len(line.comment)))
    return sorted(found)
