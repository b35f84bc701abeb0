"""Values and figures made ready to print: the text, and how it is known.

Only numbers, units and dates are put together here; the words round them
stand in the templates. A value of the description is printed as the keeper
wrote it, never converted.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from math import floor

from countwheel.emit.stated import limits
from countwheel.figures.disagreement import Difference, differences
from countwheel.figures.record import Figure
from countwheel.figures.rounding import fixed, places_for, uncertainty_text
from countwheel.model.node import Node
from countwheel.model.values import (
    Absent,
    Count,
    Counts,
    Evidence,
    Moment,
    Number,
    Quantity,
    Text,
    Unknown,
    Value,
    Words,
)

# Evidence that a stranger should not lean on without looking again.
WEAK = frozenset({"told", "estimated", "assumed", "doubted"})
# Evidence that is said beside a value wherever it is printed: all but what was counted, measured or marked on the part.
MARKED = WEAK | {"copied", "unstated"}
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_DATE = re.compile(r"(\d{4}|-)(?:-(\d{2}))?(?:-(\d{2}))?")
_FRACTION = re.compile(r"^(−?-?\d+/\d+) \(([^)]+)\)$")
_DEGREES = re.compile(r"(?<=\d) (?=°(?![CFNSEW]))")


@dataclass(frozen=True, slots=True)
class Shown:
    """One value ready to print. `text` is '' where it is unknown; `limits` is what is known all the same.

    `how` is the evidence's word; `on`, `by`, `source` and `doubted` its details, '' where not said.
    """

    text: str
    path: str = ""
    how: str = "unstated"
    on: str = ""
    by: str = ""
    source: str = ""
    doubted: str = ""
    lost: bool = False
    perhaps: bool = False
    limits: str = ""
    tolerance: str = ""  # stated by the keeper: '± 1/16 in'; not in `text`
    number: bool = False  # a count or a measure, and no name or word
    apart: Difference | None = None  # of one recorded beside another: how it compares with that

    @property
    def known(self) -> bool:
        return bool(self.text)

    @property
    def full(self) -> str:
        """The value with its tolerance, for tables: in a sentence it would only be in the way."""
        return f"{self.text} {self.tolerance}" if self.text and self.tolerance else self.text

    @property
    def weak(self) -> bool:
        return self.how in WEAK or bool(self.doubted) or self.perhaps

    @property
    def marked(self) -> bool:
        """Whether how it is known is said beside it. A name or a word without evidence is the keeper's own."""
        return self.weak or self.lost or (self.how in MARKED and (self.number or self.how != "unstated"))


def show(node: Node | None, part: str = "value") -> Shown | None:
    """A fact's value ready to print; None where it is not stated or there is none."""
    value = node.values.get(part) if node else None
    if node is None or value is None or isinstance(value, Absent):
        return None
    evidence = value.evidence if value.evidence.how != "unstated" else node.evidence
    if isinstance(value, Unknown):
        return _shown("", node.path, evidence, limits=limits(value))
    tolerance = value.tolerance if isinstance(value, (Quantity, Number)) else None
    stated = _DEGREES.sub("", tolerance.written) if tolerance and tolerance.stated else ""
    shown = _shown(value_text(value), node.path, evidence, tolerance=stated)
    return replace(shown, number=isinstance(value, (Quantity, Number, Count, Counts)))


def also_recorded(node: Node, part: str) -> tuple[Shown, ...]:
    """The further values of a fact, each with how it compares with the one that holds."""
    found = []
    for other in node.others:
        name = part if part in other.values else "value"
        shown = show(other, name)
        if shown:
            apart = next((one for one in differences(node, other) if one.part == name), None)
            found.append(replace(shown, apart=apart))
    return tuple(found)


def _shown(text: str, path: str, evidence: Evidence, *, limits: str = "", tolerance: str = "") -> Shown:
    return Shown(
        text,
        path,
        evidence.how,
        date_text(evidence.on or "", short=True),
        evidence.by or "",
        evidence.source or "",
        evidence.doubted or "",
        evidence.lost,
        evidence.perhaps,
        limits,
        tolerance,
    )


