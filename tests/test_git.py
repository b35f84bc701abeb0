"""What git says of a description: told where there is git, never set going by what a repository brings along."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from countwheel import git
from countwheel.model.changes import Changes

NAMES = ("try.movement", "trains/going.movement")
AROUND = {
    "PATH": os.environ["PATH"],
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_AUTHOR_NAME": "KT",
    "GIT_AUTHOR_EMAIL": "kt@penquay.example",
    "GIT_COMMITTER_NAME": "KT",
    "GIT_COMMITTER_EMAIL": "kt@penquay.example",
}


def call(folder: Path, *words: str, day: str = "2026-05-02") -> str:
    moment = {"GIT_AUTHOR_DATE": f"{day}T09:00:00+01:00", "GIT_COMMITTER_DATE": f"{day}T09:00:00+01:00"}
    done = subprocess.run(
        ["git", "-c", "init.defaultBranch=main", *words],
        cwd=folder,
        env=AROUND | moment,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def commit(folder: Path, text: str, subject: str, day: str, name: str = "try.movement") -> str:
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_text(text)
    call(folder, "add", "-A")
    call(folder, "commit", "-q", "-m", subject, day=day)
    return call(folder, "rev-parse", "HEAD")


@pytest.fixture
def tower(tmp_path: Path) -> Path:
    """A work tree with a description in a folder of its own."""
    folder = tmp_path / "tree" / "tower"
    folder.mkdir(parents=True)
    call(folder.parent, "init", "-q")
    return folder


def test_what_has_changed_since_the_last_issue(tower: Path) -> None:
    commit(tower, "one", "Write down the going train", "2026-01-10")
    call(tower, "tag", "issue-1")
    commit(tower, "two", "Count the third wheel again", "2026-02-11")
    last = commit(tower, "three", "Tell of the strike", "2026-03-12", "trains/going.movement")
    commit(tower, "else", "Something else", "2026-04-13", "other.txt")
    found = git.changes(tower, NAMES)
    assert found.revision == last[:10]
    assert (found.issue, found.clean, found.more) == ("issue-1", True, 0)
    assert [(one.on, one.by, one.subject) for one in found.changes] == [
        ("2026-03-12", "KT", "Tell of the strike"),
        ("2026-02-11", "KT", "Count the third wheel again"),
    ]


def test_an_issue_that_is_made_now_tells_what_is_new_in_it(tower: Path) -> None:
    commit(tower, "one", "First", "2026-01-10")
    call(tower, "tag", "issue-1")
    commit(tower, "two", "Second", "2026-02-11")
    call(tower, "tag", "issue-2")
    found = git.changes(tower, NAMES[:1])
    assert (found.issue, [one.subject for one in found.changes]) == ("issue-1", ["Second"])


def test_without_an_issue_everything_is_told_up_to_a_limit(
    tower: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(5):
        commit(tower, str(number), f"Change {number}", f"2026-01-1{number}")
    monkeypatch.setattr(git, "MOST", 3)
    found = git.changes(tower, NAMES[:1])
    assert [one.subject for one in found.changes] == ["Change 4", "Change 3", "Change 2"]
    assert (found.issue, found.more) == ("", 2)


def test_what_is_not_committed_is_seen(tower: Path) -> None:
    commit(tower, "one\n", "First", "2026-01-10")
    assert git.changes(tower, NAMES[:1]).clean
    (tower / "try.movement").write_bytes(b"one\r\n")  # as git itself may write it out
    assert git.changes(tower, NAMES[:1]).clean
    (tower / "try.movement").write_text("two\n")
    assert not git.changes(tower, NAMES[:1]).clean
    (tower / "try.movement").unlink()
    assert not git.changes(tower, NAMES[:1]).clean


@pytest.mark.parametrize("kept", [False, True])
def test_no_account_of_a_file_that_git_does_not_keep(tower: Path, kept: bool) -> None:
    if kept:
        commit(tower, "x", "Something else", "2026-01-10", "other.txt")
    (tower / "try.movement").write_text("one")
    assert git.changes(tower, NAMES[:1]) == git.NONE


def test_outside_a_work_tree_and_without_git(
    tower: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    commit(tower, "one", "First", "2026-01-10")
    (tmp_path / "none").mkdir()
    assert git.changes(tmp_path / "none", NAMES) == git.NONE
    monkeypatch.setenv("PATH", str(tmp_path / "none"))
    assert git.changes(tower, NAMES[:1]) == git.NONE == Changes()


def test_nothing_that_a_repository_brings_along_is_run(tower: Path, tmp_path: Path) -> None:
    commit(tower, "one", "First\x1bred", "2026-01-10")
    ran = tmp_path / "ran"
    trap = tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\ntouch {ran}\ncat\n")
    trap.chmod(0o755)
    for key, value in {
        "core.fsmonitor": trap,
        "core.pager": trap,
        "core.hooksPath": tmp_path,
        "gpg.program": trap,
        "log.showSignature": "true",
        "filter.x.clean": trap,
        "filter.x.smudge": trap,
        "diff.external": trap,
        "core.alternateRefsCommand": trap,
    }.items():
        call(tower, "config", key, str(value))
    (tower.parent / ".gitattributes").write_text("* filter=x diff=x\n")
    (tower / "try.movement").write_text("two")
    found = git.changes(tower, NAMES[:1])
    assert [one.by for one in found.changes] == ["KT"]
    assert not found.clean
    assert not ran.exists()


def test_the_surroundings_do_not_lead_it_to_another_repository(
    tower: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    last = commit(tower, "one", "First", "2026-01-10")
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("GIT_WORK_TREE", str(tmp_path))
    assert git.changes(tower, NAMES[:1]).revision == last[:10]
