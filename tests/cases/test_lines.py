"""Faulty descriptions with the expected diagnostics written beside the lines.

`#= M301 14-16` at the end of a line, or on a line of its own above it, says
that the line has that diagnostic with columns 14 up to 16 underlined. A file
must give exactly what it says, no more and no less.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from countwheel.api import Result, check_text

CASES = sorted((Path(__file__).parent / "lines").glob("*.movement"))
MARK = re.compile(r"(M\d{3}) (\d+)-(\d+)")


def expected(text: str) -> list[tuple[int, str, int, int]]:
    found = []
    for number, line in enumerate(text.split("\n"), 1):
        if "#=" not in line:
            continue
        before, _, marks = line.partition("#=")
        at = number if before.strip() else number + 1
        found += [(at, code, int(start), int(end)) for code, start, end in MARK.findall(marks)]
    return sorted(found)


def told(result: Result) -> list[tuple[int, str, int, int]]:
    found = []
    for diagnostic in result.diagnostics:
        source = result.sources[diagnostic.span.file]
        start, end = source.place(diagnostic.span.start), source.place(diagnostic.span.end)
        assert start.line == end.line or diagnostic.code in ("M104",), diagnostic
        found.append((start.line, diagnostic.code, start.column, end.column))
    return sorted(found)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_each_line_has_its_diagnostics_and_no_other(case: Path) -> None:
    text = case.read_text(encoding="utf-8")
    assert told(check_text(text, case.name)) == expected(text)


def test_the_planted_faults_are_many_and_differ() -> None:
    text = (Path(__file__).parent / "lines" / "planted.movement").read_text(encoding="utf-8")
    assert len(expected(text)) >= 25
    assert len({code for _, code, _, _ in expected(text)}) >= 18
