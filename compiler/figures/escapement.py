"""The escapement: its angles and distances, by its kind."""

from __future__ import annotations

from countwheel.figures.book import At, Book, Term, constant
from countwheel.figures.train import teeth
from countwheel.model.clock import Arbor

BECKETT = "E. Beckett, Clocks, Watches and Bells, 8th ed. 1903"
ANGLES = f"geometry; {BECKETT}, pages 80-90"
TANGENT = f"geometry: the pallets are touched along their tangent; {BECKETT}, pages 119-130"
# Angle at the wheel's centre between the two stops of a gravity escapement, by its legs and planes.
STOPS = {(3, "double"): 120, (4, "single"): 135, (4, ""): 135}
STRAIGHT = "The line from the pallet arbor to the tooth meets the wheel's radius squarely there."
TRIPS = (
    "A gravity escapement can trip: the wheel gets past an arm and runs, and the hands with it. Whoever"
    " alters arms, stops or fly has the train blocked first and keeps fingers clear of the legs."
)


def work_out(book: Book) -> None:
    """Figures `escapement.*` of angles and lengths. After train.py."""
    if book.clock.escapement is None:
        return
    found = Escapement(book)
    _angles(book, found)
    _distances(book, found)


class Escapement:
    """The escapement's facts, with the arbor of the going train that carries its wheel."""

    def __init__(self, book: Book) -> None:
        self.here: At = book.at(book.clock.escapement, "escapement")
        self.kind = self.here.text(part="kind") or ""
        self.train = book.clock.train("going")
        self.arbor: Arbor | None = self.train.escape_arbor if self.train else None
        self.wheel = book.at(self.arbor.escape if self.arbor else None, "escapement.wheel")

    @property
    def gravity(self) -> bool:
        return self.kind == "gravity" or (self.wheel.node is not None and self.wheel.node.word == "legs")

    @property
    def torque_id(self) -> str:
        return f"{self.arbor.path}.torque" if self.arbor else ""

    @property
    def remontoire_id(self) -> str:
        """The remontoire that stands before the escapement; '' where none does."""
        node = self.train.fact("remontoire") if self.train else None
        there = node is not None and getattr(node.value, "kind", "") != "absent"
        return f"{self.train.name}.remontoire" if self.train and there else ""

    @property
    def count(self) -> int | None:
        return self.wheel.node.count(part="teeth") if self.wheel.node else None

    def beats_per_day(self, book: Book) -> Term | None:
        ids = [f"{self.train.name}.train.beats_per_hour"] if self.train else []
        for id in (*ids, "pendulum.beats_per_hour"):
            if book.known(id):
                return book.use(id, "per day")
        return None

    def diameter(self) -> Term | None:
        """Diameter of the wheel where the pallets touch it, in mm; None where no size is stated."""
        for word in (
            ("pitch diameter", "outside diameter") if self.kind == "pin wheel" else ("outside diameter",)
        ):
            if self.wheel.has(word):
                what = "diameter of the pin circle" if word == "pitch diameter" else "diameter over the tips"
                return self.wheel.term(word, what, "mm")
        return None


# -- angles ------------------------------------------------------------
def _angles(book: Book, found: Escapement) -> None:
    here, wheel = found.here, found.wheel
    if wheel.node is not None:
        what = (
            "teeth of the escape wheel"
            if wheel.node.word == "escape wheel"
            else f"{wheel.node.word} of the wheel"
        )
        count = teeth(book, wheel.node, what)
        book.derive(
            "escapement.tooth_angle",
            "angle from tooth to tooth of the escape wheel",
            "2*pi/z",
            {"z": count},
            unit="deg",
            symbol="τ",
            source="geometry",
            method="A full turn shared out among the teeth.",
        )
        if here.has("spans") and not found.gravity and wheel.node.word == "escape wheel":
            book.derive(
                "escapement.span",
                "angle at the wheel's centre that the pallets span",
                "s*2*pi/z",
                {"s": here.term("spans", "teeth that the pallets span", ""), "z": count},
                unit="deg",
                symbol="σ",
                source="geometry",
                method="From the tooth at one pallet to the tooth at the other.",
            )
    if not book.has("escapement.beats_per_turn"):
        return
    book.derive(
        "escapement.wheel_angle_per_beat",
        "angle that the escape wheel turns at each beat",
        "2*pi/N",
        {"N": book.use("escapement.beats_per_turn")},
        unit="deg",
        symbol="β",
        source="geometry",
        method="A full turn shared out among its beats, drop and all.",
    )
    if here.has("drop"):
        book.derive(
            "escapement.impulse_angle_of_wheel",
            "angle that the escape wheel turns while it pushes a pallet",
            "β - ψ",
            {
                "β": book.use("escapement.wheel_angle_per_beat", "deg"),
                "ψ": here.term("drop", "drop of the escape wheel", "deg"),
            },
            unit="deg",
            symbol="φ",
            source=ANGLES,
            method="Where it drops it pushes nothing."
            + (" What the recoil drives it back, it goes forward again." if here.has("recoil") else ""),
        )
    if not found.gravity:
        _lift_and_lock(book, found)


