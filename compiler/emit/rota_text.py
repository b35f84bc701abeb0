"""The rota: for a terminal, as JSON with its schema, and as a page to hang up (`templates/manual/rota.xml.j2`)."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from countwheel.emit.clean import printable_text
from countwheel.emit.document import Document
from countwheel.emit.due_text import day_text
from countwheel.emit.json_schema import STRING, YES, an_object, document, list_of
from countwheel.emit.markup import read_blocks
from countwheel.emit.paper import paper
from countwheel.emit.shown import date_text
from countwheel.emit.templating import environment, wording
from countwheel.keeping.duties import Winding
from countwheel.keeping.rota import Rota, Turn, turns
from countwheel.model.clock import Clock

NAME = "countwheel rota 1"
HARD = "\u00a0"  # a space at which no line is broken
MOST_WINDINGS = 7  # days that are named for a turn; more are not to be read in a line


@dataclass(frozen=True, slots=True)
class Row:
    """One turn ready to print: its days, those on which is wound ('' where not known, or too many), who for whom."""

    turn: Turn
    first: str
    last: str
    windings: str
    name: str
    instead: str
    why: str


def rows(rota: Rota, winding: Winding | None, first: date, last: date) -> tuple[Row, ...]:
    """The turns from one day to another, one row each."""
    return tuple(_row(one, winding) for one in turns(rota, first, last))


def _row(turn: Turn, winding: Winding | None) -> Row:
    days = list(winding_days(winding, turn.first, turn.last))
    named = ", ".join(
        f"{day:%a} {date_text(f'--{day:%m-%d}', short=True)}".replace(" ", HARD) for day in days
    )
    if winding is not None and winding.days and not days:
        named = "no winding"
    return Row(
        turn,
        date_text(turn.first.isoformat(), short=True),
        date_text(turn.last.isoformat(), short=True),
        named if len(days) <= MOST_WINDINGS else "",
        turn.name,
        turn.planned if turn.stands_in else "",
        turn.why,
    )


def winding_days(winding: Winding | None, first: date, last: date) -> Iterable[date]:
    """The days of the week on which is wound, from one day to another; none where it is wound at intervals."""
    if winding is not None and winding.days:
        for by in range((last - first).days + 1):
            day = first + timedelta(days=by)
            if day.weekday() in winding.days:
                yield day


def on_text(turn: Turn | None, day: date) -> str:
    """Who winds on a day, in a line."""
    if turn is None:
        return f"{day_text(day)}: the rota has not begun\n"
    if not turn.name:
        return f"{day_text(day)}: nobody, since everybody is away\n"
    if not turn.stands_in:
        return f"{day_text(day)}: {turn.name}\n"
    why = f" ({turn.why})" if turn.why else ""
    return f"{day_text(day)}: {turn.name}, for {turn.planned}, who is away{why}\n"


def dump(clock: Clock, found: Iterable[Turn]) -> str:
    """The object of `rota --json` as text ending with a newline."""
    made = {
        "schema": NAME,
        "movement": clock.name,
        "turns": [
            {
                "from": one.first.isoformat(),
                "to": one.last.isoformat(),
                "winder": one.name or None,
                "turn of": one.planned,
                "stands in": one.stands_in,
            }
            for one in found
        ],
    }
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of `rota --json`."""
    turn = {
        "from": STRING,
        "to": STRING,
        "winder": {"type": ["string", "null"], "description": "null where everybody is away"},
        "turn of": STRING,
        "stands in": YES,
    }
    return document(NAME, {"movement": STRING, "turns": list_of(an_object(turn))})


def build_rota(clock: Clock, rota: Rota, winding: Winding | None, first: date, last: date) -> Document:
    """The page to hang up, with room to sign for each winding.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    template = environment().get_template("rota.xml.j2")
    xml = template.render(
        clock=clock, rows=rows(rota, winding, first, last), first=day_text(first), last=day_text(last)
    )
    return paper(clock, wording("ROTA"), read_blocks(printable_text(xml), {}, "rota.xml.j2"), ())
