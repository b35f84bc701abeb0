"""A program that sets one paper after another does not keep the pages of all of them."""

from __future__ import annotations

from pathlib import Path

from countwheel.emit import pdf
from extreme_running import taken_by

SPEC = Path(__file__).parents[2] / "specs" / "penquay-harbour-office"
SEVERAL = f"""
import dataclasses, sys
from countwheel import api, outputs
from countwheel.emit import pdf

pdf._MOST_KEPT = int(sys.argv[1])
sheets = outputs.sheets(api.compile_file({str(SPEC)!r}))
for number in range(9):
    pdf.print_pdf(dataclasses.replace(sheets, running=f"{{number}}"))
"""


def most(kept: int) -> float:
    """The most memory that setting a paper nine times over has taken, each time with another running head."""
    done = taken_by("-c", SEVERAL, str(kept))
    assert done.code == 0, done.said
    return done.megabytes


def test_pages_set_before_are_let_go_of() -> None:
    assert most(pdf._MOST_KEPT) < 0.8 * most(10**12)
