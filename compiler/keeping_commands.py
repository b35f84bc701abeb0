"""The commands that go by the calendar: calendar, due, rota."""

from __future__ import annotations

import sys
from argparse import Namespace
from datetime import timedelta
from pathlib import Path

from countwheel import api, files
from countwheel.cli import FAULTS
from countwheel.telling import fail, standing, tell

MOST_WEEKS = 520  # ten years: nobody knows who winds then


def due(options: Namespace) -> int:
    """0 where nothing is due or overdue, 1 where something is (or the description has errors)."""
    from countwheel.emit import due_text
    from countwheel.keeping import duties, rota, seasons

    result = api.compile_file(options.file, working=False)
    tell([result], errors=True)
    clock = result.clock
    if clock is None:
        return FAULTS
    on = options.on or files.today()
    found = duties.duties(clock, result.figures, on)
    winding = duties.winding_of(clock, result.figures)
    kept = rota.rota_of(clock)
    turn = rota.on_day(kept, on) if kept else None
    if options.json:
        sys.stdout.write(due_text.dump(clock, on, found, winding, turn))
    else:
        sys.stdout.write(due_text.report(clock, on, found, winding, turn, seasons.now(clock, on)))
    return FAULTS if duties.overdue(found) else standing([result])


def rota(options: Namespace) -> int:
    from countwheel.keeping import duties
    from countwheel.keeping import rota as turning

    result = api.compile_file(options.file, working=False)
    tell([result], errors=True)
    clock = result.clock
    if clock is None:
        return FAULTS
    kept = turning.rota_of(clock)
    if kept is None:
        print("the description has no rota that can be followed: see countwheel words rota")
        return standing([result])
    from countwheel.emit import rota_text

    if options.on is not None:
        turn = turning.on_day(kept, options.on)
        if options.json:
            sys.stdout.write(rota_text.dump(clock, (turn,) if turn else ()))
        else:
            sys.stdout.write(rota_text.on_text(turn, options.on))
        return standing([result])
    first = options.first or files.today()
    if options.weeks > MOST_WEEKS:
        return fail(f"a rota is printed for {MOST_WEEKS} weeks at most")
    last = first + timedelta(days=7 * options.weeks - 1)
    if options.json:
        sys.stdout.write(rota_text.dump(clock, turning.turns(kept, first, last)))
        return standing([result])
    document = rota_text.build_rota(clock, kept, duties.winding_of(clock, result.figures), first, last)
    if options.to:
        from countwheel import outputs, writing

        if result.has_errors:
            return FAULTS
        made = outputs.printed("rota", document, options.paper, files.issue_time())
        return writing.write_each(Path(options.to), made)
    from countwheel.emit.plain_text import print_text
    from countwheel.telling import width

    sys.stdout.write(print_text(document, width()))
    return standing([result])


def calendar(options: Namespace) -> int:
    from countwheel import outputs, writing
    from countwheel.keeping.steps import Step

    result = api.compile_file(options.file, working=False)
    tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    today = files.today()
    first = options.first or today
    last = options.last or Step(months=12 * options.years).after(first) - timedelta(days=1)
    if last < first:
        return fail(f"{last} is before {first}")
    if (last - first).days > outputs.MOST_DAYS:
        return fail(f"a calendar is written for {outputs.MOST_DAYS // 366} years at most")
    content = outputs.calendar(result, first, last, today)
    target = Path(options.to) if options.to else Path("out") / writing.stem_of(result)
    return writing.write_each(target, {"calendar.ics": content})
