"""A description cut into pieces, each with what it is. Nothing is left out: the pieces joined are the text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Literal, NamedTuple

from countwheel.highlight.words import ENTRY, NONE, Behind, behind, events, heads, loose
from countwheel.source import Source
from countwheel.syntax.layout import lay_out
from countwheel.syntax.lines import MOST_PIECES, tokens_of
from countwheel.syntax.shapes import Token
from countwheel.syntax.tree import Line
from countwheel.vocabulary import Entry, load

Kind = Literal[
    "part",  # a word under which more can stand: train, barrel
    "fact",  # a word that states one thing: diameter, a task, what happened in the log
    "choice",  # one of a closed set: deadbeat, clockwise
    "word",  # a fixed word of a value: drives, every
    "name",  # what a part is called: going
    "path",  # the way to a part: going.centre
    "value",  # any other word of a value: bronze
    "evidence",  # how a fact is known: counted, on, by
    "number",
    "unit",
    "unknown",  # ?
    "date",  # dates and times of day
    "text",  # between quotes
    "block",  # between triple quotes
    "comment",
    "sign",  # ± .. , and the rest in a line of changes
    "fault",  # what cannot be read, or nearly
    "space",
]


class Piece(NamedTuple):
    """Characters `start` up to, not including, `end` of the text."""

    kind: Kind
    start: int
    end: int


_FIXED: dict[str, Kind] = {
    "NUMBER": "number",
    "UNIT": "unit",
    "RANGE": "sign",
    "PM": "sign",
    "COMMA": "sign",
    "DOT": "sign",
    "UNKNOWN": "unknown",
    "PARITY": "word",
    "OR": "word",
    "ABOUT": "word",
    "STRING": "text",
    "TEXTBLOCK": "block",
    "DATE": "date",
    "TIME": "date",
    "HOW": "evidence",
    "LOST": "evidence",
    "PERHAPS": "evidence",
    "DOUBTED": "evidence",
    "ON": "evidence",
    "BY": "evidence",
    "FROM": "evidence",
}
_GAP = re.compile(r"(?P<comment>#[^\n]*)|(?P<space>\s+)|(?P<fault>[^\s#]+)")
_PATH = re.compile(r"\w[^.\s]*(?:\.[^.\s]+)+")
_NOTHING = Behind(frozenset(), frozenset())


def pieces(text: str) -> list[Piece]:
    """The pieces of a description or of a part of one, in order and without a gap. Never raises for its content."""
    tree, _ = lay_out(Source("", text))
    found: list[Piece] = []
    at = 0
    waiting: list[tuple[Line, str, Behind]] = [(line, "movement", _NOTHING) for line in reversed(tree.lines)]
    while waiting:
        line, owner, above = waiting.pop()
        found.extend(_between(text, at, line.start))
        tokens = tokens_of(line.content)
        if len(tokens) > MOST_PIECES:
            found.append(Piece("fault", line.start, line.end))
            block, form = owner, _NOTHING
        else:
            kinds, block, form = _line(tokens, owner, above)
            at = line.start
            for token, kind in zip(tokens, kinds, strict=True):
                found.extend(_between(text, at, line.start + token.start))
                at = line.start + token.end
                found.append(Piece(kind, line.start + token.start, at))
            found.extend(_between(text, at, line.end))
        at = line.end
        if line.block is not None:
            found.append(Piece("block", line.end, line.block_end))
            at = line.block_end
        waiting.extend((child, block, form) for child in reversed(line.children))
    found.extend(_between(text, at, len(text)))
    return [piece for piece in found if piece.start < piece.end]


def _between(text: str, start: int, end: int) -> Iterator[Piece]:
    """White space and comments; what else there is are characters that nobody can see."""
    for match in _GAP.finditer(text, start, end):
        kind: Kind = "comment" if match["comment"] else "space" if match["space"] else "fault"
        yield Piece(kind, match.start(), match.end())


def _line(tokens: list[Token], owner: str, above: Behind) -> tuple[list[Kind], str, Behind]:
    """What each token of a line under `owner` is; the owner of the lines under it, and what they may hold."""
    kinds: list[Kind] = [_FIXED.get(token.type, "fault") for token in tokens]
    free = [token.type == "WORD" for token in tokens]
    if owner == "log":
        known, form = events()
        _mark(tokens, free, kinds, frozenset(known), "fact")
        _rest(tokens, free, kinds, form, 0)
        return kinds, ENTRY, form
    none = int(bool(tokens) and tokens[0].text.lower() == NONE)
    entry, used = _head(tokens[none:], owner)
    if entry is not None:
        form = behind(entry.takes)
        kind: Kind = "part" if load().may_own(entry.block) else "fact"
        kinds[:none] = ["word"] * none
        kinds[none : none + used] = [kind] * used
        _rest(tokens, free, kinds, form, none + used)
        return kinds, entry.block, form
    if owner in load().loose and free and free[0]:
        form = loose(owner)
        lead = 0
        while lead < len(tokens) and free[lead] and tokens[lead].text.lower() not in form.literals:
            lead += 1
        first: Kind = "path" if _PATH.fullmatch(tokens[0].text) else "fact"
        kinds[:lead] = [first] * lead
        _mark(tokens, free, kinds, form.choices, "choice")
        _rest(tokens, free, kinds, form, lead)
        return kinds, owner, form
    _rest(tokens, free, kinds, above, 0)  # one of several values of the fact above it
    return kinds, owner, above


def _head(tokens: list[Token], owner: str) -> tuple[Entry | None, int]:
    """The entry whose spelling the line begins with, and of how many words: by its owner, or else by any."""
    spelt: list[str] = []
    for token in tokens[:5]:
        if token.type not in ("WORD", "LOST"):
            break
        spelt.append(token.text.lower())
    words = load()
    for known in (words.under(owner), {} if owner in words.loose else _anywhere()):
        for used in range(len(spelt), 0, -1):
            entry = known.get(" ".join(spelt[:used]))
            if entry is not None:
                return entry, used
    return None, 0


@cache
def _anywhere() -> dict[str, Entry]:
    """Every spelling with the first owner's entry: a part of a description may be shown without what owns it."""
    owners = load().owners
    spellings = (head.spelling.lower() for head in heads())
    return {
        spelling: next(
            known[spelling] for owner, known in owners.items() if owner != ENTRY and spelling in known
        )
        for spelling in spellings
    }


