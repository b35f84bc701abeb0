"""How well a candidate goes with what was measured, recorded and usual: its rank, and the reason for it.

Measured sizes count as squares of their distance in standard uncertainties (the
logarithm of a normal likelihood). A habit of the trade that a candidate
breaks counts against it as its weight says: these are our own judgement (common practice,
no source) and never shut a candidate out.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from countwheel.figures.book import Book, Term
from countwheel.figures.deduced import BEYOND, BEYOND_U
from countwheel.figures.places import Place, centre_distance, motion_work_places, motion_works
from countwheel.figures.train import module_term
from countwheel.model.clock import Gear, Mesh, Train
from countwheel.model.node import Node
from countwheel.model.values import Quantity, Unknown
from countwheel.search.problem import value
from countwheel.search.rules import Group, Rule

Counts = Mapping[str, int]
DAY = 86_400
USUAL_LEAVES = frozenset({6, 7, 8, 9, 10, 12, 14, 15, 16, 18, 20, 24})
USUAL_ESCAPE = frozenset({24, 30, 32, 36, 40, 45, 60})
# What it costs a candidate to break a habit, in the unit of half a squared standard distance.
ODD_LEAVES, OTHER_LEAVES, HARD_TO_DIVIDE, CROSSINGS, GROWING, STEEP, NOT_WHOLE, SUMS, ODD_ESCAPE, RECORDED, NOT_ONCE = (
    1.5, 0.7, 1.0, 0.5, 0.3, 0.7, 0.7, 1.0, 0.7, 1.5, 0.5,
)  # fmt: skip
HARD_PRIME = (
    11  # a wheel whose count holds such a prime or a greater one needs its own row of the dividing plate
)


@dataclass(frozen=True, slots=True)
class Size:
    """A measured size as a number of teeth: a sum of counts that it asks for, with its standard uncertainty."""

    names: tuple[str, ...]
    known: Fraction  # of the counts of the sum that are known
    target: float
    u: float
    what: str

    def miss(self, counts: Counts) -> float:
        """How many standard uncertainties the candidate is away."""
        return (sum(counts[name] for name in self.names) + float(self.known) - self.target) / self.u


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that speaks for or against a candidate, and what it costs it; `against` tells which."""

    text: str
    cost: float = 0.0
    against: bool = False


@dataclass(frozen=True, slots=True)
class Judged:
    """A candidate with its reasons; `error` is what it makes the clock gain (+) or lose (−), in s/day, if known."""

    counts: dict[str, int]
    reasons: tuple[Reason, ...]
    error: float | None

    @property
    def cost(self) -> float:
        return math.fsum(reason.cost for reason in self.reasons)

    @property
    def weight(self) -> float:
        """How likely it is beside another, not normed: e to the power of minus its cost."""
        return math.exp(-self.cost)


