"""Replacement sheets: for each wheel or pinion that is to be cut anew, a page to take to whoever will cut it.

The wording is in `templates/manual/replacement.xml.j2`; the sizes are figures (`PATH.replacement.*`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from countwheel.diagnostics.suggest import nearest
from countwheel.emit.clean import printable_text
from countwheel.emit.document import Block, Document
from countwheel.emit.markup import read_blocks
from countwheel.emit.naming import Names
from countwheel.emit.paper import paper
from countwheel.emit.shown import Shown, ShownFigure, show, show_figure
from countwheel.emit.templating import environment, wording
from countwheel.figures.cutting import figures_of
from countwheel.figures.deduced import allowed
from countwheel.figures.record import Figure
from countwheel.figures.replacing import LEVEL, SPUR, Part, centre_distances, mate_wanted, parts_of
from countwheel.figures.senses import upright
from countwheel.model.clock import Clock, Gear
from countwheel.model.node import Node
from countwheel.model.values import Count, Quantity, Unknown, Value

# The sizes in the order of the table, by the ends of their ids.
_ROWS = (
    *("module", "circular_pitch", "pitch_diameter", "outside_diameter", "root_diameter", "tooth_depth"),
    *("tooth_thickness", "blank_diameter", "centre_distance"),
)
_FACTS = (
    "tooth form",
    "trundle diameter",
    "crossings",
    "bore",
    "width",
    "material",
    "condition",
    "found in",
    "replaced",
)
_MATE_FACTS = (
    *("module", "circular pitch", "diametral pitch", "pitch diameter", "outside diameter", "root diameter"),
    *("trundle diameter", "tooth form", "width", "material", "condition"),
)
# What a careful hand reads to with each, in mm: common practice, no source. The roughest that will do is named.
_MOST_NEAR = 5
_INSTRUMENTS = (("rule", 0.5), ("calliper", 0.05), ("micrometer", 0.01))


@dataclass(frozen=True, slots=True)
class Side:
    """The part or its mate: what a keeper calls it, what it counts, and what is stated of it by the fact's word."""

    gear: Gear
    name: str
    count: Shown | None
    facts: Mapping[str, Shown | None]

    @property
    def stated(self) -> Mapping[str, Shown]:
        """Those facts that the description says anything of."""
        return {word: shown for word, shown in self.facts.items() if shown}

    @property
    def lantern(self) -> bool:
        return self.gear.kind == "pinion" and self.gear.form == "lantern"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to the module; `difference` from the first, None for the first itself."""

    told: str
    module: ShownFigure
    difference: ShownFigure | None

    @property
    def agrees(self) -> bool:
        """Whether it differs from the first by no more than twice the uncertainty of the difference."""
        apart = self.difference
        return apart is None or abs(apart.value or 0.0) <= 2 * (apart.uncertainty or 0.0)


@dataclass(frozen=True, slots=True)
class Measure:
    """A size to measure: how well is enough (None while the module is not known), whether what is stated will do."""

    key: str
    enough: ShownFigure | None
    stated: Shown | None
    good: bool
    instrument: str


@dataclass(frozen=True, slots=True)
class Loose:
    """A wheel that belongs to no train and may be the one that is wanted."""

    name: str
    count: Shown
    found_in: Shown | None


@dataclass(frozen=True, slots=True)
class Wanted:
    """A fact that sizes wait for: one by its name, the count of the part named, or what that part meshes with."""

    kind: Literal["fact", "count", "mate"]
    name: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """What one page says."""

    part: Part
    spur: bool  # its teeth are of a form that the sizes hang on
    own: Side
    mate: Side | None
    others: tuple[str, ...]
    left: Shown | None
    of: Shown | None
    deduced: ShownFigure | None  # its count, as it follows from the rest of the train
    sense: ShownFigure | None
    upright: bool
    rows: tuple[tuple[str, ShownFigure], ...]
    ways: tuple[Way, ...]
    best: Way | None  # one that is better known than the first
    measures: tuple[Measure, ...]
    near: ShownFigure | None  # how near the pitch diameter comes, measured so
    waits_for: tuple[Wanted, ...]
    loose: tuple[Loose, ...]


def wanting(clock: Clock) -> tuple[Part, ...]:
    """The wheels and pinions that are lost, partly gone or worn."""
    return tuple(part for part in parts_of(clock) if part.reason)


def find(clock: Clock, asked: str) -> Part | None:
    """The wheel or pinion of that path, or of `ARBOR.wheel NAME` as its line has it."""
    wanted = asked.lower()
    for part in parts_of(clock):
        called = {part.path.lower()}
        if part.arbor is not None:
            called.add(f"{part.arbor.path}.{part.gear.kind} {part.gear.label}".lower())
        if wanted in called:
            return part
    return None


def is_escape(clock: Clock, asked: str) -> bool:
    """Whether that is an escape wheel, pins or legs: these are made to their pallets, not to a mate."""
    wheels = [
        arbor.escape.path for train in clock.trains for arbor in train.arbors if arbor.escape is not None
    ]
    return asked.lower().replace(" ", "_") in {path.lower() for path in wheels}


def near(clock: Clock, asked: str) -> tuple[str, ...]:
    """The paths of those that may have been meant: on the arbor or in the train of that name, else like it."""
    paths = [part.path for part in parts_of(clock)]
    within = tuple(path for path in paths if path.startswith(f"{asked.lower()}."))
    return within[:_MOST_NEAR] or nearest(asked, paths, _MOST_NEAR)


def build_replacement(clock: Clock, figures: Mapping[str, Figure], parts: Iterable[Part]) -> Document:
    """A page a part, in the order given.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    names = Names(clock)
    template = environment().get_template("replacement.xml.j2")

    def blocks(**given: object) -> tuple[Block, ...]:
        return read_blocks(printable_text(template.render(names=names, **given)), {}, template.name or "")

    words = wording("REPLACEMENT")
    sheets = [
        _sheet(clock, names, figures if part.reason else figures_of(clock, part), part) for part in parts
    ]
    made = (
        (f"part-{sheet.part.path}", printable_text(sheet.own.name), blocks(sheet=sheet)) for sheet in sheets
    )
    return paper(clock, words, blocks(sheet=None), made, dense=True, paged=True)


