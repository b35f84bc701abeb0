"""Which way every arbor turns, from what was seen of one of them or from how the barrel is wound."""

from __future__ import annotations

from countwheel.figures.book import Book, waiting
from countwheel.figures.record import Input
from countwheel.figures.terms import fact_input
from countwheel.model.clock import Clock, Sense, Train
from countwheel.model.node import Node

OPPOSITE_SIDES = {
    "north": "south",
    "south": "north",
    "east": "west",
    "west": "east",
    "north-east": "south-west",
    "south-west": "north-east",
    "north-west": "south-east",
    "south-east": "north-west",
}


def work_out(book: Book) -> None:
    """Figures `T.ARBOR.sense`: clockwise or anticlockwise from the front, or from above for an upright arbor."""
    for train in book.clock.trains:
        _train(book, train)


def opposite(sense: Sense) -> Sense:
    return "anticlockwise" if sense == "clockwise" else "clockwise"


def upright(arbor: Node) -> bool:
    """Whether an arbor stands upright: then it is looked at from above, as others are from the front."""
    return arbor.text("runs", part="axis") in ("up", "down")


def front_side(clock: Clock, train: Train) -> str:
    """The compass side that the front of a movement is on, where the description tells; '' where it does not."""
    runs = train.node.text("runs", part="axis")
    if runs in OPPOSITE_SIDES:
        return runs
    faces = clock.root.get("clock", "faces")
    # Who stands before the movement and looks north stands to the south of it.
    return OPPOSITE_SIDES.get((faces.text() or "") if faces else "", "")


def observed_sense(node: Node, front: str = "") -> Sense | None:
    """The sense seen from the front that a `turns` fact states, whichever side it was seen from."""
    fact = node.get("turns")
    sense = fact.text() if fact else None
    if fact is None or sense not in ("clockwise", "anticlockwise"):
        return None
    seen: Sense = "clockwise" if sense == "clockwise" else "anticlockwise"
    side = fact.text(part="from") or "front"
    if front and side == OPPOSITE_SIDES.get(front):
        return opposite(seen)
    if side == front or side == "front" or (side == "above" and upright(node)):
        return seen
    if side == "below" and upright(node):
        return opposite(seen)
    return opposite(seen) if side in ("back", "behind") else None


def winding_sense(train: Train) -> tuple[Sense, Node] | None:
    """Which way the barrel turns while the clock goes, from the way its handle is turned to wind."""
    winding = train.fact("winding")
    if winding is None or train.barrel_arbor is None:
        return None
    handle = winding.get("clockwise") or winding.get("anticlockwise")
    if handle is None:
        return None
    turned: Sense = "clockwise" if handle.word == "clockwise" else "anticlockwise"
    for _ in winding.all("jack"):
        turned = opposite(turned)
    return opposite(turned), handle


Carried = dict[str, tuple[Sense, str, str]]


def carry(train: Train, known: Carried) -> Carried:
    """The senses that follow from known ones through meshes that plainly turn them round or do not.

    For each arbor: its sense, the arbor that it was got from at first, and in words how.
    """
    known = dict(known)
    neighbours = train.neighbours()
    reached = list(known)
    for here in reached:
        for mesh, other, _ in neighbours.get(here, ()):
            if other in known or mesh.reverses is None:
                continue
            sense, start, _how = known[here]
            turn = "the other way" if mesh.reverses else "the same way"
            how = f"{here} turns {sense}; the {mesh.form} pair between them turns it {turn}."
            known[other] = (opposite(sense) if mesh.reverses else sense, start, how)
            reached.append(other)
    return known


def _train(book: Book, train: Train) -> None:
    starts: Carried = {}
    facts: dict[str, Input] = {}
    front = front_side(book.clock, train)
    for arbor in train.arbors:
        seen, fact = observed_sense(arbor.node, front), arbor.node.get("turns")
        if seen is not None and fact is not None:
            starts[arbor.path] = (seen, arbor.path, "It was seen to turn so.")
            facts[arbor.path] = fact_input(fact.path, f"turns {fact.text()}", fact.evidence)
    wound, drum, winding = winding_sense(train), train.barrel_arbor, train.fact("winding")
    if wound is not None and drum is not None and winding is not None and drum.path not in starts:
        sense, handle = wound
        jacks = len(winding.all("jack"))
        through = f"at the handle, through {jacks} pair{'s' if jacks != 1 else ''} of winding wheels"
        if not jacks:
            through = "on its own arbor, with no winding wheels between"
        how = f"Wound {handle.word} {through}; it runs down the other way."
        starts[drum.path] = (sense, drum.path, how)
        facts[drum.path] = fact_input(handle.path, handle.word, handle.evidence)
    known = carry(train, starts)
    asked = _sense_wanted(train)
    for arbor in train.arbors:
        side = "above" if upright(arbor.node) else "the front"
        title = f"which way {arbor.path} turns, seen from {side}"
        if arbor.path in known:
            sense, start, how = known[arbor.path]
            book.state(f"{arbor.path}.sense", title, sense, facts=(facts[start],), method=how)
        else:
            # behind a pair of bevels or a contrate wheel the sense has to be seen on the far side too
            wanted = f"{arbor.path}.turns" if known else asked
            book.state(f"{arbor.path}.sense", title, None, [waiting(wanted, "a sense of rotation")])


def _sense_wanted(train: Train) -> str:
    """The one observation that would tell which way the train turns: of the arbor it is asked of, else of the first."""
    asked = next((arbor for arbor in train.arbors if arbor.node.get("turns")), None)
    arbor = asked or train.barrel_arbor or (train.arbors[0] if train.arbors else None)
    return f"{arbor.path}.turns" if arbor else f"{train.name}.turns"
