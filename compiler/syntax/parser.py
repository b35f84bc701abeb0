"""The LALR parser of a line, made by lark from `grammar/line.lark`.

Making it takes lark longer than all else that `check` does with a small
description, so the finished table is kept in `grammar/line_table.json`; it is
used only where grammar and lark are the ones it was made with. A test makes it anew
and compares; `python -m countwheel.syntax.parser FILE...` writes it.
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
    data["parser"]["parser"] = _in_order(json.loads(json.dumps(data["parser"]["parser"])))
    return json.dumps({"made with": made_with(), "data": data, "memo": memo}, separators=(",", ":")) + "\n"


def _in_order(table: dict[str, Any]) -> dict[str, Any]:
    """The table with its tokens and states numbered in a fixed order: lark numbers them otherwise each time."""
    names: dict[str, str] = table["tokens"]
    tokens = {name: str(number) for number, name in enumerate(sorted(names.values()))}
    by_name = {
        state: sorted((names[token], action) for token, action in actions.items())
        for state, actions in table["states"].items()
    }
    order = {str(state): number for number, state in enumerate(table["start_states"].values())}
    waiting = list(order)
    for state in waiting:  # grows as it goes: each state in the order in which it is first gone to
        for _, (kind, to) in by_name[state]:
            if kind == 0 and str(to) not in order:
                order[str(to)] = len(order)
                waiting.append(str(to))

    def numbered(action: list[Any]) -> list[Any]:
        return [0, order[str(action[1])]] if action[0] == 0 else action

    return table | {
        "tokens": {number: name for name, number in tokens.items()},
        "states": {
            str(order[state]): {tokens[name]: numbered(action) for name, action in by_name[state]}
            for state in waiting
        },
        "start_states": {name: order[str(state)] for name, state in table["start_states"].items()},
        "end_states": {name: order[str(state)] for name, state in table["end_states"].items()},
    }


@cache
def line_parser() -> Any:
    """The parser: from the kept table where it fits, else made from the grammar."""
    from lark import Lark

    try:
        kept = json.loads(grammar.read(TABLE))
    except (OSError, ValueError):
        return _build()
    if not isinstance(kept, dict) or kept.get("made with") != made_with():
        return _build()
    return Lark.load({"data": _numbered(kept["data"]), "memo": _numbered(kept["memo"])})


def _numbered(data: Any) -> Any:
    """JSON has no numbers for keys; the table's states and tokens do."""
    if isinstance(data, dict):
        return {int(key) if key.isdigit() else key: _numbered(value) for key, value in data.items()}
    return [_numbered(value) for value in data] if isinstance(data, list) else data


def write_tables(descriptions: list[str]) -> None:
    """Writes the table and the shapes of the lines of some descriptions, after a change of the grammar."""
    from pathlib import Path

    from countwheel.source import Source
    from countwheel.syntax import shapes
    from countwheel.syntax.layout import lay_out
    from countwheel.syntax.lines import tokens_of

    folder = Path(grammar.__file__).parent
    (folder / TABLE).write_text(make_table(), encoding="utf-8")
    sources = [Source(name, Path(name).read_text(encoding="utf-8")) for name in descriptions]
    lines = [line for source in sources for line in lay_out(source)[0].walk()]
    runs = [[token.type for token in tokens_of(line.content)] for line in lines]
    (folder / shapes.TABLE).write_text(shapes.make_table(runs), encoding="utf-8")


if __name__ == "__main__":
    import sys

    write_tables(sys.argv[1:])
