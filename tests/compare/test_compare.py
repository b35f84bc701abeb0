"""Two versions side by side: each change of a line is that fact and no other; what that does to the figures."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from countwheel import api, cli
from countwheel.compare.facts import Change
from countwheel.compare.versions import Comparison
from countwheel.emit import compare_json, compare_text
from test_git import call

jsonschema: Any = pytest.importorskip("jsonschema")
ROOT = Path(__file__).parents[2]
SPECS = sorted(path for path in (ROOT / "specs").glob("*/*.movement") if path.stem == path.parent.name)
DEMO = ROOT / "specs" / "penquay-harbour-office" / "penquay-harbour-office.movement"
TEXT = DEMO.read_text(encoding="utf-8")


def compiled(text: str) -> api.Result:
    return api.check_text(
        text, DEMO.name, lambda name: (DEMO.parent / name).read_text(encoding="utf-8"), working=False
    )


BEFORE = compiled(TEXT)


def compared(text: str) -> Comparison:
    found = api.compare(BEFORE, compiled(text))
    assert found is not None
    return found


def changed(old: str, new: str) -> Comparison:
    assert TEXT.count(old) == 1, old
    return compared(TEXT.replace(old, new))


def told(found: Comparison) -> list[tuple[str, str]]:
    return [(change.kind, change.path) for change in found.facts]


@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_a_clock_beside_itself_is_the_same(path: Path) -> None:
    one, two = api.compile_file(path), api.compile_file(path)
    found = api.compare(one, two)
    assert found is not None
    assert found.same
    assert compare_text.report(found) == "nothing changed\n"


# -- one line, one fact --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("    wheel 80  ", "    wheel 81  ", [("changed", "going.centre.wheel")]),
        ("  frame flatbed\n", "", [("removed", "clock.frame")]),
        ("  frame flatbed\n", '  frame flatbed\n  keeper "a"\n', [("added", "clock.keeper")]),
        ("1.25 s ± 0.00002 s ", "1.25 s ± 0.0001 s ", [("changed", "pendulum.beat")]),
        # the same in other words or another unit, and lines put elsewhere, are no change
        ("  length 61 in ± 1/4 in ", "  length 5 ft 1 in ± 1/4 in ", []),
        ("  frame flatbed\n", "  frame   flatbed   # a comment\n", []),
    ],
)
def test_one_change(old: str, new: str, expected: list[tuple[str, str]]) -> None:
    assert told(changed(old, new)) == expected


def test_what_is_known_better_or_worse_is_told_as_that() -> None:
    line = 'pivot 5/8 in                             measured on 2025-09-19 by "KT"'
    (worse,) = changed(line, 'pivot 5/8 in    told by "KT"').facts
    assert (worse.kind, worse.path, worse.after) == ("less sure", "going.centre.pivot", "told by KT")
    (otherwise,) = changed(line, 'pivot 5/8 in    measured on 2026-01-01 by "KT"').facts
    assert otherwise.kind == "known otherwise"
    back = api.compare(compiled(TEXT.replace(line, 'pivot 5/8 in    told by "KT"')), BEFORE)
    assert back is not None
    assert [change.kind for change in back.facts] == ["surer"]


@pytest.mark.parametrize(
    ("old", "new", "was", "now"),
    [
        ("arbor third\n", "arbor second\n", "going.third", "going.second"),
        ("arbor centre\n", "arbor hour\n", "going.centre", "going.hour"),
    ],
)
def test_a_renamed_part_is_renamed_with_all_that_names_it(old: str, new: str, was: str, now: str) -> None:
    text = TEXT.replace(old, new, 1).replace(f"{was}\n", f"{now}\n").replace(f"{was} ", f"{now} ")
    found = compared(text)
    assert [change for change in found.facts if "expect" not in change.path] == [
        Change("renamed", now, "arbor", was, now)
    ]
    assert found.figures == ()
    assert found.missed == ()


def test_a_fact_that_stands_elsewhere_has_moved() -> None:
    text = TEXT.replace("  frame flatbed\n", "").replace("train going\n", 'train going\n  remark "x"\n', 1)
    assert sorted(told(compared(text))) == [("added", "going.remark"), ("removed", "clock.frame")]
    first = api.check_text("countwheel 1\ntrain going\n  arbor a\n    pivot 7 mm\n  arbor b\n    pinion 8\n")
    second = api.check_text("countwheel 1\ntrain going\n  arbor a\n  arbor b\n    pinion 8\n    pivot 7 mm\n")
    found = api.compare(first, second)
    assert found is not None
    assert [(change.kind, change.before, change.after) for change in found.facts] == [
        ("moved", "going.a.pivot", "going.b.pivot")
    ]


# -- what it does ------------------------------------------------------------------------------


def test_what_a_count_does_to_the_figures() -> None:
    found = changed("    wheel 80  ", "    wheel 81  ")
    shifts = {shift.id: shift for shift in found.figures}
    beats = shifts["going.train.beats_per_hour"]
    assert (beats.before, beats.after, beats.difference, beats.beyond) == ("2880", "2916", 36.0, True)
    torque = shifts["going.third.torque"]
    assert not torque.beyond
    assert found.missed == ("pendulum beats 2880 an hour", "going.escape turns once in 75 s")
    again = api.compare(compiled(TEXT.replace("    wheel 80  ", "    wheel 81  ")), BEFORE)
    assert again is not None
    assert again.kept == found.missed


def test_the_text() -> None:
    text = compare_text.report(changed("    wheel 80  ", "    wheel 81  "))
    assert "  ~ going.centre.wheel  80 (counted on 2025-09-19 by KT) -> 81" in text
    assert "  going.train.beats_per_hour  2880 -> 2916 per h" in text
    assert "expected, and no longer so\n  expect pendulum beats 2880 an hour" in text
    assert "the facts are the same" not in text


def test_the_json_is_as_its_schema_says() -> None:
    made = json.loads(compare_json.dump("a", "b", changed("    wheel 80  ", "    wheel ?  ")))
    jsonschema.Draft202012Validator(compare_json.schema()).validate(made)


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one, two = tmp_path / "one.movement", tmp_path / "two.movement"
    one.write_text("countwheel 1\npendulum\n  beat 1 s\n", encoding="utf-8")
    two.write_text("countwheel 1\npendulum\n  beat 1.5 s\n", encoding="utf-8")
    assert cli.main(["compare", str(one), str(two)]) == 0
    assert "~ pendulum.beat  1 s -> 1.5 s" in capsys.readouterr().out
    assert cli.main(["compare", str(one), str(one)]) == 0
    assert capsys.readouterr().out == "nothing changed\n"
    assert cli.main(["compare", str(one), str(tmp_path / "nowhere.movement")]) == 1


def test_two_folders_are_compared_with_all_that_they_include(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folders = [tmp_path / name / DEMO.parent.name for name in ("before", "after")]
    for folder in folders:
        shutil.copytree(DEMO.parent, folder)
    assert cli.main(["compare", *map(str, folders)]) == 0
    assert capsys.readouterr().out == "nothing changed\n"
    included = folders[1] / "trains" / "chime.movement"
    text = included.read_text(encoding="utf-8")
    included.write_text(text.replace("fitted       2019-06", "fitted       2019-07", 1), encoding="utf-8")
    assert cli.main(["compare", *map(str, folders), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["facts"]
    assert [(one["kind"], one["path"]) for one in told] == [("changed", "chime.barrel.line.fitted")]


def test_the_paper(tmp_path: Path) -> None:
    one, two = tmp_path / "one.movement", tmp_path / "two.movement"
    one.write_text(
        'countwheel 1\nclock "A"\npendulum\n  beat 1 s\nexpect pendulum.beat is 1 s\n', encoding="utf-8"
    )
    two.write_text(
        one.read_text().replace("beat 1 s\n", 'beat 1.5 s told by "A & <B>"\n', 1), encoding="utf-8"
    )
    assert cli.main(["compare", str(one), str(two), "--to", str(tmp_path / "to")]) == 0
    page = (tmp_path / "to" / "compare.html").read_text(encoding="utf-8")
    assert "Facts changed" in page
    assert "1.5 s (told by A &amp; &lt;B&gt;)" in page
    assert "not hold" in page
    assert (tmp_path / "to" / "compare.pdf").read_bytes().startswith(b"%PDF")
    assert cli.main(["compare", str(one), str(one), "--to", str(tmp_path / "same")]) == 0
    assert "Nothing changed" in (tmp_path / "same" / "compare.html").read_text(encoding="utf-8")


GOING = 'countwheel 1\nclock "Try"\ninclude "trains/going.movement"\n'
TRAIN = "train going\n  arbor barrel\n    barrel\n    wheel great {}\n  arbor centre\n    pinion 8\n"


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """Two revisions of a description, whose train stands in a file of its own, and a third count not yet committed."""
    path = tmp_path / "tower" / "try.movement"
    train = path.parent / "trains" / "going.movement"
    train.parent.mkdir(parents=True)
    call(tmp_path, "init", "-q")
    path.write_text(GOING)
    for teeth, name in ((80, "v1"), (96, "v2")):
        train.write_text(TRAIN.format(teeth))
        call(tmp_path, "add", "-A")
        call(tmp_path, "commit", "-q", "-m", name)
        call(tmp_path, "tag", name)
    train.write_text(TRAIN.format(100))
    return path


@pytest.mark.parametrize(
    ("revisions", "before", "after"),
    [
        ("v1..v2", "80", "96"),
        ("v2..v1", "96", "80"),
        ("v1..", "80", "96"),
        ("v1", "80", "100"),
        ("..v1", "96", "80"),
    ],
)
def test_two_revisions_of_one_description(
    kept: Path, capsys: pytest.CaptureFixture[str], revisions: str, before: str, after: str
) -> None:
    for name in (kept, kept.parent):
        assert cli.main(["compare", "--git", revisions, str(name), "--json"]) == 0
        facts = json.loads(capsys.readouterr().out)["facts"]
        assert [(one["path"], one["before"], one["after"]) for one in facts] == [
            ("going.barrel.great", before, after)
        ]


@pytest.mark.parametrize(
    ("revisions", "said"),
    [
        ("v9", "git knows no revision `v9`"),
        ("--all", "git knows no revision `--all`"),
        ("v1..v9", "no revision `v9`"),
    ],
)
def test_a_revision_that_is_not_there_is_told(
    kept: Path, capsys: pytest.CaptureFixture[str], revisions: str, said: str
) -> None:
    assert cli.main(["compare", f"--git={revisions}", str(kept)]) == 1
    told = capsys.readouterr()
    assert said in " ".join((told.out + told.err).split())


def test_nothing_outside_the_folder_is_read_from_a_revision(
    kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (kept.parent.parent / "out.movement").write_text(TRAIN.format(64))
    kept.write_text(GOING.replace("trains/going", "../out"))
    call(kept.parent, "add", "-A")
    call(kept.parent, "commit", "-q", "-m", "v3")
    result = api.compile_revision(kept, "HEAD")
    assert "M004" in {one.code for one in result.diagnostics}


@pytest.mark.parametrize("words", [["a.movement"], ["--git", "v1", "a", "b"], ["--git", "v1...v2", "a"]])
def test_a_wrong_call_is_told(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["compare", *words]) == 2
    assert "--git" in capsys.readouterr().err
