"""Descriptions in several files: what is read, from where, and what a fault in one of them costs."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from countwheel.api import Result, compile_file

MAIN = 'countwheel 1\nclock "Try"\n  place "Nowhere"\n    latitude 50 °N\n'
GOING = "train going\n  arbor a\n    wheel 80\n    rate once an hour\n"


def made(folder: Path, files: dict[str, str], main: str = "try.movement") -> Result:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return compile_file(folder / main)


def told(result: Result) -> list[tuple[str, str, int]]:
    """(code, file name, line) of all but facts that are wanted or waited for."""
    return [
        (one.code, Path(one.span.file).name, result.sources[one.span.file].place(one.span.start).line)
        for one in result.diagnostics
        if one.code not in ("M210", "M604")
    ]


def trains(result: Result) -> list[str]:
    assert result.clock is not None
    return [train.name for train in result.clock.trains]


def test_an_included_file_stands_where_its_line_stands(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {
            "try.movement": MAIN + 'train first\ninclude "trains/going.movement"\ntrain last\n',
            "trains/going.movement": GOING,
        },
    )
    assert told(result) == []
    assert trains(result) == ["first", "going", "last"]
    assert sorted(result.read_set) == ["trains/going.movement", "try.movement"]


def test_names_are_from_the_file_that_includes(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {
            "try.movement": MAIN + 'include "trains/all.movement"\n',
            "trains/all.movement": 'include "going.movement"\ninclude "../other/strike.movement"\n',
            "trains/going.movement": "countwheel 1\n" + GOING,
            "other/strike.movement": "train strike\n",
        },
    )
    assert told(result) == []
    assert trains(result) == ["going", "strike"]


def test_a_fault_is_told_in_its_own_file(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {
            "try.movement": MAIN + 'include "a.movement"\nbell "x"\n  mass 3\n',
            "a.movement": "\n\ntrain going\n  arbor a\n    wheel 8O\n",
        },
    )
    assert sorted(told(result)) == [("M112", "a.movement", 5), ("M301", "try.movement", 7)]


def test_two_facts_that_clash_are_shown_in_both_files(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {"try.movement": MAIN + 'train going\ninclude "a.movement"\n', "a.movement": "train going\n"},
    )
    (fault,) = [one for one in result.diagnostics if one.code == "M401"]
    assert Path(fault.span.file).name == "a.movement"
    assert Path(fault.others[0].span.file).name == "try.movement"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ('include "none.movement"', "M001"),
        ('include "folder"', "M001"),
        ('include ""', "M001"),
        ('include "../outside.movement"', "M004"),
        ('include "folder/../../outside.movement"', "M004"),
        ('include "/etc/passwd"', "M004"),
        ('include "link.movement"', "M004"),
        ('include "linked/outside.movement"', "M004"),
        ('include "loop.movement"', "M001"),
        ('include "latin.movement"', "M002"),
        ('include "utf16.movement"', "M002"),
        ('include "try.movement"', "M003"),
        ('include "./folder/../try.movement"', "M003"),
        ("include going.movement", "M205"),
        ('include "going.movement', "M103"),
        ("include", "M204"),
        ('inclde "going.movement"', "M201"),
        ('include "going.movement" twice', "M207"),
    ],
)
def test_what_cannot_be_included_costs_one_message(tmp_path: Path, line: str, code: str) -> None:
    inside = tmp_path / "inside"
    (inside / "folder").mkdir(parents=True)
    (tmp_path / "outside.movement").write_text(GOING)
    os.symlink(tmp_path / "outside.movement", inside / "link.movement")
    os.symlink(tmp_path, inside / "linked")
    os.symlink(inside / "loop.movement", inside / "loop.movement")
    (inside / "latin.movement").write_bytes("train très\n".encode("latin-1"))
    (inside / "utf16.movement").write_bytes(GOING.encode("utf-16"))
    rest = "\nleading off\n  from going.a\nexpect going lasts at least 8 days\nexpect going.a turns once an hour\n"
    result = made(inside, {"try.movement": MAIN + line + rest, "going.movement": GOING})
    assert told(result)[0] == (code, "try.movement", 5)
    if code != "M003":  # that file was read already, so that its parts are known and may be missed
        assert len(told(result)) == 1


def test_a_ring_is_told_once(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {
            "try.movement": MAIN + 'include "a.movement"\n',
            "a.movement": 'include "b.movement"\ntrain going\n',
            "b.movement": 'include "x/../a.movement"\n',
        },
    )
    assert told(result) == [("M003", "b.movement", 1)]
    assert trains(result) == ["going"]


def test_a_file_included_twice_is_read_once(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {
            "try.movement": MAIN + 'include "a.movement"\ninclude "./a.movement"\n',
            "a.movement": "train going\n",
        },
    )
    assert told(result) == [("M003", "try.movement", 6)]
    assert trains(result) == ["going"]


def test_files_may_not_go_on_including_for_ever(tmp_path: Path) -> None:
    files = {f"{n}.movement": f'include "{n + 1}.movement"\n' for n in range(40)}
    result = made(tmp_path, {"try.movement": MAIN + 'include "0.movement"\n'} | files)
    assert [code for code, *_ in told(result)] == ["M003"]


def test_a_link_inside_the_folder_may_be_followed(tmp_path: Path) -> None:
    made(tmp_path, {"real/going.movement": GOING, "try.movement": MAIN})
    os.symlink("real/going.movement", tmp_path / "going.movement")
    assert told(made(tmp_path, {"try.movement": MAIN + 'include "going.movement"\n'})) == []


def test_an_included_file_without_its_last_line_end(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {"try.movement": MAIN + 'include "a.movement"\ntrain strike\n', "a.movement": GOING.rstrip("\n")},
    )
    assert told(result) == []
    assert trains(result) == ["going", "strike"]


def test_a_block_does_not_go_on_in_the_next_file(tmp_path: Path) -> None:
    result = made(
        tmp_path,
        {
            "try.movement": MAIN + 'train going\ninclude "a.movement"\n',
            "a.movement": "  arbor a\n    wheel 80\n",
        },
    )
    assert ("M102", "a.movement", 1) in told(result)


def test_an_empty_included_file(tmp_path: Path) -> None:
    assert told(made(tmp_path, {"try.movement": MAIN + 'include "a.movement"\n', "a.movement": ""})) == []


@pytest.mark.parametrize("name", ["zwei wörter.movement", "a'b.movement", "{x}.movement", "$HOME.movement"])
def test_names_with_odd_signs(tmp_path: Path, name: str) -> None:
    assert told(made(tmp_path, {"try.movement": MAIN + f'include "{name}"\n', name: "train going\n"})) == []
