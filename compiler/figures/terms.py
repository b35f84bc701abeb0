"""Terms: the values that go into a formula, each with where it came from and how well it is known."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import NamedTuple

from countwheel.figures.formula import Numeric
from countwheel.figures.record import Input
from countwheel.figures.units import from_si, ratio, unit
from countwheel.model.node import Node
from countwheel.model.values import Count, Evidence, Number, Quantity, Value, Words

# From the best known to the least. A figure stands on the weakest of its inputs.
STANDINGS = (
    "counted",
    "measured",
    "stamped",
    "copied",
    "deduced",
    "told",
    "unstated",
    "estimated",
    "assumed",
    "doubted",
)
_RANK = {how: rank for rank, how in enumerate(STANDINGS)}
_ROOT_3 = math.sqrt(3)


class Origin(NamedTuple):
    """What a term goes back to, so that it can be worked out again with other values.

    `kind`: fact, figure, constant. `key` is the path, the figure's id or the
    constant's name; `scale` takes what stands there to the term's unit.
    """

    kind: str
    key: str
    scale: Numeric = Fraction(1)


@dataclass(frozen=True, slots=True)
class Term:
    """A value in `unit`, or None where it waits.

    `parts` are the first-order contributions to its standard uncertainty, in
    `unit`, signed, by the independent input they come from (a path of the
    description, or a constant's name): this is what keeps correlations.
    """

    value: Numeric | None
    unit: str
    what: str
    parts: dict[str, float] = field(default_factory=dict)
    inputs: tuple[Input, ...] = ()
    waits: tuple[str, ...] = ()
    origin: Origin | None = None

    @property
    def known(self) -> bool:
        return self.value is not None

    @property
    def uncertainty(self) -> float:
        return math.sqrt(sum(part * part for part in self.parts.values()))

    def named(self, what: str) -> Term:
        """The same term under another description."""
        return replace(self, what=what)

    def to(self, target: str) -> Term:
        """The same value in another unit of the same kind."""
        scale = ratio(self.unit, target)
        if scale == 1:
            return replace(self, unit=target)
        by = float(scale)
        return replace(
            self,
            value=None if self.value is None else self.value * scale,
            unit=target,
            parts={key: part * by for key, part in self.parts.items()},
            origin=self.origin._replace(scale=self.origin.scale * scale) if self.origin else None,
        )


def standing_of(evidence: Evidence) -> str:
    """The standing of one fact: what is doubted, or was perhaps never there, is weaker than any word says."""
    return "doubted" if evidence.doubted or evidence.perhaps else evidence.how


def weakest(inputs: Iterable[Input]) -> str:
    """The standing of the weakest of the inputs; 'exact' where none is known by a word of evidence."""
    return max((one.how for one in inputs if one.how), key=_RANK.__getitem__, default="exact")


def evidence_text(evidence: Evidence) -> str:
    """How a value is known, in a line: `measured on 2026-05-02 by KT`."""
    words: list[str] = [evidence.how]
    if evidence.on:
        words.append(f"on {evidence.on}")
    if evidence.by:
        words.append(f"by {evidence.by}")
    if evidence.source:
        words.append(f"from {evidence.source}")
    if evidence.doubted:
        words.append(f"doubted: {evidence.doubted}")
    if evidence.lost:
        words.append("the part is lost")
    if evidence.perhaps:
        words.append("perhaps")
    return " ".join(words)


def fact_input(path: str, written: str, evidence: Evidence, tolerance: str = "") -> Input:
    """A fact of the description as an input of a figure."""
    return Input(path, written, evidence_text(evidence), tolerance, standing_of(evidence))


def _plain_number(value: float) -> Numeric:
    """A plain number as an exact fraction where it is plainly one (7.5, 0.2, 1/3)."""
    near = Fraction(value).limit_denominator(1000)
    return near if float(near) == value else value


def waiting(path: str, what: str, target: str = "") -> Term:
    """A term that waits for the fact at `path`."""
    return Term(None, target, what, waits=(path,), origin=Origin("fact", path))


def fact_term(
    node: Node | None, path: str, what: str, target: str, part: str = "value", key: str | None = None
) -> Term:
    """The part of a fact as a term in the unit `target`; it waits where the fact is missing or unknown.

    A tolerance ± a counts as a rectangular half-width: u = a/√3 (GUM 4.3.7). `key` names the
    fact where several have one path (the lines of a stack).
    """
    unit(target)
    value: Value | None = node.values.get(part) if node is not None else None
    key = key or (node.path if node is not None else path)
    if node is None or not isinstance(value, (Quantity, Count, Number)):
        return waiting(key, what, target)
    name = key if part == "value" else f"{key} ({part})"
    evidence = value.evidence if value.evidence.how != "unstated" else node.evidence
    tolerance = None if isinstance(value, Count) else value.tolerance
    given = fact_input(name, value.written, evidence, tolerance.written if tolerance else "")
    number: Numeric
    u = 0.0
    if isinstance(value, Quantity):
        number = from_si(value.si, target)
        if tolerance:
            u = tolerance.half_width / float(unit(target).factor) / _ROOT_3
    else:
        number = Fraction(value.value) if isinstance(value, Count) else _plain_number(value.value)
        if tolerance:
            u = tolerance.half_width / _ROOT_3
    return Term(
        number,
        target,
        what,
        parts={name: u} if u else {},
        inputs=(given,),
        origin=Origin("fact", name),
    )


def words_input(node: Node, part: str = "value", path: str = "") -> Input:
    """A fact (or a part of one) whose value is a word: a material, a kind of line, as an input of a figure.

    `path` names the fact where several have one path (the lines of a stack).
    """
    value = node.values.get(part)
    if value is None and part == "value":
        value = next(iter(node.values.values()), None)  # `rod pine`: what it is of, not the word `rod` again
    written = value.written if isinstance(value, Value) else node.written
    if isinstance(value, Words):
        written = value.text
    name = path or node.path
    return fact_input(name if part == "value" else f"{name} ({part})", written, node.evidence)


def constant(
    value: Numeric, target: str, what: str, u: float = 0.0, source: str = "", assumed: bool = False
) -> Term:
    """A number that the description does not give: a constant of nature or of a table.

    `u` is its standard uncertainty in `target`. An `assumed` one (an efficiency,
    a usual value) is listed among the inputs and weakens the figure's standing.
    A constant is known by its name `what`: two with one name are one input.
    """
    unit(target)
    inputs: tuple[Input, ...] = ()
    if u or assumed:
        from countwheel.figures.rounding import significant, uncertainty_text

        shown = f"{significant(float(value), 6)}{f' {target}' if target else ''}"
        how = ("assumed" if assumed else "from a table") + (f" ({source})" if source else "")
        tolerance = f"standard uncertainty {uncertainty_text(u)}" if u else ""
        inputs = (Input(what, shown, how, tolerance, "assumed" if assumed else ""),)
    return Term(
        Fraction(value) if isinstance(value, int) else value,
        target,
        f"{what}{f' ({source})' if source and not inputs else ''}",
        parts={what: u} if u else {},
        inputs=inputs,
        origin=Origin("constant", what),
    )
