"""The reference of the figures is made from the clocks. `python tests/test_figures_reference.py` writes it anew."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from countwheel import api, cli
from countwheel.emit.figures_markdown import PAGES, QUARTERS, Described, anchor, patterns, reference
from countwheel.figures import MECHANISMS

ROOT = Path(__file__).parent.parent
PLACE = ROOT / "specs" / "reference" / "figures"
FIRST_READ = "penquay-harbour-office"  # the demo that is the whole of a well-kept clock
EXAMPLE = re.compile(
    r"^## `(?P<pattern>\S+)`\n\n.*? From \[(?P<name>.+?)\]\((?P<link>\S+)\):\n\n```\n(?P<text>.*?)```$",
    re.M | re.S,
)


def files() -> list[Path]:
    """The demos, the first to be read first, then the clocks from print; included files are not clocks."""
    demos = [path for path in (ROOT / "specs").glob("*/*.movement") if path.stem == path.parent.name]
    outside = (ROOT / "tests" / "outside" / "clocks").glob("*.movement")
    return sorted(demos, key=lambda path: (path.stem != FIRST_READ, path.stem)) + sorted(outside)


@cache
def described() -> tuple[Described, ...]:
    clocks = [(path, api.compile_file(path, working=False).clock) for path in files()]
    return tuple(
        Described(path.stem, _link(path), path.is_relative_to(ROOT / "specs"), patterns(clock))
        for path, clock in clocks
        if clock is not None
    )


def _link(path: Path) -> str:
    parts = path.relative_to(ROOT).parts
    return "../../" + "/".join(parts[1:]) if parts[0] == "specs" else "../../../" + "/".join(parts)


@cache
def pages() -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(PLACE.glob("*.md"))}


def test_the_pages_are_what_the_clocks_give() -> None:
    assert pages() == reference(described())


def test_every_mechanism_has_its_page() -> None:
    assert sorted(name for page in PAGES for name in page.mechanisms) == sorted(MECHANISMS)


def test_every_kind_of_figure_has_an_example_or_says_what_it_waits_for() -> None:
    shown = {found["pattern"] for text in pages().values() for found in EXAMPLE.finditer(text)}
    index = pages()["README.md"]
    for one in described():
        for found in one.found:
            if found.figure.value is not None:
                assert found.pattern in shown, (found.pattern, one.name)
            assert f"`{found.pattern}`" in index, (found.pattern, one.name)


def test_no_kind_is_told_by_a_name_that_the_keeper_gave() -> None:
    """Each pattern stands for the same thing in every clock, so it holds no name of an arbor, a dial or a season."""
    for path in files():
        clock = api.compile_file(path, working=False).clock
        assert clock is not None
        names: dict[str, set[str]] = {
            "TRAIN": {arbor.name for train in clock.trains for arbor in train.arbors} - {"barrel", "fly"},
            "dial": {dial.name for dial in clock.dials},
            "season": {node.label or "" for node in clock.root.all("season")},
        }
        for found in patterns(clock):
            first, *steps = found.pattern.split(".")
            assert first not in {train.name for train in clock.trains} or found.pattern in QUARTERS
            assert not names.get(first, set()) & set(steps), (found.pattern, path.stem)


def written_ids() -> Iterator[tuple[str, re.Pattern[str]]]:
    """The ids that stand in the code of the figures, as far as they are written out there."""
    for path in sorted((ROOT / "compiler" / "figures").glob("*.py")):
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not (isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute) and call.args):
                continue
            id = call.args[0]
            if call.func.attr not in ("derive", "state") or not isinstance(id, ast.Constant | ast.JoinedStr):
                continue
            parts = id.values if isinstance(id, ast.JoinedStr) else [id]
            steps = [
                re.escape(str(part.value)) if isinstance(part, ast.Constant) else r"[\w.]+" for part in parts
            ]
            yield f"{path.name}:{call.lineno}", re.compile("".join(steps))


def test_every_id_in_the_code_is_in_the_index() -> None:
    listed = re.findall(r"^\| \[?`([\w.]+)`", pages()["README.md"], re.M)
    ids = list(written_ids())
    assert len(ids) > 100
    assert not [(place, id.pattern) for place, id in ids if not any(id.fullmatch(one) for one in listed)]


def test_links_in_the_index_lead_to_headings() -> None:
    index = pages()["README.md"]
    links = re.findall(r"\]\(([\w-]+\.md)#([\w-]+)\)", index)
    assert links
    for file, name in links:
        headings = [anchor(line[3:]) for line in pages()[file].splitlines() if line.startswith("## ")]
        assert headings.count(name) == 1, (file, name)


def test_an_example_is_what_the_command_prints(capsys: pytest.CaptureFixture[str]) -> None:
    wanted: dict[Path, list[str]] = {}
    for text in pages().values():
        for found in EXAMPLE.finditer(text):
            wanted.setdefault((PLACE / found["link"]).resolve(), []).append(found["text"])
    assert wanted
    for file, texts in wanted.items():
        ids = [text.partition("\n")[0] for text in texts]
        cli.main(["figures", str(file), "--working", *(part for id in ids for part in ("--only", id))])
        printed = re.split(r"\n(?=\S)", capsys.readouterr().out)
        assert sorted(text.strip() for text in printed) == sorted(text.strip() for text in texts)


def write() -> None:
    PLACE.mkdir(parents=True, exist_ok=True)
    made = reference(described())
    for old in PLACE.glob("*.md"):
        if old.name not in made:
            old.unlink()
    for name, text in made.items():
        (PLACE / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write()
