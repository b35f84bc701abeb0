"""The content tree as one HTML file: no script, nothing fetched, readable with its styles switched off.

The page is built as a tree of elements and written out by the standard
library, so that text can only ever be text. It prints on A4 and on Letter.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.resources import files
from xml.etree import ElementTree

from countwheel.emit.document import (
    Blank,
    Block,
    Break,
    Caution,
    Cell,
    Chapter,
    Document,
    Facts,
    Inline,
    Items,
    Known,
    Labels,
    Link,
    Own,
    Paragraph,
    Picture,
    Section,
    Space,
    Styled,
    Table,
    Text,
    Words,
    plain,
)
from countwheel.emit.svg_inline import inline_svg

Element = ElementTree.Element

# Letters of the scripts that run from right to left, with what may stand between two of them.
_RTL = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff"
_RIGHT_TO_LEFT = re.compile(f"([{_RTL}](?:[^a-zA-Z\n]*[{_RTL}])?)")
# Nothing may be loaded or run: what the page needs is in it.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
_UNBROKEN = 26  # letters of a value up to which it is kept on one line
_TAGS = {"em": "em", "strong": "strong", "code": "code", "value": "span"}


def print_html(document: Document) -> str:
    """The whole document as one HTML file (text, to be written as UTF-8)."""
    root = Element("html", {"lang": document.language})
    root.append(_head(document))
    _Body(document.labels).write(_add(root, "body", {"class": "paged"} if document.paged else {}), document)
    _open_up(root)
    return "<!DOCTYPE html>\n" + ElementTree.tostring(root, encoding="unicode", method="html") + "\n"


def _head(document: Document) -> Element:
    head = Element("head")
    _add(head, "meta", {"charset": "utf-8"})
    _add(head, "meta", {"http-equiv": "Content-Security-Policy", "content": _POLICY})
    _add(head, "meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"})
    _add(head, "meta", {"name": "author", "content": document.author})
    _add(head, "title").text = f"{document.title} – {document.subtitle}"
    style = files("countwheel.emit").joinpath("templates/print/manual.css").read_text(encoding="utf-8")
    _add(head, "style").text = "\n" + style
    return head


class _Body:
    """Writes the parts of a document into HTML elements, with the printers' own words at hand."""

    def __init__(self, labels: Labels) -> None:
        self.labels = labels

    def write(self, body: Element, document: Document) -> None:
        skip = _add(body, "p", {"class": "skip"})
        _add(skip, "a", {"href": "#contents"}).text = self.labels.to_contents
        header = _add(body, "header")
        title = _add(header, "h1")
        _write_text(title, document.title)
        _add(title, "br")
        _write_text(_add(title, "span", {"class": "subtitle"}), document.subtitle)
        self.blocks(header, document.front, level=2)
        self.contents(body, document.chapters)
        main = _add(body, "main")
        for chapter in document.chapters:
            self.chapter(main, chapter)

    def contents(self, body: Element, chapters: Iterable[Chapter]) -> None:
        nav = _add(body, "nav", {"id": "contents", "aria-labelledby": "contents-title"})
        _add(nav, "h2", {"id": "contents-title"}).text = self.labels.contents
        listing = _add(nav, "ol")
        for chapter in chapters:
            link = _add(_add(listing, "li"), "a", {"href": f"#{chapter.id}"})
            _write_text(link, chapter.title)

    def chapter(self, main: Element, chapter: Chapter) -> None:
        article = _add(main, "section", {"id": chapter.id, "aria-labelledby": f"{chapter.id}-title"})
        heading = _add(article, "h2", {"id": f"{chapter.id}-title"})
        _write_text(heading, f"{chapter.number}\u2002{chapter.title}")
        self.blocks(article, chapter.blocks, level=3)

    # -- blocks ------------------------------------------------------------------
    def blocks(self, owner: Element, blocks: Iterable[Block], level: int) -> None:
        for block in blocks:
            self.block(owner, block, level)

    def block(self, owner: Element, block: Block, level: int) -> None:
        """Print one block into `owner`; `level` is the heading level that a section in it takes."""
        match block:
            case Paragraph():
                self.inline(_add(owner, "p"), block.parts)
            case Items():
                listing = _add(
                    owner, "ol" if block.steps else "ul", {"class": "steps"} if block.steps else {}
                )
                for item in block.items:
                    self.compact(_add(listing, "li"), item, level)
            case Table():
                self.table(owner, block)
            case Facts():
                listing = _add(owner, "dl", {"class": "facts"})
                for fact in block.facts:
                    self.inline(_add(listing, "dt"), fact.name)
                    self.inline(_add(listing, "dd"), fact.parts)
            case Caution():
                aside = _add(
                    owner, "aside", {"class": "caution", "aria-label": f"{self.labels.caution} {block.title}"}
                )
                _write_text(_add(_add(aside, "p"), "strong"), f"{self.labels.caution} {block.title}")
                self.blocks(aside, block.blocks, level)
            case Space():
                space = _add(owner, "div", {"class": "space"})
                self.inline(_add(space, "p"), block.parts)
                for _ in range(block.lines):
                    self.rule(_add(space, "p", {"class": "rule"}))
            case Picture():
                figure = _add(owner, "figure", {"id": block.id})
                figure.append(inline_svg(block.drawing))
            case Words():
                listing = _add(owner, "dl", {"class": "words"})
                for word in block.words:
                    _write_text(_add(listing, "dt", {"id": word.id}), word.name)
                    self.inline(_add(listing, "dd"), word.parts)
            case Own():
                quote = _add(owner, "blockquote")
                if block.source:
                    _write_text(_add(quote, "p", {"class": "source"}), block.source)
                self.blocks(quote, block.blocks, level)
            case Section():
                section = _add(owner, "section", {"id": block.id})
                _write_text(_add(section, f"h{min(level, 6)}"), block.title)
                self.blocks(section, block.blocks, level + 1)

    def compact(self, owner: Element, blocks: tuple[Block, ...], level: int) -> None:
        """An item of one paragraph needs no paragraph of its own."""
        if len(blocks) == 1 and isinstance(blocks[0], Paragraph):
            self.inline(owner, blocks[0].parts)
        else:
            self.blocks(owner, blocks, level)

    def table(self, owner: Element, block: Table) -> None:
        # A wide table scrolls in its own box on a small screen, which the keyboard must be able to reach.
        box = _add(owner, "div", {"class": "wide", "tabindex": "0", "role": "region"})
        box.set("aria-label", block.caption or self.labels.table)
        table = _add(box, "table")
        if block.caption:
            _write_text(_add(table, "caption"), block.caption)
        row = _add(_add(table, "thead"), "tr")
        for head in block.heads:
            self.cell(row, head, "th", {"scope": "col"})
        body = _add(table, "tbody")
        for cells in block.rows:
            row = _add(body, "tr")
            for cell in cells:
                if cell.head:
                    self.cell(row, cell, "th", {"scope": "row"})
                else:
                    self.cell(row, cell, "td", {})

    def cell(self, row: Element, cell: Cell, tag: str, attributes: dict[str, str]) -> None:
        if cell.align == "right":
            attributes = attributes | {"class": "right"}
        self.inline(_add(row, tag, attributes), cell.parts)

    # -- inline parts ------------------------------------------------------------
    def inline(self, owner: Element, parts: Iterable[Inline]) -> None:
        for part in parts:
            match part:
                case Text():
                    _write_text(owner, part.text)
                case Styled():
                    # A number stays with its unit; a whole sentence of the keeper's must break as any other.
                    short = part.style == "value" and len(plain(part)) < _UNBROKEN
                    extra = {"class": "value"} if short else {}
                    self.inline(_add(owner, _TAGS[part.style], extra), part.parts)
                case Known():
                    _write_text(owner, " ")
                    _write_text(_add(owner, "small"), f"({part.text})")
                case Link():
                    extra = {"class": "word"} if part.to.startswith("word-") else {}
                    self.inline(_add(owner, "a", {"href": f"#{part.to}", **extra}), part.parts)
                case Blank():
                    self.rule(_add(owner, "span"))
                case Break():
                    _add(owner, "br")

    def rule(self, owner: Element) -> None:
        """A gap to write in: seen as a rule, read aloud as what it is."""
        _add(owner, "span", {"class": "gap", "aria-hidden": "true"}).text = "_" * 24
        _add(owner, "span", {"class": "aloud"}).text = self.labels.room


