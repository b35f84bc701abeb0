"""What the keeper expects, held against the figures."""

from __future__ import annotations

import re
from collections.abc import Iterator, Set

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.figures.record import Figure
from countwheel.figures.units import UNITS
from countwheel.model.clock import Clock, Expectation
from countwheel.units import preferred_forms

Figures = dict[str, Figure]
# Exact figures agree or do not; this only takes up the last bit of a division.
_EXACT = 1e-9


# A figure that a check has told of as wrong misses what is expected of it, and that need not be told again.
_TOLD_BY = {
    "sense_from_outside": "M504",
    "ratio": "M502",
    "turns_per_blow": "M506",
    "turns_per_change": "M506",
}


def expectations(clock: Clock, figures: Figures, faulty: bool, told: Set[str]) -> Iterator[Diagnostic]:
    """M601 missed, M602 not to be judged yet, M603 about a figure that there is not.

    Where the description is `faulty` (has errors), what cannot be judged yet is not mentioned. `told` are
    the codes of what the checks found.
    """
    for expectation in clock.expectations:
        if any(not clock.is_sound(id.split(".")[0]) for id in expectation.figures):
            continue
        named = [figures[id] for id in expectation.figures if id in figures]
        if not named:
            if any(re.fullmatch(_MADE_LATER, id) for id in expectation.figures):
                if not faulty:
                    yield _not_yet(expectation, expectation.figures[0], ())
            else:
                yield _no_figure(expectation, figures)
            continue
        known = [figure for figure in named if figure.value is not None]
        missed = next((figure for figure in known if not _holds(expectation, figure)), None)
        if missed is not None:
            if _TOLD_BY.get(missed.id.rsplit(".", 1)[-1]) not in told:
                yield _missed(expectation, missed)
        elif len(known) < len(named) and (not known or expectation.unit == "word"):
            if faulty:
                continue
            waiting = next(figure for figure in named if figure.value is None)
            yield _not_yet(expectation, waiting.id, waiting.waits_for)


# Figures that every clock has once the facts for them are there.
_MADE_LATER = (
    r"\w+\.(duration|blows_per_day|blows_per_12h|train\.beats_per_hour)"
    r"|pendulum\.beats_per_hour|motion_work\.ratio"
)


def _not_yet(expectation: Expectation, id: str, waits: tuple[str, ...]) -> Diagnostic:
    wants = ", ".join(waits[:4]) or "facts that are not stated"
    return say(
        "M602",
        expectation.node.span,
        f"This cannot be judged yet: `{id}` waits for {wants}.",
        label="not yet",
        hints=(f"state {waits[0]}" if waits else "state what it rests on",),
    )


def _no_figure(expectation: Expectation, figures: Figures) -> Diagnostic:
    near = nearest(expectation.figures[0], list(figures)) if expectation.figures else ()
    return say(
        "M603",
        expectation.node.span,
        f"There is no figure `{expectation.figures[0] if expectation.figures else expectation.written}` of this clock.",
        label="no such figure",
        hints=(f"write {near[0]}",) if near else ("`countwheel figures` lists them",),
    )


def _si(figure: Figure) -> tuple[float, float] | None:
    """Value and standard uncertainty of a figure in SI; a plain number as it is."""
    if not isinstance(figure.value, (int, float)) or isinstance(figure.value, bool):
        return None
    factor = float(UNITS[figure.unit].factor) if figure.unit in UNITS else 1.0
    return float(figure.value) * factor, (figure.uncertainty or 0.0) * factor


def _holds(expectation: Expectation, figure: Figure) -> bool:
    if isinstance(expectation.target, str):
        return figure.value == expectation.target
    if expectation.unit == "plain":
        if not isinstance(figure.value, (int, float)):
            return False
        value, u = float(figure.value), figure.uncertainty or 0.0
    else:
        measured = _si(figure)
        if measured is None or not _same_kind(expectation.unit, figure.unit):
            return False
        value, u = measured
    # "Beyond its uncertainty": two standard uncertainties, about 95 in 100.
    slack = 2 * u + expectation.slack + _EXACT * abs(value)
    if expectation.comparison == "at least":
        return value + slack >= expectation.target
    if expectation.comparison == "at most":
        return value - slack <= expectation.target
    return abs(value - expectation.target) <= slack


def _same_kind(dimension: str, unit: str) -> bool:
    found = UNITS[unit].dimension if unit in UNITS else ""
    return found == dimension or {found, dimension} <= {"turns", "frequency"}


def _least_sure(figure: Figure) -> Iterator[str]:
    """Which facts to look at first, and how they are known."""
    if not figure.weakest:
        return
    known = "not stated how known" if figure.standing == "unstated" else figure.standing
    yield f"the least sure of them, {known}: {', '.join(figure.weakest[:3])}"


def _missed(expectation: Expectation, figure: Figure) -> Diagnostic:
    unit = f" {figure.unit}" if figure.unit else ""
    shown = figure.shown if figure.shown else str(figure.value)
    dimension = UNITS[figure.unit].dimension if figure.unit in UNITS else ""
    wrong_kind = (
        not isinstance(expectation.target, str)
        and expectation.unit not in ("plain", "word")
        and not _same_kind(expectation.unit, figure.unit)
    )
    hint = (
        f"`{figure.id}` is a {dimension}: write it in {', '.join(preferred_forms(dimension)[:3]) or figure.unit}"
        if wrong_kind
        else f"`countwheel figures --only {figure.id} --working` shows how it comes about"
    )
    return say(
        "M601",
        expectation.node.span,
        f"This does not hold: `{figure.id}` is {shown}{unit}.",
        label="expected, but not so",
        hints=(
            hint,
            "if the keeper's observation is right, one of the facts behind the figure is not",
            *_least_sure(figure),
        ),
    )
