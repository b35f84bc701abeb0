"""A gap: one fact that is unknown or weak, what it holds up, how it is found out; and all gaps of a clock."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from countwheel.model.values import Quantity
from countwheel.search.measuring import Means
from countwheel.units import lookup

# What would settle less than this in all is not worth a line.
LEAST = 0.1


@dataclass(frozen=True, slots=True)
class Holds:
    """A figure that a fact holds up, or that it would make surer, and by how much it would settle it (0 to 1)."""

    figure: str
    title: str
    settles: float


@dataclass(frozen=True, slots=True)
class Gap:
    """One fact that is unknown, of which nothing is said, or that is weakly known.

    `kind`: `unknown`, `not stated`, `weak`. `written` what is known of it, `how` how. `enough` is a half-width in
    the keeper's own unit that would do. `settles` counts figures; `minutes` are those at the place.
    """

    path: str
    kind: str
    word: str
    meaning: str
    written: str
    how: str
    lost: bool
    where: str
    means: Means
    enough: str
    holds: tuple[Holds, ...]
    candidates: float = 0.0  # the share of candidates for lost counts that would fall
    rests: int = 0  # figures that rest on it while it is only told, estimated, assumed or doubted
    waits: bool = False  # it can be found out only when the clock goes again
    firm: bool = False  # known well; a better measurement would still make some figure surer
    what: str = ""  # where it is no fact of its own: the distance between two arbors

    @property
    def measurable(self) -> bool:
        return self.means.any and not self.lost and not self.waits

    @property
    def settles(self) -> float:
        return math.fsum(one.settles for one in self.holds) + self.candidates

    @property
    def worth(self) -> float:
        """Figures settled in a minute."""
        return self.settles / max(self.means.minutes, 1)


@dataclass(frozen=True, slots=True)
class Gaps:
    """All gaps of a clock, those that settle most for the time first; parts that are lost cannot be measured."""

    gaps: tuple[Gap, ...]
    known: int  # figures that are known now
    waiting: int  # figures that wait, with those that can be seen only when more is known

    @property
    def worklist(self) -> tuple[Gap, ...]:
        """What can be measured and settles something, the best first."""
        return tuple(gap for gap in self.gaps if gap.measurable and (gap.settles >= LEAST or gap.rests))

    def by_place(self) -> tuple[tuple[str, tuple[Gap, ...]], ...]:
        """The worklist by where the keeper stands; the place with the best first."""
        found: dict[str, list[Gap]] = {}
        for gap in self.worklist:
            found.setdefault(gap.where, []).append(gap)
        return tuple((where, tuple(several)) for where, several in found.items())


def in_unit(half_width: float, value: Quantity, used: Sequence[str] = ()) -> str:
    """A half-width in the value's unit, to one or two digits; of those `used` in the first that suits, if any does."""
    for name in used:
        unit = lookup(name, value.dimension)
        if unit is not None and unit.size and 0.5 <= half_width / abs(unit.size) < 500:
            return f"± {short(half_width / abs(unit.size))} {name}"
    named = _smallest(value)
    unit = lookup(named, value.dimension)
    size = abs(unit.size) if unit is not None and unit.size else 1.0
    number = half_width / size
    if unit is not None and unit.dimension == "thread":
        return ""
    # a half-width of a latitude has no side
    named = named.rstrip("NSEW") if named.startswith("°") else named
    return f"± {short(number)} {named}" if number else ""


# Units that are divided, and not read in tenths.
_FINER = {"ft": "in", "cwt": "lb", "qr": "lb"}


def _smallest(value: Quantity) -> str:
    """'lb' of '2 cwt 3 qr 4 lb': nobody reads a scale in hundredths of a hundredweight."""
    words = value.written.partition("±")[0].split()
    last = words[-1] if words else ""
    named = last if len(words) > 2 and lookup(last, value.dimension) is not None else value.unit
    return _FINER.get(named, named)


def short(number: float) -> str:
    """To one digit, or to two where the first is a one or a two."""
    digits = 2 if f"{number:.0e}"[0] in "12" else 1
    return f"{Decimal(f'{number:.{digits}g}').normalize():f}"