# -- elements and text ---------------------------------------------------------
def _add(owner: Element, tag: str, attributes: dict[str, str] | None = None) -> Element:
    return ElementTree.SubElement(owner, tag, attributes or {})


def _write_text(owner: Element, text: str) -> None:
    """Add text after what `owner` holds; a run that is read from right to left is kept to itself."""
    for at, piece in enumerate(_RIGHT_TO_LEFT.split(text)):
        if at % 2:
            _add(owner, "bdi").text = piece
        elif piece:
            _append(owner, piece)


def _append(owner: Element, text: str) -> None:
    if len(owner):
        owner[-1].tail = (owner[-1].tail or "") + text
    else:
        owner.text = (owner.text or "") + text


_LINES = frozenset(
    {"head", "body", "header", "nav", "main", "section", "p", "ul", "ol", "li", "dl", "dt", "dd", "table"}
    | {"caption", "thead", "tbody", "tr", "h1", "h2", "h3", "h4", "h5", "h6", "div", "figure", "aside"}
    | {"blockquote", "meta", "title", "style"}
)


def _open_up(element: Element) -> None:
    """Put each block on a line of its own, so that the file can be read and compared as text."""
    for child in element:
        if child.tag in _LINES and not (child.tail or "").strip():
            child.tail = "\n"
        _open_up(child)
