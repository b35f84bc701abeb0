"""The facts of one file, one a line, in a form that stays the same but where a fact changes: what git is to compare.

A part that others are told of stands on a line of its own with its whole path, and its facts below it by their paths
from there: a part that bears another name is then one other line, not all of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from countwheel.emit.phrase import phrase
from countwheel.figures.terms import evidence_text
from countwheel.model.node import Node
from countwheel.model.values import Text, Words


def lines(root: Node) -> str:
    """All facts below `root`, each with how it is known."""
    return "".join(f"{line}\n" for node in root.facts for line in _part(node, root))


def _part(node: Node, owner: Node) -> Iterator[str]:
    """A part of the clock with its facts, and those of its own parts that bear a name behind them."""
    yield from _told(node, owner, f"{node.path} [{node.word}]", "")
    inner: list[tuple[Node, Node]] = []
    yield from _facts(node, node.path, inner)
    for part, its in inner:
        yield from _part(part, its)


def _facts(owner: Node, above: str, parts: list[tuple[Node, Node]]) -> Iterator[str]:
    for fact in owner.facts:
        if (
            fact.label and fact.facts and not _value(fact, owner)
        ):  # nothing but a name and its facts: `arbor third`
            parts.append((fact, owner))
        else:
            name = fact.path.removeprefix(f"{above}.")
            yield from _told(fact, owner, name if name != above else fact.word, "  ")
            yield from _facts(fact, above, parts)


def _told(node: Node, owner: Node, name: str, margin: str) -> Iterator[str]:
    for at, one in enumerate((node, *node.others)):
        first, *more = _value(one, owner).split("\n")
        told = "  ".join(piece for piece in (name, first.strip(), _evidence(one)) if piece)
        yield f"{margin}{'or ' if at else ''}{told}"
        yield from (f"{margin}  | {line.strip()}" for line in more if line.strip())


def _value(node: Node, owner: Node) -> str:
    """The value in the words of the description, without the name that the path has."""
    told = {
        part: value.text if isinstance(value, (Words, Text)) else value.written
        for part, value in node.values.items()
        if not (node.label and isinstance(value, Words) and value.text == node.label)
    }
    if len(told) > 1 and len(set(told.values())) == 1 and set(told.values()) == {"?"}:
        return "?"  # `jack ?` says it of every part
    return phrase(node, owner.word, told) if told else ""


def _evidence(node: Node) -> str:
    known = next(
        (one for one in (node.evidence, *(value.evidence for value in node.values.values()))
         if one.how != "unstated" or one.lost or one.doubted or one.perhaps),
        None,
    )  # fmt: skip
    return f"({evidence_text(known)})" if known else ""
