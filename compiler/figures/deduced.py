"""Counts that are not known and yet follow from the others: by what the train must come to, and by a diameter.

Where all but one count between two places is known, the last follows. It is
shown as deduced, with the facts it follows from; no fact of the description is changed.
"""

from __future__ import annotations

import math
from fractions import Fraction

from countwheel.figures.book import Book, Term, constant
from countwheel.figures.closings import Closing, Factor, closings
from countwheel.figures.places import Place, centre_distance
from countwheel.figures.record import Figure
from countwheel.figures.train import module_term
from countwheel.model.clock import Gear, Mesh, Train
from countwheel.model.node import Node
from countwheel.model.values import MOST_TEETH, Unknown

CLOSING = (
    "W. Derham, The Artificial Clock-maker, 1696, pages 10-14 and 33-39;"
    " W. L. Goodrich, The Modern Clock, 1905, pages 258-260"
)
SIZE = "definition of the module"
# Outside diameter in modules beyond the count: 2 in involute gearing, 2.76 as the cutters of the trade made
# cycloidal wheels; wear takes some away. Taken as a rectangle from 1.9 to 2.9.
BEYOND, BEYOND_U = Fraction("2.4"), 0.5 / math.sqrt(3)
BEYOND_SOURCE = "twice the addendum, by whichever form the teeth have; common practice, no source"
ROUNDS = 8  # a count that follows may let another follow, and no train is longer than this many


def work_out(book: Book) -> None:
    """Figures `PATH.teeth` (whole), `PATH.teeth.sought` (what it must be by the closing), `PATH.teeth.by_*`."""
    every = [closing for closing in closings(book) if closing.bound == "is" and closing.known]
    for _ in range(ROUNDS):
        before = len(book.figures)
        for closing in every:
            lacking = [one for one in closing.unknown if not _given(book, one.place).known]
            if len(lacking) == 1 and closing.factors.count(lacking[0]) == 1:
                _from_closing(book, closing, lacking[0])
        if len(book.figures) == before:
            break
    for train in book.clock.trains:
        for mesh in train.meshes:
            for gear, mate in ((mesh.driver, mesh.driven), (mesh.driven, mesh.driver)):
                if gear.teeth is None:
                    _from_sizes(book, train, mesh, gear, mate)


def teeth_id(place: Place) -> str:
    """The id of the figure that holds a deduced count."""
    aside = (
        "" if place.part in ("teeth", "value") else f".{place.part}{'' if place.at is None else place.at + 1}"
    )
    path = place.node.path if place.node is not None else place.stated
    return f"{path}{aside}.{'pins' if path.endswith('_pins') else 'teeth'}"


def _given(book: Book, place: Place) -> Term:
    """The count as stated, or as deduced already."""
    term = place.term(book)
    return term if term.known or not book.known(teeth_id(place)) else book.use(teeth_id(place))


# -- by a closing ----------------------------------------------------------------
def _from_closing(book: Book, closing: Closing, sought: Factor) -> None:
    id = teeth_id(sought.place)
    if book.has(f"{id}.sought"):
        return
    above: list[str] = []
    below: list[str] = []
    where: dict[str, Term] = {}

    def put(name: str, term: Term, power: int) -> None:
        if term.value == 1 and not term.inputs:
            return  # once an hour, for one blow: it need not stand in a formula
        where[name] = term
        (above if power * sought.power > 0 else below).append(name)

    put("n_e", closing.end, 1)
    put("n_s", closing.start, -1)
    others = [factor for factor in closing.factors if factor is not sought]
    for number, factor in enumerate(others, 1):
        put(f"z_{number}", _given(book, factor.place), -factor.power)
    text = ("*".join(above) or "1") + (
        f"/({'*'.join(below)})" if len(below) > 1 else f"/{below[0]}" if below else ""
    )
    figure = book.derive(
        f"{id}.sought",
        f"{sought.place.what}, from {closing.name}",
        text,
        where,
        symbol="z",
        source=CLOSING,
        method="It is the only count between them that is not known.",
    )
    _whole(book, id, sought.place, figure)


