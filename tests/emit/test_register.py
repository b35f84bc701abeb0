"""The evidence register holds every recorded value once, with all that is said of how it is known."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from countwheel import api
from countwheel.emit import register_text
from countwheel.emit.html import print_html
from countwheel.emit.pdf import print_pdf
from countwheel.emit.register import Recorded, build_register, facts_of, summary_of
from countwheel.emit.traversal import dangling, plain
from countwheel.model.node import Node
from manual_reading import read_page
from pypdf import PdfReader

jsonschema: Any = pytest.importorskip("jsonschema")

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)

TWO_SURVEYS = """countwheel 1

clock "Try"
pendulum
  beat 1 s
  bob iron
    remark "rusty below"
    mass
      150 lb ± 1 lb    measured on 2026-05-02 by "KT"
      168 lb           stamped
      150 lb           copied from "survey; sheet 3" doubted "whose?"
"""


def rows_of(text: str) -> tuple[Recorded, ...]:
    result = api.check_text(text, "try/try.movement")
    assert result.clock is not None
    return facts_of(result.clock, result.sources)


def demo(name: str) -> tuple[api.Result, tuple[Recorded, ...]]:
    result = api.compile_file(str(SPECS / name))
    assert result.clock is not None
    return result, facts_of(result.clock, result.sources)


def everything(node: Node) -> Iterator[Node]:
    for inner in node.facts:
        if inner.word not in (
            "countwheel",
            "remark",
            "history",
            "procedure",
            "log",
            "expect",
            "contact",
            "photo",
        ):
            yield inner
            yield from inner.others
            yield from everything(inner)


@pytest.mark.parametrize("name", DEMOS)
def test_every_value_with_evidence_is_there(name: str) -> None:
    result, rows = demo(name)
    assert result.clock is not None
    stated = Counter(
        (node.path, node.evidence.how, node.evidence.on, node.evidence.by, node.evidence.source)
        for node in everything(result.clock.root)
        if node.evidence.how != "unstated"
    )
    listed = Counter(
        (row.path, row.how, row.on or None, row.by or None, row.source or None)
        for row in rows
        if row.how not in ("unstated", "unknown")
    )
    assert stated == listed
    # what a figure rests on stands in the register, whatever it is
    paths = {row.path for row in rows}
    for figure in result.figures.values():
        for one in figure.inputs:
            path = re.sub(r" (\(.*\)|\d+)$", "", one.path)
            assert path in paths or not one.how or one.evidence.startswith("assumed"), one


@pytest.mark.parametrize("name", DEMOS)
def test_the_line_is_the_one_that_the_value_stands_on(name: str) -> None:
    _, rows = demo(name)
    for row in rows:
        assert row.line is not None
        line = (SPECS / name / row.file).read_text(encoding="utf-8").splitlines()[row.line - 1]
        if row.on:
            assert row.on in line, row
        if row.by:
            assert f'"{row.by}"' in line, row
        if row.how not in ("unstated", "unknown"):
            assert row.how in line, row


def test_two_values_of_one_fact() -> None:
    held, stamped, copied = (row for row in rows_of(TWO_SURVEYS) if row.path == "pendulum.bob.mass")
    assert (held.holds, held.value, held.how, held.on, held.by, held.line) == (
        True,
        "150 lb ± 1 lb",
        "measured",
        "2026-05-02",
        "KT",
        9,
    )
    # 18 lb apart; 1 lb and the usual 2 % of a stamped 168 lb, 3.36 lb, are allowed
    assert (stamped.holds, stamped.apart, stamped.allowed, stamped.agrees) == (
        False,
        "18 lb",
        "4.4 lb",
        False,
    )
    assert stamped.tolerance == "± 2 % (usual for stamped)"
    assert (copied.agrees, copied.apart, copied.doubted, copied.source) == (
        True,
        "0 lb",
        "whose?",
        "survey; sheet 3",
    )
    assert next(row.remark for row in rows_of(TWO_SURVEYS) if row.path == "pendulum.bob") == "rusty below"
    told = summary_of(rows_of(TWO_SURVEYS))
    assert (told.others, told.disagreeing) == (2, 1)
    assert [(share.name, share.number) for share in told.people] == [("KT", 1)]
    assert [(share.name, share.first, share.last) for share in told.years] == [
        ("2026", "2026-05-02", "2026-05-02")
    ]


def test_a_value_of_several_parts_is_written_whole() -> None:
    head = "countwheel 1\ntrain going\n  arbor barrel\n    barrel\n    winding\n"
    said = {
        line: [row.value for row in rows_of(f"{head}      {line}\n") if row.path == "going.winding.jack"]
        for line in ("jack 30 drives 30 counted", "jack ?")
    }
    assert list(said.values()) == [["30 drives 30"], ["?"]]


@pytest.mark.parametrize("name", DEMOS)
def test_on_paper_all_stands_that_is_recorded(name: str) -> None:
    result, rows = demo(name)
    assert result.clock is not None
    document = build_register(result.clock, result.sources)
    assert not dangling(document)
    # a long path goes over two lines, so that spaces are no measure
    text = "".join(plain(document).split())
    page = "".join(read_page(print_html(document)).text.split())
    for row in rows:
        for said in (row.path, row.value, row.on, row.by, row.source, row.doubted, row.remark):
            assert "".join(said.split()) in text, row
            assert "".join(said.split()) in page, row


def test_the_pdf_says_which_disagree() -> None:
    result = api.check_text(TWO_SURVEYS)
    assert result.clock is not None
    reader = PdfReader(BytesIO(print_pdf(build_register(result.clock, result.sources))))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert "also recorded" in text
    assert "18 lb from the one that holds, where the tolerances allow 4.4 lb" in text
    assert "doubted: whose?" in text


# -- CSV and JSON ---------------------------------------------------------------------------
def test_csv_reads_back_and_holds_no_formula() -> None:
    text = TWO_SURVEYS.replace('"KT"', '"=SUM(A1)"')
    text = text.replace("survey; sheet 3", "@x, line 2").replace("rusty below", "-5 | +3")
    made = register_text.as_csv(rows_of(text))
    assert made.count("\r\n") == made.count("\n")
    read = list(csv.DictReader(io.StringIO(made, newline="")))
    assert len(read) == len(rows_of(text))
    assert not [cell for row in read for cell in row.values() if cell[:1] in "=+-@" and cell]
    assert {row["by"] for row in read} == {"", "'=SUM(A1)"}
    assert {row["source"] for row in read} == {"", "'@x, line 2"}
    assert {row["holds"] for row in read} == {"yes", "no"}


@pytest.mark.parametrize("name", DEMOS)
def test_json_fits_its_schema(name: str) -> None:
    result, rows = demo(name)
    assert result.clock is not None
    made = json.loads(register_text.dump(result.clock.name, rows))
    jsonschema.Draft202012Validator(register_text.schema()).validate(made)
    assert len(made["facts"]) == len(rows)
    assert sum(made["summary"]["how"].values()) == made["summary"]["facts"] == sum(row.holds for row in rows)


def test_as_text() -> None:
    text = register_text.text("Try", rows_of(TWO_SURVEYS))
    assert (
        "  pendulum.bob.mass: 150 lb ± 1 lb\n      measured on 2026-05-02 by KT  [try.movement:9]\n" in text
    )
    assert "    also 168 lb ± 2 % (usual for stamped)\n" in text
    assert "DISAGREES: 18 lb from the value that holds; the tolerances allow 4.4 lb" in text
    assert "DOUBTED: whose?" in text
