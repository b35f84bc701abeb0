"""The command line: streams and exit codes. What may be asked is in `arguments`, what is done in `commands`."""

from __future__ import annotations

import argparse
import contextlib
import errno
import os
import sys
from collections.abc import Callable, Sequence

from countwheel.arguments import parser

CLEAN, FAULTS, WRONG_CALL, STOPPED = 0, 1, 2, 130
# Commands whose function is in `writing`; those of all others are in `commands`.
WRITING = frozenset({"draw", "manual", "replacement", "evidence", "binder"})
KEEPING = frozenset({"calendar", "due", "rota"})  # and those in `keeping_commands`


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command. Returns 0 clean, 1 where there are errors or missed expectations, 2 for a wrong call."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    known = parser()
    from countwheel.streams import harmless_streams

    try:
        with harmless_streams(None):
            options = known.parse_args(arguments)
    except SystemExit as done:
        return done.code if isinstance(done.code, int) else WRONG_CALL
    if options.version:
        from importlib.metadata import version

        print(f"countwheel {version('countwheel')}")
        return CLEAN
    if options.command is None:
        known.print_help(sys.stderr)
        return WRONG_CALL
    import gc

    # Looking for plugins of pydantic among all installed packages costs more than a check, and none may run here.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    if options.command == "build":
        from countwheel import building as commands
    elif options.command in WRITING:
        from countwheel import writing as commands  # type: ignore[no-redef]
    elif options.command in KEEPING:
        from countwheel import keeping_commands as commands  # type: ignore[no-redef]
    else:
        from countwheel import commands  # type: ignore[no-redef]

    # One command makes some hundred thousand objects and ends: collecting among them costs more than it frees.
    gc.set_threshold(400_000)
    run: Callable[[argparse.Namespace], int] = getattr(commands, options.command.replace("-", "_"))
    try:
        with harmless_streams(options):
            code = run(options)
            sys.stdout.flush()  # a full disk is told of here, and not lost on the way out
        return code
    except OSError as fault:
        # Files are read and written in `files`, which tells what is wrong with them: left are our own streams.
        full = fault.errno in (errno.ENOSPC, errno.EFBIG, errno.EDQUOT, errno.EIO)
        if not full and not isinstance(fault, BrokenPipeError):
            raise
        # What is left in standard output cannot go anywhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if full:
            why = (fault.strerror or "").lower()
            sys.stderr.write(f"countwheel: standard output cannot be written: {why}\n")
            return WRONG_CALL
        return CLEAN  # the reader went away (`| head`): stop without a word, as Unix tools do
    except KeyboardInterrupt:
        return STOPPED


def run() -> None:
    """The console script: `main`, and out.

    All that the command had to do is done and written when `main` returns; to
    take thousands of objects apart one by one costs a tenth of a `check`.
    """
    code = main()
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    run()
