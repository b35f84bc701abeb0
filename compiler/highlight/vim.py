"""The syntax file of Vim and Neovim: as the TextMate grammar, a region for each kind of line.

Of two items that begin at one place Vim takes the one defined later, so the general come first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from countwheel.highlight.words import (
    NONE,
    NOTE,
    Behind,
    alike,
    events,
    heads,
    in_order,
    loose,
    unit_forms,
)
from countwheel.syntax.lines import DETAILS, HINTS, KEYWORDS
from countwheel.vocabulary import load

_END = r"\%($\|[ \t,\"±?]\)\@="
_START = r"\%(^\|[ \t,\"±?]\)\@1<="
_VULGAR = "½¼¾⅓⅔⅛⅜⅝⅞"
_WHOLE = rf"\d\+\s\+\d\+\/\d\+\|\d\+\/\d\+\|\d\+\s*[{_VULGAR}]\|[{_VULGAR}]"
_NUMBER = rf"[-−]\?\%({_WHOLE}\|\d\+\%(\.\d\+\)\?\%([eE][-+−]\?\d\+\)\?\)"
_LETTER = r"[^ \t,\"±?#0-9[:punct:]]"
_WORD = rf"{_LETTER}[^ \t,\"±?]*"
_PATH = rf"{_LETTER}[^ \t,\"±?.]*\%(\.[^ \t,\"±?.]\+\)\+"
_DATE = r"\d\{4}-\d\d\%(-\d\d\)\?\w\@!"
_LINKS = {
    "Part": "Structure",
    "Fact": "Identifier",
    "Choice": "Constant",
    "Word": "Statement",
    "Name": "Title",
    "Path": "Title",
    "Value": "Normal",
    "Evidence": "PreProc",
    "Number": "Number",
    "Unit": "Type",
    "Unknown": "Special",
    "Date": "Number",
    "Sign": "Operator",
    "Text": "String",
    "Block": "String",
    "Comment": "Comment",
    "Fault": "Error",
}
# What may stand in any line, the general first.
_VALUES = (
    "Path,movementNumber,movementDigitWord,movementDate,movementSign,movementFault,movementUnknown,"
    "movementEvidenceLine,movementText,movementBlock,movementComment"
)


def vim_syntax() -> str:
    """The whole file."""
    return "\n".join([*_head(), *_values(), "", *_lines(), "", *_foot()]) + "\n"


def _ways(words: Iterable[str]) -> str:
    """Alternatives in Vim's regular expressions."""
    plain = (
        r"\s\+".join(re.sub(r"([\\.*\[\]^$~/])", r"\\\1", part) for part in word.split()) for word in words
    )
    return r"\%(" + r"\|".join(plain) + r"\)"


def _head() -> list[str]:
    return [
        f'" Vim syntax file. {NOTE}',
        'if exists("b:current_syntax")',
        "  finish",
        "endif",
        "let s:kept_cpo = &cpo",
        "set cpo&vim",
        "",
    ]


def _match(group: str, pattern: str, more: str = "contained") -> str:
    return f"syntax match movement{group} /{pattern}/ {more}".rstrip()


def _values() -> list[str]:
    letters = [form for form in unit_forms() if form[-1].isalnum()]
    signs = [form for form in unit_forms() if not form[-1].isalnum()]
    unit = rf"\%({_ways(letters)}[[:alnum:]_'’]\@!\|{_ways(signs)}\)"
    behind = "contained nextgroup=movementUnit skipwhite"
    hint = "contained nextgroup=movementHint,movementHintSign,movementHintNumber skipwhite"
    rows = ["syntax case match", "syntax sync minlines=300", ""]
    rows += [_match(free, _START + _WORD) for free in ("Value", "Name", "FreePath", "FreeWord")]
    rows += [
        _match("Path", _START + _PATH),
        _match("Number", _NUMBER, behind),
        _match("DigitWord", r"\d\+[x×]\d\+\w*"),
        _match("Date", _START + _DATE),
        _match("Date", _START + r"\d\{1,2}:\d\d\w\@!"),
        _match("Sign", r"±\|+\/-\|+-\|\.\.\|…\|–\|,\|\%(^\|\s\)\@1<=\.\%(\s\|$\)\@="),
        _match("Fault", r"\"[^\"]*$"),
        _match("Unit", unit),
        _match("Unknown", "?", hint),
        _match("HintNumber", _NUMBER, hint.replace("nextgroup=", "nextgroup=movementHintUnit,")),
        _match("HintUnit", unit, hint),
        _match("HintSign", r"\.\.\|…\|–", hint),
        _match("Hint", _ways(in_order(HINTS)) + _END, hint),
        _match("Evidence", _ways(in_order({*KEYWORDS, *DETAILS})) + _END),
        rf"syntax region movementEvidenceLine start=/{_START}\ze{_ways(in_order(KEYWORDS))}{_END}/ end=/$/ "
        "contained transparent contains=movementValue,movementEvidence,movementPath,movementNumber,"
        "movementDigitWord,movementDate,movementSign,movementFault,movementText,movementComment",
        'syntax region movementText start=/"\\ze[^"]*"/ end=/"/ contained oneline contains=@Spell',
        'syntax region movementBlock start=/"""/ end=/"""/ contained extend contains=@Spell',
        r"syntax match movementComment /\%(^\|[ \t]\)\@1<=#.*$/ contains=@Spell",
    ]
    return rows


