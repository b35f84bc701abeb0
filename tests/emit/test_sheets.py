"""The calculation sheets hold every figure, with its working, and every fact that was used."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from countwheel import api
from countwheel.emit import pdf_data
from countwheel.emit.document import Document, Facts, Section
from countwheel.emit.figure_text import value_text
from countwheel.emit.pdf import print_pdf
from countwheel.emit.sheets import build_sheets
from countwheel.emit.traversal import dangling, plain, walk
from pypdf import PdfReader

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)


@pytest.mark.parametrize("demo", DEMOS)
def test_every_figure_and_every_fact_is_there(demo: str) -> None:
    result = api.compile_file(str(SPECS / demo))
    assert result.clock is not None
    sheets = build_sheets(result.clock, result.figures)
    said = set(plain(sheets).splitlines())
    sections = {part.id: part for part in walk(sheets) if isinstance(part, Section)}
    listed = _facts_by_number(sheets)
    for figure in result.figures.values():
        if figure.value is None:
            assert figure.id in said
            continue
        lines = plain(sections[f"sheet-{figure.id}"]).splitlines()
        assert f"Result {' '.join(value_text(figure).split())}\u2003{figure.id}" in lines
        if figure.formula:
            assert f"Formula {figure.formula}" in lines
            text = "\n".join(lines)
            assert not figure.substitution or f"{figure.substitution} = {figure.shown}" in text
        for caution in figure.cautions:
            assert f"Caution {caution}" in lines
        assert _from(lines, listed) == {one.path for one in figure.inputs}
    assert not dangling(sheets)
    assert [chapter.number for chapter in sheets.chapters] == list(range(1, len(sheets.chapters) + 1))


def _facts_by_number(sheets: Document) -> dict[int, str]:
    (numbered,) = (part for part in sheets.chapters[-1].blocks if isinstance(part, Facts))
    told = (plain(one).partition(":")[0].split(maxsplit=1) for one in numbered.facts)
    return {int(number): path for number, path in told}


def _from(lines: list[str], listed: dict[int, str]) -> set[str]:
    """The facts that a sheet says its figure comes from, those given by number looked up."""
    told = next((line.removeprefix("From ") for line in lines[1:] if line.startswith("From ")), "")
    if not told.startswith("facts "):
        return set(told.split("; ")) - {""}
    ranges = (one.split("–") for one in told.removeprefix("facts ").split(", "))
    return {listed[at] for ends in ranges for at in range(int(ends[0]), int(ends[-1]) + 1)}


def test_on_paper() -> None:
    result = api.compile_file(str(SPECS / "penquay-harbour-office"))
    assert result.clock is not None
    reader = PdfReader(BytesIO(print_pdf(build_sheets(result.clock, result.figures))))
    pages = [page.extract_text() for page in reader.pages]
    assert all(len(page) > 100 for page in pages)
    assert any("going.duration.by_turns" in page and "17/(1/12) = 204.0 h" in page for page in pages)


def test_short_chapters_of_sheets_share_a_page() -> None:
    def chapter(number: int, rows: int) -> dict[str, Any]:
        return {"number": number, "blocks": [{"kind": "facts", "facts": [None] * rows}]}

    def shared(*rows: int) -> list[list[int]]:
        chapters = [chapter(number, lines) for number, lines in enumerate(rows)]
        return [[one["number"] for one in run] for run in pdf_data._runs(chapters)]

    assert shared() == []
    assert shared(30, 40, 30) == [[0, 1], [2]]
    assert shared(500, 40, 31) == [[0], [1], [2]]
    # a few lines stand with what is before them, and not alone on the next page
    assert shared(500, 3, 60) == [[0, 1], [2]]
    assert shared(3, 500, 3) == [[0], [1, 2]]
