"""The pins of a chime barrel, with the barrel rolled out flat."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

from countwheel.emit.drawing import Drawing
from countwheel.emit.graph_words import marked, said
from countwheel.emit.naming import train_name, train_stems
from countwheel.emit.sketch import DASHED, DOTTED, FINE, PLAIN, WIDE, Box, Sketch
from countwheel.emit.sketch_words import STEP, Foot, Sample, drawn, lines_of, words_of
from countwheel.emit.stated import fact, has
from countwheel.figures.book import Book
from countwheel.figures.changes import Changes, hammers_of, read
from countwheel.figures.chimes import Pin, pinning
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Train

Figures = Mapping[str, Figure]
LEFT, RIGHT = 34.0, 4.0  # mm: the names of the bells; the edge
TURN = WIDE - LEFT - RIGHT  # mm that one turn of the barrel is long
_HEAD, _FOOT = 15.0, 12.0
_MOST_ROW, _LEAST_ROW = 11.0, 4.0


def chime_barrels(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`chime-barrel-TRAIN` for every train whose changes are written and come round on its barrel."""
    made = (_barrel(clock, train, stem) for train, stem in train_stems(clock))
    return tuple(drawing for drawing in made if drawing is not None)


def quarters_at(changes: Changes, a_turn: int) -> tuple[tuple[int, ...], ...]:
    """For each change round a barrel of so many the quarters that it is played in."""
    whose = [number for number in sorted(changes.quarters) for _ in range(changes.changes_in(number))]
    found: list[set[int]] = [set() for _ in range(a_turn)]
    for number in range(len(whose) * a_turn):
        found[number % a_turn].add(whose[number % len(whose)])
    return tuple(tuple(sorted(one)) for one in found)


def _barrel(clock: Clock, train: Train, stem: str) -> Drawing | None:
    changes, drum = read(train), train.fact("chime barrel")
    pins = pinning(Book(clock, working=False), train)
    if changes is None or drum is None or not pins:
        return None
    bells = changes.bells()
    hammers = hammers_of(train, changes)
    names = {}
    for bell in bells:
        on = fact(hammers.get(bell), "on")
        name = (on.text(part="name") if on is not None else None) or ""
        names[bell] = f"{bell}: {name}" if name else bell
    name = train_name(train, clock)
    a_turn = int(drum.number("changes a turn") or 0)
    labels = {bell: lines_of(names[bell], LEFT - 4) for bell in bells}
    row = max(min(_MOST_ROW, 150.0 / len(bells)), _LEAST_ROW, max(map(len, labels.values())) * STEP)
    assumed = not has(drum, "gap")
    across = fact(drum, "diameter")
    size = f", {marked(f'{said(across)} across', across)}" if across is not None else ""
    notes = [
        f"The chime barrel of the {name}{size}, rolled out: {len(pins)} pins in one turn of {a_turn} changes, from the"
        " first blow of the first quarter on. From place to place is one interval between blows; a place with a rest"
        " has no pin. Not to scale along the barrel."
    ]
    if assumed:
        notes.append("The gap between two changes is not stated: 2 1/2 intervals are assumed.")
    key: list[tuple[Sample, str]] = [
        ("dot", "pin"),
        ("dashed" if assumed else "dotted", "first place of a change"),
    ]
    foot = Foot(key, notes)
    rows = "; ".join(
        f"bell {bell} at {', '.join(f'{round(float(360 * pin.turn), 1):g}' for pin in pins if pin.bell == bell)}"
        for bell in bells
    )
    words = words_of(
        f"chime-barrel-{stem}",
        f"The pins of the chime barrel of the {name}",
        f"{len(pins)} pins, in degrees round the barrel: {rows}.",
    )
    tall = row * len(bells)
    sketch = Sketch(words, _HEAD + tall + _FOOT + foot.height)
    sketch.rectangle(Box(LEFT, _HEAD, LEFT + TURN, _HEAD + tall), PLAIN)
    middles = {bell: _HEAD + (number + 0.5) * row for number, bell in enumerate(bells)}
    sketch.strokes([[(LEFT, y), (LEFT + TURN, y)] for y in middles.values()], 0.25)
    for bell, y in middles.items():
        lines = labels[bell]
        for number, line in enumerate(lines):
            sketch.text((LEFT - 2, y + 1.0 + (number - (len(lines) - 1) / 2) * STEP), line, anchor="end")
    _heads(sketch, changes, a_turn, tall, DASHED if assumed else DOTTED)
    sketch.dots([(x_of(pin), middles[pin.bell]) for pin in pins], 0.9)
    _degrees(sketch, _HEAD + tall)
    return drawn(sketch, foot)


def x_of(pin: Pin) -> float:
    """Where a pin stands along the turn, in mm. The first stands a little in, the gap being shared by both ends."""
    return LEFT + 2.0 + float(pin.turn) * (TURN - 2.0)


def _heads(sketch: Sketch, changes: Changes, a_turn: int, tall: float, dash: str) -> None:
    """A line where each change begins, with its number and the quarters that it is played in."""
    quarters = quarters_at(changes, a_turn)
    sketch.text((LEFT - 2, 4.0), "played in quarter", anchor="end")
    sketch.text((LEFT - 2, 4.0 + 2 * STEP), "change", anchor="end")
    each = (TURN - 2.0) / a_turn
    for change in range(a_turn):
        x = LEFT + 2.0 + change * each
        sketch.line([(x, _HEAD - 2), (x, _HEAD + tall)], FINE, dash)
        sketch.label((x, _HEAD), str(change + 1), [((x + 0.6, 4.0 + 2 * STEP), "start")])
    at = 0
    for which, group in groupby(quarters):
        many = len(list(group))
        left, right = LEFT + 2.0 + at * each, LEFT + 2.0 + (at + many) * each - 1
        sketch.line([(left, 4.0 + STEP * 1.1), (left, 5.5), (right, 5.5), (right, 4.0 + STEP * 1.1)], FINE)
        sketch.label((left, 5.0), ", ".join(map(str, which)), [((left + 0.6, 4.0), "start")])
        at += many


def _degrees(sketch: Sketch, bottom: float) -> None:
    for degrees in range(0, 361, 30):
        x = LEFT + 2.0 + degrees / 360 * (TURN - 2.0)
        sketch.line([(x, bottom), (x, bottom + 1.4)], FINE)
        sketch.text((min(x, WIDE - 4.5), bottom + 5), str(degrees), anchor="middle")
    sketch.text((LEFT + TURN / 2, bottom + 9), "degrees round the barrel", anchor="middle")
