"""What stands behind a line in small letters: how fast each arbor turns, and the ratio of each pair of wheels."""

from __future__ import annotations

from typing import NamedTuple

from countwheel.editor.analysis import Analysis
from countwheel.emit.figure_text import value_text
from countwheel.figures.record import Figure
from countwheel.model.node import Node


class Hint(NamedTuple):
    """A text behind the character `offset`, and what it is."""

    offset: int
    text: str
    meaning: str


def hints(analysis: Analysis, file: str, start: int, end: int) -> list[Hint]:
    """The hints between two places of a file, in their order."""
    found: list[Hint] = []
    for train in analysis.clock.trains:
        for arbor in train.arbors:
            found += _hint(arbor.node, analysis.figures.get(f"{arbor.path}.turns_per_hour"), file, "")
        for mesh in train.meshes:
            found += _hint(mesh.driven.node, analysis.figures.get(f"{mesh.path}.ratio"), file, "ratio ")
    return sorted({hint for hint in found if start <= hint.offset <= end})


def _hint(node: Node, figure: Figure | None, file: str, before: str) -> list[Hint]:
    if figure is None or figure.value is None or node.span.file != file:
        return []
    return [Hint(node.span.end, f"{before}{value_text(figure)}", figure.title)]
