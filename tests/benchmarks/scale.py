"""What each command costs, and how the cost grows, printed: run by hand, never as a test.

    python tests/benchmarks/scale.py commands      each command from a cold shell, over bare Python
    python tests/benchmarks/scale.py size          check and figures of 10 to 10,000 arbors, with the slope
    python tests/benchmarks/scale.py parse         our reading of a text, beside lark's own parse of the same tokens
    python tests/benchmarks/scale.py register      2,000 clocks built on all cores; again; again with some changed

`--clocks N` and `--rounds N` make it longer or shorter. What another program does meanwhile falls on all alike.
"""

from __future__ import annotations

import argparse
import math
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import partial
from itertools import pairwise
from pathlib import Path
from statistics import median
from time import perf_counter

from speed import timed

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "specs" / "penquay-harbour-office"
TOOL = str(Path(sys.executable).with_name("countwheel"))

sys.path.insert(0, str(ROOT / "tests" / "extremes"))

LITTLE = """countwheel 1

clock "Clock no. {at} of a register"

train going
  arbor barrel
    barrel
      diameter 10 in measured
      weight 1 cwt measured
    wheel great 96 counted
  arbor centre
    pinion 8 counted
    wheel {wheel} counted
    rate once an hour
  arbor escape
    pinion 8 counted
    escape wheel 30 counted

pendulum
  length 1 m estimated

dial west
  diameter 5 ft estimated
"""

# One call of each command that answers by itself, so neither `serve` nor `language-server`.
CALLS: dict[str, tuple[str, ...]] = {
    "check": (str(DEMO),),
    "figures": (str(DEMO),),
    "model": (str(DEMO),),
    "gaps": (str(DEMO),),
    "find": (str(DEMO),),
    "evidence": (str(DEMO),),
    "facts": (str(DEMO / f"{DEMO.name}.movement"),),
    "tidy": ("--check", str(DEMO)),
    "compare": (str(DEMO), str(DEMO)),
    "rate": (str(DEMO),),
    "due": (str(DEMO), "--on", "2026-11-01"),
    "rota": (str(DEMO), "--on", "2026-11-01"),
    "words": (),
    "explain": ("M501",),
    "schema": (),
    "draw": (str(DEMO), "--to", "{out}/drawn"),
    "calendar": (str(DEMO), "--from", "2026-11-01", "--to", "{out}/calendar.ics"),
    "manual": (str(DEMO), "--to", "{out}/manual"),
    "replacement": (str(DEMO),),
    "build": ("--again", str(DEMO), "--to", "{out}/built"),
    "binder": (str(DEMO), "--to", "{out}/bound"),
}


def taken(*call: str) -> tuple[float, int]:
    """Seconds of a command, and its exit code."""
    began = perf_counter()
    done = subprocess.run(call, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    return perf_counter() - began, done.returncode


def commands(rounds: int) -> None:
    with tempfile.TemporaryDirectory() as out:
        calls = {"python -c pass": (sys.executable, "-c", "pass")}
        calls |= {
            name: (TOOL, name, *(part.format(out=out) for part in rest)) for name, rest in CALLS.items()
        }
        found: dict[str, list[float]] = {name: [] for name in calls}
        codes: dict[str, int] = {}
        for _ in range(rounds):
            for name, call in calls.items():
                seconds, codes[name] = taken(*call)
                found[name].append(seconds)
    bare = min(found["python -c pass"])
    print(f"{'command':<16}{'least':>9}{'median':>9}{'over bare':>11}   code")
    for name, times in found.items():
        print(
            f"{name:<16}{min(times) * 1000:>6.0f} ms{median(times) * 1000:>6.0f} ms"
            f"{(min(times) - bare) * 1000:>8.0f} ms   {codes[name]}"
        )


def size(rounds: int) -> None:
    from countwheel import api
    from extreme_running import arbors

    points: list[tuple[int, float]] = []
    print(f"{'arbors':>7}{'letters':>10}{'seconds':>10}{'each':>12}   all figures, in one process, the least")
    for number in (10, 100, 1_000, 10_000):
        text = arbors(number)
        times = timed(partial(api.check_text, text), rounds if number < 10_000 else 1)
        points.append((number, min(times)))
        print(
            f"{number:>7}{len(text):>10}{min(times):>10.3f}{min(times) / number * 1e6:>9.0f} µs", flush=True
        )
    for (few, first), (many, last) in pairwise(points):
        slope = math.log(last / first) / math.log(many / few)
        print(f"slope from {few:,} to {many:,}: {slope:.2f} (1 grows as the size does)")


def parse(rounds: int) -> None:
    """Of all demos: our reading (layout, tokens, shapes) and lark's LALR parse of the very tokens, line by line."""
    from countwheel.project import parse as read
    from countwheel.source import Source
    from countwheel.syntax.layout import lay_out
    from countwheel.syntax.lines import tokens_of
    from countwheel.syntax.parser import line_parser
    from lark import Token

    texts = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "specs").rglob("*.movement"))]
    lines = [line for text in texts for line in lay_out(Source("demo", text))[0].walk()]
    tokens = [[Token(token.type, token.text) for token in tokens_of(line.content)] for line in lines]
    parser = line_parser()

    def bare() -> None:
        for some in tokens:
            feeding = parser.parse_interactive()
            for token in some:
                feeding.feed_token(token)
            feeding.feed_eof()

    ways: dict[str, Callable[[], object]] = {
        "ours: text to lines with their items": lambda: [read(Source("demo", text)) for text in texts],
        "lark: the tokens to trees, no more": bare,
    }
    letters = sum(map(len, texts))
    print(f"{len(lines):,} lines, {letters:,} letters")
    for name, way in ways.items():
        times = timed(way, rounds)
        print(f"{name:<40}{min(times) * 1000:7.1f} ms   {len(lines) / min(times):10,.0f} lines/s")


def register(clocks: int) -> None:
    """A register of clocks, no two the same: going trains with a dial, as most are of which not much is written yet."""
    with tempfile.TemporaryDirectory() as where:
        folder = Path(where)
        names = []
        for at in range(clocks):
            names.append(str(folder / f"clock-{at:04}.movement"))
            Path(names[-1]).write_text(LITTLE.format(at=at, wheel=60 + at % 60), encoding="utf-8")
        listed = "the first run", "the same again", f"{max(1, clocks // 100)} of them changed"
        print(f"{clocks} clocks, {os.cpu_count()} cores")
        for what in listed:
            if what == listed[2]:
                for name in names[: max(1, clocks // 100)]:
                    Path(name).write_text(
                        Path(name).read_text(encoding="utf-8") + "\n# changed\n", encoding="utf-8"
                    )
            began = perf_counter()
            done = subprocess.run(
                [TOOL, "build", *names, "--to", str(folder / "out")],
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                check=True,
                text=True,
            )
            seconds = perf_counter() - began
            print(f"{what:<24}{seconds:8.1f} s   {done.stdout.splitlines()[-1]}", flush=True)


def main() -> None:
    asked = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    asked.add_argument("what", choices=("commands", "size", "parse", "register"))
    asked.add_argument("--rounds", type=int, default=5)
    asked.add_argument("--clocks", type=int, default=2_000)
    options = asked.parse_args()
    match options.what:
        case "commands":
            commands(options.rounds)
        case "size":
            size(options.rounds)
        case "parse":
            parse(options.rounds)
        case "register":
            register(options.clocks)


if __name__ == "__main__":
    main()
