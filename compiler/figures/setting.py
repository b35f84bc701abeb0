"""Summer time: when the clocks of the place are changed, and what to do to this clock."""

from __future__ import annotations

import re
from datetime import date

from countwheel.figures.book import Book, waiting
from countwheel.figures.record import Input
from countwheel.figures.striking import kind_of
from countwheel.figures.terms import fact_input
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node
from countwheel.model.values import Evidence, Moment

_DATE = re.compile(r"[12]\d{3}(-\d\d){0,2}")
SOURCE = (
    "dates: IANA time zone database (tzdata); stopping an hour or going on eleven: Antiquarian Horological"
    " Society, Keeper's Handbook, page 17; gravity escapements: E. Beckett, Clocks, Watches and Bells, 1903, page"
    " 187; the rest: common practice, no source"
)


def work_out(book: Book) -> None:
    """`setting.summer_time`: the rule in words with its dates; how to follow it at this clock is its method."""
    place = book.clock.place
    node = place.get("time zone") if place else None
    if node is None or _none(node):
        return
    title = "when the clocks of the place are changed, and what to do to this one"
    name = node.text()
    if not name:
        book.state("setting.summer_time", title, None, [waiting(node.path, "the time zone")], source=SOURCE)
        return
    from countwheel import zones

    given = fact_input(node.path, name, node.evidence)
    if zones.zone(name) is None:
        book.state("setting.summer_time", title, None, [waiting(node.path, "a time zone of the IANA list")])
        return
    newest = newest_date(book.clock)
    facts = (given, newest) if newest else (given,)
    value, changed = _dates(name, int(newest.written[:4]) if newest else None)
    book.state(
        "setting.summer_time",
        title,
        value,
        facts=facts,
        source=SOURCE,
        method=" ".join(what_to_do(book.clock)) if changed else "Nothing has to be done at the clock.",
        cautions=(_care(book.clock),) if changed else (),
    )


def _none(node: Node) -> bool:
    """Whether the line says that there is none (`no rack`)."""
    return node.value is not None and getattr(node.value, "kind", "") == "absent"


# -- when ----------------------------------------------------------------------


def newest_date(clock: Clock) -> Input | None:
    """The newest date that the description holds, as an input: the years told are counted from it, not from today."""
    best: tuple[str, Node, Evidence | None] | None = None
    stack = [clock.root]
    while stack:
        node = stack.pop()
        if node.word == "rota":
            continue  # who is away tells of days to come
        stack += node.facts
        on = node.evidence.on
        if on is not None and (best is None or on > best[0]) and _is_date(on):
            best = (on, node, node.evidence)
        for value in node.values.values():
            if value.__class__ is Moment:
                iso = value.iso[:10]
                if (best is None or iso > best[0]) and _is_date(iso):
                    best = (iso, node, None)
    if best is None:
        return None
    iso, node, evidence = best
    return fact_input(node.path, iso, evidence) if evidence else Input(node.path, iso, "as written")


def _is_date(iso: str) -> bool:
    """Whether a year, month or day is one of this calendar and of times that matter; what is none was told."""
    if not _DATE.fullmatch(iso):
        return False
    try:
        date.fromisoformat(f"{iso}-01-01"[:10])
    except ValueError:
        return False
    return True


def _way(by: int) -> str:
    size = {60: "one hour", 30: "half an hour", 120: "two hours"}.get(abs(by), f"{abs(by)} minutes")
    return f"{'forward' if by > 0 else 'back'} {size}"


def _dates(name: str, year: int | None) -> tuple[str, bool]:
    """The rule and the dates in words, and whether the clocks are changed at all."""
    from countwheel import zones

    rule = zones.rules(name, zones.database_year())
    told = []
    if rule:
        parts = [f"{_way(one.by)} on the {one.when} at {_clock(one.minute)}" for one in rule]
        told.append(f"The clocks of {name} go {' and '.join(parts)}.")
    elif rule is None:
        told.append(f"The clocks of {name} are changed by no rule that stays the same from year to year.")
    else:
        told.append(f"The clocks of {name} are not changed: there is no summer time at present.")
    changed = rule != ()
    for one in (year, year + 1) if year is not None else ():
        days = [f"{_way(c.by).split()[0]} on {zones.day_text(c.day)}" for c in zones.changes(name, one)]
        changed = changed or bool(days)
        if days:
            told.append(f"In {one}: {', '.join(days)}.")
        elif rule != ():
            told.append(f"In {one} they are not changed.")
    return " ".join(told), changed


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


