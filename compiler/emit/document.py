"""The content tree: what a printed paper says, before any printer lays it out.

A `Document` is a title, a few lines about it, and chapters of blocks; blocks
hold inline parts. It knows nothing of HTML, of PDF, of a clock or of figures.
Every part is frozen, and every text in it is plain text: whatever a
description supplies is a `Text` here and can be markup nowhere.

A `Binder` is several documents behind lettered tabs. This module imports only
the pictures that a document can hold (`emit.drawing`, `emit.photo`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from countwheel.emit.drawing import Drawing
from countwheel.emit.photo import Photo

Style = Literal["em", "strong", "code", "value"]
Align = Literal["left", "right"]


# -- inline parts ------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Text:
    """Plain text. A printer escapes it for its own target."""

    kind: ClassVar[str] = "text"
    text: str


@dataclass(frozen=True, slots=True)
class Styled:
    """`em`, `strong`, `code`, or `value`: a figure with its unit, which must not be broken across lines."""

    kind: ClassVar[str] = "styled"
    style: Style
    parts: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Known:
    """How the value just named is known, in words ('measured', 'only assumed')."""

    kind: ClassVar[str] = "known"
    text: str


@dataclass(frozen=True, slots=True)
class Link:
    """A reference within the document: `to` is the id of a chapter, section, picture or word."""

    kind: ClassVar[str] = "link"
    to: str
    parts: tuple[Inline, ...]
    with_page: bool = False  # a paper printer adds the page number


@dataclass(frozen=True, slots=True)
class Blank:
    """A short ruled gap within a line, to write in by hand."""

    kind: ClassVar[str] = "blank"


@dataclass(frozen=True, slots=True)
class Break:
    """A line break that the writer asked for."""

    kind: ClassVar[str] = "break"


Inline = Text | Styled | Known | Link | Blank | Break


# -- blocks ------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Paragraph:
    kind: ClassVar[str] = "paragraph"
    parts: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Items:
    """A list in no order, or (`steps`) one to be done in order, numbered from 1."""

    kind: ClassVar[str] = "items"
    steps: bool
    items: tuple[tuple[Block, ...], ...]


@dataclass(frozen=True, slots=True)
class Cell:
    kind: ClassVar[str] = "cell"
    parts: tuple[Inline, ...]
    align: Align = "left"
    head: bool = False  # names its row


@dataclass(frozen=True, slots=True)
class Table:
    """A table with one row of column heads; `caption` says what it shows, '' for none.

    `blank` rows stand below the others, to write in.
    """

    kind: ClassVar[str] = "table"
    caption: str
    heads: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]
    blank: int = 0


@dataclass(frozen=True, slots=True)
class Fact:
    kind: ClassVar[str] = "fact"
    name: tuple[Inline, ...]
    parts: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and what is said of each, two columns on paper."""

    kind: ClassVar[str] = "facts"
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """Something that can hurt. `hazard` is a short id (`falling`), `title` what to look out for."""

    kind: ClassVar[str] = "caution"
    hazard: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Space:
    """Ruled lines to write in, under a line that says what is to be written."""

    kind: ClassVar[str] = "space"
    parts: tuple[Inline, ...]
    lines: int


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing. The section it stands in has its title; its words go where it cannot be seen."""

    kind: ClassVar[str] = "picture"
    id: str
    drawing: Drawing


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph; what it shows stands beside it as text."""

    kind: ClassVar[str] = "photograph"
    id: str
    photo: Photo


@dataclass(frozen=True, slots=True)
class Card:
    """A label to be cut out and tied to a part. `code` leads to the page that tells of the part."""

    kind: ClassVar[str] = "card"
    name: str
    path: str
    parts: tuple[Inline, ...]
    code: Link


@dataclass(frozen=True, slots=True)
class Cards:
    kind: ClassVar[str] = "cards"
    cards: tuple[Card, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of an index: paper prints only the pages that the links lead to, each once."""

    kind: ClassVar[str] = "entry"
    name: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Index:
    kind: ClassVar[str] = "index"
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Word:
    """One entry of the words explained. `id` is what a `Link` points to."""

    kind: ClassVar[str] = "word"
    id: str
    name: str
    parts: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Words:
    kind: ClassVar[str] = "words"
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Own:
    """The keeper's own text, set off from ours. `source` says of what it was said, '' for the clock."""

    kind: ClassVar[str] = "own"
    source: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Section:
    kind: ClassVar[str] = "section"
    id: str
    title: str
    blocks: tuple[Block, ...]


Block = (
    Paragraph
    | Items
    | Table
    | Facts
    | Caution
    | Space
    | Picture
    | Photograph
    | Cards
    | Index
    | Words
    | Own
    | Section
)


# -- the whole ---------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Chapter:
    """`number` counts from 1 through the chapters that this document has."""

    id: str
    number: int
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Labels:
    """The few words that printers add of their own accord, so that they too are wording and not code."""

    contents: str = "Contents"
    to_contents: str = "To the contents"
    around: str = "The tabs before and behind"
    caution: str = "Caution:"
    room: str = "(room to write)"
    table: str = "table"
    page: str = "page"
    of: str = "of"


@dataclass(frozen=True, slots=True)
class Document:
    """A whole paper. `title` is the clock, `subtitle` the kind of paper.

    `front` is printed under the title, before the contents. `running` stands
    at the head of every page after the first. `dense` is for sheets that are
    looked things up in, set smaller than what is read through; `paged` for those
    of which each chapter is handed out by itself, on a page of its own, without contents; `large` for a page
    that is hung up and read from a step away.
    """

    title: str
    subtitle: str
    author: str
    running: str
    front: tuple[Block, ...]
    chapters: tuple[Chapter, ...]
    labels: Labels = Labels()
    language: str = "en-GB"
    dense: bool = False
    paged: bool = False
    large: bool = False

    def chapter(self, id: str) -> Chapter | None:
        return next((chapter for chapter in self.chapters if chapter.id == id), None)


# -- several of them in one cover ------------------------------------------------
@dataclass(frozen=True, slots=True)
class Tab:
    """One part of a binder: its letter and its document, whose ids all begin with `id`."""

    letter: str
    id: str
    document: Document

    @property
    def title(self) -> str:
        return self.document.subtitle


@dataclass(frozen=True, slots=True)
class Binder:
    """`front` is the cover; the contents follow it, then each tab on a page of its own."""

    title: str
    subtitle: str
    author: str
    front: tuple[Block, ...]
    tabs: tuple[Tab, ...]
    labels: Labels = Labels()
    language: str = "en-GB"

    def home(self, anchor: str) -> Tab | None:
        """The tab that an id stands in."""
        return next((tab for tab in self.tabs if anchor == tab.id or anchor.startswith(f"{tab.id}-")), None)


Part = Binder | Tab | Document | Chapter | Block | Inline | Cell | Fact | Word | Card | Entry
