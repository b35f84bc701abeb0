"""Files far larger than any clock, each checked in a process of its own: an answer, in bounds of memory.

How long each takes is printed by `python tests/benchmarks/extremes.py`; tests/properties/test_size.py holds that time
grows as the size does.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel import files
from extreme_running import LARGE, MOST_MEGABYTES, taken

TOO_MANY = {"too many lines", "too many words"}


@pytest.mark.parametrize("name", [name for name in LARGE if name not in ("arbors", "log", "unknown words")])
def test_it_is_answered_in_bounds(tmp_path: Path, name: str) -> None:
    text, size = LARGE[name]
    answered(tmp_path, name, text(size))


@pytest.mark.parametrize(("name", "of"), [("arbors", 4), ("log", 8), ("unknown words", 8)])
def test_a_part_of_those_that_take_seconds(tmp_path: Path, name: str, of: int) -> None:
    """The memory is that of the whole by the share of it that was made."""
    text, size = LARGE[name]
    answered(tmp_path, name, text(size // of), of)


def answered(folder: Path, name: str, text: str, of: int = 1) -> None:
    file = folder / "large.movement"
    file.write_text(text, encoding="utf-8")
    found = taken("check", file)
    assert found.code in (0, 1)
    assert "Traceback" not in found.said
    assert found.said
    bare = 40.0  # of Python and what is loaded
    assert bare + (found.megabytes - bare) * of < MOST_MEGABYTES
    assert (files.TOO_MANY in found.said) == (name in TOO_MANY)


def test_what_is_far_too_large_is_not_read_to_its_end(tmp_path: Path) -> None:
    file = tmp_path / "large.movement"
    with file.open("wb") as stream:
        stream.truncate(3_000_000_000)  # of nothing: takes no room on the disk
    found = taken("check", file)
    assert (found.code, "far too large" in found.said) == (1, True)
    assert found.megabytes < MOST_MEGABYTES
