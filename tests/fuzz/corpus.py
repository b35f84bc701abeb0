"""The corpus: small inputs that between them go every way that a long run has found, and every fault that was found.

    python tests/fuzz/corpus.py STATE      adds what a long run kept in STATE and the corpus does not show yet

`corpus/found_*.movement` are chosen here and may be chosen anew; files with another name are faults that were mended,
each named for what was wrong, and stay.
"""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
FOLDER = HERE / "corpus"
LARGEST = 700  # characters of an input that is kept
MOST = 90  # of those that are chosen


def inputs() -> list[Path]:
    return sorted(FOLDER.glob("*.movement"))


def read(path: Path) -> str:
    """An input as the run had it: not by way of `files`, which would refuse or mend some."""
    return path.read_bytes().decode("utf-8", "surrogatepass")


def chosen(marks: dict[str, frozenset[str]], most: int) -> list[str]:
    """Texts that have every mark between them as far as `most` go: each time the one with most new for its length."""
    left = set().union(*marks.values()) if marks else set()
    picked: list[str] = []
    while left and len(picked) < most:
        best = max(sorted(marks), key=lambda text: (len(marks[text] & left) / (40 + len(text)), text))
        if not marks[best] & left:
            break
        left -= marks[best]
        picked.append(best)
    return picked


def main(state: Path) -> None:
    import hashlib

    import holds

    found: dict[str, frozenset[str]] = {}
    kept = {read(path): path for path in inputs()}
    for path in (*inputs(), *(state / "liked").glob("*.movement"), *(state / "guided").glob("*")):
        text = path.read_bytes().decode("utf-8", "replace")
        if len(text) <= LARGEST:
            marks = holds.look(text, printed=False, seconds=10).marks
            found[text] = frozenset(mark for mark in marks if "+" not in mark)
    picked = chosen(found, MOST)
    for text, path in kept.items():
        if path.name.startswith("found_") and text not in picked:
            path.unlink()
    for text in picked:
        if text not in kept:
            name = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:10]
            (FOLDER / f"found_{name}.movement").write_bytes(text.encode("utf-8", "surrogatepass"))
    print(f"{len(inputs())} inputs, {sum(path.stat().st_size for path in inputs())} bytes")


if __name__ == "__main__":
    sys.path.insert(0, str(HERE))
    main(Path(sys.argv[1]))
