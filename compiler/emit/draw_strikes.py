"""All that is heard in twelve hours: for each hour and quarter the blows, on their bells, at their intervals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from countwheel.emit.drawing import Drawing
from countwheel.emit.graph_words import plain, said
from countwheel.emit.naming import Names
from countwheel.emit.phrase import phrase
from countwheel.emit.sketch import FINE, HEAVY, WIDE, Place, Sketch
from countwheel.emit.sketch_words import STEP, Foot, Sample, drawn, paragraph, words_of
from countwheel.emit.stated import all_there, fact
from countwheel.figures.book import Book
from countwheel.figures.changes import hammers_of, read
from countwheel.figures.chimes import Blow, sequence
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.node import Node

Figures = Mapping[str, Figure]
_QUARTER = 900.0
_LONGEST = 5.0  # seconds: a longer silence within a striking is cut to this
_LEFT, _RIGHT, _TOP = 13.0, 13.0, 9.0  # mm: the hours, the counts, the heads of the columns
_MOST = 2.2  # mm to a second at most
_AT = {1: "quarter past", 2: "half past", 3: "quarter to", 4: "the hour"}


class Heard(NamedTuple):
    """What is heard in twelve hours. `cells` holds the blows of each quarter of an hour by its number from noon."""

    cells: Mapping[int, tuple[Blow, ...]]
    bells: tuple[str, ...]  # from the highest to the hour bell

    @property
    def columns(self) -> tuple[int, ...]:
        """The quarters of the hour in which anything is heard: 1 to 4, 4 being the hour itself."""
        return tuple(sorted({_column(number) for number in self.cells}))

    @property
    def total(self) -> int:
        return sum(len(blows) for blows in self.cells.values())


def strike_pattern(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`strike-pattern`; none where the clock neither strikes nor chimes anything that is known."""
    heard = heard_in(clock)
    return (_pattern(clock, heard),) if heard is not None else ()


def heard_in(clock: Clock) -> Heard | None:
    """All blows of twelve hours by the quarter of an hour that they belong to."""
    blows = sequence(Book(clock, working=False))
    if not blows:
        return None
    cells: dict[int, list[Blow]] = {}
    for blow in blows:
        cells.setdefault(max(round(blow.at / _QUARTER), 1), []).append(blow)
    return Heard({number: tuple(cells[number]) for number in sorted(cells)}, bells_in_order(clock, blows))


def bells_in_order(clock: Clock, blows: Sequence[Blow]) -> tuple[str, ...]:
    """The bells that are heard: those of the chimes as they are numbered, then those of the strikes."""
    heard = list(dict.fromkeys(blow.bell for blow in blows))
    found: list[str] = []
    for train in clock.trains_of("chime"):
        changes = read(train)
        if changes is None:
            continue
        hammers = hammers_of(train, changes)
        for bell in changes.bells():
            on = fact(hammers.get(bell), "on")
            found.append((on.text(part="name") if on is not None else None) or f"{train.name} {bell}")
    return tuple(dict.fromkeys(bell for bell in (*found, *heard) if bell in heard))


def written_note(clock: Clock, bell: str) -> str:
    """The note that a bell sounds, as the keeper wrote it; '' where it is not stated."""
    named = (one for one in all_there(clock.root, "bell") if (one.label or "").lower() == bell.lower())
    return said(fact(next(named, None), "strikes"))


def bell_words(clock: Clock, bell: str) -> str:
    """'hour (G#)': a bell with its note, where that is stated."""
    note = written_note(clock, bell)
    return f"{bell} ({note})" if note else bell


def seconds_of(blows: Sequence[Blow]) -> tuple[tuple[float, ...], bool]:
    """When each blow of one striking falls, from its first on, long silences cut; and whether any was cut."""
    at, cut = [0.0], False
    for before, after in pairwise(blows):
        wait = after.at - before.at
        cut = cut or wait > _LONGEST
        at.append(at[-1] + min(wait, _LONGEST))
    return tuple(at), cut


def _column(number: int) -> int:
    return (number - 1) % 4 + 1


def _hour(number: int) -> int:
    """The hour whose row a quarter stands in: from one to twelve, the row of one being the hour that ends at one."""
    return (number - 1) // 4 + 1


