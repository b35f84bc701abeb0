"""All that the record of a clock's timekeeping tells, put together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from countwheel.figures.compensation import WOOD
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.record.advice import Advice, Means, advise
from countwheel.record.allan import Deviation, deviations, grid, on_grid
from countwheel.record.cleaning import Cleaned, cleaned
from countwheel.record.coefficients import Coefficient, coefficients, runs_of
from countwheel.record.comparing import Compared, compared
from countwheel.record.entries import Entry, entries
from countwheel.record.faults import Fault, faults
from countwheel.record.fitting import coverage
from countwheel.record.stretches import Stretch
from countwheel.record.wander import Rates, fit

WEEKS = 4


@dataclass(frozen=True, slots=True)
class StretchRate:
    """A stretch's rate in s/day, gaining is positive, with its half-width at 95 %; `readings` in it."""

    first: str
    last: str
    why: str
    days: float
    readings: int
    rate: float
    error: float
    half: float


@dataclass(frozen=True, slots=True)
class Report:
    """See the fields' own types. `wander` in s²/day and `scale` are those of wander.Rates; `step` in days.

    `wooden`: the rod is of wood, which damp moves too.
    """

    entries: tuple[Entry, ...]
    cleaned: Cleaned
    rates: tuple[StretchRate, ...]
    wander: float
    scale: float
    coefficients: tuple[Coefficient, ...]
    step: float | None
    stability: tuple[Deviation, ...]
    compared: tuple[Compared, ...]
    faults: tuple[Fault, ...]
    advice: Advice
    wooden: bool = False


def report(
    clock: Clock, figures: Mapping[str, Figure], weeks: int = WEEKS, read: tuple[Entry, ...] | None = None
) -> Report:
    """What the log of a clock tells; where it has no readings, all of it is empty and the advice is to wait.

    `read` are the entries, in the order of time, where they are not those of the clock's own log.
    """
    read = entries(clock) if read is None else read
    clean = cleaned(read)
    told = coefficients(clean.stretches)
    warmth = next((one for one in told if one.of == "temperature" and one.told), None)
    spells = fit(runs_of(clean.stretches, ()))
    at_one_warmth = fit(runs_of(clean.stretches, ("temperature",))) if warmth is not None else spells
    step = grid([entry.at for entry in read if entry.found is not None])
    return Report(
        read,
        clean,
        _rates(clean),
        clean.rates.wander if clean.rates is not None else 0.0,
        clean.rates.scale if clean.rates is not None else 1.0,
        told,
        step,
        deviations(_runs(clean.stretches, step), step) if step else (),
        compared(told, clean.stretches, at_one_warmth, read, figures),
        faults(read, clean.stretches, clean.odd, warmth is not None),
        _advice(clock, figures, read, clean.stretches, spells, warmth, weeks),
        any(WOOD in figure.cautions for id, figure in figures.items() if id.startswith("pendulum.")),
    )


def _rates(clean: Cleaned) -> tuple[StretchRate, ...]:
    if clean.rates is None:
        return ()
    made = clean.rates
    factor = coverage(made.freedom)
    return tuple(
        StretchRate(
            stretch.readings[0].entry.when,
            stretch.readings[-1].entry.when,
            stretch.why,
            stretch.days,
            len(stretch.readings),
            made.rates[at],
            made.errors[at],
            factor * made.errors[at],
        )
        for at, stretch in enumerate(clean.stretches)
    )


def _runs(stretches: Sequence[Stretch], step: float) -> list[Sequence[float | None]]:
    """Errors on the grid, one row a spell: where only the hands were set, the error is taken on without the setting."""
    made: list[Sequence[float | None]] = []
    moments: list[float] = []
    errors: list[float] = []
    spell = None
    for stretch in stretches:
        first = stretch.readings[0]
        joins = stretch.spell == spell and bool(moments) and moments[-1] == first.at
        if not joins:
            made.append(on_grid(moments, errors, step))
            moments, errors = [first.at], [first.error]
        start = errors[-1] - first.error
        for reading in stretch.readings[1:]:
            moments.append(reading.at)
            errors.append(start + reading.error)
        spell = stretch.spell
    made.append(on_grid(moments, errors, step))
    return made


def _number(figures: Mapping[str, Figure], id: str) -> float | None:
    figure = figures.get(id)
    value = figure.value if figure is not None else None
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def _advice(
    clock: Clock,
    figures: Mapping[str, Figure],
    read: Sequence[Entry],
    stretches: Sequence[Stretch],
    spells: Rates | None,
    warmth: Coefficient | None,
    weeks: int,
) -> Advice:
    nut = clock.pendulum.get("rating nut") if clock.pendulum is not None else None
    divisions = getattr(nut.get("divisions"), "value", None) if nut is not None else None
    number = getattr(divisions, "value", None)
    raises = next((side for side in ("left", "right") if nut is not None and nut.says(f"{side} raises")), "")
    means = Means(
        _number(figures, "pendulum.nut.rate_per_turn"),
        _number(figures, "pendulum.tray.rate_per_gram"),
        float(number) if isinstance(number, (int, float)) else None,
        raises,
    )
    # The spell in which the clock is now may have no stretch yet.
    now = stretches[-1].spell if stretches else 0
    last = stretches[-1].readings[-1].entry if stretches else None
    since = last is not None and any(
        entry.at >= last.at
        and (
            entry.nut is not None
            or entry.tray is not None
            or entry.weighted
            or entry.stopped
            or entry.started
        )
        for entry in read
        if entry is not stretches[-1].readings[0].entry
    )
    return advise(
        stretches, -1 if since else now, spells, warmth.value if warmth is not None else None, means, weeks
    )