def value_text(value: Value) -> str:
    """A value as the keeper wrote it, without tolerance or quotation marks and with dates spelt out."""
    match value:
        case Words() | Text():
            return value.text
        case Count():
            return str(value.value)
        case Counts():
            return ", ".join(map(str, value.values))
        case Moment():
            return date_text(value.iso)
        case Unknown() | Absent():
            return ""
        case _:
            return _DEGREES.sub("", value.written.partition("±")[0].strip())


def date_text(iso: str, *, short: bool = False) -> str:
    """`2026-05-02` as `2 May 2026`, `1931-07` as `July 1931`, `--11-01` as `1 November`; else as it is."""
    match = _DATE.fullmatch(iso)
    if not match:
        return iso
    year, month, day = match.groups()
    name = _MONTHS[int(month) - 1][: 3 if short else None] if month and 0 < int(month) < 13 else ""
    named = (str(int(day)) if day else "", name, year.strip("-"))
    return " ".join(word for word in named if word)


# -- figures -------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class ShownFigure:
    """One figure ready to print. `text` is '' where it waits; `waits_for` then names what is missing."""

    id: str
    title: str
    text: str
    unit: str
    value: float | None
    uncertainty: float | None
    standing: str
    waits_for: tuple[str, ...] = ()
    spread: str = ""  # the standard uncertainty in the same unit, '' where exact or not worked out

    @property
    def known(self) -> bool:
        return bool(self.text)

    @property
    def weak(self) -> bool:
        return self.standing in WEAK

    @property
    def marked(self) -> bool:
        return self.standing in MARKED

    @property
    def short(self) -> str:
        """The size of a number without its sign, to three digits at most: for a sentence, not for a table."""
        return self.text if self.value is None else bearing(abs(self.value), self.uncertainty)

    @property
    def rough(self) -> str:
        """The same to two digits: what is only about so much."""
        return self.text if self.value is None else bearing(abs(self.value), self.uncertainty, 2)

    @property
    def within(self) -> str:
        """Where nothing but its smallness is known (no more than twice its uncertainty): what it stays within."""
        if self.value is None or not self.uncertainty or abs(self.value) > 2 * self.uncertainty:
            return ""
        return bearing(abs(self.value) + 2 * self.uncertainty, None, 1)

    @property
    def doubtful(self) -> bool:
        """Whether it rests on weak facts and may be out by more than a twentieth."""
        if self.value is None or not self.weak:
            return False
        return self.uncertainty is None or self.uncertainty > abs(self.value) / 20

    @property
    def whole(self) -> str:
        """The nearest whole number: turns that are counted aloud."""
        return self.text if self.value is None else fixed(self.value, 0)

    @property
    def owner(self) -> str:
        """What the figure is of: the first word of its id."""
        return self.id.partition(".")[0]


def show_figure(figure: Figure | None) -> ShownFigure | None:
    if figure is None:
        return None
    value = figure.value
    number = float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None
    text = _FRACTION.sub(_plainer, figure.shown or ("" if value is None else str(value)))
    spread = uncertainty_text(figure.uncertainty) if figure.uncertainty and number is not None else ""
    return ShownFigure(
        figure.id,
        figure.title,
        text,
        figure.unit,
        number,
        figure.uncertainty,
        figure.standing,
        figure.waits_for,
        spread,
    )


def _plainer(found: re.Match[str]) -> str:
    """Of `6/5 (1.2)` what a keeper reads more easily: the decimal where it ends, else the fraction."""
    return found[1] if found[2].endswith("…") else found[2]


def bearing(number: float, spread: float | None, digits: int = 3) -> str:
    """A number to the digits that its standard uncertainty bears, at most `digits` significant ones."""
    places = min(places_for(number, spread), places_for(number, None, digits))
    return fixed(number, places)


@dataclass(frozen=True, slots=True)
class Span:
    """Whole days, hours and minutes, rounded down: a clock must not be trusted for longer."""

    days: int
    hours: int
    minutes: int


def span_of(seconds: float) -> Span:
    """Seconds as days and hours (from two days up), hours and minutes (from two hours up), else minutes."""
    minutes = floor(seconds / 60 + 1e-9)
    if minutes >= 2880:
        return Span(minutes // 1440, minutes % 1440 // 60, 0)
    if minutes >= 120:
        return Span(0, minutes // 60, minutes % 60)
    return Span(0, 0, minutes)
