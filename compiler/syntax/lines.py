"""One logical line, read by lark with `grammar/line.lark`, into items and clauses of evidence.

Our own tokens go to lark's LALR parser (by their kinds: see shapes.py): one regular
expression reads them all, since lark compiles one for each state of its contextual
lexer, which took a fifth of a cold `check`. What is context is little: a unit stands only
behind a number, `on`, `by` and `from` are evidence only behind how a value is known.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import islice

from countwheel.diagnostics.record import Diagnostic
from countwheel.source import Source
from countwheel.syntax.nearly import nearly, out_of_order, too_long
from countwheel.syntax.shapes import Stuck, Token, shape_of
from countwheel.syntax.tree import Clause, Item, Line, Tree
from countwheel.units import unit_pattern

MOST_PIECES = 400  # words, numbers and signs in a line; a quoted text is one of them
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
TOKENS = (
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
KEYWORDS = dict.fromkeys(
    ("counted", "measured", "stamped", "copied", "told", "estimated", "assumed"), "HOW"
) | {
    "lost": "LOST",
    "perhaps": "PERHAPS",
    "doubted": "DOUBTED",
}
DETAILS = {"on": "ON", "by": "BY", "from": "FROM"}
HINTS = {"or": "OR", "about": "ABOUT", "some": "ABOUT", "odd": "PARITY", "even": "PARITY"}


@cache
def _scanners() -> tuple[re.Pattern[str], re.Pattern[str]]:
    return (
        re.compile("|".join(f"(?P<{name}>{pattern})" for name, pattern in TOKENS)),
        re.compile(unit_pattern()),
    )


def tokens_of(text: str) -> list[Token]:
    """The tokens of a line; of one that has far too many, only so many that this can be told."""
    every, unit = _scanners()
    found: list[Token] = []
    at, end = 0, len(text)
    before = ""
    known = hinting = False
    while True:
        at = _SPACE.match(text, at).end()  # type: ignore[union-attr]
        if at >= end or len(found) > MOST_PIECES:
            return found
        match = unit.match(text, at) if before == "NUMBER" else None
        if match is not None:
            kind = "UNIT"
        else:
            match = every.match(text, at)
            if match is None:  # a control character: the layout has told of it
                at += 1
                continue
            kind = match.lastgroup or "JUNK"
            if kind == "HYPHENED":
                kind = "ALMOSTNUMBER"
        word = match[0]
        if kind == "WORD":
            kind = KEYWORDS.get(word, kind)
            if kind == "WORD" and known:
                kind = DETAILS.get(word, kind)
            if kind == "WORD" and hinting:
                kind = HINTS.get(word, kind)
        if kind == "HOW":
            known = True
        hinting = kind == "UNKNOWN" or (hinting and kind in ("NUMBER", "UNIT", "OR", "RANGE", "ABOUT"))
        found.append(Token(kind, word, at, match.end()))
        before = kind
        at = match.end()


def read_lines(tree: Tree, source: Source) -> list[Diagnostic]:
    """Fills in the items and clauses of every line of the tree; a faulty one is marked `broken`. Never raises."""
    report: list[Diagnostic] = []
    for line in tree.walk():
        if not line.broken:
            _read_line(line, source, report)
    return report


def _read_line(line: Line, source: Source, report: list[Diagnostic]) -> None:
    tokens = tokens_of(line.content)
    if len(tokens) > MOST_PIECES:
        line.broken = True
        report.append(too_long(tokens[MOST_PIECES], line, source))
        _salvage(line)
        return
    shape = shape_of(tokens)
    if isinstance(shape, Stuck):
        line.broken = True
        stuck = tokens[shape.at] if shape.at < len(tokens) else None
        report.append(out_of_order(stuck, line, source))
        _salvage(line)
        return
    for kind, first, last in shape:
        if kind == "evidence":
            line.clauses.extend(_clauses(tokens[first : last + 1], line.start))
        elif kind == "fault":
            line.broken = True
            report.append(nearly(tokens[first], line, source))
        else:
            line.items.append(_item(kind, tokens[first : last + 1], line))


def _salvage(line: Line) -> None:
    """The leading words of a line that could not be read, so that what it was about is still known."""
    at = 0
    for found in islice(re.finditer(r"[^\W\d_][^\s,\"±?]*", line.content), 20):
        if line.content[at : found.start()].strip():
            break
        start = line.start + found.start()
        line.items.append(Item("word", found[0], start, start + len(found[0])))
        at = found.end()


def _item(kind: str, tokens: list[Token], line: Line) -> Item:
    base = line.start
    start, end = base + tokens[0].start, base + tokens[-1].end
    text = tokens[0].text
    if kind == "word" or kind == "comma":
        return Item(kind, text, start, end)
    if kind == "text":
        return Item(kind, text[1:-1], start, end)
    if kind == "block":
        if len(text) > 3:  # opened and closed in one line
            return Item(kind, text[3:-3].strip(), start, end)
        return Item(kind, line.block or "", start, line.block_end)
    if kind == "dots":
        return Item("dot", text, start, end)
    parts = tuple((token.type.lower(), token.text, base + token.start, base + token.end) for token in tokens)
    return Item(kind, line.content[tokens[0].start : tokens[-1].end], start, end, parts)


_CLAUSES = {"HOW": "known", "LOST": "lost", "PERHAPS": "perhaps", "DOUBTED": "doubted"}


def _clauses(tokens: list[Token], base: int) -> list[Clause]:
    found: list[Clause] = []
    for index, token in enumerate(tokens):
        start, end = base + token.start, base + token.end
        behind = tokens[index + 1] if index + 1 < len(tokens) else None
        if token.type in ("ON", "BY", "FROM") and behind is not None:
            found.append(Clause(token.type.lower(), behind.text.strip('"'), start, base + behind.end))
        elif token.type in _CLAUSES:
            text = token.text
            if token.type == "DOUBTED":
                text = behind.text[1:-1] if behind is not None and behind.type == "STRING" else ""
            found.append(Clause(_CLAUSES[token.type], text, start, end))
    return found
