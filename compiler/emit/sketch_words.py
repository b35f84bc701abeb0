"""Running text on a drawing that is put down by hand, and the foot of it: what its lines mean, and notes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from countwheel.emit.drawing import Drawing
from countwheel.emit.graph import LEADING
from countwheel.emit.graph_svg import POINT_IN_MM, Words
from countwheel.emit.lettering import width_of, wrap
from countwheel.emit.sketch import DASHED, DOTTED, HEAVY, LETTERING, PLAIN, WIDE, Sketch

Sample = Literal["dashed", "dotted", "heavy", "dot"]
STEP = LETTERING * POINT_IN_MM * LEADING  # mm from line to line
_SAMPLE = 9.0  # mm that a sample takes in the key, with the space after it
_APART = 3.0  # mm between the drawing and its foot


def lines_of(words: str, wide: float, size: float = LETTERING, bold: bool = False) -> tuple[str, ...]:
    """`words` broken into lines that are at most `wide` mm."""
    return wrap(words, size, wide / POINT_IN_MM, bold)


def paragraph(
    sketch: Sketch, corner: tuple[float, float], words: str, wide: float, bold: bool = False
) -> float:
    """Puts words down in lines from their top left `corner`, in mm; returns where they end."""
    left, top = corner
    for line in lines_of(words, wide, bold=bold):
        sketch.text((left, top + 0.78 * LETTERING * POINT_IN_MM), line, bold=bold)
        top += STEP
    return top


class Foot:
    """What stands under a drawing: a key of its lines, and notes. `height` in mm."""

    def __init__(self, key: Sequence[tuple[Sample, str]] = (), notes: Sequence[str] = ()) -> None:
        self.rows: list[list[tuple[Sample, str]]] = []
        used = WIDE
        for sample, words in key:
            wide = _SAMPLE + width_of(words, LETTERING) * POINT_IN_MM + 4
            if used + wide > WIDE:
                self.rows.append([])
                used = 0.0
            self.rows[-1].append((sample, words))
            used += wide
        self.notes = [line for note in notes for line in lines_of(note, WIDE)]
        self.height = (len(self.rows) + len(self.notes)) * STEP + _APART if key or self.notes else 0.0

    def put(self, sketch: Sketch, top: float) -> None:
        """Writes it from `top` down."""
        sketch.group()
        top += _APART
        for row in self.rows:
            left = 0.0
            for sample, words in row:
                self._sample(sketch, sample, left, top + STEP * 0.42)
                box = sketch.text((left + _SAMPLE, top + 0.78 * LETTERING * POINT_IN_MM), words)
                left = box.right + 4
            top += STEP
        for line in self.notes:
            sketch.text((0.0, top + 0.78 * LETTERING * POINT_IN_MM), line)
            top += STEP

    @staticmethod
    def _sample(sketch: Sketch, sample: Sample, left: float, middle: float) -> None:
        if sample == "dot":
            sketch.circle((left + 3.5, middle), 0.8, fill="black")
            return
        dash = {"dashed": DASHED, "dotted": DOTTED}.get(sample, "")
        sketch.line([(left + 0.3, middle), (left + 7, middle)], HEAVY if sample == "heavy" else PLAIN, dash)


def words_of(id: str, title: str, alt: str) -> Words:
    return Words(id, title, f"{title}. {alt}")


def drawn(sketch: Sketch, foot: Foot) -> Drawing:
    """The drawing with its foot, which takes the last of its height."""
    foot.put(sketch, sketch.height - foot.height)
    return sketch.finish()
