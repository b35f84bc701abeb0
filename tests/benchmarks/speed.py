"""How fast it is, printed: run by hand with `python tests/benchmarks/speed.py`, never as a test.

Whole commands are timed from a cold shell, in turns, so that what else the machine does falls on all alike;
each time is the least and the median of the rounds. `--many N` also checks N copies of the demo at once.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "specs" / "penquay-harbour-office"
EMPTY = 'countwheel 1\n\nclock "Nothing yet"\n'

Times = list[float]


def cold(commands: dict[str, list[str]], rounds: int) -> dict[str, Times]:
    """Seconds of each command in each round; the commands take turns. Raises where one fails."""
    taken: dict[str, Times] = {name: [] for name in commands}
    for _ in range(rounds):
        for name, command in commands.items():
            began = perf_counter()
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            taken[name].append(perf_counter() - began)
    return taken


def warm(what: str, rounds: int) -> Times:
    """Processor seconds of `parse` (the demo's longest file ten times over), `figures` or `figures with working`.

    Warm: each has run once before. Only the last prints substitutions and draws trials.
    """
    from countwheel import api
    from countwheel.figures import work_out
    from countwheel.project import parse
    from countwheel.source import Source

    clock = api.compile_file(str(DEMO)).clock
    assert clock is not None
    longest = max(DEMO.rglob("*.movement"), key=lambda path: path.stat().st_size)
    source = Source("demo", longest.read_text(encoding="utf-8") * 10)
    run: dict[str, Callable[[], object]] = {
        "parse": lambda: parse(source),
        "figures": lambda: work_out(clock, working=False),
        "figures with working": lambda: work_out(clock),
    }[what]
    return timed(run, rounds)


def timed(run: Callable[[], object], rounds: int) -> Times:
    """Processor seconds of each of so many rounds, after one that is not counted."""
    run()
    taken = []
    for _ in range(rounds):
        began = process_time()
        run()
        taken.append(process_time() - began)
    return taken


def many(number: int, tool: list[str], folder: Path) -> None:
    """Checks `number` copies of the demo in one run: the cost of each against that of one alone less start-up."""
    names = []
    for at in range(number):
        copy = folder / f"clock-{at}"
        shutil.copytree(DEMO, copy)
        (copy / f"{DEMO.name}.movement").rename(copy / f"clock-{at}.movement")
        names.append(str(copy))
    empty = folder / "empty.movement"
    empty.write_text(EMPTY, encoding="utf-8")
    alone = cold({"one": [*tool, "check", names[0]], "start": [*tool, "check", str(empty)]}, 7)
    began = perf_counter()
    subprocess.run([*tool, "check", *names], check=True, stdout=subprocess.DEVNULL)
    start = min(alone["start"])
    each, one = (perf_counter() - began - start) / number, min(alone["one"]) - start
    print(
        f"{number} descriptions: {each * 1000:.1f} ms each; one alone, less start-up, {one * 1000:.1f} ms:",
        end=" ",
    )
    print(f"ratio {each / one:.2f} (at most 1.5)")


def say(name: str, taken: Times) -> None:
    print(f"{name:<34} least {min(taken) * 1000:7.1f} ms   median {median(taken) * 1000:7.1f} ms")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=9)
    options.add_argument("--many", type=int, default=0, metavar="N")
    chosen = options.parse_args()
    tool = [str(Path(sys.executable).parent / "countwheel")]
    with tempfile.TemporaryDirectory() as where:
        folder = Path(where)
        taken = cold(
            {
                "import": [sys.executable, "-c", "import lark, pydantic"],
                "check": [*tool, "check", str(DEMO)],
                "build": [*tool, "build", "--again", str(DEMO), "--to", where],
            },
            chosen.rounds,
        )
        say("python -c 'import lark, pydantic'", taken["import"])
        say("countwheel check, cold", taken["check"])
        say("countwheel build, cold", taken["build"])
        for by, of in (("least", min), ("median", median)):
            print(
                f"check over import, by the {by}: {of(taken['check']) / of(taken['import']):.2f} (at most 4)"
            )
        print(f"build: {median(taken['build']):.2f} s (under 3)")
        for what in ("parse", "figures", "figures with working"):
            say(f"{what}, warm", warm(what, chosen.rounds))
        if chosen.many:
            many(chosen.many, tool, folder)


if __name__ == "__main__":
    main()