def _mark(
    tokens: list[Token], free: list[bool], kinds: list[Kind], spellings: frozenset[str], kind: Kind
) -> None:
    """Marks the longest runs of words that are among the spellings."""
    longest = max((len(spelling.split()) for spelling in spellings), default=0)
    at = 0
    while at < len(tokens):
        step = 1
        for used in range(min(longest, len(tokens) - at), 0, -1):
            run = slice(at, at + used)
            if all(free[run]) and " ".join(token.text.lower() for token in tokens[run]) in spellings:
                kinds[run] = [kind] * used
                free[run] = [False] * used
                step = used
                break
        at += step


def _rest(tokens: list[Token], free: list[bool], kinds: list[Kind], form: Behind, used: int) -> None:
    """Gives the words behind the first `used` ones their kinds."""
    free[:used] = [False] * used
    _mark(tokens, free, kinds, form.choices, "choice")
    _mark(tokens, free, kinds, form.literals, "word")
    for at, token in enumerate(tokens):
        if not free[at]:
            continue
        if _PATH.fullmatch(token.text) or form.paths:
            kinds[at] = "path"
        elif form.claim:
            kinds[at] = "word"
        else:
            # A word behind `by` is a person, whatever the line is about.
            person = at > 0 and tokens[at - 1].type == "BY"
            kinds[at] = "name" if form.names and not person else "value"
