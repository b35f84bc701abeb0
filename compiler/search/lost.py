"""Counts that are not known: what they may be, by what is said of them and by what the trade ever made."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from countwheel.figures.deduced import allowed
from countwheel.figures.places import Place
from countwheel.figures.terms import evidence_text
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import MOST_TEETH, Count, Counts

# Where nothing is said of a count it is sought within these (turret clocks; common practice, no source).
USUAL = {
    "wheel": (24, 240),
    "pinion": (6, 24),
    "escape wheel": (15, 60),
    "pins": (15, 60),
    "legs": (3, 15),
    "lifting pins": (4, 48),
    "cannon pinion": (6, 60),
    "minute pinion": (6, 48),
    "minute wheel": (18, 144),
    "hour wheel": (18, 144),
    "count": (8, 120),
    "gear": (8, 120),
    "bevel": (12, 120),
    "central bevel": (12, 120),
    "changes a turn": (4, 60),
}
ANY = (6, 240)
ABOUT = 0.15  # `about 72` is taken as within 15 in 100 of it


@dataclass(frozen=True, slots=True)
class Lost:
    """One unknown count: where it belongs, its candidates, and in words what limits them.

    `gone`: the part is lost, so that nobody can count it. `recorded` are counts that were written down for
    it at some time and are doubted, with how they are known.
    """

    place: Place
    name: str
    domain: tuple[int, ...]
    limits: str
    stated: bool  # whether the description limits it, or only the trade
    gone: bool
    about: float | None = None
    recorded: tuple[tuple[int, str], ...] = ()

    @property
    def word(self) -> str:
        """`leaves` of a pinion, `pins`, `legs`, else `teeth`."""
        word = self.place.node.word if self.place.node is not None else ""
        if "pinion" in word or (word == "count" and self.place.part == "driver"):
            return "leaves"
        return {"pins": "pins", "lifting pins": "pins", "legs": "legs", "changes a turn": "changes"}.get(
            word, "teeth"
        )


def lost(place: Place, clock: Clock, name: str) -> Lost:
    """What is known of the count at a place that does not state it."""
    node = place.node
    word = node.word if node is not None else place.stated.rsplit(".", 1)[-1].replace("_", " ")
    low, high = USUAL.get(word, USUAL["wheel"] if word == "count wheel" else ANY)
    unknown = place.limits
    stated = False
    about = unknown.about if unknown is not None else None
    if unknown is not None and unknown.choices:
        # a choice said twice is one; what is no count, as -80 or 60.5, cannot be it
        domain = tuple(sorted({int(one) for one in unknown.choices if one >= 1 and one.is_integer()}))
        return Lost(
            place, name, domain, unknown.written.lstrip("? "), True, _gone(node), None, _recorded(node)
        )
    if unknown is not None and unknown.low is not None and unknown.high is not None:
        low, high, stated = math.ceil(unknown.low), math.floor(unknown.high), True
    elif about is not None:
        low, high, stated = math.ceil(about * (1 - ABOUT)), math.floor(about * (1 + ABOUT)), True
    remains = node.get("remains") if node is not None else None
    if remains is not None:
        of, left = remains.count(part="of"), remains.count(part="left")
        if of:
            low = high = of
        elif left:
            low = max(low, left)
        stated = True
    high = min(high, max(low, MOST_TEETH))  # limits that are wider would fill the memory
    domain = tuple(count for count in range(max(low, 1), high + 1) if allowed(unknown, count))
    limits = f"{low} to {high}" + (f", {unknown.parity}" if unknown is not None and unknown.parity else "")
    return Lost(place, name, domain, limits, stated, _gone(node), about, _recorded(node))


def _gone(node: Node | None) -> bool:
    return node is not None and (node.evidence.lost or node.get("lost") is not None)


def _recorded(node: Node | None) -> tuple[tuple[int, str], ...]:
    """Counts recorded beside the unknown one: an older survey, a doubted one."""
    found: list[tuple[int, str]] = []
    for other in node.others if node is not None else ():
        for value in other.values.values():
            if isinstance(value, Count):
                found.append((value.value, evidence_text(other.evidence)))
            elif isinstance(value, Counts):
                found += [(count, evidence_text(other.evidence)) for count in value.values]
    return tuple(found)


def known_product(factors: tuple[tuple[Place, int], ...]) -> Fraction:
    """The product of those counts that are known, each to its power."""
    product = Fraction(1)
    for place, power in factors:
        count = place.count
        if count is not None:
            product *= count**power
    return product
