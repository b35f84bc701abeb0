"""The files for Vim, tried in Neovim itself: every word of every demo falls in the group that it should."""

from __future__ import annotations

import re
import shutil
import subprocess
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
