"""The way to the dials piece by piece: what each is called in ids, and how often its shaft turns."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from countwheel.figures.book import Book, Term, waiting
from countwheel.figures.dials import arbor_path, driven_teeth, step_name
from countwheel.figures.train import rate_id
from countwheel.model.clock import Dial, LeadingOff, LeadStep

TOOTHED = ("bevel", "central bevel", "gear")


class Piece(NamedTuple):
    """One step of the way. `id` is its path, numbered where several share it; `rate` the turns of the shaft
    that leaves it, in turns/h; `driven` the teeth of its driven wheel (None for shafts and joints).
    """

    step: LeadStep
    id: str
    rate: Term
    driven: Term | None


def ids(ways: tuple[LeadingOff, ...]) -> dict[int, str]:
    """An id for each way and each of its steps, by the identity of its node.

    Two unnamed joints share one path; the second of them is told by a number.
    """
    found: dict[int, str] = {}
    seen: dict[str, int] = {}
    for way in ways:
        for index, node in enumerate((way.node, *(step.node for step in way.steps))):
            kind = "way" if index == 0 else ""
            seen[kind + node.path] = seen.get(kind + node.path, 0) + 1
            number = seen[kind + node.path]
            found[id(node)] = node.path if number == 1 else f"{node.path}_{number}"
    return found


def start(book: Book, path: str | None, otherwise: str) -> Term:
    """Turns an hour of the arbor that a way begins at (`going.centre`, a wheel of it, or its bare name)."""
    if path is None:
        return waiting(otherwise, "the arbor that turns the hands", "turns/h")
    arbor = arbor_path(book, path)
    if not book.has(rate_id(arbor)):
        return waiting(arbor, f"the turns of {path}", "turns/h")
    return book.use(rate_id(arbor), "turns/h")


def pieces(book: Book, way: LeadingOff, dial: Dial) -> tuple[Piece, ...]:
    """The steps of the way to one dial, with the turns that dials.py found for it (so after dials.py)."""
    rate = start(book, way.from_path, f"{way.node.path}.from")
    named = ids(book.clock.leading_off)
    found = []
    for step in way.steps:
        driven = None
        if step.kind in TOOTHED:
            figure = f"{dial.path}.{step_name(way, step)}_turns_per_hour"
            rate = book.use(figure, "turns/h")
            driven = driven_teeth(book, step.node, way, dial)
        found.append(Piece(step, named[id(step.node)], rate, driven))
    return tuple(found)


def dials_of(book: Book, way: LeadingOff) -> tuple[Dial, ...]:
    """The dials that a way leads to, in the description's order."""
    return tuple(dial for dial in book.clock.dials if dial.leading_off and dial.leading_off.node is way.node)


def source_arbor(book: Book, dial: Dial) -> str | None:
    """Path of the arbor from which a dial's hands are taken, through a leading off or straight."""
    direct = dial.node.text("driven by") if dial.node.get("driven by") else None
    path = direct.lower() if direct else (dial.leading_off.from_path if dial.leading_off else None)
    return arbor_path(book, path) if path else None


def even(rate: Term) -> bool:
    """Whether a shaft turns once an hour, so that its turns need not stand in a formula."""
    return rate.value == Fraction(1) and not rate.parts
