"""The content tree as plain text for a terminal: what is ruled on paper is indented and lined up here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from countwheel.emit.document import (
    Blank,
    Block,
    Caution,
    Document,
    Facts,
    Inline,
    Items,
    Labels,
    Own,
    Paragraph,
    Picture,
    Section,
    Space,
    Table,
    Words,
)
from countwheel.emit.traversal import plain

_GAP = "  "
_ROOM = "________"
_LEAST = 10  # letters that a column is not made narrower than


def print_text(document: Document, width: int = 100) -> str:
    """The whole document, in lines of at most `width` letters where its words allow it."""
    lines = [f"{document.title} – {document.subtitle}", ""]
    lines += _blocks(document.front, document.labels, width)
    for chapter in document.chapters:
        title = f"{chapter.number}  {chapter.title}"
        lines += [title, "=" * len(title), "", *_blocks(chapter.blocks, document.labels, width)]
    # A space that kept words together has done so: searched for, it is one as any other.
    return "\n".join(line.replace("\u00a0", " ").rstrip() for line in lines).rstrip() + "\n"


def _blocks(blocks: Iterable[Block], labels: Labels, width: int) -> Iterator[str]:
    """The lines of some blocks, an empty one after each."""
    for block in blocks:
        yield from _block(block, labels, width)
        yield ""


def _block(block: Block, labels: Labels, width: int) -> Iterator[str]:
    match block:
        case Paragraph():
            yield from wrap(_words(block.parts), width)
        case Items():
            for number, item in enumerate(block.items, 1):
                sign = f"{number}. " if block.steps else "- "
                yield from _hung(sign, _blocks(item, labels, width - len(sign)))
        case Facts():
            room = max(len(_words(fact.name)) for fact in block.facts) + len(_GAP)
            for fact in block.facts:
                name = f"{_words(fact.name):<{room}}"
                yield from wrap(_words(fact.parts), width, initial_indent=name, subsequent_indent=" " * room)
        case Table():
            yield from _table(block, width)
        case Caution():
            yield from wrap(f"{labels.caution} {block.title}".upper(), width)
            yield from _hung("| ", _blocks(block.blocks, labels, width - 2), every=True)
        case Section():
            yield from (block.title, "-" * len(block.title))
            yield from _trimmed(_blocks(block.blocks, labels, width))
        case Own():
            if block.source:
                yield block.source
            yield from _hung("  ", _blocks(block.blocks, labels, width - 2), every=True)
        case Space():
            yield from wrap(_words(block.parts), width)
            yield from ["_" * min(width, 60)] * block.lines
        case Words():
            for word in block.words:
                yield from wrap(f"{word.name}: {_words(word.parts)}", width, subsequent_indent=_GAP)
        case Picture():
            yield from wrap(block.drawing.alt, width)


def _words(parts: Iterable[Inline]) -> str:
    return "".join(_ROOM if isinstance(part, Blank) else plain(part) for part in parts).strip()


def _trimmed(lines: Iterable[str]) -> list[str]:
    found = list(lines)
    while found and not found[-1]:
        found.pop()
    return found


def _hung(sign: str, lines: Iterable[str], every: bool = False) -> Iterator[str]:
    """Lines set in by a sign, which stands before the first of them or before every one."""
    for number, line in enumerate(_trimmed(lines)):
        yield (sign if every or not number else " " * len(sign)) + line


def _table(table: Table, width: int) -> Iterator[str]:
    rows = [[_words(cell.parts) for cell in row] for row in (table.heads, *table.rows)]
    widths = _widths(rows, width - len(_GAP) * (len(table.heads) - 1))
    if table.caption:
        yield table.caption
    for number, row in enumerate(rows):
        cells = [wrap(text, room) or [""] for text, room in zip(row, widths, strict=True)]
        for at in range(max(map(len, cells))):
            said = [cell[at] if at < len(cell) else "" for cell in cells]
            yield _GAP.join(
                f"{text:>{room}}" if head.align == "right" else f"{text:<{room}}"
                for text, room, head in zip(said, widths, table.heads, strict=True)
            )
        if not number:
            yield _GAP.join("-" * room for room in widths)


def _widths(rows: list[list[str]], width: int) -> list[int]:
    """What each column needs; where that is too much, the widest give up what is over."""
    widths = [max(len(text) for text in column) for column in zip(*rows, strict=True)]
    while sum(widths) > width and max(widths) > _LEAST:
        widths[widths.index(max(widths))] -= 1
    return widths
