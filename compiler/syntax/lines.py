"""One logical line, read by lark with `grammar/line.lark`, into items and clauses of evidence.

Our own tokens are fed to lark's LALR parser: one regular expression reads
them all, since lark compiles one for each state of its contextual lexer, which
took a fifth of a cold `check`. What is context is little: a unit stands only
behind a number, `on`, `by` and `from` are evidence only behind how a value is known.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from countwheel.diagnostics.record import Diagnostic
from countwheel.source import Source
from countwheel.syntax.nearly import nearly, out_of_order
from countwheel.syntax.parser import line_parser
from countwheel.syntax.tree import Clause, Item, Line, Tree
from countwheel.units import unit_pattern

# Figures are bounded (18 before and behind the point) so that no number can be a burden to work with.
_WHOLE = r"\d{1,18}"
_PLAIN = rf"{_WHOLE}(?:\.{_WHOLE})?(?:[eE][-+−]?\d{{1,2}})?"
_FRACTION = r"\d{1,6}/\d{1,6}"
_VULGAR = "½¼¾⅓⅔⅛⅜⅝⅞"
_NUMBER = rf"[-−]?(?:{_WHOLE}[ \t]+{_FRACTION}|{_FRACTION}|{_WHOLE}[ \t]*[{_VULGAR}]|[{_VULGAR}]|{_PLAIN})"
_ALMOST_DATE = (
    r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}(?!\w)|\d{4}[-./]\d(?:[-./]\d{1,2})?(?!\w)"
    r"|\d{4}[./]\d\d[./]\d{1,2}(?!\w)|\d{4}-\d\d-\d(?!\w)|\d{3}-\d\d-\d\d(?!\w)"
)
# Feet and inches by marks that are not theirs: 6' 3 1/2", 10 1/4".
_ANY = rf"\d+(?:\.\d+|[ \t]+{_FRACTION}|[ \t]*[{_VULGAR}])?|{_FRACTION}|[{_VULGAR}]"
_MARKED = rf"(?:{_ANY})(?:['’](?!['’\d])(?:[ \t]*(?:{_ANY})(?:''|[\"”]))?|''|[\"”])"
_ALMOST_NUMBER = (
    rf"{_MARKED}|\d+-{_FRACTION}(?!\w)|\d+['’]\d{{3}}(?!\d)|\d+(?:[.,]\d+){{2,}}|\d+[.,]\d+,\d[\d.,]*"
    r"|\d+[OolI][\dOolI]*(?!\w)|\d{19,}|\d[\d.]*[eE][-+−]?\d{3,}|\.\d+(?!\w)|\d+\.(?![\w.])"
)
# The first that fits wins. There is one for each thing that is nearly right (an unclosed quote, a
# decimal comma, almost a date), so that the message can be about that thing.
_TOKENS = (
    ("TEXTBLOCK", r'"""(?:.*?""")?'),
    ("STRING", r'"[^"\n]*"'),
    ("OPENSTRING", r'"[^"\n]*'),
    ("HYPHENED", rf"\d+-{_FRACTION}(?!\w)"),
    ("ALMOSTDATE", _ALMOST_DATE),
    ("DATE", r"\d{4}-\d\d(?:-\d\d)?(?!\w)"),
    ("TIME", r"\d{1,2}:\d\d(?!\w)"),
    ("RANGE", r"\.\.|…|–"),
    ("DECIMALCOMMA", r"\d+,\d+(?![.\d,])"),
    ("ALMOSTNUMBER", _ALMOST_NUMBER),
    ("DOT", r"\.(?![\w.])"),
    ("WORD", rf"(?![{_VULGAR}])[^\W\d_][^\s,\"±?]*|\d+[x×]\d+\w*"),
    ("NUMBER", _NUMBER + r"(?!\d)"),
    ("COMMA", ","),
    ("PM", r"±|\+/-|\+-"),
    ("UNKNOWN", r"\?"),
    ("JUNK", r"[^\s]+?(?=[\s,\"±?]|$)|[^\s]"),
)
_SPACE = re.compile(r"[ \t\xa0\u2009\u202f]*")
_KEYWORDS = dict.fromkeys(
    ("counted", "measured", "stamped", "copied", "told", "estimated", "assumed"), "HOW"
) | {
    "lost": "LOST",
    "perhaps": "PERHAPS",
    "doubted": "DOUBTED",
}
_DETAILS = {"on": "ON", "by": "BY", "from": "FROM"}
_HINTS = {"or": "OR", "about": "ABOUT", "some": "ABOUT", "odd": "PARITY", "even": "PARITY"}


@cache
def _scanners() -> tuple[re.Pattern[str], re.Pattern[str]]:
    return (
        re.compile("|".join(f"(?P<{name}>{pattern})" for name, pattern in _TOKENS)),
        re.compile(unit_pattern()),
    )


def _token_stream(text: str) -> Iterator[Any]:
    """The tokens of a line, as lark's, with `start_pos` and `end_pos` in the line."""
    from lark import Token

    every, unit = _scanners()
    at, end = 0, len(text)
    before = ""
    known = hinting = False
    while True:
        at = _SPACE.match(text, at).end()  # type: ignore[union-attr]
        if at >= end:
            return
        found = unit.match(text, at) if before == "NUMBER" else None
        if found is not None:
            kind = "UNIT"
        else:
            found = every.match(text, at)
            if found is None:  # a control character: the layout has told of it
                at += 1
                continue
            kind = found.lastgroup or "JUNK"
            if kind == "HYPHENED":
                kind = "ALMOSTNUMBER"
        word = found[0]
        if kind == "WORD":
            kind = _KEYWORDS.get(word, kind)
            if kind == "WORD" and known:
                kind = _DETAILS.get(word, kind)
            if kind == "WORD" and hinting:
                kind = _HINTS.get(word, kind)
        if kind == "HOW":
            known = True
        hinting = kind == "UNKNOWN" or (hinting and kind in ("NUMBER", "UNIT", "OR", "RANGE", "ABOUT"))
        yield Token(kind, word, start_pos=at, end_pos=found.end())
        before = kind
        at = found.end()


def _parse(text: str) -> Any:
    """lark's tree for one line. Raises lark's UnexpectedInput where its pieces do not follow one another."""
    feeding = line_parser().parse_interactive()
    for token in _token_stream(text):
        feeding.feed_token(token)
    return feeding.feed_eof()


def read_lines(tree: Tree, source: Source) -> list[Diagnostic]:
    """Fills in the items and clauses of every line of the tree; a faulty one is marked `broken`. Never raises."""
    report: list[Diagnostic] = []
    for line in tree.walk():
        if not line.broken:
            _read_line(line, source, report)
    return report


def _read_line(line: Line, source: Source, report: list[Diagnostic]) -> None:
    from lark import UnexpectedInput

    try:
        parsed = _parse(line.content)
    except UnexpectedInput as fault:
        line.broken = True
        report.append(out_of_order(fault, line, source))
        _salvage(line)
        return
    for branch in parsed.children:
        if branch.data == "evidence":
            line.clauses.extend(_clauses(branch, line.start))
        elif branch.data == "fault":
            line.broken = True
            report.append(nearly(branch.children[0], line, source))
        else:
            line.items.append(_item(branch, line))


def _salvage(line: Line) -> None:
    """The leading words of a line that could not be read, so that what it was about is still known."""
    at = 0
    for found in re.finditer(r"[^\W\d_][^\s,\"±?]*", line.content):
        if line.content[at : found.start()].strip():
            break
        start = line.start + found.start()
        line.items.append(Item("word", found[0], start, start + len(found[0])))
        at = found.end()


def _item(branch: Any, line: Line) -> Item:
    tokens = list(_tokens(branch))
    first, last = tokens[0], tokens[-1]
    start, end = line.start + first.start_pos, line.start + last.end_pos
    text = line.content[first.start_pos : last.end_pos]
    kind = branch.data
    if kind == "text":
        text = text[1:-1]
    elif kind == "block" and len(text) > 3:  # opened and closed in one line
        text = text[3:-3].strip()
    elif kind == "block":
        text, end = line.block or "", line.block_end
    elif kind == "dots":
        kind = "dot"
    parts: tuple[tuple[str, str, int, int], ...] = ()
    if kind not in ("word", "text", "block", "comma", "dot"):
        parts = tuple(
            (token.type.lower(), str(token), line.start + token.start_pos, line.start + token.end_pos)
            for token in tokens
        )
    return Item(str(kind), text, start, end, parts)


def _tokens(branch: Any) -> Any:
    for child in branch.children:
        if hasattr(child, "data"):
            yield from _tokens(child)
        else:
            yield child


_CLAUSES = {"HOW": "known", "LOST": "lost", "PERHAPS": "perhaps", "DOUBTED": "doubted"}


def _clauses(branch: Any, base: int) -> list[Clause]:
    found: list[Clause] = []
    tokens = list(_tokens(branch))
    for index, token in enumerate(tokens):
        start, end = base + token.start_pos, base + token.end_pos
        if token.type in ("ON", "BY", "FROM"):
            value = tokens[index + 1]
            found.append(Clause(token.type.lower(), str(value).strip('"'), start, base + value.end_pos))
        elif token.type in _CLAUSES:
            text = str(token)
            if token.type == "DOUBTED":
                quoted = tokens[index + 1] if index + 1 < len(tokens) else None
                text = str(quoted)[1:-1] if quoted is not None and quoted.type == "STRING" else ""
            found.append(Clause(_CLAUSES[token.type], text, start, end))
    return found
