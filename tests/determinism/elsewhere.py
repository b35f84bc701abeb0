"""Runs the command line as on another day and another machine: for `test_same_bytes.py`, which starts it.

`python elsewhere.py DAYS CORES ORDER WORDS...`: the clock goes DAYS before, there are CORES, folders are listed in
ORDER (1 or -1); WORDS are those of one command, or of several with `--then--` between them.
"""

from __future__ import annotations

import datetime
import os
import sys
import time
from typing import Any


class Listed:
    """What os.scandir gives, in an order of our own."""

    def __init__(self, found: Any, order: int) -> None:
        with found:
            self.entries = iter(sorted(found, key=lambda one: one.name)[::order])

    def __iter__(self) -> Any:
        return self.entries

    def __next__(self) -> Any:
        return next(self.entries)

    def __enter__(self) -> Any:
        return self.entries

    def __exit__(self, *_: object) -> None:
        pass

    def close(self) -> None:
        pass


def main(days: int, cores: int, order: int, words: list[str]) -> int:
    moment, listed, scanned = time.time, os.listdir, os.scandir
    time.time = lambda: moment() + 86400 * days
    os.listdir = lambda *given: sorted(listed(*given))[::order]
    os.scandir = lambda *given: Listed(scanned(*given), order)  # type: ignore[assignment, misc]
    os.cpu_count = lambda: cores

    class Day(datetime.date):
        @classmethod
        def today(cls) -> datetime.date:
            return datetime.date.fromtimestamp(time.time())

    from countwheel import cli, files

    files.date = Day  # type: ignore[misc]  # the one place that asks what day it is: a test holds that
    code = 0
    while words:
        end = words.index("--then--") if "--then--" in words else len(words)
        print(f"== {' '.join(words[:end])}", flush=True)
        code = max(code, cli.main(words[:end]))
        words = words[end + 1 :]
    return code


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:4]), sys.argv[4:]))
