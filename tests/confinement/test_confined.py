"""Every command, watched from within: what it reads, writes and starts, and that it knows no network.

The list of commands is taken from the command line itself: a new one fails here until it is told how it is called.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from cli_running import tree
from countwheel import arguments, git
from countwheel.emit.layout_engine import find_engine

WATCHED = Path(__file__).parent / "watched.py"
ROOT = Path(__file__).parents[2]
DEMO = ROOT / "specs" / "penquay-harbour-office"
OUTSIDE = 'countwheel 1\ninclude "../outside.movement"\ninclude "link.movement"\n'
GIT, ENGINE = "git", "graphviz"


class Called(NamedTuple):
    """A call of a command. `writes` are the folders and files below `tower` that it may make anew or change."""

    words: tuple[str, ...]
    writes: tuple[str, ...] = ()
    starts: frozenset[str] = frozenset()
    code: int = 0
    said: str = ""


def _message(**what: Any) -> str:
    body = json.dumps({"jsonrpc": "2.0", **what})
    return f"Content-Length: {len(body)}\r\n\r\n{body}"


_EDITOR = (
    _message(id=1, method="initialize", params={"capabilities": {}, "processId": None, "rootUri": None})
    + _message(method="initialized", params={})
    + _message(id=2, method="shutdown")
    + _message(method="exit")
)
DRAWS, BINDS = frozenset({ENGINE}), frozenset({ENGINE, GIT})
CALLS: dict[str, tuple[Called, ...]] = {
    "new": (
        Called(("new", "Market Hall clock", "--train", "going", "--in", "made"), ("made",)),
        Called(
            ("new", "Corn Hall clock", "--train", "going", "--in", "made", "--git"), ("made",), frozenset({GIT})
        ),
    ),
    "check": (
        Called(("check", "clock")),
        Called(("check", "clock", "--format", "sarif")),
        Called(("check", "-", "--as", "clock/other.movement"), code=1, said=OUTSIDE),
    ),
    "figures": (
        Called(("figures", "clock", "--working")),
        Called(("figures", "clock", "--set", "pendulum.bob.mass=95 kg")),
    ),
    "find": (Called(("find", "clock")),),
    "gaps": (Called(("gaps", "clock")), Called(("gaps", "clock", "--to", "made"), ("made",))),
    "rate": (Called(("rate", "clock")),),
    "log": (
        Called(("log", "clock")),
        Called(("log", "clock", "--to", "made/log.csv"), ("made",)),
        Called(("log", "clock", "--from-csv", "log.csv")),
    ),
    "compare": (
        Called(("compare", "clock", "clock", "--to", "made"), ("made",)),
        Called(("compare", "clock", "--git", "HEAD"), starts=frozenset({GIT})),
    ),
    "draw": (
        Called(("draw", "clock"), ("out",), DRAWS),
        Called(("draw", "clock", "--to", "made"), ("made",), DRAWS),
    ),
    "manual": (Called(("manual", "clock"), ("out",), DRAWS),),
    "evidence": (
        Called(("evidence", "clock", "--csv")),
        Called(("evidence", "clock", "--to", "made"), ("made",)),
    ),
    "replacement": (
        Called(("replacement", "clock", "going.centre.wheel", "--to", "made"), ("made",)),
    ),
    "binder": (Called(("binder", "clock"), ("out",), BINDS),),
    "build": (Called(("build", "clock", "--binder", "--to", "made"), ("made",), BINDS),),
    "calendar": (Called(("calendar", "clock", "--from", "2026-05-01"), ("out",)),),
    "due": (Called(("due", "clock", "--on", "2026-06-01"), code=1),),
    "rota": (Called(("rota", "clock", "--to", "made"), ("made",)),),
    "tidy": (Called(("tidy", "loose.movement"), ("loose.movement",)),),
    "facts": (Called(("facts", "clock/clock.movement")),),
    "git": (
        Called(
            ("git", "clock", "--hook"),
            ("clock/.gitattributes", ".git"),
            frozenset({GIT}),
        ),
    ),
    "language-server": (Called(("language-server",), said=_EDITOR),),
    "words": (Called(("words", "barrel")),),
    "explain": (Called(("explain", "M403")),),
    "model": (Called(("model", "clock")),),
    "schema": (Called(("schema", "figures")),),
}  # fmt: skip
EVERY = [call for calls in CALLS.values() for call in calls]


def commands() -> set[str]:
    (action,) = (one for one in arguments.parser()._actions if isinstance(one, argparse._SubParsersAction))
    return set(action.choices)


def test_every_command_is_watched() -> None:
    """`serve` alone listens, on the loopback address: tests/preview holds who is let in there."""
    assert commands() - {"serve"} == set(CALLS)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A keeper's folder in a git work tree of its own, with something private beside the description's folder."""
    top = tmp_path_factory.mktemp("site").resolve() / "tower"
    clock = top / "clock"
    shutil.copytree(DEMO, clock)
    (clock / f"{DEMO.name}.movement").rename(clock / "clock.movement")
    (top / "outside.movement").write_text("train secret\n")
    (top / "loose.movement").write_text('countwheel 1\nclock   "Loose"\n')
    (top / "log.csv").write_text("date,found\n2026-05-02,3 s fast\n")
    (clock / "link.movement").symlink_to(top / "outside.movement")
    quiet = ["-c", "user.name=KT", "-c", "user.email=kt@penquay.example"]
    for words in (["init", "-q"], ["add", "clock"], [*quiet, "commit", "-qm", "First"]):
        subprocess.run(["git", *words], cwd=top, check=True, capture_output=True, env=around(top))
    return top


