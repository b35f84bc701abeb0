"""Every input of the corpus, over again: what the long runs found worth keeping, and every fault that they found.

Each is stopped where it hangs; how long an input may take is measured by the long run (`long.py`), not here.
"""

from __future__ import annotations

from pathlib import Path

import corpus
import holds
import pytest

HANGS = 60.0  # seconds
NAMED = [path for path in corpus.inputs() if not path.name.startswith("found_")]
SOME = [path for at, path in enumerate(corpus.inputs()) if path not in NAMED and at % 4 == 0]


@pytest.mark.parametrize("path", corpus.inputs(), ids=lambda path: path.stem)
def test_reading_linking_and_figures(path: Path) -> None:
    holds.look(corpus.read(path), printed=False, seconds=HANGS)


@pytest.mark.parametrize("path", NAMED + SOME, ids=lambda path: path.stem)
def test_all_that_is_printed_and_written(path: Path) -> None:
    holds.everything_printed(corpus.read(path), seconds=HANGS)


def test_the_corpus_is_small() -> None:
    assert len(corpus.inputs()) > 50
    assert all(path.stat().st_size < 5000 for path in corpus.inputs())
