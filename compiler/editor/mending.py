"""Mends: the edits of the diagnostics, and a file put in canonical form as the fewest changes of whole rows."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.editor.analysis import Analysis
from countwheel.source import Source
from countwheel.tidy.check import tidied


class Mend(NamedTuple):
    """An edit that a diagnostic offers; `only` where it is the one that it has."""

    diagnostic: Diagnostic
    edit: Edit
    only: bool


def mends(analysis: Analysis, file: str, start: int, end: int) -> list[Mend]:
    """The mends of the diagnostics of a file that touch the characters from `start` to `end`."""
    return [
        Mend(one, edit, len(one.edits) == 1)
        for one in analysis.result.diagnostics
        if one.span.file == file and one.span.start <= end and start <= one.span.end
        for edit in one.edits
        if edit.span.file in analysis.sources
    ]


def canonical(source: Source) -> list[Edit]:
    """What `tidy` would change in a file; nothing where the file cannot be read whole. Raises `tidy`'s Lost."""
    made, _ = tidied(source)
    if made is None or made == source.text:
        return []
    before, after = source.text.splitlines(True), made.splitlines(True)
    if "".join(before).count("\n") != len(before) - (not source.text.endswith("\n")):
        # a sign that only Python takes for the end of a row: the file changes as a whole
        return [Edit(source.span(0, len(source.text)), made, "canonical form")]
    starts = [0]
    for row in before:
        starts.append(starts[-1] + len(row))
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    return [
        Edit(source.span(starts[i], starts[j]), "".join(after[k:m]), "canonical form")
        for tag, i, j, k, m in matcher.get_opcodes()
        if tag != "equal"
    ]
