"""What each part may import is the table in DEVELOPERS.md, held both ways."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
COMPILER = ROOT / "compiler"


def table() -> dict[str, set[str]]:
    """Folder -> folders that it may import, from the table under its heading."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## What may import what", 1)[1].split("\n## ", 1)[0]
    rows = re.findall(r"^\| `(\w+)` \| (.*?) ?\|$", section, re.MULTILINE)
    return {folder: set(re.findall(r"`(\w+)`", allowed)) for folder, allowed in rows}


def sources() -> Iterator[tuple[str, Path]]:
    for path in sorted(COMPILER.rglob("*.py")):
        relative = path.relative_to(COMPILER)
        if relative.name == "__init__.py" and len(relative.parts) == 1:
            continue
        yield relative.parts[0].removesuffix(".py"), path
    for path in sorted((ROOT / "grammar").glob("*.py")):
        yield "grammar", path


def imported(path: Path) -> set[str]:
    """The parts of this package that a file imports, at its top or inside functions."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "countwheel":
            parts = node.module.split(".")
            found |= {parts[1]} if len(parts) > 1 else {alias.name for alias in node.names}
        elif isinstance(node, ast.Import):
            names = [alias.name.split(".") for alias in node.names]
            found |= {name[1] for name in names if name[0] == "countwheel" and len(name) > 1}
    return found


def test_every_part_is_in_the_table() -> None:
    assert {part for part, _ in sources()} == set(table())


@pytest.mark.parametrize("part", sorted(table()))
def test_a_part_imports_what_the_table_says_and_all_of_it(part: str) -> None:
    used = set().union(*(imported(path) for one, path in sources() if one == part)) - {part}
    assert used == table()[part]


# What opens files, starts programs or reaches a network. Package data are read through importlib.resources.
OUTWARD = {"os", "pathlib", "tempfile", "shutil", "subprocess", "socket", "http", "ssl"}
MAY_REACH_OUT = {
    "files.py": "the only file access",
    "placing.py": "puts what files.py is given in its place",
    "git.py": "asks git what was changed",
    "history.py": "the folder that git is asked in",
    "git_setup.py": "sets up a keeper's git",
    "cli.py": "streams and exit codes",
    "commands.py": "names of descriptions",
    "telling.py": "the terminal's width",
    "writing.py": "names of outputs",
    "building.py": "names of outputs, how many cores",
    "keeping_commands.py": "names of outputs",
    "api.py": "names of files",
    "tidying.py": "names of files",
    "log_files.py": "names of files",
    "project.py": "names of included files",
    "desk.py": "names of files that are open, or watched",
    "projects.py": "names of files",
    "parser.py": "writes its table, by hand, when the grammar changes",
    "beside.py": "copies the program, to work on another core",
    "server.py": "serves the preview, on the loopback address alone",
    "layout_engine.py": "runs the engine that lays out graphs",
}


def test_only_files_reaches_out() -> None:
    for _, path in sources():
        tops = {
            name.split(".")[0]
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            for name in (
                [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
        }
        assert not tops & OUTWARD or path.name in MAY_REACH_OUT, (path, tops & OUTWARD)


def test_only_the_editor_imports_the_protocol() -> None:
    for part, path in sources():
        text = path.read_text(encoding="utf-8")
        assert part == "editor" or not re.search(
            r"^\s*(?:from|import) (?:pygls|lsprotocol)\b", text, re.MULTILINE
        )
    assert "from pygls" in (COMPILER / "editor" / "server.py").read_text(encoding="utf-8")
