"""Which description a file belongs to: the one that includes it, directly or through other files."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from posixpath import normpath

from countwheel import api, files
from countwheel.files import ENDING, Trouble

MOST_LEVELS = 6  # folders above a file in which its description is looked for
MOST_FILES = 200  # descriptions looked at in one folder
_INCLUDE = re.compile(r"^[ \t]*include\b", re.MULTILINE | re.IGNORECASE)


@lru_cache(maxsize=256)
def _names(text: str) -> tuple[str, ...]:
    # Most files include none, and need not be parsed to know it.
    return api.includes(text) if _INCLUDE.search(text) else ()


def names_in(text: str) -> tuple[str, ...]:
    """The files that a text includes, as written."""
    return _names(text)


def description_of(path: Path, unsaved: Mapping[Path, str]) -> Path:
    """The description that a file belongs to: itself where none above includes it; the nearest where several do.

    `path` is absolute; what is `unsaved` (by its resolved path) counts before what is on the disk.
    """
    own = path.resolve()
    reach: dict[Path, set[Path]] = {}
    for folder in list(path.parents)[:MOST_LEVELS]:
        for candidate in _descriptions(folder, unsaved):
            if candidate.resolve() != own and candidate not in reach:
                reach[candidate] = _reach(candidate, unsaved)
    with_it = {candidate: found for candidate, found in reach.items() if own in found}
    inner = {one for found in with_it.values() for one in found}
    return next((candidate for candidate in with_it if candidate.resolve() not in inner), path)


def _descriptions(folder: Path, unsaved: Mapping[Path, str]) -> list[Path]:
    on_disk = files.descriptions_in(folder)[:MOST_FILES]
    there = {path.name for path in on_disk}
    resolved = folder.resolve()
    new = [folder / one.name for one in unsaved if one.parent == resolved and one.name not in there]
    return sorted(on_disk + new)


def _reach(main: Path, unsaved: Mapping[Path, str]) -> set[Path]:
    """The files that a description includes, those that these include with them, inside its own folder."""
    home = main.parent.resolve()
    found: set[Path] = set()
    waiting = [""]
    while waiting:
        name = waiting.pop()
        for asked in names_in(_text(home / name if name else main, unsaved)):
            inner = normpath(f"{name.rpartition('/')[0] or '.'}/{asked.replace(chr(92), '/')}")
            if asked.startswith("/") or inner.startswith("../"):
                continue
            try:
                path = (home / inner).resolve()
            except (OSError, RuntimeError, ValueError):
                continue
            if path not in found and path.is_relative_to(home) and inner.endswith(ENDING):
                found.add(path)
                waiting.append(inner)
    return found


def _text(path: Path, unsaved: Mapping[Path, str]) -> str:
    try:
        text = unsaved.get(path.resolve())
        return text if text is not None else files.read_text(path)
    except (Trouble, OSError, RuntimeError, ValueError):
        return ""