def _whole(book: Book, id: str, place: Place, sought: Figure) -> None:
    """The whole number that fits what was sought, where there is just one."""
    value = sought.exact if sought.exact is not None else sought.value
    if not isinstance(value, (Fraction, float)):
        return
    term = book.use(sought)
    # a half-width where every input is at its limit: what lies beyond cannot be (GUM 4.3.7)
    spread = math.sqrt(3) * sum(abs(part) for part in term.parts.values())
    fits = [
        count
        for count in range(
            max(1, math.ceil(value - spread - 1e-9)), min(MOST_TEETH, math.floor(value + spread + 1e-9)) + 1
        )
        if allowed(place.limits, count)
    ]
    if len(fits) != 1:
        return
    exactly = not spread
    deduced = Term(Fraction(fits[0]), "", f"{place.what}, as deduced", {}, term.inputs)
    book.derive(
        id,
        f"{place.what}, deduced",
        "z",
        {"z": deduced},
        symbol="z",
        source=sought.source,
        method="It follows exactly."
        if exactly
        else "The only whole number within the limits of what is stated.",
        cautions=()
        if exactly
        else ("It stands or falls with those limits: count it if the part is ever found.",),
    )


def allowed(limits: Unknown | None, count: int) -> bool:
    """Whether what is known of a count that is not known lets it be so many."""
    if limits is None:
        return True
    if limits.low is not None and count < limits.low - 1e-9:
        return False
    if limits.high is not None and count > limits.high + 1e-9:
        return False
    if limits.choices and count not in limits.choices:
        return False
    return limits.parity is None or (count % 2 == 1) == (limits.parity == "odd")


# -- by a size -------------------------------------------------------------------
def _from_sizes(book: Book, train: Train, mesh: Mesh, gear: Gear, mate: Gear) -> None:
    """From a diameter, or the centre distance and the mate's count, by the module that is the mate's too."""
    module = _module(book, gear.node, own=True) or _module(book, mate.node, own=False)
    if module is None or not module.known or mesh.form not in ("external", "lantern"):
        return
    place = Place(gear.node, "teeth", f"teeth of {gear.path}")
    id = teeth_id(place)
    beyond = constant(
        BEYOND, "", "outside diameter beyond the count, in modules", BEYOND_U, BEYOND_SOURCE, assumed=True
    )
    for word, text in (("pitch diameter", "D/m"), ("outside diameter", "D/m - b")):
        fact = gear.node.get(word)
        if fact is None or fact.quantity() is None:
            continue
        where = {"D": book.fact(fact, fact.path, f"{word} of {gear.path}", "mm"), "m": module, "b": beyond}
        _by(book, id, place, f"its {word}", text, where)
    distance = centre_distance(train, mesh.driver_arbor, mesh.driven_arbor)
    if distance is not None and distance.quantity() is not None and mate.teeth is not None:
        apart = book.fact(distance, distance.path, "distance between the arbors", "mm")
        count = Place(mate.node, "teeth", f"teeth of {mate.path}").term(book)
        where = {"a": apart, "m": module, "z_1": count}
        _by(book, id, place, "the centre distance", "2*a/m - z_1", where)


def _module(book: Book, node: Node, own: bool) -> Term | None:
    """The module of a gear; of the one whose count is sought not by its pitch diameter, which needs the count."""
    if own and not any(node.get(word) for word in ("module", "diametral pitch", "circular pitch")):
        return None
    return module_term(book, node)


def _by(book: Book, id: str, place: Place, by: str, text: str, where: dict[str, Term]) -> None:
    name = by.removeprefix("its ").removeprefix("the ").replace(" ", "_")
    figure = book.derive(
        f"{id}.by_{name}",
        f"{place.what}, by {by} and the module of the pair",
        text,
        where,
        symbol="z",
        source=SIZE,
        method="Wheels that work together have one module.",
    )
    if not book.has(id):
        _whole(book, id, place, figure)
