"""Each fact of a demo taken away, put back and changed by itself: the comparison tells of it, and of nothing else."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from countwheel.compare.facts import changes
from countwheel.facts_alone import facts_of
from countwheel.model.node import Node

DEMO = Path(__file__).parents[2] / "specs" / "penquay-harbour-office" / "penquay-harbour-office.movement"
# Words that stand for each other in some fact: the first that can be read is taken.
WORDS = [
    *[("clockwise", "anticlockwise"), ("hours", "quarters"), ("quarters", "hours"), ("yes", "no")],
    *[("north", "south"), ("east", "west"), ("south", "north"), ("west", "east"), ("steel", "brass")],
    *[("brass", "steel"), ("iron", "steel"), ("wood", "iron"), ("stone", "brick"), ("deadbeat", "recoil")],
    *[("Friday", "Sunday"), ("oil", "grease"), ("round", "square"), ("fixed", "loose")],
]
KNOWN = ["counted", "measured", "stamped", "copied", "told", "estimated", "assumed"]


@dataclass(frozen=True)
class Block:
    """A top-level part of the description by itself: its text, its facts and those that have a line to themselves."""

    lines: tuple[str, ...]
    root: Node
    alone: tuple[tuple[int, Node], ...]

    def with_line(self, at: int, line: str) -> Node | None:
        """The facts with that line in place of the one there; None where they cannot be read."""
        made = facts_of("".join((*self.lines[:at], line, *self.lines[at + 1 :])))
        return None if made.faults else made.root


@cache
def blocks() -> tuple[Block, ...]:
    text = DEMO.read_text(encoding="utf-8")
    whole = facts_of(text).root
    ends = [line.start() for line in re.finditer(r"^", text, re.MULTILINE)]
    starts = sorted({ends[bisect_right(ends, node.span.start) - 1] for node in whole.facts})
    return tuple(_block(text[a:b]) for a, b in zip(starts, (*starts[1:], len(text)), strict=True))


def _block(text: str) -> Block:
    read = facts_of(text)
    assert read.faults == ()
    lines = tuple(text.splitlines(keepends=True))
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line))
    on_line: dict[int, list[Node]] = {}
    for node in read.root.walk():
        if node.path and node.span is not None:
            on_line.setdefault(bisect_right(starts, node.span.start) - 1, []).append(node)
    alone = tuple((at, nodes[0]) for at, nodes in on_line.items() if len(nodes) == 1)
    return Block(lines, read.root, alone)


def cases() -> Iterator[tuple[Block, int, Node]]:
    for block in blocks():
        for at, node in block.alone:
            if '"""' not in block.lines[at]:  # a text of several lines is not taken away with its first
                yield block, at, node


def told(before: Node, after: Node) -> list[tuple[str, str]]:
    return [(change.kind, change.path) for change in changes(before, after)]


def test_a_fact_taken_away_or_put_back_is_exactly_that_fact() -> None:
    tried = 0
    for block, at, node in cases():
        if node.facts:
            continue
        without = block.with_line(at, "")
        if without is None:
            continue
        tried += 1
        assert told(block.root, without) == [("removed", node.path)], block.lines[at]
        assert told(without, block.root) == [("added", node.path)], block.lines[at]
    assert tried > 250


def changed_lines(line: str) -> Iterator[str]:
    """The line with one value another: a digit, a word in quotation marks, a word."""
    said, mark, remark = line.partition(" #")
    for number in re.finditer(r"(?<![\w\"])\d[\d.]*", said):
        if said[: number.start()].count('"') % 2 == 0:
            last = number.end() - 1 if number[0][-1].isdigit() else number.end() - 2
            other = str((int(said[last]) + 1) % 10)
            yield f"{said[:last]}{other}{said[last + 1 :]}{mark}{remark}"
    for quoted in re.finditer(r'"([^"]+)"', said):
        yield f"{said[: quoted.end() - 1]} too{said[quoted.end() - 1 :]}{mark}{remark}"
    word = re.match(r"\s*\S+", said)  # another word there would be another fact
    first = word.end() if word else 0
    for old, new in WORDS:
        if re.search(rf"\b{old}\b", said[first:]):
            yield said[:first] + re.sub(rf"\b{old}\b", new, said[first:], count=1) + mark + remark


def test_a_value_changed_is_exactly_that_fact() -> None:
    untried, tried = [], 0
    for block, at, node in cases():
        if node.label:  # whose name would be another: see below
            continue
        made = [(line, block.with_line(at, line)) for line in changed_lines(block.lines[at])]
        read = [(line, root) for line, root in made if root is not None]
        if not read:
            untried.append(block.lines[at].strip())
        for line, root in read:
            tried += 1
            assert [path for _, path in told(block.root, root)] == [node.path], (block.lines[at], line)
    assert tried > 300
    assert len(untried) < 80, untried  # words that nothing here stands for


def test_how_it_is_known_changed_is_exactly_that_fact() -> None:
    tried = 0
    for block, at, node in cases():
        line = block.lines[at]
        old = next((word for word in KNOWN if re.search(rf"\b{word}\b", line)), None)
        if old is None:
            continue
        for new in KNOWN:
            root = block.with_line(at, re.sub(rf"\b{old}\b", new, line, count=1)) if new != old else None
            if root is None:
                continue
            tried += 1
            found = told(block.root, root)
            assert [path for _, path in found] == [node.path], (line, new)
            assert found[0][0] in ("surer", "less sure", "known otherwise"), (line, new, found)
    assert tried > 300


@pytest.mark.parametrize("word", ["arbor", "train", "bell", "wheel"])
def test_another_name_is_a_new_name_and_nothing_else(word: str) -> None:
    tried = 0
    for block, at, node in cases():
        if node.word != word or not node.label:
            continue
        pattern = rf"(\b{word} )(\"[^\"]+\"|\S+)"
        lines = [
            re.sub(pattern, rf"\1{name}", block.lines[at], count=1) for name in ("other", '"some other"')
        ]
        root = next((read for line in lines if (read := block.with_line(at, line))), None)
        if root is None:
            continue
        tried += 1
        kinds = {kind for kind, _ in told(block.root, root)}
        assert kinds == {"renamed"}, (block.lines[at], told(block.root, root))
    assert tried


def test_a_value_recorded_twice_is_told() -> None:
    once = "countwheel 1\npendulum\n  length\n    60 in measured\n    61 in estimated\n"
    one, two = facts_of(once), facts_of(f"{once}    61 in estimated\n")
    assert one.faults == two.faults == ()
    assert told(one.root, two.root) == [("added", "pendulum.length")]
    assert told(two.root, one.root) == [("removed", "pendulum.length")]
