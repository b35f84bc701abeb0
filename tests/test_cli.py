"""The command line from outside: exit codes, streams, the same bytes whatever the surroundings."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

import jsonschema
import pytest
from countwheel import cli
from countwheel.diagnostics.registry import CODES

GOOD = Path(__file__).parent / "checks" / "whole.movement"
BAD = 'countwheel 1\nclock "Bad"\n  place "Nowhere"\n    latitude 95 °N\n'
COMMANDS = ("new", "check", "figures", "draw", "manual", "build", "words", "explain", "model", "schema")


def run(
    *arguments: str | Path,
    folder: Path | None = None,
    said: bytes = b"",
    around: Mapping[str, str] | None = None,
) -> subprocess.CompletedProcess[bytes]:
    surroundings = {"PATH": os.environ["PATH"], "HOME": "/nonexistent"} | dict(around or {})
    return subprocess.run(
        [sys.executable, "-m", "countwheel.cli", *map(str, arguments)],
        cwd=folder,
        input=said,
        capture_output=True,
        env=surroundings,
        timeout=120,
        check=False,
    )


class Done(NamedTuple):
    returncode: int
    stdout: bytes
    stderr: bytes


Call = Callable[..., Done]


@pytest.fixture
def call(capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch) -> Call:
    """As `run`, in this process: a tenth of the time, where the surroundings do not matter."""

    def called(*arguments: str | Path, folder: Path | None = None) -> Done:
        if folder is not None:
            monkeypatch.chdir(folder)
        capsysbinary.readouterr()
        code = cli.main([str(argument) for argument in arguments])
        said = capsysbinary.readouterr()
        return Done(code, said.out, said.err)

    return called


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with one description that is whole, in a folder of its own, and one that is not."""
    (tmp_path / "good").mkdir()
    (tmp_path / "good" / "good.movement").write_bytes(GOOD.read_bytes())
    (tmp_path / "bad.movement").write_text(BAD, encoding="utf-8")
    return tmp_path


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with the sum of its content."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


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
        (("build", "bad.movement"), 1),
        (("words",), 0),
        (("words", "maintaining", "power"), 0),
        (("words", "maintaning"), 2),
        (("explain",), 0),
        (("explain", "m403"), 0),
        (("explain", "M999"), 2),
        (("schema", "check"), 0),
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


@pytest.mark.parametrize("command", ["figures", "model", "build", "draw", "manual"])
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
        cli._parser().parse_args(shlex.split(example.strip())[1:])


def test_help_names_every_command(call: Call) -> None:
    said = call("--help").stdout.decode()
    for command in COMMANDS:
        assert f"\n    {command} " in said


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


# -- what is written ---------------------------------------------------------------------


def test_build_writes_all_that_its_manifest_lists(here: Path) -> None:
    done = run("build", "good", folder=here)
    assert done.returncode == 0
    made = tree(here / "out" / "good")
    manifest = json.loads((here / "out" / "good" / "manifest.json").read_text())
    assert manifest["files"] == {name: sum for name, sum in made.items() if name != "manifest.json"}
    assert {"manual.html", "manual.pdf", "figures.json", "model.json"} <= set(made)
    assert done.stdout.decode() == f"out/good: {len(made)} files\n"


def test_the_same_bytes_whatever_the_surroundings(here: Path) -> None:
    first = run("build", "good", "--to", "one", folder=here, around={"PYTHONHASHSEED": "1"})
    second = run(
        "build",
        "good",
        "--to",
        "two",
        folder=here,
        around={
            "PYTHONHASHSEED": "77",
            "TZ": "Pacific/Chatham",
            "LANG": "de_DE.UTF-8",
            "LC_ALL": "C",
            "COLUMNS": "43",
        },
    )
    assert first.returncode == second.returncode == 0
    assert tree(here / "one") == tree(here / "two")


@pytest.mark.parametrize(
    "arguments",
    [
        ("check", "bad.movement"),
        ("check", "bad.movement", "--format", "json"),
        ("check", "bad.movement", "--format", "sarif"),
        ("figures", "good", "--working"),
        ("figures", "good", "--json"),
        ("model", "good"),
        ("words",),
        ("explain", "M501"),
    ],
)
def test_the_same_text_whatever_the_surroundings(here: Path, arguments: tuple[str, ...]) -> None:
    one = run(*arguments, folder=here, around={"PYTHONHASHSEED": "1", "LANG": "C"})
    two = run(
        *arguments,
        folder=here,
        around={"PYTHONHASHSEED": "2", "LANG": "fr_FR.UTF-8", "COLUMNS": "60", "TZ": "Asia/Tokyo"},
    )
    assert (one.stdout, one.stderr) == (two.stdout, two.stderr)


def test_with_errors_nothing_that_was_built_is_touched(call: Call, here: Path) -> None:
    assert call("build", "good", folder=here).returncode == 0
    before = tree(here / "out")
    path = here / "good" / "good.movement"
    path.write_text(path.read_text(encoding="utf-8").replace("50 °N", "95 °N"), encoding="utf-8")
    done = call("build", "good", folder=here)
    assert done.returncode == 1
    assert b"left as it was" in done.stderr
    assert tree(here / "out") == before


def test_of_several_the_whole_ones_are_built(call: Call, here: Path) -> None:
    done = call("build", "bad.movement", "good", folder=here)
    assert done.returncode == 1
    assert sorted(path.name for path in (here / "out").iterdir()) == ["good"]


