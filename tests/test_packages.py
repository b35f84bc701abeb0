"""The wheel carries every package: an editable install, which the other tests run on, would not show one left out."""

import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_every_folder_of_the_compiler_is_listed_in_the_project_file() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        listed = tomllib.load(file)["tool"]["setuptools"]["packages"]
    folders = {"countwheel", "countwheel.grammar"} | {
        "countwheel." + ".".join(inside.parent.relative_to(ROOT / "compiler").parts)
        for inside in (ROOT / "compiler").rglob("*/__init__.py")
    }
    assert set(listed) == folders
    assert len(listed) == len(set(listed))
