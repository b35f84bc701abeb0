"""The calculation sheets hold every figure, with its working, and every fact that was used."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from countwheel import api
from countwheel.emit.pdf import print_pdf
from countwheel.emit.sheets import build_sheets
from countwheel.emit.traversal import dangling, plain
from pypdf import PdfReader

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)


@pytest.mark.parametrize("demo", DEMOS)
def test_every_figure_and_every_fact_is_there(demo: str) -> None:
    result = api.compile_file(str(SPECS / demo))
    assert result.clock is not None
    sheets = build_sheets(result.clock, result.figures)
    lines = plain(sheets).splitlines()
    said = set(lines)
    text = "\n".join(lines)
    for figure in result.figures.values():
        if figure.value is None:
            assert figure.id in said
            continue
        assert f"Figure {figure.id}" in said
        if figure.formula:
            assert f"Formula {figure.formula}" in said
            assert not figure.substitution or f"{figure.substitution} = {figure.shown}" in text
        for one in figure.inputs:
            assert one.path in said
        for caution in figure.cautions:
            assert f"Caution {caution}" in said
    assert not dangling(sheets)
    assert [chapter.number for chapter in sheets.chapters] == list(range(1, len(sheets.chapters) + 1))


def test_on_paper() -> None:
    result = api.compile_file(str(SPECS / "penquay-harbour-office"))
    assert result.clock is not None
    reader = PdfReader(BytesIO(print_pdf(build_sheets(result.clock, result.figures))))
    pages = [page.extract_text() for page in reader.pages]
    assert all(len(page) > 100 for page in pages)
    assert any("going.duration.by_turns" in page and "17/(1/12) = 204.0 h" in page for page in pages)
