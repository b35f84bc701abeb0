"""The units a keeper may write, read from `grammar/units.table`.

A form (`cwt`, `Paris inch`, `′`) can belong to more than one dimension; the
word it stands behind decides. Sizes are in the coherent SI unit of the dimension.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any, NamedTuple

from countwheel import grammar


class Unit(NamedTuple):
    """`form` is the preferred spelling; `offset` (K) is not 0 for temperature scales only."""

    form: str
    dimension: str
    size: float
    offset: float = 0.0


@cache
def units() -> dict[str, tuple[Unit, ...]]:
    """Every form as a keeper may write it (in lower case where its case says nothing), with its units."""
    found: dict[str, list[Unit]] = {}
    for dimension, forms, size, definition in grammar.rows("units.table"):
        spelt = [form.strip() for form in forms.split(", ")]
        offset = float(definition.split()[1]) if definition.startswith("offset") else 0.0
        unit = Unit(spelt[0], dimension, float(size), offset)
        for form in spelt:
            found.setdefault(form, []).append(unit)
    return {form: tuple(several) for form, several in found.items()}


@cache
def preferred_forms(dimension: str) -> tuple[str, ...]:
    """The usual spellings of a dimension's units, for messages and completion."""
    return tuple(
        dict.fromkeys(u.form for several in units().values() for u in several if u.dimension == dimension)
    )


def squeeze(form: str) -> str:
    return re.sub(r"\s+", " ", form)


@cache
def lookup(form: str, dimension: str) -> Unit | None:
    """The unit of that dimension that `form` means; None where there is none."""
    return next((unit for unit in units().get(squeeze(form), ()) if unit.dimension == dimension), None)


def dimensions_of(form: str) -> tuple[str, ...]:
    return tuple(unit.dimension for unit in units().get(squeeze(form), ()))


@cache
def unit_pattern() -> str:
    """A regular expression for every form, longest first, with shared beginnings written once.

    A form that ends in a letter must end a word. Written as a tree of letters
    it compiles in a third of the time, and each state of the lexer compiles it anew.
    """
    forms = sorted(units(), key=lambda form: (-len(form), form))
    tree: dict[str, Any] = {}
    for form in forms:
        at = tree
        for letter in form:
            at = at.setdefault(letter, {})
        at[""] = form[-1].isalnum()
    return _branches(tree)


def _branches(tree: dict[str, Any]) -> str:
    ways = []
    for letter, below in tree.items():
        if letter == "":
            continue
        inside = _branches(below)
        ways.append(("[ \\t]+" if letter == " " else re.escape(letter)) + inside)
    if "" in tree:
        ways.append(r"(?![\w'’])" if tree[""] else "")
    return ways[0] if len(ways) == 1 else f"(?:{'|'.join(ways)})"
