"""A tree as written, printed in canonical form.

Two spaces a step; one blank line between the parts of the file, and at most one where the keeper left some: parts
of one line and of one word (`expect`) may stand close. A comment keeps the depth of the block that it was written in.
In a block, between blank lines, the values of its plain facts stand under one another; what has facts of its own
stands for itself. The words that say how a value is known, and comments, stand in one column of the whole file. What
is longer than its column goes on behind one space or two.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from countwheel import vocabulary
from countwheel.source import Source
from countwheel.syntax.layout import FENCE
from countwheel.syntax.tree import Item, Line, Tree
from countwheel.vocabulary import Entry, Vocabulary

STEP = 2
# Names longer than this do not push the values of their block to the right.
LONGEST_NAME = 14
# What is to be done in a care block stands before `every`, and is longer.
LONGEST_TASK = 24
# Where evidence and comments stand: the same in every block, so that a new line moves no other.
ASIDE = 43


@dataclass(slots=True)
class Row:
    """One line as it will be printed: what stands above it, its name, its value, its evidence, its comment."""

    depth: int
    above: list[str]  # comments and '' for blank lines
    name: str
    value: str
    known: str
    comment: str
    named: bool = False  # its value is a name that tells it from others
    longest: int = LONGEST_NAME
    block: list[str] | None = None
    after: list[Row] = field(default_factory=list)

    @property
    def aligned(self) -> bool:
        """Whether its value stands under those of its block: not where it only names a part with facts of its own."""
        alone = self.block is None and not (self.named and self.after)
        return bool(self.name and self.value and self.depth and alone)


class Unfit(ValueError):
    """A tree that has a line which could not be read: it has no canonical form."""


def canonical(tree: Tree, source: Source) -> str:
    """The text of a file in canonical form, ending with a line end. Raises Unfit where a line is broken."""
    if any(line.broken or line.odd for line in tree.walk()):
        raise Unfit
    printer = _Printer(source, vocabulary.load())
    rows = printer.rows(tree.lines, "movement", 0)
    text = "\n".join(_printed(rows))
    tail = printer.between(printer.end, len(source.text))
    if any(tail):
        text += "\n" + "\n".join(_trimmed(tail))
    return text.strip("\n") + "\n" if text.strip("\n") else ""


class _Printer:
    def __init__(self, source: Source, words: Vocabulary) -> None:
        self.source = source
        self.words = words
        self.end = 0  # where the line printed last ends, its comment and its block with it
        self.open: list[
            int
        ] = []  # how far in the line printed last and those that it stands under were written

    def rows(self, lines: Sequence[Line], block: str, depth: int) -> list[Row]:
        made: list[Row] = []
        for line in lines:
            margin = self._margin(line.start)
            above = _trimmed(self.between(self.end, line.start, margin, depth))
            self.open[depth:] = [margin]
            name, value, known = self._pieces(line, block)
            entry = self._entry(line, block)
            named = entry is not None and (entry.label or ":name}" in entry.takes)
            longest = LONGEST_TASK if block == "care" else LONGEST_NAME
            row = Row(depth, above, name, value, known, line.comment, named, longest)
            if line.block is not None:
                row.block = line.block.split("\n") if line.block else []
            self.end = self._end(line)
            row.after = self.rows(line.children, entry.block if entry is not None else "", depth + 1)
            made.append(row)
        return made

    def between(self, start: int, stop: int, margin: int = 0, depth: int = 0) -> list[str]:
        """The whole-line comments, in their canonical margin, and the blank lines ('') between two places.

        What is no farther in than the line behind, whose margin and depth are given, stands with it; the
        rest with the block before that it was written in.
        """
        rows = self.source.text[start:stop].split("\n")
        # what is left of the line before, and the margin of the line behind, are no rows of their own
        inner = rows[1:-1] if stop < len(self.source.text) else rows[1:]
        if start == 0:
            inner = rows[:-1] if stop < len(self.source.text) else rows
        return [self._put(row, margin, depth) for row in inner]

    def _put(self, row: str, margin: int, depth: int) -> str:
        bare = row.strip()
        written = len(row) - len(row.lstrip())
        if not bare:
            return ""
        if written > margin:
            depth = next((at for at, one in enumerate(self.open) if one >= written), len(self.open))
        return " " * (STEP * depth) + bare

    def _margin(self, start: int) -> int:
        return start - (self.source.text.rfind("\n", 0, start) + 1)

    def _end(self, line: Line) -> int:
        end = line.block_end if line.block is not None else line.end
        stop = self.source.text.find("\n", end)
        return len(self.source.text) if stop < 0 else stop

    def _pieces(self, line: Line, block: str) -> tuple[str, str, str]:
        """Name, value and evidence of a line, each as written, with single spaces between their pieces.

        An entry of the log stays as it is: keepers set their columns there by hand.
        """
        if block == "log" and line.block is None:
            return "", self.source.text[line.start : line.end], ""
        used = self._name(line, block)
        entry = self._entry(line, block)
        name = " ".join(item.text for item in line.items[:used])
        items = line.items[used:]
        if entry is not None and ":changes}" in entry.takes and items:
            value = self.source.text[
                items[0].start : items[-1].end
            ]  # wider gaps tell one change from the next
        else:
            value = self._joined(items)
        known = squeezed(self.source.text[line.clauses[0].start : line.end]) if line.clauses else ""
        if line.block is not None:  # its opening quotes are the last item of the value
            value = f"{value.removesuffix(FENCE).rstrip()} {FENCE}".strip()
        return name, value, known

    def _joined(self, items: Sequence[Item]) -> str:
        text = ""
        before: Item | None = None
        for item in items:
            piece = self.source.text[item.start : item.end]
            if item.kind == "block" and "\n" in piece:
                piece = FENCE
            text += piece if before is None or _one_word(before, item) else f" {piece}"
            before = item
        return text

    def _name(self, line: Line, block: str) -> int:
        """How many items the name of a line takes: the longest word of the vocabulary, else one or none."""
        items = line.items
        spelt = [item.text for item in _leading_words(items)]
        if block == "care":
            return max((at for at, word in enumerate(spelt) if word == "every"), default=0)
        denied = 1 if len(spelt) > 1 and spelt[0].lower() == "no" else 0
        known = self.words.under(block) if self.words.may_own(block) else {}
        for used in range(min(5, len(spelt)), denied, -1):
            if " ".join(spelt[denied:used]).lower() in known:
                return used
        return 1 if spelt and len(items) > 1 else 0

    def _entry(self, line: Line, block: str) -> Entry | None:
        known = self.words.under(block) if self.words.may_own(block) else {}
        name = " ".join(item.text for item in line.items[: self._name(line, block)]).lower()
        return known.get(name.removeprefix("no "))


def _leading_words(items: Sequence[Item]) -> Iterator[Item]:
    for item in items:
        if item.kind != "word":
            return
        yield item


def _one_word(before: Item, item: Item) -> bool:
    """Whether an item goes on with the one before: a comma, or what was read as two, as 1e9x19 among words is."""
    touching = before.end == item.start and "text" not in (before.kind, item.kind) and before.kind != "comma"
    return item.kind == "comma" or touching


def squeezed(text: str) -> str:
    """With single spaces between its pieces; what stands in quotes stays as it is."""
    return "".join(
        piece if piece.startswith('"') else re.sub(r"\s+", " ", piece)
        for piece in re.split(r'("[^"]*")', text)
    ).strip()


def _trimmed(rows: list[str]) -> list[str]:
    """Comments with one blank line at most between them, before and behind."""
    kept: list[str] = []
    for row in rows:
        if row or (kept and kept[-1]) or not kept:
            kept.append(row)
    return kept


# -- columns -------------------------------------------------------------------------
def _printed(rows: Sequence[Row]) -> Iterator[str]:
    """The rows of one block with all below them."""
    for group in _groups(rows):
        names = [len(row.name) for row in group if row.aligned and len(row.name) <= row.longest]
        for row in group:
            room = ASIDE - STEP * row.depth
            text = _content(row, max(names, default=0))
            for aside in (row.known, row.comment):
                if aside:
                    text = f"{text:<{room}}  {aside}" if text else aside
            yield from _one(row, text)


def _content(row: Row, column: int) -> str:
    return f"{row.name:<{column}} {row.value}" if row.aligned else f"{row.name} {row.value}".strip()


def _one(row: Row, text: str) -> Iterator[str]:
    margin = " " * (STEP * row.depth)
    yield from row.above
    yield margin + text
    if row.block is not None:
        inner = margin + " " * STEP
        yield from (f"{inner}{line}" if line else "" for line in row.block)
        yield inner + FENCE
    yield from _printed(row.after)


def _groups(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Rows that stand together: a blank line, or a part of the file, begins a new group."""
    group: list[Row] = []
    for row in rows:
        if not row.depth:
            if group:
                yield group
            if group and not (_alone(row) and _alone(group[0]) and row.name == group[0].name):
                row.above = row.above if "" in row.above else ["", *row.above]
            group = [row]
            continue
        if group and "" in row.above:
            yield group
            group = []
        group.append(row)
    if group:
        yield group


def _alone(row: Row) -> bool:
    """Whether a part of the file is one line and no more."""
    return bool(row.name) and row.block is None and not row.after
