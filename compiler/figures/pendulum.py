"""The pendulum's beat, its length by theory at the place, and what its arc does to the rate."""

from __future__ import annotations

import math

from countwheel.figures import gravity
from countwheel.figures.book import At, Book, Term, constant
from countwheel.model.values import Quantity

THEORY = "C. Huygens' law of the simple pendulum, T = 2π√(L/g)"
ARC = "theory of the pendulum at a finite arc: T/T₀ = 2 K(sin a/2)/π = 1/AGM(1, cos a/2), exactly"
# A bob of 99 in over all for a simple length of 88.1 in is the farthest apart that was seen
# (E. Beckett, Clocks, Watches and Bells, 1903, page 184); most lie within a fourteenth.
CENTRES = "centre of oscillation over the middle of the bob, by their distance from the suspension"
CENTRES_U = 0.07 / math.sqrt(3)
CENTRES_SOURCE = "near one for a heavy bob on a light rod; common practice, no source"
EXCLUDED = (
    "The escapement has an error of its own, often of the other sign and of the same size: this figure"
    " leaves it out."
)


def work_out(book: Book) -> None:
    """Figures `pendulum.beat`, `.period`, `.theoretical_length`, `.seconds_pendulum`,
    `.circular_deviation*`. After the trains, whose counts may give the beat.
    """
    clock = book.clock
    if clock.pendulum is None and clock.escapement is None:
        return
    here = book.at(clock.pendulum, "pendulum")
    _beat(book, here)
    _length(book, here)
    _arc(book, here)


def half_arc(here: At) -> Term:
    return here.term("half arc", "half arc, to each side of rest", "deg")


def _beat(book: Book, here: At) -> None:
    beat, how = _chosen_beat(book, here)
    text, where = ("3600/N", {"N": beat}) if how else ("t", {"t": beat})
    source = "definition" if how else "the description"
    if not beat.known and here.term("length", "length", "m").known:
        beat, how = (
            _beat_by_length(book, here),
            "Deduced from its length, as neither counts nor a beat tell it.",
        )
        text, where, source = "t", {"t": beat}, THEORY
    book.derive(
        "pendulum.beat",
        "beat of the pendulum",
        text,
        where,
        unit="s",
        symbol="t",
        source=source,
        method=how,
    )
    book.derive(
        "pendulum.period",
        "period of the pendulum, there and back",
        "2*t",
        {"t": book.use("pendulum.beat", "s")},
        unit="s",
        symbol="T",
        source="definition",
    )


def _beat_by_length(book: Book, here: At) -> Term:
    """The beat of a simple pendulum that reaches a little nearer or farther than the middle of the bob."""
    arc = half_arc(here)
    figure = book.derive(
        "pendulum.beat.by_length",
        "beat of the pendulum, deduced from its length",
        "pi*sqrt(c*x/g)" + ("/agm(1, cos(a/2))" if arc.known else ""),
        {
            "c": constant(1, "", CENTRES, CENTRES_U, CENTRES_SOURCE, assumed=True),
            "x": here.term("length", "length stated, suspension to the middle of the bob", "m"),
            "g": gravity.anywhere(book),
            "a": arc,
        },
        unit="s",
        symbol="t",
        source=THEORY,
        method="A length does not tell a beat better than to some hundredths: count beats against a watch.",
    )
    return book.use(figure, "s")


def _chosen_beat(book: Book, here: At) -> tuple[Term, str]:
    """The beats an hour by the counts where they are known and the stated beat does not speak against them.

    Counts are exact, and a clock that keeps time beats as they say; a beat timed
    with a watch is not. Else the stated beat, with nothing to explain.
    """
    stated = here.term("beat", "beat of the pendulum", "s")
    train = book.clock.train("going")
    id = f"{train.name}.train.beats_per_hour" if train else ""
    if not id or not book.known(id):
        return stated, ""
    counted = book.use(id, "per h")
    if not stated.known:
        return counted, "By the counts of the train, as no beat is stated."
    node = here.at("beat").node
    value = node.value if node is not None else None
    near = value.tolerance.half_width if isinstance(value, Quantity) and value.tolerance else 0.0
    if counted.value and abs(3600 / float(counted.value) - float(stated.value or 0)) <= near + 1e-9:
        return counted, "By the counts of the train, which agree with the stated beat and are exact."
    return stated, ""


def _length(book: Book, here: At) -> None:
    g = gravity.at_place(book)
    _theoretical(book, here, "pendulum.theoretical_length", "at this place", g)
    book.derive(
        "pendulum.seconds_pendulum",
        "length of the seconds pendulum at this place",
        "g/pi**2",
        {"g": g},
        unit="m",
        symbol="l",
        source=THEORY,
        method="At no arc.",
    )


def _theoretical(book: Book, here: At, id: str, where_it_is: str, g: Term) -> None:
    arc = half_arc(here)
    where = {"g": g, "T": book.use("pendulum.period", "s")}
    text, method = "g*T**2/(4*pi**2)", "At no arc: no half arc is stated, so it is not corrected for it."
    if arc.known:
        where["a"] = arc
        text = "g*T**2/(4*pi**2)*agm(1, cos(a/2))**2"
        method = "Corrected for the arc: a clock that swings wider must be shorter to keep the same time."
    book.derive(
        id,
        f"length of the simple pendulum that beats so, {where_it_is}",
        text,
        where,
        unit="m",
        symbol="L",
        source=THEORY,
        method=method + " It reaches to the centre of oscillation, not to the bob's middle.",
    )


def length_term(book: Book) -> Term:
    """The theoretical length for rates, in m: at the place, or with gravity's spread where none is known."""
    id = "pendulum.theoretical_length"
    if book.known(id) or not book.known("pendulum.period"):
        return book.use(id, "m")
    here = book.at(book.clock.pendulum, "pendulum")
    _theoretical(book, here, f"{id}.anywhere", "the place not being known", gravity.anywhere(book))
    return book.use(f"{id}.anywhere", "m")


def _arc(book: Book, here: At) -> None:
    arc = half_arc(here)
    book.derive(
        "pendulum.circular_deviation",
        "what the clock loses against a swing of no arc",
        "86400*(1/agm(1, cos(a/2)) - 1)",
        {"a": arc},
        unit="s/day",
        symbol="Δ",
        source=ARC,
        method="Loss = 86400 (T/T₀ − 1), T being the period at this arc and T₀ that at no arc.",
        cautions=(EXCLUDED,),
    )
    book.derive(
        "pendulum.circular_deviation.per_degree",
        "what the clock loses more for one degree more of half arc",
        "86400*(1/agm(1, cos((a + h)/2)) - 1/agm(1, cos((a - h)/2)))",
        {"a": arc, "h": constant(0.5, "deg", "half a degree")},
        unit="s/day per deg",
        symbol="Δ",
        source=ARC,
        method="From half a degree under to half a degree over the present half arc.",
        cautions=(EXCLUDED,),
    )
    escapement = book.at(book.clock.escapement, "escapement")
    if escapement.has("least arc"):
        book.derive(
            "pendulum.circular_deviation.to_least_arc",
            "what the clock gains if the arc falls to the least at which it still escapes",
            "86400*(1/agm(1, cos(a/2)) - 1/agm(1, cos(b/2)))",
            {"a": arc, "b": escapement.term("least arc", "least half arc that escapes", "deg")},
            unit="s/day",
            symbol="Δ",
            source=ARC,
            method="The difference of the two losses, each against a swing of no arc.",
            cautions=(EXCLUDED,),
        )
