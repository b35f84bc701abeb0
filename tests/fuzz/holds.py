"""What must hold of any input. A breach raises `Breach`; what the limits are is said here and nowhere else.

Time is that of this process, not of the clock on the wall: the machine may be busy, or the run halted for a while.
"""

from __future__ import annotations

import json
import resource
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from types import FrameType
from typing import NamedTuple

from countwheel import api, beside, outputs
from countwheel.api import Result
from countwheel.diagnostics import render_json, render_sarif, render_text
from countwheel.files import Trouble
from countwheel.search.gap import Gaps
from countwheel.source import Source
from countwheel.tidy.check import tidied

FILE = "a folder/x.movement"
#: The files that an input may include: one that is whole, two in a ring, one with faults, one that is not text.
OTHERS = {
    "a.movement": "countwheel 1\ntrain going\n  arbor a\n    wheel 96\n  arbor b\n    pinion 8\n",
    "b.movement": 'include "c.movement"\nlog\n  2026-05-02 09:00 found 3 s fast\n',
    "c.movement": 'include "b.movement"\nbell "hour"\n  mass 4 cwt\n',
    "d/d.movement": '  wheel ?\n\tinclude "../a.movement"\nhistory """\n  open',
}
SECONDS = 1.0  # for reading, linking and working out one input
BUILD_SECONDS = 20.0  # for all that is written of one
MEGABYTES = 500  # of the whole process


class Breach(AssertionError):
    """What should hold of an input does not."""


class TooSlow(BaseException):
    """Raised where the program is when its time is up, so that the place shows; no `except Exception` keeps it."""


class Seen(NamedTuple):
    """What an input showed: its result and marks by which one input is told from another that goes other ways."""

    result: Result
    marks: frozenset[str]


def _late(signal_: int, frame: FrameType | None) -> None:
    raise TooSlow


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Stops what takes longer, in time of this process and of the system for it."""
    before = signal.signal(signal.SIGPROF, _late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def memory() -> float:
    """The most memory that this process has had, in megabytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def must(holds: object, what: str) -> None:
    if not holds:
        raise Breach(what)


def spans_inside(result: Result) -> None:
    """Every place that a diagnostic names is in its file: by its letters, and by line and column."""
    for one in result.diagnostics:
        for span in (one.span, *(label.span for label in one.others), *(edit.span for edit in one.edits)):
            source = result.sources.get(span.file)
            must(source is not None, f"{one.code} is in {span.file}, which was not read")
            assert source is not None
            must(0 <= span.start <= span.end <= len(source.text), f"{one.code} at {span} is outside its file")
            for offset in span[1:]:
                line, column = source.place(offset)
                must(line <= len(source.line_starts), f"{one.code}: no line {line}")
                length = len(source.line_text(line))
                must(1 <= column <= length + 1, f"{one.code}: line {line} has no column {column}")
        must(one.message and " object at 0x" not in one.message, f"{one.code} says {one.message!r}")


def marks_of(result: Result) -> frozenset[str]:
    """The codes, what figures there are and whether they have values, and what was wrong together with what."""
    codes = sorted({one.code for one in result.diagnostics})
    figures = {
        f"{figure.id.rpartition('.')[2]} {'waits' if figure.waits_for else 'is'}"
        for figure in result.figures.values()
    }
    pairs = {f"{one}+{other}" for one in codes for other in codes if one < other}
    return frozenset((*codes, *figures, *pairs))


def _other(name: str) -> str:
    if name not in OTHERS:
        raise Trouble("M002" if name.startswith("e") else "M001", "there is no such file")
    return OTHERS[name]


def compiled(text: str, working: bool = True) -> Result:
    """An input compiled, with `OTHERS` beside it."""
    return api.check_text(text, FILE, _other, _has, working)


def _has(name: str) -> bool:
    """Photographs are said to be there, so that what names one can be built; they cannot be read then."""
    return name in OTHERS or name.endswith((".jpg", ".png"))


def look(text: str, *, printed: bool = True, seconds: float = SECONDS) -> Seen:
    """Reads, links and works out; the diagnostics in each of their forms too, unless `printed` is False."""
    had = memory()
    with within(seconds):
        result = compiled(text, working=False)
        spans_inside(result)
        if printed:
            say(result)
    must(memory() < MEGABYTES or memory() - had < 200, f"the process has had {memory():.0f} MB")
    return Seen(result, marks_of(result))


def say(result: Result) -> None:
    """The diagnostics in each of their forms."""
    text = render_text.render(result.diagnostics, result.sources)
    must("\x1b" not in text, "an escape sign in what is printed")
    json.loads(render_json.dump(result.diagnostics, result.sources))
    json.loads(render_sarif.dump(result.diagnostics, result.sources, version="0"))


def keep_tidy(text: str, result: Result) -> None:
    """The canonical form of an accepted text is accepted too, and says the same."""
    made = tidied(Source(FILE, text)).text
    must(made is not None, "an accepted text has no canonical form")
    assert made is not None
    again = compiled(made, working=False)
    must(not again.has_errors, "the canonical form is not accepted")
    found = api.compare(result, again)
    assert found is not None
    must(not found.facts and not found.figures, f"the canonical form is another clock: {found.facts[:1]}")


