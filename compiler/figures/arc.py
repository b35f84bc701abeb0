"""From weight to arc to rate: the swing that the impulse keeps up, and what moves it.

The model: a swing of half arc a holds the energy S g (1 − cos a), of which it
loses the share π/Q at each beat (Q, the quality factor, is taken to be the
same at every arc). It grows or shrinks until the loss is what the escapement
gives. A gravity escapement and a remontoire give the same at every beat,
whatever the driving weight; every other escapement gives in proportion to the
turning force that reaches its wheel. So half arc goes as the root of the
impulse, and as the root of Q.
"""

from __future__ import annotations

from typing import NamedTuple

from countwheel.figures import gravity
from countwheel.figures.book import At, Book, Term, constant
from countwheel.figures.drive import Drive
from countwheel.figures.escapement import BECKETT, Escapement
from countwheel.figures.impulse import moment_of
from countwheel.figures.pendulum import ARC, EXCLUDED, half_arc
from countwheel.figures.terms import words_input
from countwheel.figures.torque import main_way, mesh_efficiency
from countwheel.model.clock import Train
from countwheel.model.node import Node
from countwheel.model.values import Quantity, Words

BALANCE = "energy balance of the swing: loss at a beat, π/Q of its energy, against the impulse"
# A wedge as steep as an impulse face, rubbing with 0.1 to 0.2, passes on 0.5 to 0.7 of the work; dead
# rubbing, oil gone thick and worn faces take more. An assumption, wide on purpose.
PALLETS, PALLETS_U = 0.4, 0.115
PALLETS_RANGE = "0.2 to 0.6, own estimate from the rubbing of the faces"
ROOT = (
    "In old clocks the arc often follows the pull less than this, as rubbing on the pallets grows with it: by less than"
    f" a third of the share, where this reckons with half ({BECKETT}, pages 90-91). The log tells what this clock does."
)
GOES_WITH = "The impulse is taken to go with the weight, and half arc with the root of the impulse."
WIDER = (
    "A wider swing takes longer: the loss at the one arc less that at the other, each against a swing of no arc."
    " No better than the arc that it rests on."
)
LESS = 0.02  # how much less of the work each pair of wheels passes on, for the example of grown friction


def work_out(book: Book) -> None:
    """Figures `pendulum.degree_plate`, `.power_arriving`, `.share_of_arriving`, `.arc_expected`, `.more_*`, `season.*`.

    After impulse.py.
    """
    if book.clock.pendulum is None:
        return
    here = book.at(book.clock.pendulum, "pendulum")
    _degree_plate(book, here)
    if book.clock.escapement is None:
        return
    found = Escapement(book)
    _arriving(book, found)
    _expected(book, found)
    arc = half_arc(here)
    if arc.known:
        _weight(book, found, arc)
        _damping(book, arc)


def _degree_plate(book: Book, here: At) -> None:
    rod = here.at("rod")
    if not rod.has("length"):
        return
    where = {"l": rod.term("length", "length of the rod", "mm")}
    text = "pi/180*l"
    if here.at("suspension spring").has("length"):
        where["s"] = here.at("suspension spring").term("length", "free length of the spring", "mm")
        text = "pi/180*(l + s)"
    book.derive(
        "pendulum.degree_plate",
        "how far the lower end of the rod moves for one degree",
        text,
        where,
        unit="mm",
        symbol="x",
        source=f"geometry; {BECKETT}, pages 47 and 98",
        method="To mark a plate under the pendulum, from which the half arc is read.",
    )


# -- what arrives, and the arc that it keeps up ------------------------
def _arriving(book: Book, found: Escapement) -> None:
    beats = found.beats_per_day(book)
    if found.gravity and book.has("escapement.impulse") and beats is not None:
        text = "W*n/86400"
        where = {"W": book.use("escapement.impulse", "mJ"), "n": beats}
        method = "Of the arms: what the train has beyond raising them does not come to the pendulum."
    elif not found.gravity and book.has("escapement.power_arriving"):
        text, where = "P", {"P": book.use("escapement.power_arriving", "mW")}
        method = "At the escape arbor; drop and rubbing on the pallets take their part of it."
    else:
        return
    book.derive(
        "pendulum.power_arriving",
        "power that arrives for the pendulum",
        text,
        where,
        unit="mW",
        symbol="P",
        source="mechanics",
        method=method,
    )
    if book.has("pendulum.power_needed"):
        book.derive(
            "pendulum.share_of_arriving",
            "share of what arrives that the swing uses at its arc now",
            "100*N/P",
            {"N": book.use("pendulum.power_needed", "mW"), "P": book.use("pendulum.power_arriving", "mW")},
            unit="%",
            symbol="k",
            source=BALANCE,
            method="The rest is drop and rubbing at the escapement, and what the hands take where that is not stated.",
        )


