"""The figures: from a model to results with their working, uncertainty and source.

Holds one file a mechanism, each with a `work_out(book)`, and the engine they
stand on (formula, terms, book, rounding). May import the model and grammar;
must not import syntax, resolve, emit, nor anything heavy.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from countwheel.figures.book import Book
    from countwheel.model.clock import Clock

# In the order in which they rest on one another.
MECHANISMS = (
    "gravity", "deduced", "train", "senses", "striking", "motion", "dials", "power", "line", "work", "winding",
    "pendulum", "remontoire", "torque", "rating", "compensation", "escapement", "impulse", "arc", "margin", "budget",
    "joints", "play", "hands", "proportions", "setting", "strike_work", "fly", "chimes", "cutting",
)  # fmt: skip


def work_out(clock: Clock, working: bool = True) -> Book:
    """All figures of a clock; `working` False leaves out what only a reader of the sheets needs."""
    from countwheel.figures.book import Book

    book = Book(clock, working)
    for one in _workings():
        one(book)
    return book


@cache
def _workings() -> tuple[Callable[[Book], None], ...]:
    """What works out the figures of each mechanism; looked up once, since a register has thousands of clocks."""
    return tuple(import_module(f"countwheel.figures.{name}").work_out for name in MECHANISMS)
