"""The only file access there is, and the environment that outputs may depend on.

Everything a description names is read from its own folder, links resolved;
everything written goes whole or not at all into a folder that was named.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import stat
from collections.abc import Collection, Mapping
from datetime import UTC, date, datetime
from itertools import islice
from pathlib import Path
from typing import BinaryIO

MOST_BYTES = 20_000_000  # a description is notes, not a data base; beyond this it is some other file
# What a description can have, its included files and all: some hundred times that of a large one. Beyond these the
# model of it would fill the memory of a small machine.
MOST_LINES = 40_000
MOST_WORDS = 250_000
ENDING = ".movement"


class Trouble(Exception):
    """A file that cannot be read or written: a diagnostic code and why, in a keeper's words."""

    def __init__(self, code: str, why: str) -> None:
        super().__init__(why)
        self.code = code
        self.why = why


class Folder:
    """The folder of a description: nothing outside it is ever read for that description.

    `unsaved` are texts that an editor has open, by their resolved paths: they count, and not what is on the disk.
    """

    def __init__(self, root: Path, unsaved: Mapping[Path, str] | None = None) -> None:
        self.root = root.resolve()
        self.unsaved = unsaved or {}
        self.read_set: list[str] = []

    def _inside(self, name: str) -> Path:
        if "\0" in name:
            raise Trouble("M001", "the name holds a character that no file name can have")
        path = self.root / name
        try:
            resolved = path.resolve()
        except (OSError, RuntimeError):
            raise Trouble("M001", "its links lead round in a ring") from None
        if not resolved.is_relative_to(self.root):
            raise Trouble("M004", "it lies outside the description's own folder")
        return resolved

    def text(self, name: str) -> str:
        """The text of a file, line ends made `\\n`, a byte order mark taken off. Raises Trouble."""
        self.read_set.append(name)
        path = self._inside(name)
        return self.unsaved[path] if path in self.unsaved else decode(_read_inside(self.root, path))

    def bytes(self, name: str) -> bytes:
        self.read_set.append(name)
        return _read_inside(self.root, self._inside(name))

    def mark(self, name: str) -> tuple[int, int, int] | None:
        """What shows that a file was written anew: time of change, size, number; None where it is not there."""
        try:
            found = self._inside(name).stat()
        except (OSError, Trouble):
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino

    def digest(self, name: str) -> str | None:
        """What tells one content of a file from another; None where it cannot be read."""
        try:
            return hashlib.sha256(_read_inside(self.root, self._inside(name))).hexdigest()
        except Trouble:
            return None

    def has(self, name: str) -> bool:
        """Whether a plain file of that name is there. Raises Trouble where the path leaves the folder."""
        try:
            return self._inside(name).is_file()
        except OSError:  # a name that is too long, a folder that lets nobody in
            return False


def _read_inside(root: Path, path: Path) -> bytes:
    """What stands in a file within a folder, whose links are resolved. Raises Trouble.

    It is opened step by step from that folder, and no step follows a link: one that is put in the
    place of a file or folder between the look and the opening leads nowhere.
    """
    if os.open not in os.supports_dir_fd:
        return _read(path)
    *folders, last = path.relative_to(root).parts or (".",)
    at = None
    try:
        at = os.open(root, _FOLDER)
        for name in folders:
            above = at
            at = os.open(name, _FOLDER | os.O_NOFOLLOW, dir_fd=above)
            os.close(above)
        return _read_open(os.open(last, _AT_ONCE | os.O_NOFOLLOW, dir_fd=at))
    except OSError as fault:
        raise _unreadable(fault) from None
    finally:
        if at is not None:
            os.close(at)


# A folder may let those through who cannot list it.
# To open a pipe or a device must not wait until somebody writes to it: what was opened is looked at then.
_FOLDER = getattr(os, "O_PATH", os.O_RDONLY) | getattr(os, "O_DIRECTORY", 0) | getattr(os, "O_CLOEXEC", 0)
_AT_ONCE = (
    os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
)


