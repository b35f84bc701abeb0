"""What is no description at all: nothing, a folder, a device, a pipe, other encodings, a file that goes or changes."""

from __future__ import annotations

import os
import sys
import threading
import unicodedata
from pathlib import Path

import pytest
from cli_running import Call, call, run, tree
from countwheel.api import compile_file
from extreme_running import MOST_MEGABYTES, taken

__all__ = ["call"]  # a fixture

GOOD = 'countwheel 1\n\nclock "Try"\n  place "Penquay"\n    latitude 50 °N\n'
BY_NAME = ("check", "figures", "find", "gaps", "rate", "log", "draw", "manual", "evidence", "replacement", "binder",
           "build", "calendar", "due", "rota", "model", "facts", "tidy", "serve")  # fmt: skip


def refused(call: Call, folder: Path, name: str, why: str) -> None:
    """Every command that takes a description says in words why it cannot be read, and leaves nothing behind."""
    before = tree(folder)
    for command in BY_NAME:
        done = call(command, name, folder=folder)
        said = (done.stdout + done.stderr).decode()
        assert done.returncode in (1, 2), (command, said)
        assert why in said, (command, said)
        assert "Traceback" not in said
    assert tree(folder) == before
    assert not (folder / "out").exists()


def test_a_file_that_is_not_there(call: Call, tmp_path: Path) -> None:
    refused(call, tmp_path, "none.movement", "there is no such file")


def test_a_pipe(call: Call, tmp_path: Path) -> None:
    """Nobody writes to it: to open it as a file is opened would wait for ever."""
    os.mkfifo(tmp_path / "pipe.movement")
    refused(call, tmp_path, "pipe.movement", "not a plain file")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no such device")
@pytest.mark.parametrize("device", ["/dev/zero", "/dev/null", "/dev/random"])
def test_a_device(call: Call, tmp_path: Path, device: str) -> None:
    refused(call, tmp_path, device, "not a plain file")


def test_a_link_to_a_device(call: Call, tmp_path: Path) -> None:
    (tmp_path / "x.movement").symlink_to("/dev/zero")
    done = call("check", "x.movement", folder=tmp_path)
    assert (done.returncode, b"M004" in done.stdout) == (1, True)
    (tmp_path / "try.movement").write_text(GOOD + 'include "x.movement"\nphoto "x.movement"\n')
    done = call("check", "try.movement", folder=tmp_path)
    assert (done.returncode, done.stdout.count(b"M004")) == (1, 2)


def test_standard_input_without_end(tmp_path: Path) -> None:
    """It is read as far as a description goes, and no farther."""
    with open("/dev/zero", "rb") as zeros:
        for words in (("check", "-"), ("tidy", "-")):
            found = taken(*words, folder=tmp_path, stdin=zeros.fileno(), seconds=60)
            assert found.code == 1
            assert "far too large" in found.said
            assert found.megabytes < MOST_MEGABYTES


def test_the_name_of_standard_input(tmp_path: Path) -> None:
    """/dev/stdin is a pipe here, and /dev no folder of a description."""
    done = run("check", "/dev/stdin", folder=tmp_path, said=GOOD.encode())
    assert done.returncode == 1
    assert b"Traceback" not in done.stdout + done.stderr


@pytest.mark.parametrize(
    "name", ["x" * 300, "x" * 5000, "x/" * 3000, "\udcff", "a\nb", "é" * 200], ids=range(6)
)
def test_a_name_that_no_file_has(call: Call, tmp_path: Path, name: str) -> None:
    assert call("check", name, folder=tmp_path).returncode == 1
    (tmp_path / "try.movement").write_text(
        GOOD + 'include "NAME"\nphoto "NAME"\n'.replace("NAME", name), errors="replace"
    )
    done = call("check", "try.movement", folder=tmp_path)
    assert done.returncode in (0, 1)
    assert done.stdout


