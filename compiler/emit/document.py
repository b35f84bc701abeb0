"""The content tree: what a printed paper says, before any printer lays it out.

A `Document` is a title, a few lines about it, and chapters of blocks; blocks
hold inline parts. It knows nothing of HTML, of PDF, of a clock or of figures.
Every part is frozen, and every text in it is plain text: whatever a
description supplies is a `Text` here and can be markup nowhere.

This module imports only `countwheel.emit.drawing`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Literal

from countwheel.emit.drawing import Drawing

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
    """A table with one row of column heads; `caption` says what it shows, '' for none."""

    kind: ClassVar[str] = "table"
    caption: str
    heads: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]


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


Block = Paragraph | Items | Table | Facts | Caution | Space | Picture | Words | Own | Section


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
    of which each chapter is handed out by itself, on a page of its own, without contents.
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

    def chapter(self, id: str) -> Chapter | None:
        return next((chapter for chapter in self.chapters if chapter.id == id), None)


Part = Document | Chapter | Block | Inline | Cell | Fact | Word


def walk(part: Part) -> Iterator[Part]:
    """The part and everything in it, in reading order."""
    yield part
    for inner in _inside(part):
        yield from walk(inner)


def _inside(part: Part) -> Iterator[Part]:
    match part:
        case Document():
            yield from part.front
            yield from part.chapters
        case Items():
            for item in part.items:
                yield from item
        case Table():
            yield from part.heads
            for row in part.rows:
                yield from row
        case Facts():
            yield from part.facts
        case Words():
            yield from part.words
        case Chapter() | Caution() | Own() | Section():
            yield from part.blocks
        case Fact():
            yield from part.name
            yield from part.parts
        case Paragraph() | Styled() | Link() | Cell() | Space() | Word():
            yield from part.parts
        case Text() | Known() | Blank() | Break() | Picture():
            return


def plain(part: Part) -> str:
    """The words of a part as plain text, in reading order; blocks end with a line break."""
    match part:
        case Text():
            return part.text
        case Known():
            return f" ({part.text})"
        case Break():
            return "\n"
        case Picture():
            return f"{part.drawing.title}\n{part.drawing.alt}\n"
        case Document():
            own = f"{part.title}\n{part.subtitle}\n"
        case Chapter() | Section() | Caution():
            own = f"{part.title}\n"
        case Table():
            own = f"{part.caption}\n"
        case Own():
            own = f"{part.source}\n"
        case Word():
            own = f"{part.name} "
        case Fact():
            name, value = ("".join(map(plain, inner)) for inner in (part.name, part.parts))
            return f"{name} {value}\n"
        case _:
            own = ""
    end = "\n" if isinstance(part, (Paragraph, Cell, Space, Word)) else ""
    return own + "".join(plain(inner) for inner in _inside(part)) + end


def anchors(document: Document) -> frozenset[str]:
    """Every id that a link may point to."""
    return frozenset(
        part.id for part in walk(document) if isinstance(part, (Chapter, Section, Picture, Word))
    )


def dangling(document: Document) -> tuple[str, ...]:
    """Targets of links that nothing in the document answers to, in reading order."""
    known = anchors(document)
    return tuple(part.to for part in walk(document) if isinstance(part, Link) and part.to not in known)
