"""The pendulum as a rigid body: its parts and moments, where the bob must hang, its mass against its size."""

from __future__ import annotations

from countwheel.figures import gravity, materials
from countwheel.figures.book import At, Book, Term, constant
from countwheel.figures.formula import formula
from countwheel.figures.pendulum import half_arc, length_term

BODY = "mechanics of the rigid pendulum: equivalent length = moment of inertia over first moment"
SOLIDS = "mechanics: moments of inertia of plain solids"

# Young's modulus of spring steel, from memory; a tenth either way hardly moves the point of bending.
STEEL_STIFFNESS = 200e3  # N/mm²

# Moment of inertia over m D² and m H² about the bob's own middle, across the plane of the swing, and the
# half height from middle to bottom over D and H. A lens is taken as two thin domes (paraboloids): m r²/3.
_SHAPES: dict[str, tuple[str, str, str]] = {
    "cylinder": ("m*(D**2/16 + H**2/12)", "H", "pi/4*D**2*H"),
    "flat cylinder": ("m*D**2/8", "D", "pi/4*D**2*H"),
    "lens": ("m*D**2/12", "D", "pi*H/2*(3*(D/2)**2 + (H/2)**2)/3"),
    "sphere": ("m*D**2/10", "D", "pi/6*D**3"),
    "box": ("m*(D**2 + H**2)/12", "H", "D*H*B"),
}


def names_in(text: str) -> set[str]:
    """The symbols of a formula's text."""
    return set(formula(text).symbols)


class Bob:
    """The bob's facts: shape, sizes in m, mass in kg. Only sizes that its shape needs are asked for."""

    def __init__(self, book: Book, here: At) -> None:
        self.at = here.at("bob")
        self.mass = self.at.term("mass", "mass of the bob", "kg")
        self.shape = (self.at.text("shape") or "").lower()
        self.diameter = self.at.term("diameter", "diameter of the bob", "m")
        thick = self.at.has("thickness") and self.shape in ("lens", "flat cylinder")
        self.height = (
            self.at.term("thickness", "thickness of the bob", "m")
            if thick
            else self.at.term("height", "height of the bob", "m")
        )
        self.thickness = self.at.term("thickness", "thickness of the bob", "m")
        self.material = self.at.text() or self.at.text(part="material") or ""
        self.shape_waits = self.at.term("shape", "shape of the bob", "")

    @property
    def known_shape(self) -> bool:
        return self.shape in _SHAPES

    @property
    def half_height(self) -> tuple[str, dict[str, Term]]:
        """From its middle to its bottom: a text and its terms."""
        if not self.known_shape:
            return "H/2", {"H": self.shape_waits}
        if _SHAPES[self.shape][1] == "D":
            return "D/2", {"D": self.diameter}
        return "H/2", {"H": self.height}

    def terms(self, text: str) -> dict[str, Term]:
        every = {"m": self.mass, "D": self.diameter, "H": self.height, "B": self.thickness}
        return {name: term for name, term in every.items() if name in names_in(text)}

    def density(self) -> Term | None:
        stated = self.at.term("density", "density of the bob", "kg/m³")
        return stated if stated.known else materials.density(self.material, "the bob", self.at.node)


def work_out(book: Book) -> None:
    """Figures `pendulum.bob.*`, `.mass`, `.first_moment`, `.moment_of_inertia`, `.centre_of_oscillation`.

    After pendulum.py.
    """
    if book.clock.pendulum is None:
        return
    here = book.at(book.clock.pendulum, "pendulum")
    bob = Bob(book, here)
    _mass_by_size(book, bob)
    _bob_inertia(book, bob)
    _rod(book, here)
    _others(book, here)
    _bob_centre(book, here, bob)
    _whole(book, here, bob)


