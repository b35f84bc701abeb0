"""The fall of a weight in the tower, its heights to scale, and beside it how far down it is on which day."""

from __future__ import annotations

from math import ceil, floor, log10

from countwheel.emit.drawing import Drawing
from countwheel.emit.fall_facts import LONG, Fall, Figures, fall_of, id_of, metres
from countwheel.emit.graph_words import decimal, is_weak, marked, said
from countwheel.emit.naming import train_name, train_stems
from countwheel.emit.sketch import DASHED, DOTTED, FINE, HEAVY, PLAIN, WIDE, Box, Place, Sketch
from countwheel.emit.sketch_words import STEP, Foot, Sample, drawn, lines_of, paragraph, words_of
from countwheel.emit.stated import fact, there
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node

TOP = 13.0  # mm of room over the head pulley
_RULER, _MIDDLE, _LABELS, _GRAPH = 15.0, 52.0, 61.0, 114.0  # columns, mm from the left
_LETTER_ROOM = 3.8  # mm from one label to the next
_HEADS = (96.0, WIDE - _GRAPH + 10)  # room for the words over the section and over the days, in mm
# One, two and five of every power of ten: up to what a thousand metres are in inches.
_STEPS = tuple(first * 10.0**power for power in range(-1, 5) for first in (1, 2, 5))
_MOST_DAYS = 2000.0  # beyond, the days could not be told apart
_WEIGHT = (10.0, 6.0)
_UNKNOWN_HANG = 12.0  # mm between pulley and weight where it is not known
_KEY: tuple[tuple[Sample, str], ...] = (
    ("dashed", "dashed: place or length not known, or assumed"),
    ("heavy", "heavy: under load"),
)
_SHIFTS = (0.0, 3.7, -3.7, 7.4, -7.4, 11.1, -11.1)
_CLEAR = (
    "Nobody stands, works or stores anything below the weight or in the way of its line, least of all while it is"
    " wound. How its way is closed off, and what may lie below it, is for whoever answers for the building."
)


