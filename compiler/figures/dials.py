"""Every dial's hands: how often they turn, and which way from outside.

A shaft's turning is followed as a sense about the direction in which the
shaft runs. A pair of bevels carries it over: with the driven bevel on the
side towards which the driver's shaft runs, both turn alike, looked at along
the way each runs; on the other side, opposite (geometry of two cones rolling
on one another; own derivation). Where no side is stated, the figure waits.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from countwheel.figures.book import Book, Term, waiting
from countwheel.figures.places import one_pair
from countwheel.figures.record import Input
from countwheel.figures.senses import OPPOSITE_SIDES
from countwheel.figures.terms import fact_input
from countwheel.figures.train import rate_id
from countwheel.model.clock import Clock, Dial, LeadingOff, LeadStep
from countwheel.model.node import Node

OPPOSITE = OPPOSITE_SIDES | {
    "up": "down",
    "down": "up",
    "near": "far",
    "far": "near",
    "left": "right",
    "right": "left",
    "front": "back",
    "back": "front",
}
_SIDE_AS_DIRECTION = {"above": "up", "below": "down"}
ROUND = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
# Eighths of a turn, to the right, from the way that a person looks who stands before the movement.
_FROM_THE_FRONT = {"far": 0, "back": 0, "right": 2, "front": 4, "left": 6}
SOURCE = "geometry of the shafts; common practice, no source"


@dataclass(slots=True)
class Turning:
    """A shaft on the way: its rate, its sense about the way it runs (+1 clockwise looking along it), and why.

    `runs` is a direction word, '' where it is not stated.
    """

    rate: Term
    along: int | None
    runs: str
    inputs: tuple[Input, ...]
    story: tuple[str, ...]
    waits: tuple[str, ...] = ()


def called(dial: Dial) -> str:
    """The dial's name as the keeper wrote it (`north-west`), not as it stands in a path."""
    return dial.node.label or dial.name


def work_out(book: Book) -> None:
    for dial in book.clock.dials:
        _dial(book, dial)


def _dial(book: Book, dial: Dial) -> None:
    turning = _way(book, dial)
    if turning is None:
        turning = Turning(
            waiting(f"{dial.path}.driven_by", "what turns the hands"),
            None,
            "",
            (),
            (),
            (f"{dial.path}.driven_by",),
        )
    node = dial.node
    two_hands = not node.says("one hand only") and not node.denies("minute hand")
    minute = f"{dial.path}.minute_hand"
    hour = f"{dial.path}.hour_hand"
    if two_hands:
        book.derive(
            f"{minute}.turns_per_hour",
            f"turns an hour of the minute hand{_of(dial)}",
            "n",
            {"n": turning.rate},
            unit="turns/h",
            symbol="n",
            method=" ".join(turning.story) or "It turns with the arbor that drives it.",
            source=SOURCE,
        )
        _sense(
            book,
            f"{minute}.sense_from_outside",
            f"which way the minute hand{_of(dial)} turns, from outside",
            turning,
            node.get("minute hand"),
        )
    if not node.denies("hour hand"):
        ratio = f"{dial.path}.motion_work.ratio" if node.get("motion work") else "motion_work.ratio"
        if dial.motion_work is not None:
            book.derive(
                f"{hour}.turns_per_hour",
                f"turns an hour of the hour hand{_of(dial)}",
                "n_m/i",
                {"n_m": turning.rate, "i": book.use(ratio)},
                unit="turns/h",
                symbol="n",
                source=SOURCE,
            )
        elif not two_hands:
            book.derive(
                f"{hour}.turns_per_hour",
                f"turns an hour of the hour hand{_of(dial)}",
                "n",
                {"n": turning.rate},
                unit="turns/h",
                symbol="n",
                source=SOURCE,
            )
        else:
            book.state(
                f"{hour}.turns_per_hour",
                f"turns an hour of the hour hand{_of(dial)}",
                None,
                [waiting("motion_work", "the motion work")],
                unit="turns/h",
            )
        _sense(
            book,
            f"{hour}.sense_from_outside",
            f"which way the hour hand{_of(dial)} turns, from outside",
            _through(dial.motion_work, turning),
            node.get("hour hand"),
        )


def _of(dial: Dial) -> str:
    return f" of the {called(dial)} dial" if dial.name else ""


