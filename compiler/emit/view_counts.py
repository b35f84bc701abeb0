"""The tables of counts: every wheel, pinion and other whole number of the description, once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from countwheel.emit.shown import Shown, ShownFigure, path_words, show, show_figure
from countwheel.figures.record import Figure
from countwheel.model.clock import Arbor, Clock, Train
from countwheel.model.node import Node
from countwheel.model.values import Count, Counts, Unknown


@dataclass(frozen=True, slots=True)
class CountRow:
    """One wheel, pinion, escape wheel...: its word, its name ('' for none), its count, others recorded."""

    word: str
    name: str
    form: str
    count: Shown
    others: tuple[Shown, ...] = ()


@dataclass(frozen=True, slots=True)
class ArborRows:
    """One arbor with all that has a count; `turns` is per hour, `sense` as seen from the front."""

    name: str
    rows: tuple[CountRow, ...]
    turns: ShownFigure | None
    sense: ShownFigure | None
    lost: bool


@dataclass(frozen=True, slots=True)
class OtherCount:
    """A count that is not on an arbor of a train: where it stands (words of its path), and its values."""

    where: tuple[str, ...]
    word: str
    value: Shown | None
    driver: Shown | None
    driven: Shown | None


def arbors_of(train: Train, figures: Mapping[str, Figure]) -> tuple[ArborRows, ...]:
    return tuple(
        ArborRows(
            arbor.name,
            tuple(_rows(arbor)),
            show_figure(figures.get(f"{arbor.path}.turns_per_hour")),
            show_figure(figures.get(f"{arbor.path}.sense")),
            arbor.node.says("lost") or arbor.node.evidence.lost,
        )
        for arbor in train.arbors
    )


def _rows(arbor: Arbor) -> Iterator[CountRow]:
    for gear in arbor.gears:
        count = show(gear.node, "teeth") or show(gear.node)
        if count:
            others = (show(other, "teeth") or show(other) for other in gear.node.others)
            yield CountRow(
                gear.kind,
                gear.label or "",
                "" if gear.form == "external" else gear.form,
                count,
                tuple(other for other in others if other),
            )
    if arbor.escape:
        count = show(arbor.escape, "teeth") or show(arbor.escape)
        if count:
            yield CountRow(arbor.escape.word, "", "", count)
    lifting = show(arbor.node.get("lifting pins"))
    if lifting:
        yield CountRow("lifting pins", "", "", lifting)


# Whole numbers that count nothing on the clock.
_NO_COUNTS = frozenset({"countwheel", "quarter", "expect", "log", "entry"})


def other_counts(clock: Clock) -> tuple[OtherCount, ...]:
    """The counts that no arbor's table holds, in the order written."""
    seen = {id(node) for train in clock.trains for arbor in train.arbors for node in _nodes(arbor)}
    found = []
    for node in _walk(clock.root):
        if id(node) in seen or node.word in _NO_COUNTS:
            continue
        counted = {
            name
            for name, value in node.values.items()
            if isinstance(value, (Count, Counts)) or _lost(value, name)
        }
        if not counted:
            continue
        main = next((name for name in ("value", "teeth") if name in counted), "")
        if main or {"driver", "driven"} & counted:
            found.append(
                OtherCount(
                    path_words(node.path),
                    node.word,
                    show(node, main) if main else None,
                    show(node, "driver"),
                    show(node, "driven"),
                )
            )
        else:
            found += [
                OtherCount((*path_words(node.path), name), node.word, show(node, name), None, None)
                for name in sorted(counted)
            ]
    return tuple(found)


def _lost(value: object, name: str) -> bool:
    """An unknown count; an unknown measure is no business of this table."""
    return isinstance(value, Unknown) and value.dimension is None and name in ("teeth", "driver", "driven")


def _nodes(arbor: Arbor) -> Iterator[Node]:
    yield from (gear.node for gear in arbor.gears)
    if arbor.escape:
        yield arbor.escape
    lifting = arbor.node.get("lifting pins")
    if lifting:
        yield lifting


def _walk(node: Node) -> Iterator[Node]:
    for fact in node.facts:
        if fact.word not in _NO_COUNTS:
            yield fact
            yield from _walk(fact)
