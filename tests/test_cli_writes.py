"""What the commands write: whole or not at all, the same bytes, and nothing of anybody else's touched."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cli_running import BAD, GOOD, Call, call, here, run, tree

__all__ = ["call", "here"]  # fixtures

# -- what is written ---------------------------------------------------------------------


def test_build_writes_all_that_its_manifest_lists(here: Path) -> None:
    done = run("build", "good", folder=here)
    assert done.returncode == 0
    made = tree(here / "out" / "good")
    manifest = json.loads((here / "out" / "good" / "manifest.json").read_text())
    assert manifest["files"] == {name: sum for name, sum in made.items() if name != "manifest.json"}
    assert {"manual.html", "manual.pdf", "figures.json", "model.json"} <= set(made)
    assert {"evidence.html", "evidence.pdf", "evidence.csv"} <= set(made)
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
        ("evidence", "good"),
        ("evidence", "good", "--csv"),
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


@pytest.mark.parametrize("command", ["manual", "build"])
def test_a_copy_with_room_for_the_contacts(call: Call, here: Path, command: str) -> None:
    with (here / "good" / "good.movement").open("a", encoding="utf-8") as description:
        description.write('\ncontact "Harbour office"\n  telephone "01632 960 114"\n')
    for choice, there in (("print", True), ("blank", False)):
        assert call(command, "good", "--contacts", choice, folder=here).returncode == 0
        page = (here / "out" / "good" / "manual.html").read_text(encoding="utf-8")
        assert "Harbour office" in page
        assert ("01632 960 114" in page) is there


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
        ("replacement", "good", "going.centre.wheel", "--to", "bad.movement"),
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


# -- replacement sheets --------------------------------------------------------------------


def worn(here: Path) -> None:
    path = here / "good" / "good.movement"
    text = path.read_text(encoding="utf-8")
    wheel = next(line for line in text.splitlines() if line.strip().startswith("wheel "))
    path.write_text(text.replace(wheel, f'{wheel}\n      condition "teeth worn"', 1), encoding="utf-8")


def test_build_has_replacement_sheets_only_where_a_part_is_to_be_made_anew(call: Call, here: Path) -> None:
    assert call("build", "good", folder=here).returncode == 0
    assert "replacement.pdf" not in tree(here / "out" / "good")
    worn(here)
    assert call("build", "good", folder=here).returncode == 0
    made = tree(here / "out" / "good")
    manifest = json.loads((here / "out" / "good" / "manifest.json").read_text())
    assert manifest["files"]["replacement.pdf"] == made["replacement.pdf"]


def test_replacement_sheets_in_a_folder(call: Call, here: Path) -> None:
    worn(here)
    done = call("replacement", "good", "--to", "sheets", folder=here)
    assert done.returncode == 0
    assert done.stdout.decode().splitlines() == ["sheets/replacement.html", "sheets/replacement.pdf"]
    assert (here / "sheets" / "replacement.pdf").read_bytes().startswith(b"%PDF")
    assert "teeth worn" in (here / "sheets" / "replacement.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("asked", "offered"),
    [
        (("going.centre",), b"there is going.centre.pinion, going.centre.wheel"),
        (("going.centre.weel",), b"there is going.centre.wheel"),
        (("going.escape.escape", "wheel"), b"is made to its pallets, not to a mate"),
        (("bell",), b"no wheel or pinion `bell`"),
        (("going.centre.wheel", "leading"), b"no wheel or pinion `going.centre.wheel leading`"),
    ],
)
def test_a_part_that_is_not_there(call: Call, here: Path, asked: tuple[str, ...], offered: bytes) -> None:
    done = call("replacement", "good", *asked, "--to", "sheets", folder=here)
    assert done.returncode == 2
    assert offered in done.stderr
    assert done.stdout == b""
    assert not (here / "sheets").exists()


def test_nothing_to_make_anew(call: Call, here: Path) -> None:
    done = call("replacement", "good", folder=here)
    assert done.returncode == 0
    assert b"no wheel or pinion is said to be lost" in done.stdout


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


# -- the binder --------------------------------------------------------------------------


def test_binder_is_one_pdf_and_one_folder_of_pages(call: Call, here: Path) -> None:
    done = call("binder", "good", folder=here)
    made = tree(here / "out" / "good-binder")
    assert (done.returncode, done.stdout.decode()) == (0, f"out/good-binder: {len(made)} files\n")
    assert {"binder.pdf", "binder/index.html", "binder/manual.html", "manifest.json"} <= set(made)
    listed = json.loads((here / "out" / "good-binder" / "manifest.json").read_text())["files"]
    assert listed == {name: sum for name, sum in made.items() if name != "manifest.json"}


def test_names_that_were_asked_for_once_do_not_stay(call: Call, here: Path) -> None:
    path = here / "good" / "good.movement"
    path.write_text(path.read_text(encoding="utf-8") + '\ncontact "Porter"\n  telephone "01632 960 999"\n')
    target = here / "out" / "good-binder"

    def named() -> list[str]:
        return [page.name for page in target.rglob("*.html") if "01632 960 999" in page.read_text()]

    assert call("binder", "good", "--contacts", folder=here).returncode == 0
    assert sorted(named()) == ["contacts.html", "emergency.html", "manual.html"]
    assert call("binder", "good", folder=here).returncode == 0
    assert named() == []
    (target / "notes.txt").write_text("mine")
    assert call("binder", "good", folder=here).returncode == 2
    assert (target / "notes.txt").read_text() == "mine"


def test_build_binds_when_asked(call: Call, here: Path) -> None:
    assert call("build", "good", folder=here).returncode == 0
    without = tree(here / "out" / "good")
    assert call("binder", "good", folder=here).returncode == 0
    assert call("build", "--binder", "good", folder=here).returncode == 0
    made = tree(here / "out" / "good")
    bound = tree(here / "out" / "good-binder")
    parts = ("binder.pdf", "binder/")
    assert {name: sum for name, sum in made.items() if name.startswith(parts)} == {
        name: sum for name, sum in bound.items() if name != "manifest.json"
    }
    others = {name: sum for name, sum in made.items() if not name.startswith(parts)}
    assert others | {"manifest.json": ""} == without | {"manifest.json": ""}


def test_nothing_is_bound_of_a_description_with_errors(call: Call, here: Path) -> None:
    assert call("binder", "bad.movement", folder=here).returncode == 1
    assert not (here / "out").exists()
