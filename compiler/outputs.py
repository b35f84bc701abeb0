"""What the commands write: the manual, the drawings, the sheets, as names and bytes. Writes nothing itself."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Literal

from countwheel.api import Result, gaps

if TYPE_CHECKING:
    from countwheel.emit.document import Document
    from countwheel.emit.drawing import Drawing
    from countwheel.search.gap import Gaps

Paper = Literal["a4", "us-letter"]


def drawings(result: Result) -> tuple[Drawing, ...]:
    from countwheel.emit.drawings import draw_all

    assert result.clock is not None
    return draw_all(result.clock, result.figures)


def drawing_files(made: tuple[Drawing, ...]) -> dict[str, bytes]:
    return {f"{drawing.id}.svg": drawing.svg.encode() for drawing in made}


def sound_files(result: Result) -> dict[str, bytes]:
    """What the clock strikes and chimes in an hour, to listen to; none where it does neither."""
    from countwheel.emit.strike_midi import NAME, strike_file

    assert result.clock is not None
    content = strike_file(result.clock)
    return {NAME: content} if content is not None else {}


def manual(result: Result, made: tuple[Drawing, ...], *, with_contacts: bool = True) -> Document:
    """The keeper's manual; without `with_contacts`, with room for telephone numbers and addresses in their place."""
    from countwheel.emit.manual import build_manual

    assert result.clock is not None
    return build_manual(result.clock, result.figures, made, with_contacts=with_contacts)


def replacement(result: Result, asked: str = "") -> Document | None:
    """The sheet of the wheel or pinion asked for, else of all that are to be made anew; None where there is none."""
    from countwheel.emit.replacement import build_replacement, find, wanting

    assert result.clock is not None
    part = find(result.clock, asked)
    parts = (part,) if part else () if asked else wanting(result.clock)
    return build_replacement(result.clock, result.figures, parts) if parts else None


def printed(name: str, document: Document, paper: Paper, issued: int | None) -> dict[str, bytes]:
    """A document as HTML and as PDF."""
    from countwheel.emit.html import print_html
    from countwheel.emit.pdf import print_pdf

    return {
        f"{name}.html": print_html(document).encode(),
        f"{name}.pdf": print_pdf(document, paper=paper, timestamp=issued),
    }


def measuring(result: Result, found: Gaps) -> Document:
    """The sheet to take up the tower: what to measure, with room to write."""
    from countwheel.emit.measuring import build_measuring

    assert result.clock is not None
    return build_measuring(result.clock, found)


def register(result: Result) -> Document:
    from countwheel.emit.register import build_register

    assert result.clock is not None
    return build_register(result.clock, result.sources)


def register_csv(result: Result) -> bytes:
    from countwheel.emit import register_text
    from countwheel.emit.register import facts_of

    assert result.clock is not None
    return register_text.as_csv(facts_of(result.clock, result.sources)).encode()


def register_files(result: Result, paper: Paper, issued: int | None) -> dict[str, bytes]:
    return printed("evidence", register(result), paper, issued) | {"evidence.csv": register_csv(result)}


def everything(
    result: Result, paper: Paper = "a4", issued: int | None = None, *, with_contacts: bool = True
) -> dict[str, bytes]:
    """All outputs of one description, by name below its folder, with a manifest of their SHA-256 sums."""
    from concurrent.futures import ThreadPoolExecutor
    from functools import partial

    from countwheel.emit import figure_json, figure_text, model_json
    from countwheel.emit.html import print_html
    from countwheel.emit.pdf import print_pdf
    from countwheel.emit.sheets import build_sheets

    assert result.clock is not None
    figures = list(result.figures.values())
    to_pdf = partial(print_pdf, paper=paper, timestamp=issued)
    files: dict[str, bytes] = {}
    # The library that sets the PDFs lets other threads run meanwhile: the longest is begun first.
    with ThreadPoolExecutor() as pool:
        pdfs = {"calculations.pdf": pool.submit(to_pdf, build_sheets(result.clock, result.figures))}
        found = gaps(result)
        made = drawings(result)
        documents = {
            "manual": manual(result, made, with_contacts=with_contacts),
            "evidence": register(result),
        }
        if found is not None:
            documents["measuring"] = measuring(result, found)
        pdfs |= {f"{name}.pdf": pool.submit(to_pdf, document) for name, document in documents.items()}
        if sheets := replacement(result):
            pdfs["replacement.pdf"] = pool.submit(to_pdf, sheets)
        beside = drawing_files(made) | sound_files(result)
        files |= {f"drawings/{name}": content for name, content in beside.items()}
        files |= {f"{name}.html": print_html(document).encode() for name, document in documents.items()}
        files["evidence.csv"] = register_csv(result)
        files["figures.txt"] = figure_text.working(figures).encode()
        files["figures.json"] = figure_json.dump(
            result.clock.name, figures, result.diagnostics, result.sources
        ).encode()
        files["model.json"] = model_json.dump(result.clock).encode()
        files |= {name: printing.result() for name, printing in pdfs.items()}
    manifest = {
        "schema": "countwheel manifest 1",
        "movement": result.clock.name,
        "files": {name: hashlib.sha256(content).hexdigest() for name, content in sorted(files.items())},
    }
    files["manifest.json"] = (json.dumps(manifest, ensure_ascii=False, indent=2) + "\n").encode()
    return files
