"""Writing that is stopped at any moment, or fails at any step: the old is there whole, and the next time is clean.

POSIX only: the stop is a SIGKILL of a copy of this process.
"""

from __future__ import annotations

import errno
import os
import signal
import stat
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from countwheel import files
from countwheel.files import Trouble
from kill import ROOT, begin, build, is_whole, killed, sums, two_versions

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="a copy of this process is stopped")

OLD = {"manifest.json": b'{"files": {"a.txt": "", "b/c.txt": "", "gone.txt": ""}}', "a.txt": b"old" * 999}
OLD |= {"b/c.txt": b"old", "gone.txt": b"old"}
NEW = {"manifest.json": b'{"files": {"a.txt": "", "b/c.txt": ""}}', "a.txt": b"new" * 999, "b/c.txt": b"new"}
STEPS = ("open", "os.", "ctypes.")  # events of Python's audit hooks, PEP 578: each touch of the disk


def content(folder: Path) -> dict[str, bytes]:
    return {
        one.relative_to(folder).as_posix(): one.read_bytes() for one in folder.rglob("*") if one.is_file()
    }


def in_a_copy(work: Callable[[], object], at: int, what: Callable[[], object]) -> int:
    """Does `work` in a copy of this process, and `what` at its step `at`; how the copy ended (os.wait).

    Its code is 0 where it was done before that step, 3 where it said that it could not, 4 where it could all the same.
    """
    copy = os.fork()
    if copy:
        return os.waitpid(copy, 0)[1]
    code = 9
    try:
        left = at

        def step(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal left
            if event.startswith(STEPS):
                left -= 1
                if left == 0:
                    what()

        sys.addaudithook(step)
        work()
        code = 0 if left > 0 else 4
    except Trouble:
        code = 3
    finally:
        os._exit(code)


def die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def no_room() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def each_step(
    work: Callable[[], object], what: Callable[[], object], again: Callable[[], None]
) -> Iterator[int]:
    """How the work ended for `what` at each of its steps, until it is done before that step; `again` sets up anew."""
    for at in range(1, 500):
        again()
        ended = in_a_copy(work, at, what)
        yield ended
        if code(ended) == 0:
            assert at > 5, "there were no steps"
            return
    raise AssertionError("it does not end")


def code(ended: int) -> int:
    return os.waitstatus_to_exitcode(ended)


@pytest.mark.parametrize("what", [die, no_room])
def test_a_folder_at_each_step(tmp_path: Path, what: Callable[[], None]) -> None:
    target = tmp_path / "out" / "clock"
    files.write_folder(target, OLD)
    seen = set()
    for ended in each_step(
        lambda: files.write_folder(target, NEW), what, lambda: files.write_folder(target, OLD)
    ):
        there = content(target)
        assert there in (OLD, NEW)
        seen.add(len(there))
        if code(ended) == 3:  # said, not died of: nothing is left beside it
            assert there == OLD
            assert list(target.parent.iterdir()) == [target]
        files.write_folder(target, NEW)
        assert content(target) == NEW
        assert list(target.parent.iterdir()) == [target]
    assert seen == {len(OLD), len(NEW)}


@pytest.mark.parametrize("what", [die, no_room])
def test_a_file_at_each_step(tmp_path: Path, what: Callable[[], None]) -> None:
    target = tmp_path / "clock.movement"
    target.write_bytes(b"old")
    target.chmod(0o640)
    for ended in each_step(
        lambda: files.write_file(target, b"new"), what, lambda: files.write_file(target, b"old")
    ):
        assert target.read_bytes() in (b"old", b"new")
        assert stat.S_IMODE(target.stat().st_mode) == 0o640
        if code(ended) == 3:
            assert list(tmp_path.iterdir()) == [target]
        files.write_file(target, b"new")
        assert list(tmp_path.iterdir()) == [target]


def test_several_files_where_the_room_ends(tmp_path: Path) -> None:
    """A limit on the size of a file fails as a full disk does: write(2), EFBIG beside ENOSPC."""
    import resource

    def limited() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))
        files.write_files({tmp_path / "a.svg": b"new", tmp_path / "b.svg": b"x" * 200_000})

    (tmp_path / "a.svg").write_bytes(b"old")
    assert code(in_a_copy(limited, 999, die)) == 3
    assert content(tmp_path) == {"a.svg": b"old"}


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere two renamings may be needed")
def test_the_place_is_never_empty(tmp_path: Path) -> None:
    target = tmp_path / "clock"
    files.write_folder(target, OLD)

    def many() -> None:
        for number in range(60):
            files.write_folder(target, NEW if number % 2 else OLD)

    copies = []
    for _ in range(2):
        copy = os.fork()
        if not copy:
            try:
                many()
                os._exit(0)
            finally:
                os._exit(1)
        copies.append(copy)
    ended: list[int] = []
    while len(ended) < 2:
        assert (target / "manifest.json").exists()
        done, how = os.waitpid(-1, os.WNOHANG)
        if done in copies:
            ended.append(code(how))
    assert ended == [0, 0]
    assert content(target) in (OLD, NEW)
    assert list(tmp_path.iterdir()) == [target]