# -- what to do ----------------------------------------------------------------


def _counts(train: Train) -> str:
    """How a train counts its blows: `count wheel`, `rack`, or '' where neither is stated."""
    for word in ("count wheel", "rack"):
        fact = train.fact(word)
        if fact is not None and not _none(fact):
            return word
    return ""


def _care(clock: Clock) -> str:
    """What moves while the clock is set, of what it has."""
    strikers = [train for train in clock.trains if train.role in ("strike", "chime")]
    moving = ["hands"] if clock.dials else []
    moving += ["hammers"] if strikers else []
    moving += ["fly"] if any(arbor.fly for train in strikers for arbor in train.arbors) else []
    moving = moving or ["wheels"]
    named = ", the ".join(moving[:-1]) + (" and the " if moving[1:] else "") + moving[-1]
    held = ", have the hammers held off where anybody is near the bells" if strikers else ""
    joint = ", and" if held else " and"
    outside = ", never from outside the dial" if clock.dials else ""
    return f"The {named} move while the clock is set: keep clear of them{held}{joint} set from the movement{outside}."


def _turn_of_hands(clock: Clock) -> int:
    """Hours after which all hands stand as before: 12, or 24 where a dial has 24."""
    hours = [dial.node.count("hours") or 12 for dial in clock.dials]
    own = [work.count("hours") or 12 for work in clock.root.all("motion work")]
    return max([12, *hours, *own])


def what_to_do(clock: Clock) -> list[str]:
    """The steps for this clock, a sentence each, by its kinds of trains, dials and escapement."""
    strikers = [train for train in clock.trains if train.role in ("strike", "chime")]
    counts = {_counts(train) for train in strikers}
    quarters = any(train.role == "chime" for train in strikers)
    halves = any((kind_of(train) or ("",))[0] == "hours and halves" for train in strikers)
    hours = _turn_of_hands(clock)
    points = "each quarter" if quarters else "each half hour" if halves else "each hour"
    one_hand = clock.dials and all(dial.node.says("one hand only") for dial in clock.dials)
    hands = "hand" if one_hand else "hands"
    said = []
    if strikers and not clock.dials:
        said.append(
            "When the clocks go forward, let the striking off by hand once more than the hour asks; when they go"
            " back, stop the pendulum for as long."
        )
    elif strikers:
        said.append(
            f"When the clocks go forward, move the {hands} on and let it strike out at {points} on the way."
        )
        said.append(
            f"When they go back, stop the pendulum for as long, or move the {hands} on by {hours - 1} hours and"
            f" let it strike out at {points}."
        )
    else:
        said.append(f"When the clocks go forward, move the {hands} on.")
        said.append(
            f"When they go back, stop the pendulum for as long, or move the {hands} on by {hours - 1} hours."
            f" The {hands} may also go back, where the train allows it."
        )
    if clock.dials and counts - {"rack"}:
        said.append(
            f"Never turn the {hands} back past {points.replace('each ', 'an ' if points == 'each hour' else 'a ')}:"
            f" the count goes on by itself, and the bells would tell another time than the {hands}."
        )
    if clock.dials and "rack" in counts:
        said.append(
            "The rack strikes what the hour hand says, so its count stays right; all the same do not turn the"
            f" {hands} back past the point where the strike is let off, for the lifting piece may catch."
        )
    kind = clock.escapement.text(part="kind") if clock.escapement else None
    if kind == "gravity":
        said.append(
            "A gravity escapement can be held or let run for the last few seconds, and the pendulum need not be"
            " touched for them."
        )
    if any(fact.word == "remontoire" for train in clock.trains for fact in train.node.walk()):
        said.append("After moving the hands wait for the remontoire to wind before you judge the minute.")
    if strikers and clock.dials:
        said.append("All that striking lets the weights down: look at them afterwards.")
    return said
