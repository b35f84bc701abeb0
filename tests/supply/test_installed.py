"""The wheel and the sdist, each in a new environment of its own, do what the repository does, with none in sight."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from cli_running import tree
from supply_packing import Built, Install
from supply_reading import ROOT, project

DEMO = ROOT / "specs" / "penquay-harbour-office"
# What a later Python will no longer have is a fault already.
OLD = ("-W", "error::DeprecationWarning", "-W", "error::PendingDeprecationWarning")
LOADED = """
import json, sys
from countwheel import cli
code = cli.main(sys.argv[1:])
files = [module.__file__ for module in list(sys.modules.values()) if getattr(module, "__file__", None)]
print(json.dumps([code, files, sys.base_prefix]), file=sys.stderr)
"""


def ask(place: Path, folder: Path, program: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """A program of the environment, run where nothing leads to the repository or to any other environment."""
    done = subprocess.run(
        [place / "bin" / program, *arguments],
        cwd=folder,
        env={"PATH": os.defpath, "HOME": str(folder), "SOURCE_DATE_EPOCH": "1700000000"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done


@pytest.fixture
def away(tmp_path: Path) -> Path:
    """A folder with a demo clock in it and nothing else."""
    shutil.copytree(DEMO, tmp_path / DEMO.name)
    return tmp_path


@pytest.mark.parametrize("kind", ["wheel", "sdist"])
def test_a_demo_is_built_in_a_new_environment(
    built: Built, installed: Install, away: Path, kind: str
) -> None:
    place = installed(built.wheel if kind == "wheel" else built.sdist)
    assert ask(place, away, "countwheel", "--version").stdout == f"countwheel {project()['version']}\n"
    binder = ["--binder"] if kind == "wheel" else []  # once is enough of what takes longest
    done = ask(place, away, "python", "-I", *OLD, "-c", LOADED, "build", DEMO.name, *binder)
    code, files, base = json.loads(done.stderr.splitlines()[-1])
    assert code == 0
    own = str(place.resolve())
    assert not [file for file in files if not file.startswith((own, base))], "loaded from elsewhere"
    assert len([file for file in files if file.startswith(own)]) > 300
    out = away / "out" / DEMO.name
    found = tree(out)
    assert {"manual.pdf", "manual.html", "calculations.pdf", "calendar.ics"} <= found.keys()
    assert ("binder.pdf" in found) == (kind == "wheel")
    # Each file is the one that the manifest tells of, so none was left half written.
    manifest = json.loads((out / "manifest.json").read_text(encoding="utf-8"))
    assert found.keys() - {"manifest.json"} == manifest["files"].keys()
    assert all(found[name] == manifest["files"][name] for name in manifest["files"])
