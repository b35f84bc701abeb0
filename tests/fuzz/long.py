"""The long run: so many inputs made, changed and tried, by several processes; it goes on where it was stopped.

    python tests/fuzz/long.py --inputs 2000000 --jobs 2      reading, linking, figures
    python tests/fuzz/long.py --emitters 20000 --pdf 50      all that is printed and written; every 50th as PDF too
    python tests/fuzz/long.py --guided 100000                by what code an input reaches (the `fuzz` extra)
    python tests/fuzz/long.py --table                        what has been done so far, and no more

All is kept in the folder `--state` (`out/fuzz` unless another is named): the account of each worker, inputs that
showed something new (`liked/`), and every fault as a file, with the traceback beside it (`faults/`).
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fuzz_making import Maker

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
KINDS = ("inputs", "emitters", "guided")
BLOCK = {"inputs": 200, "emitters": 10}
RENEWED = 0.7  # of the memory allowed: the library that sets PDFs keeps something of each of thousands
TAKEN = 4  # as in `ledger.py`, which loads the whole program
STUCK = 60  # seconds of a worker's own time on one input, after which it is ended
LIKED = 4000  # inputs that a worker has at hand to change further
SMALL = 500  # characters: what is longer is not changed further


# -- one worker -----------------------------------------------------------------------
def work(kind: str, number: int, quota: int, state: Path, pdf: int) -> int:
    """Tries inputs until the quota is full. Returns 0, or 3 where a new process is to go on."""
    import holds
    from fuzz_making import Maker, samples
    from ledger import Ledger

    ledger = Ledger(state, f"{kind}-{number}")
    known = ledger.known
    liked = [path.read_text(encoding="utf-8", errors="replace") for path in _kept(state)]
    holds.look(samples()[0], seconds=60)  # what is loaded and made once is no input's own
    if kind == "emitters":
        holds.everything_printed(samples()[0], pdf=True, seconds=120)
    gc.collect()
    gc.freeze()
    while known["inputs"] < quota:
        dice = Random(f"{kind} {number} {known['blocks']}")
        maker = Maker(dice, liked)
        for _ in range(BLOCK[kind]):
            if kind == "inputs":
                text = maker.next()
                printed = dice.random() < 0.02  # SARIF takes longer than all the rest
                seen = ledger.tried(text, lambda text, printed=printed: holds.look(text, printed=printed))
                if seen is None:
                    continue
                known["accepted"] += not seen.result.has_errors
                if len(text) < SMALL and ledger.like(text, seen.marks):
                    liked.append(text)
                    if len(liked) > LIKED:
                        liked.pop(dice.randrange(len(liked)))
            else:
                text = _acceptable(maker, dice)
                as_pdf = pdf > 0 and dice.randrange(pdf) == 0
                accepted = ledger.tried(
                    text, lambda text, as_pdf=as_pdf: holds.everything_printed(text, pdf=as_pdf)
                )
                known["accepted"] += bool(accepted)
                known["pdf"] += bool(accepted and as_pdf)
        known["blocks"] += 1
        ledger.save()
        if holds.memory() > RENEWED * holds.MEGABYTES:
            return 3
    return 0


def _kept(state: Path) -> list[Path]:
    return sorted((HERE / "corpus").glob("*.movement")) + sorted((state / "liked").glob("*.movement"))[:LIKED]


def _acceptable(maker: Maker, dice: Random) -> str:
    """An input that is accepted for the most part: of several, the first that has no errors."""
    from fuzz_making import samples
    from holds import compiled

    text = ""
    for _ in range(1 if dice.random() < 0.05 else 25):
        how = dice.random()
        if how < 0.01:
            text = maker.changed_number(dice.choice(samples()))
        else:
            text = maker.description() if how < 0.5 or not maker.liked else dice.choice(maker.liked)
            text = maker.mutated(text, 1) if how > 0.25 else text
        with contextlib.suppress(Exception):
            if not compiled(text, working=False).has_errors:
                return text
    return text


# -- the run --------------------------------------------------------------------------
class Job:
    """A worker process, begun anew where it ended before its quota was full."""

    def __init__(self, kind: str, number: int, quota: int, state: Path, pdf: int) -> None:
        self.kind, self.number, self.quota, self.state, self.pdf = kind, number, quota, state, pdf
        self.name = f"{kind}-{number}"
        self.deaths = 0
        self.process: subprocess.Popen[bytes] | None = None
        self.seen = (b"", 0.0)
        self.start()

    def start(self) -> None:
        script = "guided.py" if self.kind == "guided" else "long.py"
        call = [sys.executable, str(HERE / script), "--worker", self.kind, str(self.number), str(self.quota)]
        call += ["--state", str(self.state), "--pdf", str(self.pdf)]
        log = (self.state / f"{self.name}.log").open("ab")
        self.process = subprocess.Popen(call, stdout=log, stderr=log, cwd=ROOT)

    def done(self) -> bool:
        """Whether it is at its end; one that died is begun anew, one that is stuck is ended first."""
        assert self.process is not None
        code = self.process.poll()
        if code is None:
            self._watch()
            return False
        if code == 0:
            return True
        if code == TAKEN:
            print(f"{self.name}: another run keeps this account", flush=True)
            return True
        if code != 3:
            self.deaths += 1
            self._tell(f"the process ended with {code}")
        if self.deaths > 50:
            return True
        self.start()
        return False

    def _watch(self) -> None:
        assert self.process is not None
        try:
            with (self.state / "now" / self.name).open("rb") as handle:
                at = handle.read(8)
            fields = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        except OSError:
            return
        spent = (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
        if at != self.seen[0]:
            self.seen = (at, spent)
        elif self.kind != "guided" and spent - self.seen[1] > STUCK:
            self._tell(f"one input took more than {STUCK} s and could not be stopped")
            self.process.kill()
            self.seen = (b"", 0.0)

    def _tell(self, why: str) -> None:
        """The input that the worker was at, as a fault."""
        with contextlib.suppress(OSError):
            data = (self.state / "now" / self.name).read_bytes()
            stem = self.state / "faults" / f"ended-{self.name}-{int(time.time())}"
            stem.with_suffix(".movement").write_bytes(data[16 : 16 + int.from_bytes(data[8:16], "little")])
            stem.with_suffix(".txt").write_text(why + "\n", encoding="utf-8")


def table(state: Path) -> str:
    """What has been done so far."""
    rows = [("", "inputs", "accepted", "as PDF", "a second", "slowest", "memory", "faults", "kept")]
    seen: dict[str, int] = {}
    for kind in KINDS:
        accounts = [
            json.loads(path.read_text(encoding="utf-8")) for path in sorted(state.glob(f"{kind}-*.json"))
        ]
        if not accounts:
            continue
        total = {
            name: sum(one[name] for one in accounts)
            for name in ("inputs", "accepted", "pdf", "seconds", "liked")
        }
        for one in accounts:
            for fault, number in one["faults"].items():
                seen[fault] = seen.get(fault, 0) + number
        rows.append((
            kind, str(total["inputs"]), str(total["accepted"]), str(total["pdf"]),
            f"{total['inputs'] / max(total['seconds'], 1e-9):.0f}",
            f"{max(one['slowest'] for one in accounts):.2f} s",
            f"{max(one['memory'] for one in accounts):.0f} MB",
            str(sum(sum(one["faults"].values()) for one in accounts)),
            str(total["liked"]),
        ))  # fmt: skip
    ended = len(list((state / "faults").glob("ended-*.txt")))
    lines = ["  ".join(f"{cell:>9}" for cell in row) for row in rows]
    lines += [f"{number:6}  {fault}" for fault, number in sorted(seen.items(), key=lambda one: -one[1])]
    lines += [f"{ended:6}  workers that ended by themselves or were stuck"] if ended else []
    return "\n".join(lines)


def run(options: argparse.Namespace) -> int:
    state: Path = options.state
    state.mkdir(parents=True, exist_ok=True)
    for folder in ("faults", "liked", "now"):
        (state / folder).mkdir(exist_ok=True)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the workers are ended with it
    jobs = []
    for kind in KINDS:
        wanted = getattr(options, kind)
        if wanted:
            number = 1 if kind == "guided" else options.jobs
            jobs += [Job(kind, at, -(-wanted // number), state, options.pdf) for at in range(number)]
    told = 0.0
    try:
        while jobs:
            time.sleep(0.5)
            jobs = [job for job in jobs if not job.done()]
            if time.monotonic() - told > options.every or not jobs:
                told = time.monotonic()
                print(f"{time.strftime('%H:%M:%S')}\n{table(state)}\n", flush=True)
    finally:
        for job in jobs:
            if job.process is not None:
                job.process.terminate()
    return 1 if any((state / "faults").iterdir()) else 0


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--inputs", type=int, default=0, help="so many through reading, linking and figures")
    parser.add_argument(
        "--emitters", type=int, default=0, help="so many through all that is printed and written"
    )
    parser.add_argument("--guided", type=int, default=0, help="so many guided by the code that they reach")
    parser.add_argument("--pdf", type=int, default=50, help="every so-manieth is set as PDF too; 0 is none")
    parser.add_argument("--jobs", type=int, default=1, help="processes of each kind")
    parser.add_argument("--state", type=Path, default=ROOT / "out" / "fuzz")
    parser.add_argument("--every", type=float, default=30, help="seconds between two tables")
    parser.add_argument("--table", action="store_true", help="print what has been done and stop")
    parser.add_argument("--worker", nargs=3, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.table:
        print(table(options.state))
        return 0
    if options.worker:
        kind, number, quota = options.worker
        return work(kind, int(number), int(quota), options.state, options.pdf)
    return run(options)


if __name__ == "__main__":
    sys.path.insert(0, str(HERE))
    sys.exit(main())
