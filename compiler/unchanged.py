"""Whether what was built of a description is what would be built now, told from sums and without building.

A manifest says what its files were made of: each file of the description by its SHA-256 sum (none for a photograph
that was not there), the program, how it was asked, and for a binder what git told. The same of all gives the same
bytes.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from functools import cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING, Any

from countwheel import api, files
from countwheel.files import Folder, Trouble

if TYPE_CHECKING:
    from countwheel.building import Order

_ENGINES = ("typst", "graphviz-pure", "jinja2")  # whose releases may print otherwise


def basis(result: api.Result, order: Order) -> dict[str, Any]:
    """What the manifest says of what its files are made of."""
    assert result.clock is not None
    main = files.find_description(order.file)
    photos = [node.text(part="file") or "" for node in result.clock.root.all("photo")]
    names = (*api.names_of(result), *photos)
    return _basis(Folder(main.parent), names, order)


def as_built(order: Order) -> bool:
    """Whether the order's folder holds what a build would put there, to the last byte, and nothing else."""
    try:
        manifest = json.loads(files.read_bytes(order.target / "manifest.json"))
        made, listed = manifest["made"], manifest["files"]
        main = files.find_description(order.file)
        if main.name not in made["from"] or made != _basis(Folder(main.parent), made["from"], order):
            return False
        kept = Folder(order.target)
        return not files.not_ours(order.target, listed) and all(
            kept.digest(name) == digest for name, digest in listed.items()
        )
    except (Trouble, ValueError, KeyError, TypeError, AttributeError):
        return False


def _basis(folder: Folder, names: Iterable[str], order: Order) -> dict[str, Any]:
    found = {name: folder.digest(name) for name in sorted(set(names))}
    asked: dict[str, str | int | None] = {
        "paper": order.paper,
        "contacts": order.contacts,
        "issued": order.issued,
    }
    if order.binder:
        asked["binder"] = _history(folder, list(found))
    return {"from": found, "program": program(), "as": asked}


def _history(folder: Folder, names: list[str]) -> str:
    """The sum of what git tells of the description's files: a binder prints it."""
    from countwheel import git

    return hashlib.sha256(repr(git.changes(folder.root, names)).encode()).hexdigest()


@cache
def program() -> str:
    """The sum of this program: its own files and the releases of what sets its pages."""
    total = hashlib.sha256()
    for part in ("countwheel", "countwheel.grammar"):
        for name, content in _contents(resources.files(part)):
            total.update(f"{part}/{name} {hashlib.sha256(content).hexdigest()}\n".encode())
    for engine in _ENGINES:
        total.update(f"{engine} {metadata.version(engine)}\n".encode())
    return total.hexdigest()


def _contents(folder: Traversable, above: str = "") -> Iterator[tuple[str, bytes]]:
    for one in sorted(folder.iterdir(), key=lambda one: one.name):
        name = f"{above}{one.name}"
        if one.name == "__pycache__" or name == "grammar":  # an installed package has its grammar inside it
            continue
        if one.is_dir():
            yield from _contents(one, f"{name}/")
        else:
            yield name, one.read_bytes()
