"""What to say of a piece of a line that is nearly right, and of pieces that do not follow one another."""

from __future__ import annotations

import re

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.source import Source, Span
from countwheel.syntax.shapes import Token
from countwheel.syntax.tree import Line

# Kinds of token that are never right; there is one for each thing that is nearly right.
NEARLY = frozenset(("OPENSTRING", "DECIMALCOMMA", "ALMOSTDATE", "ALMOSTNUMBER", "JUNK"))


def nearly(token: Token, line: Line, source: Source) -> Diagnostic:
    """The message for something that is nearly right."""
    span = source.span(line.start + token.start, line.start + token.end)
    text = token.text
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
        return _almost_number(text, span)
    return say(
        "M109",
        span,
        f"`{text}` cannot be read here.",
        label="what is this?",
        hints=(
            "a line is a word of the language, its value, and how it is known; put other text in quotes or behind #",
        ),
    )


def too_long(token: Token, line: Line, source: Source) -> Diagnostic:
    """The message for a line of far too many pieces, at the first that is too many."""
    return say(
        "M109",
        source.span(line.start + token.start, line.start + token.end),
        "This line is far too long for a fact, and is not read beyond this place.",
        label="too much",
        hints=("put text in quotes, and each fact on a line of its own",),
    )


def _almost_number(text: str, span: Span) -> Diagnostic:
    if text[-1] in "'’\"”":  # 6' 3"
        in_words = re.sub("['’]", " ft ", re.sub("''|[\"”]", " in", text))
        mended = " ".join(in_words.split())
        return say(
            "M303",
            span,
            f"`{text}` has a mark for its unit that also opens and closes quoted words.",
            label="which unit?",
            hints=(f"write {mended}",),
            edits=(Edit(span, mended, f"write {mended}"),),
        )
    mended = _mended_number(text)
    return say(
        "M112",
        span,
        f"`{text}` is almost a number, but cannot be read as one.",
        label="not a number as it stands",
        hints=(
            *((f"write {mended}",) if mended else ()),
            "write figures only, with one point for a fraction: 12.5, or 12 1/2",
        ),
        edits=(Edit(span, mended, f"write {mended}"),) if mended else (),
    )


def _mended_number(text: str) -> str:
    """The number that was most likely meant; '' where that cannot be told."""
    if re.fullmatch(r"\d[\dOolI]*", text) and not text.isdecimal():
        return re.sub("[lI]", "1", re.sub("[Oo]", "0", text))
    if re.fullmatch(r"\.\d+", text):
        return f"0{text}"
    if re.fullmatch(r"\d+\.", text):
        return text[:-1]
    if re.fullmatch(r"\d+-\d+/\d+", text):
        return text.replace("-", " ")
    if re.fullmatch(r"\d{1,3}(?:['’]\d{3})+", text):
        return re.sub("['’]", "", text)
    return ""


def _almost_date(text: str, span: Span) -> Diagnostic:
    pieces = re.split(r"[./-]", text)
    edits: tuple[Edit, ...] = ()
    hint = "write the year first, then month and day, two figures each: 2026-05-02"
    if len(pieces[0]) == 4 and all(pieces):
        mended = "-".join([pieces[0], *(piece.zfill(2) for piece in pieces[1:])])
        hint, edits = f"write {mended}", (Edit(span, mended, f"write {mended}"),)
    elif len(pieces) == 3 and len(pieces[2]) == 4 and int(pieces[0]) > 12 >= int(pieces[1]):
        mended = f"{pieces[2]}-{pieces[1].zfill(2)}-{pieces[0].zfill(2)}"
        hint, edits = f"write {mended}", (Edit(span, mended, f"write {mended}"),)
    what = f"`{text}` is almost a date; which of its figures are the month and the day cannot be told."
    if len(pieces[0]) == 4:
        what = f"`{text}` is almost a date; hyphens stand between its parts, and month and day have two figures each."
    return say(
        "M106",
        span,
        what,
        label="a date?",
        hints=(hint,),
        edits=edits,
    )


def out_of_order(token: Token | None, line: Line, source: Source) -> Diagnostic:
    """The message for pieces that do not follow one another; `token` is the one that cannot, None at the end."""
    if token is not None and token.type in NEARLY:
        return nearly(token, line, source)
    if token is not None:
        start, end = line.start + token.start, line.start + token.end
        text = token.text
    else:
        start, end, text = line.end, line.end, ""
    span = source.span(start, end)
    before = line.content[: start - line.start].rstrip()
    led = re.search(r"(?<!\w)(on|by|from)$", before)
    if led and (not text or not before[: led.start()][-1:].strip()):
        word = led[1]
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
    alone = (
        re.search(r"\?\s*([\d½¼¾⅓⅔⅛⅜⅝⅞][^?\"]*)(?<!\.\.)(?<![…–])(?<!\bor)$", before) if not text else None
    )
    if alone or re.search(r"\?(\s*[\w.]+|[^\"]*\bor)?$", before):
        return say(
            "M205",
            span,
            "What is known of an unknown value cannot be read here.",
            label="not readable",
            hints=(
                *((f"write ? about {alone[1]}",) if alone else ()),
                "write `?` alone, or ? 80..96, ? 1 or 2, ? 25..35 odd, ? about 150 mm",
            ),
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
    if text in ("..", "…", "–") and re.search(r"\d\s*[^\s\d.\"]+$", before):
        return say(
            "M205",
            span,
            "In a range the unit stands once, behind both numbers.",
            label="a unit before this",
            hints=("write for example 80..96 mm",),
        )
    if text in ("..", "…", "–"):
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
    if how and before.endswith("doubted") and text not in ("on", "by", "from"):
        return say(
            "M111",
            span,
            "Why a value is doubted stands in quotes.",
            label="not in quotes",
            hints=(f'write doubted "{line.content[start - line.start :]}"',) if text != '"' else (),
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
