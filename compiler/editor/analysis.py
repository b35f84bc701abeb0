"""One description with all its files, analysed: what every answer is read from."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

from countwheel import api, vocabulary
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.source import Source
from countwheel.syntax.tree import Item, Line
from countwheel.vocabulary import Entry, longest

FILE = "movement"  # what the vocabulary calls the owner of a file's own lines


class Fact(NamedTuple):
    """A fact of the model with its word in the vocabulary, and the fact that owns it."""

    node: Node
    entry: Entry
    owner: Fact | None


class Analysis:
    """A description read and linked. Its figures are worked out when they are first asked for."""

    def __init__(self, reading: api.Reading) -> None:
        self.reading = reading
        self.words = vocabulary.load()

    @property
    def clock(self) -> Clock:
        return self.reading.clock

    @property
    def sources(self) -> dict[str, Source]:
        return self.reading.sources

    @cached_property
    def result(self) -> api.Result:
        return api.work_out(self.reading, working=False)

    @property
    def figures(self) -> dict[str, Figure]:
        return self.result.figures

    # -- facts -----------------------------------------------------------
    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        """Every fact, in the order written; further values of one are not facts of their own."""
        found: list[Fact] = []
        waiting: list[tuple[Node, Fact | None, str]] = [
            (node, None, FILE) for node in reversed(self.clock.root.facts)
        ]
        while waiting:
            node, owner, block = waiting.pop()
            entry = self.words.under(block).get(node.word.lower()) or self.words.loose.get(block)
            if entry is None:
                continue
            fact = Fact(node, entry, owner)
            found.append(fact)
            waiting.extend((below, fact, entry.block) for below in reversed(node.facts))
        return tuple(found)

    @cached_property
    def _by_start(self) -> dict[tuple[str, int], list[Fact]]:
        found: dict[tuple[str, int], list[Fact]] = {}
        for fact in self.facts:
            for node in (fact.node, *fact.node.others):
                found.setdefault((node.span.file, node.span.start), []).append(fact)
        return found

    @cached_property
    def by_path(self) -> dict[str, list[Fact]]:
        """Facts by their path, in the order written: the drum of a barrel has the path of its arbor."""
        found: dict[str, list[Fact]] = {}
        for fact in self.facts:
            found.setdefault(fact.node.path.lower(), []).append(fact)
        return found

    def facts_of(self, file: str, line: Line) -> list[Fact]:
        """What a line states: nothing where it could not be read, several for `dial north, east`."""
        return self._by_start.get((file, line.start), [])

    def event_at(self, file: str, offset: int) -> Fact | None:
        """The event of a log's entry that stands at a place."""
        return next(
            (
                fact
                for fact in self.facts
                if fact.owner is not None
                and fact.owner.node.word == "entry"
                and fact.node.span.file == file
                and fact.node.span.start <= offset <= fact.node.span.end
            ),
            None,
        )

    # -- lines -----------------------------------------------------------
    def lines(self, file: str) -> tuple[Line, ...]:
        """Every line of a file, in the order written."""
        found = self._lines.get(file)
        if found is None:
            tree = self.reading.project.trees.get(file)
            found = self._lines[file] = tuple(tree.walk()) if tree is not None else ()
        return found

    @cached_property
    def _lines(self) -> dict[str, tuple[Line, ...]]:
        return {}

    def line_at(self, file: str, offset: int) -> Line | None:
        """The line whose row, comment and margin included, holds an offset, or whose text does."""
        source = self.sources[file]
        lines = self.lines(file)
        row_end = source.text.find("\n", offset)
        row_end = len(source.text) if row_end < 0 else row_end
        at = bisect_right(lines, row_end, key=lambda line: line.start) - 1
        if at < 0:
            return None
        line = lines[at]
        begins = source.text.rfind("\n", 0, line.start) + 1
        end = line.block_end if line.block is not None else line.end
        stop = source.text.find("\n", end)
        return line if begins <= offset <= (len(source.text) if stop < 0 else stop) else None

    def owners(self, file: str, start: int, depth: int) -> list[Line]:
        """The lines that own one that begins at `start` with that indentation, the outermost first."""
        lines = self.lines(file)
        found: list[Line] = []
        for at in range(bisect_right(lines, start - 1, key=lambda line: line.start) - 1, -1, -1):
            if lines[at].indent < depth:
                found.append(lines[at])
                depth = lines[at].indent
                if not depth:
                    break
        return found[::-1]

    def entries(self, file: str, owners: list[Line]) -> Iterator[Entry]:
        """The word of each of these lines, the outermost first; where one has none, there are no more."""
        block = FILE
        for line in owners:
            facts = self.facts_of(file, line)
            entry = facts[0].entry if facts else self.entry_of(line, block)
            if entry is None:
                return
            yield entry
            block = entry.block

    def entry_of(self, line: Line, block: str) -> Entry | None:
        """The word that a line under `block` is about, by the vocabulary alone."""
        spelt = leading(line.items)
        hit = longest(spelt, self.words.under(block))
        return hit[0] if hit else self.words.loose.get(block)


def leading(items: list[Item]) -> list[str]:
    """The words that a line begins with."""
    words: list[str] = []
    for item in items:
        if item.kind != "word":
            break
        words.append(item.text)
    return words


def end_of(line: Line) -> int:
    """Where a line ends with all below it."""
    last = line
    while last.children:
        last = last.children[-1]
    return last.block_end if last.block is not None else last.end
