"""Two recorded values of one fact: how far apart they are, and whether their tolerances allow it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from countwheel.figures.rounding import order, significant
from countwheel.model.node import Node
from countwheel.model.values import (
    Absent,
    Count,
    Counts,
    Moment,
    Number,
    Quantity,
    Text,
    Unknown,
    Value,
    Words,
)
from countwheel.units import lookup

_EXACT = 1e-9  # takes up the last bit of a conversion


class Difference(NamedTuple):
    """One part of a fact, as it holds and as it is also recorded.

    `apart` and `allowed` (both half-widths together) are in the keeper's unit of
    the value that holds; '' where there is no size to it (words, dates) or, for
    `allowed`, where both are exact.
    """

    part: str
    held: Value
    other: Value
    apart: str
    allowed: str
    agrees: bool


def differences(node: Node, other: Node) -> Iterator[Difference]:
    """Each part that both have a known value of. `other` is one of `node.others`."""
    for part, also in other.values.items():
        held = node.values.get(part)
        if held is None or isinstance(held, (Unknown, Absent)) or isinstance(also, (Unknown, Absent)):
            continue
        yield _compared(part, held, also)


def is_doubted(node: Node) -> bool:
    return bool(node.evidence.doubted)


def _compared(part: str, held: Value, also: Value) -> Difference:
    if isinstance(held, Quantity) and isinstance(also, Quantity):
        found = lookup(held.unit, held.dimension)
        size, unit = (found.size, f" {held.unit}") if found else (1.0, "")
        return _sized(part, held, also, (held.si - also.si) / size, held.si / size, 1 / size, unit)
    if isinstance(held, (Count, Number)) and isinstance(also, (Count, Number)):
        return _sized(part, held, also, held.value - also.value, held.value, 1.0, "")
    return Difference(part, held, also, "", "", _said(held) == _said(also))


def _sized(
    part: str, held: Value, also: Value, gap: float, number: float, scale: float, unit: str
) -> Difference:
    """`gap` and `number` in the keeper's unit; `scale` takes a half-width to it."""
    both = (one.tolerance for one in (held, also) if isinstance(one, (Quantity, Number)))
    allowed = scale * sum(tolerance.half_width for tolerance in both if tolerance)
    agrees = abs(gap) <= allowed + _EXACT * abs(number)
    for digits in range(2, 8):  # as few as tell the two apart
        apart, most = (significant(size, max(digits, order(size) + 1)) for size in (abs(gap), allowed))
        if agrees or apart != most:
            break
    return Difference(part, held, also, f"{apart}{unit}", f"{most}{unit}" if allowed else "", agrees)


def _said(value: Value) -> object:
    """What a value says, its spelling aside."""
    match value:
        case Words() | Text():
            return " ".join(value.text.lower().split())
        case Moment():
            return value.iso
        case Counts():
            return value.values
    return value.written
