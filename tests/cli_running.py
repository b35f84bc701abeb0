"""Running the command line, from outside and in this process, for the tests of it."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

import pytest
from countwheel import cli

GOOD = Path(__file__).parent / "checks" / "whole.movement"
BAD = 'countwheel 1\nclock "Bad"\n  place "Nowhere"\n    latitude 95 °N\n'


def run(
    *arguments: str | Path,
    folder: Path | None = None,
    said: bytes = b"",
    around: Mapping[str, str] | None = None,
) -> subprocess.CompletedProcess[bytes]:
    surroundings = {"PATH": os.environ["PATH"], "HOME": "/nonexistent"} | dict(around or {})
    return subprocess.run(
        [sys.executable, "-m", "countwheel.cli", *map(str, arguments)],
        cwd=folder,
        input=said,
        capture_output=True,
        env=surroundings,
        timeout=120,
        check=False,
    )


class Done(NamedTuple):
    returncode: int
    stdout: bytes
    stderr: bytes


Call = Callable[..., Done]


@pytest.fixture
def call(capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch) -> Call:
    """As `run`, in this process: a tenth of the time, where the surroundings do not matter."""

    def called(*arguments: str | Path, folder: Path | None = None) -> Done:
        if folder is not None:
            monkeypatch.chdir(folder)
        capsysbinary.readouterr()
        code = cli.main([str(argument) for argument in arguments])
        said = capsysbinary.readouterr()
        return Done(code, said.out, said.err)

    return called


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with one description that is whole, in a folder of its own, and one that is not."""
    (tmp_path / "good").mkdir()
    (tmp_path / "good" / "good.movement").write_bytes(GOOD.read_bytes())
    (tmp_path / "bad.movement").write_text(BAD, encoding="utf-8")
    return tmp_path


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with the sum of its content."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
