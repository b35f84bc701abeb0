"""The grammar of a line, the vocabulary, the units and the tables of materials, as data.

Holds only files that people can read and edit; imports nothing of the
compiler and computes nothing.
"""

from __future__ import annotations

from importlib.resources import files


def read(name: str) -> str:
    """The text of one of this folder's files (`line.lark`, `vocabulary.table`, ...)."""
    return files(__name__).joinpath(name).read_text(encoding="utf-8")


def rows(name: str) -> list[list[str]]:
    """The rows of a `.table` file: cells between bars, blank lines and `#` lines left out."""
    found = []
    for line in read(name).splitlines():
        if line and not line.startswith("#"):
            found.append([cell.strip() for cell in line.split("|")])
    return found
