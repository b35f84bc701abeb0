"""A program that sets one paper after another does not keep the pages of all of them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

SPEC = Path(__file__).parents[2] / "specs" / "penquay-harbour-office"
SEVERAL = f"""
import dataclasses, re, sys
from pathlib import Path
from countwheel import api, outputs
from countwheel.emit import pdf

pdf._MOST_KEPT = int(sys.argv[1])
sheets = outputs.sheets(api.compile_file({str(SPEC)!r}))
for number in range(9):
    pdf.print_pdf(dataclasses.replace(sheets, running=f"{{number}}"))
# What `resource` tells would count the most memory of the program that began this one too.
print(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
"""


def _told() -> bool:
    status = Path("/proc/self/status")
    return status.exists() and "VmHWM" in status.read_text()


def most(kept: int) -> int:
    """The most memory that setting a paper nine times over has taken, each time with another running head."""
    done = subprocess.run(
        [sys.executable, "-c", SEVERAL, str(kept)], capture_output=True, text=True, check=True, timeout=240
    )
    return int(done.stdout)


@pytest.mark.skipif(not _told(), reason="this system does not tell the most memory so")
def test_pages_set_before_are_let_go_of() -> None:
    from countwheel.emit import pdf

    assert most(pdf._MOST_KEPT) < 0.8 * most(10**12)
