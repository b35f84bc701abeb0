"""What the escapement gives the pendulum: work at each beat and in a day, of the train or of the arms."""

from __future__ import annotations

from countwheel.figures import gravity
from countwheel.figures.book import Book, Term
from countwheel.figures.escapement import BECKETT, TRIPS, Escapement
from countwheel.figures.train import rate_id

RUNS = "With the pallets out or lifted the wheel runs free under the weight: block the train before they are touched."


def work_out(book: Book) -> None:
    """Figures `escapement.impulse*`, `.arms.*`, `.power_arriving`. After torque.py, rating.py and escapement.py."""
    if book.clock.escapement is None:
        return
    found = Escapement(book)
    _arms(book, found)
    _impulse(book, found)


def _arms(book: Book, found: Escapement) -> None:
    arms = found.here.at("arms")
    if arms.node is None or not (arms.has("mass") or arms.has("lift")):
        return
    book.derive(
        "escapement.arms.impulse",
        "work that an arm gives the pendulum at each beat",
        "m*g*h",
        {
            "m": arms.term("mass", "mass of an arm", "kg"),
            "g": gravity.anywhere(book),
            "h": arms.term("lift", "height by which the arm's weight is raised", "mm"),
        },
        unit="mJ",
        symbol="W",
        source=f"mechanics: work is weight times fall; {BECKETT}, pages 109-113",
        method="The arm falls with the pendulum lower than the pendulum picked it up, by what the train has raised it.",
        cautions=(TRIPS,),
    )
    if not book.has(found.torque_id) or not book.has("escapement.wheel_angle_per_beat"):
        return
    book.derive(
        "escapement.arms.work_there_is",
        "work that the train brings for each raising of an arm",
        "1000*M*β",
        {
            "M": book.use(found.torque_id, "N·m"),
            "β": book.use("escapement.wheel_angle_per_beat", "deg"),
        },
        unit="mJ",
        symbol="E",
        source="mechanics: work is turning force times angle",
        method="Turning force at the escape arbor, over the angle of one beat.",
    )
    book.derive(
        "escapement.arms.surplus",
        "work beyond what raises the arm, at each beat",
        "E - W",
        {
            "E": book.use("escapement.arms.work_there_is", "mJ"),
            "W": book.use("escapement.arms.impulse", "mJ"),
        },
        unit="mJ",
        symbol="F",
        source=f"mechanics; {BECKETT}, pages 123-130",
        method="It does not reach the pendulum: the fly takes it, and the hands what they need of it.",
        cautions=(TRIPS,),
    )


def _impulse(book: Book, found: Escapement) -> None:
    """Work at each beat, of the arms or of the train; by the day; against the pendulum."""
    title = "work of the escapement at each beat"
    if found.gravity:
        if not book.has("escapement.arms.impulse"):
            return
        book.derive(
            "escapement.impulse",
            title,
            "W",
            {"W": book.use("escapement.arms.impulse", "mJ")},
            unit="mJ",
            symbol="W",
            source=f"{BECKETT}, pages 109-113",
            method="Of the arms; how hard the train pulls makes no difference to it.",
        )
    else:
        if not book.has(found.torque_id) or not book.has("escapement.wheel_angle_per_beat"):
            return
        turned, method = (
            "escapement.impulse_angle_of_wheel",
            "What is lost by rubbing on the pallets is still in it.",
        )
        if not book.has(turned):
            turned = "escapement.wheel_angle_per_beat"
            method = "The most that it can be: no drop is stated, so none is taken off. " + method
        book.derive(
            "escapement.impulse",
            title,
            "1000*M*φ",
            {"M": book.use(found.torque_id, "N·m"), "φ": book.use(turned, "deg")},
            unit="mJ",
            symbol="W",
            source="mechanics: work is turning force times angle",
            method=method,
            cautions=(RUNS,),
        )
    _power(book, found)
    beats = found.beats_per_day(book)
    if beats is None:
        return
    day = book.derive(
        "escapement.impulse_per_day",
        "work of the escapement in a day",
        "W*n/1000",
        {"W": book.use("escapement.impulse", "mJ"), "n": beats},
        unit="J/day",
        symbol="A",
        source=f"mechanics; {BECKETT}, page 253",
        method="At all beats of the day.",
    )
    moment = moment_of(book)
    if moment is not None and found.kind != "verge":  # its pendulum is driven throughout: nothing to compare
        text, terms = moment
        book.derive(
            "escapement.impulse_ratio",
            "work of the escapement in a day over the pendulum's weight times its length",
            f"100*A/({text}*g)",
            {"A": book.use(day, "J/day"), **terms, "g": gravity.anywhere(book)},
            unit="%",
            symbol="w",
            source=f"{BECKETT}, pages 90 and 113",
            method="The smaller it is, the less the escapement disturbs the pendulum. Beckett has 1/30 (3.3 %) for"
            " the best regulators and 1/45 (2.2 %) for a large gravity clock.",
        )


def moment_of(book: Book) -> tuple[str, dict[str, Term]] | None:
    """The pendulum's mass times the depth of its centre of gravity, in kg·m: a text with terms; None if not known."""
    if book.known("pendulum.first_moment"):
        return "S", {"S": book.use("pendulum.first_moment", "kg·m")}
    for length in ("pendulum.theoretical_length", "pendulum.theoretical_length.anywhere"):
        if book.known("pendulum.mass") and book.known(length):
            return "M_p*L", {"M_p": book.use("pendulum.mass", "kg"), "L": book.use(length, "m")}
    return None


def _power(book: Book, found: Escapement) -> None:
    arbor = found.arbor
    if arbor is None or not book.has(found.torque_id) or not book.has(rate_id(arbor.path)):
        return
    book.derive(
        "escapement.power_arriving",
        f"power that reaches {arbor.path}",
        "1000*M*2*pi*n/3600",
        {"M": book.use(found.torque_id, "N·m"), "n": book.use(rate_id(arbor.path), "turns/h")},
        unit="mW",
        symbol="P",
        source="mechanics: power is turning force times the angle turned in a second",
        method="Turning force there times the turns that the counts give it.",
    )
