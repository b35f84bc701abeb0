"""Hands: what is heavy to one side of their centre, what balances it, what the wind does to them."""

from __future__ import annotations

from countwheel.figures import gravity, leading
from countwheel.figures.book import At, Book, Term, constant
from countwheel.figures.dials import called
from countwheel.model.clock import Dial

ROOT_3 = 3**0.5
BALANCE = "mechanics of a lever; E. Beckett, Clocks, Watches and Bells, 1903, pages 221-222, on counterpoises"
# Where the centre of gravity of a hand lies, as a share of its length, if it is not stated: between a blade
# drawn out to a point with a heavy boss and a plain bar.
CENTRE, CENTRE_HALF = 0.4, 0.1
# Air as in EN 1991-1-4, 4.5: 1.25 kg/m³. A gale by the Beaufort scale is force 8, 34 to 40 knots.
AIR = 1.25
GALE = 20.0
# Flat plates square to the wind: 1.17 a square one, 1.98 a long one.
DRAG_LOW, DRAG_HIGH = 1.17, 1.98
DRAG_SOURCE = "Aeronautical Engineer's Data Book, fig. 5.13: flat plates at 90°, square 1.17, long 1.98"
WIND = (
    "half the density of the air times the square of its speed (EN 1991-1-4, 4.5); drag: " + DRAG_SOURCE + ";"
    " shape of the blade, a thirteenth of its length wide and tapering to half: E. Beckett, Clocks, Watches and"
    " Bells, 1903, page 221"
)
# How deep a hand is from front to back, as a share of its breadth: from a sheet with its edges turned over
# to a tube of two segments (the forms are Beckett's, page 221; the numbers are an assumption).
DEPTH, DEPTH_HALF = 0.35, 0.25
# A blade of openwork has two rails, the second partly in the lee of the first: an assumption.
RAILS, RAILS_HALF = 1.5, 0.5
OUT_OF_REACH = (
    "Hands, their counterpoises and their fixings hang over a place where people walk. Work on them is for a"
    " clockmaker with proper access, the place below being closed; nobody reaches out through a dial."
)


def work_out(book: Book) -> None:
    """Figures `dial.NAME.HAND.*` on weight and wind, `place.wind_pressure`. After gravity, dials and work."""
    for dial in book.clock.dials:
        for word in ("minute hand", "hour hand"):
            if dial.node.denies(word):
                continue
            hand = book.at(dial.node.get(word), f"{dial.path}.{word.replace(' ', '_')}")
            name = f"{word}{f' of the {called(dial)} dial' if dial.name else ''}"
            _balance(book, hand, name)
            if word == "minute hand" and not dial.node.says("one hand only"):
                _wind(book, dial, hand, name)


def _balance(book: Book, hand: At, name: str) -> None:
    """Only where the mass is stated with its place, or a counterpoise is: a bare mass may be a balanced hand's."""
    stated, behind = hand.has("centre of gravity"), hand.has("counterpoise")
    if not hand.has("mass") or not (stated or behind):
        return
    arm, terms, method = "r", {"m": hand.term("mass", f"mass of the {name}", "kg")}, ""
    if stated:
        terms["r"] = hand.term("centre of gravity", "from the centre to the hand's centre of gravity", "m")
    else:
        arm = "k*l"
        terms["k"] = constant(
            CENTRE,
            "",
            "centre of gravity of a hand as a share of its length",
            CENTRE_HALF / ROOT_3,
            assumed=True,
        )
        terms["l"] = hand.term("length", f"length of the {name}", "m")
        method = " Where the hand's own centre of gravity lies is assumed: balance it on an edge to know."
    counter = hand.at("counterpoise")
    text, unbalanced = f"g*m*{arm}", dict(terms)
    if behind:
        text = f"g*(m*{arm} - w*a)"
        unbalanced["w"] = counter.own("mass of the counterpoise", "kg")
        unbalanced["a"] = counter.own("from the centre to the counterpoise", "m", "at")
        said = "More than nothing: the hand is heavy; less: the counterpoise is."
    else:
        said = "No counterpoise is stated, so none is counted; there may be one inside, on the hand's arbor."
    book.derive(
        f"{hand.path}.imbalance_torque",
        f"turning force of the {name} at its most, when it lies level",
        text,
        {"g": gravity.anywhere(book), **unbalanced},
        unit="N·m",
        symbol="M",
        source=BALANCE,
        method=f"It helps the train for half a turn and holds it back for the other half. {said}{method}",
        cautions=(OUT_OF_REACH,),
    )
    needed = {**terms, "a": unbalanced["a"]} if behind else terms
    if not behind:
        # "Not above 1/3 the length of the long hand": Beckett, page 221
        needed = {**terms, "l": hand.term("length", f"length of the {name}", "m")}
    book.derive(
        f"{hand.path}.counterpoise_needed",
        f"counterpoise that would balance the {name}"
        + (" at the distance of the one there is" if behind else " at a third of its length"),
        f"m*{arm}/a" if behind else f"3*m*{arm}/l",
        needed,
        unit="kg",
        symbol="w",
        source=BALANCE,
        method=(
            "A third to a half of it outside is enough for long hands, the rest inside; a counterpoise outside"
            f" that is broad helps against the wind too.{method}"
        ),
        cautions=(OUT_OF_REACH,),
    )