def falls(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`fall-TRAIN` for every train whose weight's descent in a day is known, and how far it can go."""
    made = (_fall(clock, train, stem, figures) for train, stem in train_stems(clock))
    return tuple(drawing for drawing in made if drawing is not None)


def _fall(clock: Clock, train: Train, stem: str, figures: Figures) -> Drawing | None:
    found = fall_of(clock, train, figures)
    if found is None:
        return None
    name = train_name(train, clock)
    energy = figures.get(f"{id_of(train)}.line.energy_if_it_parts")
    notes = [_CLEAR]
    if energy is not None and energy.shown:
        notes[0] += f" If the line parted at the top, the weight would do up to {_rounded(energy)} of work."
    notes.append(
        "Heights are to scale, to the eye of the weight; the movement, the pulleys and the weight itself are not."
    )
    if train.role != "going":
        notes.append("A striking weight goes down by blows: the days here are the mean over night and day.")
    if there(train.fact("automatic winding")) is not None:
        notes.append(
            "A motor winds this train: the days are those that it runs on when the mains have failed."
        )
    if found.hang is None:
        notes.append(
            "How far below its pulley the weight hangs when it is wound is not stated: by so much is the ground nearer."
        )
    if found.too_deep:
        notes.append(
            "By these facts the weight would end below the ground: its least hang, its fall or the height of the room"
            " is not right, or there is a pit."
        )
    foot = Foot(_KEY, notes)
    heads = (f"Weight of the {name}", _winding(found, clock, train))
    rows = [len(lines_of(words, room)) for words, room in zip(heads, _HEADS, strict=True)]
    top = TOP + max(max(rows) - 2, 0) * STEP + (0.0 if found.hang is not None else _UNKNOWN_HANG)
    words = words_of(f"fall-{stem}", f"The fall of the weight of the {name}", _in_words(found, name))
    sketch = Sketch(words, top + LONG + 16 + foot.height)
    paragraph(sketch, (0.0, 0.5), heads[0], _HEADS[0], bold=True)
    if heads[1]:
        paragraph(sketch, (_GRAPH - 10, 0.5), heads[1], _HEADS[1])
    _tower(sketch, found, train, top)
    _ruler(sketch, found, top)
    _days(sketch, found, top)
    return drawn(sketch, foot)


def _winding(found: Fall, clock: Clock, train: Train) -> str:
    """When it is wound, and what is left of the run then; '' where not said or where a motor does it."""
    how = clock.fact("clock", "wound")
    if (
        how is None
        or found.interval is None
        or found.days is None
        or there(train.fact("automatic winding")) is not None
    ):
        return ""
    return f"Wound {written(how)}: {_in_hand(found.days - found.interval)} in hand"


def _in_hand(days: float) -> str:
    """Whole days from two up and half days, else whole hours, rounded down: nobody winds by the minute."""
    if days >= 2:
        return f"{floor(2 * days + 1e-9) / 2:g} days"
    hours = floor(24 * days + 1e-9)
    return "nothing" if hours < 1 else f"{hours} hour{'' if hours == 1 else 's'}"


def _rounded(figure: Figure) -> str:
    """To two digits: what it does to a floor is not known better."""
    value, unit = float(str(figure.value)), figure.unit
    if unit == "kJ" and value < 1:
        value, unit = value * 1000, "J"
    places = 1 - floor(log10(value)) if value > 0 else 0
    return f"{round(value, places):.{max(places, 0)}f} {unit}"


def _in_words(found: Fall, name: str) -> str:
    marks = ", ".join(f"day {day} {found.said(found.down(day))}" for day in found.day_marks)
    parts = ["A section with its height to scale"]
    if marks:
        parts.append(f"The weight of the {name} hangs so far below its highest place: {marks}")
    if found.days_to_end is not None and found.end is not None:
        parts.append(
            f"It has run down after {decimal(found.days_to_end, 3)} days, {found.said(found.end)} down"
        )
    if found.fall is not None:
        parts.append(f"It can fall {said(found.fall)}")
    if found.room is not None:
        parts.append(f"From the highest pulley to the ground there are {said(found.room)}")
    return ". ".join(parts) + f". {_CLEAR}"


# -- the section ---------------------------------------------------------------
def _tower(sketch: Sketch, found: Fall, train: Train, top: float) -> None:
    def y(down: float) -> float:
        """Where the eye of the weight stands, so far below its highest place."""
        return top + (found.hangs + down) * found.scale

    head = top if found.hang is not None else top - _UNKNOWN_HANG
    sketch.line([(_RULER + 4, head - 4), (_MIDDLE + 12, head - 4)], HEAVY)
    _movement(sketch, train, head)
    _parts(
        sketch,
        train,
        head,
        max(y(0.0), head + 6),
        DASHED if found.hang is None or is_weak(found.hang) else "",
    )
    end = found.end
    low = y(end) if end is not None else top + found.whole * found.scale
    if low > y(0.0) + _WEIGHT[1]:
        sketch.line([(_MIDDLE, y(0.0) + _WEIGHT[1]), (_MIDDLE, low)], FINE, DOTTED)
    _weight(sketch, y(0.0), "")
    if end is not None and y(end) > y(0.0) + _WEIGHT[1] + 1:
        _weight(sketch, y(end), DASHED if found.days is None else "", HEAVY / 2)
    wanted: list[tuple[float, str]] = [(y(0.0), "fully wound")]
    fall = metres(found.fall)
    if end is not None:
        days = found.days_to_end
        after = f" after {decimal(days, 3)} days" if days is not None else ""
        wanted.append((y(end), f"run down{after}: {found.said(end)}"))
    if fall is not None and found.fall is not None:
        sketch.line(
            [(_MIDDLE - 9, y(fall)), (_MIDDLE + 9, y(fall))], PLAIN, DASHED if is_weak(found.fall) else ""
        )
        wanted.append((y(fall), marked(f"end of the fall, {said(found.fall)}", found.fall)))
    _floor(sketch, found, top, low)
    marks = [day for day in found.day_marks if end is None or found.down(day) < end * 0.999]
    every = max(1, ceil(_LETTER_ROOM / (found.per_day * found.scale)))
    for day in marks:
        wide = 4.0 if day % every == 0 else 2.0
        sketch.line([(_MIDDLE - wide, y(found.down(day))), (_MIDDLE + wide, y(found.down(day)))], FINE)
        if day % every == 0:
            wanted.append((y(found.down(day)), f"day {day}: {found.said(found.down(day))}"))
    for at, words in wanted:
        for line in lines_of(words, _GRAPH - _LABELS - 2):
            places: list[tuple[Place, str]] = [((_LABELS, at + 1 + shift), "start") for shift in _SHIFTS]
            sketch.label((_MIDDLE + 5, at), line, places)


def _movement(sketch: Sketch, train: Train, head: float) -> None:
    """The movement at no certain height, with the line from its barrel up to the head pulley."""
    left, roof = _RULER + 3, head + 16
    barrel = (left + 5, roof + 4.5)
    sketch.rectangle(Box(left, roof, left + 21, roof + 14), PLAIN, DASHED)
    sketch.circle(barrel, 3)
    sketch.text((left + 10.5, roof + 12), "movement", anchor="middle")
    sketch.line([(left + 2, barrel[1]), (left + 2, head - 1), (_MIDDLE - 7, head - 1)], HEAVY, DASHED)
    lead = fact(train.barrel, "to head pulley")
    if lead is not None:
        paragraph(sketch, (left, roof + 15), marked(f"{said(lead)} of line to the head pulley", lead), 23.0)


def _parts(sketch: Sketch, train: Train, head: float, eye: float, dash: str) -> None:
    """The parts of the line between beam and weight; `eye` is where the weight begins."""
    node = fact(train.barrel, "parts")
    parts = train.barrel.count("parts") if train.barrel is not None else None
    many = min(parts or 1, 8)  # no tower clock has so many, and more would not be told apart
    step = 6.0 / max(many - 1, 1)
    first = _MIDDLE - 3 if many > 1 else _MIDDLE
    sketch.circle((first - 2.2, head - 1), 2.2)
    for at in range(many):
        tied = head - 4 if at == many - 1 and many % 2 == 0 else head - 1
        sketch.line([(first + at * step, tied), (first + at * step, eye)], HEAVY, dash)
    for at in range(many - 1):
        # from the barrel's side on, the line goes round a pulley at the weight, then one at the beam, and so on
        sketch.circle((first + (at + 0.5) * step, eye if at % 2 == 0 else head - 1), step / 2, fill="white")
    told = "parts of line: ?" if parts is None else f"{parts} part{'s' if parts != 1 else ''} of line"
    sketch.text((_LABELS + 4, head + 1), marked(told, node))


def _weight(sketch: Sketch, eye: float, dash: str, weight: float = HEAVY) -> None:
    wide, tall = _WEIGHT
    sketch.rectangle(Box(_MIDDLE - wide / 2, eye, _MIDDLE + wide / 2, eye + tall), weight, dash, "white")


def _floor(sketch: Sketch, found: Fall, top: float, low: float) -> None:
    """The ground, and the place below the weight that is kept clear."""
    room = metres(found.room)
    down = top + (found.whole if room is None else room) * found.scale
    ground = down + _WEIGHT[1] if room is None else down
    dash = DASHED if found.room is None or is_weak(found.room) else ""
    sketch.line([(_RULER, ground), (_GRAPH - 8, ground)], HEAVY, dash)
    told = f"ground, {said(found.room)} below" if room is not None else "ground: height not known"
    paragraph(sketch, (_RULER + 1, ground + 1.2), marked(told, found.room), _MIDDLE - _RULER - 11)
    left, right, high = _MIDDLE - 8, _MIDDLE + 8, low + _WEIGHT[1]
    if ground - high > 4:
        for stripe in range(floor((ground - high) / 4)):
            y = ground - stripe * 4
            sketch.line([(left, y), (right, y - min(4.0, y - high))], FINE)
    middle = min(max((high + ground) / 2, high + 2), ground - 1)
    sketch.text((left - 2, middle), "keep clear", anchor="end", bold=True)


def _ruler(sketch: Sketch, found: Fall, top: float) -> None:
    """Heights below the head pulley, in the keeper's unit."""
    unit = found.unit
    whole = found.whole / unit.size
    step = next(step for step in _STEPS if whole / step <= 16)
    x = _RULER - 3
    sketch.line([(x, top), (x, top + found.whole * found.scale)], PLAIN)
    sketch.text((0, top - 3), found.units)
    for at in range(floor(whole / step + 1e-9) + 1):
        y = top + at * step * unit.size * found.scale
        sketch.line([(x - 1.5, y), (x, y)], PLAIN)
        sketch.text((x - 2.2, y + 1), decimal(at * step, 4), anchor="end")


# -- against days ----------------------------------------------------------------
def _days(sketch: Sketch, found: Fall, top: float) -> None:
    """The same heights against days: the weight goes down evenly, and up again when it is wound."""
    end = found.end
    last = found.days if found.days is not None else (end / found.per_day if end is not None else None)
    if last is None or end is None or last > _MOST_DAYS:
        return
    days = max(ceil(last), 1)
    wide = WIDE - 4 - _GRAPH
    bottom = top + found.whole * found.scale

    def at(day: float) -> Place:
        return _GRAPH + day / days * wide, top + (found.hangs + min(found.down(day), end)) * found.scale

    sketch.line([(_GRAPH, at(0)[1]), (_GRAPH, bottom), (_GRAPH + wide, bottom)], PLAIN)
    every = max(1, ceil(days / 14)) if days <= 28 else ceil(days / 10)
    for day in range(days + 1):
        if day % every == 0:
            x = at(day)[0]
            sketch.line([(x, bottom), (x, bottom + 1.2)], PLAIN)
            sketch.text((x, bottom + 4.4), str(day), anchor="middle")
            if 0 < day <= last:
                sketch.line([at(day), (x, bottom)], FINE, DOTTED)
    sketch.text((_GRAPH + wide / 2, bottom + 8.4), "days since winding", anchor="middle")
    dash = DASHED if found.days is None else ""
    sketch.line([at(0), at(last)], HEAVY, dash)
    wound = found.interval
    if wound is not None and 0 < wound <= last:
        x, low = at(wound)
        sketch.arrow([(x, low), (x, at(0)[1])], PLAIN)
        sketch.label(
            (x, at(0)[1]), "wound", [((x + 1.5, at(0)[1] + 3.2), "start"), ((x - 1.5, at(0)[1] - 1), "end")]
        )


def written(node: Node) -> str:
    """The keeper's own words of a fact, its parts in their order: 'every Monday and Thursday'."""
    texts = [value.written for value in node.values.values()]
    return ("every " if "day" in node.values or "interval" in node.values else "") + " and ".join(texts)
