"""Where the power of a train goes: pulleys, wheels and pivots, hands, escapement, hammer, fly."""

from __future__ import annotations

from countwheel.figures import changes
from countwheel.figures.book import Book, Term
from countwheel.figures.drive import Drive, drives
from countwheel.figures.escapement import Escapement
from countwheel.figures.record import Figure
from countwheel.figures.remontoire import Remontoire
from countwheel.figures.torque import hands_of, main_way, mesh_efficiency, way_between
from countwheel.figures.train import rate_id
from countwheel.model.clock import Arbor, Train

SOURCE = "mechanics: what the weight gives is what its parts take, and no more"
LOSSES = f"{SOURCE}; efficiencies as stated or assumed"
NOT_DIVIDED = "How much of it the pendulum needs is not known, so it is not divided further."
OVERDRAWN = (
    "More is asked of this train than its weight gives by these facts, so one of them must be wrong: look at"
    " the weight, its fall, and what is lifted."
)


def work_out(book: Book) -> None:
    """Figures `T.power_budget`, `T.power_budget.PART` (mW) and `T.power_budget.PART.share` (%).

    The parts of a train add up to its whole. After torque.py, striking.py, rating.py and escapement.py.
    """
    for drive in drives(book):
        if not (book.known(f"{drive.id}.power") and book.known(f"{drive.id}.barrel.torque")):
            continue
        if drive.train.role == "going":
            _going(book, drive)
        elif drive.train.role in ("strike", "chime"):
            _striking(book, drive)


class _Budget:
    """One train's parts, recorded one by one, each with its share of the whole."""

    def __init__(self, book: Book, drive: Drive) -> None:
        self.book = book
        self.id = f"{drive.id}.power_budget"
        whole = book.derive(
            self.id,
            "power of the weight, which its parts share",
            "P",
            {"P": book.use(f"{drive.id}.power", "mW")},
            unit="mW",
            symbol="P",
            source=SOURCE,
            method="The mean over the day."
            + ("" if drive.train.role == "going" else " Silent hours are counted as if it struck in them."),
        )
        self.whole = book.use(whole, "mW")
        self.barrel = {
            "P": self.whole,
            "M": book.use(f"{drive.id}.barrel.torque", "N·m"),
            "M_i": book.use(f"{drive.id}.barrel.torque.ideal", "N·m"),
        }
        said = "What the pull at the barrel lacks to what it would be if the pulleys kept nothing back."
        self.part("pulleys", "lost in the pulleys of the line", "P*(1 - M/M_i)", self.barrel, LOSSES, said)

    def part(
        self, name: str, title: str, text: str, where: dict[str, Term], source: str = SOURCE, method: str = ""
    ) -> Figure:
        id = f"{self.id}.{name}"
        figure = self.book.derive(
            id, f"power {title}", text, where, unit="mW", symbol="p", source=source, method=method
        )
        minus = isinstance(figure.value, float) and figure.value < -2 * (figure.uncertainty or 0)
        self.book.derive(
            f"{id}.share",
            f"share of the train's power {title}",
            "100*p/P",
            {"p": self.book.use(figure, "mW"), "P": self.whole},
            unit="%",
            symbol="k",
            source=source,
            method="Of what the weight gives.",
            cautions=(OVERDRAWN,) if minus else (),
        )
        return figure

    def use(self, name: str) -> Term:
        return self.book.use(f"{self.id}.{name}", "mW")


def _power_at(book: Book, arbor: str) -> tuple[str, dict[str, Term]]:
    """Power at an arbor, in mW, as a text with its terms: turning force times turns."""
    return "1000*F*2*pi*n/3600", {
        "F": book.use(f"{arbor}.torque", "N·m"),
        "n": book.use(rate_id(arbor), "turns/h"),
    }


