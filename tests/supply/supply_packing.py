"""The wheel and the sdist, made from what is under version control."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from supply_reading import ROOT

# Of the folders that are packed, what a keeper has no use for.
LEFT_OUT = ("grammar/editors/vscode/test/", "grammar/editors/vscode/.vscodeignore")


class Built(NamedTuple):
    kept: list[str]  # the files under version control, as paths inside the repository
    wheel: Path
    sdist: Path
    wheel_of_sdist: Path


def build(source: Path, to: Path, kind: str, **around: str) -> Path:
    """One file made by `build`, with the tools that are installed here: nothing is fetched."""
    to.mkdir()
    done = subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", f"--{kind}", "--outdir", to, source],
        env=os.environ | {"SOURCE_DATE_EPOCH": "1700000000"} | around,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (made,) = to.iterdir()
    return made


def under_version_control() -> list[str]:
    """With what is new and not ignored; without what is gone."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    ).stdout.split("\0")
    return sorted({name for name in listed if name and (ROOT / name).is_file()})


Install = Callable[[Path], Path]
