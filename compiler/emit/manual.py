"""The keeper's manual: which chapters this clock has, and their content tree.

The wording is in `templates/manual/`, one file a chapter, filled with values
that are ready to print and escaped on the way. A chapter that does not apply
is not there, and no chapter speaks of a part that the clock does not have.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from countwheel.emit.clean import printable_text
from countwheel.emit.country import country_of
from countwheel.emit.document import Block, Chapter, Document, Labels
from countwheel.emit.drawing import Drawing
from countwheel.emit.gaps_text import settles
from countwheel.emit.keeper_text import KeeperText
from countwheel.emit.markup import read_blocks
from countwheel.emit.shown import ShownFigure
from countwheel.emit.templating import environment, wording
from countwheel.emit.view import ClockView, Note, view_of
from countwheel.emit.view_gaps import short_gaps
from countwheel.emit.view_sources import figures_in, sources_of
from countwheel.emit.words import link_words, words_used
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.search.gap import Gaps

# The chapters in their order, each with what the clock must have for it. The words come late, for they are
# those that all the others use; sources and the keeper's own texts are not ours to explain.
_CHAPTERS: tuple[tuple[str, Callable[[ClockView], bool]], ...] = (
    ("glance", lambda clock: True),
    ("people", lambda clock: True),
    ("before", lambda clock: True),
    ("works", lambda clock: bool(clock.trains)),
    ("winding", lambda clock: bool(clock.by_hand or clock.motors)),
    ("starting", lambda clock: bool(clock.trains)),
    ("setting", lambda clock: bool(clock.trains)),
    ("strike", lambda clock: bool(clock.strikers)),
    ("regulating", lambda clock: clock.pendulum is not None),
    ("seasons", lambda clock: bool(clock.trains)),
    ("care", lambda clock: bool(clock.tasks)),
    ("stops", lambda clock: bool(clock.trains)),
    ("never", lambda clock: True),
    ("counts", lambda clock: bool(clock.trains or clock.others)),
    ("drawings", lambda clock: True),
    ("unknown", lambda clock: True),
    ("words", lambda clock: True),
    ("sources", lambda clock: bool(clock.trains or clock.others)),
    ("remarks", lambda clock: _has_remarks(clock)),
)

# A procedure of the keeper's stands in the chapter that most words of its name belong to, the first of these
# where several have as many; one that belongs to none is printed with the remarks. `*` ends a word anyhow.
_PLACES = {
    "people": "key* contact* telephone",
    "before": "safe* access ladder* stair* loft tower visitor* bell* electric* mains alone danger* caution*",
    "winding": "wind winding wound weight* line* rope* handle* motor*",
    "starting": "start* stopping beat",
    "setting": "set setting hand* summer winter time second* minute* fast slow hold holding correct*",
    "regulating": "regulat* rating rate nut tray",
    "seasons": "season* winter frost cold damp slab*",
    "stops": "stop* standing fault*",
    "strike": "strik* struck chim* quarter* ring* silenc* hammer* step blow*",
    "care": "care oil* clean* dust* grease*",
}


Contacts = Literal["print", "blank", "none"]


def build_manual(
    clock: Clock,
    figures: Mapping[str, Figure],
    drawings: Sequence[Drawing] = (),
    *,
    gaps: Gaps | None = None,
    contacts: Contacts = "print",
) -> Document:
    """The whole manual of a clock.

    `figures` by their id; those that are missing are said to be not yet known. `gaps` are what is asked for in the
    chapter of what is not known, which is not there without them. With `blank` contacts, telephone
    numbers and addresses are left out, with room to write them; with `none` nobody to call is named, which is said.
    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    view = view_of(clock, figures)
    left_out = bool(view.contacts) and contacts == "none"
    if left_out:
        view = replace(view, contacts=())
    short = short_gaps(gaps, view.names)
    left = {"drawings": not drawings, "unknown": short.none}
    ids = [id for id, applies in _CHAPTERS if applies(view) and not left.get(id)]
    numbers = {id: number for number, id in enumerate(ids, 1)}
    pictures = {drawing.id: drawing for drawing in drawings}
    principal = principal_figures(view)
    given: dict[str, Any] = {
        "clock": view,
        "names": view.names,
        "chapters": numbers,
        "drawings": tuple(drawings),
        "with_contacts": contacts == "print",
        "contacts_left_out": left_out,
        "principal": principal,
        "gaps": short,
        "settles": settles,
        "sources": sources_of(clock, figures, _printed(view, principal), view.names),
        "country": country_of(view),
        "own": _placed(view.procedures, numbers),
        "notes": _notes(view, numbers),
    }

    def blocks(id: str, **more: Any) -> tuple[Block, ...]:
        template = f"{id}.xml.j2"
        xml = environment().get_template(template).render(given | more)
        return read_blocks(printable_text(xml), pictures, template)

    titles = wording("TITLES")
    made = {id: Chapter(id, numbers[id], titles[id], blocks(id)) for id in ids if id != "words"}
    explained = [id for id in made if id not in ("remarks", "drawings", "sources")]
    words = words_used(made[id] for id in explained)
    made |= {id: link_words(made[id], words) for id in explained}
    made["words"] = Chapter("words", numbers["words"], titles["words"], blocks("words", words=words))
    subtitle = wording("SUBTITLE")
    owner = view.facts.get("owner")
    return Document(
        title=printable_text(view.name),
        subtitle=subtitle,
        author=printable_text(owner.text if owner and owner.known else view.name),
        running=printable_text(view.name),
        front=blocks("front"),
        chapters=tuple(made[id] for id in ids),
        labels=Labels(**wording("LABELS")),
    )


