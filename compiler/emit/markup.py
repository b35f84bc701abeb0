"""From the small XML that our templates write to the content tree.

The vocabulary, in full:

  blocks   p · list/item · steps/step · table(caption, blank)/head,row/cell(align, head)
           facts/fact(name) · caution(hazard, title) · space(lines) · picture(of)
           words/word(id, name) · own(source) · section(id, title)
           cards/card(name, path, to, code)
  inline   em · strong · code · value · known · ref(to, page) · term(to) · blank · br

An item, a step, a caution and the keeper's own text hold blocks, or plain
inline text, which is then one paragraph. Anything else in the XML is a fault
of a template, raised as `MarkupError` with the place; text from a description
cannot cause one, because it was escaped before it came here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import cast
from xml.etree import ElementTree

from countwheel.emit.document import (
    Align,
    Blank,
    Block,
    Break,
    Card,
    Cards,
    Caution,
    Cell,
    Fact,
    Facts,
    Inline,
    Items,
    Known,
    Link,
    Own,
    Paragraph,
    Photograph,
    Picture,
    Section,
    Space,
    Style,
    Styled,
    Table,
    Text,
    Word,
    Words,
)
from countwheel.emit.drawing import Drawing
from countwheel.emit.photo import Photo

Element = ElementTree.Element
_SPACES = re.compile(r"[ \t\r\n]+")  # not the no-break space, which is meant
_STYLES: frozenset[str] = frozenset({"em", "strong", "code", "value"})
_INLINE = _STYLES | {"known", "ref", "term", "blank", "br"}


class MarkupError(ValueError):
    """A template wrote something that is not in the vocabulary: our fault, never the keeper's."""


def read_blocks(xml: str, drawings: Mapping[str, Drawing | Photo], name: str) -> tuple[Block, ...]:
    """The blocks that `xml` (without a root element) says. `name` is the template, for faults."""
    try:
        root = ElementTree.fromstring(f"<blocks>{xml}</blocks>")
    except ElementTree.ParseError as fault:
        raise MarkupError(f"{name}: {fault}") from fault
    return _Reader(drawings, name).blocks(root)


