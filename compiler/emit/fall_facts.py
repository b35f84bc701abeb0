"""What is known of the fall of a weight: how far it goes in a day and in a winding, and the room there is for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor

from countwheel.emit.graph_words import decimal
from countwheel.emit.stated import fact
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node
from countwheel.units import Unit, lookup

Figures = Mapping[str, Figure]
# In which unit a height in a tower is told where the keeper wrote it in a smaller one.
_LARGER = {"mm": "m", "cm": "m", "in": "ft", "Paris line": "Paris foot"} | {
    f"{where} inch": f"{where} foot" for where in ("Paris", "Rhenish", "Vienna")
}
_LOWEST, _HIGHEST = 0.01, 1000.0  # m: no tower is lower or higher, whatever a slip of the pen says
LONG = 150.0  # mm: how long the whole height comes out on the page


@dataclass(frozen=True, slots=True)
class Fall:
    """Heights in m below the head pulley or below the wound-up weight; None where not known."""

    per_day: float
    days: float | None  # run on one winding, or without the mains
    winding: float | None  # descent in one winding
    interval: float | None  # usual days between windings
    hang: Node | None
    fall: Node | None
    room: Node | None

    @property
    def hangs(self) -> float:
        """From the head pulley to the weight when it is wound; 0 where not known."""
        return metres(self.hang) or 0.0

    @property
    def end(self) -> float | None:
        """How far down the weight is when it has run down, from its highest place."""
        ends = [self.winding, metres(self.fall), self.days * self.per_day if self.days is not None else None]
        return next((end for end in ends if end), None)

    @property
    def days_to_end(self) -> float | None:
        """The run that ends there; None where it ends elsewhere, as where a motor winds before the weight is down."""
        end = self.end
        if self.days is None or end is None or abs(self.down(self.days) - end) > 0.02 * end:
            return None
        return self.days

    @property
    def whole(self) -> float:
        """The height that the drawing takes: from the head pulley to the lowest that is known."""
        return max(metres(self.room) or 0.0, self.hangs + max(self.end or 0.0, metres(self.fall) or 0.0))

    @property
    def too_deep(self) -> bool:
        """Whether the fall, from where the weight hangs when it is wound, is more than the room there is."""
        room, fall = metres(self.room), metres(self.fall)
        return room is not None and fall is not None and self.hangs + fall > room

    @property
    def scale(self) -> float:
        """Millimetres on the page to a metre of the tower."""
        return LONG / self.whole

    @property
    def unit(self) -> Unit:
        """The keeper's own unit of heights."""
        for node in (self.fall, self.room, self.hang):
            value = node.quantity() if node is not None else None
            unit = lookup(value.unit, "length") if value is not None else None
            if unit is not None:
                return lookup(_LARGER.get(unit.form, unit.form), "length") or unit
        return Unit("m", "length", 1.0)

    @property
    def units(self) -> str:
        """What several of it are called."""
        return self.unit.form.replace(" foot", " feet")

    def said(self, down: float) -> str:
        """A height in the keeper's unit: in feet and inches, else to three digits."""
        unit = self.unit
        if unit.form != "ft":
            return f"{decimal(down / unit.size, 3)} {self.units}"
        feet, inches = divmod(round(down / unit.size * 12), 12)
        return " ".join(f"{many} {name}" for many, name in ((feet, "ft"), (inches, "in")) if many) or "0 ft"

    def down(self, day: float) -> float:
        return day * self.per_day

    @property
    def day_marks(self) -> range:
        """The whole days of a winding."""
        end = self.end if self.end is not None else self.whole - self.hangs
        last = min(self.days if self.days is not None else end / self.per_day, end / self.per_day)
        return range(1, floor(last + 1e-6) + 1)


def metres(node: Node | None) -> float | None:
    value = node.quantity() if node is not None else None
    return value.si if value is not None and value.si > 0 else None


def number_of(figures: Figures, id: str) -> float | None:
    """The value of a figure where it is a number."""
    figure = figures.get(id)
    return figure.value if figure is not None and isinstance(figure.value, float) else None


def id_of(train: Train) -> str:
    """What a train's figures of power are called by (`figures/drive.py`)."""
    return train.name.lower().replace(" ", "_")


def fall_of(clock: Clock, train: Train, figures: Figures) -> Fall | None:
    """What is known of the fall; None where the train has no barrel or there is nothing to draw to scale."""
    if train.barrel is None:
        return None
    t = id_of(train)
    per_day, days = (number_of(figures, f"{t}.{what}") for what in ("weight.descent_per_day", "duration"))
    margin = number_of(figures, f"{t}.duration.margin")
    if per_day is None or per_day <= 0:
        return None
    interval = days - margin if days is not None and margin is not None else None
    found = Fall(
        per_day,
        days,
        number_of(figures, f"{t}.weight.descent_per_winding"),
        interval,
        fact(train.barrel, "least hang"),
        fact(train.barrel, "fall"),
        fact(clock.place, "room"),
    )
    return found if found.whole > found.hangs and _LOWEST < found.whole < _HIGHEST else None