def _through(work: Node | None, turning: Turning) -> Turning:
    """Two pairs of motion work leave the sense as it was, so both hands turn alike; one pair turns it over."""
    if work is None or not one_pair(work) or turning.along is None:
        return turning
    story = (*turning.story, "The one pair of the motion work turns the hour wheel the other way.")
    return replace(turning, along=-turning.along, story=story)


def _sense(book: Book, id: str, title: str, turning: Turning, hand: Node | None) -> None:
    seen = hand.get("turns") if hand is not None else None
    if turning.along is None and seen is not None and seen.text():
        sense = seen.text() or ""
        if (seen.text(part="from") or "outside") in ("behind", "back"):
            sense = "anticlockwise" if sense == "clockwise" else "clockwise"
        book.state(
            id,
            title,
            sense,
            facts=(fact_input(seen.path, f"turns {seen.text()}", seen.evidence),),
            method="It was seen to turn so.",
        )
    elif turning.along is None:
        book.state(
            id,
            title,
            None,
            [waiting(path, path) for path in turning.waits],
            source=SOURCE,
            method=" ".join(turning.story),
        )
    else:
        # The hand's arbor runs outwards; who stands outside looks against it.
        sense = "anticlockwise" if turning.along > 0 else "clockwise"
        book.state(id, title, sense, facts=turning.inputs, source=SOURCE, method=" ".join(turning.story))


# -- the way -------------------------------------------------------------------


def _start(book: Book, path: str) -> Turning:
    """The arbor that the way begins at: it runs from the front of the movement to its back."""
    arbor = arbor_path(book, path)
    rate = (
        book.use(rate_id(arbor), "turns/h")
        if book.has(rate_id(arbor))
        else waiting(arbor, f"the turns of {path}", "turns/h")
    )
    sense = book.get(f"{arbor}.sense")
    if sense is None or sense.value is None:
        return Turning(rate, None, "far", (), (), sense.waits_for if sense else (f"{arbor}.turns",))
    # Seen from the front, clockwise is clockwise looking along the way from front to back.
    along = 1 if sense.value == "clockwise" else -1
    return Turning(rate, along, "far", sense.inputs, (f"{arbor} turns {sense.value} seen from the front.",))


def arbor_path(book: Book, path: str) -> str:
    return arbor_of(book.clock, path) or path


def arbor_of(clock: Clock, path: str) -> str | None:
    """The path of the arbor that a path, a bare name or one of its wheels tells; None where there is none."""
    for train in clock.trains:
        for arbor in train.arbors:
            if path in (arbor.path, arbor.name) or any(gear.path == path for gear in arbor.gears):
                return arbor.path
    return None


def _way(book: Book, dial: Dial) -> Turning | None:
    direct = dial.node.get("driven by")
    if direct is not None and direct.text():
        turning = _start(book, (direct.text() or "").lower())
        side = direct.text(part="side")
        if side is None:
            turning.along = None
            turning.waits = (*turning.waits, f"{direct.path} (side)")
        elif side in ("near",) and turning.along is not None:
            turning.along = -turning.along
        if turning.along is not None:
            turning.story = (*turning.story, f"The dial lies on the {side} side of the movement.")
        return turning
    way = dial.leading_off
    if way is None:
        return None
    if way.from_path is None:
        return Turning(
            waiting(f"{way.node.path}.from", "the arbor that turns the hands", "turns/h"),
            None,
            "",
            (),
            (),
            (f"{way.node.path}.from",),
        )
    turning = _start(book, way.from_path)
    for step in way.steps:
        turning = _after(book, turning, step, way, dial)
    return turning


def _after(book: Book, turning: Turning, step: LeadStep, way: LeadingOff, dial: Dial) -> Turning:
    node = step.node
    if step.kind == "shaft":
        return _along_shaft(book, turning, node)
    if step.kind == "joint":
        return turning  # it turns as often, if not as evenly
    driver = book.fact(node, node.path, f"teeth of the driving {node.word}", "", part="driver")
    driven = driven_teeth(book, node, way, dial)
    name = f"{dial.path}.{step_name(way, step)}_turns_per_hour"
    figure = book.derive(
        name,
        f"turns an hour behind the {node.word}{_of(dial) and ' on the way to the ' + called(dial) + ' dial'}",
        "n*z_1/z_2",
        {"n": turning.rate, "z_1": driver, "z_2": driven},
        unit="turns/h",
        source=SOURCE,
    )
    rate = book.use(figure, "turns/h")
    if step.kind == "gear":
        along = None if turning.along is None else -turning.along
        return Turning(
            rate,
            along,
            turning.runs,
            turning.inputs,
            (*turning.story, "A pair of plain wheels turns it the other way."),
            turning.waits,
        )
    return _over_bevel(book, turning, node, rate)


