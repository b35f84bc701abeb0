"""The LALR parser of a line, made by lark from `grammar/line.lark`.

Making it takes lark longer than all else that `check` does with a small
description, so the finished table is kept in `grammar/line_table.json`; it is
used only where grammar and lark are the ones it was made with. A test makes it anew
and compares; `python -m countwheel.syntax.parser` writes it.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from countwheel import grammar

TABLE = "line_table.json"


def _build() -> Any:
    from lark import Lark

    # Tokens are fed by hand (see lines.py), so lark needs no lexer of its own.
    return Lark(
        grammar.read("line.lark"), parser="lalr", lexer="basic", start="line", propagate_positions=False
    )


def made_with() -> str:
    """What the table depends on: lark's version and the grammar's text."""
    import lark

    return f"{lark.__version__}\n{grammar.read('line.lark')}"


def make_table() -> str:
    """The finished parser as JSON text."""
    from lark.grammar import Rule
    from lark.lexer import TerminalDef

    data, memo = _build().memo_serialize([TerminalDef, Rule])
    return json.dumps({"made with": made_with(), "data": data, "memo": memo}, separators=(",", ":")) + "\n"


@cache
def line_parser() -> Any:
    """The parser: from the kept table where it fits, else made from the grammar."""
    from lark import Lark

    try:
        kept = json.loads(grammar.read(TABLE))
    except (OSError, ValueError):
        return _build()
    if kept.get("made with") != made_with():
        return _build()
    return Lark.load({"data": _numbered(kept["data"]), "memo": _numbered(kept["memo"])})


def _numbered(data: Any) -> Any:
    """JSON has no numbers for keys; the table's states and tokens do."""
    if isinstance(data, dict):
        return {int(key) if key.isdigit() else key: _numbered(value) for key, value in data.items()}
    return [_numbered(value) for value in data] if isinstance(data, list) else data


if __name__ == "__main__":
    from pathlib import Path

    (Path(grammar.__file__).parent / TABLE).write_text(make_table(), encoding="utf-8")
