"""The facts of one file, one a line, in a form that stays the same but where a fact changes: what git is to compare.

A part that others are told of stands on a line of its own with its whole path, and its facts below it by their paths
from there: a part that bears another name is then one other line, not all of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.compare.facts import said
from countwheel.figures.terms import evidence_text
from countwheel.model.node import Node

# What git takes for the heading of a change (`diff.*.xfuncname`): a line at the margin.
HEADING = "^[^ ].*$"


def lines(root: Node) -> str:
    """All facts below `root`, each with how it is known."""
    return "".join(f"{line}\n" for node in root.facts for line in _part(node))


def _part(node: Node) -> Iterator[str]:
    """A part of the clock with its facts, and those of its own parts that bear a name behind them."""
    yield from _told(node, f"{node.path} [{node.word}]", "")
    inner: list[Node] = []
    yield from _facts(node, node.path, inner)
    for part in inner:
        yield from _part(part)


def _facts(owner: Node, above: str, parts: list[Node]) -> Iterator[str]:
    for fact in owner.facts:
        if fact.label and fact.facts and not said(fact):  # named, and nothing but its facts: `arbor third`
            parts.append(fact)
        else:
            name = fact.path.removeprefix(f"{above}.") if fact.path else fact.word
            yield from _told(fact, name, "  ")
            yield from _facts(fact, above, parts)


def _told(node: Node, name: str, margin: str) -> Iterator[str]:
    for at, one in enumerate((node, *node.others)):
        first, *more = said(one).split("\n") or [""]
        evidence = _evidence(one)
        yield f"{margin}{'or ' if at else ''}{'  '.join(piece for piece in (name, first.strip(), evidence) if piece)}"
        yield from (f"{margin}  | {line.strip()}".rstrip() for line in more if line.strip(' "'))


def _evidence(node: Node) -> str:
    known = next(
        (one for one in (node.evidence, *(value.evidence for value in node.values.values()))
         if one.how != "unstated" or one.lost or one.doubted or one.perhaps),
        None,
    )  # fmt: skip
    return f"({evidence_text(known)})" if known else ""
