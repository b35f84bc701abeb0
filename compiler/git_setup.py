"""What countwheel sets up in a keeper's own git: diffs that show facts, a check of each commit, a first commit.

Nothing that is there already is overwritten; only the keeper's own clone is configured, never git as a whole.
"""

from __future__ import annotations

import shlex
import shutil
import sys
from argparse import Namespace
from pathlib import Path

from countwheel import files
from countwheel.cli import CLEAN
from countwheel.files import ENDING, Trouble
from countwheel.git import ask, program
from countwheel.telling import fail

ATTRIBUTES = f"*{ENDING} diff=countwheel\n"
# A heading of `countwheel facts`, and of the text as it stands: a line at the margin.
HEADING = "^([^[:space:]#].*)$"
HOOK = """#!/bin/sh
# Put here by `countwheel git --hook`. Before a commit: the descriptions in it are in canonical form, and that
# in the folder named at the end has no error. Looked at are the files as they lie in the folder.
# `git commit --no-verify` goes past it; take this file away to be rid of it.
if ! COUNTWHEEL --version >/dev/null 2>&1; then
  echo "countwheel is not there: nothing was checked" >&2
  exit 0
fi
if ! git diff --cached --name-only --diff-filter=ACMR -z -- '*.movement' | xargs -0 -r COUNTWHEEL tidy --check; then
  echo "countwheel tidy FILE puts it in canonical form; then git add it again" >&2
  exit 1
fi
exec COUNTWHEEL check FOLDER
"""


def git(options: Namespace) -> int:
    """Lets the git that a folder lies in show facts, and with `hook` look over each commit."""
    folder = Path(options.folder)
    if not folder.is_dir():
        return fail(f"{folder} is not a folder")
    if program() is None:
        return fail("git is not there; nothing was changed")
    top = ask(folder, "rev-parse", "--show-toplevel")
    if not top:
        return fail(f"{folder} does not lie in a git work tree; `git init` makes one. Nothing was changed")
    attributes = folder / ".gitattributes"
    try:
        before = files.read_bytes(attributes) if attributes.exists() else b""
        if ATTRIBUTES.strip().encode() not in before.splitlines():
            apart = b"" if not before or before.endswith(b"\n") else b"\n"
            files.write_file(attributes, before + apart + ATTRIBUTES.encode())
            print(f"{attributes}: {ATTRIBUTES.strip()}")
    except Trouble as trouble:
        return fail(trouble.why)
    for key, value in (("textconv", _textconv()), ("xfuncname", HEADING)):
        if ask(folder, "config", "--local", f"diff.countwheel.{key}", value) is None:
            return fail(f"git would not set diff.countwheel.{key}")
    print("git diff and git log -p show facts here; with --no-textconv they show the lines as they stand")
    return _hook(folder, Path(top)) if options.hook else CLEAN


def _program() -> str:
    """How a shell starts countwheel: by its name where that is found, else by the Python that runs it now."""
    return "countwheel" if shutil.which("countwheel") else f"{shlex.quote(sys.executable)} -m countwheel.cli"


def _textconv() -> str:
    """Git stops where its converter fails: then, and where countwheel has gone, the text itself is shown."""
    return f'f() {{ {_program()} facts "$1" 2>/dev/null || cat "$1"; }}; f'


def _hook(folder: Path, top: Path) -> int:
    # each by itself: what is said on our own call hides the rest
    places = ("--local", "--global", "--system")
    own = next(
        (found for at in places if (found := ask(folder, "config", at, "--get", "core.hooksPath"))), ""
    )
    common = ask(folder, "rev-parse", "--git-common-dir")
    if not common:
        return fail("git does not say where its hooks are")
    path = folder / common / "hooks" / "pre-commit"
    if own:
        return fail(f"git takes its hooks from {own} here: nothing was put there")
    inside = folder.resolve().relative_to(top.resolve()).as_posix()
    made = HOOK.replace("COUNTWHEEL", _program()).replace("FOLDER", shlex.quote(inside))
    if path.exists():
        if path.read_bytes() != made.encode():
            return fail(f"{path} is there already and was left as it is")
        return CLEAN
    try:
        files.write_file(path, made.encode(), mode=0o777)
    except Trouble as trouble:
        return fail(trouble.why)
    print(f"{path}: every commit is checked")
    return CLEAN


def begin(folder: Path) -> str:
    """A repository in a new folder with a first commit of what is in it; what is left to do, '' if nothing is.

    Only with a name and an address that git knows already: none is made up.
    """
    if program() is None:
        return "git is not there: install it, then `git init` in the folder"
    if ask(folder, "rev-parse", "--is-inside-work-tree") == "true":
        return "it lies in a git work tree already: `git add` and `git commit` it there"
    if ask(folder, "init", "--quiet") is None:
        return "`git init` did not work in the folder"
    for key, value in (("textconv", _textconv()), ("xfuncname", HEADING)):
        ask(folder, "config", "--local", f"diff.countwheel.{key}", value)
    if not (ask(folder, "config", "--get", "user.name") and ask(folder, "config", "--get", "user.email")):
        return (
            "git does not know who you are: `git config user.name NAME` and `git config user.email ADDRESS` in the"
            ' folder, then `git add .` and `git commit -m "Begin the description"`'
        )
    if ask(folder, "add", ".") is None or ask(folder, "commit", "-q", "-m", "Begin the description") is None:
        return 'the first commit did not work: `git add .` and `git commit -m "Begin the description"` in the folder'
    return ""