def test_what_is_at_work_elsewhere_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fcntl = pytest.importorskip("fcntl")
    from countwheel import placing

    monkeypatch.setattr(placing, "PATIENCE", 0.05)
    held = os.open(tmp_path, os.O_RDONLY)
    fcntl.flock(held, fcntl.LOCK_EX)
    with pytest.raises(Trouble, match="another countwheel is writing there"):
        files.write_file(tmp_path / "a.txt", b"new")
    with pytest.raises(Trouble, match="another countwheel is writing there"):
        files.write_folder(tmp_path / "a", NEW)
    os.close(held)
    assert list(tmp_path.iterdir()) == []


# -- the file that is replaced -------------------------------------------------------------
def test_a_link_stays_one(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "a.movement", tmp_path / "a.movement"
    real.write_bytes(b"old")
    link.symlink_to(real)
    files.write_file(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"


def test_what_is_not_replaced(tmp_path: Path) -> None:
    ring, pipe, kept = tmp_path / "ring", tmp_path / "pipe", tmp_path / "kept"
    ring.symlink_to(ring)
    os.mkfifo(pipe)
    kept.write_bytes(b"mine")
    for target in (ring, pipe, tmp_path, kept / "below"):
        with pytest.raises(Trouble, match="cannot be written"):
            files.write_file(target, b"new")
    with pytest.raises(Trouble, match="was changed meanwhile"):
        files.write_file(kept, b"new", was=b"other")
    with pytest.raises(Trouble, match="there already"):
        files.write_file(kept, b"new", afresh=True)
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["kept", "pipe", "ring"]
    assert kept.read_bytes() == b"mine"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everything")
def test_without_permission(tmp_path: Path) -> None:
    shut = tmp_path / "shut.movement"
    shut.write_bytes(b"mine")
    shut.chmod(0o400)
    with pytest.raises(Trouble, match="permission denied"):
        files.write_file(shut, b"new")
    tmp_path.chmod(0o500)
    for write in (
        lambda: files.write_file(tmp_path / "a", b""),
        lambda: files.write_folder(tmp_path / "b", NEW),
    ):
        with pytest.raises(Trouble, match="permission denied"):
            write()
    tmp_path.chmod(0o700)
    assert content(tmp_path) == {"shut.movement": b"mine"}


def test_what_nobody_else_may_see_stays_so(tmp_path: Path) -> None:
    before = os.umask(0o077)
    try:
        files.write_folder(tmp_path / "clock", NEW)
        files.write_file(tmp_path / "a.txt", b"")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "clock").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "a.txt").stat().st_mode) == 0o600
    files.write_folder(tmp_path / "clock", NEW)
    assert stat.S_IMODE((tmp_path / "clock").stat().st_mode) == 0o700


# -- the command itself --------------------------------------------------------------------
SMALL = ROOT / "specs" / "skarnhove-chapel" / "skarnhove-chapel.movement"


def test_build_killed_at_random_moments(tmp_path: Path) -> None:
    assert killed(4, 20260502, tmp_path, SMALL)["old"] > 0


def test_two_builds_at_once_do_not_mix(tmp_path: Path) -> None:
    first, second = two_versions(tmp_path, SMALL)
    out = tmp_path / "out"
    out.mkdir()
    wholes = []
    for path in (first, second):
        build(path, out)
        wholes.append(sums(out / SMALL.stem))
    both = [begin(first, out), begin(second, out)]
    for one in both:
        _, said = one.communicate(timeout=100)
        assert one.returncode == 0, said
    is_whole(out / SMALL.stem)
    assert sums(out / SMALL.stem) in wholes
    assert list(out.iterdir()) == [out / SMALL.stem]


def test_a_copy_that_was_stopped_is_not_waited_for(tmp_path: Path) -> None:
    """The lock ends with the program that held it."""
    target = tmp_path / "clock"
    files.write_folder(target, OLD)
    start = time.monotonic()
    in_a_copy(lambda: files.write_folder(target, NEW), 12, die)
    files.write_folder(target, NEW)
    assert time.monotonic() - start < 20
