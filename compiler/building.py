"""Building one description or a register of thousands: what is as it was built is left, the rest is shared out among
the cores, each folder is whole as soon as it is there, and a run that was stopped goes on where it was.
"""

from __future__ import annotations

import contextlib
import os
import sys
from argparse import Namespace
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Literal, NamedTuple

from countwheel import api, beside, files
from countwheel.cli import CLEAN, FAULTS, STOPPED, WRONG_CALL
from countwheel.files import Trouble
from countwheel.streams import paint
from countwheel.telling import fail, shown

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

_EACH = 40  # descriptions that a process builds before it is renewed, since what it keeps in mind grows
_TELL = 10.0  # seconds between two lines on how far it is


class Order(NamedTuple):
    """What is to be built of a description, and where."""

    file: str
    target: Path
    paper: Literal["a4", "us-letter"]
    contacts: Literal["print", "blank"]
    binder: bool
    again: bool  # also where nothing has changed
    issued: int | None


class Made(NamedTuple):
    """What came of an order: `files` written, 0 where it was left (`code` CLEAN) or could not be built."""

    target: Path
    said: str  # diagnostics, harmless to a terminal
    code: int
    files: int = 0
    trouble: str = ""


def build(options: Namespace) -> int:
    orders = [
        Order(
            name,
            Path(options.to) / _stem(name),
            options.paper,
            options.contacts,
            options.binder,
            options.again,
            files.issue_time(),
        )
        for name in options.files
    ]
    twice, times = Counter(order.target.name for order in orders).most_common(1)[0]
    if times > 1:
        return fail(f"two descriptions are called {twice}; both would be written to the same folder")
    worst, left, built, begun = CLEAN, 0, 0, monotonic()
    told = begun
    try:
        for number, made in enumerate(_made(orders, options.jobs), 1):
            paint(sys.stderr, made.said)
            sys.stderr.write(made.trouble)
            worst = max(worst, made.code)
            built += made.files > 0
            left += made.code == CLEAN and not made.files
            if made.files:
                print(f"{made.target}: {made.files} files")
            elif made.code == CLEAN:
                print(f"{made.target}: nothing has changed")
            if _many(orders) and monotonic() - told > _TELL:
                told = monotonic()
                sys.stderr.write(_far(number, len(orders), told - begun))
    except KeyboardInterrupt:
        sys.stderr.write("\nstopped; what is built is whole, and the same command goes on from here\n")
        return STOPPED
    if _many(orders):
        print(f"{built} built, {left} left as they were, {len(orders) - built - left} not built")
    return worst


def _stem(name: str) -> str:
    """What the folder of a description is called: as its file, also where it cannot be read."""
    try:
        return files.stem_of(files.find_description(name))
    except Trouble:
        return files.stem_of(Path(name))


def _many(orders: Sequence[Order]) -> bool:
    return len(orders) > 1


def _far(done: int, of: int, seconds: float) -> str:
    minutes = seconds / done * (of - done) / 60
    more = "less than a minute" if minutes < 1 else f"about {minutes:.0f} min"
    return f"{done} of {of}; {more} to go\n"


# -- sharing out ---------------------------------------------------------------------
def _made(orders: Sequence[Order], jobs: int | None) -> Iterator[Made]:
    """What came of each order, in their order."""
    jobs = min(jobs or os.cpu_count() or 1, len(orders))
    if jobs < 2:
        yield from map(one, orders)
        return
    from concurrent.futures import ThreadPoolExecutor
    from queue import SimpleQueue

    idle: SimpleQueue[_Builder] = SimpleQueue()
    for _ in range(jobs):
        idle.put(_Builder())

    def elsewhere(order: Order) -> Made | None:
        builder = idle.get()
        try:
            return builder.made(order)
        finally:
            idle.put(builder)

    try:
        with ThreadPoolExecutor(jobs) as pool:
            for order, made in zip(orders, pool.map(elsewhere, orders), strict=True):
                # What was ended, for want of memory as a rule, is tried once more: there may be more by now.
                yield made or elsewhere(order) or Made(order.target, "", WRONG_CALL, trouble=_ended(order))
    finally:
        for _ in range(jobs):
            idle.get().end()


def _ended(order: Order) -> str:
    return (
        f"countwheel: {order.file}: the program that builds it was ended from outside, twice; if there is too little "
        "memory, build one at a time (--jobs 1)\n"
    )


class _Builder:
    """A process that builds one description after another and is renewed now and then.

    Each has a line of its own to this program and shares nothing with the others: one that is ended from outside
    takes none with it and is missed at once. A pool of the standard library can wait for ever in that case, and where
    it is to renew its processes too (Python 3.11.7 did both).
    """

    def __init__(self) -> None:
        self._left = 0
        self._line: Connection | None = None
        self._process: BaseProcess | None = None

    def made(self, order: Order) -> Made | None:
        """What came of it; nothing where the process was ended or could not be begun. Raises what was raised there."""
        try:
            line = self._line if self._line and self._left else self._renewed()
            self._left -= 1
            line.send(order)
            made: Made | Exception = line.recv()
        except (EOFError, OSError):
            self.end()
            return None
        if isinstance(made, Exception):
            raise made
        return made

    def _renewed(self) -> Connection:
        from multiprocessing import get_context

        self.end()
        # Begun anew and not copied: a copy of a program that has set pages would wait for threads that it has not.
        anew = get_context("spawn")
        self._line, theirs = anew.Pipe()
        try:
            process = anew.Process(target=_build_what_comes, args=(theirs,), daemon=True)
            process.start()
        finally:
            theirs.close()
        self._process, self._left = process, _EACH
        return self._line

    def end(self) -> None:
        """Lets the process go, as soon as it has built what it is at."""
        if self._line is not None:
            self._line.close()
        if self._process is not None:
            self._process.join()
        self._line = self._process = None


def _build_what_comes(line: Connection) -> None:
    """What a builder does until nobody is at the other end any more, or the keeper has stopped all."""
    import traceback

    beside.never()
    with contextlib.suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            order = line.recv()
            try:
                made: Made | Exception = one(order)
            except Exception as fault:  # told where all are waited for, with where it was
                fault.add_note(traceback.format_exc())
                made = fault
            line.send(made)


def one(order: Order) -> Made:
    """Builds one description, unless it is as it was built."""
    from countwheel import outputs
    from countwheel.unchanged import as_built, basis

    if not order.again and as_built(order):
        return Made(order.target, "", CLEAN)
    outputs.begin()
    result = api.compile_file(order.file)
    said = shown([result])
    if result.clock is None or result.has_errors:
        trouble = f"{result.file}: not built; what was built before is left as it was\n"
        return Made(order.target, said, FAULTS, trouble=trouble)
    made = outputs.everything(
        result,
        order.paper,
        order.issued,
        order.binder,
        contacts=order.contacts,
        basis=basis(result, order),
    )
    try:
        files.write_folder(order.target, made)
    except Trouble as trouble:
        return Made(order.target, said, WRONG_CALL, trouble=f"countwheel: {trouble.why}\n")
    return Made(order.target, said, CLEAN, len(made))