def pressure(book: Book) -> Term:
    """Pressure of the wind that the hands are worked out for, as a term in Pa: `place.wind_pressure`."""
    place = book.at(book.clock.place, "clock.place")
    speed = constant(GALE, "m/s", "speed of the wind: a gale, force 8, where none is stated")
    said = "No wind is stated for the place, so a gale is taken, not the worst storm there can be."
    if place.has("wind"):
        speed = place.term("wind", "wind that the hands are worked out for", "m/s")
        said = "The wind is the one stated for the place."
    figure = book.derive(
        "place.wind_pressure",
        "pressure of the wind that the hands are worked out for",
        "ρ*v**2/2",
        {"ρ": constant(AIR, "kg/m³", "density of the air"), "v": speed},
        unit="Pa",
        symbol="q",
        source="EN 1991-1-4, 4.5; a gale, force 8, is 34 to 40 knots by the Beaufort scale",
        method=f"{said} Twice the speed is four times the pressure, and gusts are faster than the mean.",
    )
    return book.use(figure, "Pa")


def _wind(book: Book, dial: Dial, hand: At, name: str) -> None:
    if not hand.has("length"):
        return
    terms: dict[str, Term] = {
        "q": pressure(book),
        "c": constant(
            (DRAG_LOW + DRAG_HIGH) / 2,
            "",
            "drag of a blade",
            (DRAG_HIGH - DRAG_LOW) / 2 / ROOT_3,
            DRAG_SOURCE,
            assumed=True,
        ),
        "l": hand.term("length", f"length of the {name}", "m"),
    }
    if hand.has("thickness"):
        depth = "d"
        terms["d"] = hand.term("thickness", "from front to back of the hand", "m")
        said = ""
    else:
        terms["e"] = constant(
            DEPTH, "", "depth of a hand as a share of its breadth", DEPTH_HALF / ROOT_3, assumed=True
        )
        depth, said = "e*l/13", " Breadth and depth of the hand are assumed."
        if hand.has("width"):
            depth = "e*b"
            terms["b"] = hand.term("width", "breadth of the hand", "m")
            said = " How deep the hand is from front to back is assumed from its breadth."
    rails = ""
    if hand.has("skeleton"):
        rails = "*s"
        terms["s"] = constant(
            RAILS, "", "rails of an openwork hand, the second in the lee", RAILS_HALF / ROOT_3, assumed=True
        )
    figure = book.derive(
        f"{hand.path}.wind_torque",
        f"turning force of the wind on the {name} at its most",
        f"c*q*{depth}*l**2/3{rails}",
        terms,
        unit="N·m",
        symbol="M",
        source=WIND,
        method=(
            "The wind runs along the wall and meets the hand from the side, on its depth, which tapers to half"
            " at the tip; a wind square to the dial bends the hand but does not turn it. A broad counterpoise"
            f" outside takes off its share and is not counted.{said}"
        ),
        cautions=(
            "An estimate for asking why a clock loses or stops in wind; it says nothing of whether hand, arbor"
            " and fixings hold in a storm. That is for whoever examines them.",
            OUT_OF_REACH,
        ),
    )
    _against_the_train(book, dial, hand, book.use(figure, "N·m"))


def _against_the_train(book: Book, dial: Dial, hand: At, wind: Term) -> None:
    arbor = leading.source_arbor(book, dial)
    if arbor is None or not book.known(f"{arbor}.torque") or not book.known(f"{arbor}.turns_per_hour"):
        return
    if not book.known(f"{hand.path}.turns_per_hour"):
        return
    book.derive(
        f"{hand.path}.wind_share",
        "turning force of that wind against all that the train could give at this hand",
        "100*M*n_h/(T*n)",
        {
            "M": wind,
            "T": book.use(f"{arbor}.torque", "N·m").named(f"turning force at {arbor}"),
            "n": book.use(f"{arbor}.turns_per_hour", "turns/h").named(f"turns an hour of {arbor}"),
            "n_h": book.use(f"{hand.path}.turns_per_hour", "turns/h").named("turns an hour of the hand"),
        },
        unit="%",
        source=WIND,
        method=(
            "The whole force at the arbor from which the hands are taken, nothing being left for the"
            " escapement, without losses on the way to the dial. Near or above a hundred, such a wind holds the"
            " hand, or slips it on its friction, so that it shows wrong time afterwards."
        ),
    )