def _region(name: str, start: str, head: str, form: Behind) -> list[str]:
    """A line that begins so: its first words are of the group `head`, what stands behind them as `form` says."""
    free = "FreeWord" if form.claim else "Name" if form.names else "FreePath" if form.paths else "Value"
    inside = [f"movement{free}"]
    rows = []
    for kind, words in (("Word", form.literals), ("Choice", form.choices)):
        if words:
            rows.append(_match(f"{kind}{name}", rf"\c{_START}{_ways(in_order(words))}{_END}"))
            rows.append(f"highlight default link movement{kind}{name} movement{kind}")
            inside.append(f"movement{kind}{name}")
    group = f"matchgroup=movement{head} " if head else ""
    contains = ",".join([*inside, f"movement{_VALUES}"])
    return [
        *rows,
        f"syntax region movementLine{name} {group}start=/{start}/ end=/$/ keepend contains={contains}",
    ]


def _lines() -> list[str]:
    happened, form = events()
    nothing = Behind(frozenset(), frozenset())
    metals = _ways(in_order(load().choices["stack metals"]))
    rows = [
        *_region("Plain", r"^\s*\zs\ze[^ \t#]", "", nothing),
        *_region("Change", rf"^\s*\zs{_PATH}", "Path", nothing),
        *_region("Task", rf"^\s*\zs{_LETTER}[^\"#]\{{-}}\ze\s\+every{_END}", "Fact", loose("care")),
        *_region("Member", rf"\c^\s*\zs{metals}\ze\s\+[0-9?]", "Choice", loose("rod")),
        *_region("Entry", r"^\s*\zs\ze\d\{4}-\d\d-\d\d\w\@!", "", form),
    ]
    rows[-1] += ",movementHappened"
    rows.insert(-1, _match("Happened", rf"\c{_START}{_ways(happened)}{_END}"))
    # Those of fewer words first, since the later one holds.
    for number, group in reversed([*enumerate(alike(), 1)]):
        begin = _ways(head.spelling for head in group)
        rows += _region(
            str(number), rf"\c^\s*\zs{begin}{_END}", "Part" if group[0].part else "Fact", group[0].behind
        )
    rows += _region(
        "None", rf"\c^\s*\zs{NONE}\ze\s\+{_ways(head.spelling for head in heads())}{_END}", "Word", nothing
    )
    denied = []
    for kind, part in (("Fact", False), ("Part", True)):
        words = _ways(head.spelling for head in heads() if head.part == part)
        rows.insert(-1, _match(f"No{kind}", rf"\c\%(^\s*{NONE}\s\+\)\@<={words}{_END}"))
        denied.append(f",movementNo{kind}")
    rows[-1] += "".join(denied)
    return rows


def _foot() -> list[str]:
    links = {
        **_LINKS,
        "Happened": "movementFact",
        "NoPart": "movementPart",
        "NoFact": "movementFact",
        "FreePath": "movementPath",
        "FreeWord": "movementWord",
        "DigitWord": "movementValue",
        "Hint": "movementWord",
        "HintNumber": "movementNumber",
        "HintUnit": "movementUnit",
        "HintSign": "movementSign",
    }
    return [
        *(f"highlight default link movement{group} {link}" for group, link in links.items()),
        "",
        'let b:current_syntax = "movement"',
        "let &cpo = s:kept_cpo",
        "unlet s:kept_cpo",
    ]
