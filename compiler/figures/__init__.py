"""The figures: from a model to results with their working, uncertainty and source.

Holds one file a mechanism, each with a `work_out(book)`, and the engine they
stand on (formula, terms, book, rounding). May import the model and grammar;
must not import syntax, resolve, emit, nor anything heavy.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from countwheel.figures.book import Book
    from countwheel.model.clock import Clock

# In the order in which they rest on one another. The first are what the checks look at: how the clock
# turns, runs, strikes and beats. The rest are for who reads the sheets.
FIRST = (
    "gravity", "train", "senses", "striking", "motion", "dials", "power", "line", "work", "winding", "pendulum",
)  # fmt: skip
REST = (
    "remontoire", "torque", "rating", "compensation", "escapement", "impulse", "arc", "margin", "budget",
    "joints", "play", "hands", "proportions", "setting", "strike_work", "fly", "chimes",
)  # fmt: skip


def work_out(clock: Clock, working: bool = True) -> Book:
    """All figures of a clock.

    `working` False works out only the first of them, without what only a
    reader of the sheets needs; `complete` adds the rest.
    """
    from countwheel.figures.book import Book

    book = Book(clock, working)
    _run(book, FIRST)
    book.first = frozenset(figure.id for figure in book.figures)
    if working:
        complete(book)
    return book


def complete(book: Book) -> None:
    """The rest of the figures, where only the first were worked out."""
    _run(book, REST)


def _run(book: Book, mechanisms: tuple[str, ...]) -> None:
    for name in mechanisms:
        import_module(f"countwheel.figures.{name}").work_out(book)
