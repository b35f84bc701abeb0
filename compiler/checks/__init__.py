"""What does not hold together: facts that contradict one another through the figures, and missed expectations.

Each check is a function from clock and figures to diagnostics, listed in one
tuple. May import the model, figures and diagnostics; must not import syntax or emit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from countwheel.diagnostics.record import Diagnostic
    from countwheel.figures.book import Book
    from countwheel.model.clock import Clock


# Disagreements that can be told in numbers; those of directions name their facts themselves.
AT_ODDS = frozenset(
    {"M501", "M502", "M503", "M505", "M506", "M507", "M508", "M509", "M510", "M512", "M513", "M515", "M601"}
)


def check(clock: Clock, book: Book, earlier: Sequence[Diagnostic]) -> list[Diagnostic]:
    """Runs every check. `earlier` are the faults found before: what only follows from one of them is not said again."""
    from countwheel.checks import (
        dials,
        directions,
        expectations,
        log,
        pendulum,
        power,
        recorded,
        trains,
        waiting,
    )

    figures = {figure.id: figure for figure in book.figures}

    # What the wheels of a train with a faulty line do, and what is expected of it, cannot be judged yet.
    sound = clock.model_copy(update={"trains": tuple(t for t in clock.trains if clock.is_sound(t.name))})
    found: list[Diagnostic] = []
    for group in (trains, pendulum, power, dials, directions, recorded, log):
        for one in group.CHECKS:
            found += one(sound, figures)
    faulty = any(diagnostic.severity == "error" for diagnostic in (*earlier, *found))
    found += expectations.expectations(sound, figures, faulty, {one.code for one in found})
    if {one.code for one in found} & AT_ODDS:
        from countwheel.checks.reconcile import reconcile

        found += reconcile(sound, book)
    if faulty:
        return found
    return found + list(waiting.waiting(clock, figures))
