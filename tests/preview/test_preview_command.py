"""`countwheel serve` as it is called: says its address, ends on Ctrl-C, and fails in a line."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from cli_running import GOOD, run, tree


def started(*arguments: str | Path, **around: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-u", "-m", "countwheel.cli", "serve", *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={"PATH": os.environ["PATH"], "HOME": "/nonexistent"} | around,
    )


def address(serve: subprocess.Popen[str]) -> str:
    assert serve.stdout is not None
    for line in serve.stdout:
        if found := re.search(r"http://\S+", line):
            return found[0]
    raise AssertionError(serve.stderr.read() if serve.stderr else "")


@pytest.mark.parametrize("way", [signal.SIGINT, signal.SIGTERM])
def test_it_says_where_and_ends_cleanly(tmp_path: Path, way: signal.Signals) -> None:
    file = tmp_path / "clock.movement"
    file.write_bytes(GOOD.read_bytes())
    before = tree(tmp_path)
    serve = started(file)
    try:
        where = address(serve)
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/[\w-]{32}/", where)
        with urllib.request.urlopen(where, timeout=60) as answer:
            assert answer.status == 200
        # a page that waits for news does not keep it from ending
        with urllib.request.urlopen(f"{where}events", timeout=60) as events:
            assert events.readline() == b"event: version\n"
            serve.send_signal(way)
            said, faults = serve.communicate(timeout=60)
    finally:
        serve.kill()
    assert serve.returncode == 0
    assert said.endswith("ended; nothing was written\n")
    assert "Traceback" not in faults
    assert tree(tmp_path) == before


def test_a_file_that_is_not_there_is_told_in_a_line(tmp_path: Path) -> None:
    done = run("serve", tmp_path / "nowhere.movement")
    assert done.returncode == 2
    assert done.stderr.decode().splitlines() == [
        f"countwheel: {tmp_path / 'nowhere.movement'} cannot be read: there is no such file"
    ]


def test_a_port_that_is_taken_is_told_in_a_line(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run("serve", GOOD, "--port", str(port))
    assert done.returncode == 2
    assert done.stderr.decode().startswith(f"countwheel: the port {port} cannot be had")
    assert len(done.stderr.decode().splitlines()) == 1


@pytest.mark.parametrize("port", ["-1", "65536", "http"])
def test_what_is_no_port_is_a_wrong_call(port: str) -> None:
    assert run("serve", GOOD, "--port", port).returncode == 2


def test_the_browser_is_not_given_the_key(tmp_path: Path) -> None:
    """What a program was started with can be read by everybody on the machine: it gets an address that is good once."""
    told = tmp_path / "told"
    helper = tmp_path / "browse"
    helper.write_text(f'#!/bin/sh\necho "$1" > {told}.part && mv {told}.part {told}\n', encoding="utf-8")
    helper.chmod(0o755)
    serve = started(GOOD, "--open", BROWSER=f"{helper} %s")
    try:
        where = address(serve)
        for _ in range(600):
            if told.exists():
                break
            signal.sigtimedwait([], 0.05)
        given = told.read_text(encoding="utf-8").strip()
        assert where.rstrip("/").rpartition("/")[2] not in given
        with urllib.request.urlopen(given, timeout=60) as answer:
            assert answer.url == where
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(given, timeout=60)
    finally:
        serve.send_signal(signal.SIGINT)
        serve.communicate(timeout=60)


def test_other_commands_load_nothing_of_it() -> None:
    code = (
        "import sys\nfrom countwheel.cli import main\n"
        f"main(['check', {str(GOOD)!r}])\n"
        "assert not [name for name in sys.modules if name.startswith(('countwheel.preview', 'http.server'))]\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, timeout=60)
