"""The record of the timekeeping against the date: the error as read, the rate, the temperature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import ceil, floor
from typing import NamedTuple

from countwheel.emit.drawing import Drawing
from countwheel.emit.graph_words import decimal
from countwheel.emit.rate_words import pair
from countwheel.emit.sketch import DOTTED, FINE, HEAVY, PLAIN, WIDE, Place, Sketch
from countwheel.emit.sketch_words import Foot, Sample, drawn, words_of
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.record.report import Report, report
from countwheel.record.stretches import Stretch, intervals

LEFT, LONG, TALL, TOP, APART = 20.0, WIDE - 24.0, 46.0, 8.0, 12.0  # mm
_LEAST = 3  # readings that are worth a drawing
_EPOCH = date(1970, 1, 1)
_STEPS = tuple(first * 10.0**power for power in range(-3, 6) for first in (1, 2, 5))
_MONTHS = (1, 2, 3, 6, 12, 24, 36, 60, 120, 240, 600)
_WIDTH = 1.0  # mm that a rate is drawn over at least; what lies closer together is taken together
_MOST_DATES, _MOST_LINES = 8, 5


class _Panel(NamedTuple):
    """A field with its own scale up it: `low` to `high` by `step`; `top` in mm."""

    top: float
    low: float
    high: float
    step: float

    def up(self, value: float) -> float:
        return self.top + TALL * (self.high - value) / (self.high - self.low)


class _Across(NamedTuple):
    """The dates that all fields share, in days since 1970."""

    first: float
    last: float

    def at(self, day: float) -> float:
        return LEFT + LONG * (day - self.first) / (self.last - self.first)

    def days(self, wide: float) -> float:
        """The days that so many mm are."""
        return wide * (self.last - self.first) / LONG


class _Rate(NamedTuple):
    """From one reading to another, in days since 1970, at so many s/day; `taken` intervals together."""

    first: float
    last: float
    rate: float
    taken: int


def timekeeping(clock: Clock, figures: Mapping[str, Figure]) -> tuple[Drawing, ...]:
    """`timekeeping` where the log holds readings enough to be looked at."""
    if clock.fact("log") is None:
        return ()
    told = report(clock, figures)
    readings = [entry for entry in told.entries if entry.found is not None]
    if len(readings) < _LEAST or not told.rates or readings[-1].at - readings[0].at < 1.0:
        return ()
    return (_draw(told),)


def _draw(told: Report) -> Drawing:
    stretches = told.cleaned.stretches
    read = [entry for entry in told.entries if entry.found is not None]
    warm = [(entry.at, entry.temperature) for entry in told.entries if entry.temperature is not None]
    across = _Across(told.entries[0].at, told.entries[-1].at)
    rates = [one for stretch in stretches for one in _rates(stretch, across.days(_WIDTH))]
    errors = [reading.error for stretch in stretches for reading in stretch.readings]
    errors += [entry.found for entry in read if entry.found is not None]
    panels = [_panel(TOP, [*errors, 0.0]), _panel(TOP + TALL + APART, [*(one.rate for one in rates), 0.0])]
    if len(warm) > 1:
        panels.append(_panel(TOP + 2 * (TALL + APART), [warmth for _, warmth in warm]))
    bottom = panels[-1].top + TALL
    key: list[tuple[Sample, str]] = [("dot", "as read"), ("heavy", "rate of a stretch")]
    changes = [one for one in told.entries if one.nut is not None or one.tray is not None or one.weighted]
    if changes:
        key.append(("dotted", "nut, tray or weights touched"))
    notes = [
        "Above the line is fast, or gaining. A break in the error: the hands were set, or the clock stood."
    ]
    if told.cleaned.odd:
        notes.append("A ring is a reading that does not fit its neighbours, and is set aside.")
    foot = Foot(key, notes)
    sketch = Sketch(
        words_of("timekeeping", "The record of the timekeeping", _alt(told, warm)), bottom + 8 + foot.height
    )
    titles = ("error as read, s", f"rate {_over(rates)}, s/day", "temperature, °C")
    for panel, title in zip(panels, titles, strict=False):
        _axes(sketch, panel, title)
    for entry in changes:
        for panel in panels:
            x = across.at(entry.at)
            sketch.line([(x, panel.top), (x, panel.top + TALL)], PLAIN, DOTTED)
    _dates(sketch, across, bottom)
    error, rate = panels[:2]
    aside = {id(odd.entry) for odd in told.cleaned.odd if not odd.jump}
    sketch.strokes([[(across.at(r.at), error.up(r.error)) for r in one.readings] for one in stretches], FINE)
    dots = [
        (across.at(one.at), error.up(one.found))
        for one in read
        if one.found is not None and id(one) not in aside
    ]
    size = 0.7 if len(read) < 150 else 0.35
    sketch.dots(dots, size)
    for one in read:
        if id(one) in aside and one.found is not None:
            sketch.circle((across.at(one.at), error.up(one.found)), 1.2, fill="white")
    steps: list[list[Place]] = [
        [(across.at(one.first), rate.up(one.rate)), (across.at(one.last), rate.up(one.rate))] for one in rates
    ]
    sketch.strokes(steps, FINE)
    for stretch, mean in zip(stretches, told.rates, strict=True):
        if stretch.days < across.days(_WIDTH) / 2:
            continue
        y = rate.up(min(max(mean.rate, rate.low), rate.high))
        sketch.line([(across.at(stretch.readings[0].at), y), (across.at(stretch.readings[-1].at), y)], HEAVY)
    if len(panels) > 2:
        sketch.strokes([[(across.at(day), panels[2].up(warmth)) for day, warmth in warm]], FINE)
        sketch.dots([(across.at(day), panels[2].up(warmth)) for day, warmth in warm], size)
    return drawn(sketch, foot)


def _rates(stretch: Stretch, least: float) -> list[_Rate]:
    """The rates of a stretch over `least` days or more; none where it is not half as long."""
    found: list[_Rate] = []
    begin, taken = stretch.readings[0], 0
    for one in intervals(stretch):
        taken += 1
        days = one.last.at - begin.at
        if days >= least:
            found.append(_Rate(begin.at, one.last.at, (one.last.error - begin.error) / days, taken))
            begin, taken = one.last, 0
    days = stretch.readings[-1].at - begin.at
    if days >= least / 2:
        end = stretch.readings[-1]
        found.append(_Rate(begin.at, end.at, (end.error - begin.error) / days, taken))
    return found


def _over(rates: Sequence[_Rate]) -> str:
    """Over how long most rates are."""
    if sum(one.taken > 1 for one in rates) <= len(rates) / 2:
        return "from one reading to the next"
    days = sorted(one.last - one.first for one in rates)[len(rates) // 2]
    return f"over {days / 7:.0f} weeks each" if days >= 10 else f"over {days:.1f} days each"


def _panel(top: float, values: Sequence[float]) -> _Panel:
    low, high = min(values), max(values)
    if high - low < 1e-9:
        low, high = low - 1.0, high + 1.0
    step = next((step for step in _STEPS if (high - low) / step <= _MOST_LINES), _STEPS[-1])
    low, high = floor(low / step) * step, ceil(high / step) * step
    return _Panel(top, low, high, step)


def _axes(sketch: Sketch, panel: _Panel, title: str) -> None:
    bottom = panel.top + TALL
    sketch.line([(LEFT, panel.top), (LEFT, bottom), (LEFT + LONG, bottom)], PLAIN)
    for number in range(round((panel.high - panel.low) / panel.step) + 1):
        value = panel.low + number * panel.step
        y = panel.up(value)
        sketch.line([(LEFT - 1.4, y), (LEFT, y)], FINE)
        sketch.text((LEFT - 2.2, y + 1), _told(value), anchor="end")
    if panel.low < 0 < panel.high:
        sketch.line([(LEFT, panel.up(0.0)), (LEFT + LONG, panel.up(0.0))], FINE)
    sketch.text((LEFT, panel.top - 3.2), title)


def _dates(sketch: Sketch, across: _Across, bottom: float) -> None:
    """Ticks at the beginnings of months, or at days where the record is shorter than that."""
    marks = _marks(across)
    for day, words in marks:
        x = across.at(day)
        sketch.line([(x, bottom), (x, bottom + 1.4)], FINE)
        anchor = "middle"
        sketch.text((min(max(x, LEFT), LEFT + LONG - 6), bottom + 5), words, anchor=anchor)


def _marks(across: _Across) -> list[tuple[float, str]]:
    first, last = (_EPOCH + timedelta(days=floor(day)) for day in across)
    for step in _MONTHS:
        months = range(12 * first.year + first.month - 1, 12 * last.year + last.month)
        starts = [date(month // 12, month % 12 + 1, 1) for month in months if month % step == 0]
        inside = [day for day in starts if across.first <= (day - _EPOCH).days <= across.last]
        if len(inside) <= _MOST_DATES:
            break
    if len(inside) < 2:
        middle = (across.first + across.last) / 2
        days = sorted({floor(across.first) + 1, floor(middle), floor(across.last)})
        return [
            (day, (_EPOCH + timedelta(days=day)).isoformat())
            for day in days
            if across.first <= day <= across.last
        ]
    return [
        ((day - _EPOCH).days, f"{day.year}" if step % 12 == 0 else f"{day.year}-{day.month:02d}")
        for day in inside
    ]


def _told(value: float) -> str:
    return decimal(value, 4).replace("-", "−")


def _alt(told: Report, warm: Sequence[tuple[float, float]]) -> str:
    read = [entry for entry in told.entries if entry.found is not None]
    found = [entry.found for entry in read if entry.found is not None]
    rates = "; ".join(
        f"{one.first[:10]} to {one.last[:10]} {pair(one.rate, one.half)}" for one in told.rates[-_MOST_DATES:]
    )
    last = f"the last {_MOST_DATES} " if len(told.rates) > _MOST_DATES else ""
    said = (
        f"{len(read)} readings from {read[0].day} to {read[-1].day}, between {_told(min(found))} and "
        f"{_told(max(found))} seconds, fast is positive. Rates of {last}stretches, seconds a day: {rates}."
    )
    if len(warm) > 1:
        low, high = min(warmth for _, warmth in warm), max(warmth for _, warmth in warm)
        said += f" The temperature went from {_told(low)} to {_told(high)} degrees Celsius."
    return said