def step_name(way: LeadingOff, step: LeadStep) -> str:
    same = [other for other in way.steps if other.node.word == step.node.word]
    word = step.node.word.replace(" ", "_")
    return word if len(same) == 1 else f"{word}_{next(n for n, s in enumerate(same, 1) if s is step)}"


def driven_teeth(book: Book, node: Node, way: LeadingOff, dial: Dial) -> Term:
    several = node.counts(part="driven")
    if not several:
        return book.fact(node, node.path, f"teeth of the driven {node.word}", "", part="driven")
    at = way.dials.index(dial.name)
    count = several[at] if at < len(several) else several[0]
    given = fact_input(f"{node.path} (driven)", str(count), node.evidence)
    from fractions import Fraction

    return Term(
        Fraction(count),
        "",
        f"teeth of the driven bevel{_of(dial)}",
        {},
        (given,),
    )


def _along_shaft(book: Book, turning: Turning, node: Node) -> Turning:
    runs = node.text("runs", part="axis") or ""
    seen = node.get("turns")
    along = turning.along
    before, after = compass(book.clock, turning.runs), compass(book.clock, runs)
    backwards = (before, after) == ("far", "front") or OPPOSITE.get(before) == after
    if turning.runs == "far" and backwards and along is not None:
        # straight on from the arbor, but towards the front: looked at along it, it turns the other way
        along = -along
    turning = Turning(turning.rate, along, runs, turning.inputs, turning.story, turning.waits)
    if seen is not None and seen.text() and runs:
        side = _SIDE_AS_DIRECTION.get(seen.text(part="from") or "", seen.text(part="from") or "")
        if side in (runs, OPPOSITE.get(runs)):
            looking_along = side == OPPOSITE.get(runs)
            clockwise = seen.text() == "clockwise"
            turning.along = 1 if clockwise == looking_along else -1
            turning.inputs = (fact_input(seen.path, f"turns {seen.text()}", seen.evidence),)
            turning.story = (
                f"The shaft {node.label or ''} was seen to turn {seen.text()} from {seen.text(part='from')}.",
            )
            turning.waits = ()
    return turning


def _over_bevel(book: Book, turning: Turning, node: Node, rate: Term) -> Turning:
    side = node.text(part="side")
    after = Turning(rate, None, "", turning.inputs, turning.story, turning.waits)
    if turning.along is None:
        return after
    if side is None:
        after.waits = (*turning.waits, f"{node.path} (side)")
        return after
    told = side if side in ("near", "far") else compass(book.clock, side)
    forward = _lies_forward(compass(book.clock, turning.runs), told)
    if forward is None:
        after.waits = (
            (*turning.waits, f"{node.path} (side)")
            if turning.runs
            else (*turning.waits, "the way the shaft runs")
        )
        return after
    after.along = turning.along if forward else -turning.along
    given = fact_input(f"{node.path} (side)", side, node.evidence)
    after.inputs = (*turning.inputs, given)
    same = "the same way" if forward else "the other way"
    where = side if side in _SIDE_AS_DIRECTION else f"on the {side} side"
    after.story = (
        *turning.story,
        f"The driven bevel lies {where}, so it turns {same}, each looked at along the way it runs.",
    )
    return after


def compass(clock: Clock, direction: str) -> str:
    """A direction told from the movement's front as one of the compass, where it is known which way that looks."""
    node = clock.fact("clock", "faces")
    faces = node.text() if node else None
    if faces in ROUND and direction in _FROM_THE_FRONT:
        return ROUND[(ROUND.index(faces) + _FROM_THE_FRONT[direction]) % 8]
    return direction


def _lies_forward(runs: str, side: str) -> bool | None:
    """Whether a side of the driver is the one its shaft runs towards; None where the words do not tell."""
    side = _SIDE_AS_DIRECTION.get(side, side)
    if side == "far":
        return True
    if side == "near":
        return False
    if side == runs:
        return True
    return False if OPPOSITE.get(runs) == side else None