# -- the bob -----------------------------------------------------------
def _mass_by_size(book: Book, bob: Bob) -> None:
    density = bob.density()
    if not bob.known_shape or density is None:
        return
    text = _SHAPES[bob.shape][2]
    where = {**bob.terms(text), "ρ": density}
    hole = bob.at.term("hole", "hole for the rod", "m")
    full = f"ρ*{text}"
    if hole.known:
        through = bob.half_height
        long = "H" if "H" in through[1] else "D"
        where |= {"h": hole, long: bob.height if long == "H" else bob.diameter}
        full = f"ρ*({text} - pi/4*h**2*{long})"
    book.derive(
        "pendulum.bob.mass_by_size",
        "mass that the bob should have by its size and material",
        full,
        where,
        unit="kg",
        symbol="m",
        source=SOLIDS,
        method="Taken as solid and plain, without casing, collars or hollows.",
    )
    if bob.mass.known:
        book.derive(
            "pendulum.bob.mass_ratio",
            "stated mass of the bob over that by its size",
            "m/s",
            {"m": bob.mass, "s": book.use("pendulum.bob.mass_by_size", "kg")},
            symbol="k",
            source=SOLIDS,
            method="Well under 1: hollow, cased, or a size is wrong. Well over 1: a fact is wrong.",
        )


def _bob_inertia(book: Book, bob: Bob) -> None:
    text = _SHAPES[bob.shape][0] if bob.known_shape else "m*D"
    where = bob.terms(text)
    if not bob.known_shape:
        where["D"] = bob.shape_waits
    book.derive(
        "pendulum.bob.moment_of_inertia",
        "moment of inertia of the bob about its own middle",
        text,
        where,
        unit="kg·m²",
        symbol="J",
        source=SOLIDS,
        method="A lens is taken as two thin domes." if bob.shape == "lens" else "",
    )


# -- rod and what else hangs on it -------------------------------------
def rod_material(here: At) -> str:
    return here.at("rod").text() or here.at("rod").text(part="material") or ""


def _rod(book: Book, here: At) -> None:
    """`pendulum.rod.mass` where it is stated or can be had from its size; nothing where it cannot."""
    rod = here.at("rod")
    stated = rod.term("mass", "mass of the rod", "kg")
    if stated.known:
        book.derive(
            "pendulum.rod.mass", "mass of the rod", "m", {"m": stated}, unit="kg", source="the description"
        )
        return
    density = materials.density(rod_material(here), "the rod", rod.node)
    length = rod.term("length", "length of the rod", "m")
    if density is None or not length.known:
        return
    round_rod = rod.term("diameter", "diameter of the rod", "m")
    wide, thick = (
        rod.term("width", "width of the rod", "m"),
        rod.term("thickness", "thickness of the rod", "m"),
    )
    if round_rod.known:
        text, where = "ρ*pi/4*d**2*l", {"d": round_rod}
    elif wide.known and thick.known:
        text, where = "ρ*w*b*l", {"w": wide, "b": thick}
    else:
        return
    book.derive(
        "pendulum.rod.mass",
        "mass of the rod by its size and material",
        text,
        {**where, "ρ": density, "l": length},
        unit="kg",
        symbol="m",
        source=SOLIDS,
    )


def _bending_depth(book: Book, here: At) -> None:
    """How far under its upper clamp the spring bends: √(EI/F), for a long thin spring under a pull F."""
    spring = here.at("suspension spring")
    if not here.has("suspension spring"):
        return
    book.derive(
        "pendulum.suspension_spring.bending_depth",
        "depth under the upper clamp at which the pendulum turns",
        "sqrt(E*b*c**3/(12*m*g))",
        {
            "E": constant(STEEL_STIFFNESS, "N/mm²", "stiffness of spring steel", 10e3, "from memory"),
            "b": spring.term("width", "width of the spring", "mm"),
            "c": spring.term("thickness", "thickness of the spring", "mm"),
            "m": here.at("bob").term("mass", "mass of the bob", "kg"),
            "g": gravity.anywhere(book),
        },
        unit="mm",
        symbol="δ",
        source="theory of the bent beam under tension",
        method="The bob's weight alone as the pull. Springs side by side count with all their widths.",
    )


