"""What is done beside gives what it would give in place, however the copy fares."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading

import pytest
from countwheel import beside as module
from countwheel.beside import beside

HERE = os.getpid()


def test_what_is_done_beside_is_what_is_done_here() -> None:
    where = beside(os.getpid)
    assert (where() != HERE) == module._can_copy()
    assert where() == where()


def test_more_than_a_pipe_holds_comes_through() -> None:
    assert beside(lambda: "x" * 5_000_000)() == "x" * 5_000_000


def _only_here() -> str:
    if os.getpid() != HERE:
        os.kill(os.getpid(), signal.SIGKILL)
    return "done here"


def test_a_copy_that_is_killed_is_made_good_here() -> None:
    assert beside(_only_here)() == "done here"


def test_what_does_not_pickle_is_made_here() -> None:
    assert beside(lambda: lambda: 3)()() == 3


def test_a_fault_is_raised_where_the_result_is_asked_for() -> None:
    result = beside(lambda: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        result()


def test_a_program_that_runs_threads_is_not_copied() -> None:
    stop = threading.Event()
    thread = threading.Thread(target=stop.wait)
    thread.start()
    try:
        assert beside(os.getpid)() == HERE
    finally:
        stop.set()
        thread.join()


def test_what_was_to_be_said_is_said_once() -> None:
    code = "from countwheel.beside import beside; print('once', end=''); print(beside(lambda: 'twice')())"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "oncetwice\n"
    assert done.stderr == ""


def test_a_copy_that_nobody_waits_for_is_ended() -> None:
    waiting = beside(lambda: "x" * 5_000_000)  # more than the pipe holds: it would wait for ever
    copy = waiting._copy
    del waiting
    if copy is not None:
        with pytest.raises(ProcessLookupError):
            os.kill(copy[0], 0)


def test_a_copy_does_itself_what_another_was_asked_for() -> None:
    first = beside(lambda: "x" * 5_000_000)
    second = beside(lambda: len(first()))
    assert second() == 5_000_000
    assert len(first()) == 5_000_000  # the copy read nothing of what was for us


def test_a_copy_ends_no_other() -> None:
    first = [beside(lambda: "x" * 5_000_000)]
    assert beside(lambda: bool(first.clear()))() is False  # in the copy only
    assert len(first[0]()) == 5_000_000


@pytest.mark.skipif(sys.platform == "win32", reason="no such system call")
def test_what_may_come_late_leaves_the_cores_to_the_rest() -> None:
    here = os.nice(0)
    assert beside(lambda: os.nice(0), late=True)() == (min(here + 10, 19) if module._can_copy() else here)


def test_where_no_copy_can_be_made_the_templates_are_read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    from countwheel.emit import templating

    monkeypatch.setattr(module, "_wanted", False)
    templating._kept.cache_clear()
    templating.environment.cache_clear()
    templating.take(beside(templating.read_all))
    assert templating.wording("BINDER")
