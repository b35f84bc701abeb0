"""Large and odd inputs by their names, and a child process that compiles them and tells what it took."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

HEAD = 'countwheel 1\n\nclock "Large"\n  place "Penquay"\n    latitude 50.12 °N\n\n'
MOST_MEGABYTES = 500


def arbors(number: int) -> str:
    """One train of so many arbors, each of which turns four times as fast as the one before."""
    made = (f"  arbor a{at}\n    pinion 10\n    wheel 40\n" for at in range(1, number - 1))
    return f"{HEAD}train going\n  arbor first\n    wheel 40\n{''.join(made)}  arbor last\n    pinion 10\n"


def dials(number: int) -> str:
    made = (
        f"dial d{at}\n  diameter 7 ft\n  above ground 62 ft\n  minute hand\n    length 38 in\n    mass 9 lb\n"
        "  hour hand\n    length 27 in\n"
        for at in range(number)
    )
    going = (
        "train going\n  arbor centre\n    wheel 80\n    rate once an hour\nleading off\n  from going.centre\n"
    )
    return f"{HEAD}{going}{''.join(made)}"


def nested(depth: int) -> str:
    return HEAD + "".join(f'{" " * at}remark "x"\n' for at in range(depth))


def filled(size: int, line: str) -> str:
    """A description of so many bytes, of one line again and again."""
    return HEAD + line * (size // len(line.encode()))


#: name -> (text of a size, the size asked of it): 10 MB files that are read, and those that have too many lines.
LARGE: dict[str, tuple[Callable[[int], str], int]] = {
    "arbors": (arbors, 10_000),
    "dials": (dials, 1_000),
    "depth": (nested, 1_000),
    "one line": (lambda size: f'{HEAD}remark "{"x" * size}"\n', 1_000_000),
    "one word": (lambda size: f"{HEAD}made {'x' * size}\n", 1_000_000),
    "one number": (lambda size: f"{HEAD}made {'1' * size}\n", 1_000_000),
    "many words in a line": (lambda size: f"{HEAD}made{' x' * (size // 2)}\n", 400_000),
    "long remarks": (lambda size: filled(size, f'remark "{"x" * 1000}"\n'), 10_000_000),
    "one text": (lambda size: f'{HEAD}clock\n  history """\n{("    " + "x" * 996 + chr(10)) * (size // 1000)}    """\n',
                 10_000_000),
    "comments": (lambda size: filled(size, f"# {'x' * 996}\n"), 10_000_000),
    "unknown words": (lambda size: filled(size, "qwertz 12 whatever the clock may be\n"), 1_000_000),
    "log": (lambda size: f"{HEAD}log\n" + "  2026-05-02 09:00 found 3 s fast at 11 °C wound\n" * size, 20_000),
    "too many lines": (lambda size: filled(size, 'remark "The click is worn."\n'), 10_000_000),
    "too many words": (lambda size: filled(size, f"# {'x ' * 500}\n"), 10_000_000),
}  # fmt: skip


class Taken(NamedTuple):
    """`seconds` are those of the processor, `megabytes` the most memory at once, of the child alone."""

    code: int
    seconds: float
    megabytes: float
    said: str


def taken(
    *words: str | Path, folder: Path | None = None, stdin: int = subprocess.DEVNULL, seconds: float = 300
) -> Taken:
    """Runs the command line in a child and measures it. Raises where it takes longer than `seconds`."""
    return taken_by("-m", "countwheel.cli", *words, folder=folder, stdin=stdin, seconds=seconds)


def taken_by(
    *python: str | Path, folder: Path | None = None, stdin: int = subprocess.DEVNULL, seconds: float = 300
) -> Taken:
    """The same of Python with these arguments."""
    program = (
        "import resource, subprocess, sys\n"
        "done = subprocess.run(sys.argv[2:], stdin=int(sys.argv[1]) or 0, capture_output=True)\n"
        "used = resource.getrusage(resource.RUSAGE_CHILDREN)\n"
        "print(done.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss, flush=True)\n"
        "sys.stdout.buffer.write(done.stdout[:20000] + done.stderr[-20000:])\n"
    )  # a process of its own, since the most memory of all children is told and not that of each
    call = [sys.executable, "-c", program, "0", sys.executable, *map(str, python)]
    around = {"PATH": os.environ["PATH"], "HOME": "/nonexistent"}
    done = subprocess.run(
        call, cwd=folder, env=around, stdin=stdin, capture_output=True, timeout=seconds, check=True
    )
    first, _, said = done.stdout.decode("utf-8", "replace").partition("\n")
    code, used, most = first.split()
    return Taken(int(code), float(used), int(most) / 1024, said)