def _others(book: Book, here: At) -> None:
    """First moment and moment of inertia of rod, tray and crutch about the point of turning."""
    _bending_depth(book, here)
    rod, tray, crutch = here.at("rod"), here.at("tray"), here.at("crutch")
    first: list[str] = []
    second: list[str] = []
    where: dict[str, Term] = {}
    told: list[str] = []
    length = rod.term("length", "length of the rod", "m")
    if book.known("pendulum.rod.mass") and length.known:
        where |= {"m_r": book.use("pendulum.rod.mass", "kg"), "l": length}
        top = here.at("suspension spring").term("length", "free length of the spring", "m")
        middle = "l/2"
        if top.known and book.known("pendulum.suspension_spring.bending_depth"):
            where |= {"s": top, "δ": book.use("pendulum.suspension_spring.bending_depth", "m")}
            middle = "(s - δ + l/2)"
        first.append(f"m_r*{middle}")
        second.append(f"m_r*({middle}**2 + l**2/12)" if middle != "l/2" else "m_r*l**2/3")
        told.append("rod")
    weight, under = (
        tray.term("mass", "mass of the tray", "kg"),
        tray.term("below suspension", "tray's depth", "m"),
    )
    if weight.known and under.known:
        where |= {"m_t": weight, "h": under}
        first.append("m_t*h")
        second.append("m_t*h**2")
        told.append("tray")
    mass, arm = (
        crutch.term("mass", "mass of the crutch", "kg"),
        crutch.term("length", "length of the crutch", "m"),
    )
    if mass.known and arm.known:
        where |= {"m_c": mass, "k": arm}
        first.append("m_c*k/2")
        second.append("m_c*k**2/3")
        told.append("crutch")
    if not told:
        return
    of = " and ".join(filter(None, (", ".join(told[:-1]), told[-1])))
    for id, title, pieces, unit in (
        ("pendulum.rest.first_moment", "first moment", first, "kg·m"),
        ("pendulum.rest.moment_of_inertia", "moment of inertia", second, "kg·m²"),
    ):
        text = " + ".join(pieces)
        used = {name: term for name, term in where.items() if name in names_in(text)}
        book.derive(id, f"{title} of {of}, about the point of turning", text, used, unit=unit, source=SOLIDS)


def _nut(here: At) -> Term | None:
    nut = here.at("rating nut").term("mass", "mass of the rating nut", "kg")
    return nut if nut.known else None


# -- the whole ---------------------------------------------------------
def _bob_centre(book: Book, here: At, bob: Bob) -> None:
    """How far below the point of turning the bob's middle hangs: stated, or from the beat."""
    stated = here.term("length", "length stated, suspension to the middle of the bob", "m")
    id, title = "pendulum.bob.centre", "how far below the suspension the middle of the bob hangs"
    if stated.known:
        book.derive(id, title, "x", {"x": stated}, unit="m", symbol="x", source="the description")
        return
    where = {
        "m": bob.mass,
        "J": book.use("pendulum.bob.moment_of_inertia", "kg·m²"),
        "L": length_term(book),
    }
    told = ["bob"]
    inertia, moment = "J", ""
    if book.known("pendulum.rest.first_moment"):
        where |= {
            "I_o": book.use("pendulum.rest.moment_of_inertia", "kg·m²"),
            "S_o": book.use("pendulum.rest.first_moment", "kg·m"),
        }
        inertia, moment = "J + I_o", " - L*S_o"
        told.append("rod and what else is on it")
    nut = _nut(here)
    if nut is None:
        text = f"(L*m + sqrt((L*m)**2 - 4*m*({inertia}{moment})))/(2*m)"
    else:
        below, terms = bob.half_height
        where |= terms | {"m_n": nut}
        middle = f"(L*(m + m_n) - m_n*2*{below})"
        rest = f"({inertia} + m_n*({below})**2{moment} - L*m_n*{below})"
        text = f"({middle} + sqrt({middle}**2 - 4*(m + m_n)*{rest}))/(2*(m + m_n))"
        told.append("nut")
    book.derive(
        id,
        title,
        text,
        where,
        unit="m",
        symbol="x",
        source=BODY,
        method=f"So that the rigid body ({', '.join(told)}) has the length that the beat asks for."
        + _rod_left_out(book, here),
    )