# -- a going train -----------------------------------------------------
def _going(book: Book, drive: Drive) -> None:
    train = drive.train
    remontoire = Remontoire.of(book, train)
    found = Escapement(book)
    last = found.arbor.path if found.arbor and found.train is train else ""
    if remontoire is not None:
        last = remontoire.before.path if remontoire.before else ""
    if not last or not (book.known(f"{last}.torque") and book.known(rate_id(last))):
        return
    budget = _Budget(book, drive)
    hands = hands_of(book, train)
    taken: dict[str, Term] = {}
    minus = ""
    if hands is not None and book.known(f"{hands.arbor}.torque") and book.known(rate_id(hands.arbor)):
        text, where = _power_at(book, hands.arbor)
        budget.part(
            "hands",
            "that the hands and the way to them take",
            f"s*{text}",
            {**where, "s": hands.share},
            method="As stated, in still air; what wind and ice ask for is another matter.",
        )
        taken, minus = {"H": budget.use("hands")}, " - H"
    text, where = _power_at(book, last)
    budget.part(
        "meshes",
        "lost in wheels and pivots",
        f"P*M/M_i{minus} - {text}",
        {**budget.barrel, **taken, **where},
        LOSSES,
        f"What leaves the barrel less what reaches {last}.",
    )
    if remontoire is not None:
        if not book.known(f"{remontoire.id}.power"):
            return
        budget.part(
            "rewinding",
            "given up when the remontoire is wound",
            f"{text} - R",
            {**where, "R": book.use(f"{remontoire.id}.power", "mW")},
            SOURCE,
            "What reaches the remontoire less what its small weight gives again: knocks, a fly, rubbing.",
        )
        book.derive(
            f"{remontoire.id}.margin",
            "how much of the power that reaches the remontoire may be lost before it is no longer wound",
            f"100*(1 - R/({text}))",
            {**where, "R": book.use(f"{remontoire.id}.power", "mW")},
            unit="%",
            symbol="r",
            source=SOURCE,
            method="It must be more than a little, as winding is quick and the wheels must be set moving each time.",
        )
        _escapement(book, budget, f"{remontoire.id}.power", "")
    elif found.gravity:
        if not book.known("pendulum.power_arriving"):
            budget.part("escapement", "that reaches the escapement", text, where, method=NOT_DIVIDED)
            return
        budget.part(
            "escapement",
            "that raises the arms, whose fall drives the pendulum",
            "R",
            {"R": book.use("pendulum.power_arriving", "mW")},
            method="The arms' weight times their lift, at every beat.",
        )
        rest = "The rest of what reaches the escapement"
        rest += "." if taken else ", with what the hands take, as that is not stated."
        budget.part(
            "fly", "left for the fly", "Q - R",
            {"Q": book.use("escapement.power_arriving", "mW"), "R": budget.use("escapement")}, SOURCE, rest,
        )  # fmt: skip
        book.derive(
            "escapement.margin.train",
            "how much of the power that reaches the escapement may be lost before the arms are no longer raised",
            "100*(1 - R/Q)",
            {"Q": book.use("escapement.power_arriving", "mW"), "R": budget.use("escapement")},
            unit="%",
            symbol="r",
            source=SOURCE,
            method="It must be plenty: the arms have to be raised briskly at the weakest place of the train.",
        )
    else:
        _escapement(book, budget, "escapement.power_arriving", "" if taken else ", and in the hands")


def _escapement(book: Book, budget: _Budget, arriving: str, also: str) -> None:
    """The last part, divided between the pendulum and the escapement where the pendulum's need is known."""
    reaching = {"Q": book.use(arriving, "mW")}
    if not book.known("pendulum.power_needed"):
        title = f"that is left for the escapement{also.replace(', and in', ' and')}"
        budget.part("escapement", title, "Q", reaching, method=NOT_DIVIDED)
        return
    budget.part(
        "pendulum",
        "that keeps the pendulum swinging",
        "N",
        {"N": book.use("pendulum.power_needed", "mW")},
        method="By its quality factor, at the arc now.",
    )
    budget.part(
        "escapement",
        f"lost in drop and rubbing at the escapement{also}",
        "Q - N",
        {**reaching, "N": budget.use("pendulum")},
        method="The rest of what reaches the escape wheel."
        + (" How much of it the hands take is not stated." if also else ""),
    )


