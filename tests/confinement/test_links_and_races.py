"""A file that becomes another one between the look at it and its opening, and files that are none."""

from __future__ import annotations

import os
import shutil
import stat
from pathlib import Path

import pytest
from countwheel import api, files
from countwheel.files import Folder, Trouble

SECRET = "secret words\n"


@pytest.fixture
def inside(tmp_path: Path) -> Path:
    """A description's folder with a file in a folder of it, beside something that is no part of it."""
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "going.movement").write_text(SECRET)
    (tmp_path / "inside" / "trains").mkdir(parents=True)
    (tmp_path / "inside" / "trains" / "going.movement").write_text("train going\n")
    return tmp_path / "inside"


def swap_file(inside: Path) -> None:
    (inside / "trains" / "going.movement").unlink()
    (inside / "trains" / "going.movement").symlink_to(inside.parent / "outside" / "going.movement")


def swap_folder(inside: Path) -> None:
    shutil.rmtree(inside / "trains")
    (inside / "trains").symlink_to(inside.parent / "outside")


def swap_pipe(inside: Path) -> None:
    (inside / "trains" / "going.movement").unlink()
    os.mkfifo(inside / "trains" / "going.movement")


def take_away(inside: Path) -> None:
    shutil.rmtree(inside / "trains")


@pytest.mark.parametrize("swap", [swap_file, swap_folder, swap_pipe, take_away])
@pytest.mark.parametrize("how", ["text", "bytes", "digest"])
def test_what_is_swapped_in_after_the_look_is_not_read(
    inside: Path, monkeypatch: pytest.MonkeyPatch, swap: object, how: str
) -> None:
    looked = Folder._inside

    def look_and_swap(folder: Folder, name: str) -> Path:
        found = looked(folder, name)
        swap(inside)  # type: ignore[operator]
        return found

    folder = Folder(inside)
    monkeypatch.setattr(Folder, "_inside", look_and_swap)
    if how == "digest":
        assert folder.digest("trains/going.movement") is None
    else:
        with pytest.raises(Trouble):
            getattr(folder, how)("trains/going.movement")


def test_links_within_the_folder_are_followed(inside: Path) -> None:
    (inside / "other").symlink_to("trains")
    (inside / "again.movement").symlink_to("other/going.movement")
    assert (
        Folder(inside).text("again.movement")
        == Folder(inside).text("other/going.movement")
        == "train going\n"
    )


def test_a_folder_that_lets_through_but_is_not_listed_is_read(inside: Path) -> None:
    (inside / "trains").chmod(stat.S_IXUSR)
    try:
        assert Folder(inside).text("trains/going.movement") == "train going\n"
    finally:
        (inside / "trains").chmod(0o755)


@pytest.mark.parametrize("main", [True, False])
def test_a_description_that_changes_while_it_is_read_is_read_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, main: bool
) -> None:
    """What is told of it fits the text that was read, not the one that stands there by then."""
    whole = 'countwheel 1\ninclude "part.movement"\n'
    (tmp_path / "try.movement").write_text(whole)
    (tmp_path / "part.movement").write_text("train going\n  arbor a\n    wheel 8O\n")
    changing = tmp_path / ("try.movement" if main else "part.movement")
    read = files._read_open

    def read_and_change(number: int) -> bytes:
        data = read(number)
        changing.write_text("")
        return data

    monkeypatch.setattr(files, "_read_open", read_and_change)
    result = api.compile_file(tmp_path / "try.movement")
    monkeypatch.undo()
    if main:
        assert result.sources[result.file].text == whole
    for one in result.diagnostics:
        assert 0 <= one.span.start <= one.span.end <= len(result.sources[one.span.file].text)
