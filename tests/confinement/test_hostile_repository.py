"""A description that comes with a repository of its own, which would run something at every turn of git."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_running import GOOD

# Each runs a program that a repository names, by git's own documentation (git-config, gitattributes, githooks).
CONFIG = {
    "core.fsmonitor": "{trap}",
    "core.pager": "{trap}",
    "pager.log": "{trap}",
    "core.editor": "{trap}",
    "core.askPass": "{trap}",
    "core.sshCommand": "{trap}",
    "core.gitProxy": "{trap}",
    "core.alternateRefsCommand": "{trap}",
    "core.hooksPath": "{hooks}",
    "credential.helper": "{trap}",
    "diff.external": "{trap}",
    "diff.x.command": "{trap}",
    "diff.x.textconv": "{trap}",
    "filter.x.clean": "{trap}",
    "filter.x.smudge": "{trap}",
    "filter.x.process": "{trap}",
    "filter.x.required": "true",
    "merge.x.driver": "{trap}",
    "gpg.program": "{trap}",
    "gpg.ssh.defaultKeyCommand": "{trap}",
    "log.showSignature": "true",
    "commit.gpgSign": "true",
    "alias.log": "!{trap}",
    "alias.rev-parse": "!{trap}",
    "interactive.diffFilter": "{trap}",
    "sequence.editor": "{trap}",
    "protocol.ext.allow": "always",
    "remote.origin.url": "ext::{trap}",
    "remote.origin.promisor": "true",
    "remote.origin.partialCloneFilter": "blob:none",
    "trailer.x.command": "{trap}",
    "maintenance.auto": "true",
    "gc.auto": "1",
}
HOOKS = ("pre-commit", "post-index-change", "reference-transaction", "post-checkout", "pre-auto-gc",
         "fsmonitor-watchman", "prepare-commit-msg", "commit-msg", "post-commit")  # fmt: skip


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    """The folder `tower/clock` with the repository `tower`; what runs of it leaves a line in the file `ran`."""
    folder = tmp_path / "tower" / "clock"
    (folder / "hooks").mkdir(parents=True)
    trap = folder / "git"  # also by the name under which a careless search of the PATH would find it
    trap.write_text(f'#!/bin/sh\necho "$0 $*" >>{tmp_path / "ran"}\ncat\n')
    trap.chmod(0o755)
    (folder / "clock.movement").write_bytes(GOOD.read_bytes())
    (folder.parent / ".gitattributes").write_text("* filter=x diff=x merge=x\n")

    def git(*words: str) -> None:
        subprocess.run(
            ["git", "-c", "user.name=KT", "-c", "user.email=kt@penquay.example", *words],
            cwd=folder.parent, check=True, capture_output=True, env=surroundings(tmp_path),
        )  # fmt: skip

    git("init", "-q")
    git("add", "clock/clock.movement")
    git("commit", "-qm", "First")
    git("commit", "-qm", "Second", "--allow-empty")
    (folder / "clock.movement").write_bytes(GOOD.read_bytes() + b"\n# changed\n")
    for key, value in CONFIG.items():
        git("config", key, value.format(trap=trap, hooks=folder / "hooks"))
    for place in (folder / "hooks", folder.parent / ".git" / "hooks"):
        place.mkdir(exist_ok=True)
        for name in HOOKS:
            (place / name).write_bytes(trap.read_bytes())
            (place / name).chmod(0o755)
    (tmp_path / "ran").unlink(missing_ok=True)
    return folder


def surroundings(home: Path, first: str = "") -> dict[str, str]:
    return {
        "PATH": first + os.environ["PATH"],
        "HOME": str(home),
        "XDG_CONFIG_HOME": str(home),
        "GIT_PAGER": "cat",
    }


@pytest.mark.parametrize(
    "words",
    [
        ("binder", "."),
        ("build", ".", "--binder"),
        ("compare", ".", "--git", "HEAD^..HEAD"),
        ("compare", ".", "--git", "HEAD"),
        ("git", "."),
        ("git", ".", "--hook"),
        ("new", "Market Hall clock", "--train", "going", "--git"),
    ],
    ids=" ".join,
)
def test_nothing_of_it_is_run(hostile: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "countwheel.cli", *words],
        cwd=hostile,
        capture_output=True,
        env=surroundings(tmp_path, f".{os.pathsep}{os.pathsep}"),
        timeout=120,
        check=False,
    )
    assert b"Traceback" not in done.stderr
    assert done.returncode in (0, 2), done.stderr.decode()
    ran = tmp_path / "ran"
    assert not ran.exists(), ran.read_text()


def test_the_traps_would_be_sprung(hostile: Path, tmp_path: Path) -> None:
    """Git by itself runs what the repository names: else the test above would show nothing."""
    subprocess.run(
        ["git", "status"],
        cwd=hostile,
        capture_output=True,
        env=surroundings(tmp_path),
        timeout=60,
        check=False,
    )
    assert (tmp_path / "ran").exists()
