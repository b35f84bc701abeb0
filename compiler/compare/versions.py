"""Two versions of a description side by side: their facts, their figures, and what is expected of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from countwheel.compare.facts import Change, changes, new_names
from countwheel.diagnostics.record import Diagnostic
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock

# A change is beyond the uncertainty where it is more than this many standard uncertainties of the difference.
BEYOND = 2.0


@dataclass(frozen=True, slots=True)
class Shift:
    """One figure before and after, as printed; `difference` in its unit where both are numbers of one unit.

    `beyond`: the difference is more than both uncertainties together let through (k = 2); always where it is exact, or
    where a word changed, or where one of the two waits.
    """

    id: str
    title: str
    before: str
    after: str
    unit: str
    difference: float | None
    beyond: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed. `missed` are expectations that held before, or were not there, and do not hold now; `kept`
    those that did not hold before and do now, each as written.
    """

    facts: tuple[Change, ...]
    figures: tuple[Shift, ...]
    missed: tuple[str, ...]
    kept: tuple[str, ...]

    @property
    def same(self) -> bool:
        return not (self.facts or self.figures or self.missed or self.kept)


@dataclass(frozen=True, slots=True)
class Version:
    """One of the two: its clock, its figures, what is amiss with it."""

    clock: Clock
    figures: Mapping[str, Figure]
    diagnostics: tuple[Diagnostic, ...]


def compare(before: Version, after: Version) -> Comparison:
    """What changed from the one to the other."""
    was, now = _missed(before), _missed(after)
    expected = {one.written for one in after.clock.expectations}
    return Comparison(
        changes(before.clock.root, after.clock.root),
        tuple(_shifts(_as_named(before, after), after.figures)),
        tuple(written for written in now if written not in was),
        tuple(written for written in was if written not in now and written in expected),
    )


def _as_named(before: Version, after: Version) -> dict[str, Figure]:
    """The figures of the earlier version by the ids that they have since parts bear other names."""
    names = dict(new_names(before.clock.root, after.clock.root))
    return {_new_id(id, names): figure for id, figure in before.figures.items()}


def _new_id(id: str, names: Mapping[str, str]) -> str:
    for old, new in names.items():
        if id == old or id.startswith(f"{old}."):
            return new + id[len(old) :]
        # a mesh is called by both its arbors: `going.centre_third.ratio`
        train, _, name = old.rpartition(".")
        first, _, rest = id.removeprefix(f"{train}.").partition(".")
        if train and rest and id.startswith(f"{train}.") and name in first.split("_"):
            last = new.rpartition(".")[2]
            return f"{train}.{'_'.join(last if one == name else one for one in first.split('_'))}.{rest}"
    return id


def _missed(version: Version) -> list[str]:
    """The expectations that do not hold, as written."""
    spans = {one.span for one in version.diagnostics if one.code == "M601"}
    return [one.written for one in version.clock.expectations if one.node.span in spans]


def _shifts(before: Mapping[str, Figure], after: Mapping[str, Figure]) -> list[Shift]:
    found: list[Shift] = []
    for id in dict.fromkeys((*before, *after)):
        shift = _shift(before.get(id), after.get(id))
        if shift is not None:
            found.append(shift)
    return found


def _shift(one: Figure | None, two: Figure | None) -> Shift | None:
    """None where nothing that is printed changed."""
    figure = two or one
    assert figure is not None
    was, now = (_printed(side) for side in (one, two))
    if was == now:
        return None
    difference, beyond = None, True
    if one is not None and two is not None and one.unit == two.unit:
        values = [side.value for side in (one, two)]
        if all(isinstance(value, float) for value in values):
            difference = float(values[1]) - float(values[0])  # type: ignore[arg-type]
            u = math.hypot(one.uncertainty or 0.0, two.uncertainty or 0.0)
            beyond = abs(difference) > BEYOND * u
            if not difference and one.uncertainty == two.uncertainty:
                return None
    return Shift(figure.id, figure.title, was, now, figure.unit, difference, beyond)


def _printed(figure: Figure | None) -> str:
    """As printed, without its unit; what it waits for; '' where there is no such figure."""
    if figure is None:
        return ""
    if figure.value is None:
        return "waits for " + ", ".join(figure.waits_for) if figure.waits_for else "cannot be worked out"
    from countwheel.figures.rounding import uncertainty_text

    spread = f" ± {uncertainty_text(figure.uncertainty)}" if figure.uncertainty else ""
    return f"{figure.shown or figure.value}{spread}"
