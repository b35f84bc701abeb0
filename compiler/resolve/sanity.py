"""Facts that cannot be as stated, found without working anything out: versions, records, angles."""

from __future__ import annotations

from countwheel import zones
from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node
from countwheel.model.values import Moment, Quantity, Unknown
from countwheel.resolve.gearing import is_lost
from countwheel.resolve.rota import check_rota

MOST_PARTS = (
    24  # twice what the largest tackle has that is known of a turret clock (common practice, no source)
)
NEWEST = 1  # the version of the language that this compiler reads
_HALF_TURN = 3.14159265358979
_QUARTER_TURN = _HALF_TURN / 2


def look_over(clock: Clock, report: list[Diagnostic]) -> None:
    _weights(clock, report)
    _version(clock, report)
    _angles(clock, report)
    _parts(clock, report)
    _log(clock, report)
    _zone(clock, report)
    _escapes(clock, report)
    _changes(clock, report)
    check_rota(clock, report)


def _escapes(clock: Clock, report: list[Diagnostic]) -> None:
    """A going train ends in something that the pendulum lets go tooth by tooth."""
    for train in clock.trains_of("going"):
        whole = clock.is_sound(train.name) and not any(is_lost(arbor) for arbor in train.arbors)
        if train.escape_arbor is None and len(train.arbors) > 1 and whole and not _denied(train):
            last = train.arbors[-1].node
            report.append(
                say(
                    "M210",
                    last.word_span,
                    f"The {train.node.label} train has no `escape wheel`, no `pins` and no `legs`.",
                    label="the last arbor",
                    hints=(
                        "write `escape wheel` and its count under the arbor that carries it, or `escape wheel ?`",
                    ),
                )
            )


def _denied(train: Train) -> bool:
    """Whether it is said that there is none: then it is not merely left out."""
    return any(arbor.node.denies(word) for arbor in train.arbors for word in ("escape wheel", "pins", "legs"))


def _changes(clock: Clock, report: list[Diagnostic]) -> None:
    """What a season puts in the place of a fact is a value of the same kind."""
    changes = [node for season in clock.root.all("season") for node in season.all("<change>")]
    if not changes:
        return
    facts = {node.path.lower(): node for node in clock.root.walk()}
    for change in changes:
        path, value = (change.text(part="of") or "").lower(), change.values.get("value")
        fact = facts.get(path)
        stated = fact.values.get("value", fact.values.get("teeth")) if fact else None
        if value is None or stated is None or isinstance(value, Unknown):
            continue
        dimension = stated.dimension if isinstance(stated, (Quantity, Unknown)) else None
        changed = value.dimension if isinstance(value, Quantity) else None
        if dimension == changed or (isinstance(stated, Unknown) and dimension is None):
            continue
        message = (
            f"`{path}` is a {dimension}, and {value.written} is not."
            if dimension
            else f"`{path}` takes no unit, and {value.written} has one."
        )
        code = "M301" if dimension and not changed else "M302"
        report.append(
            say(code, value.span, message, label="another kind", hints=(f"it is stated as {stated.written}",))
        )


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
    from countwheel.zones import zone

    if zone(name) is None:
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


def _parts(clock: Clock, report: list[Diagnostic]) -> None:
    """Parts of a line beyond what any tackle of a clock has."""
    for train in clock.trains:
        parts = train.barrel.get("parts") if train.barrel is not None else None
        count = parts.count() if parts is not None else None
        if parts is None or count is None or count <= MOST_PARTS:
            continue
        report.append(
            say(
                "M310",
                parts.values["value"].span,
                f"No weight of a clock hangs on {count} parts of its line.",
                label=f"more than {MOST_PARTS}",
                hints=("count the parts of the line that go up from the weight",),
            )
        )


def _log(clock: Clock, report: list[Diagnostic]) -> None:
    for log in clock.root.all("log"):
        before: tuple[str, Node] | None = None
        for entry in log.all("entry"):
            when = _when(entry)
            if when is None:
                continue
            if before is not None and when < before[0] and not _came_twice(clock, before[0], when):
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


def _came_twice(clock: Clock, before: str, when: str) -> bool:
    """Whether an earlier time of the same day can be the later one, for the clocks of the place went back over it."""
    day, _, hour = when.partition(" ")
    if not hour or before[:10] != day or len(day) != 10 or clock.place is None:
        return False
    last, now = (60 * int(one[:2]) + int(one[3:5]) for one in (before[11:], hour))
    changes = zones.changes(clock.place.text("time zone") or "", int(day[:4]))
    return any(
        change.by < 0
        and change.day.isoformat() == day
        and change.minute + change.by <= now <= last < change.minute
        for change in changes
    )


def _when(entry: Node) -> str | None:
    day, hour = entry.part("date", Moment), entry.part("time", Moment)
    return None if day is None else f"{day.iso} {hour.iso if hour else ''}".strip()
