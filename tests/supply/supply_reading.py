"""What the project file, the lock and the page on dependencies say, for the tests of them."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from importlib import metadata
from pathlib import Path
from typing import Any, NamedTuple

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name as canonical

ROOT = Path(__file__).parent.parent.parent
PAGE = ROOT / "specs" / "reference" / "dependencies.md"
LOCK = ROOT / ".ci" / "lock.txt"
MADE_FOR = ("linux", 3, 11)  # the system and the Python of the lock


def project() -> dict[str, Any]:
    with (ROOT / "pyproject.toml").open("rb") as file:
        found: dict[str, Any] = tomllib.load(file)["project"]
    return found


def asked_for(extra: str | None = None) -> list[Requirement]:
    """The requirements of the project file that hold on this machine, without an extra or of that extra alone."""
    about = project()
    texts = about["dependencies"] if extra is None else about["optional-dependencies"][extra]
    return [one for one in map(Requirement, texts) if one.marker is None or one.marker.evaluate()]


def brought_by(requirements: Iterable[Requirement]) -> dict[str, set[str]]:
    """Every distribution that these need on this machine, by its canonical name, with those that ask for it.

    Read from what the installed distributions say. Raises PackageNotFoundError for one that is not installed.
    """
    found: dict[str, set[str]] = {}
    waiting = [("", one) for one in requirements]
    done = set()
    while waiting:
        by, asked = waiting.pop()
        name = canonical(asked.name)
        found.setdefault(name, set()).update({by} - {""})
        if (name, frozenset(asked.extras)) in done:
            continue
        done.add((name, frozenset(asked.extras)))
        for needed in map(Requirement, metadata.requires(name) or []):
            if needed.marker is None or any(
                needed.marker.evaluate({"extra": extra}) for extra in asked.extras or {""}
            ):
                waiting.append((name, needed))
    return found


class Row(NamedTuple):
    name: str
    licence: str
    why: str


def tables(text: str) -> list[list[Row]]:
    """The tables of three columns of a page, in order, each row by its canonical name in the first column."""
    found: list[list[Row]] = []
    for block in re.findall(r"(?:^\|.*\|\n)+", text, re.MULTILINE):
        rows = [[cell.strip() for cell in line.strip("| ").split(" | ")] for line in block.splitlines()]
        found.append([Row(canonical(name), licence, why) for name, licence, why in rows[2:]])
    return found


class Locked(NamedTuple):
    version: str
    sums: list[str]


def locked() -> dict[str, Locked]:
    """What the lock has, by canonical name."""
    found: dict[str, Locked] = {}
    for name, version, rest in re.findall(
        r"^([\w.-]+)==(\S+)((?: \\\n    --hash=\S+)*)$", LOCK.read_text(encoding="utf-8"), re.MULTILINE
    ):
        found[canonical(name)] = Locked(version, re.findall(r"--hash=(\S+)", rest))
    return found
