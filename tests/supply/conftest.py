"""The wheel and the sdist, built once for all tests of them, and installed in new environments."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from supply_packing import Built, Install, build, under_version_control
from supply_reading import MADE_FOR, ROOT, locked


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """Two wheels, in other folders, time zones, orders of sets: one of the tree, one of the sdist."""
    folder = tmp_path_factory.mktemp("built")
    kept = under_version_control()
    for name in kept:
        (folder / "tree" / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(ROOT / name, folder / "tree" / name)
    sdist = build(folder / "tree", folder / "sdist", "sdist")
    shutil.unpack_archive(sdist, folder / "unpacked", filter="data")
    (unpacked,) = (folder / "unpacked").iterdir()
    return Built(
        kept,
        build(folder / "tree", folder / "wheel", "wheel", TZ="Asia/Tokyo", PYTHONHASHSEED="1"),
        sdist,
        build(unpacked, folder / "again", "wheel", TZ="America/Lima", PYTHONHASHSEED="2"),
    )


@pytest.fixture(scope="session")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Install:
    """Puts a wheel or an sdist, with all that it needs, into a new environment; gives that environment's folder.

    The libraries come from the index that pip is set up with: the releases of the lock where it holds, else the newest
    of the ranges. Where no index is reached the test is skipped, but not in CI.
    """
    folder = tmp_path_factory.mktemp("installed")
    releases = folder / "releases.txt"
    lock = locked() if (sys.platform, *sys.version_info[:2]) == MADE_FOR else {}
    releases.write_text("".join(f"{name}=={one.version}\n" for name, one in lock.items()), encoding="utf-8")
    held = {"PIP_CONSTRAINT": str(releases), "PIP_BUILD_CONSTRAINT": str(releases)}

    def asked(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "pip", "--disable-pip-version-check", *map(str, arguments)],
            env=os.environ | held,
            capture_output=True,
            text=True,
            timeout=600,
            check=False,
        )

    reached = asked(
        "download", "--quiet", "--no-deps", "--no-cache-dir", "--dest", folder / "reached", "mdurl"
    )
    if reached.returncode != 0 and not os.environ.get("CI"):
        pytest.skip("no index is reached from here")
    assert reached.returncode == 0, reached.stderr

    def install(package: Path) -> Path:
        place = folder / package.name
        subprocess.run([sys.executable, "-m", "venv", "--without-pip", place], check=True, timeout=120)
        done = asked("--python", place / "bin" / "python", "install", "--quiet", "--no-compile", package)
        assert done.returncode == 0, done.stderr
        return place

    return install
