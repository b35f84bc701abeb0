"""The same description gives the same bytes: on another day, in another place, language, folder, on one core or two."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest
from cli_running import tree
from countwheel import arguments

ROOT = Path(__file__).parents[2]
NAME = "it"
ON = "2026-06-01"
#: Every command that makes something of a description, as often as it makes other things.
WORDS = [
    f"build {NAME}",
    f"binder {NAME} --contacts --paper us-letter --to bound",
    *(f"check {NAME} --format {kind}" for kind in ("text", "json", "sarif")),
    *(f"figures {NAME} {more}" for more in ("--working", "--json", "--set pendulum.bob.mass=95kg")),
    *(f"gaps {NAME} {more}" for more in ("", "--json", "--to sheets")),
    *(f"evidence {NAME} {more}" for more in ("", "--json", "--csv", "--to register")),
    *(f"find {NAME} {more}" for more in ("", "--json")),
    *(f"rate {NAME} {more}" for more in ("", "--json")),
    *(f"due {NAME} --on {ON} {more}" for more in ("", "--json")),
    *(f"rota other --from {ON} {more}" for more in ("", "--json", "--to turns")),
    *(f"compare {NAME} other {more}" for more in ("", "--json", "--to compared")),
    *(f"log {NAME} {more}" for more in ("", "--to log.csv")),
    f"replacement {NAME}",
    f"model {NAME}",
    f"draw {NAME} --to drawn",
    f"manual {NAME} --contacts blank --to alone",
    f"facts {NAME}/log.movement",
    f"tidy --diff {NAME}",
    "new Clock --train going --train strike --in fresh",
    f"tidy {NAME}",
    "words",
    "words barrel",
    "explain",
    "schema model",
]
ISSUED = [
    f"calendar {NAME} --from {ON} --to calendar",
    f"rota other --from {ON} --to dated",
]  # dated where asked
NOT_HERE = {"serve", "language-server", "git"}  # make nothing of a description


def test_no_command_is_forgotten() -> None:
    choices = next(one.choices for one in arguments.parser()._actions if one.dest == "command") or ()
    assert {words.split()[0] for words in WORDS + ISSUED} | NOT_HERE == set(choices)


def test_one_place_asks_for_the_day() -> None:
    asked = re.compile(r"\b(?:date|datetime)\.(?:today|now|utcnow)\(|\btime\.time\(|localtime|\blocale\.")
    found = [path.name for path in (ROOT / "compiler").rglob("*.py") if asked.search(path.read_text("utf-8"))]
    assert found == ["files.py"]


def made(
    folder: Path, way: list[str], around: Mapping[str, str], mask: int, words: list[str]
) -> tuple[bytes, bytes]:
    call = " --then-- ".join(words).split()
    before = os.umask(mask)
    try:
        done = subprocess.run(
            [sys.executable, str(Path(__file__).with_name("elsewhere.py")), *way, *call],
            cwd=folder,
            env={"PATH": os.environ["PATH"], "HOME": str(folder)} | dict(around),
            capture_output=True,
            timeout=400,
            check=False,
        )
    finally:
        os.umask(before)
    assert b"Traceback" not in done.stderr, done.stderr.decode()
    return done.stdout, done.stderr


@pytest.mark.parametrize("demo", ["penquay-harbour-office"])
def test_the_same_bytes_elsewhere(tmp_path: Path, demo: str) -> None:
    here, there = tmp_path / "here", tmp_path / ("a folder of another name " * 3) / "ünder"
    for folder in (here, there):
        shutil.copytree(ROOT / "specs" / demo, folder / NAME)
        (folder / NAME / f"{demo}.movement").rename(folder / NAME / f"{NAME}.movement")
        shutil.copytree(ROOT / "specs" / "ellenfrith-school", folder / "other")
    usual = {"PYTHONHASHSEED": "1", "LC_ALL": "C", "TZ": "UTC"}
    other = {"PYTHONHASHSEED": "77", "LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8", "TZ": "Pacific/Chatham"}
    other |= {"COLUMNS": "43", "LINES": "9", "TERM": "dumb"}
    for words, dated in ((WORDS, {}), (ISSUED, {"SOURCE_DATE_EPOCH": "1777000000"})):
        first = made(here, ["0", "2", "1"], usual | dated, 0o022, words)
        second = made(there, ["431", "1", "-1"], other | dated, 0o077, words)
        assert first[0].count(b"\n== ") >= len(words) - 1
        assert second == first
    assert tree(there) == tree(here)
    assert {
        "binder.pdf",
        "manual.pdf",
        "rota.pdf",
        "calendar.ics",
        "strike.mid",
        "evidence.csv",
        "measuring.pdf",
    } <= {Path(name).name for name in tree(here)}


@pytest.mark.parametrize("locale", ["C", "C.UTF-8", "POSIX"])
def test_the_same_text_in_each_locale(tmp_path: Path, locale: str) -> None:
    shutil.copytree(ROOT / "specs" / "skarnhove-chapel", tmp_path / NAME)
    words = [f"check {NAME}", f"figures {NAME}", f"evidence {NAME} --csv"]
    given = [
        made(tmp_path, ["0", "1", "1"], around, 0o022, words)
        for around in (
            {"LC_ALL": "C.UTF-8"},
            {"LC_ALL": locale, "PYTHONUTF8": "0", "PYTHONIOENCODING": "latin-1"},
        )
    ]
    assert given[0] == given[1]
