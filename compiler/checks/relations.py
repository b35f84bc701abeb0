"""What must agree in a clock: two values that come from different facts, and how far apart they may be.

The checks of trains, pendulum, power and dials tell each disagreement where it is seen. Here all of them stand in one
form, with those that do agree, so that it can be asked which one fact would put most of them right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from countwheel.figures.book import Book
from countwheel.figures.places import centre_distance, motion_works
from countwheel.figures.striking import blows_a_turn, unit_of
from countwheel.figures.terms import Term, constant
from countwheel.figures.units import UNITS
from countwheel.model.clock import Clock, Train

Comparison = Literal["is", "at least", "at most", "whole"]


@dataclass(frozen=True, slots=True)
class Relation:
    """`left` must be, or be at least or at most, `right`; or be a whole number of `right`.

    `slack` is how far apart they may be, in the unit of `left`. `code` is that of the diagnostic which tells of it.
    """

    code: str
    says: str
    left: Term
    right: Term
    comparison: Comparison = "is"
    slack: float = 0.0

    def holds(self, left: float, right: float) -> bool:
        if self.comparison == "at least":
            return left >= right - self.slack
        if self.comparison == "at most":
            return left <= right + self.slack
        if self.comparison == "whole":
            return abs(left / right - round(left / right)) < 1e-9 and round(left / right) > 0
        return abs(left - right) <= self.slack


def relations(clock: Clock, book: Book) -> tuple[Relation, ...]:
    """Every relation of a clock both of whose sides are known."""
    found = [*_trains(clock, book), *_motion(clock, book), *_dials(clock, book), *_power(clock, book)]
    found += [*_pendulum(clock, book), *_expected(clock, book)]
    return tuple(one for one in found if one.left.known and one.right.known)


def _exact(number: float, unit: str, what: str) -> Term:
    return constant(number, unit, what)


def _spread(*terms: Term) -> float:
    """Three standard uncertainties of a difference; a little more than nothing where both are exact."""
    return 3 * math.hypot(*(term.uncertainty for term in terms)) + 1e-9 * abs(float(terms[0].value or 1))


def _trains(clock: Clock, book: Book) -> Iterator[Relation]:
    for train in clock.trains:
        name = train.name
        error = book.use(f"{name}.train.error_per_day")
        # a beat is written short: what its last figure hides is no contradiction (5 s a day, as for M501)
        yield Relation(
            "M501",
            f"the counts of {name} and the beat",
            error,
            _exact(0, "s/day", "no error"),
            slack=max(5.0, _spread(error)),
        )
        yield from _striking(train, book)
        for mesh in train.meshes:
            by_counts = book.use(f"{mesh.path}.centre_distance")
            node = centre_distance(train, mesh.driver_arbor, mesh.driven_arbor)
            if node is not None and by_counts.known:
                apart = book.fact(node, node.path, "distance between the arbors", "mm")
                slack = max(_spread(by_counts, apart), 0.01 * float(by_counts.value or 0))
                says = f"module and counts of {mesh.driver.path} and {mesh.driven.path}, and the distance of the arbors"
                yield Relation("M515", says, by_counts, apart, slack=slack)
            modules = [
                book.fact(gear.node.get("module"), f"{gear.path}.module", f"module of {gear.path}", "mm")
                for gear in (mesh.driver, mesh.driven)
            ]
            if all(module.known for module in modules):
                slack = max(_spread(*modules), 0.02 * float(modules[0].value or 0))
                says = f"the modules of {mesh.driver.path} and {mesh.driven.path}"
                yield Relation("M515", says, modules[0], modules[1], slack=slack)


def _striking(train: Train, book: Book) -> Iterator[Relation]:
    if train.role not in ("strike", "chime"):
        return
    unit = unit_of(train)
    for arbor in train.arbors:
        gaps = arbor.node.count("locks")
        if arbor.name == "locking" or gaps:
            turns = book.use(f"{arbor.path}.turns_per_{unit}")
            once = _exact(1 / (gaps or 2), turns.unit, "one gap")
            yield Relation("M506", f"the locking of {arbor.path}", turns, once, "whole")
    wheel = train.fact("count wheel")
    needed = blows_a_turn(train, wheel) if wheel is not None else None
    if needed is not None:
        passed = book.use(f"{train.name}.count_wheel.{unit}s_per_turn")
        says = f"the count wheel of {train.name} and what it is cut for"
        yield Relation("M507", says, passed, _exact(float(needed), "", "as it is cut"), slack=1e-9)


def _motion(clock: Clock, book: Book) -> Iterator[Relation]:
    for path, _, hours in motion_works(clock):
        turns = book.use(f"{path}.ratio")
        yield Relation("M502", f"the counts of {path}", turns, _exact(hours, "", "hours"), slack=1e-9)
        one, two = (book.use(f"{path}.{pair}_centre_distance") for pair in ("first", "second"))
        if one.known and two.known:
            slack = max(_spread(one, two), 0.01 * float(one.value or 0))
            yield Relation("M503", f"the centres of {path}", one, two, slack=slack)


def _dials(clock: Clock, book: Book) -> Iterator[Relation]:
    for dial in clock.dials:
        if not dial.node.says("one hand only"):
            turns = book.use(f"{dial.path}.minute_hand.turns_per_hour")
            yield Relation(
                "M505", f"the minute hand of {dial.path}", turns, _exact(1, turns.unit, "an hour"), slack=1e-9
            )


def _power(clock: Clock, book: Book) -> Iterator[Relation]:
    from countwheel.checks.power import interval

    days = interval(clock)
    for train in clock.trains:
        barrel, name = train.barrel, train.name
        if barrel is None:
            continue
        runs = book.use(f"{name}.duration")
        if days is not None and not train.fact("automatic winding") and runs.known:
            hours = _exact(24 * days if runs.unit == "h" else days, runs.unit, "time between windings")
            says = f"how long {name} goes and when it is wound"
            yield Relation("M513", says, runs, hours, "at least", 2 * runs.uncertainty)
        room = clock.place.get("room") if clock.place else None
        fall = book.fact(barrel.get("fall"), f"{barrel.path}.fall", "fall", "m")
        there = book.fact(room, "clock.place.room", "room", "m")
        yield Relation(
            "M509", f"the fall of {name} and the room", fall, there, "at most", _spread(fall, there)
        )
        if (barrel.count("layers") or 1) == 1:
            needed = book.use(f"{name}.barrel.length_needed")
            length = book.fact(
                barrel.get("length"), f"{barrel.path}.length", "length of the barrel", needed.unit
            )
            says = f"the line of {name} and the length of its barrel"
            yield Relation("M508", says, needed, length, "at most", _spread(needed, length))


def _pendulum(clock: Clock, book: Book) -> Iterator[Relation]:
    if clock.pendulum is None:
        return
    stated = book.fact(clock.pendulum.get("length"), "pendulum.length", "stated length", "m")
    theory = book.use("pendulum.theoretical_length", "m")
    if stated.known and theory.known and not book.known("pendulum.beat.by_length"):
        slack = 0.15 * float(theory.value or 0) + _spread(stated)
        yield Relation("M512", "the pendulum's length and its beat", stated, theory, slack=slack)
    ratio = book.use("pendulum.bob.mass_ratio")
    if ratio.known:
        says = "the mass of the bob, its size and its metal"
        yield Relation("M510", says, ratio, _exact(0.875, "", "whole to hollow"), slack=0.375)


def _expected(clock: Clock, book: Book) -> Iterator[Relation]:
    for one in clock.expectations:
        for id in one.figures:
            term = book.use(id)
            if isinstance(one.target, str) or not term.known or term.unit not in UNITS:
                continue
            factor = 1.0 if one.unit == "plain" else float(UNITS[term.unit].factor)
            target = _exact(one.target / factor, term.unit, one.written)
            slack = 2 * term.uncertainty + one.slack / factor + 1e-9 * abs(float(term.value or 0))
            yield Relation("M601", f"`expect {one.written}`", term, target, one.comparison, slack)
