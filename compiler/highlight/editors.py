"""What the packages under grammar/editors/ hold of the vocabulary, as text: `made` has every such file."""

from __future__ import annotations

import json
import re

from countwheel.highlight.textmate import grammar_text
from countwheel.highlight.vim import vim_syntax
from countwheel.highlight.words import (
    NOTE,
    events,
    every_choice,
    every_literal,
    heads,
    in_order,
    unit_forms,
)
from countwheel.syntax.lines import DETAILS, HINTS, KEYWORDS


def made() -> dict[str, str]:
    """The text of each file that is made, by its path under grammar/editors/."""
    return {
        "vscode/syntaxes/movement.tmLanguage.json": grammar_text(),
        "vscode/language-configuration.json": language_configuration(),
        "vim/syntax/movement.vim": vim_syntax(),
        "emacs/movement-words.el": emacs_words(),
    }


def openers() -> tuple[str, ...]:
    """The words whose line is mostly the beginning of a block: what follows stands deeper."""
    return in_order(head.spelling for head in heads() if head.opens)


def language_configuration() -> str:
    """How VS Code indents, folds, selects and comments. Regular expressions are JavaScript's."""
    ways = "|".join(r"[ \t]+".join(re.escape(part) for part in word.split()) for word in openers())
    value = r"(?:[ \t]+(?:\"[^\"\n]*\"|[^\s\d?\"#][^\s\"]*))*"
    opens = rf"^[ \t]*(?:{ways}){value}[ \t]*(?:#.*)?$"
    pairs = [{"open": '"', "close": '"', "notIn": ["string", "comment"]}]
    configuration = {
        "comments": {"lineComment": "#"},
        "brackets": [],
        "autoClosingPairs": pairs,
        "surroundingPairs": [['"', '"']],
        "autoCloseBefore": " \t\n",
        "wordPattern": r"[^\s,\"±?#]+",
        "folding": {"offSide": True},
        "onEnterRules": [{"beforeText": opens, "action": {"indent": "indent"}}],
    }
    return f"// {NOTE}\n{json.dumps(configuration, indent=2, ensure_ascii=False)}\n"


# --- Emacs


def emacs_words() -> str:
    """The lists of words that the Emacs mode makes its rules from."""
    spellings = heads()
    happened, _ = events()
    lists = (
        ("parts", "Words under which more can stand.", in_order(h.spelling for h in spellings if h.part)),
        ("facts", "Words that state one thing.", in_order(h.spelling for h in spellings if not h.part)),
        (
            "named",
            "Words behind which a name stands.",
            in_order(h.spelling for h in spellings if h.behind.names and not h.behind.choices),
        ),
        ("openers", "Words whose line mostly begins a block.", openers()),
        ("choices", "Words of closed choices.", every_choice()),
        ("literals", "Fixed words of values.", every_literal()),
        ("events", "What happened, in a line of the log.", happened),
        ("evidence", "How a fact is known.", in_order(KEYWORDS)),
        ("details", "When, by whom and from what it is known.", in_order(DETAILS)),
        ("hints", "What is known of an unknown value.", in_order(HINTS)),
        ("units", "Units, as keepers write them.", unit_forms()),
    )
    made = [
        f";;; movement-words.el --- The words of countwheel descriptions  -*- lexical-binding: t; -*-\n\n;; {NOTE}\n\n"
        ";;; Code:\n"
    ]
    for name, meaning, words in lists:
        rows = "\n    ".join(json.dumps(word, ensure_ascii=False) for word in words)
        made.append(f'(defconst movement-words-{name}\n  \'({rows})\n  "{meaning}")\n')
    made.append("(provide 'movement-words)\n;;; movement-words.el ends here\n")
    return "\n".join(made)
