"""The binder: every paper of a clock behind lettered tabs in one cover, with those that only a binder has.

The wording of the latter is in `templates/binder/`, one file a tab. The ids in them are those of the whole
binder: what a tab was before it came here has its own put under the tab's (`traversal.within`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from countwheel.emit import binder_view
from countwheel.emit.clean import printable_text
from countwheel.emit.country import country_of
from countwheel.emit.document import Binder, Block, Chapter, Document, Index, Labels, Picture, Tab
from countwheel.emit.drawing import Drawing
from countwheel.emit.due_text import day_text
from countwheel.emit.index import entries
from countwheel.emit.markup import read_blocks
from countwheel.emit.photo import Fault, Photo
from countwheel.emit.rota_text import rows
from countwheel.emit.shown import date_text
from countwheel.emit.templating import environment, wording
from countwheel.emit.traversal import within
from countwheel.emit.view import ClockView, view_of
from countwheel.figures.record import Figure
from countwheel.figures.setting import newest_date
from countwheel.keeping import rota
from countwheel.keeping.duties import winding_of
from countwheel.model.changes import Changes
from countwheel.model.clock import Clock

# Without I and O, which look like figures: common practice of lettered sheets, no source.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class Papers:
    """The papers that are there without a binder; `photos` by the name that the description gives."""

    manual: Document
    sheets: Document
    register: Document
    measuring: Document | None
    replacement: Document | None
    drawings: tuple[Drawing, ...]
    photos: Mapping[str, Photo | Fault]


def build_binder(
    clock: Clock,
    figures: Mapping[str, Figure],
    papers: Papers,
    changes: Changes,
    *,
    contacts: bool = False,
    issued: int | None = None,
) -> Binder:
    """The whole binder. `contacts` puts names and numbers in; `issued` is the day of issue in seconds since 1970.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    view = view_of(clock, figures)
    titles: Mapping[str, str] = wording("TABS")
    turning = _rota(clock, figures, issued)
    ids = [id for id in titles if _applies(id, view, papers, contacts) and (id != "rota" or turning)]
    letters = dict(zip(ids, _LETTERS, strict=False))
    photos = binder_view.photos_of(clock, view.names, papers.photos)
    pictures: dict[str, Drawing | Photo] = {
        str(one.number): one.photo for one in photos if isinstance(one.photo, Photo)
    }
    given: dict[str, Any] = {
        "clock": view,
        "titles": titles,
        "letters": letters,
        "changes": changes,
        "photos": photos,
        "drawings": papers.drawings,
        "contacts": contacts,
        "issued": date_text(datetime.fromtimestamp(issued, UTC).date().isoformat())
        if issued is not None
        else "",
        "country": country_of(view),
        **turning,
    }

    def blocks(id: str, part: str = "", **more: Any) -> tuple[Block, ...]:
        template = environment().get_template(f"{id}.xml.j2")
        xml = template.render(given | more, part=part)
        return read_blocks(printable_text(xml), pictures, template.name or "")

    def paper(id: str, front: tuple[Block, ...], chapters: tuple[Chapter, ...] = ()) -> Tab:
        name = printable_text(view.name)
        labels = Labels(**wording("LABELS"))
        return Tab(
            letters[id],
            id,
            Document(
                title=name,
                subtitle=titles[id],
                author=name,
                running=name,
                front=front,
                chapters=chapters,
                labels=labels,
                paged=id == "blank",  # to be copied
                large=id == "emergency",  # to be hung up
            ),
        )

    own: dict[str, Document | None] = {
        "manual": papers.manual,
        "sheets": papers.sheets,
        "register": papers.register,
        "measuring": papers.measuring,
        "replacement": papers.replacement,
    }
    made: dict[str, Tab] = {}
    for id in ids:
        if document := own.get(id):
            made[id] = Tab(letters[id], id, within(replace(document, subtitle=titles[id]), id))
    if "drawings" in letters:
        made["drawings"] = paper("drawings", blocks("drawn"), _drawn(papers.drawings))
    if "blank" in letters:
        made["blank"] = paper("blank", blocks("blank"), _sheets(view, blocks))
    given["spares"] = binder_view.spares_of(clock, view)
    made["spares"] = paper("spares", blocks("spares"))  # labels lead there
    codes = binder_view.codes(made.values())
    given["codes"] = codes
    given["labels"] = binder_view.labels_of(clock, view, codes)
    given["log"] = binder_view.log_of(clock)
    for id in ids:
        if id not in made and id != "alphabetical":
            made[id] = paper(id, blocks(id))
    ordered = [made[id] for id in ids if id in made]
    ordered.append(paper("alphabetical", (*blocks("alphabetical"), Index(entries(clock, view, ordered)))))
    return Binder(
        title=printable_text(view.name),
        subtitle=wording("BINDER"),
        author=papers.manual.author,
        front=blocks("cover"),
        tabs=tuple(ordered),
        labels=Labels(**wording("LABELS")),
    )


ROTA_WEEKS = 26


def _rota(clock: Clock, figures: Mapping[str, Figure], issued: int | None) -> dict[str, Any]:
    """What the page of who winds is given: half a year of turns from the day of issue, else from the newest day that
    the description tells of; nothing where there is no rota.
    """
    kept = rota.rota_of(clock)
    if kept is None:
        return {}
    newest = newest_date(clock)
    first = kept.start
    if issued is not None:
        first = datetime.fromtimestamp(issued, UTC).date()
    elif newest is not None and len(newest.written) == 10:
        first = max(first, date.fromisoformat(newest.written))
    last = min(first, date(9990, 1, 1)) + timedelta(weeks=ROTA_WEEKS, days=-1)
    found = rows(kept, winding_of(clock, figures), first, last)
    return {"rows": found, "first": day_text(first), "last": day_text(last)}


def _applies(id: str, view: ClockView, papers: Papers, contacts: bool) -> bool:
    match id:
        case "measuring":
            return papers.measuring is not None
        case "replacement":
            return papers.replacement is not None
        case "drawings":
            return bool(papers.drawings)
        case "photographs":
            return bool(papers.photos)
        case "contacts":
            return contacts and bool(view.contacts)
    return True


def _drawn(drawings: tuple[Drawing, ...]) -> tuple[Chapter, ...]:
    """A chapter a drawing, each on a page of its own."""
    return tuple(
        Chapter(
            f"drawings-{drawing.id}", number, drawing.title, (Picture(f"drawings-art-{drawing.id}", drawing),)
        )
        for number, drawing in enumerate(drawings, 1)
    )


def _sheets(view: ClockView, blocks: Callable[..., tuple[Block, ...]]) -> tuple[Chapter, ...]:
    """The log sheets that this clock has a use for."""
    there = {
        "rate": bool(view.trains),
        "wound": bool(view.by_hand or view.motors),
        "cared": True,
    }
    words = wording("SHEETS_TO_COPY")
    ids = [id for id, wanted in there.items() if wanted]
    return tuple(
        Chapter(f"blank-{id}", number, words[id], blocks("blank", id)) for number, id in enumerate(ids, 1)
    )
