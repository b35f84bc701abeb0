"""The words as Emacs Lisp, for the mode that is written by hand in grammar/editors/emacs/movement-mode.el."""

from __future__ import annotations

from collections.abc import Iterable

from countwheel.highlight.words import NOTE, Behind, events, heads, in_order, loose, unit_forms
from countwheel.syntax.lines import DETAILS, HINTS, KEYWORDS
from countwheel.vocabulary import load


def words_el() -> str:
    """The whole file: lists of words, the heads with what may stand behind each, and these forms by number."""
    forms: dict[Behind, int] = {Behind(frozenset(), frozenset()): 0}
    rows = []
    for head in heads():
        number = forms.setdefault(head.behind, len(forms))
        rows.append(f"({_text(head.spelling.lower())} {'part' if head.part else 'fact'} {number})")
    happened, entry = events()
    special = [
        (name, forms.setdefault(form, len(forms)))
        for name, form in (("entry", entry), ("member", loose("rod")), ("task", loose("care")))
    ]
    lists = (
        ("events", "What happened, in a line of the log.", in_order(happened)),
        ("metals", "What the members of a compensated rod are of.", in_order(load().choices["stack metals"])),
        ("evidence", "How a fact is known.", in_order(KEYWORDS)),
        ("known", "Those of them behind which more can be said.", in_order(_known())),
        ("details", "When, by whom and from what it is known.", in_order(DETAILS)),
        ("hints", "What is known of an unknown value.", in_order(HINTS)),
        ("units", "Units, as keepers write them, the longest first.", unit_forms()),
    )
    parts = [
        ";;; movement-words.el --- The words of countwheel descriptions  -*- lexical-binding: t; -*-\n\n"
        f";; {NOTE}\n\n;;; Code:\n",
        *(_constant(name, f"'({_lines(map(_text, words))})", meaning) for name, meaning, words in lists),
        _constant(
            "heads",
            f"'({_lines(rows)})",
            "What begins a line: spelling, kind, and number of the form behind it.",
        ),
        _constant(
            "forms",
            f"[{_lines(map(_form, forms))}]",
            "What may stand behind a word: choices, fixed words, what others are.",
        ),
        *(
            _constant(f"form-{name}", str(number), f"The form of a line of this kind: {name}.")
            for name, number in special
        ),
        "(provide 'movement-words)\n;;; movement-words.el ends here\n",
    ]
    return "\n".join(parts)


def _known() -> Iterable[str]:
    return (word for word, kind in KEYWORDS.items() if kind == "HOW")


def _constant(name: str, value: str, meaning: str) -> str:
    return f"(defconst movement-words-{name}\n  {value}\n  {_text(meaning)})\n"


def _text(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _lines(rows: Iterable[str]) -> str:
    return "\n    ".join(rows)


def _form(form: Behind) -> str:
    free = "word" if form.claim else "name" if form.names else "path" if form.paths else "value"
    choices, literals = (" ".join(map(_text, in_order(words))) for words in (form.choices, form.literals))
    return f"(({choices}) ({literals}) {free})"
