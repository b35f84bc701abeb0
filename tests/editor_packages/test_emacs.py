"""The mode for Emacs, tried in Emacs itself: compiled without a warning, every word of every demo has its face."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections import Counter
from pathlib import Path

import pytest
from countwheel.highlight.pieces import Kind, pieces

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "grammar" / "editors" / "emacs"
EMACS = shutil.which("emacs")
pytestmark = pytest.mark.skipif(EMACS is None, reason="Emacs is not installed")

OTHERS: dict[Kind, str] = {
    "text": "font-lock-string-face",
    "block": "font-lock-string-face",
    "comment": "font-lock-comment-face",
}


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The mode, byte-compiled; a warning is an error."""
    folder = tmp_path_factory.mktemp("emacs")
    for file in PACKAGE.glob("*.el"):
        shutil.copy(file, folder)
    command = [str(EMACS), "-Q", "--batch", "-L", ".", "--eval", "(setq byte-compile-error-on-warn t)"]
    command += ["-f", "batch-byte-compile", "movement-words.el", "movement-mode.el"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    return folder


def run(compiled: Path, *arguments: str, **environment: str) -> str:
    command = [str(EMACS), "-Q", "--batch", "-L", str(compiled), *arguments]
    done = subprocess.run(
        command, env=os.environ | environment, capture_output=True, text=True, timeout=240, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("file", sorted((ROOT / "specs").rglob("*.movement")), ids=lambda file: file.stem)
def test_words_have_their_faces(file: Path, compiled: Path, tmp_path: Path) -> None:
    text = file.read_text(encoding="utf-8")
    asked, rows = [], []
    for piece in pieces(text):
        if piece.kind == "space":
            continue
        for word in re.compile(r"\S+").finditer(text, piece.start, piece.end):
            column = word.start() - text.rfind("\n", 0, word.start()) - 1
            rows.append(f"{text.count(chr(10), 0, word.start()) + 1} {column}")
            asked.append((piece.kind, word[0]))
    places, answer = tmp_path / "places", tmp_path / "faces"
    places.write_text("\n".join(rows) + "\n", encoding="utf-8")
    script = str(Path(__file__).with_name("emacs_faces.el"))
    run(compiled, "-l", script, PLACES=str(places), DESCRIPTION=str(file), FACES=str(answer))
    found = answer.read_text(encoding="utf-8").split("\n")[:-1]
    wrong: Counter[tuple[str, str, str]] = Counter()
    for (kind, word), face in zip(asked, found, strict=True):
        wanted = OTHERS.get(kind, f"movement-{kind}")
        if face != wanted and not (kind == "comment" and face == "font-lock-comment-delimiter-face"):
            wrong[kind, word, face] += 1
    assert not wrong, wrong.most_common(20)


def test_the_language_server_is_the_command(compiled: Path, tmp_path: Path) -> None:
    """Loaded before Eglot, as in a keeper's settings; a stand-in has the one variable that is looked at."""
    (tmp_path / "eglot.el").write_text("(defvar eglot-server-programs nil)\n(provide 'eglot)\n")
    script = (
        "(progn (require 'movement-mode) (require 'eglot)"
        " (princ (funcall (cdr (assq 'movement-mode eglot-server-programs)) nil)))"
    )
    assert run(compiled, "-L", str(tmp_path), "--eval", script) == "(countwheel language-server)"


def test_a_line_is_indented_as_the_one_above_and_then_otherwise(compiled: Path) -> None:
    script = (
        "(with-temp-buffer (require 'movement-mode) (movement-mode)"
        ' (insert "train going\\n  arbor barrel\\nbarrel") (setq this-command \'indent)'
        " (let (found) (dotimes (_ 4) (movement-indent-line) (push (current-indentation) found)"
        "   (setq last-command 'indent)) (princ (reverse found))))"
    )
    assert run(compiled, "--eval", script) == "(2 0 4 2)"