# -- a striking train --------------------------------------------------
def _striking(book: Book, drive: Drive) -> None:
    train = drive.train
    lifter = _lifter(train)
    work = _hammer_power(book, train)
    drum = train.barrel_arbor
    if lifter is None or work is None or drum is None:
        return
    arbor, pairs = lifter
    before = way_between(train, drum.path, arbor.path)
    if not before and arbor is not drum:
        return
    way = main_way(train)
    after = len([mesh for mesh in way if mesh not in before]) if way[: len(before)] == before else 0
    budget = _Budget(book, drive)
    text, where, method = work
    budget.part("hammer", "that lifts the hammers" if len(where) > 2 else "that lifts the hammer", text, where,
                "mechanics: work of the blows", method)  # fmt: skip
    rest, terms, said = _left_for_fly(book, train, len(before), after, pairs)
    budget.part(
        "fly",
        "left for the fly, and for the rubbing of the lifting pieces",
        rest,
        {**budget.barrel, **terms, "H": budget.use("hammer")},
        LOSSES,
        f"What the wheels pass on after the hammer has had its part. {said}",
    )
    budget.part(
        "meshes",
        "lost in wheels and pivots",
        "P*M/M_i - H - F",
        {**budget.barrel, "H": budget.use("hammer"), "F": budget.use("fly")},
        LOSSES,
        "The rest of what leaves the barrel.",
    )


def _left_for_fly(
    book: Book, train: Train, before: int, after: int, beside: int
) -> tuple[str, dict[str, Term], str]:
    """What is left after the hammers, as a text with terms and a sentence on the pairs of wheels that it counts.

    `beside` are pairs between the train and a chime barrel, which the hammers' work alone passes.
    """

    def passed(pairs: int) -> str:
        return f"η**{pairs}" if pairs > 1 else "η" if pairs else ""

    arrives = "*".join(["P*M/M_i", passed(before)]).rstrip("*")
    drawn = "/".join(["H", passed(beside)]).rstrip("/")
    text = "*".join([f"({arrives} - {drawn})", passed(after)]).rstrip("*")
    terms = {"η": mesh_efficiency(book, train)} if before or after or beside else {}
    said = f"Pairs of wheels: {before} up to the lift, {after} after it"
    return text, terms, said + (f", {beside} to the chime barrel." if beside else ".")


def _lifter(train: Train) -> tuple[Arbor, int] | None:
    """The arbor whose pins or chime barrel lift the hammers, and the pairs of wheels between it and that barrel."""
    for arbor in train.arbors:
        if arbor.node.get("lifting pins") is not None:
            return arbor, 0
        own = arbor.node.get("chime barrel")
        if own is not None:
            return arbor, len(own.all("gear"))
    drum = train.node.get("chime barrel")
    path = (drum.text("driven by") or "").lower() if drum is not None else ""
    carrier = next((one for one in train.arbors if path in (one.path, one.name)), None)
    return (carrier, len(drum.all("gear"))) if carrier is not None and drum is not None else None


def _hammer_power(book: Book, train: Train) -> tuple[str, dict[str, Term], str] | None:
    """Mean power of all hammers in mW, by the blows of each in a day; None where these are not known."""
    hammers = train.facts("hammer")
    blows = changes.blows_a_day(book, train) if hammers else None
    if not blows or not all(one.known for one in blows):
        return None
    terms: dict[str, Term] = {}
    pieces: list[str] = []
    for number, (hammer, count) in enumerate(zip(hammers, blows, strict=True), 1):
        energy = f"{hammer.path}.energy_per_blow"
        if not book.known(energy):
            return None
        mark = f"_{number}" if len(hammers) > 1 else ""
        terms |= {f"b{mark}": count, f"E{mark}": book.use(energy, "J/blow")}
        pieces.append(f"b{mark}*E{mark}")
    total = " + ".join(pieces)
    text = f"1000*({total})/86400" if len(pieces) > 1 else f"1000*{total}/86400"
    return text, terms, "The work of all blows of a day, over its 86400 s."
