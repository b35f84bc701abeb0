"""The line of each train: its length, mass and load, its breaking force, and how sharply it is bent."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from countwheel.figures.book import Book, Term, constant, waiting
from countwheel.figures.drive import Drive, drives

ROPE = "EN 12385-4 form of the breaking force, F = K d² R/1000; K and W as in a rope maker's technical notes"
LENGTH = "geometry"


class Rope(NamedTuple):
    """A kind of line. `breaking` is K (wire, F = K d² R/1000 in kN) or F/d² (fibre, kN/mm²), `mass` is W.

    Mass per metre is W d²/100 in kg, d in mm.
    """

    breaking: float
    mass: float
    source: str
    u: float = 0.0


_NOTES = (
    "vornbaeumen.de, technical notes, calculation variables; the same in K. Feyrer, Wire Ropes, table 1.9"
)
# K with a fibre core, with an independent wire rope core, with a wire strand core; W.
_WIRE: dict[str, tuple[float | None, float | None, float | None, float]] = {
    "6x7": (0.332, 0.359, 0.388, 0.345),
    "6x19": (0.330, 0.356, None, 0.359),
    "6x36": (0.330, 0.356, None, 0.367),
    "6x19m": (0.307, 0.332, 0.362, 0.346),
    "6x37m": (0.295, 0.319, 0.346, 0.346),
}
# 7x7 and 7x19 are six strands on a strand for a core (that the names mean the same: from memory)
_WIRE["7x7"] = (None, None, 0.388, 0.345)
_WIRE["7x19"] = (None, None, 0.362, 0.346)

_FIBRE: dict[str, Rope] = {
    # 12 mm 10.6 kN, 16 mm 17.6, 20 mm 26.0, 24 mm 36.0: F/d² falls from .074 to .063
    "manila": Rope(
        0.068, 0.069, "table of manila rope, engineeringtoolbox.com; mass from industrialrope.com", 0.003
    ),
    # 6 mm 2.60 kN, 10 mm 7.10, 16 mm 17.8, 25 mm 36.9
    "hemp": Rope(0.067, 0.069, "maker's values for twisted hemp rope, modulor.de; mass as manila", 0.004),
    "sisal": Rope(0.058, 0.069, "a tenth to a fifth under manila, from memory; mass as manila", 0.006),
    # 6 mm 5.34 kN, 8 mm 8.3, 10 mm 12.0, 12 mm 19.6, 16 mm 27.1
    "polyester": Rope(
        0.125, 0.078, "polyester and polyolefin rope, engineeringtoolbox.com; mass from memory", 0.012
    ),
}

# Published ratios to set a line's against; none of them was made for a clock.
FACTORS = (
    "Factors asked for elsewhere: running ropes of hoists 3.15 to 9 by their class (ISO 4308-1); lifting"
    " gear in general, wire rope 5, chain 4, textile 7 (Directive 2006/42/EC); fibre rope 10, wire rope 6"
    " in one mining regulation. None was made for a clock weight: which applies is for a competent person"
    " to say."
)
BENDS = (
    "Ratios asked for elsewhere, diameter over rope: 6x7 at least 42, 6x19 Seale 34, 6x36 23 (rope makers'"
    " catalogues); 40 for clock lines (W. L. Goodrich, The Modern Clock, 1905, p. 268); lifting in general"
    " 18."
)
CAUTION = (
    "This is for a new line of its full size. Wear, rust, broken wires, a sharp bend or a poor ending"
    " lessen it, and age alone weakens fibre. It does not say that the line may stay in use: a competent"
    " person judges that, by the rules of the place."
)


def work_out(book: Book) -> None:
    """Figures `T.line.*`, `T.barrel.length_needed`, `T.barrel.layers_needed`. After power.py."""
    for drive in drives(book):
        rope = rope_of(drive)
        _mass_per_length(book, drive, rope)
        _length(book, drive)
        _fits(book, drive)
        _strength(book, drive, rope)
        _bend(book, drive)


def rope_of(drive: Drive) -> Rope | None:
    """The kind of line from what is written (`manila rope`, `6x19M fibre core`); None where not known."""
    kind = (drive.line.text(part="kind") or drive.line.text() or "").lower()
    for name, rope in _FIBRE.items():
        if name in kind:
            return rope
    written = (drive.line.text("construction") or "").lower().replace("×", "x")
    found = re.search(r"(\d)\s*x\s*(\d+)\s*(m\b)?", written)
    if not found:
        return None
    name = f"{found[1]}x{found[2]}" + ("m" if found[3] else "")
    row = _WIRE.get(name)
    if row is None:
        return None
    fibre, rope_core, strand_core, mass = row
    if "fibre" in written or "fiber" in written or re.search(r"\bfc\b", written):
        k = fibre
    elif "strand core" in written or "wsc" in written or found[1] == "7":
        k = strand_core
    elif "iwrc" in written or "wire rope core" in written or "steel core" in written:
        k = rope_core
    else:
        k = fibre or strand_core  # the weaker core where none is named
    return Rope(k, mass, _NOTES) if k else None


def is_fibre(drive: Drive) -> bool:
    kind = (drive.line.text(part="kind") or drive.line.text() or "").lower()
    return any(name in kind for name in _FIBRE)


def _mass_per_length(book: Book, drive: Drive, rope: Rope | None) -> None:
    id = f"{drive.id}.line.mass_per_length"
    stated = drive.line.term("mass per length", "mass of the line to its length", "kg/m")
    title = "mass of the line to its length"
    if stated.known or rope is None:
        book.derive(id, title, "q", {"q": stated}, unit="kg/m", symbol="q", source="the description")
        return
    book.derive(
        id,
        title,
        "W*d**2/100",
        {
            "W": constant(rope.mass, "", "mass factor of the line", 0.03 * rope.mass, rope.source),
            "d": drive.line_diameter,
        },
        unit="kg/m",
        symbol="q",
        source=ROPE,
    )


# -- how long it must be -----------------------------------------------
def _length(book: Book, drive: Drive) -> None:
    t, barrel = drive.id, drive.barrel
    extra: dict[str, Term] = {}
    pieces = []
    left_out = []
    for symbol, word, what in (
        ("b", "to head pulley", "line from the barrel to the first pulley"),
        ("x", "least hang", "least length from the head pulley to the weight"),
        ("k", "tie", "line taken by its fastenings"),
    ):
        term = barrel.term(word, what, "m")
        if term.known:
            extra[symbol] = term
            pieces.append("n*x" if symbol == "x" else symbol)
        else:
            left_out.append(what)
    if "x" in extra:
        extra["n"] = drive.parts
    still_out = "".join(f" + {piece}" for piece in pieces)
    note = f" Not counted, as it is not stated: {', '.join(left_out)}." if left_out else ""
    turns = {
        "c": book.use(f"{t}.line.travel_per_turn", "m"),
        "Z": barrel.term("turns of line", "turns that the line can make", "turns"),
    }
    on = "Z*c"
    dead = barrel.term("dead turns", "turns that stay on the barrel", "turns")
    if dead.known:
        turns["Y"] = dead
        on = "(Z + Y)*c"
    book.derive(
        f"{t}.line.length_needed.by_turns",
        "line needed for all turns of the barrel",
        on + still_out,
        {**turns, **extra},
        unit="m",
        symbol="l",
        source=LENGTH,
        method="The line on the full barrel, and what is still out when the weight is at the top." + note,
    )
    fall = {
        "n": drive.parts,
        "H": barrel.term("fall", "fall that there is for the weight", "m"),
        **extra,
    }
    on_fall = "n*H"
    if dead.known:
        fall["Y"], fall["c"] = dead, turns["c"]
        on_fall = "n*H + Y*c"
    book.derive(
        f"{t}.line.length_needed.by_fall",
        "line needed for all of the fall",
        on_fall + still_out,
        fall,
        unit="m",
        symbol="l",
        source=LENGTH,
        method="Every part of the line as long as the fall, and what is still out above it." + note,
    )
    ways = [f"{t}.line.length_needed.by_turns", f"{t}.line.length_needed.by_fall"]
    known = [way for way in ways if book.known(way)] or ways
    book.derive(
        f"{t}.line.length_needed",
        "line needed",
        "max(A, B)" if len(known) > 1 else "A",
        {symbol: book.use(way, "m") for symbol, way in zip("AB", known, strict=False)},
        unit="m",
        symbol="l",
        source=LENGTH,
        method="The longer of the two, without anything to spare." + note,
    )
    stated = drive.line.term("length", "length of the line", "m")
    if drive.line.has("length"):
        book.derive(
            f"{t}.line.length_spare",
            "line over what is needed",
            "L - l",
            {"L": stated, "l": book.use(f"{t}.line.length_needed", "m")},
            unit="m",
            symbol="s",
            source=LENGTH,
        )
    book.derive(
        f"{t}.line.mass",
        "mass of the whole line",
        "q*L",
        {
            "q": drive.line_density,
            "L": stated if stated.known else book.use(f"{t}.line.length_needed", "m"),
        },
        unit="kg",
        symbol="m",
        source=LENGTH,
    )


def _fits(book: Book, drive: Drive) -> None:
    """Whether the line lies in one layer, where the barrel's length is stated."""
    t, barrel = drive.id, drive.barrel
    if not barrel.has("length"):
        return
    grooved = barrel.has("groove pitch")
    pitch = barrel.term("groove pitch", "pitch of the grooves", "mm") if grooved else drive.line_diameter
    turns = {"Z": barrel.term("turns of line", "turns that the line can make", "turns")}
    dead = barrel.term("dead turns", "turns that stay on the barrel", "turns")
    text = "Z"
    if dead.known:
        turns["Y"], text = dead, "(Z + Y)"
    book.derive(
        f"{t}.barrel.length_needed",
        "barrel length that the turns need in one layer",
        f"{text}*p",
        {**turns, "p": pitch},
        unit="mm",
        symbol="b",
        source=LENGTH,
        method="Turns times the " + ("pitch of the grooves." if grooved else "line's diameter, lying close."),
    )
    book.derive(
        f"{t}.barrel.layers_needed",
        "layers that the line needs",
        "ceil(b/B - 1/10**6)",
        {
            "b": book.use(f"{t}.barrel.length_needed", "mm"),
            "B": barrel.term("length", "length of the barrel", "mm"),
        },
        symbol="k",
        source=LENGTH,
        method="One, if the turns lie side by side on the barrel.",
    )


