"""Closings: what must come out between two places of a clock whose rates are both known.

From an arbor that turns once an hour to the pendulum's beat, from a blow of
the hammer to the count wheel, from the centre arbor to a minute hand: the
product of the counts on the way must make the one rate of the other. Lost
counts are deduced from these, and searched for (W. Derham, The Artificial
Clock-maker, 1696, pages 10-14 and 33-39; W. L. Goodrich, The Modern Clock, 1905, pages 258-260).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

from countwheel.figures.book import Book, Term
from countwheel.figures.places import (
    Place,
    beats_each,
    count_pair,
    lifter,
    motion_work_places,
    motion_works,
    one_pair,
)
from countwheel.figures.striking import blows_a_turn, unit_of
from countwheel.figures.terms import constant, fact_input
from countwheel.figures.train import beat_term, stated_rate
from countwheel.model.clock import Clock, Train

Bound = Literal["is", "at least", "at most"]


class Factor(NamedTuple):
    """One count on the way, to the power +1 or -1 (or a plain number of the trade, whose place has no fact)."""

    place: Place
    power: int


class Known(NamedTuple):
    """The rate of a vertex: `of` in words, the rate as a term; all rates of one train are in one unit."""

    of: str
    rate: Term
    bound: Bound = "is"


@dataclass(frozen=True, slots=True)
class Closing:
    """The product of the factors is `end` over `start`, or is not more or not less than it.

    `name` tells both ends in words. `kind`: beats, hand, turns, count wheel, winding, motion work.
    """

    name: str
    kind: str
    factors: tuple[Factor, ...]
    start: Term
    end: Term
    bound: Bound = "is"

    @property
    def unknown(self) -> tuple[Factor, ...]:
        return tuple(factor for factor in self.factors if factor.place.count is None)

    @property
    def middle(self) -> Fraction:
        """What the product must be by what is stated; only where nothing is waited for."""
        assert self.start.value is not None
        assert self.end.value is not None
        return Fraction(self.end.value) / Fraction(self.start.value)

    def _parts(self) -> tuple[float, ...]:
        """The relative contributions to its standard uncertainty, each from an independent input."""
        parts: dict[str, float] = {}
        for term, sign in ((self.end, 1), (self.start, -1)):
            for key, part in term.parts.items():
                parts[key] = parts.get(key, 0.0) + sign * part / float(term.value or 1)
        return tuple(parts.values())

    @property
    def relative_uncertainty(self) -> float:
        return math.hypot(*self._parts())

    def limits(self) -> tuple[Fraction, Fraction | None]:
        """Least and greatest value of the product, by the limits of what is stated; equal where it is exact.

        None stands for no upper bound, 0 for no lower one. A tolerance is taken at its full half-width.
        """
        middle = self.middle
        # √3 times the standard uncertainty is the half-width of a rectangle (GUM 4.3.7)
        spread = Fraction(math.sqrt(3) * sum(abs(part) for part in self._parts())).limit_denominator(10**12)
        low, high = middle * (1 - spread), middle * (1 + spread)
        if self.bound == "at least":
            return low, None
        return (Fraction(0), high) if self.bound == "at most" else (low, high)

    @property
    def known(self) -> bool:
        """Whether both rates are known, and neither is nothing."""
        return bool(self.start.value) and bool(self.end.value)

    @property
    def waits(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys((*self.start.waits, *self.end.waits)))


class _Graph:
    """Vertices whose rates hang together by counts; an edge holds what takes the rate of one to that of the other."""

    def __init__(self) -> None:
        self.edges: dict[str, list[tuple[str, tuple[Factor, ...]]]] = {}
        self.known: dict[str, Known] = {}

    def join(self, one: str, other: str, factors: tuple[Factor, ...]) -> None:
        self.edges.setdefault(one, []).append((other, factors))
        back = tuple(Factor(place, -power) for place, power in factors)
        self.edges.setdefault(other, []).append((one, back))

    def see(self, vertex: str, known: Known) -> None:
        """The rate of a vertex; one that is not exact stands beside it, so that what goes through it stays exact."""
        if known.rate.parts:
            self.join(vertex, f"seen {vertex}", ())
            vertex = f"seen {vertex}"
        self.known[vertex] = known

    def closings(self, kinds: dict[str, str]) -> Iterator[Closing]:
        """One for each two known vertices with none that is known between them, in the order stated."""
        told: list[str] = []
        for start, known in self.known.items():
            told.append(start)
            reached = {start}
            way: list[tuple[str, tuple[Factor, ...]]] = [(start, ())]
            for here, factors in way:
                for other, more in self.edges.get(here, ()):
                    if other in reached:
                        continue
                    reached.add(other)
                    if other not in self.known:
                        way.append((other, factors + more))
                    elif other not in told:
                        end = self.known[other]
                        bound = end.bound if known.bound == "is" else _turned(known.bound)
                        kind = kinds.get(other) or kinds.get(start) or "turns"
                        name = f"{known.of} and {end.of}"
                        yield Closing(name, kind, _cancelled(factors + more), known.rate, end.rate, bound)


def _cancelled(factors: tuple[Factor, ...]) -> tuple[Factor, ...]:
    """The factors without those that are passed there and back."""
    kept: list[Factor] = []
    for factor in factors:
        back = next(
            (one for one in kept if one.place.key == factor.place.key and one.power == -factor.power), None
        )
        if back is not None and not factor.place.fixed:
            kept.remove(back)
        else:
            kept.append(factor)
    return tuple(kept)


def _turned(bound: Bound) -> Bound:
    return {"is": "is", "at least": "at most", "at most": "at least"}[bound]  # type: ignore[return-value]


def closings(book: Book) -> tuple[Closing, ...]:
    """All closings of a clock, in the order of its trains; those whose ends are not known yet wait."""
    found: list[Closing] = []
    for train in book.clock.trains:
        if train.role == "going":
            found += _going(book, train)
        elif train.role in ("strike", "chime"):
            found += _striking(book, train)
    found += _motion_works(book.clock)
    return tuple(closing for closing in found if closing.factors)


def _meshes(graph: _Graph, train: Train) -> None:
    for mesh in train.meshes:
        driver = Place(mesh.driver.node, "teeth", f"teeth of {mesh.driver.path}")
        driven = Place(mesh.driven.node, "teeth", f"teeth of {mesh.driven.path}")
        graph.join(mesh.driver_arbor, mesh.driven_arbor, (Factor(driver, 1), Factor(driven, -1)))


# -- a going train ---------------------------------------------------------------
def _going(book: Book, train: Train) -> list[Closing]:
    graph = _Graph()
    _meshes(graph, train)
    kinds: dict[str, str] = {}
    for arbor in train.arbors:
        rate = stated_rate(book, arbor)
        if rate is not None:
            graph.see(arbor.path, Known(f"the turns of {arbor.path}", rate))
    escape = train.escape_arbor
    each = beats_each(book.clock, escape)
    if escape is not None and escape.escape is not None and isinstance(each, Place):
        node = escape.escape
        of = "teeth" if node.word == "escape wheel" else node.word
        count = Place(node, "teeth", f"{of} of {node.path}")
        graph.join(escape.path, "beats", (Factor(count, 1), Factor(each, 1)))
        graph.known["beats"] = Known("the pendulum's beat", _beats_an_hour(book))
        kinds["beats"] = "beats"
    for dial, way in hands(book.clock):
        start, factors = way
        vertex = f"hand {dial}"
        graph.join(start, vertex, factors)
        said = f"the minute hand of the {dial} dial" if dial else "the minute hand"
        graph.known[vertex] = Known(said, constant(1, "turns/h", "the minute hand turns once an hour"))
        kinds[vertex] = "hand"
    _winding(book, train, graph, kinds, constant(1, "turns/h", "an hour"))
    return list(graph.closings(kinds))


def _beats_an_hour(book: Book) -> Term:
    beat = beat_term(book)
    if beat.value is None and book.known("pendulum.beat.by_length"):
        beat = book.use("pendulum.beat.by_length", "s")
    return over(constant(3600, "", "seconds in an hour"), beat, "beats an hour by the pendulum")


def over(one: Term, other: Term, what: str) -> Term:
    """One term over another, with what is known of both."""
    waits = tuple(dict.fromkeys((*one.waits, *other.waits)))
    inputs = (*one.inputs, *other.inputs)
    if one.value is None or not other.value:
        return Term(None, "", what, {}, inputs, waits)
    value = one.value / other.value
    parts = {key: part / float(other.value) for key, part in one.parts.items()}
    for key, part in other.parts.items():
        parts[key] = parts.get(key, 0.0) - float(value) * part / float(other.value)
    return Term(value, "", what, parts, inputs, waits)


def hands(clock: Clock) -> Iterator[tuple[str, tuple[str, tuple[Factor, ...]]]]:
    """Each dial with a minute hand: its name, the arbor that its way begins at, and the counts on the way."""
    from countwheel.figures.dials import arbor_of

    for dial in clock.dials:
        if dial.node.says("one hand only") or dial.node.denies("minute hand"):
            continue
        direct = dial.node.text("driven by") if dial.node.get("driven by") else None
        way = dial.leading_off
        path = direct.lower() if direct else way.from_path if way else None
        start = arbor_of(clock, path) if path else None
        if start is None:
            continue
        factors: list[Factor] = []
        for step in () if direct or way is None else way.steps:
            if step.kind not in ("bevel", "central bevel", "gear"):
                continue
            several = step.node.counts(part="driven")
            at = way.dials.index(dial.name) if way is not None else 0
            driven = Place(
                step.node, "driven", f"teeth of the driven {step.node.word}", at if several else None
            )
            factors.append(Factor(Place(step.node, "driver", f"teeth of the driving {step.node.word}"), 1))
            factors.append(Factor(driven, -1))
        yield dial.node.label or dial.name, (start, tuple(factors))


def _winding(book: Book, train: Train, graph: _Graph, kinds: dict[str, str], per_hour: Term) -> None:
    """How long it was seen to go on a winding, or is relied on to: the turns of the barrel in that time.

    `per_hour` takes turns an hour to the unit of the train's rates.
    """
    arbor = train.barrel_arbor
    turns = _turns(book, train)
    expected = next(
        (
            one
            for one in book.clock.expectations
            if f"{train.name}.duration" in one.figures and one.comparison != "at most"
        ),
        None,
    )
    if arbor is None or not turns.known or expected is None or not isinstance(expected.target, float):
        return
    spread = expected.slack / 3600 / math.sqrt(3)
    hours = Term(
        expected.target / 3600,
        "h",
        "time on a winding",
        {expected.written: spread} if spread else {},
        (fact_input(expected.node.path, expected.written, expected.node.evidence),),
    )
    rate = over(turns, hours, f"turns an hour of {arbor.path}, by how long it goes")
    # To last longer than that the barrel must turn more slowly.
    bound: Bound = "is" if expected.comparison == "is" else "at most"
    graph.join(arbor.path, "winding", ())
    graph.known["winding"] = Known("the time on a winding", over(rate, per_hour, rate.what), bound)
    kinds["winding"] = "winding"


def _turns(book: Book, train: Train) -> Term:
    """Turns of the barrel on one winding; those of the line where the fall is not known, which may be the less."""
    both = f"{train.name}.barrel.turns_per_winding"
    if book.known(both):
        return book.use(both)
    node = train.barrel.get("turns of line") if train.barrel is not None else None
    return book.fact(node, f"{train.name}.barrel.turns_of_line", "turns that the line can make", "turns")


# -- a striking train ------------------------------------------------------------
def _striking(book: Book, train: Train) -> list[Closing]:
    unit = unit_of(train)
    graph = _Graph()
    _meshes(graph, train)
    kinds: dict[str, str] = {}
    found = lifter(train)
    if found is not None:
        arbor, factors = found
        graph.join("blow", arbor.path, tuple(Factor(place, power) for place, power in factors))
    graph.known["blow"] = Known(f"one {unit}", constant(1, "", f"one {unit}"))
    wheel = train.fact("count wheel")
    pair = count_pair(train, wheel) if wheel is not None else None
    needed = blows_a_turn(train, wheel) if wheel is not None else None
    if pair is not None and needed is not None:
        carrier, counts = pair
        graph.join(carrier.path, "count wheel", tuple(Factor(place, power) for place, power in counts))
        turns = constant(1 / needed, "", f"turns of the count wheel for one {unit}")
        graph.known["count wheel"] = Known("the count wheel", turns)
        kinds["count wheel"] = "count wheel"
    interval = train.node.get("blow interval")
    for arbor in train.arbors:
        node = arbor.node.get("rate")
        if node is not None and node.quantity(part="time") and interval is not None:
            seconds = book.fact(interval, interval.path, "time from one blow to the next", "s")
            period = book.fact(node, node.path, f"time of one turn of {arbor.path}", "s", part="time")
            turned = over(seconds, period, f"turns of {arbor.path} for one {unit}")
            graph.see(arbor.path, Known(f"the turns of {arbor.path}", turned))
    per_hour = book.use(f"{train.name}.{unit}s_per_12h")
    if per_hour.known:
        _winding(book, train, graph, kinds, over(per_hour, constant(12, "", "hours"), f"{unit}s in an hour"))
    return list(graph.closings(kinds))


def locked(train: Train) -> Iterator[tuple[str, tuple[Factor, ...], int | None]]:
    """Each arbor that locks: its path, the counts from one blow to its turns, and its gaps where they are stated.

    Its turns for one blow, times its gaps (of which it may have two), must be whole, or it would lock somewhere
    else every time.
    """
    found = lifter(train)
    if found is None:
        return
    graph = _Graph()
    _meshes(graph, train)
    start, factors = found
    reached = {start.path: tuple(Factor(place, power) for place, power in factors)}
    way = [start.path]
    for here in way:
        for other, more in graph.edges.get(here, ()):
            if other not in reached:
                reached[other] = reached[here] + more
                way.append(other)
    for arbor in train.arbors:
        gaps = arbor.node.count("locks")
        if (arbor.name == "locking" or gaps) and arbor.path in reached:
            yield arbor.path, reached[arbor.path], gaps


# -- motion work -----------------------------------------------------------------
def _motion_works(clock: Clock) -> Iterator[Closing]:
    for path, node, hours in motion_works(clock):
        places = motion_work_places(node, path)
        used = ("cannon pinion", "hour wheel") if one_pair(node) else tuple(places)
        factors = tuple(Factor(places[word], 1 if word.endswith("wheel") else -1) for word in used)
        turns = constant(hours, "", f"the hour hand goes round once in {hours} turns of the minute hand")
        yield Closing("the minute hand and the hour hand", "motion work", factors, constant(1, "", ""), turns)
