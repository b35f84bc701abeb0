"""The elevation of a train: its arbors between back and front, wheels and pinions edge-on at their true diameters.

The arbors are drawn one above the other, each as far from the one that drives it as their pitch circles ask, so that
wheel and pinion meet on the sheet as they do in the clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from countwheel.emit.draw_reeving import TALL_STRIP, has_weight, put_reeving, reeving_words
from countwheel.emit.draw_train import arbor_in_words
from countwheel.emit.drawing import Drawing
from countwheel.emit.elevation_parts import (
    BACK,
    COLUMN,
    FLY,
    FRONT,
    LABELS,
    PLATE,
    View,
    draw_chain,
    put_counts,
)
from countwheel.emit.elevation_rows import Chain, Row, chains_of, jacks_of, rows_of
from countwheel.emit.graph_svg import Words
from countwheel.emit.graph_words import Figures, said
from countwheel.emit.naming import Names
from countwheel.emit.pitch_sizes import Sizes, sizes_of
from countwheel.emit.sheet_tags import (
    SMALL,
    Foot,
    column_height,
    foot_height,
    put_column,
    put_foot,
    put_title,
    round_scale,
    size_notes,
    tag,
    title_height,
)
from countwheel.emit.sketch import DASHED, FINE, PLAIN, TALL, Box, Sketch
from countwheel.emit.stated import fact, there
from countwheel.emit.train_tree import tree_of
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node

#: A drawing without a scale: its largest wheel is not drawn larger than this, in mm.
_LARGEST = 70.0
#: In mm of the page: between two chains of arbors, at both ends of the frame, for the words under it.
_BETWEEN, _AIR, _UNDER = 5.0, 3.0, 5.0


class _Part(NamedTuple):
    """A chain with its rows, and how far it reaches above and below its first arbor, in mm of the clock."""

    chain: Chain
    rows: tuple[Row, ...]
    above: float
    below: float


class _Sheet(NamedTuple):
    clock: Clock
    train: Train
    parts: tuple[_Part, ...]
    barrel: Node | None

    @property
    def tall(self) -> float:
        """Of all chains together, in mm of the clock."""
        return sum(one.above + one.below for one in self.parts)

    @property
    def gaps(self) -> float:
        """What is left free between them and around, in mm of the page."""
        flies = any(there(arbor.fly) for one in self.parts for arbor in one.chain.arbors())
        return (len(self.parts) - 1) * _BETWEEN + 2 * (FLY if flies else _AIR) + _UNDER


def draw_elevations(clock: Clock, train: Train, figures: Figures, stem: str, title: str) -> list[Drawing]:
    """The main line of the train on the first sheet; what else is driven, and what is too long, on further ones."""
    tree = tree_of(train)
    sizes = sizes_of(tree, figures)
    names = Names(clock)
    sheets = chains_of(tree)
    made = []
    for at, chains in enumerate(sheets, 1):
        of = f", sheet {at} of {len(sheets)}" if len(sheets) > 1 else ""
        id = f"elevation-{stem}" if at == 1 else f"elevation-{stem}-sheet-{at}"
        seen = f"{title}, seen from the side{of}"
        parts = tuple(_part(clock, train, chain, sizes) for chain in chains)
        barrel = next(
            (there(one.first.barrel) for one in chains if one.whole and there(one.first.barrel)), None
        )
        sheet = _Sheet(clock, train, parts, barrel if has_weight(barrel) else None)
        made.append(_drawn(sheet, sizes, figures, names, Words(id, seen, _alt(seen, chains))))
    return made


def _alt(title: str, chains: Sequence[Chain]) -> str:
    arbors = {arbor.path: arbor for chain in chains for arbor in chain.arbors()}
    told = "; ".join(arbor_in_words(arbor) for arbor in arbors.values())
    return f"{title}: the arbors between back and front, the first at the bottom. {told}."


def _part(clock: Clock, train: Train, chain: Chain, sizes: Sizes) -> _Part:
    rows = rows_of(chain, sizes, clock)
    jacks = jacks_of(train, sizes, chain)
    above = max(row.y + row.up for row in rows)
    below = max([row.down - row.y for row in rows] + [jack.driver - jack.y for jack in jacks])
    return _Part(chain, rows, above, below)


# -- one sheet -------------------------------------------------------------------------
def _drawn(sheet: _Sheet, sizes: Sizes, figures: Figures, names: Names, words: Words) -> Drawing:
    head, strip = title_height(words.title, sheet.clock.name), TALL_STRIP if sheet.barrel is not None else 0.0
    foot = _foot(sheet, sizes, 1.0)
    ratio = sheet.tall / (TALL - head - strip - sheet.gaps - foot_height(foot))
    if sizes.true:
        ratio = round_scale(ratio)
    else:
        arbors = [arbor for one in sheet.parts for arbor in one.chain.arbors()]
        ratio = max(ratio, 2 * max(sizes.largest(arbor) for arbor in arbors) / _LARGEST)
    foot = _foot(sheet, sizes, ratio)
    # Drawn once on nothing, to learn how tall the labels are.
    trial = View(Sketch(words, TALL), sizes, figures, names, 1 / ratio)
    _draw(trial, sheet, head, sheet.tall / ratio + sheet.gaps)
    tall = max(sheet.tall / ratio + sheet.gaps + strip, column_height(trial.tags))
    height = min(head + tall + foot_height(foot), TALL)
    view = View(Sketch(words, height), sizes, figures, names, 1 / ratio)
    put_title(view.sketch, words.title, sheet.clock.name)
    _draw(view, sheet, head, height - head - strip - foot_height(foot))
    put_counts(view)
    put_column(view.sketch, view.tags, LABELS, (head, height - foot_height(foot)))
    put_foot(view.sketch, foot)
    return view.sketch.finish()


def _foot(sheet: _Sheet, sizes: Sizes, ratio: float) -> Foot:
    arbors = [arbor for one in sheet.parts for arbor in one.chain.arbors()]
    keys = [("dashed", "not known, lost or assumed")]
    notes = ["The arbors are drawn one above the other."]
    if sizes.true:
        notes[0] += (
            " Heights are to scale. How far apart back and front stand, how thick the wheels are and where each sits "
            "on its arbor is not."
        )
        notes.append("A length behind a count is the diameter of its pitch circle.")
    if sheet.barrel is not None:
        keys.append(("heavy", "a line under load"))
        notes.append("From the barrel to the weight nothing is to scale.")
    if any(there(arbor.fly) for arbor in arbors):
        notes.append("The fly is drawn short.")
    return Foot(ratio if sizes.true else 0.0, tuple(keys), (" ".join(notes), *size_notes(sizes)))


def _draw(view: View, sheet: _Sheet, top: float, tall: float) -> None:
    """The frame with its arbors from `top` down, and below it what hangs on the line."""
    low = top + tall - _UNDER
    _draw_frame(view, sheet.clock, top + 1.0, low)
    spare = low - top - sheet.tall * view.scale - (len(sheet.parts) - 1) * _BETWEEN
    y = low - spare / 2
    for one in sheet.parts:
        zero = y - one.below * view.scale
        draw_chain(view, sheet.clock, sheet.train, one.chain, one.rows, zero)
        y = zero - one.above * view.scale - _BETWEEN
    if sheet.barrel is not None:
        view.sketch.group(sheet.barrel.path)
        at = put_reeving(view.sketch, sheet.barrel, BACK + 4, top + tall)
        view.sketch.group()
        view.tags.append(tag(at, "the weight and its line", reeving_words(sheet.barrel), COLUMN))


def _draw_frame(view: View, clock: Clock, top: float, low: float) -> None:
    """The two ends of the frame, dashed: how thick they are and how far apart is not recorded."""
    sketch = view.sketch
    sketch.group()
    for left in (BACK - PLATE, FRONT):
        sketch.rectangle(Box(left, top, left + PLATE, low), FINE, DASHED)
    sketch.group()
    for left, word in ((BACK - PLATE, "back"), (FRONT, "front")):
        sketch.text((left + PLATE / 2, low + 3.6), word, SMALL, "middle")
    frame = fact(clock.root, "clock", "frame")
    if frame is not None:
        sketch.text(((BACK + FRONT) / 2, low + 3.6), f"frame: {said(frame)}", SMALL, "middle")
        if frame.text() == "flatbed":
            sketch.line([(BACK - 6, low), (FRONT + 8, low)], PLAIN)
