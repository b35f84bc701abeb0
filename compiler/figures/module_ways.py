"""The ways to the module of a wheel or pinion that is to be made anew, and how far they agree."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from countwheel.figures.book import Term, waiting
from countwheel.figures.gear_pair import GearPair
from countwheel.figures.record import Figure
from countwheel.figures.replacing import centre_distances
from countwheel.figures.tooth_form import LANTERN
from countwheel.figures.train import module_term
from countwheel.model.node import Node

DEFINITION = "definition of the module"
TOUCHING = f"{DEFINITION}: the pitch circles touch"


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to the module, in mm: `told` says from what it is had."""

    name: str
    told: str
    text: str
    where: Mapping[str, Term]
    source: str = DEFINITION

    @property
    def open(self) -> bool:
        return not any(term.waits for term in self.where.values())


def work_out(pair: GearPair) -> None:
    """Figures `PATH.replacement.module`, and `.module.by_WAY` with its `.difference` for each further way."""
    id = f"{pair.part.path}.replacement.module"
    title = f"module for cutting {pair.part.path} anew"
    ways = sorted(_ways(pair), key=lambda way: not way.open)
    if not ways:
        pair.book.state(id, title, None, [_wanted(pair)], unit="mm", source=DEFINITION)
        return
    first, *rest = ways
    _one(pair, id, title, first)
    for way in rest:
        if not way.open:
            continue
        by = f"{id}.by_{way.name}"
        _one(pair, by, f"{title}, {way.told}", way)
        pair.book.derive(
            f"{by}.difference",
            f"how much the module {way.told} is more than that {first.told}",
            "m_2 - m_1",
            {"m_1": pair.book.use(id, "mm"), "m_2": pair.book.use(by, "mm")},
            unit="mm",
            source="difference of two figures",
            method="The two agree where it is no more than twice its uncertainty.",
        )


def _one(pair: GearPair, id: str, title: str, way: _Way) -> Figure:
    method = f"{way.told[:1].upper()}{way.told[1:]}."
    return pair.book.derive(
        id, title, way.text, way.where, unit="mm", symbol="m", source=way.source, method=method
    )


def _ways(pair: GearPair) -> Iterator[_Way]:
    """In the order in which they are preferred: what is stated, a diameter, the distance of the centres."""
    sides = ((pair.node, "own", "its own"), (pair.mate, "mate", "its mate's"))
    for node, name, whose in sides:
        term = module_term(pair.book, node) if node is not None else None
        if term is not None and term.known:
            yield _Way(f"{name}_pitch", f"from {whose} module or pitch as stated", "m", {"m": term})
    for node, name, whose in sides:
        diameter = pair.diameter(node, "outside diameter") if node is not None else None
        if node is not None and diameter is not None and diameter.known:
            yield from _by_diameter(pair, node, name, whose, diameter)
    fact = next(centre_distances(pair.part), None)
    if fact is not None and fact.quantity() is not None:
        between = f"distance between the arbors of {pair.node.path} and its mate"
        yield _Way(
            "centres",
            "from the distance of the centres and both counts",
            f"2*a/{pair.sum_of_counts()}",
            {"a": pair.book.fact(fact, fact.path, between, "mm"), **pair.counts},
            TOUCHING,
        )


def _by_diameter(pair: GearPair, node: Node, name: str, whose: str, diameter: Term) -> Iterator[_Way]:
    told = f"from {whose} outside diameter and the tooth form"
    z = "z_1" if node is pair.node else "z_2"
    if node is pair.lantern:
        where = {"D": diameter, "d": pair.trundle(), z: pair.counts[z]}
        yield _Way(f"{name}_diameter", told, f"(D - d)/{z}", where, LANTERN)
        return
    shape = pair.proportions(of_mate=node is pair.mate)
    if shape is not None:
        where = {"D": pair.shaped(diameter), **pair.counts, **shape.where}
        yield _Way(f"{name}_diameter", told, f"D/({z} + 2*({shape.addendum}))", where, shape.source)


def _wanted(pair: GearPair) -> Term:
    """What would tell the module with the least trouble: the mate, where none is known, else a distance that was asked
    after, else the mate's size.
    """
    if pair.mate is None:
        return pair.lacking()
    for fact in centre_distances(pair.part):
        return waiting(fact.path, "distance between the centres")
    return waiting(f"{pair.mate.path}.outside_diameter", "outside diameter")
