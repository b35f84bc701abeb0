"""Every piece of a file with what it is: for colours that know the vocabulary."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from countwheel.editor.analysis import Analysis, Fact
from countwheel.editor.naming import places
from countwheel.editor.outline import comments
from countwheel.forms import parts
from countwheel.model.values import Words
from countwheel.syntax.tree import Item, Line

# The standard's own kinds of tokens (LSP 3.17, "SemanticTokenTypes"), which every editor has colours for.
KINDS = (
    "keyword",
    "property",
    "variable",
    "enumMember",
    "number",
    "type",
    "string",
    "comment",
    "modifier",
    "operator",
)
MODIFIERS = ("declaration",)
_PLAIN = {
    "text": "string", "block": "string", "date": "number", "time": "number", "comma": "operator", "dot": "operator",
}  # fmt: skip
_PIECES = {"number": "number", "unit": "type"}
_WORD = re.compile(r"\S+")


class Token(NamedTuple):
    """A piece within one row; `given` where it names a part in its own line."""

    start: int
    end: int
    kind: str
    given: bool = False


def tokens(analysis: Analysis, file: str) -> list[Token]:
    """The tokens of a file in their order; none overlaps another, none goes over the end of a row."""
    text = analysis.sources[file].text
    named: dict[int, tuple[int, bool]] = {}
    for place in places(analysis):
        if place.span.file == file and place.span.end > place.span.start and place.is_name:
            named.setdefault(place.span.start, (place.span.end, place.given))
    found: list[Token] = [Token(start, end, "comment") for start, end in comments(analysis, file)]
    for line in analysis.lines(file):
        found += _line(analysis, file, line, named)
    return list(_apart(sorted(found), text))


def _line(analysis: Analysis, file: str, line: Line, named: dict[int, tuple[int, bool]]) -> Iterator[Token]:
    facts = analysis.facts_of(file, line)
    head = facts[0].node.word_span if facts else None
    chosen = _choices(facts)
    kind = "keyword" if facts and analysis.words.may_own(facts[0].entry.block) else "property"
    events = analysis.words.owners["entry"] if facts and facts[0].node.word == "entry" else {}
    for item in line.items:
        in_head = head is not None and head.start <= item.start < head.end and item.kind == "word"
        if in_head and facts[0].entry.fixed and not events:
            yield Token(item.start, item.end, kind)
        elif item.start in named:
            end, given = named[item.start]
            yield Token(item.start, end, "variable", given)
            yield from _path_rest(item, end, named)
        elif item.kind == "word":
            here = "property" if item.text.lower() in events else chosen.get(item.start, "")
            if here or facts:
                yield Token(item.start, item.end, here or _word(facts[0], item))
        elif item.kind in _PLAIN:
            yield Token(item.start, item.end, _PLAIN[item.kind])
        else:
            for piece, _, start, end in item.parts:
                yield Token(start, end, _PIECES.get(piece, "operator"))
    for clause in line.clauses:
        word = _WORD.match(analysis.sources[file].text, clause.start)
        stop = min(word.end() if word else clause.end, clause.end)
        yield Token(clause.start, stop, "modifier")
        rest = _WORD.search(analysis.sources[file].text, stop, clause.end)
        if rest is not None:
            yield Token(rest.start(), clause.end, "string" if rest[0].startswith('"') else "number")


def _choices(facts: list[Fact]) -> dict[int, str]:
    """Where the words of closed choices stand."""
    found: dict[int, str] = {}
    for fact in facts[:1]:
        for part in parts(fact.entry.takes):
            value = fact.node.values.get(part.name)
            if part.kind == "choice" and isinstance(value, Words):
                found.update(
                    (value.span.start + word.start(), "enumMember") for word in _WORD.finditer(value.written)
                )
    return found


def _word(fact: Fact, item: Item) -> str:
    """A word in a value: of the form itself (`drives`, `at`), or the keeper's own."""
    fixed = re.sub(r"\{[^}]*\}|[\[\]()/]", " ", fact.entry.takes).lower().split()
    return "keyword" if item.text.lower() in fixed else "string"


def _path_rest(item: Item, at: int, named: dict[int, tuple[int, bool]]) -> Iterator[Token]:
    """The further words of a path: names, and words of the language."""
    start = at + 1
    for word in re.finditer(r"[^.]+", item.text[start - item.start :]) if start < item.end else ():
        begins, ends = start + word.start(), start + word.end()
        yield Token(begins, ends, "variable" if begins in named else "property")


def _apart(found: list[Token], text: str) -> Iterator[Token]:
    """The tokens cut at the ends of rows, what overlaps the one before left out."""
    reached = 0
    for token in found:
        if token.start < reached:
            continue
        start = token.start
        for row in text[token.start : token.end].split("\n"):
            bare = len(row) - len(row.lstrip())
            if row.strip():
                yield Token(start + bare, start + len(row.rstrip()), token.kind, token.given)
            start += len(row) + 1
        reached = token.end
