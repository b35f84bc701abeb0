"""What the commands write: the manual, the drawings, the sheets, as names and bytes. Writes nothing itself."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Literal

from countwheel.api import Result, changes, compile_file, gaps
from countwheel.beside import beside

if TYPE_CHECKING:
    from datetime import date

    from countwheel.compare.versions import Comparison
    from countwheel.emit.document import Binder, Document
    from countwheel.emit.drawing import Drawing
    from countwheel.emit.photo import Fault, Photo
    from countwheel.model.changes import Changes
    from countwheel.search.gap import Gaps

Paper = Literal["a4", "us-letter"]
Contacts = Literal["print", "blank", "none"]


@cache
def begin() -> None:
    """Has the templates of the papers read beside what comes next, which is to read the description."""
    from countwheel.emit import templating

    templating.take(beside(templating.read_all))


# What a manual needs beside the facts: the drawings, and what is not known.
Aside = tuple["tuple[Drawing, ...]", "Gaps | None"]


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


def manual(
    result: Result, made: tuple[Drawing, ...], found: Gaps | None, *, contacts: Contacts = "print"
) -> Document:
    """The keeper's manual, with what is not known.

    With `blank` contacts there is room for telephone numbers and addresses in their place.
    """
    from countwheel.emit.manual import build_manual

    assert result.clock is not None
    return build_manual(result.clock, result.figures, made, gaps=found, contacts=contacts)


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
    return build_measuring(result.clock, result.figures, found)


def compared(later: Result, before: str, after: str, found: Comparison) -> Document:
    """What changed between two versions, which are named; of the later one the clock's name is taken."""
    from countwheel.emit.compared import build_compared

    assert later.clock is not None
    return build_compared(later.clock, before, after, found)


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


def sheets(result: Result) -> Document:
    from countwheel.emit.sheets import build_sheets

    assert result.clock is not None
    return build_sheets(result.clock, result.figures)


def binder(
    result: Result,
    *,
    contacts: bool = False,
    issued: int | None = None,
    ready: Aside | None = None,
    told: Callable[[], Changes] | None = None,
) -> Binder:
    """The binder, not yet printed; without `contacts` nobody to call is named in it.

    `ready` and `told` are what was made of it already. Its manual has no drawings, which have a tab of their own.
    """
    assert result.clock is not None
    from countwheel.emit import templating

    templating.at_hand()
    # The longest first; what is loaded here is loaded while they are at work.
    missing: Callable[[], tuple[Gaps | None, Document | None]] = (
        (lambda: _missing(result, ready)) if ready else beside(lambda: _missing(result))
    )
    drawn: Callable[[], tuple[Drawing, ...]] = (
        (lambda: ready[0]) if ready else beside(lambda: drawings(result))
    )
    told = told or beside(lambda: changes(result), late=True)
    from countwheel.emit.binder import Papers, build_binder
    from countwheel.emit.manual import build_manual

    calculations, evidence, anew = sheets(result), register(result), replacement(result)
    photos = photographs(result)  # not beside: a copy of a program that has set pages cannot set any
    found, to_measure = missing()
    manual = build_manual(result.clock, result.figures, gaps=found, contacts="print" if contacts else "none")
    inside = Papers(manual, calculations, evidence, to_measure, anew, drawn(), photos)
    return build_binder(result.clock, result.figures, inside, told(), contacts=contacts, issued=issued)


def _missing(result: Result, ready: Aside | None = None) -> tuple[Gaps | None, Document | None]:
    """What is not known, and the sheet to take up the tower for it."""
    found = ready[1] if ready else gaps(result)
    return found, measuring(result, found) if found is not None else None


def photographs(result: Result) -> dict[str, Photo | Fault]:
    """Every photograph of the description by the name it has in it, or why it cannot be shown."""
    from countwheel.api import photo_files
    from countwheel.emit.photo_trial import looked_over

    return looked_over(photo_files(result))


def binder_files(binder: Binder, paper: Paper, issued: int | None) -> dict[str, bytes]:
    """The binder as one PDF and as a folder of pages."""
    from countwheel.emit.html import print_binder
    from countwheel.emit.pdf import print_pdf

    pages = beside(lambda: print_binder(binder))
    pdf = print_pdf(binder, paper=paper, timestamp=issued)
    return {f"binder/{name}": content for name, content in pages().items()} | {"binder.pdf": pdf}


MOST_DAYS = 30 * 366  # of a calendar: what is beyond is not known to anybody


def calendar(result: Result, first: date, last: date, issued: date) -> bytes:
    """The calendar from one day to another as an iCalendar file, its entries dated with the day of issue."""
    from countwheel.emit.calendar_entries import entries, zone_of
    from countwheel.emit.calendar_file import calendar_file

    clock = result.clock
    assert clock is not None
    place = clock.place
    where = (place.text(part="name") or "") if place else ""
    made = entries(clock, result.figures, first, last)
    return calendar_file(clock.name, where, zone_of(clock) or "", made, last, issued)


