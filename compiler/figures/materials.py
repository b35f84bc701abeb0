"""Materials: expansion and density with their ranges, from `grammar/materials.table`."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from countwheel.figures.book import Term, constant
from countwheel.figures.terms import words_input
from countwheel.grammar import rows
from countwheel.model.node import Node


class Range(NamedTuple):
    """A value with the range it may have (a rectangle) and where it is from."""

    value: float
    least: float
    most: float
    source: str

    @property
    def uncertainty(self) -> float:
        """Standard uncertainty: half the range over √3 (GUM 4.3.7)."""
        return (self.most - self.least) / 2 / math.sqrt(3)


class Material(NamedTuple):
    """`expansion` in millionths per °C (of length; of volume for mercury), `density` in kg/m³."""

    name: str
    names: tuple[str, ...]
    expansion: Range
    density: Range

    @property
    def is_wood(self) -> bool:
        return "grain" in self.expansion.source

    @property
    def is_liquid(self) -> bool:
        return self.name == "mercury"


def _read_range(cells: list[str]) -> Range:
    return Range(float(cells[0]), float(cells[1]), float(cells[2]), cells[3])


@lru_cache(maxsize=1)
def table() -> tuple[Material, ...]:
    """Every row of the table, in its order."""
    found = []
    for cells in rows("materials.table"):
        names = tuple(name.strip() for name in cells[0].split(","))
        found.append(Material(names[0], names, _read_range(cells[1:5]), _read_range(cells[5:9])))
    return tuple(found)


@lru_cache(maxsize=256)
def find(written: str) -> Material | None:
    """The material of that name: the longest known name among the words written (`varnished red pine`)."""
    words = " ".join(re.findall(r"[a-z]+", written.lower()))
    best: tuple[int, Material] | None = None
    for material in table():
        for name in material.names:
            if re.search(rf"\b{re.escape(name)}\b", words) and (best is None or len(name) > best[0]):
                best = (len(name), material)
    return best[1] if best else None


def expansion(
    written: str, of: str, node: Node | None = None, part: str = "value", path: str = ""
) -> Term | None:
    """The expansion of a material as a term in /°C; None where the material is not in the table.

    `node` is the fact that names the material, in that `part` of it: it becomes an input, by `path` where
    several facts have the same. Parts of one material share one expansion (one casting, one bar): its name
    is the material's, so that it is one input of the budget.
    """
    material = find(written)
    if material is None:
        return None
    found = material.expansion
    term = constant(
        found.value * 1e-6, "/°C", f"expansion of {material.name}", found.uncertainty * 1e-6, found.source
    ).named(f"expansion of {of} ({material.name})")
    return _told_by(node, term, part, path)


def density(written: str, of: str, node: Node | None = None) -> Term | None:
    """The density of a material as a term in kg/m³; None where the material is not in the table."""
    material = find(written)
    if material is None:
        return None
    found = material.density
    term = constant(
        found.value, "kg/m³", f"density of {material.name}", found.uncertainty, found.source
    ).named(f"density of {of} ({material.name})")
    return _told_by(node, term)


def _told_by(node: Node | None, term: Term, part: str = "value", path: str = "") -> Term:
    if node is None:
        return term
    return replace(term, inputs=(words_input(node, part, path), *term.inputs))
