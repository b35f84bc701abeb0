"""What commands print gives no terminal orders (ECMA-48: C0, C1, CSI, OSC) and turns no line (Unicode annex 9)."""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path

import pytest
from cli_running import Call, call
from countwheel import arguments
from hostile import CONTROLS, TEXTS, clock_of

__all__ = ["call"]  # a fixture

ORDERS = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\U000e0001-\U000e007f]"
)
FILE = "it.movement"
#: Each command with what lets it print all that it can; None for those that print nothing of a description's.
CALLS: dict[str, list[list[str]] | None] = {
    "check": [[FILE], [FILE, "--format", "json"], [FILE, "--format", "sarif"]],
    "figures": [
        [FILE],
        [FILE, "--working"],
        [FILE, "--json"],
        [FILE, "--set", f"going.barrel.weight={CONTROLS[:9]}"],
    ],
    "find": [[FILE], [FILE, "--json"]],
    "gaps": [[FILE], [FILE, "--json"]],
    "rate": [[FILE], [FILE, "--json"]],
    "compare": [[FILE, "other.movement"], [FILE, "other.movement", "--json"]],
    "evidence": [[FILE], [FILE, "--json"]],
    "replacement": [[FILE], [FILE, "going.\x1b[1m"], [FILE, "going.centre.wheel"]],
    "calendar": [[FILE]],
    "due": [[FILE, "--on", "2026-06-01"], [FILE, "--on", "2026-06-01", "--json"]],
    "rota": [[FILE]],
    "model": [[FILE]],
    "tidy": [["--check", FILE]],
    "new": [["\x1b[2J\u202ea", "--train", "\x1b[1m"]],
    "words": [["\x1b[2Jbarrel"]],
    "explain": [["\x1b[2J"]],
    "schema": [["\x9b1m"]],
    "git": [["\x1b[2J"]],
    "draw": [[FILE]],
    "manual": [[FILE]],
    "binder": [[FILE]],
    "build": [[FILE]],
    "log": None,  # data: see below
    "facts": None,  # data: see below
    "serve": None,
    "language-server": None,
}
DATA = [["log", FILE], ["facts", FILE], ["evidence", FILE, "--csv"]]


def descriptions() -> dict[str, str]:
    everything = " ".join(text for text in TEXTS.values()) + CONTROLS.replace("\x00", "")
    fewer = "\u202egnp \x9b31m \x1b[2J \u200f"
    return {"everything": everything, "fewer": fewer}


@pytest.fixture(params=descriptions())
def folder(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    text = descriptions()[request.param]
    (tmp_path / FILE).write_text(clock_of(text), encoding="utf-8", newline="")
    (tmp_path / "other.movement").write_text(clock_of(text + " \x1b[1m."), encoding="utf-8", newline="")
    return tmp_path


def test_no_command_is_forgotten() -> None:
    actions = arguments.parser()._actions
    assert set(CALLS) == set(next(one.choices for one in actions if one.dest == "command") or ())


@pytest.mark.parametrize("command", [name for name, calls in CALLS.items() if calls])
def test_no_command_prints_orders(call: Call, folder: Path, command: str) -> None:
    for more in CALLS[command] or ():
        done = call(command, *more, folder=folder)
        for printed in (done.stdout, done.stderr):
            assert ORDERS.findall(printed.decode()) == [], more
        if done.stdout and ("--json" in more or "json" in more or "sarif" in more or command == "model"):
            json.loads(done.stdout)


@pytest.mark.parametrize("words", DATA, ids=" ".join)
def test_data_is_as_it_is_but_on_a_terminal(
    call: Call, folder: Path, words: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert ORDERS.search(call(*words, folder=folder).stdout.decode())
    monkeypatch.setattr(type(sys.stdout), "isatty", lambda self: True, raising=False)
    monkeypatch.setenv("NO_COLOR", "1")
    done = call(*words, folder=folder)
    assert done.stdout
    assert ORDERS.findall(done.stdout.decode().replace("\r\n", "\n")) == []


def test_the_name_of_a_file(call: Call, tmp_path: Path) -> None:
    name = "a\x1b[2J\u202eb.movement"
    (tmp_path / name).write_text('countwheel 1\nclock "A"\n  place "P" 7\n', encoding="utf-8")
    os.mkdir(tmp_path / "to")
    for words in (
        ["check", name],
        ["build", name],
        ["check", "gone" + name],
        ["draw", name, "--to", "\x1b[1mto"],
    ):
        done = call(*words, folder=tmp_path)
        assert done.stdout or done.stderr
        assert ORDERS.findall((done.stdout + done.stderr).decode()) == []


def test_json_says_the_same() -> None:
    from countwheel.streams import escaped

    said = {"a": f"{CONTROLS} {TEXTS['marks']} {TEXTS['turned line']} {TEXTS['letters']}"}
    assert json.loads(escaped(json.dumps(said, ensure_ascii=False))) == said
