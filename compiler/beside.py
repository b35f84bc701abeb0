"""Work done beside the rest on another core: in a copy of the program as it is, since threads of Python share one.

Where no copy can be made (another system, one core, a program that runs threads), the work is done when it is asked
for; what it gives is the same.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from collections.abc import Callable
from typing import Any, TypeVar, cast

T = TypeVar("T")


def beside(work: Callable[[], T]) -> Callable[[], T]:
    """Begins `work`; what is returned waits for it and gives what it gave, each time it is called.

    What it gives must pickle. If the copy fails in any way, the work is done here, so that a fault shows where it is
    looked for.
    """
    reading = _begun(work) if _can_copy() else None
    done: list[T] = []

    def result() -> T:
        if not done:
            done.append(_read(*reading, work) if reading is not None else work())
        return done[0]

    return result


def _can_copy() -> bool:
    return sys.platform == "linux" and (os.cpu_count() or 1) > 1 and threading.active_count() == 1


def _begun(work: Callable[[], Any]) -> tuple[int, int] | None:
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
