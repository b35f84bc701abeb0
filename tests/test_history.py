"""What each revision did to the facts, by real git in folders made for it."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from countwheel import api, git, history
from countwheel.history import differing
from countwheel.model.changes import FactChange

START = """countwheel 1

clock "Trial clock"
  owner "Trial Board"

train going
  arbor centre
    wheel  80   counted
    pinion 12
"""


def commit(folder: Path, name: str, text: str | None, subject: str) -> None:
    if text is None:
        (folder / name).unlink()
    else:
        (folder / name).write_text(text, encoding="utf-8")
    run(folder, "add", "-A")
    run(folder, "-c", "user.name=KT", "-c", "user.email=kt@example.org", "commit", "-qm", subject)


def run(folder: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=folder, check=True, capture_output=True)


@pytest.fixture
def tower(tmp_path: Path) -> Path:
    run(tmp_path, "init", "-q")
    commit(tmp_path, "trial.movement", START, "Begin")
    return tmp_path


def told(folder: Path) -> list[tuple[FactChange, ...] | None]:
    found = git.changes(folder, ["trial.movement"])
    return [one.facts for one in history.with_facts(folder, ["trial.movement"], found).changes]


def test_each_revision_has_its_facts_the_newest_first(tower: Path) -> None:
    commit(tower, "trial.movement", START.replace("80", "81"), "Count again")
    commit(
        tower, "trial.movement", START.replace("80", "81").replace("Trial Board", "Quay Board"), "New owner"
    )
    assert told(tower) == [
        (FactChange("changed", "clock.owner", "Trial Board", "Quay Board"),),
        (FactChange("changed", "going.centre.wheel", "80 (counted)", "81 (counted)"),),
        None,  # where it begins there is nothing to set it beside
    ]


def test_a_comment_changes_no_fact_and_a_new_name_is_one(tower: Path) -> None:
    commit(tower, "trial.movement", START.replace("counted", "counted # twice"), "Say how")
    commit(tower, "trial.movement", START.replace("arbor centre", "arbor hour"), "Call it as the keeper does")
    renamed, commented, _ = told(tower)
    assert [one.kind for one in renamed or ()] == ["renamed"]
    assert commented == ()


def test_lines_of_the_log_are_counted(tower: Path) -> None:
    log = "\nlog\n  2026-05-01 09:00  found right  wound\n"
    commit(tower, "trial.movement", START + log, "Begin the log")
    commit(tower, "trial.movement", f"{START}{log}  2026-05-08 09:00  found 2 s fast  wound\n", "A week")
    assert told(tower)[0] == (FactChange("entries", "log", "", "1"),)


def test_what_is_no_text_or_too_much_is_left_out(tower: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tower / "trial.movement").write_bytes(b"\xff\xfe\x00")
    run(tower, "add", "-A")
    run(tower, "-c", "user.name=KT", "-c", "user.email=kt@example.org", "commit", "-qm", "Spoil")
    commit(tower, "trial.movement", START.replace("80", "82"), "Mend")
    assert told(tower)[:2] == [None, None]
    commit(tower, "trial.movement", START.replace("80", "83"), "Count")
    monkeypatch.setattr(history, "LETTERS", 10)
    assert told(tower)[0] is None


def test_only_parts_that_differ_are_read() -> None:
    old = 'clock "a"\n  owner "b"\n# remark\ntrain going\n  arbor centre\n    wheel 80\ndial north\n'
    assert differing(old, old) == ("", "")
    assert differing(old, old.replace("80", "81")) == (
        "train going\n  arbor centre\n    wheel 80\n",
        "train going\n  arbor centre\n    wheel 81\n",
    )
    text = 'clock "a"\n  history """\ntrain going\n  """\ndial north\n'
    assert differing(text, text.replace("dial north", "dial east")) == ("dial north\n", "dial east\n")


def test_the_binder_tells_it_and_names_nobody_unless_asked(tower: Path) -> None:
    from countwheel import outputs
    from countwheel.emit.traversal import plain

    commit(tower, "trial.movement", START.replace("80", "81"), "Count again")
    result = api.compile_file(tower / "trial.movement")
    for contacts in (False, True):
        tabs = outputs.binder(result, contacts=contacts).tabs
        page = plain(next(tab for tab in tabs if tab.id == "changes"))
        assert "going.centre.wheel" in page
        assert "Count again" in page
        assert ("KT" in page) == contacts
