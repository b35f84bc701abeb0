"""The TextMate grammar of descriptions, which most editors read, made from the vocabulary and the line's tokens.

A rule for each kind of line: by the words that begin it, what may stand behind them. Such a grammar sees no
owners, so a word is coloured by what any of its owners lets it have. Regular expressions are Oniguruma's.
"""

from __future__ import annotations

import json
import re
from typing import Any

from countwheel.highlight.words import (
    ENTRY,
    NONE,
    NOTE,
    Behind,
    Head,
    alike,
    events,
    in_order,
    loose,
)
from countwheel.syntax.lines import DETAILS, HINTS, KEYWORDS, TOKENS
from countwheel.units import unit_pattern
from countwheel.vocabulary import load

SCOPE = "source.movement"
_END = r"(?=[\s,\"±?]|$)"  # where a word ends
_START = r"(?<![^\s,\"±?])"
_GAP = r"[ \t\x{a0}\x{2009}\x{202f}]"

# Every scope begins with one of the root groups that colour themes know.
SCOPES = {
    "part": "storage.type.part",
    "fact": "support.type.property-name",
    "choice": "constant.language.choice",
    "word": "keyword.operator.word",
    "name": "entity.name.type",
    "path": "variable.other.path",
    "value": "string.unquoted.value",
    "evidence": "keyword.control.evidence",
    "number": "constant.numeric",
    "unit": "keyword.other.unit",
    "unknown": "constant.language.unknown",
    "date": "constant.numeric.date",
    "text": "string.quoted.double",
    "block": "string.quoted.triple",
    "comment": "comment.line.number-sign",
    "sign": "keyword.operator",
    "fault": "invalid.illegal",
}
_TOKEN_KINDS = {
    "STRING": "text",
    "OPENSTRING": "fault",
    "HYPHENED": "fault",
    "ALMOSTDATE": "fault",
    "DATE": "date",
    "TIME": "date",
    "RANGE": "sign",
    "DECIMALCOMMA": "fault",
    "ALMOSTNUMBER": "fault",
    "DOT": "sign",
    "COMMA": "sign",
    "PM": "sign",
    "UNKNOWN": "unknown",
    "JUNK": "fault",
}
Rule = dict[str, Any]


def scope(kind: str) -> str:
    return f"{SCOPES[kind]}.movement"


def grammar_text() -> str:
    """The grammar as JSON, the same text every time."""
    return json.dumps(grammar(), indent=2, ensure_ascii=False) + "\n"


def grammar() -> Rule:
    return {
        "comment": NOTE,
        "name": "countwheel description",
        "scopeName": SCOPE,
        "fileTypes": ["movement"],
        "patterns": [
            {"include": "#comment"},
            *({"include": f"#line-{number}"} for number in range(1, len(alike()) + 1)),
            {"include": "#entry"},
            {"include": "#member"},
            {"include": "#task"},
            {"include": "#change"},
            {"include": "#line"},
        ],
        "repository": {
            **{f"line-{number}": _line(group) for number, group in enumerate(alike(), 1)},
            **_lines_of_no_word(),
            **_shared(),
        },
    }


def words_pattern(words: tuple[str, ...], start: str = "", end: str = _END) -> str:
    """One regular expression for all of the words, whatever their case and the spaces in them."""
    ways = "|".join(r"[ \t]+".join(re.escape(part) for part in word.split()) for word in words)
    return f"{start}(?i:{ways}){end}"


def _line(group: tuple[Head, ...]) -> Rule:
    begin = words_pattern(tuple(head.spelling for head in group))
    return {
        "begin": rf"^[ \t]*(?:((?i:{NONE}))[ \t]+)?({begin})",
        "beginCaptures": {
            "1": {"name": scope("word")},
            "2": {"name": scope("part" if group[0].part else "fact")},
        },
        "end": "$",
        "patterns": _behind(group[0].behind),
    }


def _behind(form: Behind) -> list[Rule]:
    """The patterns for what stands behind a word."""
    patterns: list[Rule] = [{"include": "#evidence"}]
    if form.choices:
        patterns.append({"match": words_pattern(in_order(form.choices), _START), "name": scope("choice")})
    if form.literals:
        patterns.append({"match": words_pattern(in_order(form.literals), _START), "name": scope("word")})
    free = "word" if form.claim else "name" if form.names else "path" if form.paths else "value"
    return [*patterns, {"include": "#value"}, {"include": f"#free-{free}"}, {"include": "#junk"}]


