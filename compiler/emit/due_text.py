"""What is overdue, due and next: for a terminal, and as JSON with its schema."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from typing import Any, get_args

from countwheel.emit.json_schema import STRING, an_object, document, list_of
from countwheel.emit.shown import date_text
from countwheel.emit.stated import all_there
from countwheel.keeping.duties import Duty, Kind, State, Winding
from countwheel.keeping.rota import Turn
from countwheel.keeping.seasons import Turn as SeasonTurn
from countwheel.keeping.steps import Step
from countwheel.model.clock import Clock
from countwheel.model.node import Node

NAME = "countwheel due 1"
_HEADS: dict[State, str] = {
    "overdue": "overdue",
    "due": "due today",
    "next": "next",
    "no record": "of which the log has no record",
}


def report(
    clock: Clock,
    on: date,
    duties: tuple[Duty, ...],
    winding: Winding | None,
    turn: Turn | None,
    season: Node | None,
) -> str:
    """The whole report, a group for each standing; each line has its day and why that day."""
    lines = [f"{clock.name}, {day_text(on)}"]
    if turn is not None:
        who = turn.name or "nobody, since everybody is away"
        lines.append(f"winds: {who}" + (f" for {turn.planned}" if turn.name and turn.stands_in else ""))
    if season is not None:
        lines.append(f"season: {season.label or ''}{_hangs(season)}")
    for state, head in _HEADS.items():
        group = [one for one in duties if one.state == state]
        if group:
            room = max(len(name_of(one)) for one in group)
            lines += ["", head]
            lines += [f"  {name_of(one):<{room}}  {why(one, winding, on)}".rstrip() for one in group]
    if not duties:
        lines += [
            "",
            "nothing is to be done by the calendar: no winding, no care line and no season is stated",
        ]
    return "\n".join(lines) + "\n"


def _hangs(season: Node) -> str:
    said = [
        f"{change.text(part='of')} {change.values['value'].written}"
        for change in all_there(season, "<change>")
        if "value" in change.values
    ]
    return f" ({', '.join(said)})" if said else ""


def day_text(day: date) -> str:
    return f"{day:%A} {date_text(day.isoformat())}"


def name_of(duty: Duty) -> str:
    """What is to be done, in a few words."""
    match duty.kind:
        case "winding":
            return "wind the clock"
        case "season":
            return f"change over to {duty.what}"
        case "clocks":
            verb = "put the clock right: the clocks went" if duty.state == "overdue" else "clocks go"
            return f"{verb} {'forward' if duty.change and duty.change.by > 0 else 'back'}"
        case "lines":
            return duty.what or "have the lines looked at"
    return duty.what


def why(duty: Duty, winding: Winding | None, on: date) -> str:
    """The day it is due, and what that rests on."""
    said = list(_why(duty, winding, on))
    return "; ".join(part for part in said if part)


def _why(duty: Duty, winding: Winding | None, on: date) -> Iterator[str]:
    if duty.day is not None and not (duty.state == "no record" and duty.since is not None):
        late = (on - duty.day).days
        yield day_text(duty.day) + (f", {late} day{'s' if late > 1 else ''} ago" if late > 0 else "")
    if duty.who:
        yield f"by {duty.who}"
    if duty.every is not None and duty.kind in ("care", "lines"):
        yield f"every {step_text(duty.every)}" + ("" if duty.what else ", as is usual: nothing is stated")
    if duty.last is not None:
        done = "wound" if duty.kind == "winding" else "done"
        yield f"last {done} {date_text(duty.last.isoformat())}"
    elif duty.since is not None:
        yield f"not once since the log began on {date_text(duty.since.isoformat())}"
        if duty.state == "no record" and duty.day is not None:
            yield f"so by {date_text(duty.day.isoformat())} at the latest"
    if duty.kind == "winding" and winding is not None:
        if not winding.stated and duty.every is not None:
            yield f"every {step_text(duty.every)} by the run, since no winding day is stated"
        if winding.run is not None:
            yield f"it runs {winding.run:.1f} days"
    if duty.kind in ("season", "clocks") and duty.state == "overdue":
        yield "the log has nothing of it"
    if duty.turn is not None:
        yield season_words(duty.turn)


def season_words(turn: SeasonTurn) -> str:
    """What the day of a season's change rests on."""
    if not turn.recorded or turn.middle is None:
        return "the day that is stated"
    stated = f"; stated {_of_year(turn.stated)}" if turn.stated else ""
    return f"about then the log goes through {turn.middle:.0f} °C{stated}"


def season_day_text(name: str, turn: SeasonTurn | None) -> str:
    """When a season's change is due, in a sentence; '' where nothing tells."""
    if turn is None:
        return ""
    return f"{name} is to be changed to about {_of_year((turn.month, turn.day))}: {season_words(turn)}"


def _of_year(day: tuple[int, int]) -> str:
    return date_text(f"--{day[0]:02d}-{day[1]:02d}")


def step_text(step: Step) -> str:
    """`6 months`, `week`, `2 years`: what stands behind `every`."""
    number, unit = (step.months, "month") if step.months else (step.days, "day")
    if unit == "month" and number % 12 == 0:
        number, unit = number // 12, "year"
    elif unit == "day" and number % 7 == 0:
        number, unit = number // 7, "week"
    return unit if number == 1 else f"{number} {unit}s"


# -- as JSON ---------------------------------------------------------------------
def dump(clock: Clock, on: date, duties: tuple[Duty, ...], winding: Winding | None, turn: Turn | None) -> str:
    """The object of `due --json` as text ending with a newline."""

    def iso(day: date | None) -> str | None:
        return day.isoformat() if day else None

    made = {
        "schema": NAME,
        "movement": clock.name,
        "on": on.isoformat(),
        "winds": turn.name if turn else None,
        "runs days": winding.run if winding else None,
        "duties": [
            {
                "kind": one.kind,
                "what": name_of(one),
                "state": one.state,
                "day": iso(one.day),
                "last": iso(one.last),
                "every": step_text(one.every) if one.every else None,
                "by": one.who or None,
                "why": why(one, winding, on),
            }
            for one in duties
        ],
    }
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of `due --json`."""
    maybe = {"type": ["string", "null"]}
    day = maybe | {"description": "a date, 2026-05-02"}
    duty = {
        "kind": {"enum": list(get_args(Kind))},
        "what": STRING,
        "state": {"enum": list(get_args(State))},
        "day": day,
        "last": day,
        "every": maybe,
        "by": maybe,
        "why": STRING,
    }
    return document(
        NAME,
        {
            "movement": STRING,
            "on": STRING,
            "winds": maybe | {"description": "who winds by the rota; '' where everybody is away"},
            "runs days": {"type": ["number", "null"]},
            "duties": list_of(an_object(duty)),
        },
    )
