"""Ways through a content tree: everything in it, its words, its ids and links, and the same tree as part of another."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, is_dataclass, replace
from functools import cache
from itertools import chain
from operator import is_not
from typing import Any, TypeVar, cast

from countwheel.emit.document import (
    Binder,
    Blank,
    Break,
    Card,
    Cards,
    Caution,
    Cell,
    Chapter,
    Document,
    Entry,
    Fact,
    Facts,
    Index,
    Items,
    Known,
    Link,
    Own,
    Paragraph,
    Part,
    Photograph,
    Picture,
    Section,
    Space,
    Styled,
    Tab,
    Table,
    Text,
    Word,
    Words,
)

P = TypeVar("P")
# Most of a tree: nothing of it has an id or leads anywhere.
_BARE = frozenset((str, int, Text, Known, Blank, Break))
# Types of fields of which the same is true.
_PLAIN = frozenset(("str", "int", "bool", "Align", "Style", "Labels", "Drawing", "Photo"))


def within(part: P, prefix: str) -> P:
    """The same part with every id, and every link to one, put under `prefix`: what was one paper becomes a part."""
    if isinstance(part, tuple):
        inside = tuple([one if type(one) in _BARE else within(one, prefix) for one in part])
        return cast(P, inside) if any(map(is_not, inside, part)) else part
    changed: dict[str, Any] = {}
    kind: type = type(part)
    for name in _names(kind):
        value = getattr(part, name)
        new = f"{prefix}-{value}" if name in ("id", "to") else within(value, prefix)
        if new is not value:
            changed[name] = new
    return cast(P, replace(cast(Any, part), **changed)) if changed else part


@cache
def _names(kind: type) -> tuple[str, ...]:
    """The fields of a part of the tree that are an id or lead to one, or have parts in them."""
    assert is_dataclass(kind)
    return tuple(one.name for one in fields(kind) if one.name in ("id", "to") or one.type not in _PLAIN)


def walk(part: Part) -> Iterator[Part]:
    """The part and everything in it, in reading order."""
    waiting = [part]
    while waiting:
        part = waiting.pop()
        yield part
        waiting.extend(reversed(_inside(part)))


_IN_LINES = (Paragraph, Table, Facts, Word, Space, Cards, Index)


def blocks(part: Part) -> Iterator[Part]:
    """The part and every block in it, without what stands in their lines: where drawings and photographs are."""
    waiting = [part]
    while waiting:
        part = waiting.pop()
        yield part
        if not isinstance(part, _IN_LINES):
            waiting.extend(reversed(_inside(part)))


def _inside(part: Part) -> Sequence[Part]:
    inside = _INSIDE.get(type(part))
    return inside(part) if inside else ()


def _blocks(part: Chapter | Caution | Own | Section) -> Sequence[Part]:
    return part.blocks


def _parts(part: Paragraph | Styled | Link | Cell | Space | Word) -> Sequence[Part]:
    return part.parts


# What has nothing in it is not here.
_INSIDE: dict[type, Callable[[Any], Sequence[Part]]] = {
    Binder: lambda part: (*part.front, *part.tabs),
    Tab: lambda part: (part.document,),
    Document: lambda part: (*part.front, *part.chapters),
    Items: lambda part: tuple(chain.from_iterable(part.items)),
    Table: lambda part: (*part.heads, *chain.from_iterable(part.rows)),
    Facts: lambda part: part.facts,
    Words: lambda part: part.words,
    Cards: lambda part: part.cards,
    Card: lambda part: (*part.parts, part.code),
    Index: lambda part: part.entries,
    Entry: lambda part: part.links,
    Fact: lambda part: (*part.name, *part.parts),
    **dict.fromkeys((Chapter, Caution, Own, Section), _blocks),
    **dict.fromkeys((Paragraph, Styled, Link, Cell, Space, Word), _parts),
}


def plain(part: Part) -> str:
    """The words of a part as plain text, in reading order; blocks end with a line break."""
    match part:
        case Text():
            return part.text
        case Known():
            return f" ({part.text})"
        case Break():
            return "\n"
        case Picture():
            return f"{part.drawing.title}\n{part.drawing.alt}\n"
        case Photograph():
            return f"{part.photo.alt}\n"
        case Binder() | Document():
            own = f"{part.title}\n{part.subtitle}\n"
        case Chapter() | Section() | Caution():
            own = f"{part.title}\n"
        case Table():
            own = f"{part.caption}\n"
        case Own():
            own = f"{part.source}\n"
        case Word() | Entry():
            own = f"{part.name} "
        case Card():
            own = f"{part.name} {part.path}\n"
        case Fact():
            name, value = ("".join(map(plain, inner)) for inner in (part.name, part.parts))
            return f"{name} {value}\n"
        case _:
            own = ""
    end = "\n" if isinstance(part, (Paragraph, Cell, Space, Word, Card, Entry)) else ""
    return own + "".join(plain(inner) for inner in _inside(part)) + end


_ANCHORS = (Tab, Chapter, Section, Picture, Photograph, Word)


def anchors(document: Document | Binder) -> frozenset[str]:
    """Every id that a link may point to."""
    return frozenset(part.id for part in walk(document) if isinstance(part, _ANCHORS))


def dangling(document: Document | Binder) -> tuple[str, ...]:
    """Targets of links that nothing in the document answers to, in reading order."""
    known = anchors(document)
    return tuple(part.to for part in walk(document) if isinstance(part, Link) and part.to not in known)
