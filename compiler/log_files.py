"""The `log` command: the log as CSV, and lines for the log from a CSV file."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from countwheel import api, files
from countwheel.cli import CLEAN, FAULTS
from countwheel.files import Trouble
from countwheel.telling import fail, tell

if TYPE_CHECKING:
    from countwheel.model.clock import Clock
    from countwheel.record.importing import Line

MOST_TOLD = 20


def log(options: Namespace) -> int:
    """0 where all could be read; the description itself is never written."""
    result = api.compile_file(options.file, working=False)
    tell([result], errors=True)
    if result.clock is None:
        return FAULTS
    if options.from_csv is None:
        if options.columns:
            return fail("--columns goes with --from-csv")
        from countwheel.emit.log_csv import as_csv

        return _write(options.to, as_csv(result.clock), result)
    from countwheel.record.cells import Unreadable
    from countwheel.record.importing import columns_of, lines_of

    try:
        text = files.read_text(Path(options.from_csv))
    except Trouble as trouble:
        return fail(f"{options.from_csv}: {trouble.why}")
    try:
        made = lines_of(text, columns_of(options.columns, text), options.dates)
    except Unreadable as wrong:
        return fail(f"{options.from_csv}: {wrong}")
    back, doubts = _read_back(made.lines, result.clock) if not made.faults else ([], [])
    faults = [*made.faults, *back]
    _tell(options.from_csv, faults or [*made.notes, *doubts])
    if faults:
        sys.stderr.write("nothing was written; mend these, or leave the column out\n")
        return FAULTS
    return _write(options.to, "log\n" + "".join(f"  {line.text}\n" for line in made.lines), result)


def _tell(name: str, said: list[str]) -> None:
    for one in said[:MOST_TOLD]:
        sys.stderr.write(f"{name}: {one}\n")
    if len(said) > MOST_TOLD:
        sys.stderr.write(f"{name}: and {len(said) - MOST_TOLD} more\n")


def _read_back(lines: Sequence[Line], clock: Clock) -> tuple[list[str], list[str]]:
    """What the language itself has against the lines, by line and column of the CSV file: faults, and doubts.

    The place's time zone is the description's: by it a time of day may be one that was skipped or came twice.
    """
    from countwheel.emit.clean import first_capital

    zone = clock.place.text("time zone") if clock.place is not None else None
    place = f"  place\n    time zone {zone}\n" if zone else ""
    head = f'countwheel 1\n\nclock "A"\n{place}\nlog\n'
    text = head + "".join(f"  {line.text}\n" for line in lines)
    faults, doubts = [], []
    for one in api.check_text(text, working=False).diagnostics:
        at = text[: one.span.start].count("\n") - head.count("\n")
        if not 0 <= at < len(lines):
            continue
        column = lines[at].head_at(one.span.start - text.rindex("\n", 0, one.span.start) - 3)
        where = f"line {lines[at].number}" + (f", column {column}" if column else "")
        if one.severity == "error":
            faults.append(f"{where}: {one.message}")
        elif one.code.startswith("M7"):
            hint = f" {first_capital(one.hints[0])}." if one.hints else ""
            doubts.append(f"{where}: {one.message}{hint}")
    return faults, doubts


def _write(to: str | None, text: str, result: api.Result) -> int:
    if to is None:
        # As it is: a CSV file's line ends are not those of the machine.
        sys.stdout.flush()
        if hasattr(sys.stdout, "buffer"):
            sys.stdout.buffer.write(text.encode())
            sys.stdout.buffer.flush()
        else:
            sys.stdout.write(text)
        return CLEAN
    target = Path(to)
    if target.exists():
        return fail(f"{target} is there already; nothing was changed")
    try:
        files.write_file(target, text.encode(), afresh=True)
    except Trouble as trouble:
        return fail(trouble.why)
    print(target)
    return CLEAN
