"""A program that sets one paper after another does not keep the pages of all of them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

SPEC = Path(__file__).parents[2] / "specs" / "penquay-harbour-office"
SEVERAL = f"""
import dataclasses, resource, sys
from countwheel import api, outputs
from countwheel.emit import pdf

pdf._MOST_KEPT = int(sys.argv[1])
sheets = outputs.sheets(api.compile_file({str(SPEC)!r}))
for number in range(6):
    pdf.print_pdf(dataclasses.replace(sheets, running=f"{{number}}"))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def most(kept: int) -> int:
    """The most memory that setting a paper six times over has taken, each time with another running head."""
    done = subprocess.run(
        [sys.executable, "-c", SEVERAL, str(kept)], capture_output=True, text=True, check=True, timeout=240
    )
    return int(done.stdout)


def test_pages_set_before_are_let_go_of() -> None:
    from countwheel.emit import pdf

    assert most(pdf._MOST_KEPT) < 0.8 * most(10**12)