def _unreadable(fault: OSError) -> Trouble:
    if isinstance(fault, FileNotFoundError):
        return Trouble("M001", "there is no such file")
    if isinstance(fault, IsADirectoryError):
        return Trouble("M001", "it is a folder, not a file")
    return Trouble("M001", (fault.strerror or "it cannot be opened").lower())


def _read(path: Path) -> bytes:
    try:
        if path.is_dir():  # some systems do not open one, and say that it may not be done
            raise Trouble("M001", "it is a folder, not a file")
        return _read_open(os.open(path, _AT_ONCE))
    except ValueError:
        raise Trouble("M001", "the name holds a character that no file name can have") from None
    except OSError as fault:
        raise _unreadable(fault) from None


def _read_open(number: int) -> bytes:
    """What stands in a file that is open, which is closed then. Raises Trouble, and OSError where it cannot be read."""
    try:
        kind = os.fstat(number).st_mode
        if stat.S_ISDIR(kind):
            raise Trouble("M001", "it is a folder, not a file")
        if not stat.S_ISREG(kind):
            raise Trouble("M001", "it is not a plain file")
        handle = os.fdopen(number, "rb")
    except BaseException:
        os.close(number)
        raise
    with handle:
        return read_stream(handle)


def read_stream(stream: BinaryIO) -> bytes:
    """All that comes from an open file or from standard input, up to what a description can have. Raises Trouble."""
    data = stream.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise Trouble("M001", "it is far too large to be a description")
    return data


def read_bytes(path: Path) -> bytes:
    """A file as it is. Raises Trouble."""
    return _read(path)


def read_text(path: Path) -> str:
    """A file's text in UTF-8. Raises Trouble."""
    return decode(_read(path))


def decode(data: bytes) -> str:
    """Bytes as text in UTF-8, line ends made `\\n`. Raises Trouble with where the first wrong byte stands."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise Trouble("M002", "it is in UTF-16; save it as UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise Trouble("M002", f"line {line} holds signs in another encoding; save it as UTF-8") from None
    text = plain_ends(text)
    if too_many(*size_of(text)):
        raise Trouble("M001", f"it has more than {TOO_MANY}, far too many for a description")
    return text


TOO_MANY = f"{MOST_LINES:,} lines or {MOST_WORDS:,} words"


def size_of(text: str) -> tuple[int, int]:
    """The lines and words of a text; words are not counted beyond what a description can have."""
    return text.count("\n"), sum(1 for _ in islice(re.finditer(r"\S+", text), MOST_WORDS + 1))


def too_many(lines: int, words: int) -> bool:
    return lines > MOST_LINES or words > MOST_WORDS


def plain_ends(text: str) -> str:
    """A text with its line ends made `\n`: there are as many lines as before, and each keeps its columns."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def find_description(name: str) -> Path:
    """The description that a command's argument means: the file, or the one in a folder. Raises Trouble."""
    path = Path(name)
    try:
        folder = path.is_dir()
    except OSError as fault:  # a name that is too long, a folder that lets nobody in
        raise _unreadable(fault) from None
    if folder:
        found = sorted(path.glob(f"*{ENDING}"))
        same = [one for one in found if one.stem == path.resolve().name]
        if len(found) == 1 or same:
            return (same or found)[0]
        raise Trouble("M001", f"the folder holds {len(found)} files ending in {ENDING}; name one of them")
    return path


def stem_of(path: Path) -> str:
    """The name of a description's file without its ending; what is put beside others of its kind is called so."""
    stem = path.name.removesuffix(ENDING)
    return stem if stem.strip(".") else "description"


def descriptions_in(folder: Path) -> list[Path]:
    """The files of a folder that end as descriptions do, by name; none where it cannot be read."""
    try:
        return sorted(path for path in folder.glob(f"*{ENDING}") if path.is_file())
    except OSError:
        return []


