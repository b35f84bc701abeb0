"""The keeper's own longer texts: Markdown in, the small XML of our templates out.

What the keeper writes can become paragraphs, lists, emphasis and plain
tables, and nothing else: raw HTML stays the text that it is, a picture
becomes its words, a link its words and its address.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from countwheel.emit.clean import printable_text
from countwheel.model.node import Node
from countwheel.model.values import Text, Words

if TYPE_CHECKING:
    from markdown_it.token import Token

Element = ElementTree.Element
_BLOCKS = {
    "paragraph_open": "p",
    "heading_open": "p",
    "bullet_list_open": "list",
    "ordered_list_open": "steps",
    "blockquote_open": "own",
    "tr_open": "row",
    "th_open": "cell",
    "td_open": "cell",
    "table_open": "table",
}
_INLINE = {"em_open": "em", "strong_open": "strong"}


@dataclass(frozen=True, slots=True)
class KeeperText:
    """A text of the keeper's own. Only one written as a block of lines is Markdown; a quoted one is plain."""

    text: str
    markdown: bool


def keeper_text(node: Node | None, part: str = "value") -> KeeperText | None:
    """The text that a fact holds; None where it holds none."""
    value = node.values.get(part) if node else None
    if not isinstance(value, (Text, Words)):
        return None
    # a quoted text takes up its letters and two quotation marks; a block of lines has three at each end
    return KeeperText(value.text, value.span.end - value.span.start > len(value.text) + 2)


def keeper_xml(own: KeeperText) -> str:
    """The text as XML blocks of our vocabulary (markup.py), every character of it escaped."""
    root = Element("blocks")
    if own.markdown:
        _markdown(root, own.text)
    else:
        ElementTree.SubElement(root, "p").text = printable_text(own.text)
    return "".join(ElementTree.tostring(child, encoding="unicode") for child in root)


def _markdown(root: Element, text: str) -> None:
    from markdown_it import MarkdownIt

    parser = MarkdownIt("commonmark", {"html": False}).enable("table")
    _blocks(root, parser.parse(printable_text(text)))


def _blocks(root: Element, tokens: Sequence[Token]) -> None:
    open_now = [root]
    for token in tokens:
        owner = open_now[-1]
        if token.type == "inline":
            _inline(owner, token.children or [])
        elif token.type in ("fence", "code_block"):
            for line in token.content.splitlines():
                ElementTree.SubElement(ElementTree.SubElement(owner, "p"), "code").text = line
        elif token.type == "list_item_open":
            open_now.append(ElementTree.SubElement(owner, "step" if owner.tag == "steps" else "item"))
        elif token.type in _BLOCKS:
            open_now.append(_open(owner, token))
        elif token.type.endswith("_close") and token.type not in ("thead_close", "tbody_close"):
            _close(open_now)


def _open(owner: Element, token: Token) -> Element:
    made = ElementTree.SubElement(owner, _BLOCKS[token.type])
    if token.type == "heading_open":
        return ElementTree.SubElement(made, "strong")
    return made


def _close(open_now: list[Element]) -> None:
    closed = open_now.pop()
    if closed.tag == "table" and len(closed):
        closed[0].tag = "head"  # Markdown's first row names the columns


def _inline(owner: Element, tokens: Sequence[Token]) -> None:
    open_now = [owner]
    addresses: list[str] = []
    for token in tokens:
        at = open_now[-1]
        if token.type in _INLINE:
            open_now.append(ElementTree.SubElement(at, _INLINE[token.type]))
        elif token.type in ("em_close", "strong_close"):
            open_now.pop()
        elif token.type == "link_open":
            addresses.append(str(token.attrs.get("href", "")))
        elif token.type == "link_close":
            _append(at, f" ({addresses.pop()})")
        elif token.type == "hardbreak":
            ElementTree.SubElement(at, "br")
        elif token.type == "softbreak":
            _append(at, " ")
        elif token.type == "code_inline":
            ElementTree.SubElement(at, "code").text = token.content
        else:  # text, and the words of a picture
            _append(at, token.content)


def _append(owner: Element, text: str) -> None:
    if len(owner):
        owner[-1].tail = (owner[-1].tail or "") + text
    else:
        owner.text = (owner.text or "") + text
