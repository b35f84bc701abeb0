"""The canonical form: it says the same, keeps every comment, and is its own canonical form."""

from __future__ import annotations

import io
import json
import os
import random
import re
import sys
from pathlib import Path
from typing import Any

import pytest
from countwheel import api, cli
from countwheel.emit import model_json
from countwheel.project import parse
from countwheel.source import Source
from countwheel.tidy.check import Tidied, tidied

ROOT = Path(__file__).parents[2]
FILES = sorted([*ROOT.glob("specs/*/*.movement"), *ROOT.glob("specs/*/*/*.movement")])
FILES += sorted(
    [*ROOT.glob("tests/outside/clocks/*.movement"), ROOT / "tests" / "cases" / "example.movement"]
)


def tidy(text: str) -> Tidied:
    return tidied(Source("x.movement", text))


def canonical(text: str) -> str:
    made = tidy(text).text
    assert made is not None
    return made


def comments(text: str) -> list[str]:
    tree, _ = parse(Source("x", text))
    found = [comment for line in tree.walk() for comment in (*line.comments, line.comment) if comment]
    return sorted([*found, *tree.tail])


def facts(text: str) -> Any:
    """The model without the places of its facts in the text."""
    clock = api.check_text(text).clock
    assert clock is not None

    def bare(part: Any) -> Any:
        if isinstance(part, dict):
            return {key: bare(value) for key, value in part.items() if key not in ("span", "word_span")}
        return [bare(inner) for inner in part] if isinstance(part, list) else part

    return bare(json.loads(model_json.dump(clock))["facts"])


@pytest.fixture(params=FILES, ids=lambda path: path.stem)
def text(request: pytest.FixtureRequest) -> str:
    path: Path = request.param
    return path.read_text(encoding="utf-8")


# -- what must hold of every file --------------------------------------------------------


def test_it_says_the_same_and_keeps_every_comment(text: str) -> None:
    made = canonical(text)
    assert comments(made) == comments(text)
    assert facts(made) == facts(text)


def test_twice_is_once(text: str) -> None:
    made = canonical(text)
    assert canonical(made) == made


def spoilt(text: str, dice: random.Random) -> str:
    """The same lines with other depths, gaps and blank lines, and with more comments."""
    step = dice.choice((1, 2, 3, 4, 7))
    rows, block = [], False
    for row in text.split("\n"):
        opens = row.count('"""') == 1
        bare = row.lstrip(" ")
        depth = (len(row) - len(bare)) // 2
        if not (block or opens or not bare or re.match(r"\d{4}-", bare)):
            pieces = re.split(r'("[^"]*"|#.*)', bare)
            wide = [re.sub(" +", " " * dice.choice((1, 2, 5)), piece) if at % 2 == 0 else piece
                    for at, piece in enumerate(pieces)]  # fmt: skip
            bare = "".join(wide)
        if bare and not block and dice.random() < 0.1:
            rows.append(" " * dice.randrange(9) + f"# a remark {dice.randrange(1000)}")
        if block and not opens:
            rows.append(
                " " * (step * depth + len(row) - len(row.lstrip(" ")) - 2 * depth) + row.lstrip(" ")
                if bare
                else ""
            )
        else:
            rows.append(" " * (step * depth) + bare + " " * dice.choice((0, 0, 3)))
        block ^= opens
    return "\n".join(rows)


@pytest.mark.parametrize("seed", range(3))
def test_however_it_is_spaced(text: str, seed: int) -> None:
    other = spoilt(text, random.Random(seed))
    made = tidy(other)
    if made.text is None:  # where the depths of a text block came out otherwise
        assert made.faults
        return
    assert comments(made.text) == comments(other)
    assert canonical(made.text) == made.text
    # what was put in between are comments alone
    bare = [row for row in made.text.split("\n") if row.strip() and not row.strip().startswith("# a remark")]
    assert [row.split() for row in bare] == [
        row.split() for row in canonical(text).split("\n") if row.strip()
    ]


# -- how it looks ----------------------------------------------------------------------------

BEFORE = """countwheel 1
# the quay's
clock   "x"
   place "y"
      latitude 50 °N
      above sea   22 m   copied from "map"


      time zone Europe/London   # summer time


train going
   arbor barrel   # the slow one
      barrel
         diameter 10 1/4 in ± 1/16 in measured on 2026-05-02 by "KT"
         turns of line 17     counted
         line steel wire rope
            diameter    6 mm
         weight 2 cwt 3 qr 4 lb  stamped
      wheel great 144
   no maintaining power
# the end
"""
AFTER = """countwheel 1

# the quay's
clock "x"
  place "y"
    latitude  50 °N
    above sea 22 m                           copied from "map"

    time zone Europe/London                  # summer time

train going
  arbor barrel                               # the slow one
    barrel
      diameter      10 1/4 in ± 1/16 in      measured on 2026-05-02 by "KT"
      turns of line 17                       counted
      line          steel wire rope
        diameter 6 mm
      weight        2 cwt 3 qr 4 lb          stamped
    wheel great 144
  no maintaining power
# the end
"""


def test_an_example() -> None:
    assert canonical(BEFORE) == AFTER


def test_a_comment_stays_in_the_block_that_it_was_written_in() -> None:
    text = (
        "countwheel 1\n\ntrain going\n    arbor a\n        fly\n            # vanes 2\n    # of the train\n"
        "    arbor b\n        pinion 8\n        # of b\n\n# of the file\npendulum\n    beat 1 s\n    # last\n# tail\n"
    )
    assert canonical(text) == (
        "countwheel 1\n\ntrain going\n  arbor a\n    fly\n      # vanes 2\n  # of the train\n"
        "  arbor b\n    pinion 8\n    # of b\n\n# of the file\npendulum\n  beat 1 s\n  # last\n# tail\n"
    )


