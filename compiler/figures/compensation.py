"""Warmth and air: what a degree and a hectopascal do to the pendulum's rate."""

from __future__ import annotations

from countwheel.figures import materials, rigid
from countwheel.figures.book import At, Book, Term, constant, waiting
from countwheel.figures.pendulum import length_term

WARMTH = "expansion of lengths; rate of a pendulum, half the relative change of its length"
SIGN = " Plus: it loses when warmer; minus: it gains."
WOOD = "Damp moves wood more than warmth does: what keeps it out matters more than this figure."
AIR = (
    "buoyancy of the air; that carried air about doubles it: Encyclopaedia Britannica, 11th ed., Clock, and"
    " F. Baily's experiments as told by E. Beckett, 8th ed., pp. 71-72"
)

# Moist air at 20 °C, 1013.25 hPa and half saturation, by the formula CIPM-2007 (A. Picard and others,
# Metrologia 45, 2008, 149-155): 1.1993 kg/m³. Warmth and damp of a tower move it by some 3 %.
AIR_DENSITY, AIR_DENSITY_U = 1.1993, 0.04
STANDARD_PRESSURE = 1013.25
# Air that the pendulum carries along: 2.0 to 2.2 for balls, 3.3 for a rod (Baily), 2.4 at Armagh.
CARRIED, CARRIED_U = 2.2, 0.4


def work_out(book: Book) -> None:
    """Figures `pendulum.temperature_coefficient`, `.compensation.*`, `.barometric_coefficient*`.

    After rating.py.
    """
    if book.clock.pendulum is None:
        return
    here = book.at(book.clock.pendulum, "pendulum")
    members = here.at("rod").all("<member>")
    if members:
        _stack(book, here, members)
    else:
        _plain(book, here)
    _air(book, here)


def _rod_expansion(here: At) -> Term:
    rod = here.at("rod")
    stated = rod.term("expansion", "expansion of the rod", "/°C")
    if stated.known:
        return stated
    found = materials.expansion(rigid.rod_material(here), "the rod", rod.node)
    if found is not None:
        return found
    named = bool(rigid.rod_material(here))
    return waiting(f"{rod.path}.expansion" if named else rod.path, "expansion of the rod", "/°C")


def _bob_expansion(here: At, bob: rigid.Bob) -> Term | None:
    stated = bob.at.term("expansion", "expansion of the bob", "/°C")
    return stated if stated.known else materials.expansion(bob.material, "the bob", bob.at.node)


def _bob_share(here: At, bob: rigid.Bob) -> tuple[int, Term | None, str, dict[str, Term]]:
    """How the bob's own growing moves its middle: +1 up, -1 down, 0 not; its expansion and half height."""
    borne = (bob.at.text("borne at") or "").lower()
    way = {"bottom": 1, "top": -1}.get(borne, 0)
    growth = _bob_expansion(here, bob)
    text, where = bob.half_height
    if not way or growth is None or not all(term.known for term in where.values()):
        return 0, None, "", {}
    return way, growth, text, where


def _plain(book: Book, here: At) -> None:
    rod = _rod_expansion(here)
    bob = rigid.Bob(book, here)
    material = materials.find(rigid.rod_material(here))
    cautions = (WOOD,) if material is not None and material.is_wood else ()
    if (found := materials.find(bob.material)) is not None and found.is_liquid:
        _mercury(book, here, bob, rod, found)
        return
    way, growth, half, size = _bob_share(here, bob)
    where: dict[str, Term] = {"α": rod}
    if not way or growth is None:
        text = "43200*α"
        method = "A plain rod with the bob held at its middle." + SIGN
        if not bob.at.has("borne at"):
            method = (
                "A plain rod; where it bears the bob is not stated, so the bob's own growing is left out."
                + SIGN
            )
    else:
        where |= {"β": growth, "L": length_term(book), **size}
        sign, other = ("+", "-") if way > 0 else ("-", "+")
        text = f"43200*(α*(L {sign} {half}) {other} β*{half})/L"
        ends = "bottom, so that it grows upwards" if way > 0 else "top, so that it grows downwards"
        method = f"A plain rod that bears the bob at its {ends}." + SIGN
    book.derive(
        "pendulum.temperature_coefficient",
        "loss of rate for one degree warmer",
        text,
        where,
        unit="s/day per °C",
        symbol="k",
        source=WARMTH,
        method=method,
        cautions=cautions,
    )


def _mercury(book: Book, here: At, bob: rigid.Bob, rod: Term, mercury: materials.Material) -> None:
    """A jar of mercury on a rod: the mercury swells in its jar, and its middle rises by half of that."""
    volume = constant(
        mercury.expansion.value * 1e-6,
        "/°C",
        "expansion of mercury, of its volume",
        mercury.expansion.uncertainty * 1e-6,
        mercury.expansion.source,
    )
    rest = bob.material.lower().replace("mercury", "").replace("quicksilver", "")
    jar = materials.expansion(rest, "the jar", bob.at.node) or constant(
        12e-6, "/°C", "expansion of the jar, taken as iron", 1.5e-6, "not stated", assumed=True
    )
    height = bob.at.term("mercury height", "height of the mercury in its jar", "m")
    book.derive(
        "pendulum.temperature_coefficient",
        "loss of rate for one degree warmer",
        "43200*(α*(L + h/2) - s*(γ - 2*β)*h/2)/L",
        {
            "α": rod,
            "γ": volume,
            "β": jar,
            "s": _mercury_share(book, bob, mercury, height),
            "h": height,
            "L": length_term(book),
        },
        unit="s/day per °C",
        symbol="k",
        source=f"{WARMTH}; E. Beckett, 8th ed., p. 69; W. L. Goodrich, The Modern Clock, 1905, pp. 56-59",
        method="The rod lets the jar down; the mercury, a share of what hangs there, rises in it by"
        " its volume less the jar's widening." + SIGN,
        cautions=(
            "Mercury is poisonous and gives off vapour. Leave a jar closed and in place; spills and"
            " transport are for people trained in it.",
        ),
    )


