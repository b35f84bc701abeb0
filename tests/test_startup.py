"""What `countwheel check` loads: only what it needs, since every check pays for it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

WHOLE = Path(__file__).parent / "checks" / "whole.movement"
HEAVY = {
    "pint",
    "jinja2",
    "typst",
    "graphviz",
    "graphviz_pure",
    "pygls",
    "lsprotocol",
    "numpy",
    "scipy",
    "pygments",
    "icalendar",
    "dateutil",
}
HEAVY |= {"hypothesis", "pytest", "jsonschema", "asyncio", "http", "urllib.request", "ssl", "multiprocessing"}


def loaded(*arguments: str) -> set[str]:
    """The names of all modules that are loaded when a command ends."""
    code = (
        "import contextlib, io, sys\n"
        "from countwheel.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):\n"
        f"    main({list(arguments)!r})\n"
        "print('\\n'.join(sys.modules))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.split())


@pytest.mark.parametrize(
    "arguments", [("check", str(WHOLE)), ("check", "nowhere"), ("explain", "M403"), ("words", "barrel")]
)
def test_nothing_heavy_is_loaded(arguments: tuple[str, ...]) -> None:
    assert not loaded(*arguments) & HEAVY


def test_the_names_looked_for_are_those_that_a_build_loads(tmp_path: Path) -> None:
    """So that the test above cannot pass by looking for names that nothing has."""
    found = loaded("build", str(WHOLE), "--to", str(tmp_path)) | loaded(
        "draw", str(WHOLE), "--to", str(tmp_path / "drawn")
    )
    assert {"jinja2", "typst", "graphviz"} <= found


def test_a_description_of_everyday_lines_is_read_without_lark() -> None:
    """The shapes of its lines are kept (see `countwheel.syntax.shapes`)."""
    demo = Path(__file__).parent.parent / "specs" / "penquay-harbour-office"
    assert not [name for name in loaded("check", str(demo)) if name.split(".")[0] == "lark"]


def test_check_does_not_load_what_prints() -> None:
    assert not [name for name in loaded("check", str(WHOLE)) if name.startswith("countwheel.emit.")]


def test_a_wrong_call_loads_nothing_of_the_compiler() -> None:
    found = loaded("check")
    assert not [
        name for name in found if name.startswith(("countwheel.resolve", "countwheel.figures", "pydantic"))
    ]
