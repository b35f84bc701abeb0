"""A real editor: Neovim, without a screen, edits a description through its own client of the protocol."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from countwheel import api
from countwheel.editor.mending import canonical
from countwheel.source import Source
from editing import MAIN, NAMES

NVIM = shutil.which("nvim")
TYPED = MAIN.replace("  mass 3 cwt", '  mas 3 cwt\n  remark "🕰 n̈"') + "es \n"


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    if NVIM is None:
        pytest.skip("there is no Neovim here")
    folder = tmp_path_factory.mktemp("clock")
    for name, text in (NAMES | {"main.movement": TYPED}).items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    home = folder / "home"
    home.mkdir()
    out = folder / "found.json"
    server = [sys.executable, "-m", "countwheel.cli", "language-server"]
    around = {
        "PATH": os.environ["PATH"],
        "HOME": str(home),
        "XDG_STATE_HOME": str(home),
        "LANG": "C.UTF-8",
        "SERVER": json.dumps(server),
        "FILE": str(folder / "main.movement"),
        "OUT": str(out),
    }
    script = Path(__file__).with_name("neovim.lua")
    call = [NVIM, "--headless", "--clean", "-n", "-c", f"luafile {script}"]
    subprocess.run(call, env=around, stdin=subprocess.DEVNULL, capture_output=True, timeout=180, check=True)
    answers: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
    assert "fault" not in answers, answers["fault"]
    return answers


def test_it_shows_what_is_amiss(found: dict[str, Any]) -> None:
    (one,) = [one for one in found["diagnostics"] if one["code"] == "M201" and "mas" in one["message"]]
    assert TYPED.split("\n")[one["lnum"]][one["col"] : one["end_col"]] == "mas"


def test_it_shows_what_a_word_means(found: dict[str, Any]) -> None:
    assert "turns an hour of going.centre: **1 turn/h**" in found["hover"]["contents"]["value"]


def test_it_offers_words(found: dict[str, Any]) -> None:
    assert [item["label"] for item in found["completion"]["items"]] == ["escapement"]


def test_it_renames(found: dict[str, Any]) -> None:
    renamed = "\n".join(found["renamed"])
    assert "arbor middle\n" in renamed
    assert "expect going.middle turns" in renamed


def test_it_formats(found: dict[str, Any]) -> None:
    written = "\n".join(found["formatted"]) + "\n"
    assert written != TYPED
    assert canonical(Source("main.movement", written)) == []
    assert [line.split() for line in written.split("\n") if line] == [
        line.split() for line in TYPED.split("\n") if line and line != "es "
    ]
    assert api.includes(written) == ("trains/strike.movement",)
