"""Entries of the log that cannot be as written: times of day that were skipped or came twice; likely slips."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median_high, median_low

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.record.cleaning import likely
from countwheel.record.entries import Entry, entries
from countwheel.record.stretches import Interval, intervals, stretches
from countwheel.source import Span

Figures = dict[str, Figure]
_STEADY = {"an hour": 300.0}  # s by which the other changes may stray, in the middle, for a slip to stand out
_FEWEST = 4  # changes that a slip of minutes can be told among
_ROUNDED = 4.0  # standard errors of a reading, more than a step of those that are written to the minute (3.5 of them)


def _when(node: Node) -> Span:
    return node.values["time" if "time" in node.values else "date"].span


def times(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M711, M712: a time of day that was skipped, or came twice, when the clocks of the place were changed."""
    for entry in entries(clock):
        if entry.local == "skipped":
            yield say(
                "M711",
                _when(entry.node),
                f"There was no {entry.hour} on {entry.day} at this place: the clocks went forward over it.",
                label="skipped",
                hints=(
                    "correct the time of day; until then it is taken as the time before the change went on",
                ),
            )
        elif entry.local == "twice":
            yield say(
                "M712",
                _when(entry.node),
                f"{entry.hour} came twice on {entry.day} at this place, for the clocks went back.",
                label="which of the two?",
                hints=(
                    "the first is taken, or the second where the first lies before the entry above",
                    "an hour matters little to the rate, unless the next reading is within the day",
                ),
            )


def slips(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M713, M714: the error jumps by what is likely an hour, or a minute or a few, with nothing said of it."""
    read = [(stretch, intervals(stretch)) for stretch in stretches(entries(clock))]
    every = [one.change / one.days for _, own in read for one in own if one.days > 0]
    if not every:
        return
    usual = min(median_low(every), median_high(every), key=abs)
    if len(every) == 1:
        usual = 0.0  # one change by an hour is sooner a slip than a rate
    stray = [abs(one.change - usual * one.days) for _, own in read for one in own]
    for _, own in read:
        at = 0
        while at < len(own):
            off = own[at].change - usual * own[at].days
            like = likely(off)
            if abs(off) <= _ROUNDED * max(own[at].first.sigma, own[at].last.sigma):
                like = ""  # one step of readings to the minute
            settled = len(every) == 1 or median_low(stray) <= _STEADY.get(like, 6.0)
            if not like or not settled or (like != "an hour" and len(every) < _FEWEST):
                at += 1
                continue
            after = own[at + 1] if at + 1 < len(own) else None
            back = after is not None and abs(after.change - usual * after.days + off) <= 0.15 * abs(off)
            yield _told(own[at], off, like, back)
            at += 2 if back else 1


def _told(one: Interval, off: float, like: str, back: bool) -> Diagnostic:
    entry: Entry = one.last.entry
    found = entry.node.get("found") or entry.node.get("left") or entry.node
    way = "fast" if off > 0 else "slow"
    after = ", and the next reading is back" if back else ""
    hints = (
        "if it was read or written wrong, correct it, or write `doubted` and why at the end of the entry",
        "if the hands were moved, write `set` in the entry of that day",
    )
    return say(
        "M713" if like == "an hour" else "M714",
        found.span,
        f"From one entry to the next the clock is {like} too {way} for its rate{after}.",
        label=f"{like} out?",
        others=(Label(one.first.entry.node.values["date"].span, "up to here it went as usual"),),
        hints=hints if back or like != "an hour" else (hints[1], hints[0]),
    )


CHECKS = (times, slips)
