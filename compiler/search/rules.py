"""From a clock to problems of whole numbers: what its lost counts must satisfy together."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from countwheel.figures.book import Book
from countwheel.figures.closings import Closing, closings, locked
from countwheel.figures.places import Place, motion_work_places, motion_works
from countwheel.figures.train import module_term
from countwheel.model.clock import Clock
from countwheel.search.lost import Lost, known_product, lost
from countwheel.search.problem import Problem, Product, Sum, Unknown, Whole

# Stands for 'no upper bound': no product of counts of a clock comes near it.
NO_BOUND = Fraction(10**30)

Key = tuple[object, str, int | None]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a problem with what it says of the clock; `closing` where it is one.

    `usual` is what the product of a `Whole` mostly is (0: nothing is usual).
    """

    rule: Product | Sum | Whole
    says: str
    closing: Closing | None = None
    usual: int = 0

    @property
    def names(self) -> tuple[str, ...]:
        if isinstance(self.rule, Sum):
            return tuple(name for name, _ in self.rule.weights)
        return tuple(name for name, _ in self.rule.powers)


@dataclass(frozen=True, slots=True)
class Group:
    """Lost counts that bear on one another, and all that is required of them."""

    lost: tuple[Lost, ...]
    rules: tuple[Rule, ...]

    @property
    def problem(self) -> Problem:
        return Problem(
            tuple(Unknown(one.name, one.domain) for one in self.lost), tuple(rule.rule for rule in self.rules)
        )


@dataclass(frozen=True, slots=True)
class Groups:
    """The problems of one clock; `free` are lost counts on which nothing bears yet, with what that waits for."""

    groups: tuple[Group, ...]
    free: tuple[tuple[Lost, tuple[str, ...]], ...]


class _Gathering:
    """Lost counts by the fact that should hold them, and the rules they stand in."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.clock: Clock = book.clock
        self.lost: dict[Key, Lost] = {}
        self.waits: dict[str, list[str]] = {}
        self.rules: list[Rule] = []
        self.names: set[str] = set()

    def one(self, place: Place) -> Lost:
        found = self.lost.get(place.key)
        if found is None:
            name, number = place.path, 1
            while name in self.names:  # facts may share a path: two bevels without a name
                number += 1
                name = f"{place.path} {number}"
            self.names.add(name)
            found = self.lost[place.key] = lost(place, self.clock, name)
        return found

    def powers(self, factors: tuple[tuple[Place, int], ...]) -> tuple[tuple[str, int], ...]:
        found: dict[str, int] = {}
        for place, power in factors:
            if place.count is None:
                name = self.one(place).name
                found[name] = found.get(name, 0) + power
        return tuple((name, power) for name, power in found.items() if power)

    def add(
        self, made: Product | Sum | Whole, says: str, closing: Closing | None = None, usual: int = 0
    ) -> None:
        # One rule for each name, as rules are told by it.
        same = sum(1 for rule in self.rules if rule.rule.name.partition(" #")[0] == made.name)
        if same:
            made = made._replace(name=f"{made.name} #{same + 1}")
        self.rules.append(Rule(made, says, closing, usual))


def gather(book: Book) -> Groups:
    """All lost counts of a clock with what is required of them, those that hang together in one group."""
    found = _Gathering(book)
    for closing in closings(book):
        _closing(found, closing)
    for train in book.clock.trains:
        for path, factors, gaps in locked(train):
            pairs = tuple((factor.place, factor.power) for factor in factors)
            powers = found.powers(pairs)
            if powers:
                product = known_product(pairs) * (gaps or 2)
                says = f"{path} comes to a place where it can lock after each blow"
                found.add(Whole(path, product, powers), says, usual=1 if gaps else 2)
    _coaxial(found)
    for train in book.clock.trains:
        for mesh in train.meshes:
            for gear in (mesh.driver, mesh.driven):
                if gear.teeth is None:
                    found.one(Place(gear.node, "teeth", f"teeth of {gear.path}"))
    return _grouped(found)


def _closing(found: _Gathering, closing: Closing) -> None:
    pairs = tuple((factor.place, factor.power) for factor in closing.factors)
    if not closing.known:
        for place, _ in pairs:
            if place.count is None:
                found.waits.setdefault(found.one(place).name, []).extend(closing.waits)
        return
    powers = found.powers(pairs)
    if not powers:
        return
    low, high = closing.limits()
    says = {
        "beats": f"the counts between {closing.name} make the beats that it is seen to make",
        "hand": f"{closing.name} turn together as they must",
        "count wheel": "the count wheel goes round once for what it is cut for",
        "winding": "it goes as long on a winding as it is said to",
        "motion work": "the hour hand goes round once while the minute hand goes round as often as it must",
    }.get(closing.kind, f"{closing.name} are as stated")
    made = Product(closing.name, known_product(pairs), powers, low, NO_BOUND if high is None else high)
    found.add(made, says, closing)


def _coaxial(found: _Gathering) -> None:
    """Both pairs of a motion work stand between the same centres: with both modules known that is a rule."""
    for path, node, _ in motion_works(found.clock):
        places = motion_work_places(node, path)
        modules = []
        for pair in (("cannon pinion", "minute wheel"), ("minute pinion", "hour wheel")):
            terms = [module_term(found.book, fact) for word in pair if (fact := node.get(word)) is not None]
            modules.append(next((term for term in terms if term is not None and term.value), None))
        one, two = modules
        unknown = [place for place in places.values() if place.count is None]
        if one is None or two is None or not unknown:
            continue
        first, second = Fraction(one.value or 0), Fraction(two.value or 0)
        scale = dict(zip(places, (first, first, -second, -second), strict=True))
        weights = tuple(
            (found.one(place).name, scale[word]) for word, place in places.items() if place.count is None
        )
        offset = sum(
            (scale[word] * place.count for word, place in places.items() if place.count is not None),
            Fraction(0),
        )
        # a hundredth of the distance, as for the check of a motion work that is known
        known = [place.count for place in places.values() if place.count is not None]
        slack = max(first, second) * (max(known, default=Fraction(60)) * 2) / 100
        found.add(
            Sum(path, weights, offset, -slack, slack),
            "both pairs of the motion work fit between the same centres",
        )


def _grouped(found: _Gathering) -> Groups:
    """Lost counts that share a rule stand together; the groups in the order of their first count."""
    home = {one.name: one.name for one in found.lost.values()}

    def root(name: str) -> str:
        while home[name] != name:
            name = home[name]
        return name

    for rule in found.rules:
        first = root(rule.names[0])
        for name in rule.names[1:]:
            home[root(name)] = first
    by_root: dict[str, list[Lost]] = {}
    for one in found.lost.values():
        by_root.setdefault(root(one.name), []).append(one)
    groups: list[Group] = []
    free: list[tuple[Lost, tuple[str, ...]]] = []
    for start, members in by_root.items():
        rules = tuple(rule for rule in found.rules if root(rule.names[0]) == start)
        if rules:
            groups.append(Group(tuple(members), rules))
        else:
            free += [(one, tuple(dict.fromkeys(found.waits.get(one.name, [])))) for one in members]
    return Groups(tuple(groups), tuple(free))