def everything_printed(text: str, *, pdf: bool = False, seconds: float = BUILD_SECONDS) -> bool:
    """All that the commands print and write of an input; whether it was accepted, and so could be built.

    What is printed of a description with errors too is tried of any; without `pdf` nothing is set as PDF.
    """
    had = memory()
    with within(SECONDS):
        result = compiled(text)
        spans_inside(result)
    with within(seconds), alone():
        say(result)
        for work in (_figures, _timekeeping, _calendar, _evidence, _itself, _coloured):
            work(result)
        gaps = _found(result)
        if not result.has_errors:
            keep_tidy(text, result)
            _papers(result, gaps)
            if pdf:
                files = outputs.everything(result, with_binder=True, issued=1_800_000_000)
                must(all(files.values()), "an empty file was made")
    must(memory() < MEGABYTES or memory() - had < 200, f"the process has had {memory():.0f} MB")
    return not result.has_errors


@contextmanager
def alone() -> Iterator[None]:
    """Nothing is done in another process, where neither its time nor its faults would be seen."""
    before = beside._can_copy
    beside._can_copy = lambda: False
    try:
        yield
    finally:
        beside._can_copy = before


# -- what the commands print of any description -------------------------------------
def _figures(result: Result) -> None:
    from countwheel.emit import figure_json, figure_text, model_json

    assert result.clock is not None
    figures = list(result.figures.values())
    figure_text.plain(figures)
    figure_text.working(figures, 60)
    made = figure_json.dump(result.clock.name, figures, result.diagnostics, result.sources)
    json.loads(made, parse_constant=_no_number)
    json.loads(model_json.dump(result.clock), parse_constant=_no_number)


def _no_number(spelt: str) -> float:
    raise Breach(f"{spelt} is no number of JSON")


def _found(result: Result) -> Gaps:
    from countwheel.emit import find_json, find_text, gaps_json, gaps_text
    from countwheel.emit.naming import Names
    from countwheel.emit.templating import wording

    assert result.clock is not None
    found = api.find(result.clock)
    find_text.report(found)
    json.loads(find_json.dump(result.clock.name, found), parse_constant=_no_number)
    gaps = api.gaps(result)
    assert gaps is not None
    gaps_text.report(gaps, Names(result.clock), wording("TITLES"))
    json.loads(gaps_json.dump(result.clock.name, gaps), parse_constant=_no_number)
    api.next_to_record(result)
    return gaps


def _timekeeping(result: Result) -> None:
    from countwheel.emit import rate_json, rate_text

    assert result.clock is not None
    report = api.rate(result)
    assert report is not None
    rate_text.text(result.clock.name, report, 60)
    json.loads(rate_json.dump(result.clock.name, report), parse_constant=_no_number)


def _calendar(result: Result) -> None:
    from countwheel.emit import due_text, rota_text
    from countwheel.emit.plain_text import print_text
    from countwheel.keeping import duties, rota, seasons

    clock, on, last = result.clock, date(2026, 5, 2), date(2027, 5, 2)
    assert clock is not None
    found, winding = duties.duties(clock, result.figures, on), duties.winding_of(clock, result.figures)
    kept = rota.rota_of(clock)
    turn = rota.on_day(kept, on) if kept else None
    due_text.report(clock, on, found, winding, turn, seasons.now(clock, on))
    json.loads(due_text.dump(clock, on, found, winding, turn), parse_constant=_no_number)
    if kept is not None:
        rota_text.dump(clock, rota.turns(kept, on, last))
        print_text(rota_text.build_rota(clock, kept, winding, on, last), 60)


def _evidence(result: Result) -> None:
    from countwheel.emit import facts_text, log_csv, register, register_text
    from countwheel.emit.plain_text import print_text
    from countwheel.facts_alone import facts_of

    assert result.clock is not None
    rows = register.facts_of(result.clock, result.sources)
    register_text.text(result.clock.name, rows, 60)
    register_text.as_csv(rows)
    json.loads(register_text.dump(result.clock.name, rows), parse_constant=_no_number)
    facts_text.lines(facts_of(result.sources[result.file].text).root)
    log_csv.as_csv(result.clock)
    anew = outputs.replacement(result)
    if anew is not None:
        print_text(anew, 60)


def _itself(result: Result) -> None:
    from countwheel.emit import compare_json, compare_text
    from countwheel.emit.html import print_html

    found = api.compare(result, result)
    assert found is not None
    must(not found.facts and not found.figures, "a description is other than itself")
    compare_text.report(found, 60)
    json.loads(compare_json.dump("a", "b", found), parse_constant=_no_number)
    print_html(outputs.compared(result, "a", "b", found))


def _coloured(result: Result) -> None:
    from countwheel.highlight.page import source_html

    source_html(result.sources[result.file].text)


# -- what is written of an accepted one ----------------------------------------------
def _papers(result: Result, found: Gaps) -> None:
    from countwheel.emit.html import print_binder, print_html

    drawn = outputs.drawings(result)
    outputs.drawing_files(drawn)
    outputs.sound_files(result)
    outputs.calendar(result, date(2026, 5, 2), date(2027, 5, 2), date(2026, 5, 2))
    outputs.calendar_of_build(result, None)
    for document in (
        outputs.manual(result, drawn, found),
        outputs.measuring(result, found),
        outputs.replacement(result),
        outputs.register(result),
        outputs.sheets(result),
    ):
        if document is not None:
            print_html(document)
    print_binder(outputs.binder(result, contacts=True, issued=1_800_000_000, ready=(drawn, found)))
