"""The lock names an exact release of all that CI installs, with the sums of its files, and no place to get it from."""

from __future__ import annotations

import re
import sys
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name as canonical
from supply_reading import LOCK, MADE_FOR, asked_for, locked

here = pytest.mark.skipif(
    (sys.platform, *sys.version_info[:2]) != MADE_FOR, reason="the lock is made for Python 3.11 on Linux"
)


@here
def test_all_that_is_asked_for_is_locked_within_its_range() -> None:
    lock = locked()
    wrong = [
        str(asked)
        for asked in [*asked_for(), *asked_for("dev")]
        if canonical(asked.name) not in lock or lock[canonical(asked.name)].version not in asked.specifier
    ]
    assert not wrong, "run .ci/lock, which writes the lock anew"


@here
def test_what_the_locked_need_in_turn_is_locked_too() -> None:
    """As far as the release that is locked is the one that is installed here: in CI, that is all of them."""
    lock = locked()
    seen = 0
    for name, (version, _) in lock.items():
        if all(one.version != version for one in metadata.distributions(name=name)):
            continue
        for needed in map(Requirement, metadata.requires(name) or []):
            if needed.marker is None or needed.marker.evaluate({"extra": ""}):
                seen += 1
                assert lock[canonical(needed.name)].version in needed.specifier, (name, str(needed))
    assert seen > 20


def test_nothing_is_locked_without_a_sum() -> None:
    """And no line of the lock is of another kind than those that are read here."""
    lock = locked()
    text = LOCK.read_text(encoding="utf-8")
    assert len(lock) == len(re.findall(r"^[^#\s]", text, re.MULTILINE))
    assert sum(len(one.sums) for one in lock.values()) == text.count("--hash=")
    for name, one in lock.items():
        assert one.sums, name
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", each) for each in one.sums), name
        assert len(set(one.sums)) == len(one.sums), name


def test_the_lock_names_no_place() -> None:
    """No index, no host, no folder: whichever mirror a machine is set up with, the sums say what is right."""
    text = re.sub(r"sha256:[0-9a-f]{64}", "", LOCK.read_text(encoding="utf-8"))
    assert not re.search(
        r"https?:|://|@|index|find-links|trusted|file:|/(tmp|home|root|opt|usr|work)\b", text
    )
    assert set(re.findall(r"--[\w-]+", text)) == {"--hash"}