def _expected(book: Book, found: Escapement) -> None:
    if not (book.has("pendulum.quality_factor") and book.has("escapement.impulse")):
        return
    moment = moment_of(book)
    if moment is None:
        return
    text, terms = moment
    where = {
        **terms,
        "W": book.use("escapement.impulse", "mJ"),
        "Q": book.use("pendulum.quality_factor"),
        "g": gravity.anywhere(book),
    }
    over = "Q*W"
    if found.gravity:
        method = "The arms give the same at every beat, and their fall is the impulse, with nothing lost on the way."
    else:
        over = "Q*η*W"
        where["η"] = found.here.term("efficiency", "share of the impulse that passes the pallets", "")
        if not where["η"].known:
            what = "share of the impulse that passes the pallets"
            where["η"] = constant(PALLETS, "", what, PALLETS_U, PALLETS_RANGE, assumed=True)
        method = (
            "The remontoire gives the same at every beat."
            if found.remontoire_id
            else "The impulse is taken to go with the turning force at the escape wheel."
        )
        if not found.remontoire_id and not any(way.node.get("takes") for way in book.clock.leading_off):
            method += " Nothing is counted for the hands, so a clock that turns hands swings less."
    book.derive(
        "pendulum.arc_expected",
        "half arc at which the swing loses as much as the escapement gives",
        f"acos(1 - {over}/(1000*pi*{text}*g))",
        where,
        unit="deg",
        symbol="a",
        source=BALANCE,
        method=f"{method} The loss at a beat is π/Q of the swing's energy.",
    )


# -- what moves it -----------------------------------------------------
class _Change(NamedTuple):
    """A change of what keeps the swing up: by what its power is multiplied, as a text with terms."""

    id: str
    when: str  # "for a driving weight a tenth heavier"
    ratio: str
    terms: dict[str, Term]
    method: str
    cautions: tuple[str, ...] = ()


def _record(book: Book, arc: Term, change: _Change) -> None:
    new = book.derive(
        f"{change.id}.arc",
        f"half arc {change.when}",
        f"a*sqrt({change.ratio})" if change.ratio != "1" else "a",
        {"a": arc, **change.terms},
        unit="deg",
        symbol="b",
        source=BALANCE,
        method=change.method,
        cautions=change.cautions,
    )
    steady = change.ratio == "1"
    book.derive(
        f"{change.id}.rate_change",
        f"gain (+) or loss (−) by the change of arc {change.when}",
        "0" if steady else "86400*(1/agm(1, cos(a/2)) - 1/agm(1, cos(b/2)))",
        {} if steady else {"a": arc, "b": book.use(new, "deg")},
        unit="s/day",
        symbol="Δ",
        source=ARC,
        method="The arc stays as it is." if steady else WIDER,
        cautions=(EXCLUDED,),
    )


def _weight(book: Book, found: Escapement, arc: Term) -> None:
    """The driving weight: a tenth more of it, friction grown in the train, and what each season hangs on."""
    train = found.train
    if train is None or train.barrel is None:
        return
    drive = Drive(book, train)
    if not drive.barrel.has("weight"):
        return
    aloof = found.gravity or bool(found.remontoire_id)
    if book.known(found.torque_id) and not aloof:
        tenth = constant(0.1, "", "a tenth more driving weight")
        _record(
            book,
            arc,
            _Change(
                "pendulum.more_weight",
                "for a driving weight a tenth heavier",
                "1 + t",
                {"t": tenth},
                GOES_WITH + _hands_too(book),
                (ROOT,),
            ),
        )
        _grown_friction(book, train, arc)
    for season in book.clock.root.all("season"):
        _season(book, season, drive, arc, aloof)


def _hands_too(book: Book) -> str:
    stated = any(way.node.get("takes") for way in book.clock.leading_off)
    return " The hands are taken to keep their share of the pull." if stated else ""


def _grown_friction(book: Book, train: Train, arc: Term) -> None:
    pairs = len([mesh for mesh in main_way(train) if mesh.form != "worm"])
    if not pairs:
        return
    _record(
        book,
        arc,
        _Change(
            "pendulum.more_friction",
            "if each pair of wheels passes on two hundredths less",
            f"(1 - c/η)**{pairs}" if pairs > 1 else "1 - c/η",
            {"c": constant(LESS, "", "two hundredths less"), "η": mesh_efficiency(book, train)},
            f"Over {pairs} pair{'s' if pairs > 1 else ''} of wheels, as when the oil has gone.",
            (ROOT,),
        ),
    )


def _season(book: Book, season: Node, drive: Drive, arc: Term, aloof: bool) -> None:
    """Where a season changes the driving weight of the going train."""
    base = drive.weight
    path = drive.weight_at.path.lower()
    change = next(
        (
            one
            for one in season.all("<change>")
            if isinstance(one.values.get("of"), Words)
            and (one.text(part="of") or "").strip().lower().replace(" ", "_") == path
        ),
        None,
    )
    value = change.values.get("value") if change is not None else None
    if change is None or not isinstance(value, Quantity) or value.dimension != "mass" or not base.value:
        return
    name = season.label or "the season"
    when = f"with the weight of {name}"
    if aloof:
        method = (
            "The escapement does not feel the driving weight: the arms or the remontoire give the impulse."
        )
        _record(book, arc, _Change(season.path, when, "1", {}, method))
        return
    given = words_input(change)
    ratio = Term(
        round(value.si / float(base.value), 9),
        "",
        f"driving weight of {name} over the weight now",
        {},
        (given._replace(written=value.written), *base.inputs),
    )
    method = (
        f"{GOES_WITH}{_hands_too(book)} Both weights are taken to be wrong by the same share, if they are."
    )
    _record(book, arc, _Change(season.path, when, "ρ", {"ρ": ratio}, method, (ROOT,)))


def _damping(book: Book, arc: Term) -> None:
    if not book.known("pendulum.quality_factor"):
        return
    change = _Change(
        "pendulum.more_damping",
        "if the pendulum itself loses a tenth more at each beat",
        "1/(1 + t)",
        {"t": constant(0.1, "", "a tenth more loss of the pendulum's own")},
        "As in a draught, or with a suspension or a fastening that has worked loose.",
    )
    _record(book, arc, change)