class Judge:
    """Judges the candidates of one group of one clock."""

    def __init__(self, book: Book, group: Group) -> None:
        self.book = book
        self.group = group
        self.by_key = {one.place.key: one for one in group.lost}
        self._names = {id(one.place.node): one.name for one in group.lost if one.place.part == "teeth"}
        self.sizes = tuple(self._sizes())
        self.meshes = tuple(self._meshes())
        self.sums = tuple(self._sums())

    def judge(self, values: Iterable[int]) -> Judged:
        counts = dict(zip((one.name for one in self.group.lost), values, strict=True))
        reasons: list[Reason] = []
        error: float | None = None
        for rule in self.group.rules:
            told = self._closing(rule, counts)
            if told is not None:
                reasons.append(told[0])
                error = told[1] if error is None else error
        reasons += [_size_reason(size, counts) for size in self.sizes]
        reasons += self._recorded(counts)
        reasons += self._habits(counts)
        return Judged(counts, tuple(reasons), error)

    # -- what the train must come to ---------------------------------------------
    def error(self, rule: Rule, counts: Counts) -> float | None:
        """What the clock gains (+) or loses (−) in s/day by its counts, where the rule is that of the beat."""
        if rule.closing is None or rule.closing.kind != "beats":
            return None
        # More beats in its hour than the pendulum makes: the clock takes longer over it, and loses.
        return DAY * (float(rule.closing.middle / value(rule.rule, dict(counts))) - 1)

    def _closing(self, rule: Rule, counts: Counts) -> tuple[Reason, float | None] | None:
        """How near the candidate comes to what a closing asks for."""
        closing = rule.closing
        if closing is None or closing.bound != "is":
            return None
        made = value(rule.rule, dict(counts))
        u = closing.relative_uncertainty
        off = float(made / closing.middle) - 1
        seconds = self.error(rule, counts)
        if seconds is None:
            return (Reason("", (off / u) ** 2 / 2), None) if u else None
        beats = f"{_plain(made * Fraction(closing.start.value or 1))} beats an hour"
        if abs(off) < 1e-9:
            return Reason(f"{beats}, just as the beat says"), 0.0
        way = "fast" if seconds > 0 else "slow"
        text = f"{beats}, which by the beat is {abs(seconds):.0f} s a day {way}"
        return Reason(text, ((off / u) ** 2 / 2 if u else 0.0) + NOT_WHOLE, against=True), seconds

    # -- what is recorded --------------------------------------------------------
    def _recorded(self, counts: Counts) -> list[Reason]:
        found: list[Reason] = []
        loose = [(node.path, node.count()) for node in self.book.clock.root.all("loose wheel")]
        for one in self.group.lost:
            count = counts[one.name]
            if one.recorded:
                said = [f"{number} was recorded ({how})" for number, how in one.recorded if number == count]
                if said:
                    found.append(Reason(f"{one.name}: {said[0]}"))
                else:
                    numbers = ", ".join(str(number) for number, _ in one.recorded)
                    found.append(Reason(f"{one.name}: recorded was {numbers}", RECORDED, against=True))
            if one.about is not None:
                u = 0.05 * one.about
                miss = (count - one.about) / u
                found.append(
                    Reason(f"{one.name}: about {one.about:g} is stated", miss * miss / 2, abs(miss) > 2)
                )
            if not one.gone or one.word != "teeth":
                continue
            for path, number in loose:
                if number == count:
                    found.append(Reason(f"{one.name}: the loose wheel `{path}` has {count}", -RECORDED))
        return found

    # -- measured sizes ----------------------------------------------------------
    def _sizes(self) -> Iterable[Size]:
        for train in self.book.clock.trains:
            for mesh in train.meshes:
                if mesh.form not in ("external", "lantern"):
                    continue
                for gear, mate in ((mesh.driver, mesh.driven), (mesh.driven, mesh.driver)):
                    if self._name(gear) is not None:
                        yield from self._diameters(gear, mate)
                yield from self._apart(train, mesh)

    def _name(self, gear: Gear) -> str | None:
        return self._names.get(id(gear.node)) if gear.teeth is None else None

    def _module(self, *nodes: Node) -> Term | None:
        for node in nodes:
            term = module_term(self.book, node)
            if term is not None and term.value:
                return term
        return None

    def _diameters(self, gear: Gear, mate: Gear) -> Iterable[Size]:
        module = self._module(gear.node, mate.node)
        name = self._name(gear)
        if module is None or name is None:
            return
        m, u_m = float(module.value or 0) / 1000, module.uncertainty / 1000
        for word, beyond, u_beyond in (
            ("pitch diameter", 0.0, 0.0),
            ("outside diameter", float(BEYOND), BEYOND_U),
        ):
            size = measured(gear.node.get(word))
            if size is None:
                continue
            value, u, written = size
            z = value / m
            u_z = math.hypot(u / m, z * u_m / m, u_beyond)
            if u_z:
                yield Size((name,), Fraction(0), z - beyond, u_z, f"its {word} of {written}")

    def _apart(self, train: Train, mesh: Mesh) -> Iterable[Size]:
        names = [name for gear in (mesh.driver, mesh.driven) if (name := self._name(gear)) is not None]
        size = measured(centre_distance(train, mesh.driver_arbor, mesh.driven_arbor))
        module = self._module(mesh.driver.node, mesh.driven.node)
        if not names or size is None or module is None:
            return
        value, u, written = size
        m, u_m = float(module.value or 0) / 1000, module.uncertainty / 1000
        known = sum((gear.teeth or 0) for gear in (mesh.driver, mesh.driven))
        total = 2 * value / m
        u_z = max(math.hypot(2 * u / m, total * u_m / m), 0.05)
        yield Size(tuple(names), Fraction(known), total, u_z, f"the distance of {written} between the arbors")

    # -- habits of the trade -----------------------------------------------------
    def _meshes(self) -> Iterable[tuple[Train, Mesh]]:
        for train in self.book.clock.trains:
            for mesh in train.meshes:
                if self._name(mesh.driver) is not None or self._name(mesh.driven) is not None:
                    yield train, mesh

    def _sums(self) -> Iterable[dict[str, Place]]:
        for path, node, _ in motion_works(self.book.clock):
            places = motion_work_places(node, path)
            if any(place.key in self.by_key for place in places.values()):
                yield places

    def _count(self, gear: Gear, counts: Counts) -> int | None:
        name = self._name(gear)
        return counts[name] if name is not None else gear.teeth

    def _habits(self, counts: Counts) -> list[Reason]:
        found: list[Reason] = []
        for rule in self.group.rules:
            if rule.usual and value(rule.rule, dict(counts)) != rule.usual:
                found.append(Reason(f"{rule.rule.name}: most lock once for each blow", NOT_ONCE, True))
        for one in self.group.lost:
            found += _own_habits(one.name, one.word, one.place.node, counts[one.name])
        for train, mesh in self.meshes:
            driver, driven = self._count(mesh.driver, counts), self._count(mesh.driven, counts)
            if driver and driven and mesh.driver.kind == "wheel" and mesh.driven.kind == "pinion":
                ratio = driver / driven
                if not 4 <= ratio <= 12:
                    found.append(
                        Reason(
                            f"{mesh.path}: {driver} to {driven} is steep or flat for a train",
                            STEEP,
                            against=True,
                        )
                    )
            found += self._leaves(train, mesh, counts)
            found += self._wheels(train, mesh, counts)
        for places in self.sums:
            found += _coaxial_reason(places, {key: counts[one.name] for key, one in self.by_key.items()})
        return found

    def _leaves(self, train: Train, mesh: Mesh, counts: Counts) -> list[Reason]:
        name = self._name(mesh.driven)
        if name is None or mesh.driven.kind != "pinion":
            return []
        others = Counter(
            one.driven.teeth
            for one in train.meshes
            if one.driven.kind == "pinion" and one.driven.teeth is not None
        )
        if not others:
            return []
        usual, times = others.most_common(1)[0]
        if counts[name] in others:
            return [Reason(f"{name}: another pinion of the train has {counts[name]} leaves too")]
        if times == others.total():
            return [
                Reason(
                    f"{name}: the other pinions of the train have {usual} leaves", OTHER_LEAVES, against=True
                )
            ]
        return []

    def _wheels(self, train: Train, mesh: Mesh, counts: Counts) -> list[Reason]:
        name = self._name(mesh.driver)
        if name is None or mesh.driver.kind != "wheel":
            return []
        before = next((one.driver for one in train.meshes if one.driven_arbor == mesh.driver_arbor), None)
        above = self._count(before, counts) if before is not None and before.kind == "wheel" else None
        if above is not None and counts[name] > above:
            return [
                Reason(f"{name}: more teeth than the {above} of the wheel before it", GROWING, against=True)
            ]
        return []