def test_a_folder_with_no_description_in_it(call: Call, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    done = call("check", "empty", folder=tmp_path)
    assert done.returncode == 1
    assert b"0 files" in done.stdout


def test_a_folder_by_the_name_of_a_description(call: Call, tmp_path: Path) -> None:
    (tmp_path / "x.movement").mkdir()
    (tmp_path / "x.movement" / "y.movement").mkdir()
    assert call("check", "x.movement", folder=tmp_path).returncode == 1
    assert call("check", "x.movement/y.movement", folder=tmp_path).returncode == 1


BYTES: dict[str, tuple[bytes, str]] = {
    "an empty file": (b"", "M006"),
    "blank lines": (b"\n\r\n  \n\t\n", "M006"),
    "a byte order mark": (b"\xef\xbb\xbf" + GOOD.encode(), ""),
    "a byte order mark alone": (b"\xef\xbb\xbf", "M006"),
    "two byte order marks": (b"\xef\xbb\xbf" * 2 + GOOD.encode(), "M005"),
    "a byte order mark in the middle": (GOOD.encode() + b"\xef\xbb\xbftrain going\n", "M005"),
    "UTF-16": (GOOD.encode("utf-16"), "M002"),
    "UTF-16 of the other order": (b"\xfe\xff" + GOOD.encode("utf-16-be"), "M002"),
    "UTF-16 without a mark": (GOOD.encode("utf-16-le"), "M002"),
    "UTF-32": (GOOD.encode("utf-32"), "M002"),
    "Latin-1": (GOOD.encode("latin-1"), "M002"),
    "halves of a pair": (GOOD.encode() + b"\xed\xa0\x80\n", "M002"),
    "an overlong sign": (GOOD.encode() + b"\xc0\xaf\n", "M002"),
    "NUL": (GOOD.encode() + b"train\x00going\n", "M005"),
    "NUL in a note": (GOOD.encode() + b'remark "a\x00b"\n', "M005"),
    "NUL alone": (b"\x00" * 4096, "M005"),
    "mixed line ends": (GOOD.replace("\n", "\r\n", 2).replace("\n  place", "\r  place").encode(), ""),
    "old line ends": (GOOD.replace("\n", "\r").encode(), ""),
    "line ends of other scripts": (GOOD.encode() + "remark \"a\"\u2028remark \"b\"\x85remark \"c\"\n".encode(), "M005"),
    "no line end at the end": (GOOD.rstrip("\n").encode(), ""),
}  # fmt: skip


@pytest.mark.parametrize("what", BYTES)
def test_bytes_that_are_no_plain_text(call: Call, tmp_path: Path, what: str) -> None:
    data, code = BYTES[what]
    (tmp_path / "try.movement").write_bytes(data)
    done = call("check", "try.movement", folder=tmp_path)
    said = done.stdout.decode()
    errors = [line[6:10] for line in said.splitlines() if line.startswith("error ")]
    assert done.returncode == (1 if errors else 0)
    assert code in said if code else not errors, said
    assert "\0" not in said
    result = compile_file(tmp_path / "try.movement")
    for one in result.diagnostics:
        assert 0 <= one.span.start <= one.span.end <= len(result.sources[one.span.file].text), one
    for command in ("tidy", "facts", "model", "build"):
        done = call(command, "try.movement", folder=tmp_path)
        assert b"Traceback" not in done.stdout + done.stderr
        assert done.returncode in (0, 1)
        if command == "tidy" and errors:
            assert (tmp_path / "try.movement").read_bytes() == data
        if errors:
            assert not (tmp_path / "out").exists()


def _of_every_category() -> dict[str, list[str]]:
    """The first, one in the middle and the last letter of each general category of Unicode."""
    found: dict[str, list[str]] = {}
    for number in range(sys.maxunicode + 1):
        found.setdefault(unicodedata.category(chr(number)), []).append(chr(number))
    return {name: [some[0], some[len(some) // 2], some[-1]] for name, some in found.items()}


CATEGORIES = _of_every_category()


@pytest.mark.parametrize("category", sorted(CATEGORIES))
def test_every_category_of_letters(call: Call, tmp_path: Path, category: str) -> None:
    """In a name, in a note, in a comment, in the place of a word, of a number and of a unit; as text on the paper."""
    for letter in CATEGORIES[category]:
        if category == "Cs":  # halves of pairs are no text: as bytes they are refused above
            continue
        lines = (
            f'clock "a{letter}b"\n  keeper "{letter}"\n  history """\n    {letter} and {letter * 3}\n    """\n',
            f'train {letter}\n  arbor x{letter}y\n    wheel 80 counted by "{letter}"\n',
            f"{letter}\n", f"# {letter}\n", f"train t\n  arbor a\n    wheel {letter}\n    pinion 1{letter}0\n",
            f"pendulum\n  beat 1 {letter}\n  half arc 2.0{letter}°\n",
        )  # fmt: skip
        (tmp_path / "try.movement").write_bytes(("countwheel 1\n" + "".join(lines)).encode())
        result = compile_file(tmp_path / "try.movement")
        for one in result.diagnostics:
            assert 0 <= one.span.start <= one.span.end <= len(result.sources[one.span.file].text), one
        done = call("check", "try.movement", folder=tmp_path)
        assert done.returncode in (0, 1)
        if category in ("Cc", "Zl", "Zp") and letter not in "\n\r\t":
            assert letter not in done.stdout.decode().replace("\n", "")


def test_a_file_that_is_written_again_and_again_while_it_is_read(tmp_path: Path) -> None:
    """Cut short, taken away, a folder for a moment: each reading ends in a result about what was read."""
    file, part = tmp_path / "try.movement", tmp_path / "part.movement"
    file.write_text(GOOD + 'include "part.movement"\nphoto "part.movement"\n')
    part.write_text("train going\n")
    ended = threading.Event()

    def change() -> None:
        while not ended.is_set():
            for one, text in (
                (part, "train going\n  arbor a\n    wheel 8O\n" * 40),
                (file, GOOD),
                (part, ""),
            ):
                one.unlink(missing_ok=True)
                one.write_text(text + 'include "part.movement"\n' * (one == file))
            part.unlink()
            part.mkdir()
            part.rmdir()

    changing = threading.Thread(target=change)
    changing.start()
    try:
        for _ in range(30):
            result = compile_file(file)
            for one in result.diagnostics:
                assert 0 <= one.span.start <= one.span.end <= len(result.sources[one.span.file].text), one
    finally:
        ended.set()
        changing.join()


def test_a_file_that_vanishes_between_the_reading_of_its_neighbours(call: Call, tmp_path: Path) -> None:
    """Once it is told as a fault of its own line; the rest of the description stands."""
    (tmp_path / "try.movement").write_text(GOOD + 'include "a.movement"\ntrain strike\n')
    (tmp_path / "a.movement").symlink_to("b.movement")
    done = call("check", "try.movement", folder=tmp_path)
    assert done.returncode == 1
    assert b"try.movement:6:9" in done.stdout
    assert b"no such file" in done.stdout


def test_includes_in_a_ring_and_a_long_row(tmp_path: Path) -> None:
    (tmp_path / "a.movement").write_text(GOOD + 'include "b.movement"\n')
    (tmp_path / "b.movement").write_text('include "c.movement"\n')
    (tmp_path / "c.movement").write_text('include "a.movement"\ninclude "./b.movement"\n')
    told = [one for one in compile_file(tmp_path / "a.movement").diagnostics if one.code == "M003"]
    assert [Path(one.span.file).name for one in told] == ["c.movement", "c.movement"]
    for at in range(400):
        (tmp_path / f"r{at}.movement").write_text(f'include "r{at + 1}.movement"\n')
    assert "M003" in {one.code for one in compile_file(tmp_path / "r0.movement").diagnostics}


def test_many_files_do_not_add_up_to_more_than_one_may_have(tmp_path: Path) -> None:
    """The first files that fit are read; the include line of each other says why it is not."""
    for at in range(4):
        (tmp_path / f"p{at}.movement").write_text("# nothing\n" * 19_000)
    (tmp_path / "try.movement").write_text(GOOD + "".join(f'include "p{at}.movement"\n' for at in range(4)))
    told = [one for one in compile_file(tmp_path / "try.movement").diagnostics if one.code == "M001"]
    assert ["p2.movement" in told[0].message, "p3.movement" in told[1].message, len(told)] == [True, True, 2]
    assert "40,000 lines" in told[0].message
