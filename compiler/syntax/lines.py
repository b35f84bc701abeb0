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

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.source import Source
from countwheel.syntax.parser import line_parser
from countwheel.syntax.tree import Clause, Item, Line, Tree
from countwheel.units import unit_pattern

# Figures are bounded (18 before and behind the point) so that no number can be a burden to work with.
_WHOLE = r"\d{1,18}"
_PLAIN = rf"{_WHOLE}(?:\.{_WHOLE})?(?:e[-−]?\d{{1,2}})?"
_FRACTION = r"\d{1,6}/\d{1,6}"
_NUMBER = rf"[-−]?(?:{_WHOLE}[ \t]+{_FRACTION}|{_FRACTION}|{_WHOLE}[ \t]*[½¼¾⅓⅔⅛⅜⅝⅞]|[½¼¾⅓⅔⅛⅜⅝⅞]|{_PLAIN})"
_ALMOST_DATE = (
    r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}(?!\w)|\d{4}[-./]\d(?:[-./]\d{1,2})?(?!\w)"
    r"|\d{4}[./]\d\d[./]\d{1,2}(?!\w)|\d{4}-\d\d-\d(?!\w)|\d{3}-\d\d-\d\d(?!\w)"
)
# The first that fits wins. There is one for each thing that is nearly right (an unclosed quote, a
# decimal comma, almost a date), so that the message can be about that thing.
_TOKENS = (
    ("TEXTBLOCK", r'"""(?:.*?""")?'),
    ("STRING", r'"[^"\n]*"'),
    ("OPENSTRING", r'"[^"\n]*'),
    ("ALMOSTDATE", _ALMOST_DATE),
    ("DATE", r"\d{4}-\d\d(?:-\d\d)?(?!\w)"),
    ("TIME", r"\d{1,2}:\d\d(?!\w)"),
    ("RANGE", r"\.\.|…|–"),
    ("DECIMALCOMMA", r"\d+,\d+(?![.\d,])"),
    ("ALMOSTNUMBER", r"\d+(?:[.,]\d+){2,}|\d+[.,]\d+,\d[\d.,]*|\d+[OolI]\d*(?!\w)|\d{19,}"),
    ("DOT", r"\.(?![\w.])"),
    ("WORD", r"[^\W\d_][^\s,\"±?]*|\d+[x×]\d+\w*"),
    ("NUMBER", _NUMBER + r"(?!\d)"),
    ("COMMA", ","),
    ("PM", r"±|\+/-|\+-"),
    ("UNKNOWN", r"\?"),
    ("JUNK", r"[^\s]+?(?=[\s,\"±?]|$)|[^\s]"),
)
_NEARLY = frozenset(("OPENSTRING", "DECIMALCOMMA", "ALMOSTDATE", "ALMOSTNUMBER", "JUNK"))
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
        report.append(_structure(fault, line, source))
        _salvage(line)
        return
    for branch in parsed.children:
        if branch.data == "evidence":
            line.clauses.extend(_clauses(branch, line.start))
        elif branch.data == "fault":
            line.broken = True
            report.append(_nearly(branch.children[0], line, source))
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


# -- messages ------------------------------------------------------------------


def _nearly(token: Any, line: Line, source: Source) -> Diagnostic:
    """The message for something that is nearly right."""
    span = source.span(line.start + token.start_pos, line.start + token.end_pos)
    text = str(token)
    if token.type == "OPENSTRING":
        return say(
            "M103",
            span,
            "The quoted words that begin here are not closed.",
            label="opened here",
            hints=(f'write {text.rstrip()}"',),
            edits=(Edit(source.span(span.end, span.end), '"', "close the quote"),),
        )
    if token.type == "DECIMALCOMMA":
        mended = text.replace(",", ".")
        hints = [f"write {mended}"]
        if len(text.split(",")[1]) == 3:
            hints = [f"write {text.replace(',', '')} for the large number, or {mended} for the fraction"]
        return say(
            "M105",
            span,
            f"`{text}` has a comma in it; a fraction is written with a point, and a list with a space after the comma.",
            label="a comma inside a number",
            hints=tuple(hints),
            edits=(Edit(span, mended, f"write {mended}"),),
        )
    if token.type == "ALMOSTDATE":
        return _almost_date(text, span)
    if token.type == "ALMOSTNUMBER":
        return say(
            "M112",
            span,
            f"`{text}` is almost a number, but cannot be read as one.",
            label="not a number as it stands",
            hints=("write figures only, with one point for a fraction: 12.5, or 12 1/2",),
        )
    return say(
        "M109",
        span,
        f"`{text}` cannot be read here.",
        label="what is this?",
        hints=(
            "a line is a word of the language, its value, and how it is known; put other text in quotes or behind #",
        ),
    )