def _pattern(clock: Clock, heard: Heard) -> Drawing:
    columns = heard.columns
    long = {
        column: max(
            seconds_of(cell)[0][-1] for number, cell in heard.cells.items() if _column(number) == column
        )
        for column in columns
    }
    inset = 3.0
    room = WIDE - _LEFT - _RIGHT - 2 * inset * len(columns)
    heads = {column: max(long[column], 8.0) for column in columns}
    scale = min(room / sum(heads.values()), _MOST)
    wide = {column: heads[column] * scale + 2 * inset for column in columns}
    # A column is at least as wide as its head.
    if sum(wide.values()) < WIDE - _LEFT - _RIGHT:
        spare = (WIDE - _LEFT - _RIGHT - sum(wide.values())) / len(columns)
        wide = {column: width + spare for column, width in wide.items()}
    tall = max(6.5, 2.6 + 1.3 * len(heard.bells)) if len(heard.bells) <= 9 else 2.6 + 11.7
    foot = _foot(clock, heard)
    sketch = Sketch(
        words_of("strike-pattern", "What is heard in twelve hours", _in_words(clock, heard)),
        _TOP + 12 * tall + 2 + foot.height,
    )
    left = {column: _LEFT + sum(wide[other] for other in columns if other < column) for column in columns}
    for column in columns:
        paragraph(sketch, (left[column] + inset, 0.6), _AT[column], wide[column] - inset, bold=True)
    sketch.text((WIDE - 1, 0.6 + STEP * 0.7), "blows", anchor="end", bold=True)
    for hour in range(1, 13):
        top = _TOP + (hour - 1) * tall
        sketch.line([(0.0, top), (WIDE, top)], FINE)
        sketch.text((9.0, top + tall / 2 + 1.2), str(hour), 11.0, anchor="end", bold=True)
        count = 0
        for column in columns:
            cell = heard.cells.get(4 * (hour - 1) + column, ())
            count += len(cell)
            _cell(sketch, heard, cell, (left[column] + inset, top), tall, scale)
        sketch.text((WIDE - 1, top + tall / 2 + 1), str(count), anchor="end")
    sketch.line([(0.0, _TOP + 12 * tall), (WIDE, _TOP + 12 * tall)], FINE)
    return drawn(sketch, foot)


def _cell(
    sketch: Sketch,
    heard: Heard,
    cell: Sequence[Blow],
    corner: Place,
    tall: float,
    scale: float,
) -> None:
    """One striking: a line for each bell, a dot on it for each blow; the blow of a bell that is alone is a stroke."""
    left, top = corner
    if not cell:
        return
    at, _ = seconds_of(cell)
    bells = heard.bells
    step = (tall - 2.6) / max(len(bells) - 1, 1)
    rows = {
        bell: top + 1.3 + number * step if len(bells) > 1 else top + tall / 2
        for number, bell in enumerate(bells)
    }
    end = left + at[-1] * scale
    sketch.strokes([[(left - 1.2, y), (end + 1.2, y)] for y in rows.values()], 0.25)
    blows = [(left + second * scale, rows[blow.bell]) for blow, second in zip(cell, at, strict=True)]
    if len(bells) == 1:
        sketch.strokes([[(x, y - 1.6), (x, y + 1.6)] for x, y in blows], HEAVY)
    else:
        sketch.dots(blows, 0.75)


def _foot(clock: Clock, heard: Heard) -> Foot:
    names = Names(clock)
    named = "; ".join(bell_words(clock, bell) for bell in heard.bells)
    notes = [f"Bells, from the top line down: {named}." if len(heard.bells) > 1 else f"Bell: {named}."]
    notes.append(
        f"From noon, or from midnight: {heard.total} blows in twelve hours. Each row leads up to its hour. Blows stand"
        " at their intervals, from left to right; a silence of more than 5 s is drawn as 5 s."
    )
    lacking = [
        names.train(train.name)
        for train in (*clock.trains_of("chime"), *clock.trains_of("strike"))
        if train.node.quantity("blow interval") is None
    ]
    if lacking:
        notes.append(f"Intervals are the usual ones, not this clock's own, for: {', '.join(lacking)}.")
    unread = [names.train(train.name) for train in clock.trains_of("chime") if read(train) is None]
    if unread:
        notes.append(f"What it plays is not written down, and so is not drawn, for: {', '.join(unread)}.")
    for train in clock.trains:
        for silent in all_there(train.node, "silent"):
            notes.append(
                f"The {names.train(train.name)} is silent {phrase(silent, 'train', _shown(silent))}."
            )
    key: list[tuple[Sample, str]] = (
        [("dot", "one blow on the bell of that line")] if len(heard.bells) > 1 else []
    )
    return Foot(key, notes)


def _shown(silent: Node) -> dict[str, str]:
    return {part: plain(value) for part, value in silent.values.items()}


def _in_words(clock: Clock, heard: Heard) -> str:
    """Blows at each time, the hours that sound alike told once."""
    told: list[str] = []
    for column in heard.columns:
        counts = [len(heard.cells.get(4 * (hour - 1) + column, ())) for hour in range(1, 13)]
        same = len(set(counts)) == 1
        blows = f"{counts[0]} at every hour" if same else ", ".join(map(str, counts)) + " from one to twelve"
        told.append(f"blows at {_AT[column]}: {blows}")
    bells = "bell" if len(heard.bells) == 1 else "bells"
    return f"For each hour and quarter the blows on {len(heard.bells)} {bells}. {'. '.join(told)}."