def calendar_of_build(result: Result, issued: int | None) -> dict[str, bytes]:
    """The calendar of a year from the day of issue, else from the newest day that the description tells of.

    A build does not look at the clock of the machine: none where neither tells a day.
    """
    from datetime import UTC, date, datetime

    from countwheel.figures.setting import newest_date
    from countwheel.keeping.steps import Step

    assert result.clock is not None
    newest = newest_date(result.clock)
    if issued is not None:
        day = datetime.fromtimestamp(issued, UTC).date()
    elif newest is not None and len(newest.written) == 10:
        day = date.fromisoformat(newest.written)
    else:
        return {}
    if not 1600 <= day.year < 9000:
        return {}
    return {"calendar.ics": calendar(result, day, Step(months=12).after(day), day)}


def read_for_binder(file: str) -> tuple[Result, Callable[[], Changes] | None]:
    """A description compiled, and what git tells of it, which is asked while the figures are worked out."""
    told: list[Callable[[], Changes]] = []
    result = compile_file(file, when_read=lambda read: told.append(beside(lambda: changes(read), late=True)))
    return result, told[0] if told else None


def binder_alone(
    result: Result,
    paper: Paper = "a4",
    issued: int | None = None,
    contacts: bool = False,
    told: Callable[[], Changes] | None = None,
) -> dict[str, bytes]:
    """The binder of one description by itself, with a manifest."""
    files = binder_files(binder(result, contacts=contacts, issued=issued, told=told), paper, issued)
    return files | _manifest(result, files)


def _manifest(
    result: Result, files: dict[str, bytes], basis: Mapping[str, object] | None = None
) -> dict[str, bytes]:
    assert result.clock is not None
    manifest = {
        "schema": "countwheel manifest 1",
        "movement": result.clock.name,
        "files": {name: hashlib.sha256(content).hexdigest() for name, content in sorted(files.items())},
    }
    if basis is not None:
        manifest["made"] = basis
    return {"manifest.json": (json.dumps(manifest, ensure_ascii=False, indent=2) + "\n").encode()}


def everything(
    result: Result,
    paper: Paper = "a4",
    issued: int | None = None,
    with_binder: bool = False,
    *,
    contacts: Contacts = "print",
    basis: Mapping[str, object] | None = None,
) -> dict[str, bytes]:
    """All outputs of one description, by name below its folder, with a manifest of their SHA-256 sums and of what
    they were made of (`basis`).

    `with_binder` adds the binder, which takes as long as all the rest: its pages are numbered through and so set
    by themselves.
    """
    from concurrent.futures import ThreadPoolExecutor, wait
    from functools import partial

    from countwheel.emit import figure_json, figure_text, model_json
    from countwheel.emit.html import print_html
    from countwheel.emit.pdf import print_pdf

    assert result.clock is not None
    figures = list(result.figures.values())
    to_pdf = partial(print_pdf, paper=paper, timestamp=issued)
    files: dict[str, bytes] = {}
    drawn, missing = beside(lambda: drawings(result)), beside(lambda: gaps(result))
    # The library that sets the PDFs lets other threads run meanwhile: the longest is begun first.
    with ThreadPoolExecutor() as pool:

        def print_(name: str, document: Document) -> None:
            documents[name] = document
            pdfs[f"{name}.pdf"] = pool.submit(to_pdf, document)

        documents: dict[str, Document] = {}
        pdfs = {"calculations.pdf": pool.submit(to_pdf, sheets(result))}
        print_("evidence", register(result))
        made, found = drawn(), missing()
        print_("manual", manual(result, made, found, contacts=contacts))
        if found is not None:
            print_("measuring", measuring(result, found))
        if anew := replacement(result):
            pdfs["replacement.pdf"] = pool.submit(to_pdf, anew)
        bound = None
        if with_binder:
            inside = binder(result, issued=issued, ready=(made, found))
            wait(pdfs.values())  # all at once would take a third more memory, though a sixth less time
            bound = pool.submit(binder_files, inside, paper, issued)
        also = drawing_files(made) | sound_files(result)
        files |= {f"drawings/{name}": content for name, content in also.items()}
        files |= {f"{name}.html": print_html(document).encode() for name, document in documents.items()}
        files["evidence.csv"] = register_csv(result)
        files["figures.txt"] = figure_text.working(figures).encode()
        files["figures.json"] = figure_json.dump(
            result.clock.name, figures, result.diagnostics, result.sources
        ).encode()
        files |= calendar_of_build(result, issued)
        files["model.json"] = model_json.dump(result.clock).encode()
        files |= {name: printing.result() for name, printing in pdfs.items()}
        files |= bound.result() if bound else {}
    return files | _manifest(result, files, basis)
