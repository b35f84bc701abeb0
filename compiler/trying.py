"""`figures` with `--season` or `--set`: what other values would do, the figures before and after."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterable
from fnmatch import fnmatchcase

from countwheel import api
from countwheel.cli import FAULTS, WRONG_CALL
from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.suggest import nearest
from countwheel.source import Source
from countwheel.telling import colour, fail, standing, tell, width
from countwheel.what_if import Setting, read_setting, season_settings


def trial(options: Namespace) -> int:
    """Prints what changed. 0 where it could be tried, 1 where the description has errors then, 2 for a wrong call."""
    result = api.compile_file(options.file, working=False)
    tell([result], errors=True)
    if result.clock is None:
        return FAULTS
    from countwheel.emit import due_text
    from countwheel.keeping import record, seasons

    stated = {(node.label or "").lower(): node for node in result.clock.root.all("season")}
    settings: list[Setting] = []
    texts = dict(result.sources)
    when = ""
    if options.season is not None:
        season = stated.get(options.season.lower())
        if season is None:
            near = nearest(options.season.lower(), list(stated)) or tuple(stated)
            return fail(
                f"the description has no season {options.season}"
                + (f"; there is {', '.join(near)}" if near else "")
            )
        settings += season_settings(season)
        turn = seasons.turn_of(result.clock, season, record.entries(result.clock))
        when = due_text.season_day_text(season.label or "it", turn)
    for number, text in enumerate(options.set or (), 1):
        source = Source(f"--set {number}" if len(options.set) > 1 else "--set", text)
        texts[source.file] = source
        setting = read_setting(source)
        if isinstance(setting, Diagnostic):
            return _refuse(setting, texts)
        settings.append(setting)
    after = api.with_values(result, settings, working=options.working)
    if isinstance(after, Diagnostic):
        return _refuse(after, texts)
    if not any(_chosen(id, options.only) for id in (*result.figures, *after.figures)):
        return fail(f"no figure fits {' or '.join(options.only)}")
    found = api.compare(result, after)
    assert found is not None
    from countwheel.compare.reasons import reasons
    from countwheel.emit import what_if_text

    told = {(one.code, one.message) for one in result.diagnostics}
    _say([one for one in after.diagnostics if (one.code, one.message) not in told], after.sources)
    made = what_if_text.Trial(
        tuple((one.path, one.value) for one in settings),
        when,
        found,
        reasons((shift.id for shift in found.figures), after.figures, (one.path for one in settings)),
        api.swing_after(result, settings),
    )
    only = [shift.id for shift in made.figures if _chosen(shift.id, options.only)]
    if options.json:
        sys.stdout.write(what_if_text.dump(result.clock.name, made, only))
    else:
        sys.stdout.write(what_if_text.report(made, only, width()))
    if options.working and not options.json:
        from countwheel.emit import figure_text

        sheets = [after.figures[id] for id in only if id in after.figures]
        sys.stdout.write("\n" + figure_text.working(sheets, width()))
    return standing([after])


def _chosen(id: str, patterns: Iterable[str] | None) -> bool:
    return not patterns or any(fnmatchcase(id, pattern) for pattern in patterns)


def _refuse(fault: Diagnostic, texts: dict[str, Source]) -> int:
    """The diagnostic of an option, its text underlined as a line of a file is."""
    _say([fault], texts)
    return WRONG_CALL


def _say(found: list[Diagnostic], sources: dict[str, Source]) -> None:
    from countwheel.diagnostics.render_text import render

    sys.stderr.write(render(found, sources, colour=colour(), width=width() if sys.stderr.isatty() else None))