def _rod_left_out(book: Book, here: At) -> str:
    """What is to be said where the rod is not among the parts that have their moments."""
    if not book.known("pendulum.rod.mass"):
        return " The rod is left out, as its mass cannot be had from what is stated."
    if not here.at("rod").term("length", "length of the rod", "m").known:
        return " The rod is left out, as its length as a whole is not stated."
    return ""


def _whole(book: Book, here: At, bob: Bob) -> None:
    where = {"m": bob.mass, "x": book.use("pendulum.bob.centre", "m")}
    first, second = ["m*x"], ["m*x**2", "J"]
    inertia = {"J": book.use("pendulum.bob.moment_of_inertia", "kg·m²")}
    rod = book.use("pendulum.rod.mass", "kg") if book.known("pendulum.rod.mass") else None
    nut = _nut(here)
    below, size = bob.half_height
    if nut is not None:
        where |= {"m_n": nut} | size
        first.append(f"m_n*(x + {below})")
        second.append(f"m_n*(x + {below})**2")
    moments = {"S_o": "pendulum.rest.first_moment", "I_o": "pendulum.rest.moment_of_inertia"}
    if book.known(moments["S_o"]):
        first.append("S_o")
        second.append("I_o")
    for id, title, pieces, unit, symbol in (
        ("pendulum.first_moment", "first moment of the pendulum", first, "kg·m", "S"),
        ("pendulum.moment_of_inertia", "moment of inertia of the pendulum", second, "kg·m²", "I"),
    ):
        used = dict(where)
        if "J" in pieces:
            used |= inertia
        for name, figure in moments.items():
            if name in pieces:
                used[name] = book.use(figure)
        book.derive(
            id,
            title,
            " + ".join(pieces),
            used,
            unit=unit,
            symbol=symbol,
            source=BODY,
            method=_rod_left_out(book, here).strip(),
        )
    stated = here.term("mass", "mass of the whole pendulum", "kg")
    tray = here.at("tray").term("mass", "mass of the tray and what is on it", "kg")
    parts = {"m": bob.mass, "m_n": nut, "m_r": rod, "m_t": tray if tray.known else None}
    masses = {symbol: mass for symbol, mass in parts.items() if mass is not None}
    book.derive(
        "pendulum.mass",
        "mass of the whole pendulum",
        "M" if stated.known else " + ".join(masses),
        {"M": stated} if stated.known else masses,
        unit="kg",
        symbol="M",
        source="the description" if stated.known else "a sum of the parts whose mass is known",
    )
    by_parts = here.term("length", "length", "m").known
    lengths = (
        ("I/S", {"I": book.use("pendulum.moment_of_inertia"), "S": book.use("pendulum.first_moment")})
        if by_parts
        else ("L", {"L": length_term(book)})
    )
    book.derive(
        "pendulum.centre_of_oscillation",
        "centre of oscillation below the suspension",
        lengths[0],
        lengths[1],
        unit="m",
        symbol="L",
        source=BODY,
        method="From the parts and the stated length."
        if by_parts
        else "By the beat, as no length is stated: the bob's own place follows from it.",
    )
    if by_parts:
        arc = half_arc(here)
        book.derive(
            "pendulum.beat.by_parts",
            "beat that the parts and the stated length give",
            "pi*sqrt(L/g)" + ("/agm(1, cos(a/2))" if arc.known else ""),
            {
                "L": book.use("pendulum.centre_of_oscillation", "m"),
                "g": gravity.anywhere(book),
                "a": arc,
            },
            unit="s",
            symbol="t",
            source=BODY,
        )