def not_ours(target: Path, made: Collection[str]) -> str:
    """The first file in the folder `target` that is neither among those `made` now nor in its old manifest; else ''.

    To put a new folder in the place of an old one takes all that was in it away: only our own may go.
    """
    from countwheel.placing import LEFT

    if not target.is_dir():
        return target.name if target.exists() else ""
    try:
        listed = json.loads((target / "manifest.json").read_bytes())["files"]
    except (OSError, ValueError, KeyError, TypeError):
        listed = {}
    ours = {*made, *listed, "manifest.json"}
    there = sorted(path.relative_to(target).as_posix() for path in target.rglob("*") if not path.is_dir())
    return next((name for name in there if name not in ours and not LEFT.fullmatch(Path(name).name)), "")


def write_folder(target: Path, files: Mapping[str, bytes], *, afresh: bool = False) -> None:
    """Puts `files` (name below `target` -> content) in place of the folder `target`, whole or not at all.

    Raises Trouble, and then nothing is changed: also where `target` holds what is neither among `files` nor in its
    own manifest, and, where it is to be made `afresh`, where there is anything.
    """
    from countwheel.placing import Busy, place_folder

    def may_go(found: Path) -> None:
        if afresh and found.exists():
            raise Trouble("M001", f"{target} is there already; nothing was changed")
        kept = not_ours(found, files)
        if kept:
            raise Trouble(
                "M001",
                f"{target} is left as it was: it holds {kept}, which was not built here;"
                " name another folder with --to",
            )

    try:
        place_folder(_led_to(target), files, may_go)
    except (Busy, OSError) as fault:
        raise _unwritten(target, fault) from None


def write_file(
    target: Path, content: bytes, mode: int = 0o666, *, was: bytes | None = None, afresh: bool = False
) -> None:
    """Writes one file whole or not at all, with the permissions of the file that it replaces, else `mode` (less the
    user's own mask). A link is followed: what it leads to is written.

    Raises Trouble, and then nothing is changed: also where the file is not (any more) what it `was`, and, where it is
    to be made `afresh`, where there is one.
    """
    write_files({target: content}, mode, was={} if was is None else {target: was}, afresh=afresh)


def write_files(
    made: Mapping[Path, bytes],
    mode: int = 0o666,
    *,
    was: Mapping[Path, bytes] | None = None,
    afresh: bool = False,
) -> None:
    """Writes several files as `write_file` writes one: none is put in its place before all are on the disk."""
    from countwheel.placing import Busy, place_files

    shown = {_led_to(target): target for target in made}

    def may_go(found: Path) -> None:
        target = shown[found]
        if afresh and found.exists():
            raise Trouble("M001", f"{target} is there already; nothing was changed")
        if was and target in was and _read(found) != was[target]:
            raise Trouble("M001", f"{target} was changed meanwhile: it is left as it is")

    try:
        place_files({found: made[target] for found, target in shown.items()}, mode, may_go)
    except (Busy, OSError) as fault:
        at = fault.target if isinstance(fault, Busy) else Path(fault.filename2 or "")
        raise _unwritten(shown.get(at, next(iter(made))), fault) from None


def _led_to(target: Path) -> Path:
    """Where a name leads, links followed. Raises Trouble."""
    try:
        return target.resolve()
    except (OSError, RuntimeError):
        raise Trouble("M001", f"{target} cannot be written: its links lead round in a ring") from None


def _unwritten(target: Path, fault: Exception) -> Trouble:
    why = (fault.strerror or "no reason given").lower() if isinstance(fault, OSError) else str(fault)
    return Trouble("M001", f"{target} cannot be written: {why}")


def line_end(data: bytes) -> str:
    """The line end of a file's content: that of its first line."""
    first, found, _ = data.partition(b"\n")
    return "\r\n" if found and first.endswith(b"\r") else "\n"


def issue_time() -> int | None:
    """The moment that outputs are dated with, seconds since 1970, from `SOURCE_DATE_EPOCH`;
    None, also for what is no moment before the year 5000, leaves them undated.
    """
    text = os.environ.get("SOURCE_DATE_EPOCH", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 11 else None


def today() -> date:
    """The day: that of `SOURCE_DATE_EPOCH` where it is set, so that what is printed can be made again, else that of
    this machine's clock.
    """
    issued = issue_time()
    return date.today() if issued is None else datetime.fromtimestamp(issued, UTC).date()