def around(top: Path) -> dict[str, str]:
    home = str(top.parent)
    # Python's own keeping of compiled modules is none of ours
    return {"PATH": os.environ["PATH"], "HOME": home, "XDG_CONFIG_HOME": home, "PYTHONDONTWRITEBYTECODE": "1"}


def watched(call: Called, top: Path, *options: str) -> tuple[subprocess.CompletedProcess[bytes], list[Any]]:
    record = top.parent / "record"
    record.unlink(missing_ok=True)
    done = subprocess.run(
        [sys.executable, str(WATCHED), str(record), *options, *call.words],
        cwd=top,
        input=call.said.encode(),
        capture_output=True,
        env=around(top),
        timeout=120,
        check=False,
    )
    return done, [json.loads(line) for line in record.read_text().splitlines()]


def named(program: str) -> str:
    engine = os.path.realpath(find_engine()[0])
    known = {os.path.realpath(git.program() or "git"): GIT, engine: ENGINE}
    return known.get(os.path.realpath(program), program)


@pytest.mark.parametrize("call", EVERY, ids=lambda call: " ".join(call.words))
def test_only_what_is_named_is_read_written_and_started(call: Called, tmp_path: Path, site: Path) -> None:
    """One call under watch: its own folder to read, `out` or what it was given to write, git and the layout engine
    to start, and no socket but the pair by which the editor's loop wakes itself.
    """
    top = tmp_path.resolve() / "tower"
    shutil.copytree(site, top, symlinks=True)
    before = tree(top)
    done, events = watched(call, top, "--no-network")
    assert done.returncode == call.code, done.stderr.decode()
    assert b"Traceback" not in done.stderr
    allowed = [str(top / name) for name in call.writes]
    writes = {
        path
        for one in events
        if one["event"] == "write" or one["event"].startswith("os.")
        for path in one.get("paths", ())
        # a folder above what is written is made where it is not there
        if one["event"] != "os.mkdir" or not any(Path(place).is_relative_to(path) for place in allowed)
    }
    # What is put whole in its place is made beside it, under a name of ours, and so is the lock that is held meanwhile.
    beside = [str((top / name).with_name(".countwheel-")) for name in call.writes]
    stray = {
        path
        for path in writes - {"/dev/null"}
        if not any(path == place or path.startswith((f"{place}/", f"{place}-")) for place in allowed)
        and not any(path.startswith(place) for place in beside)
    }
    assert not stray
    changed = {name for name, sum in tree(top).items() if before.get(name) != sum}
    assert {name for name in changed if not name.startswith(tuple(call.writes))} == set()
    assert before.keys() <= tree(top).keys()

    # Of the keeper's own tree nothing but what was named is opened; what lies elsewhere is the program itself.
    given = {word.split("/")[0] for word in call.words[1:]} | {"clock"}
    reads = {path for one in events if one["event"] == "read" for path in one["paths"]}
    inside = {Path(path).relative_to(top).parts for path in reads if Path(path).is_relative_to(top)}
    assert all(
        not parts or parts[0] in given | set(call.writes) | {"made", "out"} or parts[0].startswith(".")
        for parts in inside
    ), inside
    assert not any(path.endswith("outside.movement") for path in reads)
    if call.words[:2] == ("check", "-"):
        assert b"M004" in done.stdout

    started = {named(one["program"]) for one in events if "program" in one}
    assert started == set(call.starts)
    sockets = [one for one in events if one["event"].startswith("socket.")]
    if call.words[0] == "language-server":
        assert sockets
        assert {tuple(one["given"][:1]) for one in sockets} == {(socket.AF_UNIX,)}
    else:
        assert sockets == []
