"""Where the counts stand on which the rates rest: what lifts hammers, drives the count wheel, lets it escape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from countwheel.figures.book import Book, Term, waiting
from countwheel.figures.terms import constant, fact_input
from countwheel.model.clock import Arbor, Clock, Train
from countwheel.model.node import Node, slug
from countwheel.model.values import Unknown

MOTION_WORK = ("cannon pinion", "minute wheel", "minute pinion", "hour wheel")
_PLAIN = ("teeth", "value", "")


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """One count: the fact that holds it, there or not, and which part of its line.

    `at` picks one of several in a line (the bevels that a central bevel drives); `stated` is the path of a
    fact that is not there; `fixed` stands for a number that is no fact (two beats for each tooth).
    """

    node: Node | None
    part: str
    what: str
    at: int | None = None
    stated: str = ""
    fixed: int = 0

    @property
    def path(self) -> str:
        """The public name: the fact's own, with the part of its line where it holds several counts."""
        path = self.node.path if self.node is not None else self.stated
        aside = self.part if self.at is None else f"{self.part} {self.at + 1}"
        return path if aside in _PLAIN else f"{path} ({aside})"

    @property
    def key(self) -> tuple[object, str, int | None]:
        """What tells this count from every other of the clock: facts may share a path."""
        return (id(self.node) if self.node is not None else self.stated, self.part, self.at)

    @property
    def count(self) -> Fraction | None:
        """The count where it is known."""
        if self.fixed:
            return Fraction(self.fixed)
        if self.node is None:
            return None
        if self.at is not None:
            several = self.node.counts(part=self.part)
            # A central bevel may state one count for all that it drives.
            return Fraction(several[min(self.at, len(several) - 1)]) if several else None
        number = self.node.number(part=self.part)
        return Fraction(number).limit_denominator(1000) if number else None

    @property
    def limits(self) -> Unknown | None:
        """What is known of a count that is not: None where nothing is said of it."""
        value = self.node.values.get(self.part) if self.node is not None else None
        return value if isinstance(value, Unknown) else None

    def term(self, book: Book, what: str = "") -> Term:
        """The count as a term; it waits where it is not known."""
        what = what or self.what
        if self.fixed:
            return constant(self.fixed, "", what)
        if self.node is None:
            return waiting(self.path, what)
        if self.at is None:
            return book.fact(self.node, self.node.path, what, "", part=self.part)
        count = self.count
        if count is None:
            return waiting(self.path, what)
        given = fact_input(f"{self.node.path} ({self.part})", str(count), self.node.evidence)
        return Term(count, "", what, {}, (given,))


def product(book: Book, counts: Sequence[tuple[Place, int]], first: int = 1) -> tuple[str, dict[str, Term]]:
    """The product of counts, each to its power of +1 or -1, as the text of a formula with its terms."""
    above: list[str] = []
    below: list[str] = []
    where: dict[str, Term] = {}
    for number, (place, power) in enumerate(counts, first):
        name = f"z_{number}"
        where[name] = place.term(book)
        (above if power > 0 else below).append(name)
    text = "*".join(above) or "1"
    if below:
        text += f"/({'*'.join(below)})" if len(below) > 1 else f"/{below[0]}"
    return text, where


def centre_distance(train: Train, one: str, other: str) -> Node | None:
    """The measured distance between two arbors of a train, under whichever of them it is stated."""
    for this, far in ((one, other), (other, one)):
        arbor = train.by_path.get(this)
        for fact in arbor.node.all("centre distance") if arbor else ():
            said = (fact.text(part="to") or "").lower()
            if said in (far, far.split(".")[-1]):
                return fact
    return None


# -- the escapement --------------------------------------------------------------
def beats_each(clock: Clock, arbor: Arbor | None) -> Place | str:
    """Beats for each tooth, pin or leg of the escape arbor; the path of what is lacking where it cannot be told."""
    node = arbor.escape if arbor is not None else None
    if node is None:
        return "escapement"
    if node.word == "pins":
        sides = node.text(part="sides")
        if sides is None:
            return f"{node.path} (sides)"
        if sides == "both sides":
            return Place(None, "", "beats for each pin, the pins standing on both sides by turns", fixed=1)
    elif node.word == "escape wheel" and (clock.escapement is None or not clock.escapement.text(part="kind")):
        return "escapement"
    return Place(None, "", "beats for each tooth, one to each side", fixed=2)


