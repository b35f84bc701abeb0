"""The figures: from a model to results with their working, uncertainty and source.

Holds one file a mechanism, each with a `work_out(book)`, and the engine they
stand on (formula, terms, book, rounding). May import the model, diagnostics'
record and grammar; must not import syntax, resolve, emit, nor anything heavy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from countwheel.figures.book import Book
    from countwheel.model.clock import Clock


def work_out(clock: Clock, working: bool = True) -> Book:
    """All figures of a clock, in the order in which they rest on one another.

    `working` False leaves out what only a reader of the sheets needs.
    """
    from countwheel.figures import (
        arc,
        budget,
        chimes,
        compensation,
        dials,
        escapement,
        fly,
        gravity,
        hands,
        impulse,
        joints,
        line,
        margin,
        motion,
        pendulum,
        play,
        power,
        proportions,
        rating,
        remontoire,
        setting,
        strike_work,
        striking,
        torque,
        train,
        winding,
        work,
    )
    from countwheel.figures.book import Book

    book = Book(clock, working)
    order = (
        gravity, train, striking, motion, dials, power, line, work, remontoire, torque, winding, pendulum,
        rating, compensation, escapement, impulse, arc, margin, budget,
        joints, play, hands, proportions, setting, strike_work, fly, chimes,
    )  # fmt: skip
    for mechanism in order:
        mechanism.work_out(book)
    return book
