"""Runs the command line in a process that writes down, as JSON lines, what it asks of the system.

`python watched.py RECORD [--no-network] ARGUMENTS...`. Python's audit hooks (PEP 578) see every file opened, every
change of a folder, every program started and every socket, also those of copies of the process. With `--no-network`
a socket is refused as well.
"""

from __future__ import annotations

import json
import os
import socket
import sys
from typing import Any

_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_CHANGES = {  # event -> which of its arguments are paths, which the number of the folder that they are taken from
    "os.mkdir": ((0,), (2,)),
    "os.rmdir": ((0,), (1,)),
    "os.remove": ((0,), (1,)),
    "os.rename": ((0, 1), (2, 3)),
    "os.link": ((0, 1), (2, 3)),
    "os.symlink": ((1,), (2,)),
    "os.truncate": ((0,), ()),
    "os.chmod": ((0,), (2,)),
    "os.chown": ((0,), (3,)),
    "os.utime": ((0,), (3,)),
}
_STARTS = frozenset(
    {"subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.startfile", "pty.spawn"}
)


def _where(path: object, folder: object = None) -> str:
    """A path whole, its links resolved, all but the last; that of the file for the number of an open one."""
    if isinstance(path, int):
        return os.path.realpath(f"/proc/self/fd/{path}")
    name = os.fsdecode(path)  # type: ignore[arg-type]
    if isinstance(folder, int) and folder >= 0 and not os.path.isabs(name):
        name = os.path.join(os.readlink(f"/proc/self/fd/{folder}"), name)
    above, last = os.path.split(os.path.abspath(name))
    return os.path.join(os.path.realpath(above), last)


def _told(event: str, given: tuple[Any, ...]) -> dict[str, Any] | None:
    if event == "open":
        path, _mode, flags = given
        if path is None or isinstance(path, int):
            return None
        return {"event": "write" if flags & _WRITES else "read", "paths": [_where(path)]}
    if event in _CHANGES:
        paths, folders = _CHANGES[event]
        bases = [given[at] for at in folders if at < len(given)] or [None]
        return {
            "event": event,
            "paths": [
                _where(given[at], bases[min(number, len(bases) - 1)]) for number, at in enumerate(paths)
            ],
        }
    if event in _STARTS:
        program, words = (given[0], given[1]) if len(given) > 1 else (given[0], [])
        return {"event": event, "program": str(program), "words": [str(word) for word in words or ()]}
    if event.startswith("socket."):
        # the first of the rest is the family of a new socket
        return {"event": event, "given": [one if isinstance(one, int) else str(one) for one in given[1:]]}
    return None


def watch(record: str, network: bool) -> None:
    out = os.open(record, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    from_folder = os.open
    busy = False

    def opened(path: Any, flags: int, mode: int = 0o777, *, dir_fd: int | None = None) -> int:
        """As `os.open`, whose event does not tell the folder that a path is taken from."""
        nonlocal busy
        if dir_fd is None:
            return from_folder(path, flags, mode)
        told = {"event": "write" if flags & _WRITES else "read", "paths": [_where(path, dir_fd)]}
        os.write(out, (json.dumps(told) + "\n").encode())
        busy = True
        try:
            return from_folder(path, flags, mode, dir_fd=dir_fd)
        finally:
            busy = False

    os.open = opened
    os.supports_dir_fd.add(opened)

    def hook(event: str, given: tuple[Any, ...]) -> None:
        nonlocal busy
        if busy:
            return
        busy = True
        try:
            told = _told(event, given)
            if told is not None:
                os.write(out, (json.dumps(told) + "\n").encode())
        finally:
            busy = False
        if not network and event.startswith("socket.") and given[1:2] != (socket.AF_UNIX,):
            raise PermissionError(f"no network: {event}")

    sys.addaudithook(hook)


if __name__ == "__main__":
    _, record, *words = sys.argv
    without = words[:1] == ["--no-network"]
    watch(record, not without)
    sys.argv = ["countwheel", *words[without:]]
    from countwheel import cli

    cli.run()
