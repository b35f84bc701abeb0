"""The starter description: a notebook's first page, with `?` where the keeper has still to look.

Whatever trains are asked for, the text passes `check` as it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from countwheel.model.node import slug

TRAINS = ("going", "strike", "chime")


@cache
def _pieces() -> dict[str, str]:
    """The pieces of the starter's text by name, from the template file."""
    from importlib.resources import files

    text = files("countwheel.emit").joinpath("templates/starter.txt").read_text(encoding="utf-8")
    pieces: dict[str, str] = {}
    for piece in text.split("%%% ")[1:]:
        name, _, body = piece.partition("\n")
        pieces[name.strip()] = body
    return pieces


def starter(name: str, trains: Sequence[str], dials: Sequence[str]) -> tuple[str, dict[str, str]]:
    """The new folder's name, and its files by name. An empty name where nothing of the clock's name can be used."""
    stem = slug(name).replace("_", "-")
    pieces = _pieces()
    quoted = name.replace('"', "'")
    text = pieces["head"].replace("NAME", quoted)
    for train in dict.fromkeys(trains):
        text += pieces[train]
    text += pieces["pendulum"] if "going" in trains else ""
    shown = ", ".join(f'"{dial}"' if not dial.isalpha() else dial for dial in dials)
    text += pieces["dials"].replace("DIALS", f" {shown}" if shown else "")
    text += pieces["tail"]
    return stem, {
        f"{stem}.movement": text,
        "README.md": pieces["readme"].replace("NAME", quoted).replace("FILE", f"{stem}.movement"),
        ".gitignore": pieces["ignore"],
        ".gitattributes": pieces["attributes"],
    }