# -- what it carries ---------------------------------------------------
def _strength(book: Book, drive: Drive, rope: Rope | None) -> None:
    t = drive.id
    book.derive(
        f"{t}.line.load",
        "pull in the line at rest",
        "g*(W/n + q*(H + x))" if drive.barrel.has("least hang") else "g*(W/n + q*H)",
        {
            "g": drive.gravity,
            "W": drive.weight,
            "n": drive.parts,
            "q": drive.line_density if book.known(f"{t}.line.mass_per_length") else _no_mass(),
            "H": drive.barrel.term("fall", "fall that there is for the weight", "m"),
            "x": drive.barrel.term("least hang", "least length from the head pulley to the weight", "m"),
        },
        unit="N",
        symbol="F",
        source="mechanics: the weight shared among the parts, and the line's own mass",
        method="With the weight down, at the top of one part. Winding and stopping pull harder.",
    )
    stated = drive.line.term("breaking force", "breaking force stated by the maker", "kN")
    id, title = f"{t}.line.minimum_breaking_force", "least breaking force of a new line"
    if stated.known:
        book.derive(
            id,
            title,
            "F",
            {"F": stated},
            unit="kN",
            symbol="F_min",
            source="the line's maker, by the description",
            cautions=(CAUTION,),
        )
    elif rope is not None and is_fibre(drive):
        book.derive(
            id,
            title,
            "f*d**2",
            {
                "f": constant(rope.breaking, "", "breaking force of such rope over d²", rope.u, rope.source),
                "d": drive.line_diameter,
            },
            unit="kN",
            symbol="F_min",
            source=rope.source,
            method="From a maker's table for new rope of this fibre.",
            cautions=(CAUTION,),
        )
    else:
        k = (
            constant(rope.breaking, "", "breaking force factor of this construction", 0.0, rope.source)
            if rope
            else waiting(f"{drive.line.path}.construction", "construction of the line")
        )
        book.derive(
            id,
            title,
            "K*d**2*R/1000",
            {
                "K": k,
                "d": drive.line_diameter,
                "R": drive.line.term("grade", "grade of the wires", "N/mm²"),
            },
            unit="kN",
            symbol="F_min",
            source=ROPE,
            cautions=(CAUTION,),
        )
    book.derive(
        f"{t}.line.breaking_force_over_load",
        "breaking force of a new line over its pull at rest",
        "1000*B/F",
        {
            "B": book.use(id, "kN"),
            "F": book.use(f"{t}.line.load", "N"),
        },
        symbol="f",
        source=ROPE,
        method=FACTORS,
        cautions=(CAUTION,),
    )


def _no_mass() -> Term:
    return constant(Fraction(0), "kg/m", "mass of the line to its length, not known and left out")


def _bend(book: Book, drive: Drive) -> None:
    t = drive.id
    where = {"D": drive.barrel.term("diameter", "diameter of the bare barrel", "mm")}
    for i, pulley in enumerate(drive.barrel.all("pulley")):
        name = pulley.node.label if pulley.node is not None and pulley.node.label else f"pulley {i + 1}"
        term = pulley.term("diameter", f"diameter of the pulley {name}", "mm")
        if term.known:
            where[f"P_{i + 1}"] = term
    sizes = ", ".join(where)
    book.derive(
        f"{t}.line.bend_ratio",
        "smallest barrel or pulley over the line's diameter",
        (f"min({sizes})" if len(where) > 1 else "D") + "/d",
        {**where, "d": drive.line_diameter},
        symbol="b",
        source="common practice of rope makers: diameter at the bottom of the groove over the rope's",
        method=BENDS
        + ("" if len(where) > 1 else " No pulley's diameter is stated: this is the barrel's alone."),
    )