# -- reasons ---------------------------------------------------------------------
def _own_habits(name: str, word: str, node: Node | None, count: int) -> Iterable[Reason]:
    kind = node.word if node is not None else ""
    if word == "leaves":
        if kind == "pinion" and count not in USUAL_LEAVES:
            yield Reason(f"{name}: pinions of {count} leaves are seldom made", ODD_LEAVES, against=True)
        return
    if kind == "escape wheel" and count not in USUAL_ESCAPE:
        yield Reason(f"{name}: an escape wheel of {count} is not usual", ODD_ESCAPE, against=True)
    prime = _greatest_prime(count)
    if prime >= HARD_PRIME:
        yield Reason(
            f"{name}: {count} has the prime {prime} in it, which is hard to divide",
            HARD_TO_DIVIDE,
            against=True,
        )
    arms = node.count("crossings") if node is not None else None
    if arms:
        fits = count % arms == 0
        divides = "can" if fits else "cannot"
        yield Reason(
            f"{name}: {count} {divides} be shared out among {arms} crossings", 0.0 if fits else CROSSINGS
        )


def _greatest_prime(number: int) -> int:
    greatest, divisor = 1, 2
    while divisor * divisor <= number:
        while number % divisor == 0:
            greatest, number = divisor, number // divisor
        divisor += 1
    return max(greatest, number)


def _coaxial_reason(places: Mapping[str, Place], counts: Mapping[object, int]) -> Iterable[Reason]:
    """Both pairs of a motion work usually have one module, so that their counts add up alike."""
    values = [place.count or counts.get(place.key) for place in places.values()]
    if any(value is None for value in values):
        return
    cannon, wheel, pinion, hour = (int(value or 0) for value in values)
    if cannon + wheel == pinion + hour:
        yield Reason(
            f"both pairs of the motion work add up to {cannon + wheel}, so that one module serves for both"
        )
    else:
        yield Reason(
            f"the pairs of the motion work add up to {cannon + wheel} and {pinion + hour}", SUMS, against=True
        )


def _size_reason(size: Size, counts: Counts) -> Reason:
    miss = size.miss(counts)
    near = "agrees with" if abs(miss) <= 2 else "is far from"
    total = f"{size.target - float(size.known):.1f} ± {size.u:.1f}"
    asked = size.names[0] if len(size.names) == 1 else " and ".join(size.names) + " together"
    return Reason(f"{asked}: {near} {size.what}, which asks for {total}", miss * miss / 2, abs(miss) > 2)


def measured(node: Node | None) -> tuple[float, float, str] | None:
    """A length in m with its standard uncertainty, from what is stated or from the limits of what is not known."""
    if node is None:
        return None
    value = node.value
    if isinstance(value, Quantity):
        half = value.tolerance.half_width if value.tolerance else 0.005 * value.si
        return value.si, half / math.sqrt(3), value.written
    if isinstance(value, Unknown):
        if value.low is not None and value.high is not None:
            return (value.low + value.high) / 2, (value.high - value.low) / math.sqrt(12), value.written
        if value.about is not None:
            return value.about, 0.05 * value.about, value.written
    return None


def _plain(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.2f}"
