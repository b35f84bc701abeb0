"""A keeper's own git: diffs show facts, a commit is looked over, and nothing that is there is overwritten."""

from __future__ import annotations

import itertools
import subprocess
from pathlib import Path

import pytest
from countwheel import cli, starter
from countwheel.source import Source
from countwheel.tidy.check import tidied
from test_git import call, commit

TEXT = """countwheel 1

train going
  arbor third
    pinion 10 counted
    wheel 72 counted on 2026-05-02 by "KT"
  arbor escape
    pinion 12
"""


@pytest.fixture
def tower(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A work tree of a keeper whom git does not know by any other way."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "tree"
    folder.mkdir()
    call(folder, "init", "-q")
    return folder


def test_git_shows_facts(tower: Path) -> None:
    assert cli.main(["git", str(tower)]) == 0
    assert cli.main(["git", str(tower)]) == 0  # again is the same
    assert (tower / ".gitattributes").read_text() == "*.movement diff=countwheel\n"
    commit(tower, TEXT, "First", "2026-01-10")
    commit(tower, TEXT.replace("wheel 72 ", "wheel  73 "), "Count again", "2026-01-11")
    shown = call(tower, "log", "-p", "-1")
    assert "-  wheel  72  (counted on 2026-05-02 by KT)" in shown
    assert "+  wheel  73  (counted on 2026-05-02 by KT)" in shown
    commit(
        tower, TEXT.replace("wheel 72 ", "wheel    73 ").replace("third", "second"), "Rename", "2026-01-12"
    )
    lines = call(tower, "log", "-p", "-1", "-U0").split("\n")
    changed = [line for line in lines if line.startswith(("+", "-")) and not line.startswith(("+++", "---"))]
    assert changed == ["-going.third [arbor]", "+going.second [arbor]"]


def test_a_hunk_names_the_part_that_it_lies_in(tower: Path) -> None:
    cli.main(["git", str(tower)])
    commit(tower, TEXT, "First", "2026-01-10")
    commit(tower, TEXT.replace("wheel 72", "wheel 73"), "Count again", "2026-01-11")
    assert "@@ going.third [arbor]" in call(tower, "log", "-p", "-1", "-U0")


def test_a_broken_text_is_shown_as_it_stands(tower: Path) -> None:
    cli.main(["git", str(tower)])
    commit(tower, TEXT, "First", "2026-01-10")
    commit(tower, TEXT.replace("wheel 72 ", "whee; 72 "), "Spoil it", "2026-01-11")
    assert "+    whee; 72 counted" in call(tower, "log", "-p", "-1")
    (tower / "try.movement").write_bytes(b"countwheel 1\n\xff\xfe\n")
    assert "countwheel 1" in subprocess.run(["git", "diff"], cwd=tower, capture_output=True, check=True).stdout.decode(
        "utf-8", "replace"
    )  # fmt: skip


def test_a_commit_is_looked_over(tower: Path) -> None:
    assert cli.main(["git", str(tower), "--hook"]) == 0
    with pytest.raises(subprocess.CalledProcessError):
        commit(tower, TEXT, "Not in canonical form", "2026-01-10")
    made = 'countwheel 1\n\nclock "Try"\n\npendulum\n  beat 1 s\n'
    commit(tower, made, "In canonical form", "2026-01-10")
    with pytest.raises(subprocess.CalledProcessError):
        commit(tower, made.replace("beat 1 s", "beat 1 kg"), "With an error", "2026-01-11")
    hook = tower / ".git" / "hooks" / "pre-commit"
    hook.write_text("#!/bin/sh\n")
    assert cli.main(["git", str(tower), "--hook"]) == 2
    assert hook.read_text() == "#!/bin/sh\n"


def test_outside_a_work_tree_nothing_is_changed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["git", str(tmp_path)]) == 2
    assert "git init" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


SETS = [list(some) for number in range(4) for some in itertools.combinations(starter.TRAINS, number)]


@pytest.mark.parametrize("trains", SETS, ids=lambda trains: "-".join(trains) or "none")
@pytest.mark.parametrize("dials", [[], ["north"], ["north", "the south one"]])
def test_the_starter_is_in_canonical_form(trains: list[str], dials: list[str]) -> None:
    stem, made = starter.starter("Market Hall clock", trains, dials)
    text = made[f"{stem}.movement"]
    assert tidied(Source("x", text)).text == text


@pytest.mark.parametrize("known", [False, True])
def test_new_with_git(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], known: bool
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    if known:
        (tmp_path / ".gitconfig").write_text("[user]\n  name = KT\n  email = kt@penquay.example\n")
    assert cli.main(["new", "Clock", "--train", "going", "--git", "--in", str(tmp_path)]) == 0
    folder = tmp_path / "clock"
    assert (folder / ".git").is_dir()
    said = capsys.readouterr().out
    if known:
        assert call(folder, "log", "--format=%an %s") == "KT Begin the description"
        assert call(folder, "status", "--porcelain") == ""
    else:
        assert "user.name" in said
        assert call(folder, "rev-list", "--all") == ""
    assert (folder / "README.md").exists()