def test_parts_of_one_line_and_one_word_may_stand_close() -> None:
    text = "countwheel 1\n\nexpect a\nexpect b\n\nexpect c\npendulum\n  beat 1 s\n"
    assert canonical(text) == text.replace("c\np", "c\n\np")


def test_what_was_written_as_one_word_stays_one() -> None:
    """Though it is read as a number and what follows it, as a size of rope may be."""
    text = "countwheel 1\n\nclock\n  made 1e9x19M  about   12foo\n"
    made = canonical(text)
    assert made.endswith("made 1e9x19M about 12foo\n")
    read = api.check_text(made).clock
    assert read is not None
    node = next(node for node in read.root.walk() if node.word == "made")
    assert node.text() == "1e9x19M about 12foo"


def test_tasks_stand_under_one_another() -> None:
    text = "care\n  oil every 3 months\n  test every end switch every 6 months\n"
    assert canonical(text) == (
        "care\n  oil                    every 3 months\n  test every end switch  every 6 months\n".replace(
            "switch  ", "switch "
        ).replace("oil                    ", "oil                   ")
    )


def test_a_text_keeps_its_lines() -> None:
    text = (
        'countwheel 1\n\nclock "x"\n     history """\n        One.\n\n          # no comment\n        """\n'
    )
    assert canonical(text) == (
        'countwheel 1\n\nclock "x"\n  history """\n    One.\n\n      # no comment\n    """\n'
    )


def test_the_log_stays_as_it_was_written() -> None:
    entry = "  2026-05-02 09:00   found 12 s fast, left right    at 11 °C"
    assert entry in canonical(f"countwheel 1\nlog\n{entry}\n")


@pytest.mark.parametrize("text", ["", "\n\n", "# only this\n"])
def test_a_file_without_facts(text: str) -> None:
    assert canonical(text) == text.strip("\n") + ("\n" if text.strip() else "")


# -- what is refused ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        'clock "x\n',
        "clock x\n\tplace y\n",
        "train going\n      arbor a\n   arbor b\n  arbor c\n",
        'clock "x"\n  history """\n  never closed\n',
        "pendulum\n  length 1,5 m\n",
    ],
)
def test_what_cannot_be_read_whole_is_refused(text: str) -> None:
    made = tidy(text)
    assert made.text is None
    assert made.faults


# -- the command ---------------------------------------------------------------------------------


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "x.movement"
    made.write_text(BEFORE, encoding="utf-8")
    return made


def test_it_is_written_in_place_with_its_permissions(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path.chmod(0o640)
    assert cli.main(["tidy", str(path)]) == 0
    assert path.read_text(encoding="utf-8") == AFTER
    assert path.stat().st_mode & 0o777 == 0o640
    assert capsys.readouterr().out == f"{path}: put in canonical form\n"
    assert cli.main(["tidy", str(path)]) == 0
    assert capsys.readouterr().out == ""
    assert [one.name for one in path.parent.iterdir()] == ["x.movement"]


def test_check_and_diff_write_nothing(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["tidy", str(path), "--check"]) == 1
    assert cli.main(["tidy", str(path), "--diff"]) == 0
    printed = capsys.readouterr().out
    assert "not in canonical form" in printed
    assert '\n+clock "x"\n' in printed
    assert path.read_text(encoding="utf-8") == BEFORE
    path.write_text(AFTER, encoding="utf-8")
    assert cli.main(["tidy", str(path), "--check"]) == 0


def test_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(BEFORE.encode()), encoding="utf-8"))
    assert cli.main(["tidy", "-"]) == 0
    assert capsys.readouterr().out == AFTER


def test_line_ends_and_links_stay(path: Path) -> None:
    path.write_bytes(BEFORE.replace("\n", "\r\n").encode())
    link = path.with_name("link.movement")
    link.symlink_to(path)
    assert cli.main(["tidy", str(link)]) == 0
    assert link.is_symlink()
    assert path.read_bytes() == AFTER.replace("\n", "\r\n").encode()


def test_a_folder_means_all_that_is_included(tmp_path: Path) -> None:
    folder = tmp_path / "clock"
    folder.mkdir()
    (folder / "clock.movement").write_text('countwheel 1\ninclude "more.movement"\n', encoding="utf-8")
    (folder / "more.movement").write_text("pendulum\n    beat   1 s\n", encoding="utf-8")
    assert cli.main(["tidy", str(folder)]) == 0
    assert (folder / "more.movement").read_text(encoding="utf-8") == "pendulum\n  beat 1 s\n"


def test_a_file_with_an_error_is_not_touched(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path.write_text('clock "x\n', encoding="utf-8")
    assert cli.main(["tidy", str(path)]) == 1
    said = capsys.readouterr().err
    assert "M103" in said
    assert "not touched" in said
    assert path.read_text(encoding="utf-8") == 'clock "x\n'
    assert cli.main(["tidy", str(path.with_name("nowhere.movement"))]) == 1


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to root")
def test_a_folder_that_cannot_be_written(path: Path) -> None:
    path.parent.chmod(0o500)
    assert cli.main(["tidy", str(path)]) == 1
    assert path.read_text(encoding="utf-8") == BEFORE