def _sheet(clock: Clock, names: Names, figures: Mapping[str, Figure], part: Part) -> Sheet:
    node, id = part.gear.node, f"{part.path}.replacement"
    remains = node.get("remains")
    ways = tuple(_ways(figures, id))
    rows = [(name, figures[f"{id}.{name}"]) for name in _ROWS if f"{id}.{name}" in figures]
    waits = dict.fromkeys(path for _, figure in rows for path in figure.waits_for)
    return Sheet(
        part=part,
        spur=part.form in SPUR,
        own=_side(part.gear, _FACTS, names),
        mate=_side(part.mate, _MATE_FACTS, names) if part.mate else None,
        others=tuple(names.phrase(gear.path) for gear in part.others),
        left=show(remains, "left"),
        of=show(remains, "of"),
        deduced=show_figure(figures.get(f"{part.path}.teeth")),
        sense=show_figure(figures.get(f"{part.arbor.path}.sense")) if part.arbor else None,
        upright=part.arbor is not None and upright(part.arbor.node),
        rows=tuple((name, shown) for name, figure in rows if (shown := show_figure(figure))),
        ways=ways,
        best=_best(ways),
        measures=tuple(_measures(figures, id, part)),
        near=show_figure(figures.get(f"{id}.pitch_diameter.enough")),
        waits_for=tuple(_wanted(path, part, names) for path in waits),
        loose=tuple(_loose(clock, part, names)),
    )


def _wanted(path: str, part: Part, names: Names) -> Wanted:
    if path == mate_wanted(part):
        return Wanted("mate", names.phrase(part.path))
    counted = path in {gear.path for gear in (part.gear, part.mate) if gear}
    return Wanted("count" if counted else "fact", names.phrase(path))


def _side(gear: Gear, words: Iterable[str], names: Names) -> Side:
    facts = {word: show(gear.node.get(word)) for word in words}
    return Side(gear, names.phrase(gear.path), show(gear.node, "teeth"), facts)


def _ways(figures: Mapping[str, Figure], id: str) -> Iterator[Way]:
    for key, figure in figures.items():
        first, by = key == f"{id}.module", key.startswith(f"{id}.module.by_")
        shown = show_figure(figure)
        if shown is not None and (first or by) and not key.endswith(".difference"):
            yield Way(figure.method, shown, None if first else show_figure(figures.get(f"{key}.difference")))


def _best(ways: tuple[Way, ...]) -> Way | None:
    best = min(ways, key=lambda way: way.module.uncertainty or 0.0, default=None)
    return best if best is not None and best is not ways[0] else None


def _measures(figures: Mapping[str, Figure], id: str, part: Part) -> Iterator[Measure]:
    if part.mate is None or part.form not in LEVEL:
        return
    stated = {
        "centre_distance": next(centre_distances(part), None),
        "mate_diameter": part.mate.node.get("outside diameter"),
    }
    for key, fact in stated.items():
        enough = show_figure(figures.get(f"{id}.{key}.enough"))
        if enough is None and figures[f"{id}.module"].value is not None:
            continue  # it would not tell the module
        near = enough.value if enough is not None else None
        good = near is not None and _is_good(fact, near)
        yield Measure(key, enough, show(fact), good, _instrument(near))


def _is_good(fact: Node | None, enough: float) -> bool:
    """Whether what is stated is known well enough: its standard uncertainty, doubled, within `enough` (mm)."""
    value = fact.value if fact is not None else None
    if not isinstance(value, Quantity):
        return False
    half = value.tolerance.half_width * 1000 if value.tolerance else 0.0
    return 2 * half / sqrt(3) <= enough


def _instrument(enough: float | None) -> str:
    """The roughest that will do; a calliper for what shall only be known roughly at first."""
    if enough is None:
        return "calliper"
    return next((name for name, reads in _INSTRUMENTS if reads <= enough), "beyond")


def _loose(clock: Clock, part: Part, names: Names) -> Iterator[Loose]:
    """Loose wheels that have as many teeth as the part, or as it may have had."""
    wanted = part.gear.node.values.get("teeth")
    for node in clock.root.all("loose wheel") if part.gear.kind == "wheel" else ():
        count, shown = node.count(), show(node)
        if count is not None and shown is not None and _may_be(wanted, count):
            yield Loose(names.phrase(node.path), shown, show(node.get("found in")))


def _may_be(wanted: Value | None, count: int) -> bool:
    if isinstance(wanted, Count):
        return wanted.value == count
    return isinstance(wanted, Unknown) and allowed(wanted, count)