def test_build_puts_nothing_in_the_place_of_files_that_it_did_not_write(call: Call, here: Path) -> None:
    before = tree(here)
    done = call("build", "good", "--to", ".", folder=here)  # that would be the description's own folder
    assert done.returncode == 2
    assert b"good.movement" in done.stderr
    assert tree(here) == before
    assert call("build", "good", folder=here).returncode == 0
    (here / "out" / "good" / "notes.txt").write_text("mine")
    assert call("build", "good", folder=here).returncode == 2
    assert (here / "out" / "good" / "notes.txt").read_text() == "mine"


def test_build_takes_away_what_it_wrote_before_and_does_not_now(call: Call, here: Path) -> None:
    assert call("build", "good", folder=here).returncode == 0
    stale = here / "out" / "good" / "drawings" / "stale.svg"
    stale.write_text("old")
    manifest = here / "out" / "good" / "manifest.json"
    listed = json.loads(manifest.read_text())
    listed["files"]["drawings/stale.svg"] = "0"
    manifest.write_text(json.dumps(listed))
    assert call("build", "good", folder=here).returncode == 0
    assert not stale.exists()
    assert not [path for path in (here / "out").iterdir() if path.name.startswith(".")]


def test_build_after_manual_and_draw(call: Call, here: Path) -> None:
    assert call("manual", "good", folder=here).returncode == 0
    assert call("draw", "good", folder=here).returncode == 0
    drawn = tree(here / "out" / "good")
    assert call("build", "good", folder=here).returncode == 0
    built = tree(here / "out" / "good")
    assert {name: built[name] for name in drawn} == drawn


def test_two_descriptions_of_one_name(call: Call, here: Path) -> None:
    (here / "again").mkdir()
    (here / "again" / "good.movement").write_bytes(GOOD.read_bytes())
    done = call("build", "good", "again", folder=here)
    assert done.returncode == 2
    assert not (here / "out").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ("build", "good", "--to", "bad.movement"),
        ("manual", "good", "--to", "bad.movement"),
        ("draw", "good", "--to", "bad.movement/x"),
        ("new", "Clock", "--in", "bad.movement"),
    ],
)
def test_a_target_that_cannot_be_written(call: Call, here: Path, arguments: tuple[str, ...]) -> None:
    done = call(*arguments, folder=here)
    assert done.returncode == 2
    assert b"cannot be written" in done.stderr
    assert str(here).encode() not in done.stderr
    assert (here / "bad.movement").read_text(encoding="utf-8") == BAD


@pytest.mark.parametrize("name", [".movement", "...movement"])
def test_a_name_that_is_no_name_for_a_folder(call: Call, here: Path, name: str) -> None:
    (here / name).write_bytes(GOOD.read_bytes())
    assert call("build", name, folder=here).returncode == 0
    assert (here / "out" / "description" / "manifest.json").is_file()
    assert (here / "good" / "good.movement").is_file()


def test_the_time_of_issue_is_taken_from_the_surroundings_only_where_asked(here: Path) -> None:
    run("manual", "good", "--to", "one", folder=here)
    run("manual", "good", "--to", "two", folder=here, around={"SOURCE_DATE_EPOCH": "1700000000"})
    run("manual", "good", "--to", "three", folder=here, around={"SOURCE_DATE_EPOCH": "soon"})
    assert tree(here / "one") != tree(here / "two")
    assert tree(here / "one") == tree(here / "three")


# -- new -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "options",
    [
        (),
        ("--train", "going"),
        ("--train", "going", "--train", "strike", "--train", "chime", "--dials", "north, east"),
        ("--train", "strike"),
        ("--dials", "the south one"),
    ],
)
def test_what_new_writes_passes_check(call: Call, tmp_path: Path, options: tuple[str, ...]) -> None:
    made = call("new", 'The "Old" Market Hall clock', *options, folder=tmp_path)
    assert made.returncode == 0, made.stderr
    (folder,) = tmp_path.iterdir()
    done = call("check", folder.name, folder=tmp_path)
    assert done.returncode == 0, done.stdout.decode()
    assert b"error" not in done.stdout
    assert f"countwheel check {folder.name}".encode() in made.stdout


def test_new_leaves_what_is_there(call: Call, tmp_path: Path) -> None:
    assert call("new", "Clock", folder=tmp_path).returncode == 0
    before = tree(tmp_path)
    done = call("new", "clock", folder=tmp_path)
    assert done.returncode == 2
    assert b"there already" in done.stderr
    assert tree(tmp_path) == before


def test_new_stays_in_its_folder(call: Call, tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    assert call("new", "../../etc/clock", "--in", "in", folder=tmp_path).returncode == 0
    assert [path.name for path in tmp_path.iterdir()] == ["in"]
    assert len(list((tmp_path / "in").iterdir())) == 1


# -- words, explain, schema ------------------------------------------------------------------


def test_explain_has_a_page_for_every_code(call: Call) -> None:
    listed = call("explain").stdout.decode()
    for code in CODES:
        assert f"{code}  " in listed
        assert call("explain", code).stdout.decode().startswith(code)


def test_a_near_word_is_offered(call: Call) -> None:
    assert b"maintaining power" in call("words", "maintaning", "power").stderr


@pytest.mark.parametrize("of", ["model", "figures", "check"])
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
