"""The index of a binder: words of the trade, parts of the clock and what is headed, with where each stands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from countwheel.emit.document import Block, Entry, Link, Section, Tab, Text
from countwheel.emit.traversal import plain
from countwheel.emit.view import ClockView
from countwheel.emit.words import all_words
from countwheel.model.clock import Clock

# Where a word is read about; in sheets and registers it stands on every page, which helps nobody.
_READ = ("use", "manual", "spares", "emergency", "handover", "blank")
# Whose headings are worth looking up by themselves.
_HEADED = (*_READ, "drawings", "photographs", "changes", "log", "labels", "replacement", "contacts")
# A heading that begins so is read in its place and looked up by nobody.
_NO_HEADWORD = ("because ", "besides ", "few ", "more than that", "of the ", "of this ", "of what ", "with ")
_MOST = 7  # places of one word: the first, which are where it is explained and where it matters


@dataclass(frozen=True, slots=True)
class Place:
    """A heading with its text: `code` is its tab and chapter, `own` the text that no heading below it has, where it is
    looked through for words.
    """

    id: str
    code: str
    title: str
    tab: str
    own: str
    above: str = ""  # the heading that it stands under


def places(tab: Tab) -> Iterator[Place]:
    """Every heading of a tab, in reading order: the tab itself, its chapters, their sections."""
    yield from _places(tab.id, tab.letter, tab.title, tab.id, tab.document.front)
    for chapter in tab.document.chapters:
        code = f"{tab.letter} {chapter.number}"
        yield from _places(chapter.id, code, chapter.title, tab.id, chapter.blocks)


def _places(
    id: str, code: str, title: str, tab: str, blocks: Iterable[Block], above: str = ""
) -> Iterator[Place]:
    sections = [block for block in blocks if isinstance(block, Section)]
    texts = (block for block in blocks if not isinstance(block, Section)) if tab in _READ else ()
    own = "\n".join(map(plain, texts))
    yield Place(id, code, title, tab, own, above)
    for section in sections:
        yield from _places(section.id, code, section.title, tab, section.blocks, title)


def entries(clock: Clock, view: ClockView, tabs: Iterable[Tab]) -> tuple[Entry, ...]:
    """The lines of the index in the order of the alphabet, each with the places it leads to, none twice."""
    all_places = [place for tab in tabs for place in places(tab)]
    found: dict[str, dict[str, Place]] = {}

    def add(name: str, place: Place) -> None:
        found.setdefault(name, {}).setdefault(place.id, place)

    for name, place in (*_words(all_places), *_parts(clock, view, all_places)):
        add(name, place)
    trains = {shown.called.lower() for shown in view.trains}  # these have a line of their own
    for place in all_places:
        title = _lower(place.title).lower()
        if place.tab in _HEADED and title not in trains and not title.startswith(_NO_HEADWORD):
            under = f" ({_lower(place.above)})" if place.above and place.tab in _READ else ""
            add(f"{_lower(place.title)}{under}", place)
    return tuple(
        Entry(name, tuple(Link(place.id, (Text(f"{place.code} {place.title}"),)) for place in at.values()))
        for name, at in sorted(found.items(), key=lambda item: (item[0].casefold(), item[0]))
    )


def _lower(title: str) -> str:
    """A heading as an index has it: without its number or 'The', and small where it is no name."""
    bare = re.sub(r"^([0-9]+\. )?((The|A) )?", "", title)
    first, _, rest = bare.partition(" ")
    return bare if first.isupper() or not first[1:].islower() else f"{first.lower()} {rest}".strip()


def _words(all_places: list[Place]) -> Iterator[tuple[str, Place]]:
    words = next((place for place in all_places if place.id == "manual-words"), None)
    read = [place for place in all_places if place.tab in _READ and place is not words]
    texts = [(place, f"{place.title}\n{place.own}".lower()) for place in read]
    for word in all_words():
        forms = [form.lower() for form in word.forms]
        pattern = re.compile(rf"\b(?:{'|'.join(map(re.escape, forms))})\b")
        at = [place for place, text in texts if any(form in text for form in forms) and pattern.search(text)]
        if at:
            explained = [words] if words else []
            yield from ((word.name, place) for place in (*explained, *at[:_MOST]))


def _parts(clock: Clock, view: ClockView, all_places: list[Place]) -> Iterator[tuple[str, Place]]:
    """Trains and their arbors: their tables, calculations, drawings, sheets and photographs."""
    by_id = {place.id: place for place in all_places}
    for at, (train, shown) in enumerate(zip(clock.trains, view.trains, strict=True), 1):
        of_train = (f"manual-counts-{at}", f"sheets-sheets-{train.name}", f"drawings-train-{train.name}")
        for id in of_train:
            if id in by_id:
                yield shown.called, by_id[id]
        for arbor in train.arbors:
            name = f"{view.names.phrase(arbor.path, train.node.path, 'arbor')} ({shown.called})"
            told = [f"manual-counts-{at}", f"sheets-sheet-{arbor.path}.turns_per_hour"]
            told += [f"replacement-part-{gear.path}" for gear in arbor.gears]
            yield from ((name, by_id[id]) for id in told if id in by_id)
    called = {shown.called.lower() for shown in view.trains}
    for place in all_places:
        if _lower(place.title).lower() in called and place.tab in ("manual", "register", "measuring"):
            yield _lower(place.title), place
