"""The remontoire: what its small weight gives between two windings, and whether the counts allow its period."""

from __future__ import annotations

from fractions import Fraction

from countwheel.figures import gravity
from countwheel.figures.book import At, Book, Term, waiting
from countwheel.figures.terms import fact_input
from countwheel.figures.train import rate_id
from countwheel.model.clock import Arbor, Train
from countwheel.model.values import Quantity

WORK = "mechanics: work is weight times fall"
SOURCE = f"{WORK}; the train remontoire is described by E. Beckett, Clocks, Watches and Bells, 8th ed. 1903"
MOVES = (
    "A remontoire lets the train go without warning, at every winding of its small weight. Keep fingers,"
    " cloths and sleeves out of it, and take the weight off the train before anything there is touched."
)


def work_out(book: Book) -> None:
    """Figures `T.remontoire.*`. After train.py."""
    for train in book.clock.trains:
        found = Remontoire.of(book, train)
        if found is not None:
            _counts(book, found)
            _work(book, found)


class Remontoire:
    """A train's remontoire: its facts, the arbor before it and the arbor that it drives."""

    def __init__(self, book: Book, train: Train, here: At) -> None:
        self.train = train
        self.here = here
        self.id = f"{train.name}.remontoire"
        self.driven = self._arbor(here.text("drives")) or train.escape_arbor
        self.before = self._arbor(here.text("after")) or self._driver()

    @classmethod
    def of(cls, book: Book, train: Train) -> Remontoire | None:
        """The remontoire of a train, which may be written under one of its arbors; None where there is none."""
        node = train.fact("remontoire")
        if node is None or getattr(node.value, "kind", "") == "absent":
            return None
        return cls(book, train, At(node, node.path))

    def _arbor(self, path: str | None) -> Arbor | None:
        wanted = (path or "").lower().replace(" ", "_")
        return next((one for one in self.train.arbors if wanted in (one.path, one.name)), None)

    def _driver(self) -> Arbor | None:
        path = self.driven.path if self.driven else ""
        before = next((mesh.driver_arbor for mesh in self.train.meshes if mesh.driven_arbor == path), "")
        return self._arbor(before)

    @property
    def period(self) -> Term:
        """Seconds between windings: exact, as the train itself counts them out."""
        node = self.here.node
        value = node.values.get("every") if node is not None else None
        if node is None or not isinstance(value, Quantity):
            return waiting(f"{self.here.path} (every)", "time between windings of the remontoire", "s")
        given = fact_input(f"{node.path} (every)", value.written, node.evidence)
        seconds = Fraction(value.si).limit_denominator(10**6) or Fraction(value.si)
        return Term(seconds, "s", "time between windings of the remontoire", {}, (given,))


def _counts(book: Book, found: Remontoire) -> None:
    period = found.period
    book.derive(
        f"{found.id}.rewinds_per_day",
        "windings of the remontoire in a day",
        "86400/T",
        {"T": period},
        unit="per day",
        symbol="n",
        source="definition",
        method="The train itself counts out the time between two of them.",
    )
    for name, arbor in (("turns_per_rewind", found.before), ("driven_turns_per_rewind", found.driven)):
        if arbor is not None:
            book.derive(
                f"{found.id}.{name}",
                f"turns of {arbor.path} from one winding of the remontoire to the next",
                "n*T/3600",
                {"n": book.use(rate_id(arbor.path), "turns/h"), "T": period},
                unit="turns",
                symbol="z",
                source="from the counts of the train",
                method="Its turns in an hour, for so many seconds.",
            )
    beats = f"{found.train.name}.train.beats_per_hour"
    if book.has(beats):
        book.derive(
            f"{found.id}.beats_per_rewind",
            "beats from one winding of the remontoire to the next",
            "N*T/3600",
            {"N": book.use(beats, "per h"), "T": period},
            symbol="k",
            source="from the counts of the train",
            method="All driven by the small weight in one fall.",
        )
    if found.before is None:
        return
    turns = book.use(f"{found.id}.turns_per_rewind")
    exact = turns.value if isinstance(turns.value, Fraction) else None
    book.state(
        f"{found.id}.fits_counts",
        f"whether {found.before.path} turns a whole fraction of a turn at each winding of the remontoire",
        exact is not None and 1 in (exact.numerator, exact.denominator),
        [turns],
        source="common practice, no source",
        method="It is stopped and let go by teeth or arms that stand evenly round it, so its turn at each winding"
        f" must be one over a whole number{'' if exact is None else f'; by the counts it is {exact}'}.",
    )


def _work(book: Book, found: Remontoire) -> None:
    here, period = found.here, found.period
    weight = here.term("weight", "small weight of the remontoire", "kg")
    drop = here.term("drop", "fall of the small weight between windings", "mm")
    energy = book.derive(
        f"{found.id}.energy_per_rewind",
        "work of the remontoire's weight from one winding to the next",
        "m*g*h",
        {"m": weight, "g": gravity.anywhere(book), "h": drop},
        unit="mJ",
        symbol="E",
        source=SOURCE,
        method="Its weight times its fall.",
        cautions=(MOVES,),
    )
    book.derive(
        f"{found.id}.energy_per_day",
        "work of the remontoire's weight in a day",
        "E/1000*86400/T",
        {"E": book.use(energy, "mJ"), "T": period},
        unit="J/day",
        symbol="A",
        source=SOURCE,
        method="Over all its windings.",
    )
    book.derive(
        f"{found.id}.power",
        "power of the remontoire's weight",
        "E/T",
        {"E": book.use(energy, "mJ"), "T": period},
        unit="mW",
        symbol="P",
        source=SOURCE,
        method="All that the escapement ever feels: the going weight only winds the small one.",
    )
    if book.has(f"{found.id}.driven_turns_per_rewind") and found.driven is not None:
        book.derive(
            f"{found.id}.torque",
            f"turning force that the remontoire's weight gives at {found.driven.path}",
            "E/1000/(2*pi*z)",
            {"E": book.use(energy, "mJ"), "z": book.use(f"{found.id}.driven_turns_per_rewind", "turns")},
            unit="N·m",
            symbol="M",
            source="mechanics: work over the angle turned",
            method="The mean between two windings, without the rubbing of its own pivots.",
        )
    if book.has(f"{found.id}.beats_per_rewind"):
        book.derive(
            f"{found.id}.impulse",
            "work of the remontoire's weight at each beat",
            "E/k",
            {"E": book.use(energy, "mJ"), "k": book.use(f"{found.id}.beats_per_rewind")},
            unit="mJ",
            symbol="W",
            source=WORK,
            method="What the escape wheel has to give at a beat; a part of it goes in drop and rubbing.",
        )
    if here.has("arm"):
        arm = here.term("arm", "arm that the small weight acts on", "mm")
        angle = book.derive(
            f"{found.id}.arm_angle",
            "angle through which the remontoire's arm sinks between windings",
            "2*asin(h/(2*r))",
            {"h": drop, "r": arm},
            unit="deg",
            symbol="θ",
            source="geometry",
            method="If the arm stands level in the middle of its fall.",
        )
        book.derive(
            f"{found.id}.unevenness",
            "how much weaker the remontoire is at the ends of its arm's fall",
            "100*(1 - cos(θ/2))",
            {"θ": book.use(angle, "deg")},
            unit="%",
            symbol="u",
            source="geometry: a weight on a slanting arm acts with the cosine of the slant",
            method="Against the middle of the fall, where the arm stands level.",
        )
