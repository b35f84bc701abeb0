"""The command line from outside: exit codes, streams, terminals, and the forms of what is printed."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from cli_running import BAD, Call, call, here, run
from countwheel import arguments
from countwheel.diagnostics.registry import CODES

__all__ = ["call", "here"]  # fixtures

jsonschema: Any = pytest.importorskip("jsonschema")
COMMANDS = (
    "new",
    "check",
    "figures",
    "find",
    "gaps",
    "evidence",
    "compare",
    "draw",
    "manual",
    "replacement",
    "build",
    "calendar",
    "due",
    "rota",
    "tidy",
    "facts",
    "git",
    "words",
    "explain",
    "model",
    "schema",
)

# -- exit codes and streams ------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("check", "good"), 0),
        (("check", "good/good.movement"), 0),
        (("check", "bad.movement"), 1),
        (("check", "good", "bad.movement"), 1),
        (("check", "nowhere.movement"), 1),
        (("check", "."), 0),
        (("check",), 2),
        (("check", "good", "--format", "xml"), 2),
        (("check", "good", "--frmat", "json"), 2),
        (("figures", "good"), 0),
        (("figures", "bad.movement"), 1),
        (("figures", "good", "--only", "going.*"), 0),
        (("figures", "good", "--only", "goign.*"), 2),
        (("model", "good"), 0),
        (("model", "bad.movement"), 1),
        (("model", "nowhere"), 1),
        (("draw", "bad.movement"), 1),
        (("manual", "bad.movement"), 1),
        (("replacement", "bad.movement"), 1),
        (("replacement", "nowhere"), 1),
        (("replacement", "good"), 0),
        (("replacement", "good", "going.centre.wheel"), 0),
        (("replacement", "good", "going.centre.whel"), 2),
        (("replacement",), 2),
        (("build", "bad.movement"), 1),
        (("words",), 0),
        (("words", "maintaining", "power"), 0),
        (("words", "maintaning"), 2),
        (("explain",), 0),
        (("explain", "m403"), 0),
        (("explain", "M999"), 2),
        (("schema", "check"), 0),
        (("figures", "good", "--set", "pendulum.bob.mass=95 kg"), 0),
        (("figures", "good", "--set", "pendulum.bob.mass=95 kgg"), 2),
        (("figures", "good", "--set", "pendulum.bob.mass"), 2),
        (("figures", "good", "--season", "nowhere"), 2),
        (("figures", "nowhere", "--set", "pendulum.bob.mass=95 kg"), 1),
        (("due", "good", "--on", "2026-06-01"), 0),
        (("due", "nowhere"), 1),
        (("due", "good", "--on", "June"), 2),
        (("due", "good", "--on", "2026-02-30"), 2),
        (("rota", "good"), 0),
        (("rota", "nowhere"), 1),
        (("rota", "good", "--weeks", "0"), 2),
        (("rota", "good", "--weeks", "99999999999"), 0),
        (("calendar", "bad.movement"), 1),
        (("calendar", "nowhere"), 1),
        (("calendar", "good", "--until", "2026-01-01", "--years", "2"), 2),
        (("calendar", "good", "--from", "2026-06-01", "--until", "2026-05-01"), 2),
        (("calendar", "good", "--years", "99999"), 2),
        (("evidence", "good"), 0),
        (("evidence", "bad.movement"), 1),
        (("evidence", "good", "--csv", "--json"), 2),
        (("schema", "clock"), 2),
        (("new", "???"), 2),
        (("new", "Clock", "--train", "strke"), 2),
        ((), 2),
        (("chek", "good"), 2),
        (("--version",), 0),
        (("--help",), 0),
    ],
)
def test_exit_codes(call: Call, here: Path, arguments: tuple[str, ...], code: int) -> None:
    if arguments == ("check", "."):
        (here / "only").mkdir()
        (here / "bad.movement").rename(here / "only" / "bad.movement")
        (here / "good" / "good.movement").rename(here / "good.movement")
    done = call(*arguments, folder=here)
    assert done.returncode == code, done.stderr.decode()
    assert b"Traceback" not in done.stderr + done.stdout
    if code == 2:
        assert done.stdout == b""
        assert done.stderr
    assert done.stdout or done.stderr


def test_check_says_all_on_standard_output(call: Call, here: Path) -> None:
    done = call("check", "bad.movement", folder=here)
    assert b"error M310" in done.stdout
    assert b"bad.movement:4:14" in done.stdout
    assert done.stderr == b""


@pytest.mark.parametrize(
    "command", ["figures", "model", "build", "draw", "manual", "evidence", "replacement"]
)
def test_results_and_what_is_amiss_go_apart(call: Call, here: Path, command: str) -> None:
    done = call(command, "bad.movement", folder=here)
    assert b"error M310" in done.stderr
    assert b"M310" not in done.stdout
    whole = call(command, "good", folder=here)
    assert whole.returncode == 0
    assert b"error" not in whole.stderr
    assert whole.stdout


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_every_command_has_an_example_of_it(call: Call, command: str) -> None:
    done = call(command, "--help")
    assert done.returncode == 0
    _, _, example = done.stdout.decode().partition("example:\n")
    assert example.strip().startswith(f"countwheel {command} ")
    assert done.stderr == b""


def test_the_examples_in_the_help_can_be_read(call: Call) -> None:
    import shlex

    for command in COMMANDS:
        _, _, example = call(command, "--help").stdout.decode().partition("example:\n")
        arguments.parser().parse_args(shlex.split(example.strip())[1:])


def test_help_names_every_command(call: Call) -> None:
    said = call("--help").stdout.decode()
    for command in COMMANDS:
        assert re.search(rf"^    {command}\s", said, re.M)  # a long name has its help on the line below


def test_a_folder_stands_for_the_description_in_it(call: Call, here: Path) -> None:
    named = call("check", "good/good.movement", folder=here).stdout
    assert call("check", "good", folder=here).stdout == named
    assert call("check", "good/", folder=here).stdout == named


def test_a_folder_with_several_wants_to_be_told_which(call: Call, here: Path) -> None:
    (here / "good" / "other.movement").write_text(BAD)
    assert call("check", "good", folder=here).returncode == 0  # one is called as the folder is
    (here / "good" / "good.movement").rename(here / "good" / "third.movement")
    done = call("check", "good", folder=here)
    assert done.returncode == 1
    assert b"2 files" in done.stdout


# -- standard input --------------------------------------------------------------------


def test_standard_input_stands_for_a_path(here: Path) -> None:
    text = (here / "bad.movement").read_bytes()
    done = run("check", "-", "--as", "bad.movement", folder=here, said=text)
    assert done.returncode == 1
    assert done.stdout == run("check", "bad.movement", folder=here).stdout


def test_what_standard_input_includes_is_looked_for_beside_its_path(here: Path) -> None:
    text = b'countwheel 1\ninclude "good.movement"\n'
    assert run("check", "-", "--as", "good/new.movement", folder=here, said=text).returncode == 0
    assert run("check", "-", folder=here, said=text).returncode == 1


@pytest.mark.parametrize("said", [b"", b"\xff\xfe\x00", b"\x80", b"\x00", BAD.encode("utf-8-sig"), b"\r\n\r"])
def test_any_standard_input(said: bytes) -> None:
    done = run("check", "-", said=said)
    assert done.returncode in (0, 1)
    assert b"Traceback" not in done.stderr


# -- terminals and pipes -----------------------------------------------------------------


def test_no_colour_where_no_terminal_is(here: Path) -> None:
    for around in ({}, {"NO_COLOR": "1"}, {"FORCE_COLOR": "1", "TERM": "xterm"}):
        assert b"\x1b" not in run("check", "bad.movement", folder=here, around=around).stdout


def on_terminal(command: list[str], folder: Path, around: dict[str, str]) -> bytes:
    """What a command prints on a terminal."""
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        command, cwd=folder, stdout=theirs, stderr=theirs, stdin=theirs, env=around
    ) as going:
        os.close(theirs)
        found = b""
        while True:
            try:
                piece = os.read(ours, 4096)
            except OSError:
                break
            if not piece:
                break
            found += piece
        going.wait(60)
    os.close(ours)
    return found


@pytest.mark.parametrize(
    ("around", "coloured"), [({}, True), ({"NO_COLOR": ""}, False), ({"TERM": "dumb"}, False)]
)
def test_colour_on_a_terminal(here: Path, around: dict[str, str], coloured: bool) -> None:
    command = [sys.executable, "-m", "countwheel.cli", "check", "bad.movement"]
    said = on_terminal(command, here, {"PATH": os.environ["PATH"], "TERM": "xterm", **around})
    assert b"M310" in said
    assert (b"\x1b[" in said) == coloured


def test_a_reader_that_goes_away_is_no_fault(here: Path) -> None:
    (here / "many.movement").write_text(BAD + "qwertz\n" * 20_000, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, "-m", "countwheel.cli", "check", "many.movement"],
        cwd=here,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as going:
        assert going.stdout is not None
        assert going.stderr is not None
        going.stdout.read(10)
        going.stdout.close()
        assert going.stderr.read() == b""
        assert going.wait(60) in (0, 1)


# -- words, explain, schema ------------------------------------------------------------------


def test_explain_has_a_page_for_every_code(call: Call) -> None:
    listed = call("explain").stdout.decode()
    for code in CODES:
        assert f"{code}  " in listed
        assert call("explain", code).stdout.decode().startswith(code)


def test_a_near_word_is_offered(call: Call) -> None:
    assert b"maintaining power" in call("words", "maintaning", "power").stderr


@pytest.mark.parametrize("of", ["model", "figures", "check", "evidence", "trial", "due", "rota"])
def test_schemas_are_json_schema(call: Call, of: str) -> None:
    schema = json.loads(call("schema", of).stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize(
    ("of", "arguments"),
    [
        ("check", ("check", "--format", "json")),
        ("figures", ("figures", "--json")),
        ("model", ("model",)),
        ("evidence", ("evidence", "--json")),
        ("due", ("due", "--json", "--on", "2026-06-01")),
    ],
)
@pytest.mark.parametrize("file", ["good", "bad.movement"])
def test_what_is_printed_fits_its_schema(
    call: Call, here: Path, of: str, arguments: tuple[str, ...], file: str
) -> None:
    schema = json.loads(call("schema", of).stdout)
    printed: Any = json.loads(call(arguments[0], file, *arguments[1:], folder=here).stdout)
    jsonschema.Draft202012Validator(schema).validate(printed)
    assert schema.get("required") or "$ref" in schema
