"""Rating: what a turn of the nut and a small weight do; the energy of the swing and what is lost of it."""

from __future__ import annotations

from countwheel.figures import gravity, rigid
from countwheel.figures.book import At, Book, Term
from countwheel.figures.pendulum import THEORY, half_arc, length_term

SMALL = "E. Beckett, A Rudimentary Treatise on Clocks, 8th ed., pp. 49-51"
LIFT = (
    "Hold or block the bob before the nut is touched, and do not twist what it hangs from; a large bob"
    " weighs more than a person should hold."
)


def work_out(book: Book) -> None:
    """Figures `pendulum.nut.*`, `.tray.*`, `.small_weight.*`, `.energy*`, `.quality_factor`.

    The rigid body (rigid.py) is worked out first. After pendulum.py.
    """
    if book.clock.pendulum is None:
        return
    rigid.work_out(book)
    here = book.at(book.clock.pendulum, "pendulum")
    _nut(book, here)
    _tray(book, here)
    _energy(book, here)


def _body(book: Book) -> dict[str, Term] | None:
    """First moment and moment of inertia, where the parts allow them."""
    if not (book.known("pendulum.moment_of_inertia") and book.known("pendulum.first_moment")):
        return None
    return {
        "I": book.use("pendulum.moment_of_inertia", "kg·m²"),
        "S": book.use("pendulum.first_moment", "kg·m"),
    }


def _simple_because(book: Book) -> str:
    figure = book.get("pendulum.moment_of_inertia")
    waits = f" (that waits for {', '.join(figure.waits_for)})" if figure and figure.waits_for else ""
    return f"As a simple pendulum, not as a rigid body{waits}."


def _nut(book: Book, here: At) -> None:
    nut = here.at("rating nut")
    pitch = nut.term("thread", "pitch of the thread", "mm")
    body = _body(book)
    where: dict[str, Term]
    if body:
        bob = rigid.Bob(book, here)
        where = {"p": pitch, "m": bob.mass, "x": book.use("pendulum.bob.centre", "m"), **body}
        text = "43200*p/1000*m*(2*x/I - 1/S)"
        own = nut.term("mass", "mass of the rating nut", "kg")
        if own.known:
            below, size = bob.half_height
            where |= {"m_n": own} | size
            text = f"43200*p/1000*(m*(2*x/I - 1/S) + m_n*(2*(x + {below})/I - 1/S))"
        method = "As a rigid body: the bob moves, the rod and the rest do not."
    else:
        where = {"p": pitch, "L": length_term(book)}
        text, method = "43200*p/1000/L", _simple_because(book)
    figure = book.derive(
        "pendulum.nut.rate_per_turn",
        "gain for one turn of the nut that raises the bob",
        text,
        where,
        unit="s/day per turn",
        symbol="R",
        source=f"{THEORY}; {SMALL}",
        method=method,
        cautions=(LIFT,),
    )
    if nut.has("divisions"):
        book.derive(
            "pendulum.nut.rate_per_division",
            "gain for one division of the nut that raises the bob",
            "R/N",
            {"R": book.use(figure), "N": nut.term("divisions", "divisions of the nut", "")},
            unit="s/day per division",
            symbol="r",
            source=f"{THEORY}; {SMALL}",
            method=method,
            cautions=(LIFT,),
        )


def _tray(book: Book, here: At) -> None:
    body = _body(book)
    length = length_term(book)
    mass = book.use("pendulum.mass", "kg")
    tray = here.at("tray")
    if here.has("tray"):
        under = tray.term("below suspension", "depth of the tray below the suspension", "m")
        if body:
            text, where, method = "43.2*(h/S - h**2/I)", {"h": under, **body}, "As a rigid body."
        else:
            text, where = "43.2/M*h/L*(1 - h/L)", {"h": under, "M": mass, "L": length}
            method = _simple_because(book)
        book.derive(
            "pendulum.tray.rate_per_gram",
            "gain for one gram put on the tray",
            text,
            where,
            unit="s/day per g",
            symbol="r",
            source=SMALL,
            method=method + " A weight gains most at half the length, nothing at the centre of oscillation.",
        )
    if body:
        text, where, method = "1000/(43200*(L/2/S - (L/2)**2/I))", {"L": length, **body}, "As a rigid body."
    else:
        text, where, method = "1000*M/10800", {"M": mass}, _simple_because(book)
    book.derive(
        "pendulum.small_weight.for_one_second",
        "weight that gains one second a day when put at half the length",
        text,
        where,
        unit="g",
        symbol="w",
        source=SMALL,
        method=method,
    )


def _energy(book: Book, here: At) -> None:
    g, arc = gravity.anywhere(book), half_arc(here)
    if book.known("pendulum.first_moment"):
        moment, text = {"S": book.use("pendulum.first_moment", "kg·m")}, "1000*S*g*(1 - cos(a))"
    else:
        length = length_term(book)
        moment = {"M": book.use("pendulum.mass", "kg"), "L": length}
        text = "1000*M*L*g*(1 - cos(a))"
    energy = book.derive(
        "pendulum.energy",
        "energy of the swing",
        text,
        {**moment, "g": g, "a": arc},
        unit="mJ",
        symbol="E",
        source="mechanics: what the swing lifts at the end of its arc",
    )
    period = book.use("pendulum.period", "s")
    run_down = here.at("run down")
    stated = here.term("quality factor", "quality factor", "")
    if stated.known:
        book.derive("pendulum.quality_factor", "quality factor", "Q", {"Q": stated}, source="the description")
    elif run_down.node is not None:
        book.derive(
            "pendulum.quality_factor",
            "quality factor",
            "pi*t/(T*ln(a/b))",
            {
                "t": run_down.own("time of the run-down", "s", "time"),
                "T": period,
                "a": run_down.own("half arc at its beginning", "deg", "from"),
                "b": run_down.own("half arc at its end", "deg", "to"),
            },
            symbol="Q",
            source="theory of the damped swing",
            method="From a test in which the swing died away, each swing losing the same share.",
        )
    else:
        return
    lost = book.derive(
        "pendulum.energy_lost_per_day",
        "energy that the swing loses in a day",
        "2*pi*E/1000/Q*86400/T",
        {"E": book.use(energy, "mJ"), "Q": book.use("pendulum.quality_factor"), "T": period},
        unit="J/day",
        symbol="A",
        source="definition of the quality factor: 2π times the energy over the loss in one period",
    )
    book.derive(
        "pendulum.power_needed",
        "power that keeps the pendulum swinging",
        "1000*A/86400",
        {"A": book.use(lost, "J/day")},
        unit="mW",
        symbol="P",
        source="mechanics",
        method="What must arrive at the pendulum, after all losses of train and escapement.",
    )
    going = book.clock.train("going")
    if going is not None and book.known(f"{going.name.lower()}.energy.per_day"):
        book.derive(
            "pendulum.share_of_energy",
            "share of the weight's work that the pendulum uses",
            "100*A/E",
            {
                "A": book.use(lost, "J/day"),
                "E": book.use(f"{going.name.lower()}.energy.per_day", "J"),
            },
            unit="%",
            symbol="k",
            source="mechanics",
            method="The rest goes in pivots, teeth, hands and the escapement.",
        )
