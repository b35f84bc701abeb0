"""Guided by coverage: atheris tells what code of ours an input reaches, and keeps those that reach more.

    python tests/fuzz/guided.py --inputs 100000            or, with the rest of a long run, long.py --guided 100000

Inputs are changed by the tokens of the language (`fuzz_making.py`), now and then by libFuzzer's own means. Faults are
kept and the run goes on: nothing is raised into the library.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from random import Random

import atheris

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE))

with atheris.instrument_imports(include=["countwheel"]):
    import holds
    from fuzz_making import Maker, samples
    from ledger import Ledger

    holds.look(samples()[0], seconds=120)  # loads what is loaded on first use, while it is watched

SECONDS = 5.0  # code that is watched is several times slower; only what hangs is of interest here
SAVED = 200  # inputs between two accounts
LARGEST = 4096


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--state", type=Path, default=ROOT / "out" / "fuzz")
    parser.add_argument("--worker", nargs=3, help=argparse.SUPPRESS)
    parser.add_argument("--pdf", help=argparse.SUPPRESS)
    options = parser.parse_args()
    kind, number, quota = options.worker or ("guided", "0", options.inputs)
    options.state.mkdir(parents=True, exist_ok=True)
    ledger = Ledger(options.state, f"{kind}-{number}")
    left = int(quota) - ledger.known["inputs"]
    kept = options.state / "guided"
    kept.mkdir(exist_ok=True)

    def one(data: bytes) -> None:
        text = data.decode("utf-8", "replace").replace("\r", "\n")
        seen = ledger.tried(text, lambda text: holds.look(text, printed=False, seconds=SECONDS))
        if seen is not None:
            ledger.known["accepted"] += not seen.result.has_errors
        if ledger.known["inputs"] % SAVED == 0:
            ledger.known["liked"] = sum(1 for _ in kept.iterdir())
            ledger.save()

    def change(data: bytes, most: int, seed: int) -> bytes:
        dice = Random(seed)
        if dice.random() < 0.15:
            return atheris.Mutate(data, most)
        text = Maker(dice).mutated(data.decode("utf-8", "replace"))
        return text.encode("utf-8", "replace")[:most]

    if left <= 0:
        return
    call = [
        sys.argv[0],
        str(kept),
        str(HERE / "corpus"),
        f"-runs={left}",
        f"-max_len={LARGEST}",
        f"-artifact_prefix={options.state}/",
    ]
    call += [
        "-timeout=100000",
        "-rss_limit_mb=0",
        f"-seed={ledger.known['inputs'] + 1}",
        "-print_final_stats=1",
    ]
    atheris.Setup(call, one, custom_mutator=change)
    try:
        atheris.Fuzz()  # ends the process itself
    finally:
        ledger.save()


if __name__ == "__main__":
    main()
