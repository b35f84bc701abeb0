"""The tables of counts: every wheel, pinion and other whole number of the description, once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from countwheel.emit.naming import Names, gear_noun
from countwheel.emit.shown import Shown, ShownFigure, also_recorded, show, show_figure
from countwheel.emit.stated import fact, is_lost, there
from countwheel.figures.record import Figure
from countwheel.figures.senses import upright
from countwheel.model.clock import Arbor, Clock, Train
from countwheel.model.node import Node
from countwheel.model.values import Count, Counts, Unknown


@dataclass(frozen=True, slots=True)
class CountRow:
    """One wheel, pinion, escape wheel...: what it is called, its count, others recorded."""

    name: str
    count: Shown
    others: tuple[Shown, ...] = ()


@dataclass(frozen=True, slots=True)
class ArborRows:
    """One arbor with all that has a count; `turns` is per hour, `sense` from the front (from above: `upright`)."""

    name: str
    rows: tuple[CountRow, ...]
    turns: ShownFigure | None
    sense: ShownFigure | None
    upright: bool
    lost: bool


@dataclass(frozen=True, slots=True)
class OtherCount:
    """A count that is not on an arbor of a train: what it is of, its values, others recorded."""

    where: str
    value: Shown | None
    driver: Shown | None
    driven: Shown | None
    of: Shown | None = None  # of how many, where some are gone
    others: tuple[Shown, ...] = ()


def arbors_of(train: Train, figures: Mapping[str, Figure]) -> tuple[ArborRows, ...]:
    return tuple(
        ArborRows(
            arbor.name,
            tuple(_rows(arbor)),
            show_figure(figures.get(f"{arbor.path}.turns_per_hour")),
            show_figure(figures.get(f"{arbor.path}.sense")),
            upright(arbor.node),
            is_lost(arbor.node),
        )
        for arbor in train.arbors
    )


def _rows(arbor: Arbor) -> Iterator[CountRow]:
    for node in _nodes(arbor):
        count = show(node, "teeth") or show(node)
        if count:
            yield CountRow(_row_name(arbor, node), count, also_recorded(node, "teeth"))


def _row_name(arbor: Arbor, node: Node) -> str:
    gear = next((gear for gear in arbor.gears if gear.node is node), None)
    if gear:
        return gear_noun(gear.kind, gear.form, gear.label or "", node)
    extra = node.text(part="planes") or node.text(part="sides") or ""
    return f"{node.word} ({extra})" if extra else node.word


# Whole numbers that count nothing on the clock.
_NO_COUNTS = frozenset({"countwheel", "quarter", "expect", "log", "entry"})


def other_counts(clock: Clock, names: Names) -> tuple[OtherCount, ...]:
    """The counts that no arbor's table holds, in the order written; of like dials, together."""
    seen = {id(node) for train in clock.trains for arbor in train.arbors for node in _nodes(arbor)}
    found = [
        count
        for node in _walk(clock.root)
        if id(node) not in seen and node.word not in _NO_COUNTS
        for count in _counts(node, names)
    ]
    return tuple(_together(found, [names.part(dial.path) for dial in clock.dials]))


def _counts(node: Node, names: Names) -> Iterator[OtherCount]:
    counted = [
        name
        for name, value in node.values.items()
        if isinstance(value, (Count, Counts)) or _unknown_count(value, name)
    ]
    where = names.part(node.path, node.word)
    if node.word == "remains":
        yield OtherCount(where, show(node, "left"), None, None, show(node, "of"), also_recorded(node, "left"))
    elif "driver" in counted or "driven" in counted:
        yield OtherCount(where, None, show(node, "driver"), show(node, "driven"))
    else:
        for name in sorted(counted):
            plain = name in ("value", "teeth", "number")
            yield OtherCount(
                where if plain else f"{where}, {name}",
                show(node, name),
                None,
                None,
                None,
                also_recorded(node, name),
            )


def _together(found: list[OtherCount], dials: list[str]) -> Iterator[OtherCount]:
    """Counts that are the same for several dials (`north dial: hours`) become one of 'each dial'."""
    done: set[str] = set()
    for count in found:
        dial = next((name for name in dials if count.where.startswith((f"{name}:", f"{name},"))), None)
        if dial is None or len(dials) < 2:
            yield count
            continue
        rest = count.where.removeprefix(dial)
        alike = [one for one in found if one.where in {f"{name}{rest}" for name in dials}]
        if len(alike) == len(dials) and len({_plain(one) for one in alike}) == 1:
            if rest not in done:
                yield replace(count, where=f"each dial{rest}")
            done.add(rest)
        else:
            yield count


def _plain(count: OtherCount) -> tuple[tuple[str, ...], ...]:
    """What is printed of a count beside its name."""
    values = (count.value, count.driver, count.driven, count.of, *count.others)
    return tuple((v.text, v.limits, v.how, v.on, v.by, v.source, v.doubted) for v in values if v)


def _unknown_count(value: object, name: str) -> bool:
    """An unknown count; an unknown measure is no business of this table."""
    return isinstance(value, Unknown) and value.dimension is None and name in ("teeth", "driver", "driven")


def _nodes(arbor: Arbor) -> Iterator[Node]:
    yield from (gear.node for gear in arbor.gears)
    for node in (arbor.escape, fact(arbor.node, "lifting pins")):
        if node is not None and there(node):
            yield node


def _walk(node: Node) -> Iterator[Node]:
    for inner in node.facts:
        if inner.word not in _NO_COUNTS:
            yield inner
            yield from _walk(inner)
