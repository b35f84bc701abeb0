"""How near the clock is to stopping, and the error that the escapement's own impulse makes."""

from __future__ import annotations

from countwheel.figures import gravity
from countwheel.figures.arc import BALANCE
from countwheel.figures.book import Book, Term
from countwheel.figures.drive import Drive
from countwheel.figures.escapement import BECKETT, Escapement
from countwheel.figures.impulse import moment_of
from countwheel.figures.pendulum import half_arc

STOPS = (
    "It says nothing of a gust on the hands, of ice, or of a rope that catches: these take all of the power at once."
    " Whoever frees hands or clears snow needs a proper way to reach them, not a window."
)


def work_out(book: Book) -> None:
    """Figures `escapement.margin`, `.margin.weight`, `.error_of_impulse`, `pendulum.margin_of_damping`.

    After arc.py; the margin is that of the model told there.
    """
    if book.clock.pendulum is None or book.clock.escapement is None:
        return
    arc = half_arc(book.at(book.clock.pendulum, "pendulum"))
    if arc.known:
        found = Escapement(book)
        _margin(book, found, arc)
        _error(book, found, arc)


def _margin(book: Book, found: Escapement, arc: Term) -> None:
    if not found.here.has("least arc"):
        return
    least = found.here.term("least arc", "least half arc that escapes", "deg")
    swing = {"a": arc, "b": least}
    aloof = found.gravity or bool(found.remontoire_id)
    what = "of the power that reaches the escapement"
    if aloof:
        what = f"of what the {'arms give' if found.gravity else 'remontoire gives'}"
    book.derive(
        "escapement.margin",
        f"how much {what} may be lost before the clock stops",
        "100*(1 - (b/a)**2)",
        swing,
        unit="%",
        symbol="r",
        source=BALANCE,
        method="Half arc goes as the root of the power, so the power as its square: the least arc against the arc now."
        " The swing takes its time to sink, and the clock stops some while after the loss.",
        cautions=(STOPS,),
    )
    book.derive(
        "pendulum.margin_of_damping",
        "how much more the pendulum may lose at each beat before the clock stops",
        "100*((a/b)**2 - 1)",
        swing,
        unit="%",
        symbol="r",
        source=BALANCE,
        method="With the same impulse and more loss in air and suspension.",
        cautions=(STOPS,),
    )
    train = found.train
    if aloof or train is None or not book.known(found.torque_id):
        return
    book.derive(
        "escapement.margin.weight",
        "driving weight with which the arc would sink to the least",
        "W*(b/a)**2",
        {"W": Drive(book, train).weight, **swing},
        unit="kg",
        symbol="w",
        source=BALANCE,
        method="In still air, as the clock is now. It is a limit, not a weight to hang on.",
        cautions=(
            "Weights are changed with the train blocked, by two people, from where nothing can fall on anybody.",
            STOPS,
        ),
    )


def _error(book: Book, found: Escapement, arc: Term) -> None:
    """Airy's error of an impulse that does not lie evenly about the middle of the swing."""
    here = found.here
    moment = moment_of(book)
    if moment is None or not here.has("lift") or not book.has("pendulum.beat"):
        return
    text, terms = moment
    lift = here.term("lift", "lift of the pallets", "deg")
    common = {**terms, "a": arc, "g": gravity.anywhere(book), "t": book.use("pendulum.beat", "s")}
    if found.gravity:
        if not book.has("escapement.impulse_per_day"):
            return
        book.derive(
            "escapement.error_of_impulse",
            "what the impulse makes the clock lose (+) or gain (−) against a free pendulum",
            f"-A*t/({text}*g*pi*a**2)*sqrt((a/(λ/2))**2 - 1)",
            {**common, "A": book.use("escapement.impulse_per_day", "J/day"), "λ": lift},
            unit="s/day",
            symbol="Δ",
            source=f"G. B. Airy's theory, in {BECKETT}, pages 111-113",
            method="One arm is taken up where the other is left. It is the change of this with the arc that tells.",
        )
        return
    if not (
        here.has("lock")
        and found.kind in ("deadbeat", "pin wheel")
        and book.has("pendulum.energy_lost_per_day")
    ):
        return
    book.derive(
        "escapement.error_of_impulse",
        "what the impulse makes the clock lose (+) or gain (−) against a free pendulum",
        f"A*t/({text}*g*pi*a**2)*(sqrt(a**2 - ((λ - κ)/2)**2) - sqrt(a**2 - ((λ + κ)/2)**2))/λ",
        {
            **common,
            "A": book.use("pendulum.energy_lost_per_day", "J/day"),
            "λ": lift,
            "κ": here.term("lock", "lock of the pallets", "deg"),
        },
        unit="s/day",
        symbol="Δ",
        source=f"G. B. Airy's theory, in {BECKETT}, pages 85-90",
        method="The lock makes the impulse begin late by as much. Rubbing on the locking faces is left out.",
    )
