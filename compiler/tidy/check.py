"""Tidies a file and makes sure that nothing is lost by it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic
from countwheel.project import parse
from countwheel.source import Source
from countwheel.syntax.tree import Line, Tree
from countwheel.tidy.form import canonical


class Tidied(NamedTuple):
    """The canonical text, or None with the faults for which there is none."""

    text: str | None
    faults: tuple[Diagnostic, ...]


class Lost(RuntimeError):
    """The canonical form would say something else than the file: a fault of ours, and nothing is written."""


def tidied(source: Source) -> Tidied:
    """A file in canonical form. Raises Lost rather than change what it says."""
    tree, faults = parse(source)
    errors = tuple(fault for fault in faults if fault.severity == "error")
    if errors:
        return Tidied(None, errors)
    text = canonical(tree, source)
    again = Source(source.file, text)
    second, more = parse(again)
    if len(more) > len(faults):
        raise Lost("the canonical form cannot be read again")
    if _said(tree, source) != _said(second, again):
        raise Lost("the canonical form says something else")
    if canonical(second, again) != text:
        raise Lost("the canonical form has another canonical form")
    return Tidied(text, ())


def _said(tree: Tree, source: Source) -> tuple[object, ...]:
    """What a file says, line by line, however it is spaced, and all its comments."""
    lines: list[object] = []
    comments: Counter[str] = Counter(comment.strip() for comment in tree.tail)

    def below(several: Sequence[Line], depth: int) -> None:
        for line in several:
            comments.update(comment.strip() for comment in (*line.comments, line.comment) if comment)
            items = tuple((item.kind, item.text) for item in line.items if item.kind != "block")
            clauses = tuple((clause.kind, clause.text) for clause in line.clauses)
            lines.append((depth, items, clauses, line.block))
            below(line.children, depth + 1)

    below(tree.lines, 0)
    return (*lines, frozenset(comments.items()))