def _lift_and_lock(book: Book, found: Escapement) -> None:
    here = found.here
    if not here.has("lift"):
        return
    parts = {"λ": here.term("lift", "lift of the pallets", "deg")}
    text = "λ/2"
    if here.has("lock"):
        parts["κ"] = here.term("lock", "lock of the pallets", "deg")
        text = "(λ + κ)/2"
        halved = "lift and the lock"
    elif here.at("lock").node is None:
        halved = "lift; of the lock, which is not stated, half would have to be added"
    else:
        halved = "lift, as there is no lock"
    escaping = book.derive(
        "escapement.escaping_arc",
        "half arc at which a tooth just gets off the pallet",
        text,
        parts,
        unit="deg",
        symbol="ε",
        source=ANGLES,
        method=f"With the pallets in beat: half of the {halved}. To keep going it needs a little more.",
    )
    if here.has("least arc"):
        least = here.term("least arc", "least half arc that escapes", "deg")
        term = book.use(escaping)
        apart = None
        if least.value is not None and term.value is not None:
            doubt = 2 * (least.uncertainty**2 + term.uncertainty**2) ** 0.5
            apart = float(least.value) + doubt >= float(term.value)
        book.state(
            "escapement.arcs_agree",
            "whether the least arc stated is as much as lift and lock ask for",
            apart,
            [term, least],
            source=ANGLES,
            method=f"Lift and lock ask for {escaping.shown} degrees to each side.",
        )
    if not here.has("drop") or not book.has("escapement.wheel_angle_per_beat"):
        return
    parts["ψ"] = here.term("drop", "drop of the escape wheel", "deg")
    total = book.derive(
        "escapement.angles_used",
        "lift, lock and drop together",
        " + ".join(parts),
        parts,
        unit="deg",
        symbol="Σ",
        source=ANGLES,
        method="What has to find room in one beat, of these that are stated.",
    )
    beat = book.use("escapement.wheel_angle_per_beat", "deg")
    used = book.use(total)
    fit = None
    if used.value is not None and beat.value is not None:
        fit = float(used.value) - 2 * used.uncertainty <= float(beat.value)
    book.state(
        "escapement.angles_fit",
        "whether lift, lock and drop find room in the angle of one beat",
        fit,
        [used, beat],
        source=ANGLES,
        method=(
            f"Together {total.shown} degrees, against what the wheel turns at a beat. Lift and lock are angles"
            " of the pallets, which with arms about as long as the wheel's radius are much the same at the wheel."
        ),
    )


# -- distances ---------------------------------------------------------
def _distances(book: Book, found: Escapement) -> None:
    diameter = found.diameter()
    if diameter is None:
        return
    here = found.here
    where = {"D": diameter}
    if here.has("drop") and not found.gravity:
        book.derive(
            "escapement.shake",
            "how far the tip of a tooth goes free at each beat",
            "ψ*D/2",
            {**where, "ψ": here.term("drop", "drop of the escape wheel", "deg")},
            unit="mm",
            symbol="s",
            source=ANGLES,
            method="The drop, measured round the tips: what is to be seen between tooth and pallet.",
        )
    _tangent(book, found, where)
    stated = here.has("pallet centre distance")
    arm = "length of the arm from the pallet arbor to the stop" if found.gravity else "radius of the pallets"
    if stated:
        text = "sqrt(a**2 - (D/2)**2)"
        where = {**where, "a": here.term("pallet centre distance", "distance of the pallet arbor", "mm")}
    elif book.has("escapement.tangent_centre_distance"):
        text = "sqrt(a**2 - (D/2)**2)"
        where = {**where, "a": book.use("escapement.tangent_centre_distance", "mm")}
    else:
        return
    book.derive(
        "escapement.pallet_radius",
        arm,
        text,
        where,
        unit="mm",
        symbol="p",
        source=TANGENT,
        method=STRAIGHT,
    )
    if here.has("lock") and not found.gravity:
        book.derive(
            "escapement.lock_depth",
            "how deep a tooth rests on the locking face",
            "κ*p",
            {
                "κ": here.term("lock", "lock of the pallets", "deg"),
                "p": book.use("escapement.pallet_radius", "mm"),
            },
            unit="mm",
            symbol="k",
            source=ANGLES,
            method="The angle of the lock, measured at the pallet.",
        )


def _tangent(book: Book, found: Escapement, where: dict[str, Term]) -> None:
    here = found.here
    planes = found.wheel.text(part="planes") or ""
    cautions: tuple[str, ...] = ()
    if found.gravity:
        angle = STOPS.get((found.count or 0, planes))
        if angle is None:
            return
        span = constant(angle, "deg", f"angle between the stops of {found.count} legs, {planes or 'single'}")
        method = f"{STRAIGHT} Where that angle is less than square at the upper stop, it may trip (Beckett, page 124)."
        cautions = (TRIPS,)
    elif book.has("escapement.span"):
        span, method = book.use("escapement.span", "deg"), STRAIGHT
    else:
        return
    tangent = book.derive(
        "escapement.tangent_centre_distance",
        "distance from the pallet arbor to the escape arbor at which the action is tangent",
        "D/(2*cos(σ/2))",
        {**where, "σ": span},
        unit="mm",
        symbol="a",
        source=TANGENT,
        method=method,
        cautions=cautions,
    )
    if here.has("pallet centre distance"):
        book.derive(
            "escapement.centre_distance_off_tangent",
            "how much farther apart (+) or closer (−) the arbors stand than for tangent action",
            "a - t",
            {
                "a": here.term("pallet centre distance", "distance of the pallet arbor", "mm"),
                "t": book.use(tangent, "mm"),
            },
            unit="mm",
            symbol="δ",
            source=TANGENT,
            method="Off the tangent the pallets rub more on one side of the wheel than on the other.",
        )
