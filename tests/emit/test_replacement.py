"""The replacement sheets: what a page says of a lost wheel, of a worn one, of a lantern pinion; how it is printed."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from countwheel import api, outputs
from countwheel.emit.document import Caution, Document, Items, Own, Paragraph, Space, Table, Text
from countwheel.emit.html import print_html
from countwheel.emit.pdf import print_pdf
from countwheel.emit.plain_text import print_text
from countwheel.emit.traversal import dangling, plain, walk
from pypdf import PdfReader

SPECS = Path(__file__).parents[2] / "specs"

# A pair that does not fit its arbors: by the leaves' diameter the module is 3, by the centres 3.1.
MISFIT = """
countwheel 1
clock "Granary clock"
train going
  arbor barrel
    wheel great 64                   counted
      condition "three teeth broken"
      crossings 5                    counted
      remark "<b>not</b> & yet"
    turns clockwise
  arbor centre
    pinion 8                         counted
      outside diameter 27.14 mm ± 0.1 mm measured
    wheel 60
    centre distance 111.6 mm ± 0.1 mm to going.barrel measured
  arbor fly
    pinion 8
    wheel worm screw 1
      starts 1
  arbor last
    driven by going.fly.screw
    pinion 30
"""


def sheets(text_or_demo: str, asked: str = "") -> Document:
    demo = "\n" not in text_or_demo
    result = api.compile_file(SPECS / text_or_demo) if demo else api.check_text(text_or_demo)
    document = outputs.replacement(result, asked)
    assert document is not None
    return document


def rows(document: Document, title: str) -> dict[str, list[str]]:
    """The rows of the table whose first head is `title`, by their first cell, of the first page that has one."""
    tables = (part for part in walk(document) if isinstance(part, Table))
    table = next(table for table in tables if plain(table.heads[0]).strip() == title)
    cells = ([plain(cell).strip() for cell in row] for row in table.rows)
    return {row[0]: row[1:] for row in cells}


def test_the_lost_wheel_of_a_wreck() -> None:
    document = sheets("tarnholt-ropewalk")
    (page,) = document.chapters
    assert page.title == "Wheel of the third arbor of the going train"
    said = plain(page)
    assert "Why it is lost" in said
    assert "Teeth lost; it may have been 56 to 64, even" in said
    assert (
        "Drives the pinion of the escape arbor of the going train, leaves: 8 (counted, 14 Jun 2024, by EH)"
        in said
    )
    assert "as an assumption: the form is to be seen from the mate" in said
    assert {row[0] for row in rows(document, "Size").values()} == {"waits"}
    assert "From the other counts it follows that it had 60" in said
    assert "waits for the centre distance of the third arbor of the going train." in said
    assert rows(document, "What")["Distance of the centres"][2] == "not known, perhaps 110 to 118 mm"
    assert "Look first at the loose wheel “crate”" in said


def test_a_worn_pinion() -> None:
    document = sheets("marlsted-corn-hall")
    (page,) = document.chapters
    said = plain(page)
    assert "Why its condition, as stated: leaves worn, two of them to a step" in said
    assert "Leaves 9 (counted" in said
    assert "Turns clockwise, seen from the front" in said
    sizes = rows(document, "Size")
    assert sizes["Module"][:2] == ["2.021 mm", "± 0.012 mm"]  # 1/4 in / π = 2.0213 mm
    assert sizes["Circular pitch"][0] == "6.350 mm"  # 1/4 in
    assert sizes["Outside diameter"][2] == "only assumed"
    ways = rows(document, "Way")
    assert [row[3] for row in ways.values()] == ["the sizes above", "yes", "yes", "yes"]
    assert [way for way in ways if "Best known" in way] == [
        "From its mate's outside diameter and the tooth form. Best known."
    ]


def test_ways_that_do_not_agree_and_what_must_be_measured() -> None:
    document = sheets(MISFIT)
    ways = rows(document, "Way")
    assert ways["From the distance of the centres and both counts. Best known."][3] == "no: measure again"
    # the pitch circle right to a twentieth of a module: 0.05 × 3 mm × 72/64
    measured = rows(document, "What")
    assert measured["Distance of the centres"][:3] == [
        "± 0.17 mm",
        "a vernier calliper",
        "111.6 mm ± 0.1 mm; enough",
    ]
    assert measured["Outside diameter of the mate"][1:3] == ["a micrometer", "27.14 mm ± 0.1 mm; not enough"]


@pytest.mark.parametrize("asked", ["", "going.centre.pinion", "going.barrel.great"])
def test_every_page_has_its_caution_and_room_to_sign(asked: str) -> None:
    document = sheets(MISFIT, asked)
    assert not dangling(document)
    for page in document.chapters:
        parts = list(walk(page))
        (caution,) = (part for part in parts if isinstance(part, Caution))
        said = plain(caution)
        assert "with the maker, who decides" in said
        assert "The old part is kept" in said
        assert "only when the weight is down" in said
        (room,) = (part for part in parts if isinstance(part, Space))
        assert "signed for the owner and by the maker" in plain(room)


def test_a_part_that_nothing_is_amiss_with() -> None:
    said = plain(sheets(MISFIT, "going.centre.pinion"))
    assert "it was asked for; the description does not say that anything is amiss with it" in said


def test_a_lantern_pinion_is_told_by_its_trundles() -> None:
    document = sheets("vaubrune-gate")
    sizes = rows(document, "Size")
    assert "Diameter over the trundles" in sizes
    assert "Outside diameter" not in sizes
    assert rows(document, "What")["Trundles, where not worn"][2] == "2 1/4 Paris lines"
    assert "Outside diameter of the mate" not in rows(document, "What")


def test_a_worm_gets_no_sizes() -> None:
    said = plain(sheets(MISFIT, "going.fly.wheel screw"))
    assert "Of a worm pair no sizes are worked out here" in said
    assert "By the figures" not in said
    assert "Tooth form" not in said


def test_a_wheel_that_nothing_meshes_with() -> None:
    """The first thing it waits for is its mate, also where a distance is stated that leads to nowhere."""
    for distance in ("", "    centre distance 5 in\n"):
        lost = f"    wheel spare ? 20..30 lost\n{distance}    turns clockwise"
        said = " ".join(
            plain(sheets(MISFIT.replace("    turns clockwise", lost), "going.barrel.spare")).split()
        )
        assert (
            "waits for what is to mesh with it and the count of the wheel “spare” of the barrel arbor" in said
        )


def test_nothing_that_the_keeper_wrote_is_markup() -> None:
    text = MISFIT.replace("three teeth broken", "<b>broken</b> & bent")
    said = plain(sheets(text))
    assert "<b>broken</b> & bent" in said
    assert "&lt;b&gt;broken" in print_html(sheets(text))


# -- on paper and on a terminal ----------------------------------------------------------


@pytest.mark.parametrize("demo", ["tarnholt-ropewalk", "marlsted-corn-hall", "vaubrune-gate"])
def test_a_page_a_part(demo: str) -> None:
    document = sheets(demo)
    reader = PdfReader(BytesIO(print_pdf(document)))
    assert len(reader.pages) == len(document.chapters)
    for page, chapter in zip(reader.pages, document.chapters, strict=True):
        assert chapter.title in page.extract_text()
        assert "signed for the owner" in page.extract_text()


def test_as_text() -> None:
    document = sheets(MISFIT)
    for width in (60, 100):
        text = print_text(document, width)
        assert max(map(len, text.splitlines())) <= width
        words = " ".join(text.split())
        assert "| Nothing is to be cut from this paper alone." in text
        assert "Why its condition, as stated: three teeth broken" in words
    lines = print_text(document, 100).splitlines()
    (module,) = (line for line in lines if line.startswith("Module "))
    assert module.split()[1:3] == ["2.9998", "mm"]  # 27.14 mm / (8 + π/3)


def test_text_of_every_kind_of_block() -> None:
    step, tell = (Paragraph((Text("Lift the click."),)),), (Paragraph((Text("As my father did."),)),)
    made = Document(
        "A", "b", "", "", (Items(True, (step, step)), Items(False, (step,)), Own("Remark", tell)), ()
    )
    assert print_text(made) == (
        "A – b\n\n1. Lift the click.\n2. Lift the click.\n\n- Lift the click.\n\nRemark\n  As my father did.\n"
    )
