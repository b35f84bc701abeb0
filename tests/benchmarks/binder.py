"""How fast a binder is made, printed: run by hand with `python tests/benchmarks/binder.py [FILE]`, never as a test.

Two things, in turns, so that what else the machine does falls on both alike; each time is the least of the rounds:

- the command, from a cold shell to the last file (`countwheel binder`);
- the pages alone: the same content tree laid out as one tagged PDF by ours, and by WeasyPrint, a library that lays out
  HTML, from the pages of the binder's folder, which are written before the clock is started.

The other library is wanted here only: `pip install weasyprint` (it needs Pango from the system). We aim at 2 s for the
command, and at five times the speed of the other for the pages.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from io import BytesIO
from pathlib import Path
from time import perf_counter

from countwheel import api, outputs
from countwheel.emit.document import Binder
from countwheel.emit.html import print_binder
from countwheel.emit.pdf import print_pdf
from pypdf import PdfReader

DEMO = Path(__file__).parents[2] / "specs" / "penquay-harbour-office"


def command(file: str) -> float:
    """Wall time in seconds of the whole command."""
    with tempfile.TemporaryDirectory() as folder:
        begun = perf_counter()
        subprocess.run(
            [Path(sys.executable).with_name("countwheel"), "binder", file, "--to", f"{folder}/made"],
            check=True,
            capture_output=True,
        )
        return perf_counter() - begun


def by_us(binder: Binder) -> tuple[float, int]:
    """Wall time in seconds of setting the pages, and how many there are."""
    begun = perf_counter()
    made = print_pdf(binder)
    return perf_counter() - begun, len(PdfReader(BytesIO(made)).pages)


def by_the_other(pages: dict[str, bytes]) -> tuple[float, int]:
    """The same by WeasyPrint: every page of the folder, put together as one tagged file."""
    from weasyprint import HTML

    with tempfile.TemporaryDirectory() as folder:
        for name, content in pages.items():
            path = Path(folder, name)
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)
        begun = perf_counter()
        laid_out = [HTML(Path(folder, name)).render() for name in pages if name.endswith(".html")]
        together = [page for one in laid_out for page in one.pages]
        laid_out[0].copy(together).write_pdf(f"{folder}/all.pdf", pdf_tags=True)
        return perf_counter() - begun, len(together)


def main() -> None:
    options = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    options.add_argument("file", nargs="?", default=str(DEMO))
    options.add_argument("--rounds", type=int, default=3)
    asked = options.parse_args()
    result = api.compile_file(asked.file)
    binder = outputs.binder(result)
    pages = print_binder(binder)
    try:
        import weasyprint
    except (ImportError, OSError) as missing:
        weasyprint = None
        print(f"the other library is not here, ours alone is timed: {missing}")
    whole: list[float] = []
    ours: list[tuple[float, int]] = []
    theirs: list[tuple[float, int]] = []
    for _ in range(asked.rounds):
        whole.append(command(asked.file))
        ours.append(by_us(binder))
        if weasyprint:
            theirs.append(by_the_other(pages))
    print(f"the command, cold: {min(whole):.2f} s ({', '.join(f'{one:.2f}' for one in whole)})")
    print(f"the pages, ours:   {min(ours)[0]:.2f} s, {ours[0][1]} pages")
    if theirs:
        print(f"WeasyPrint {weasyprint.__version__}:   {min(theirs)[0]:.2f} s, {theirs[0][1]} pages")
        print(f"ratio:             {min(theirs)[0] / min(ours)[0]:.1f}")


if __name__ == "__main__":
    main()
