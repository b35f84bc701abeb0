"""What the packages under grammar/editors/ hold of the vocabulary, as text: `made` has every such file."""

from __future__ import annotations

import json
import re

from countwheel.highlight.emacs import words_el
from countwheel.highlight.textmate import grammar_text
from countwheel.highlight.vim import vim_syntax
from countwheel.highlight.words import NOTE, heads, in_order


def made() -> dict[str, str]:
    """The text of each file that is made, by its path under grammar/editors/."""
    return {
        "vscode/syntaxes/movement.tmLanguage.json": grammar_text(),
        "vscode/language-configuration.json": language_configuration(),
        "vim/syntax/movement.vim": vim_syntax(),
        "emacs/movement-words.el": words_el(),
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