def _almost_date(text: str, span: Any) -> Diagnostic:
    pieces = re.split(r"[./-]", text)
    edits: tuple[Edit, ...] = ()
    hint = "write the year first, then month and day, two figures each: 2026-05-02"
    if len(pieces[0]) == 4 and all(pieces):
        mended = "-".join([pieces[0], *(piece.zfill(2) for piece in pieces[1:])])
        hint, edits = f"write {mended}", (Edit(span, mended, f"write {mended}"),)
    elif len(pieces) == 3 and len(pieces[2]) == 4 and int(pieces[0]) > 12 >= int(pieces[1]):
        mended = f"{pieces[2]}-{pieces[1].zfill(2)}-{pieces[0].zfill(2)}"
        hint, edits = f"write {mended}", (Edit(span, mended, f"write {mended}"),)
    return say(
        "M106",
        span,
        f"`{text}` looks like a date, but which of its figures are the month and the day cannot be told.",
        label="a date?",
        hints=(hint,),
        edits=edits,
    )


def _structure(fault: Any, line: Line, source: Source) -> Diagnostic:
    """The message for pieces that do not follow one another as they should."""
    token = getattr(fault, "token", None)
    if token is not None and token.type in _NEARLY:
        return _nearly(token, line, source)
    if token is not None and token.type != "$END":
        start, end = line.start + token.start_pos, line.start + token.end_pos
        text = str(token)
    else:
        start, end, text = line.end, line.end, ""
    span = source.span(start, end)
    before = line.content[: start - line.start].rstrip()
    if re.search(r"(?:^|\s)(on|by|from)$", before) or (
        re.search(r"(?<!\w)(on|by|from)$", before) and not text
    ):
        word = before.rsplit(None, 1)[-1]
        form = {
            "on": "a date: on 2026-05-02, on 1931-07 or on 1931",
            "by": 'a name: by "KT"',
            "from": 'a source: from "1952 survey, sheet 3"',
        }[word]
        return say(
            "M211",
            span,
            f"Behind `{word}` there should be {form.split(':')[0]}.",
            label="missing here",
            hints=(f"write {form.split(': ')[1]}",),
        )
    if before.endswith("?") or re.search(r"\?\s*[\w.]+$", before):
        return say(
            "M205",
            span,
            "What is known of an unknown value cannot be read here.",
            label="not readable",
            hints=("write `?` alone, or ? 80..96, ? 1 or 2, ? 25..35 odd, ? about 150 mm",),
        )
    if re.search(r"(±|\+/-|\+-)\s*$", before):
        return say(
            "M309",
            span,
            "Behind ± there should be how far the value may be out.",
            label="missing here",
            hints=("write for example ± 1/16 in",),
        )
    if before.endswith("..") or before.endswith("…") or before.endswith("–"):
        return say(
            "M205",
            span,
            "The upper end of this range is missing.",
            label="missing here",
            hints=("write for example 80..96",),
        )
    if text.startswith("..") or text in ("…", "–"):
        return say(
            "M205",
            span,
            "The lower end of this range is missing.",
            label="missing before this",
            hints=("write for example 80..96",),
        )
    how = re.search(
        r"(?<!\w)(counted|measured|stamped|copied|told|estimated|assumed|lost|perhaps|doubted)(?!\w)",
        line.content,
    )
    if how and line.start + how.start() < start:
        return say(
            "M111",
            span,
            f"Nothing may stand behind `{how[1]}` but the words on, by, from, doubted, lost and perhaps.",
            label="this comes too late",
            hints=(f"put it before `{how[1]}`, or on a line of its own",),
        )
    return say(
        "M109",
        span,
        f"`{text}` cannot be read here." if text else "Something is missing at the end of this line.",
        label="here",
    )