class _Reader:
    def __init__(self, drawings: Mapping[str, Drawing | Photo], name: str) -> None:
        self.drawings = drawings
        self.name = name

    def fault(self, element: Element, what: str) -> MarkupError:
        return MarkupError(f"{self.name}: <{element.tag}> {what}")

    # -- blocks ----------------------------------------------------------
    def blocks(self, owner: Element) -> tuple[Block, ...]:
        """The blocks inside an element; plain inline content is one paragraph."""
        if all(child.tag in _INLINE for child in owner):
            parts = self.inline(owner)
            return (Paragraph(parts),) if parts else ()
        if (owner.text or "").strip() or any((child.tail or "").strip() for child in owner):
            raise self.fault(owner, "has text beside blocks")
        found = [self.block(child) for child in owner]
        return tuple(block for block in found if block is not None)

    def block(self, element: Element) -> Block | None:
        """One block; None for one that came out empty (a list with nothing to list)."""
        tag: str = element.tag
        reader = cast("Callable[[Element], Block | None] | None", getattr(self, f"_{tag}", None))
        if reader is None:
            raise self.fault(element, "is no block of ours")
        return reader(element)

    def _p(self, element: Element) -> Block | None:
        parts = self.inline(element)
        return Paragraph(parts) if parts else None

    def _list(self, element: Element) -> Block | None:
        return self._items(element, "item")

    def _steps(self, element: Element) -> Block | None:
        return self._items(element, "step")

    def _items(self, element: Element, tag: str) -> Block | None:
        items = tuple(self.blocks(child) for child in self.only(element, tag))
        return Items(tag == "step", items) if items else None

    def _table(self, element: Element) -> Block | None:
        rows = self.only(element, "head", "row")
        if not rows or rows[0].tag != "head" or any(row.tag == "head" for row in rows[1:]):
            raise self.fault(element, "wants one head, first")
        heads = tuple(self.cell(cell) for cell in self.only(rows[0], "cell"))
        body = tuple(tuple(self.cell(cell) for cell in self.only(row, "cell")) for row in rows[1:])
        if any(len(row) != len(heads) for row in body):
            raise self.fault(element, "has a row of another length")
        blank = int(element.get("blank", "0"))
        return Table(element.get("caption", ""), heads, body, blank) if body or blank else None

    def cell(self, element: Element) -> Cell:
        align: Align = "right" if element.get("align") == "right" else "left"
        return Cell(self.inline(element), align, element.get("head") == "yes")

    def _facts(self, element: Element) -> Block | None:
        found = tuple(
            Fact((Text(child.get("name", "")),), self.inline(child)) for child in self.only(element, "fact")
        )
        return Facts(found) if found else None

    def _caution(self, element: Element) -> Block:
        return Caution(self.needs(element, "hazard"), self.needs(element, "title"), self.blocks(element))

    def _space(self, element: Element) -> Block:
        return Space(self.inline(element), int(element.get("lines", "1")))

    def _picture(self, element: Element) -> Block:
        of = self.needs(element, "of")
        if of not in self.drawings:
            raise self.fault(element, f"shows {of!r}, which was not drawn")
        shown = self.drawings[of]
        return (
            Picture(f"drawing-{of}", shown)
            if isinstance(shown, Drawing)
            else Photograph(f"photo-{of}", shown)
        )

    def _cards(self, element: Element) -> Block | None:
        found = tuple(map(self.card, self.only(element, "card")))
        return Cards(found) if found else None

    def card(self, element: Element) -> Card:
        code = Link(self.needs(element, "to"), (Text(self.needs(element, "code")),), with_page=True)
        return Card(self.needs(element, "name"), element.get("path", ""), self.inline(element), code)

    def _words(self, element: Element) -> Block | None:
        found = tuple(
            Word(self.needs(child, "id"), self.needs(child, "name"), self.inline(child))
            for child in self.only(element, "word")
        )
        return Words(found) if found else None

    def _own(self, element: Element) -> Block | None:
        blocks = self.blocks(element)
        return Own(element.get("source", ""), blocks) if blocks else None

    def _section(self, element: Element) -> Block | None:
        blocks = self.blocks(element)
        return Section(self.needs(element, "id"), self.needs(element, "title"), blocks) if blocks else None

    # -- inline ----------------------------------------------------------
    def inline(self, owner: Element) -> tuple[Inline, ...]:
        """The inline parts of an element, spaces run together, none at either end."""
        return _trim(self.parts(owner))

    def parts(self, owner: Element) -> list[Inline]:
        found: list[Inline] = [Text(_SPACES.sub(" ", owner.text))] if owner.text else []
        for child in owner:
            found.append(self.part(child))
            if child.tail:
                found.append(Text(_SPACES.sub(" ", child.tail)))
        return found

    def part(self, element: Element) -> Inline:
        tag: str = element.tag
        if tag in _STYLES:
            return Styled(cast(Style, tag), _trim(self.parts(element)))
        if tag == "known":
            return Known(_SPACES.sub(" ", "".join(element.itertext())).strip())
        if tag in ("ref", "term"):
            page = element.get("page") == "yes"
            return Link(self.needs(element, "to"), tuple(self.parts(element)), page)
        if tag == "blank":
            return Blank()
        if tag == "br":
            return Break()
        raise self.fault(element, "is nothing that can stand within a line")

    # -- checks ----------------------------------------------------------
    def only(self, owner: Element, *tags: str) -> list[Element]:
        stray = next((child for child in owner if child.tag not in tags), None)
        if stray is not None:
            raise self.fault(owner, f"cannot hold <{stray.tag}>")
        return list(owner)

    def needs(self, element: Element, attribute: str) -> str:
        value = element.get(attribute, "").strip()
        if not value:
            raise self.fault(element, f"has no {attribute}")
        return value


def _trim(parts: list[Inline]) -> tuple[Inline, ...]:
    """Take spaces off both ends, drop empty texts, and never leave two spaces in a row."""
    found: list[Inline] = []
    spaced = True  # at the start a space would be one too many
    for part in parts:
        if isinstance(part, Text):
            text = part.text.lstrip(" ") if spaced else part.text
            if not text:
                continue
            spaced = text.endswith(" ")
            found.append(Text(text))
        else:
            spaced = isinstance(part, Break)
            found.append(part)
    last = found[-1] if found else None
    if isinstance(last, Text) and spaced:
        found[-1:] = [Text(last.text.rstrip(" "))] if last.text.strip(" ") else []
    return tuple(found)
