"""The content tree as HTML: no script, nothing fetched, readable with its styles switched off.

A document is one file; a binder is a folder of them, which opens from a memory stick: a page a tab, its
photographs beside it, and every reference relative.

The page is built as a tree of elements and written out by the standard
library, so that text can only ever be text. It prints on A4 and on Letter.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from importlib.resources import files
from xml.etree import ElementTree

from countwheel.emit.document import (
    Binder,
    Blank,
    Block,
    Break,
    Cards,
    Caution,
    Cell,
    Chapter,
    Document,
    Facts,
    Index,
    Inline,
    Items,
    Known,
    Labels,
    Link,
    Own,
    Paragraph,
    Photograph,
    Picture,
    Section,
    Space,
    Styled,
    Tab,
    Table,
    Text,
    Words,
)
from countwheel.emit.drawing import Drawing
from countwheel.emit.svg_inline import inline_svg
from countwheel.emit.traversal import blocks, plain

Element = ElementTree.Element

# Letters of the scripts that run from right to left, with what may stand between two of them.
_RTL = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff"
_RIGHT_TO_LEFT = re.compile(f"([{_RTL}](?:[^a-zA-Z\n]*[{_RTL}])?)")
# Nothing may be loaded or run: what the page needs is in it.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
_WITH_PHOTOS = f"{_POLICY} file: 'self'"  # those that lie beside the page, on a stick or on a server
_PHOTOS = "photographs"  # the folder that they lie in
_WORD = re.compile(r"(?:^|-)word-")
_UNBROKEN = 26  # letters of a value up to which it is kept on one line
_TAGS = {"em": "em", "strong": "strong", "code": "code", "value": "span"}


def print_html(document: Document) -> str:
    """The whole document as one HTML file (text, to be written as UTF-8)."""
    root = _page(document)
    _Body(document.labels).write(_add(root, "body", {"class": "paged"} if document.paged else {}), document)
    return _written(root)


def print_binder(binder: Binder) -> dict[str, bytes]:
    """The binder as a folder: `index.html` with cover and contents, a page a tab, photographs; name -> bytes."""
    pages = {"index.html": _cover(binder)}
    pages |= {_file(tab): _tab(binder, at) for at, tab in enumerate(binder.tabs)}
    made = {name: _written(root).encode() for name, root in pages.items()}
    photos = [part.photo for part in blocks(binder) if isinstance(part, Photograph)]
    return made | {f"{_PHOTOS}/{photo.file}": photo.data for photo in photos}


def print_chapters(document: Document, page: Callable[[str], str] = "{}".format) -> dict[str, str]:
    """Each chapter as a piece of HTML for a page of its own; `page` gives where the chapter of an id stands."""
    writer = _Body(document.labels)
    made: dict[str, Element] = {}
    homes: dict[str, str] = {}
    for chapter in document.chapters:
        made[chapter.id] = Element("div")
        writer.chapter(made[chapter.id], chapter)
        homes |= {id: chapter.id for part in made[chapter.id].iter() if (id := part.get("id"))}
    for here, owner in made.items():
        for link in owner.iter("a"):
            anchor = link.get("href", "").removeprefix("#")
            home = homes.get(anchor)
            if home is not None and home != here:
                link.set("href", page(home) if anchor == home else f"{page(home)}#{anchor}")
        _open_up(owner)
    return {
        id: "".join(ElementTree.tostring(part, encoding="unicode", method="html") for part in owner)
        for id, owner in made.items()
    }


def print_picture(drawing: Drawing) -> str:
    """A drawing as a piece of HTML."""
    return ElementTree.tostring(inline_svg(drawing), encoding="unicode", method="html")


def _file(tab: Tab) -> str:
    return f"{tab.id}.html"


def _href(binder: Binder, here: Tab | None) -> Callable[[str], str]:
    """Where a link to an id goes, from the page of a tab (the cover: None)."""

    def href(anchor: str) -> str:
        home = binder.home(anchor)
        if home is None or home is here:
            return f"#{anchor}"
        return _file(home) if anchor == home.id else f"{_file(home)}#{anchor}"

    return href


def _cover(binder: Binder) -> Element:
    root = _page(binder)
    writer = _Body(binder.labels, _href(binder, None))
    main = _add(_add(root, "body"), "main")
    writer.top(main, binder.title, binder.subtitle, binder.front)
    nav = writer.nav(main)
    for tab in binder.tabs:
        item = _add(_add(nav, "ul", {"class": "tabs"}), "li")
        _write_text(_add(item, "a", {"href": _file(tab)}), f"{tab.letter}\u2002{tab.title}")
        if tab.document.chapters:
            writer.chapters(_add(item, "ul"), tab.document.chapters, f"{tab.letter} ")
    return root


def _tab(binder: Binder, at: int) -> Element:
    tab = binder.tabs[at]
    document = tab.document
    root = _page(document)
    writer = _Body(binder.labels, _href(binder, tab), f"{tab.letter} ")
    body = _add(root, "body", {"id": tab.id} | ({"class": "paged"} if document.paged else {}))
    around = _add(body, "nav", {"class": "around", "aria-label": binder.labels.around})
    before, after = binder.tabs[at - 1 : at] if at else (), binder.tabs[at + 1 : at + 2]
    _write_text(_add(around, "a", {"href": "index.html#contents"}), binder.labels.contents)
    for near in (*before, *after):
        _write_text(around, " · ")
        _write_text(_add(around, "a", {"href": _file(near)}), f"{near.letter}\u2002{near.title}")
    main = _add(body, "main")
    writer.top(main, f"{tab.letter}\u2002{tab.title}", document.title, document.front)
    if len(document.chapters) > 1:
        writer.chapters(_add(writer.nav(main), "ul"), document.chapters, f"{tab.letter} ")
    for chapter in document.chapters:
        writer.chapter(main, chapter)
    return root


def _written(root: Element) -> str:
    _open_up(root)
    return "<!DOCTYPE html>\n" + ElementTree.tostring(root, encoding="unicode", method="html") + "\n"


def _page(document: Document | Binder) -> Element:
    root = Element("html", {"lang": document.language})
    root.append(_head(document))
    return root


def _head(document: Document | Binder) -> Element:
    photos = isinstance(document, Document) and any(isinstance(part, Photograph) for part in blocks(document))
    head = Element("head")
    _add(head, "meta", {"charset": "utf-8"})
    policy = _WITH_PHOTOS if photos else _POLICY
    _add(head, "meta", {"http-equiv": "Content-Security-Policy", "content": policy})
    _add(head, "meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"})
    _add(head, "meta", {"name": "author", "content": document.author})
    _add(head, "title").text = f"{document.title} – {document.subtitle}"
    style = files("countwheel.emit").joinpath("templates/print/manual.css").read_text(encoding="utf-8")
    _add(head, "style").text = "\n" + style
    return head


class _Body:
    """Writes the parts of a document into HTML elements, with the printers' own words at hand."""

    def __init__(self, labels: Labels, href: Callable[[str], str] = "#{}".format, letter: str = "") -> None:
        self.labels = labels
        self.href = href
        self.letter = letter  # what stands before the numbers of chapters

    def write(self, body: Element, document: Document) -> None:
        main = _add(body, "main")
        if not document.chapters:  # a page by itself, with nothing to list
            self.top(main, document.title, document.subtitle, ())
            self.blocks(main, document.front, level=2)
            return
        skip = _add(main, "p", {"class": "skip"})
        _add(skip, "a", {"href": "#contents"}).text = self.labels.to_contents
        self.top(main, document.title, document.subtitle, document.front)
        self.chapters(_add(self.nav(main), "ol"), document.chapters)
        for chapter in document.chapters:
            self.chapter(main, chapter)

    def top(self, body: Element, title: str, subtitle: str, front: Iterable[Block]) -> None:
        header = _add(body, "header")
        heading = _add(header, "h1")
        _write_text(heading, title)
        _add(heading, "br")
        _write_text(_add(heading, "span", {"class": "subtitle"}), subtitle)
        self.blocks(header, front, level=2)

    def nav(self, body: Element) -> Element:
        nav = _add(body, "nav", {"id": "contents", "aria-labelledby": "contents-title"})
        _add(nav, "h2", {"id": "contents-title"}).text = self.labels.contents
        return nav

    def chapters(self, listing: Element, chapters: Iterable[Chapter], letter: str = "") -> None:
        """One line a chapter; its number is that of the line, or stands before it behind a letter."""
        for chapter in chapters:
            link = _add(_add(listing, "li"), "a", {"href": self.href(chapter.id)})
            _write_text(link, f"{letter}{chapter.number}\u2002{chapter.title}" if letter else chapter.title)

    def chapter(self, main: Element, chapter: Chapter) -> None:
        article = _add(main, "section", {"id": chapter.id, "aria-labelledby": f"{chapter.id}-title"})
        heading = _add(article, "h2", {"id": f"{chapter.id}-title"})
        _write_text(heading, f"{self.letter}{chapter.number}\u2002{chapter.title}")
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
                # a note and no landmark: there are many of them, and each belongs to what it stands in
                title = f"{self.labels.caution} {block.title}"
                note = _add(owner, "div", {"class": "caution", "role": "note", "aria-label": title})
                _write_text(_add(_add(note, "p"), "strong"), title)
                self.blocks(note, block.blocks, level)
            case Space():
                space = _add(owner, "div", {"class": "space"})
                self.inline(_add(space, "p"), block.parts)
                for _ in range(block.lines):
                    self.rule(_add(space, "p", {"class": "rule"}))
            case Picture():
                figure = _add(owner, "figure", {"id": block.id})
                figure.append(inline_svg(block.drawing))
            case Photograph():
                figure = _add(owner, "figure", {"id": block.id})
                size = {"width": str(block.photo.width), "height": str(block.photo.height)}
                source = f"{_PHOTOS}/{block.photo.file}"
                _add(figure, "img", {"src": source, "alt": block.photo.alt, **size})
            case Cards():
                listing = _add(owner, "ul", {"class": "cards"})
                for card in block.cards:
                    label = _add(listing, "li")
                    _write_text(_add(_add(label, "p"), "strong"), card.name)
                    _write_text(_add(_add(label, "p"), "code"), card.path)
                    self.inline(_add(label, "p"), card.parts)
                    self.inline(_add(label, "p"), (card.code,))
            case Index():
                listing = _add(owner, "dl", {"class": "index"})
                for entry in block.entries:
                    _write_text(_add(listing, "dt"), entry.name)
                    places = _add(listing, "dd")
                    for number, link in enumerate(entry.links):
                        _write_text(places, "; " if number else "")
                        self.inline(places, (link,))
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
        box = _add(owner, "div", {"class": "wide", "tabindex": "0", "role": "group"})
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
        for _ in range(block.blank):
            row = _add(body, "tr", {"class": "blank"})
            for _ in block.heads:
                _add(row, "td").text = "\u00a0"

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
                    extra = {"class": "word"} if _WORD.search(part.to) else {}
                    self.inline(_add(owner, "a", {"href": self.href(part.to), **extra}), part.parts)
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
