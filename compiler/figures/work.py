"""The pull of the weight at the barrel, its work and its power; the load on the click."""

from __future__ import annotations

from countwheel.figures.book import Book, Term
from countwheel.figures.drive import Drive, drives

WORK = "mechanics: work is weight times fall"
TACKLE = "mechanics of a tackle with losses: each pulley passes on η of the pull"


def work_out(book: Book) -> None:
    """Figures `T.barrel.torque*`, `T.energy.*`, `T.power`, `T.click.load`, `T.line.energy_if_it_parts`.

    After the run (power.py) and the line (line.py) of the same trains.
    """
    for drive in drives(book):
        _torque(book, drive)
        _energy(book, drive)
        _hazards(book, drive)


def tackle_sum(efficiencies: list[Term], winding: bool) -> tuple[str, dict[str, Term]]:
    """Pull in the parts of a tackle, the part nearest the barrel being 1: `1 + 1/η_1 + 1/(η_1*η_2)`.

    The line runs from the barrel into the tackle while the weight drives, so each
    pulley's far side pulls harder, 1/η; while it is wound it is the other way, η.
    """
    terms: dict[str, Term] = {}
    pieces = ["1"]
    product: list[str] = []
    for term in efficiencies:
        name = next((known for known, one in terms.items() if one == term), None)
        if name is None:
            name = "η" if not terms else f"η_{len(terms) + 1}"
            terms[name] = term
        product.append(name)
        joined = "*".join(product)
        pieces.append(joined if winding else (f"1/({joined})" if len(product) > 1 else f"1/{joined}"))
    return " + ".join(pieces), terms


def leads(efficiencies: list[Term], taken: dict[str, Term]) -> tuple[str, dict[str, Term]]:
    """The product of the leading pulleys' efficiencies as a text (`η**2`), beside the symbols `taken`."""
    counts: dict[str, int] = {}
    terms: dict[str, Term] = {}
    for term in efficiencies:
        name = next((known for known, one in {**taken, **terms}.items() if one == term), None)
        if name is None:
            name = "η" if "η" not in taken and "η" not in terms else f"λ_{len(terms) + 1}"
        terms[name] = term
        counts[name] = counts.get(name, 0) + 1
    return "*".join(f"{name}**{k}" if k > 1 else name for name, k in counts.items()), terms


def _torque(book: Book, drive: Drive) -> None:
    t = drive.id
    base = {
        "W": drive.weight,
        "g": drive.gravity,
        "r": book.use(f"{t}.barrel.effective_radius", "m"),
    }
    book.derive(
        f"{t}.barrel.torque.ideal",
        "turning force at the barrel, without losses",
        "W*g*r/n",
        {**base, "n": drive.parts},
        unit="N·m",
        symbol="M",
        source=WORK,
    )
    if drive.part_count is None:
        for name, title in (
            ("torque", "turning force at the barrel"),
            ("torque.to_wind", "turning force to wind"),
        ):
            book.derive(
                f"{t}.barrel.{name}", title, "W*g*r/n", {**base, "n": drive.parts}, unit="N·m", symbol="M"
            )
        return
    tackle, lead = drive.pulleys()
    said = (
        ""
        if drive.describes_pulleys
        else " No pulley is described, so no loss is counted for those that lead the line."
    )
    for name, title, winding in (
        ("torque", "turning force at the barrel", False),
        ("torque.to_wind", "turning force at the barrel to wind it", True),
    ):
        total, terms = tackle_sum(tackle, winding)
        product, more = leads(lead, terms)
        over = f"/({total})" if tackle else ""
        if winding:
            below = f"({total})" + (f"*{product}" if product else "") if tackle else product
            text = f"W*g*r/({below})" if below else "W*g*r"
            method = "While winding, the losses of the pulleys add to the pull."
        else:
            text = "W*g*r" + (f"*{product}" if product else "") + over
            method = "While the weight drives, each pulley keeps back a part of the pull."
        book.derive(
            f"{t}.barrel.{name}",
            title,
            text,
            {**base, **terms, **more},
            unit="N·m",
            symbol="M",
            source=TACKLE,
            method=method + said,
        )
    if book.known(f"{t}.line.mass_per_length"):
        total, terms = tackle_sum(tackle, False)
        product, more = leads(lead, terms)
        over = f"/({total})" if tackle else ""
        book.derive(
            f"{t}.barrel.torque.run_down",
            "turning force at the barrel when the weight is down",
            "(W + n*q*h)*g*r" + (f"*{product}" if product else "") + over,
            {
                **base,
                **terms,
                **more,
                "n": drive.parts,
                "q": drive.line_density,
                "h": book.use(f"{t}.weight.descent_per_winding", "m"),
            },
            unit="N·m",
            symbol="M",
            source=TACKLE,
            method="The line that has been paid out hangs with the weight and adds to it." + said,
        )


def _energy(book: Book, drive: Drive) -> None:
    t = drive.id
    base = {"W": drive.weight, "g": drive.gravity}
    day = book.derive(
        f"{t}.energy.per_day",
        "work of the weight in a day",
        "W*g*h",
        {**base, "h": book.use(f"{t}.weight.descent_per_day", "m")},
        unit="J",
        symbol="E",
        source=WORK,
    )
    book.derive(
        f"{t}.energy.per_winding",
        "work of the weight on one winding",
        "W*g*h/1000",
        {**base, "h": book.use(f"{t}.weight.descent_per_winding", "m")},
        unit="kJ",
        symbol="E",
        source=WORK,
    )
    book.derive(
        f"{t}.power",
        "power of the weight, mean over the day",
        "1000*E/86400",
        {"E": book.use(day, "J")},
        unit="mW",
        symbol="P",
        source=WORK,
        method="What the weight gives; how much of it reaches the pendulum or the hammer is another matter.",
    )


def _hazards(book: Book, drive: Drive) -> None:
    t = drive.id
    book.derive(
        f"{t}.line.energy_if_it_parts",
        "work that the weight would do if the line parted at the top",
        "W*g*H/1000",
        {
            "W": drive.weight,
            "g": drive.gravity,
            "H": drive.barrel.term("fall", "fall that there is for the weight", "m"),
        },
        unit="kJ",
        symbol="E",
        source=WORK,
        method="The weight at its highest, above the lowest place that it can reach.",
        cautions=(
            "Nobody stays or stores anything below the weight or in the way of the line, least of all"
            " while it is wound. The floor there and what lies below it are for whoever answers for the"
            " building.",
        ),
    )
    click = drive.barrel.at("click")
    if click.node is not None:
        book.derive(
            f"{t}.click.load",
            "force on the click",
            "2*1000*M/D",
            {
                "M": book.use(f"{t}.barrel.torque.ideal", "N·m"),
                "D": click.term("ratchet diameter", "diameter of the ratchet", "mm"),
            },
            unit="N",
            symbol="F",
            source="mechanics: turning force over the ratchet's radius",
            method="The whole pull, held by one click; more comes on it when it drops into a tooth.",
            cautions=(
                "The click and its spring hold up the weight. They are to be looked at whenever the line is,"
                " by someone who knows what to look for.",
            ),
        )
