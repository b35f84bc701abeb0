"""Times `rate` and `check` on twenty years of weekly entries, cold; under 1 s is asked.

Not a test: it says what it measured. The record is made with a seed: a clock that wanders, set right at 20 s.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from datetime import date, timedelta
from math import sqrt
from pathlib import Path
from random import Random
from resource import RUSAGE_CHILDREN, getrusage
from time import perf_counter

DEMO = Path(__file__).parents[2] / "specs" / "penquay-harbour-office"
ROUNDS = 7


def log(entries: int = 1043) -> str:
    random = Random(1)
    day, error, lines = date(2005, 1, 7), 0.0, ["log"]
    for _ in range(entries):
        error += random.gauss(0, sqrt(0.3 * 7))
        left = 0.0 if abs(error) > 20 else error
        lines.append(
            f"  {day} 09:0{random.randrange(10)}   found {told(error)}, left {told(left)}"
            f'   at {random.randrange(2, 22)} °C   at {random.randrange(980, 1030)} hPa   wound   by "KT"'
        )
        error = left
        day += timedelta(7)
    return "\n".join(lines) + "\n"


def told(error: float) -> str:
    return f"{abs(round(error))} s {'fast' if error > 0 else 'slow'}" if round(error) else "right"


def main() -> None:
    tool = str(Path(sys.executable).parent / "countwheel")
    with tempfile.TemporaryDirectory() as where:
        folder = Path(where) / DEMO.name
        shutil.copytree(DEMO, folder)
        (folder / "log.movement").write_text(log(), encoding="utf-8")
        for command in ("check", "rate"):
            taken, worked = [], []
            for _ in range(ROUNDS):
                before, began = getrusage(RUSAGE_CHILDREN).ru_utime, perf_counter()
                subprocess.run([tool, command, str(folder)], check=True, stdout=subprocess.DEVNULL)
                taken.append(perf_counter() - began)
                worked.append(getrusage(RUSAGE_CHILDREN).ru_utime - before)
            print(
                f"{command}, 1043 entries, cold: least {min(taken):.2f} s, of the processor {min(worked):.2f} s"
            )


if __name__ == "__main__":
    main()