def _mercury_share(book: Book, bob: rigid.Bob, mercury: materials.Material, height: Term) -> Term:
    """How much of the bob's mass is mercury: by its size, where that is stated, else the usual."""
    if not (bob.mass.known and bob.diameter.known and height.known):
        # a jar is a quarter to a third of its mercury's weight: Goodrich, pp. 56-59
        return constant(0.775, "", "share of mercury in the bob", 0.02, "trade rule", assumed=True)
    jars = bob.at.term("jars", "jars of mercury", "")
    weight = constant(mercury.density.value, "kg/m³", "density of mercury", mercury.density.uncertainty)
    figure = book.derive(
        "pendulum.bob.share_of_mercury",
        "share of mercury in the bob",
        "min(1, n*ρ*pi/4*D**2*h/m)" if jars.known else "min(1, ρ*pi/4*D**2*h/m)",
        {"n": jars, "ρ": weight, "D": bob.diameter, "h": height, "m": bob.mass},
        symbol="s",
        source="geometry; the diameter stated is taken as that of the mercury",
    )
    return book.use(figure)


def _stack(book: Book, here: At, members: tuple[At, ...]) -> None:
    """A compensated rod: members that let the bob down and members that raise it."""
    ways: dict[str, list[str]] = {"down": [], "up": []}
    where: dict[str, Term] = {}
    names: dict[str, str] = {}
    for i, member in enumerate(members, 1):
        metal = member.text(part="material") or ""
        found = materials.find(metal)
        key = found.name if found else metal
        if key not in names:
            names[key] = f"α_{len(names) + 1}"
            where[names[key]] = materials.expansion(
                metal, "the rod's members", member.node, "material", member.path
            ) or waiting(f"{member.path} (material)", f"expansion of {metal}", "/°C")
        where[f"l_{i}"] = member.own(f"length of the {metal}, member {i}", "m")
        ways.setdefault(member.text(part="way") or "down", []).append(f"{names[key]}*l_{i}")
    bob = rigid.Bob(book, here)
    way, growth, half, size = _bob_share(here, bob)
    if way and growth is not None:
        same = next((name for name, term in where.items() if term.origin == growth.origin), "β")
        where |= {same: growth, **size}
        ways["up" if way > 0 else "down"].append(f"{same}*{half}")
    for name, title in (("down", "lets the bob down"), ("up", "raises the bob")):
        pieces = [f"10**6*({' + '.join(ways[name])})"] if ways[name] else ["0"]
        text = pieces[0]
        used = {key: term for key, term in where.items() if key in rigid.names_in(text)}
        book.derive(
            f"pendulum.compensation.{name}",
            f"growing that {title}, for one degree",
            text,
            used,
            unit="µm/°C",
            symbol=name[0],
            source=WARMTH,
        )
    book.derive(
        "pendulum.temperature_coefficient",
        "loss of rate for one degree warmer",
        "43200*(d - u)/(10**6*L)",
        {
            "d": book.use("pendulum.compensation.down", "µm/°C"),
            "u": book.use("pendulum.compensation.up", "µm/°C"),
            "L": length_term(book),
        },
        unit="s/day per °C",
        symbol="k",
        source=WARMTH,
        method="What the members let down less what they raise, over the length."
        + SIGN
        + " Rods lag behind tubes when it changes quickly.",
    )


def _air(book: Book, here: At) -> None:
    bob = rigid.Bob(book, here)
    density = bob.density() or waiting(
        f"{bob.at.path}.density" if bob.material else bob.at.path, "density", "kg/m³"
    )
    figure = book.derive(
        "pendulum.barometric_coefficient",
        "loss of rate for one hectopascal more, by the lift of the air alone",
        "43200*ρ/(p*ρ_b)",
        {
            "ρ": constant(AIR_DENSITY, "kg/m³", "density of the air", AIR_DENSITY_U, "CIPM-2007, 20 °C"),
            "p": constant(STANDARD_PRESSURE, "hPa", "pressure of that air"),
            "ρ_b": density,
        },
        unit="s/day per hPa",
        symbol="b",
        source=AIR,
        method="It loses when the barometer rises. The bob stands for the whole pendulum.",
        cautions=("The air that the pendulum carries along about doubles this.",),
    )
    book.derive(
        "pendulum.barometric_coefficient.with_carried_air",
        "loss of rate for one hectopascal more, with the air carried along",
        "κ*b",
        {
            "κ": constant(
                CARRIED,
                "",
                "lift and carried air over lift alone",
                CARRIED_U,
                "Baily's experiments",
                assumed=True,
            ),
            "b": book.use(figure),
        },
        unit="s/day per hPa",
        symbol="B",
        source=AIR,
        method="An estimate: bobs of other shapes differ; arc and escapement change with the air as well.",
    )
