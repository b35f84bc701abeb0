"""The wheel carries what the program needs and nothing else; the sdist makes the same wheel, byte for byte."""

from __future__ import annotations

import email
import email.message
import re
import tarfile
import zipfile
from pathlib import Path

import pytest
from supply_packing import LEFT_OUT, Built
from supply_reading import ROOT, project


def inside(wheel: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


def about(wheel: Path) -> email.message.Message:
    (text,) = (content for name, content in inside(wheel).items() if name.endswith(".dist-info/METADATA"))
    return email.message_from_bytes(text)


def test_the_wheel_has_the_compiler_the_grammar_and_what_tells_of_it(built: Built) -> None:
    """Held against what is under version control, so that a file left out of the lists is seen, and a stray one."""
    packed = {
        name.replace("compiler/", "countwheel/", 1).replace("grammar/", "countwheel/grammar/", 1): name
        for name in built.kept
        if name.startswith(("compiler/", "grammar/")) and not name.startswith(LEFT_OUT)
    }
    found = inside(built.wheel)
    told = f"countwheel-{project()['version']}.dist-info/"
    assert set(found) == set(packed) | {
        told + name
        for name in ("METADATA", "WHEEL", "RECORD", "entry_points.txt", "top_level.txt", "licenses/LICENSE")
    }
    for name, kept in packed.items():
        assert found[name] == (ROOT / kept).read_bytes(), name


@pytest.mark.parametrize(
    "name",
    [
        "countwheel/py.typed",
        "countwheel/grammar/line.lark",
        "countwheel/grammar/line_table.json",
        "countwheel/grammar/vocabulary.table",
        "countwheel/diagnostics/pages/M301.md",
        "countwheel/emit/templates/print/manual.typ",
        "countwheel/preview/pages/preview.js",
        "countwheel/grammar/editors/vim/syntax/movement.vim",
        "countwheel/grammar/editors/vscode/syntaxes/movement.tmLanguage.json",
    ],
)
def test_by_name(built: Built, name: str) -> None:
    """So that the test above is seen to look at the right things."""
    assert name in inside(built.wheel)


def test_no_file_names_the_folder_that_it_was_made_in(built: Built) -> None:
    for name, content in inside(built.wheel).items():
        assert bytes(built.wheel.parent.parent) not in content, name
        assert bytes(ROOT) not in content, name


def test_the_sdist_makes_the_same_wheel(built: Built) -> None:
    """In another folder, time zone and order of sets, a few seconds later."""
    assert built.wheel.name == built.wheel_of_sdist.name
    assert inside(built.wheel) == inside(built.wheel_of_sdist)
    assert built.wheel.read_bytes() == built.wheel_of_sdist.read_bytes()


def test_the_sdist_is_of_the_same_files(built: Built) -> None:
    with tarfile.open(built.sdist) as opened:
        found = {"/".join(Path(one.name).parts[1:]) for one in opened.getmembers() if one.isfile()}
    packed = {name for name in built.kept if name.startswith(("compiler/", "grammar/"))}
    told = {"LICENSE", "PKG-INFO", "README.md", "pyproject.toml", "setup.cfg"}
    # setuptools takes along what it writes itself, and `tests/test*.py` whatever it is told.
    own = {name for name in found if re.fullmatch(r"countwheel\.egg-info/[^/]+|tests/test[^/]*\.py", name)}
    assert found - own == {name for name in packed if not name.startswith(LEFT_OUT)} | told


def test_the_metadata_say_which_pythons_and_which_licence(built: Built) -> None:
    told = about(built.wheel)
    assert told["Requires-Python"] == ">=3.11"
    assert told["License-Expression"] == "MIT"
    assert told["License-File"] == "LICENSE"
    classes = told.get_all("Classifier") or []
    versions = [text.rsplit(" ", 1)[1] for text in classes if "Python :: 3." in text]
    assert versions == ["3.11", "3.12", "3.13", "3.14"]
    assert not [text for text in classes if text.startswith("License ::")]  # PEP 639: the expression says it
    assert "Typing :: Typed" in classes
