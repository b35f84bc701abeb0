"""That the program runs on each Python it is said to run on, as far as it can be seen without that Python."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator

import pytest
from supply_reading import ROOT, project

INLINED = (ast.ListComp, ast.SetComp, ast.DictComp)
SCOPES = (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda, ast.ClassDef, ast.GeneratorExp)


def test_the_lowest_python_is_the_same_everywhere() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        tool = tomllib.load(file)["tool"]
    assert project()["requires-python"] == ">=3.11"
    assert tool["mypy"]["python_version"] == "3.11"
    assert tool["ruff"]["target-version"] == "py311"


def hidden(source: str) -> list[tuple[str, int]]:
    """Names that one comprehension of a function reads from the module, and another has as its own variable.

    Python 3.12.0 and 3.12.1, which made comprehensions part of the function around them, then take that name for a
    variable of the function that has no value, and stop with UnboundLocalError. Seen with 3.12.1; later ones do not.
    """
    return [
        (name, line)
        for function in ast.walk(ast.parse(source))
        if isinstance(function, (ast.FunctionDef, ast.AsyncFunctionDef))
        for name, line in _hidden_in(function)
    ]


def _hidden_in(function: ast.FunctionDef | ast.AsyncFunctionDef) -> Iterator[tuple[str, int]]:
    own = {one.arg for one in ast.walk(function.args) if isinstance(one, ast.arg)}
    of_comprehensions: set[str] = set()
    read: list[tuple[str, int]] = []
    waiting: list[tuple[ast.AST, frozenset[str] | None]] = [(line, None) for line in function.body]
    while waiting:
        node, bound = waiting.pop()
        if isinstance(node, INLINED):
            targets = frozenset(
                one.id
                for part in node.generators
                for one in ast.walk(part.target)
                if isinstance(one, ast.Name)
            )
            of_comprehensions |= targets
            bound = (bound or frozenset()) | targets
        elif isinstance(node, ast.Name) and node.id not in (bound or ()):
            if not isinstance(node.ctx, ast.Load):
                own.add(node.id)
            elif bound is not None:
                read.append((node.id, node.lineno))
        elif isinstance(node, SCOPES):
            continue
        waiting += [(child, bound) for child in ast.iter_child_nodes(node)]
    yield from ((name, line) for name, line in read if name in of_comprehensions - own)


def test_no_comprehension_hides_what_another_reads() -> None:
    found = [
        (str(path.relative_to(ROOT)), *each)
        for folder in ("compiler", "grammar", "tests")
        for path in sorted((ROOT / folder).rglob("*.py"))
        for each in hidden(path.read_text(encoding="utf-8"))
    ]
    assert not found


@pytest.mark.parametrize(
    ("source", "names"),
    [
        ("def f(a):\n  b = [value for value in a]\n  return [value(x) for x in b]", ["value"]),
        ("def f(a):\n  b = [row for x in a for row in x]\n  return {row(x) for x in b if x}", ["row"]),
        ("def f(a):\n  b = [row for row in a]\n  return row(b)", []),
        ("def f(a):\n  row = a\n  b = [row for row in a]\n  return [row(x) for x in b]", []),
        ("def f(a, row):\n  b = [row for row in a]\n  return [row(x) for x in b]", []),
        ("def f(a):\n  b = [row for row in a]\n  return list(row(x) for x in b)", []),
        ("def f(a):\n  return [row + 1 for row in a]", []),
    ],
)
def test_what_hides_is_found(source: str, names: list[str]) -> None:
    assert [name for name, _ in hidden(source)] == names
