"""The `log` command: the log as CSV, and lines for the log from a CSV file."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path

from countwheel import api, files
from countwheel.cli import CLEAN, FAULTS
from countwheel.files import Trouble
from countwheel.telling import fail, tell


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
    from countwheel.record.importing import Unreadable, columns_of, lines_of

    try:
        text = files.read_text(Path(options.from_csv))
    except Trouble as trouble:
        return fail(f"{options.from_csv}: {trouble.why}")
    try:
        columns = columns_of(options.columns, text)
    except Unreadable as wrong:
        return fail(str(wrong))
    lines, faults = lines_of(text, columns, options.dates)
    if not faults:
        faults = [f"line {line}: {said}" for line, said in _read_back(lines)]
    if faults:
        for said in faults[:20]:
            sys.stderr.write(f"{options.from_csv}: {said}\n")
        if len(faults) > 20:
            sys.stderr.write(f"{options.from_csv}: and {len(faults) - 20} more\n")
        sys.stderr.write("nothing was written; mend these, or leave the column out\n")
        return FAULTS
    return _write(options.to, "log\n" + "".join(f"  {line}\n" for _, line in lines), result)


def _read_back(lines: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """What the language itself has against the lines, by the line of the CSV file that each is from."""
    head = "countwheel 1\n\nlog\n"
    text = head + "".join(f"  {line}\n" for _, line in lines)
    made = api.check_text(text, working=False)
    found = []
    for one in made.diagnostics:
        at = text[: one.span.start].count("\n") - head.count("\n")
        # Places and days are the description's, not those of the lines alone.
        if one.severity == "error" and one.code != "M702" and 0 <= at < len(lines):
            found.append((lines[at][0], one.message))
    return found


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
