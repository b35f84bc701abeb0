"""Tooth forms: how high, deep and thick a tooth is, in modules, by the form that the teeth have.

A proportion is a formula of the counts of a gear and of its mate (symbols that the caller names) and of the
constants beside it. Who drives has the acting part of its teeth outside the pitch circle; who is driven has
there only a rounding.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from countwheel.figures.book import Term, constant

# W. L. Goodrich, The Modern Clock, 1905, pages 213-214: the addenda of wheel teeth are epicycloidal; those of
# the leaves rounded, half a leaf high; up to nine leaves the space is twice the leaf.
CYCLOIDAL = (
    "epicycloid rolled by half the mate's pitch circle, from first principles; leaves after"
    " W. L. Goodrich, The Modern Clock, 1905, pages 213-214"
)
INVOLUTE = "basic rack of ISO 53: addendum one module, dedendum one and a quarter, tooth and space alike"
CUTTERS = "proportions of stock clock cutters, as listed at clock-works.clara.net/cata/wnpc3.html"
LANTERN = (
    "way of a trundle's centre, an epicycloid rolled by the pinion's pitch circle; from first principles"
)

_MOST_LEAVES = 16  # of a pinion cut by stock cutters; what has more is cut as a wheel
_FEW_LEAVES = 9
# dedendum in modules by the count of leaves, in the list of stock cutters; other counts were not seen
_CUT_DEPTHS = {6: "1.58", 7: "1.85", 8: "1.90", 10: "2.05", 12: "2.10", 16: "2.10"}


@dataclass(frozen=True, slots=True)
class Toothed:
    """What the proportions of one gear of a pair hang on. `z` and `y` are the symbols of its count and its mate's."""

    leaved: bool  # a pinion, whose leaves are thinner than the spaces
    drives: bool
    count: int
    z: str
    y: str


@dataclass(frozen=True, slots=True)
class Proportions:
    """Formulas in modules; '' for one that no source gives. `where` has the constants that stand in them."""

    addendum: str
    dedendum: str
    thickness: str
    source: str
    where: Mapping[str, Term] = field(default_factory=dict)


def proportions(form: str, gear: Toothed, mate: Toothed) -> Proportions:
    """By the form: `cycloidal`, `stock cutter` or `involute`."""
    if form == "involute":
        return Proportions("1", "1.25", "pi/2", INVOLUTE)
    if form == "stock cutter":
        return _stock_cutter(gear)
    return _cycloidal(gear, mate)


def stock_addendum(leaved: bool, count: int) -> str:
    """What the teeth cut by a stock cutter stand above the pitch circle, in modules."""
    if not leaved or count > _MOST_LEAVES:
        return "1.38"
    return "0.855" if count <= _FEW_LEAVES else "0.805"


def left_on() -> Term:
    what = "part of a tooth's pointed height that is left on"
    return constant(Fraction(95, 100), "", what, assumed=True, source="from memory")


def room_below() -> Term:
    what = "room below the mate's teeth, in modules"
    return constant(Fraction(4, 10), "", what, assumed=True, source="from memory")


def _stock_cutter(gear: Toothed) -> Proportions:
    high = stock_addendum(gear.leaved, gear.count)
    if not gear.leaved or gear.count > _MOST_LEAVES:
        return Proportions(high, "1.57", "1.57", CUTTERS)
    return Proportions(
        high, _CUT_DEPTHS.get(gear.count, ""), "1.05" if gear.count <= _FEW_LEAVES else "1.25", CUTTERS
    )


def _cycloidal(gear: Toothed, mate: Toothed) -> Proportions:
    """A leaf goes as deep as the mate's teeth reach and some room below; a tooth half a pitch, as stock cutters go."""
    where = {**dict([_thickness(gear), _thickness(mate)]), "s": left_on()}
    deep = "pi/2"
    if gear.leaved:
        where["c"] = room_below()
        deep = f"{_addendum(mate)} + c"
    return Proportions(_addendum(gear), deep, f"pi*{_thickness(gear)[0]}", CYCLOIDAL, where)


def _thickness(gear: Toothed) -> tuple[str, Term]:
    """The part of the pitch that a tooth takes, by its symbol."""
    if not gear.leaved:
        return f"w_{gear.z[-1]}", constant(Fraction(1, 2), "", "part of the pitch that a tooth takes")
    part = Fraction(1, 3) if gear.count <= _FEW_LEAVES else Fraction(2, 5)
    return f"w_{gear.z[-1]}", constant(part, "", "part of the pitch that a leaf takes", assumed=True)


def _addendum(gear: Toothed) -> str:
    """Of a driver the epicycloid, shortened; of what is driven a rounding of half the thickness."""
    w = _thickness(gear)[0]
    return f"s*epicycloid_tip({gear.z}/2, {gear.y}/4, {w})" if gear.drives else f"pi*{w}/2"
