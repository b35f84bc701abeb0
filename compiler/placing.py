"""New files and folders put in the place of old ones, whole or not at all: a stop at any moment leaves either.

What is new is written beside the old one and put in its place by renaming; a single file is waited for until the disk
has it, a folder of what was built is not, as it can be built again. Meanwhile the folder
around it is locked, so that two of us at once do not mix, and what one that was killed has left can be told from what
one at work is writing: it is cleared away.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import re
import secrets
import stat
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

#: The name of what is not finished: which target it is for, and eight letters by chance.
LEFT = re.compile(r"\.countwheel-[0-9a-f]{16}-[0-9a-f]{8}")
PATIENCE = 30.0  # seconds that we wait for another one of us, who needs a part of one
_AT_FDCWD, _EXCHANGE = -100, 2  # linux/fcntl.h, linux/fs.h

MayGo = Callable[[Path], None]


class Busy(Exception):
    """Another one of us writes there."""

    def __init__(self, target: Path) -> None:
        super().__init__("another countwheel is writing there; try again when it is done")
        self.target = target


def place_folder(target: Path, files: Mapping[str, bytes], may_go: MayGo) -> None:
    """Puts a folder of `files` in the place of `target` (an absolute path without links), or makes it.

    `may_go` is asked just before, and stops it by raising. Raises OSError and Busy.
    """
    import shutil

    target.parent.mkdir(parents=True, exist_ok=True)
    with _alone_in(target.parent, target):
        may_go(target)
        _clear(target)
        fresh = _beside(target)
        try:
            fresh.mkdir()  # with the user's own mask: a folder that nobody else may look into stays one
            for name, content in files.items():
                path = fresh / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            if target.is_dir():
                fresh.chmod(stat.S_IMODE(target.stat().st_mode))
            _swap(fresh, target)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)


def place_files(made: Mapping[Path, bytes], mode: int, may_go: MayGo) -> None:
    """Puts each content in its place (an absolute path without links), all on the disk before the first is moved.

    Raises OSError, whose second file name is the target, and Busy.
    """
    for parent in sorted({target.parent for target in made}):
        parent.mkdir(parents=True, exist_ok=True)
        ours = {target: content for target, content in made.items() if target.parent == parent}
        with _alone_in(parent, next(iter(ours))), contextlib.ExitStack() as after:
            ready: dict[Path, Path] = {}
            for target, content in ours.items():
                try:
                    may_go(target)
                    _clear(target)
                    ready[target] = fresh = _beside(target)
                    after.callback(fresh.unlink, missing_ok=True)
                    _write(fresh, content, target, mode)
                except OSError as fault:
                    fault.filename2 = str(target)
                    raise
            for target, fresh in ready.items():
                fresh.replace(target)
            _to_disk(parent)


def _write(fresh: Path, content: bytes, target: Path, mode: int) -> None:
    """A file like the one in whose place it will be put: its permissions and, where we may, its owner."""
    old = target.stat() if target.exists() else None
    if old is not None and not stat.S_ISREG(old.st_mode):
        raise OSError(errno.EINVAL, "it is not a plain file")
    if old is not None and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode if old is None else 0o600)
    with os.fdopen(handle, "wb") as stream:
        stream.write(content)
        stream.flush()
        if old is not None:
            if (old.st_uid, old.st_gid) != _owner(fresh):
                with contextlib.suppress(OSError, AttributeError):
                    os.chown(fresh, old.st_uid, old.st_gid)
            os.chmod(fresh, stat.S_IMODE(old.st_mode))
        os.fsync(stream.fileno())


def _owner(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_uid, found.st_gid


def _swap(fresh: Path, target: Path) -> None:
    """Puts `fresh` in the place of `target`; what was there is then in that of `fresh`, or gone."""
    if not target.exists():
        fresh.rename(target)
        return
    if _exchanged(fresh, target):
        return
    # Without an exchange there is a moment between two renamings at which nothing is there.
    old = _beside(target)
    target.rename(old)
    try:
        fresh.rename(target)
    except OSError:
        old.rename(target)
        raise
    import shutil

    shutil.rmtree(old, ignore_errors=True)


def _exchanged(one: Path, other: Path) -> bool:
    """Lets two paths change places at once; False where the system or the disk cannot."""
    if sys.platform not in ("linux", "darwin"):
        return False
    import ctypes

    first, second = os.fsencode(one), os.fsencode(other)
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "linux":  # renameat2(2)
            return bool(library.renameat2(_AT_FDCWD, first, _AT_FDCWD, second, _EXCHANGE) == 0)
        return bool(library.renamex_np(first, second, _EXCHANGE) == 0)  # RENAME_SWAP is 2 too
    except (AttributeError, OSError):
        return False


def _beside(target: Path) -> Path:
    return target.with_name(f"{_mark(target)}{secrets.token_hex(4)}")


def _mark(target: Path) -> str:
    return f".countwheel-{hashlib.sha256(os.fsencode(target.name)).hexdigest()[:16]}-"


def _clear(target: Path) -> None:
    """Takes away what was not finished for this target: nobody is at work on it, as we hold the lock."""
    import shutil

    mark = _mark(target)
    for path in target.parent.iterdir():
        if path.name.startswith(mark) and LEFT.fullmatch(path.name):
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)


def _to_disk(folder: Path) -> None:
    """Waits until the names in a folder are on the disk, where the system can."""
    with contextlib.suppress(OSError):  # Windows opens no folder
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextlib.contextmanager
def _alone_in(folder: Path, target: Path) -> Iterator[None]:
    """Holds the lock of a folder, which ends with the program that holds it, however that ends. Raises Busy.

    Where folders cannot be locked (Windows, some disks of a network) we go on without.
    """
    try:
        import fcntl
    except ImportError:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        until = time.monotonic() + PATIENCE
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                if time.monotonic() > until:
                    raise Busy(target) from None
                time.sleep(0.01)
                continue
            except OSError:
                pass
            break
        yield
    finally:
        os.close(handle)
