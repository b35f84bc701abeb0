"""The files for Vim, tried in Neovim itself: every word of every demo falls in the group that it should."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from countwheel.highlight.pieces import Kind, pieces

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "grammar" / "editors" / "vim"
NVIM = shutil.which("nvim")

# A group belongs to what its name says, behind `movement` and up to a number or a word of its own.
GROUPS: dict[str, Kind] = {
    "Happened": "fact",
    "NoPart": "part",
    "NoFact": "fact",
    "FreePath": "path",
    "FreeWord": "word",
    "DigitWord": "value",
    "Hint": "word",
    "HintNumber": "number",
    "HintUnit": "unit",
    "HintSign": "sign",
}
KINDS: tuple[Kind, ...] = (
    "part", "fact", "choice", "word", "name", "path", "value", "evidence", "number", "unit", "unknown",
    "date", "text", "block", "comment", "sign", "fault",
)  # fmt: skip


def kind_of(group: str) -> str:
    """The kind of piece that a syntax group is for; '' for none."""
    own = group.removeprefix("movement")
    if own in GROUPS:
        return GROUPS[own]
    return next(
        (
            kind
            for kind in KINDS
            if own.lower() == kind or re.fullmatch(rf"{kind.capitalize()}(\d+|[A-Z]\w*)", own)
        ),
        "",
    )


def groups_in_neovim(file: Path, tmp_path: Path) -> list[tuple[Kind, str, str]]:
    """Every word of a file: what it is, its text, and the syntax group that Neovim gives its first character."""
    text = file.read_text(encoding="utf-8")
    asked, rows = [], []
    for piece in pieces(text):
        if piece.kind == "space":
            continue
        for word in re.compile(r"\S+").finditer(text, piece.start, piece.end):
            start = text.rfind("\n", 0, word.start()) + 1
            column = len(text[start : word.start()].encode()) + 1
            rows.append(f"{text.count(chr(10), 0, word.start()) + 1} {column}")
            asked.append((piece.kind, word[0]))
    places, answer = tmp_path / "places", tmp_path / "groups"
    places.write_text("\n".join(rows) + "\n", encoding="utf-8")
    script = tmp_path / "groups.lua"
    names = f"local arg_file, arg_asked, arg_answer = [[{file}]], [[{places}]], [[{answer}]]\n"
    script.write_text(names + Path(__file__).with_name("vim_groups.lua").read_text(encoding="utf-8"))
    command = [str(NVIM), "--headless", "--clean", "--cmd", f"set runtimepath+={PACKAGE}"]
    command += ["-c", "filetype plugin on", "-c", "syntax on", "-c", f"luafile {script}", "-c", "qall!"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    assert "Error" not in done.stderr, done.stderr
    found = answer.read_text(encoding="utf-8").split("\n")[:-1]
    return [(kind, piece, group) for (kind, piece), group in zip(asked, found, strict=True)]


@pytest.mark.skipif(NVIM is None, reason="Neovim is not installed")
@pytest.mark.parametrize("file", sorted((ROOT / "specs").rglob("*.movement")), ids=lambda file: file.stem)
def test_words_fall_in_their_groups(file: Path, tmp_path: Path) -> None:
    wrong = Counter(
        (kind, text, group)
        for kind, text, group in groups_in_neovim(file, tmp_path)
        if kind_of(group) != kind
    )
    assert not wrong, wrong.most_common(20)


def headless(tmp_path: Path, *lua: str) -> str:
    """What is printed by Lua that is run in Neovim with our files and nothing else."""
    script = tmp_path / "try.lua"
    script.write_text("\n".join(lua), encoding="utf-8")
    command = [str(NVIM), "--headless", "--clean", "--cmd", f"set runtimepath+={PACKAGE}"]
    command += ["-c", "filetype plugin on", "-c", f"luafile {script}", "-c", "qall!"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout + done.stderr


@pytest.mark.skipif(NVIM is None, reason="Neovim is not installed")
def test_what_the_language_server_says_is_shown(tmp_path: Path) -> None:
    command = tmp_path / "countwheel"
    server = Path(__file__).with_name("language_server_stand_in.py")
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{server}" "$@"\n')
    command.chmod(0o755)
    (tmp_path / "clock.movement").write_text("countwheel 1\n")
    said = headless(
        tmp_path,
        f"require('movement').setup({{ command = [[{command}]] }})",
        f"vim.cmd('edit {tmp_path}/clock.movement')",
        "vim.wait(20000, function() return #vim.diagnostic.get(0) > 0 end)",
        "for _, one in ipairs(vim.diagnostic.get(0)) do print(one.lnum, one.message) end",
    )
    assert re.search(r"0\s+odd: countwheel 1", said), said


@pytest.mark.skipif(NVIM is None, reason="Neovim is not installed")
def test_a_missing_command_is_told_once_in_plain_words(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / f"{name}.movement").write_text("countwheel 1\n")
    said = headless(
        tmp_path,
        "require('movement').setup({ command = 'no-such-command-here' })",
        f"vim.cmd('edit {tmp_path}/one.movement')",
        f"vim.cmd('edit {tmp_path}/two.movement')",
    )
    assert said.count("The command no-such-command-here was not found") == 1
    assert "stack traceback" not in said


@pytest.mark.skipif(NVIM is None, reason="Neovim is not installed")
def test_lines_are_indented_by_two_spaces_and_commented(tmp_path: Path) -> None:
    (tmp_path / "clock.movement").write_text("countwheel 1\n")
    said = headless(
        tmp_path,
        f"vim.cmd('edit {tmp_path}/clock.movement')",
        "print(vim.bo.filetype, vim.bo.shiftwidth, vim.bo.expandtab, vim.bo.commentstring)",
    )
    assert said.split("\n")[-1].split() == ["movement", "2", "true", "#", "%s"], said
