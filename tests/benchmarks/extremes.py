"""What extremes cost, printed: run by hand with `python tests/benchmarks/extremes.py [NAME...]`, never as a test.

Of each input a quarter and the whole are checked in a process of its own: seconds of the processor and the most memory,
and how the seconds grow (4 is as the size does). `--build` builds clocks of many arbors and dials too, with the binder.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "extremes"))

from extreme_running import LARGE, Taken, arbors, dials, taken

BUILT = {"arbors": (arbors, 400), "dials": (dials, 1_000)}


def line(name: str, size: int, small: Taken, large: Taken, start: float) -> str:
    grown = max(large.seconds - start, 0.0) / max(
        small.seconds - start, 0.01
    )  # 0: refused before anything is loaded
    return (
        f"{name:<22}{size:>11,}  {small.seconds:6.2f} s {large.seconds:7.2f} s  x{grown:4.1f}"
        f"  {small.megabytes:5.0f} MB {large.megabytes:5.0f} MB  code {large.code}"
    )


def main() -> None:
    asked = argparse.ArgumentParser(description="What extremes cost.")
    asked.add_argument("names", nargs="*", help=f"of {', '.join(LARGE)} (all, if not given)")
    asked.add_argument("--build", action="store_true", help="build large clocks too")
    options = asked.parse_args()
    with tempfile.TemporaryDirectory() as made:
        file = Path(made) / "large.movement"
        file.write_text('countwheel 1\n\nclock "Nothing yet"\n', encoding="utf-8")
        start = taken("check", file).seconds
        print(f"{'':<22}{'size':>11}  {'quarter':>8} {'whole':>9}")
        print(f"{'an empty clock':<22}{'':>11}  {start:6.2f} s")
        for name, (text, size) in LARGE.items():
            if options.names and name not in options.names:
                continue
            found = []
            for part in (size // 4, size):
                file.write_text(text(part), encoding="utf-8")
                found.append(taken("check", file))
            print(line(name, size, *found, start), flush=True)
        for name, (text, size) in BUILT.items() if options.build else ():
            found = []
            for part in (size // 4, size):
                file.write_text(text(part), encoding="utf-8")
                found.append(taken("build", file, "--binder", "--to", Path(made) / "out", seconds=1800))
            print(line(f"build of {name}", size, *found, start), flush=True)


if __name__ == "__main__":
    main()