def principal_figures(view: ClockView) -> tuple[tuple[str, tuple[ShownFigure, ...]], ...]:
    """The figures that a keeper or a clockmaker asks for, known ones only, by the part that they are of.

    Parts come in the order of their first figure in `figures.table`, the figures of a part in its order.
    """
    found: dict[str, ShownFigure] = {}
    for pattern in principal_patterns():
        for id, figure in view.figures.items():
            if figure.known and id not in found and fnmatchcase(id, pattern) and not _needless(id, view):
                found[id] = _told(figure, view)
    parts: dict[str, list[ShownFigure]] = {}
    for figure in found.values():
        parts.setdefault(figure.owner, []).append(figure)
    return tuple((view.names.owner(part), tuple(figures)) for part, figures in parts.items())


# Figures that the templates ask for by their ids. (The dates of summer time have their source in the template.)
_ASKED = (
    "season.*",
    "pendulum.more_weight.*",
    "pendulum.more_friction.*",
    "*.period_per_turn",
    "*.weight.descent_per_day",
)


def _printed(view: ClockView, principal: Sequence[tuple[str, Sequence[ShownFigure]]]) -> set[str]:
    """The ids of the figures that some chapter prints."""
    asked = {id for id in view.figures if any(fnmatchcase(id, pattern) for pattern in _ASKED)}
    return (
        asked | set(figures_in((view, view.wind_share))) | {one.id for _, group in principal for one in group}
    )


def _needless(id: str, view: ClockView) -> bool:
    """An hour hand is told of only where it is the dial's one hand: the motion work says the rest."""
    return ".hour_hand." in id and id.replace(".hour_hand.", ".minute_hand.") in view.figures


def _told(figure: ShownFigure, view: ClockView) -> ShownFigure:
    """The figure with its title, and its value where that is a train, as a keeper would say them."""
    names = view.names
    text = (
        names.train(figure.text) if any(train.name == figure.text for train in view.trains) else figure.text
    )
    return replace(figure, title=names.in_text(figure.title, figure.owner), text=text)


@cache
def principal_patterns() -> tuple[str, ...]:
    text = files("countwheel.emit").joinpath("templates/manual/figures.table").read_text(encoding="utf-8")
    return tuple(line for line in text.splitlines() if line and not line.startswith("#"))


def _placed(
    procedures: Mapping[str, KeeperText], chapters: Container[str]
) -> dict[str, dict[str, KeeperText]]:
    """The keeper's procedures by the chapter that each stands in, of the chapters that there are."""
    homes = [id for id in _PLACES if id in chapters]
    placed: dict[str, dict[str, KeeperText]] = {id: {} for id in (*homes, "remarks")}
    for name, text in procedures.items():
        fits = {id: _fit(name, id) for id in homes}
        home = max(homes, key=lambda id: fits[id], default="remarks")
        placed[home if fits.get(home) else "remarks"][name] = text
    return placed


def _fit(name: str, chapter: str) -> int:
    """How many words of a procedure's name belong to the chapter."""
    return sum(
        any(fnmatchcase(word, pattern) for pattern in _PLACES[chapter].split())
        for word in re.findall(r"[a-z]+", name.lower())
    )


# Facts of a train that a remark may stand under to be read by whoever winds it.
_WOUND_PARTS = frozenset({"barrel", "winding", "maintaining power", "automatic winding"})


@dataclass(frozen=True, slots=True)
class _Notes:
    """The keeper's remarks by where they are read: those on winding by the name of the train."""

    before: tuple[Note, ...]
    winding: Mapping[str, tuple[Note, ...]]
    regulating: tuple[Note, ...]
    remarks: tuple[Note, ...]


def _notes(view: ClockView, chapters: Container[str]) -> _Notes:
    wound = {train.name for train in (*view.by_hand, *view.motors)}

    def home(note: Note) -> tuple[str, str]:
        first, second = (*note.path.split("."), "", "")[:2]
        if note.path in ("", "clock"):
            return "before", ""
        if first in wound and second.replace("_", " ") in _WOUND_PARTS:
            return "winding", first
        return ("regulating" if first == "pendulum" and "regulating" in chapters else "remarks"), ""

    def of(*place: str) -> tuple[Note, ...]:
        return tuple(note for note in view.notes if home(note) == place)

    winding = {name: of("winding", name) for name in sorted(wound)}
    return _Notes(of("before", ""), winding, of("regulating", ""), of("remarks", ""))


def _has_remarks(clock: ClockView) -> bool:
    chapters = [id for id, applies in _CHAPTERS if id in _PLACES and applies(clock)]
    placed = _placed(clock.procedures, chapters)["remarks"]
    return bool(clock.history or clock.states or placed or _notes(clock, chapters).remarks)
