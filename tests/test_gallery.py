"""Every code's page keeps its word: its example has that fault and no other, the mended one has none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from countwheel.api import Result, check_text, compile_file
from countwheel.checks import AT_ODDS
from countwheel.diagnostics.pages import read
from countwheel.diagnostics.registry import CODES
from countwheel.diagnostics.render_text import render
from countwheel.files import Folder

SHOWN = [code for code in CODES if not read(code).not_shown]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    """The folder that the pages speak of: one picture, and nothing else."""
    root = tmp_path_factory.mktemp("clock")
    (root / "photos").mkdir()
    (root / "photos" / "click.jpg").write_bytes(b"a picture")
    return Folder(root)


def compiled(text: str, folder: Folder) -> Result:
    return check_text(text, "example.movement", folder.text, folder.has)


def codes(result: Result) -> tuple[set[str], set[str]]:
    """The codes of the errors, and all codes."""
    errors = {found.code for found in result.diagnostics if found.severity == "error"}
    return errors, {found.code for found in result.diagnostics}


@pytest.mark.parametrize("code", SHOWN)
def test_the_example_has_this_fault_and_no_other_error(code: str, folder: Folder) -> None:
    result = compiled(read(code).example, folder)
    errors, every = codes(result)
    assert code in every, render(result.diagnostics, result.sources)
    # which fact would reconcile the most is said beside the contradiction itself
    beside = AT_ODDS if code == "M519" else frozenset()
    assert errors <= {code} | beside, render(result.diagnostics, result.sources)


@pytest.mark.parametrize("code", SHOWN)
def test_the_mended_example_has_no_error(code: str, folder: Folder) -> None:
    result = compiled(read(code).mended, folder)
    errors, every = codes(result)
    assert not errors, render(result.diagnostics, result.sources)
    assert code not in every, render(result.diagnostics, result.sources)


@pytest.mark.parametrize("code", SHOWN)
def test_what_is_said_is_in_good_order(code: str, folder: Folder) -> None:
    result = compiled(read(code).example, folder)
    for found in result.diagnostics:
        assert found.severity == CODES[found.code].severity
        assert found.message
        # a sentence, though it may begin with the path of a part
        assert not found.message[0].islower() or "." in found.message.split()[0], found.message
        assert "example.movement" not in found.message.replace("`example.movement`", "")
        places = [found.span, *(other.span for other in found.others), *(edit.span for edit in found.edits)]
        for span in places:
            assert 0 <= span.start <= span.end <= len(result.sources[span.file].text)


@pytest.mark.parametrize("code", SHOWN)
def test_an_edit_that_is_offered_mends_the_fault(code: str, folder: Folder) -> None:
    text = read(code).example
    result = compiled(text, folder)
    before = [found.code for found in result.diagnostics].count(code)
    for edit in next(found for found in result.diagnostics if found.code == code).edits:
        assert edit.span.file == "example.movement"
        mended = compiled(text[: edit.span.start] + edit.text + text[edit.span.end :], folder)
        after = [found.code for found in mended.diagnostics].count(code)
        assert after == before - 1, render(mended.diagnostics, mended.sources)


def test_what_no_page_can_show_is_found_in_files(tmp_path: Path) -> None:
    assert set(CODES) - set(SHOWN) == {"M002"}
    path = tmp_path / "old.movement"
    path.write_bytes('countwheel 1\n\nclock "Qu\u00e4y clock"\n'.encode("latin-1"))
    assert [found.code for found in compile_file(path).diagnostics] == ["M002"]
    path.write_text('countwheel 1\n\nclock "Qu\u00e4y clock"\n', encoding="utf-8")
    assert "M002" not in {found.code for found in compile_file(path).diagnostics}


CASES = sorted((Path(__file__).parent / "cases" / "codes").glob("*.movement"))


def expected(text: str) -> set[tuple[int, str]]:
    """Line and code of every fault that a case says it has: `#! M201` behind the line."""
    return {
        (number, code)
        for number, line in enumerate(text.splitlines(), 1)
        if "#!" in line
        for code in re.findall(r"M\d{3}", line.split("#!")[1])
    }


@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_every_fault_is_told_in_one_run_beside_its_line(case: Path) -> None:
    text = case.read_text(encoding="utf-8")
    result = check_text(text, file=case.name)
    found = {
        (result.sources[fault.span.file].place(fault.span.start).line, fault.code)
        for fault in result.diagnostics
        if fault.severity == "error"
    }
    assert found == expected(text), render(result.diagnostics, result.sources)


def test_the_cases_are_there() -> None:
    assert [case.stem for case in CASES] == ["clean", "many", "one_fault_one_message"]