# -- striking and chiming ----------------------------------------------------------
def lifter(train: Train) -> tuple[Arbor, tuple[tuple[Place, int], ...]] | None:
    """The arbor that lifts the hammers, and the counts that make its turns for one blow or change."""
    for arbor in train.arbors:
        pins = arbor.node.get("lifting pins")
        if pins is not None:
            return arbor, ((Place(pins, "value", f"lifting pins of {arbor.path}"), -1),)
        drum = arbor.node.get("chime barrel")
        if drum is not None:
            return arbor, _drum(drum)
    drum = train.node.get("chime barrel")
    if drum is not None:
        path = (drum.text("driven by") or "").lower()
        carrier = next((one for one in train.arbors if path in (one.path, one.name)), None)
        if carrier is not None:
            return carrier, _drum(drum)
    return None


def _drum(drum: Node) -> tuple[tuple[Place, int], ...]:
    """Through the pairs of wheels between the arbor and the chime barrel to one change of that."""
    changes = Place(
        drum.get("changes a turn"),
        "value",
        "changes in one turn of the chime barrel",
        stated=f"{drum.path}.changes_a_turn",
    )
    found: list[tuple[Place, int]] = [(changes, -1)]
    for pair in drum.all("gear"):
        found.append((Place(pair, "driven", f"teeth of the driven wheel of {pair.path}"), 1))
        found.append((Place(pair, "driver", f"teeth of the driving wheel of {pair.path}"), -1))
    return tuple(found)


def count_pair(train: Train, wheel: Node) -> tuple[Arbor, tuple[tuple[Place, int], ...]] | None:
    """The arbor that drives the count wheel, and the counts between them; none where it sits on that arbor."""
    pair = wheel.get("count")
    said = (wheel.text("driven by") or "").lower()
    arbor, driver = _count_driver(train, said)
    if arbor is None and pair is not None and not said:
        # The pinion carries no label: the only gear of that count is it.
        count = pair.count(part="driver")
        same = [
            one for one in train.arbors for gear in one.gears if gear.teeth == count and gear.kind == "pinion"
        ]
        arbor = same[0] if len(same) == 1 else None
    if arbor is None:
        return None
    leaves, teeth = "leaves of the pinion that drives the count wheel", "teeth of the count wheel"
    if pair is not None:
        return arbor, ((Place(pair, "driver", leaves), 1), (Place(pair, "driven", teeth), -1))
    if wheel.get("wheel") is None:
        return arbor, ()
    driver = driver or next((gear.node for gear in arbor.gears if gear.label == "count"), None)
    return arbor, (
        (Place(driver, "teeth", leaves, stated=f"{arbor.path}.count"), 1),
        (Place(wheel.get("wheel"), "teeth", teeth), -1),
    )


def _count_driver(train: Train, said: str) -> tuple[Arbor | None, Node | None]:
    arbor: Arbor | None = None
    driver: Node | None = None
    for one in train.arbors:
        for gear in one.gears:
            if gear.path == said or (not said and gear.label == "count"):
                arbor, driver = one, gear.node
        if said and said in (one.path, one.name):
            arbor = one
    return arbor, driver


# -- motion work -------------------------------------------------------------------
def motion_works(clock: Clock) -> Iterator[tuple[str, Node, int]]:
    """Each motion work with its path and the hours that its hour hand should take."""
    common = clock.root.get("motion work")
    if common is not None:
        own_hours = (
            dial.node.count("hours")
            for dial in clock.dials
            if dial.node.count("hours") and not dial.node.get("motion work")
        )
        yield "motion_work", common, common.count("hours") or next(own_hours, None) or 12
    for dial in clock.dials:
        own = dial.node.get("motion work")
        if own is not None:
            yield f"{dial.path}.motion_work", own, own.count("hours") or dial.node.count("hours") or 12


def one_pair(node: Node) -> bool:
    """Whether the cannon pinion drives the hour wheel itself, with no minute wheel between."""
    return node.denies("minute wheel") and node.denies("minute pinion")


def motion_work_places(node: Node, path: str) -> dict[str, Place]:
    """The four counts of a motion work by their words."""
    return {word: Place(node.get(word), "teeth", word, stated=f"{path}.{slug(word)}") for word in MOTION_WORK}
