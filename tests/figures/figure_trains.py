"""Trains with power for the tests: one barrel, its turns an hour given outright."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from countwheel.figures import gravity, line, power, winding, work
from countwheel.figures.book import Book, constant
from countwheel.model.clock import Role
from figure_clocks import build, train

GRAVITY = "9.81"


def run(
    barrel: dict[str, Any],
    turns_per_hour: Fraction | None = None,
    own: dict[str, Any] | None = None,
    role: Role = "going",
    clock: dict[str, Any] | None = None,
) -> Book:
    """A book with every power figure of one train called by its role."""
    from figure_clocks import q

    facts = {"clock": {"place": {"gravity": q(f"{GRAVITY} m/s²")}, **(clock or {})}}
    book = Book(build(facts, train(role, role, barrel, own)))
    gravity.work_out(book)
    if turns_per_hour is not None:
        given = constant(turns_per_hour, "turns/h", "turns of the barrel")
        book.derive(f"{role}.barrel.turns_per_hour", "turns", "n", {"n": given}, unit="turns/h")
    for mechanism in (power, line, work, winding):
        mechanism.work_out(book)
    return book


def value(book: Book, id: str) -> float:
    figure = book.get(id)
    assert figure is not None, id
    assert isinstance(figure.value, float), figure
    return figure.value
