"""The shape of a line: how its tokens are grouped, by lark, from their kinds alone.

What lark makes of a line depends only on the kinds of its tokens, in their
order. So each run of kinds is given to lark once; those of everyday lines are
kept in `grammar/line_shapes.json`, and a description that has no others is
read without loading lark at all. A test holds the kept shapes to what lark
makes; `python -m countwheel.syntax.parser FILE...` writes them from descriptions.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from typing import Any, NamedTuple
from zlib import crc32

from countwheel import grammar

TABLE = "line_shapes.json"
LONGEST = 40  # kinds in a run that is remembered; a longer line is seldom met twice


class Token(NamedTuple):
    """One token of a line. `start` and `end` are offsets in the line."""

    type: str
    text: str
    start: int
    end: int


class Piece(NamedTuple):
    """An item of a line (or its `evidence`): the first and the last of its tokens, counted from 0."""

    kind: str
    first: int
    last: int


class Stuck(NamedTuple):
    """The token that cannot follow those before it; the count of tokens where something is missing at the end."""

    at: int


Shape = tuple[Piece, ...] | Stuck


def made_with() -> str:
    """What the kept shapes depend on: the text of the grammar."""
    return f"{crc32(grammar.read('line.lark').encode()):08x}"


@cache
def _known() -> dict[str, Shape]:
    try:
        kept = json.loads(grammar.read(TABLE))
        if kept["made with"] != made_with():
            return {}
        return {kinds: tuple(Piece(*piece) for piece in pieces) for kinds, pieces in kept["shapes"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def shape_of(tokens: list[Token]) -> Shape:
    """How the tokens of a line are grouped, or where they stop making sense."""
    kinds = [token.type for token in tokens]
    if len(kinds) > LONGEST:
        return by_lark(kinds)
    key = " ".join(kinds)
    known = _known()
    if key not in known:
        known[key] = by_lark(kinds)
    return known[key]


def by_lark(kinds: Iterable[str]) -> Shape:
    """The shape as lark makes it."""
    from countwheel.syntax.parser import line_parser
    from lark import Token as LarkToken
    from lark import UnexpectedInput

    feeding = line_parser().parse_interactive()
    at = -1
    try:
        for at, kind in enumerate(kinds):
            feeding.feed_token(LarkToken(kind, kind, start_pos=at))
        at += 1
        tree = feeding.feed_eof()
    except UnexpectedInput:
        return Stuck(at)
    return tuple(_piece(branch) for branch in tree.children)


def _piece(branch: Any) -> Piece:
    places = [token.start_pos for token in branch.scan_values(lambda value: True)]
    return Piece(str(branch.data), min(places), max(places))


def make_table(runs: Iterable[Iterable[str]]) -> str:
    """The shapes of runs of kinds as JSON text, those that make sense and are no longer than is remembered."""
    shapes: dict[str, list[list[object]]] = {}
    for run in sorted({tuple(run) for run in runs}):
        shape = by_lark(run)
        if not isinstance(shape, Stuck) and len(run) <= LONGEST:
            shapes[" ".join(run)] = [list(piece) for piece in shape]
    rows = ",\n".join(
        f"{json.dumps(kinds)}: {json.dumps(pieces, separators=(',', ':'))}"
        for kinds, pieces in shapes.items()
    )
    return f'{{"made with": "{made_with()}", "shapes": {{\n{rows}\n}}}}\n'
