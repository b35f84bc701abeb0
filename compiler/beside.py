"""Work done beside the rest on another core: in a copy of the program as it is, since threads of Python share one.

Where no copy can be made (another system, one core, a program that runs threads), the work is done when it is asked
for; what it gives is the same.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable
from typing import Any, Generic, TypeVar, cast

T = TypeVar("T")
_wanted = True


class beside(Generic[T]):
    """Begins `work`; to call what is made waits for it and gives what it gave, each time it is called.

    Work that is asked for `late` leaves the cores to what is not. What it gives must pickle. If the copy fails in any
    way, the work is done here, so that a fault shows where it is looked for. A copy that nobody waits for any more is
    ended. A copy of the program waits for none of those that were begun before it, but does their work itself.
    """

    def __init__(self, work: Callable[[], T], *, late: bool = False) -> None:
        self._work = work
        self._done: list[T] = []
        self._home = os.getpid()
        self._copy = _begun(work, late) if _can_copy() else None

    def __call__(self) -> T:
        if not self._done:
            copy, self._copy = self._copy if self._home == os.getpid() else None, None
            self._done.append(self._work() if copy is None else _read(*copy, self._work))
        return self._done[0]

    def __del__(self) -> None:
        if self._copy is None or self._home != os.getpid():  # a copy of the program waits for no other
            return
        copy, reading = self._copy
        with contextlib.suppress(OSError):
            os.close(reading)
            os.kill(copy, signal.SIGKILL)
            os.waitpid(copy, 0)


def never() -> None:
    """From now on everything is done where it is asked for: for a process beside which others are at work already."""
    global _wanted
    _wanted = False


def _can_copy() -> bool:
    return _wanted and sys.platform == "linux" and (os.cpu_count() or 1) > 1 and threading.active_count() == 1


def _begun(work: Callable[[], Any], late: bool) -> tuple[int, int] | None:
    """The number of the copy and the end of the pipe to read from."""
    reading, writing = os.pipe()
    for stream in (sys.stdout, sys.stderr):
        stream.flush()
    try:
        copy = os.fork()
    except OSError:
        os.close(reading)
        os.close(writing)
        return None
    if copy:
        os.close(writing)
        return copy, reading
    code = 1
    try:
        os.close(reading)
        if late:
            os.nice(10)
        with os.fdopen(writing, "wb") as pipe:
            pickle.dump(work(), pipe, protocol=pickle.HIGHEST_PROTOCOL)
        code = 0
    finally:
        os._exit(code)  # nothing of the copy is to be tidied away, and no fault of its told


def _read(copy: int, reading: int, work: Callable[[], T]) -> T:
    with os.fdopen(reading, "rb") as pipe:
        given = pipe.read()
    _, status = os.waitpid(copy, 0)
    return cast(T, pickle.loads(given)) if status == 0 else work()
