"""Facts that cannot be as stated, found without working anything out: versions, records, angles."""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment

NEWEST = 1  # the version of the language that this compiler reads
_HALF_TURN = 3.14159265358979
_QUARTER_TURN = _HALF_TURN / 2


def look_over(clock: Clock, report: list[Diagnostic]) -> None:
    _weights(clock, report)
    _version(clock, report)
    _angles(clock, report)
    _log(clock, report)
    _zone(clock, report)


def _weights(clock: Clock, report: list[Diagnostic]) -> None:
    """A weight is stated by its mass or by its slabs."""
    for train in clock.trains:
        weight = train.barrel.get("weight") if train.barrel else None
        if weight is not None and weight.value is None and not weight.get("slabs") and not weight.others:
            report.append(
                say(
                    "M204",
                    weight.word_span,
                    f"The weight of {train.node.label} has no mass, and no slabs that would make it up.",
                    label="how heavy?",
                    hints=("write it like this: weight 2 cwt 3 qr 4 lb", "or `slabs 14 of 34 lb` under it"),
                )
            )


def _zone(clock: Clock, report: list[Diagnostic]) -> None:
    place = clock.place
    node = place.get("time zone") if place else None
    name = node.text() if node else None
    if node is None or not name:
        return
    from zoneinfo import ZoneInfo

    try:
        ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        report.append(
            say(
                "M206",
                node.values["value"].span,
                f"`{name}` is not a time zone in the IANA list.",
                label="not known",
                hints=("write the continent and the city that sets the time there: Europe/London",),
            )
        )


def _version(clock: Clock, report: list[Diagnostic]) -> None:
    node = clock.root.get("countwheel")
    version = node.count() if node else None
    if node is not None and version is not None and version > NEWEST:
        report.append(
            say(
                "M007",
                node.values["value"].span,
                f"This description is written in version {version} of the language; the newest known here is {NEWEST}.",
                label="newer than this program",
                hints=("get a newer countwheel, or write `countwheel 1` and see what it cannot read",),
            )
        )


def _angles(clock: Clock, report: list[Diagnostic]) -> None:
    """Angles that no clock has: a swing past the horizontal, a joint past a right angle."""
    for node in clock.root.walk():
        value = node.quantity()
        if value is None or value.dimension != "angle":
            continue
        if node.word == "half arc" and value.si >= _QUARTER_TURN / 3:
            limit = "30 °"
        elif node.path.endswith("universal_joint.angle") and value.si >= _QUARTER_TURN / 2:
            limit = "45 °"
        else:
            continue
        report.append(
            say(
                "M310",
                value.span,
                f"`{node.word}` of {value.written} is beyond anything that works ({limit}).",
                label="too large",
            )
        )


def _log(clock: Clock, report: list[Diagnostic]) -> None:
    for log in clock.root.all("log"):
        before: tuple[str, Node] | None = None
        for entry in log.all("entry"):
            when = _when(entry)
            if when is None:
                continue
            if before is not None and when < before[0]:
                report.append(
                    say(
                        "M702",
                        entry.values["date"].span,
                        "This entry of the log is earlier than the one above it.",
                        label="earlier",
                        others=(Label(before[1].values["date"].span, "later than the next"),),
                        hints=("put the entries in the order of their dates, or correct the date",),
                    )
                )
            else:
                before = (when, entry)


def _when(entry: Node) -> str | None:
    day, hour = entry.part("date", Moment), entry.part("time", Moment)
    return None if day is None else f"{day.iso} {hour.iso if hour else ''}".strip()