def _lines_of_no_word() -> dict[str, Rule]:
    """Lines whose first word is not the vocabulary's: of the log, of a compensated rod, of care, of a season."""
    happened, form = events()
    member, task = loose("rod"), loose("care")
    known = {"match": words_pattern(happened, _START), "name": scope("fact")}
    metals = words_pattern(in_order(load().choices["stack metals"]))
    return {
        ENTRY: {
            "begin": r"^[ \t]*(?=\d{4}-\d\d-\d\d(?!\w))",
            "end": "$",
            "patterns": [known, *_behind(form)],
        },
        "member": {
            "begin": rf"^[ \t]*({metals})(?=[ \t]+[\d?])",
            "beginCaptures": {"1": {"name": scope("choice")}},
            "end": "$",
            "patterns": _behind(member),
        },
        "task": {
            "begin": rf"^[ \t]*([^\W\d_][^\"#]*?)(?=[ \t]+every{_END})",
            "beginCaptures": {"1": {"name": scope("fact")}},
            "end": "$",
            "patterns": _behind(task),
        },
        "change": {
            "begin": r"^[ \t]*([^\W\d_][^\s,\"±?.]*(?:\.[^\s,\"±?.]+)+)",
            "beginCaptures": {"1": {"name": scope("path")}},
            "end": "$",
            "patterns": _behind(Behind(frozenset(), frozenset())),
        },
        "line": {
            "begin": r"^[ \t]*(?=[^\s#])",
            "end": "$",
            "patterns": _behind(Behind(frozenset(), frozenset())),
        },
    }


def _shared() -> dict[str, Rule]:
    """What may stand in any line: comments, texts, numbers with their units, evidence, and what is none of these."""
    tokens = dict(TOKENS)
    fixed = [
        {"match": pattern, "name": scope(_TOKEN_KINDS[name])}
        for name, pattern in TOKENS
        if name in _TOKEN_KINDS and name not in ("STRING", "OPENSTRING", "JUNK", "COMMA", "PM", "UNKNOWN")
    ]
    number = rf"({tokens['NUMBER']})(?:{_GAP}*({unit_pattern()}))?"
    word = tokens["WORD"]
    hints = words_pattern(in_order(HINTS), _START)
    path = r"[^\W\d_][^\s,\"±?.]*(?:\.[^\s,\"±?.]+)+"
    quoted = {
        "begin": '"',
        "end": '"',
        "name": scope("text"),
        "beginCaptures": {"0": {"name": "punctuation.definition.string.begin.movement"}},
        "endCaptures": {"0": {"name": "punctuation.definition.string.end.movement"}},
    }
    return {
        "comment": {
            "match": r"(?:^|(?<=[ \t]))(#).*$",
            "name": scope("comment"),
            "captures": {"1": {"name": "punctuation.definition.comment.movement"}},
        },
        "text": {"patterns": [{**quoted, "begin": r"\"(?=[^\"\n]*\")"}]},
        "block": {**quoted, "begin": '"""', "end": '"""', "name": scope("block")},
        "unknown": {
            "begin": r"(\?)",
            "beginCaptures": {"1": {"name": scope("unknown")}},
            # It goes on as long as there are numbers and the words of a hint.
            "end": rf"(?!{_GAP}*(?:[-−]?[\d½¼¾⅓⅔⅛⅜⅝⅞]|\.\.|…|–|{hints}))",
            "patterns": [{"match": hints, "name": scope("word")}, {"include": "#value"}],
        },
        "evidence": {
            "begin": rf"{_START}({_evidence()}){_END}",
            "beginCaptures": {"1": {"name": scope("evidence")}},
            "end": "$",
            "patterns": [
                {"match": words_pattern(in_order({*KEYWORDS, *DETAILS}), _START), "name": scope("evidence")},
                {"include": "#value"},
                {"include": "#free-value"},
                {"include": "#junk"},
            ],
        },
        "value": {
            "patterns": [
                {"include": "#comment"},
                {"include": "#block"},
                {"include": "#text"},
                {"match": tokens["OPENSTRING"], "name": scope("fault")},
                *fixed,
                {"match": tokens["COMMA"], "name": "punctuation.separator.movement"},
                {"match": tokens["PM"], "name": scope("sign")},
                {"include": "#unknown"},
                # 6x19M: a word that begins with a figure, and is tried before numbers.
                {"match": rf"(?=\d)(?:{word})", "name": scope("value")},
                {"match": _START + path, "name": scope("path")},
                {
                    "match": number,
                    "captures": {"1": {"name": scope("number")}, "2": {"name": scope("unit")}},
                },
            ]
        },
        **{
            f"free-{kind}": {"match": _START + f"(?:{word})", "name": scope(kind)}
            for kind in ("word", "name", "path", "value")
        },
        "junk": {"match": r"\S[^\s,\"±?]*", "name": scope("fault")},
    }


def _evidence() -> str:
    return "|".join(sorted(KEYWORDS))
