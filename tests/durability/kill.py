"""Kills `countwheel build` at random moments and looks at what is left.

python tests/durability/kill.py --times 100 [--seed 1] [--demo penquay-harbour-office]

The moments are spread over as long as a whole build takes here, as measured first. After each the folder must be
wholly that of one version, as its manifest says, and after the next build wholly that of the version built, with
nothing left over beside it.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]


class Wrong(AssertionError):
    """What no stop may leave."""


def sums(folder: Path) -> dict[str, str]:
    """Every file below a folder with its SHA-256 sum."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def is_whole(folder: Path) -> None:
    """Raises Wrong where a built folder is not what its manifest says."""
    there = sums(folder)
    listed = json.loads((folder / "manifest.json").read_bytes())["files"]
    if listed != {name: one for name, one in there.items() if name != "manifest.json"}:
        raise Wrong(f"{folder} is not what its manifest says")


def begin(description: Path, out: Path) -> subprocess.Popen[bytes]:
    call = [sys.executable, "-m", "countwheel.cli", "build", str(description), "--to", str(out)]
    return subprocess.Popen(
        call, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True, cwd=out.parent
    )


def build(description: Path, out: Path) -> float:
    """Seconds that a whole build took."""
    start = time.perf_counter()
    process = begin(description, out)
    _, said = process.communicate()
    if process.returncode:
        raise Wrong(said.decode())
    return time.perf_counter() - start


def two_versions(folder: Path, description: Path) -> tuple[Path, Path]:
    """The description and one of another clock's name, each in a folder of its own, under one file name."""
    found = []
    for name in ("first", "second"):
        shutil.copytree(description.parent, folder / name)
        path = folder / name / description.name
        if name == "second":
            lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
            at = next(number for number, line in enumerate(lines) if line.startswith("clock "))
            lines[at] = 'clock "Second version"\n'
            path.write_text("".join(lines), encoding="utf-8")
        found.append(path)
    return found[0], found[1]


def killed(times: int, seed: int, folder: Path, description: Path) -> Counter[str]:
    """How often what was left was the old version, the new one; raises Wrong for anything else."""
    first, second = two_versions(folder, description)
    out, target = folder / "out", folder / "out" / description.stem
    out.mkdir()
    build(second, out)
    new = sums(target)
    lasts = 1.2 * max(build(first, out) for _ in range(2))  # some are killed at the very end, some after it
    old = sums(target)
    if old == new:
        raise Wrong("the two versions are the same")
    chance = random.Random(seed)
    found: Counter[str] = Counter()
    for _ in range(times):
        process = begin(second, out)
        time.sleep(chance.uniform(0, lasts))
        os.killpg(process.pid, signal.SIGKILL)  # what it does on another core too
        process.communicate()
        is_whole(target)
        there = sums(target)
        if there not in (old, new):
            raise Wrong("neither the old version nor the new one")
        found["old" if there == old else "new"] += 1
        found["something left beside it"] += len(list(out.iterdir())) > 1
        if there == new or chance.random() < 0.1:
            build(first, out)
            if sums(target) != old or list(out.iterdir()) != [target]:
                raise Wrong("the next build is not clean")
    build(second, out)
    if sums(target) != new or list(out.iterdir()) != [target]:
        raise Wrong("the next build is not clean")
    return found


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--times", type=int, default=100)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--demo", default="penquay-harbour-office")
    options = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        description = ROOT / "specs" / options.demo / f"{options.demo}.movement"
        print(dict(killed(options.times, options.seed, Path(folder), description)))


if __name__ == "__main__":
    main()
