"""Striking and chiming: blows in twelve hours, turns for each blow, the count wheel, the hammer.

A striking or chiming train goes by blows and not by hours: each arbor has its
turns for one blow (or for one change of a chime), exact from the counts, and
from these a mean rate over the day.
"""

from __future__ import annotations

from fractions import Fraction

from countwheel.figures.book import Book, Term, waiting
from countwheel.figures.places import count_pair, lifter, product
from countwheel.figures.terms import fact_input
from countwheel.figures.train import rate_id, spread, spread_waiting
from countwheel.model.clock import Train
from countwheel.model.node import Node
from countwheel.model.values import Words

# E. Beckett, Clocks, Watches and Bells, 1903, pages 165-176 and 195-201; W. Derham, The Artificial
# Clock-maker, 1696, pages 34-46.
SOURCE = (
    "E. Beckett, Clocks, Watches and Bells, 8th ed. 1903, pages 165-201;"
    " W. Derham, The Artificial Clock-maker, 1696, pages 34-46"
)
QUARTERS = (1, 2, 3, 4)
HOURS = sum(range(1, 13))
# What each kind of striking gives in twelve hours, in blows or, for quarters, in changes.
IN_TWELVE_HOURS = {
    "hours": (HOURS, "1 + 2 + … + 12"),
    "hours and halves": (HOURS + 12, "1 + 2 + … + 12, and 12 single blows at the halves"),
    "repeated hours": (2 * HOURS, "1 + 2 + … + 12, each struck twice"),
    "one at the hour": (12, "one at each hour"),
    "quarters": (12 * sum(QUARTERS), "12 hours of 1 + 2 + 3 + 4 changes"),
    "ting-tang quarters": (12 * sum(QUARTERS), "12 hours of 1 + 2 + 3 + 4 changes of two blows"),
    "three quarters": (12 * sum(QUARTERS[:3]), "12 hours of 1 + 2 + 3 changes"),
}


def work_out(book: Book) -> None:
    for train in book.clock.trains:
        if train.role in ("strike", "chime"):
            _train(book, train)


def kind_of(train: Train) -> tuple[str, Node] | None:
    """What the train strikes, and the fact that says so."""
    wheel = train.fact("count wheel")
    for node in (train.node.get("strikes"), wheel.get("cut for") if wheel else None):
        if node is not None and node.text() in IN_TWELVE_HOURS:
            return node.text() or "", node
    return None


def unit_of(train: Train) -> str:
    """What the train goes by: `blow`, or `change` for a chime."""
    return "change" if train.role == "chime" else "blow"


def _train(book: Book, train: Train) -> None:
    name = train.name
    unit = unit_of(train)
    kind = kind_of(train)
    per_half_day = f"{name}.{unit}s_per_12h"
    title = f"{unit}s in twelve hours"
    if kind is None:
        wheel = train.fact("count wheel")
        lacking = f"{wheel.path}.cut_for" if wheel is not None else f"{name}.strikes"
        book.state(per_half_day, title, None, [waiting(lacking, "what the train strikes")], unit="per 12 h")
        total: Term = waiting(lacking, "what the train strikes")
    else:
        words, node = kind
        count, how = IN_TWELVE_HOURS[words]
        total = Term(
            Fraction(count),
            "per 12 h",
            f"{words}: {how}",
            {},
            (fact_input(node.path, words, node.evidence),),
        )
        book.derive(
            per_half_day,
            title,
            "N",
            {"N": total},
            unit="per 12 h",
            symbol="N",
            source=SOURCE,
            method=how[0].upper() + how[1:] + ".",
        )
    book.derive(
        f"{name}.{unit}s_per_day",
        f"{unit}s in a day",
        "2*N",
        {"N": book.use(per_half_day, "per 12 h")},
        unit="per day",
        source=SOURCE,
        method="Silent hours are counted in: the train may run all the same.",
    )
    _turns(book, train, unit)
    _count_wheel(book, train, unit)
    if train.role == "chime":
        _chime_blows(book, train)
    for hammer in train.facts("hammer"):
        _hammer(book, train, hammer)


# -- turns for a blow ----------------------------------------------------------


def _turns(book: Book, train: Train, unit: str) -> None:
    name = f"turns_per_{unit}"
    titled = f"turns for one {unit} of"
    found = lifter(train)
    lacking: tuple[str, ...] = (f"{train.name} (lifting pins)",)
    if found is not None:
        arbor, counts = found
        text, where = product(book, counts)
        figure = book.derive(
            f"{arbor.path}.{name}",
            f"{titled} {arbor.path}",
            text,
            where,
            unit=f"turns/{unit}",
            source=SOURCE,
        )
        lacking = figure.waits_for or lacking
        if figure.value is not None:
            spread(book, train, arbor.path, name, f"turns/{unit}", titled)
    spread_waiting(book, train, name, f"turns/{unit}", titled, lacking)
    for arbor in train.arbors:
        book.derive(
            rate_id(arbor.path),
            f"mean turns an hour of {arbor.path}, over a whole day",
            "N*p/12",
            {
                "N": book.use(f"{train.name}.{unit}s_per_12h"),
                "p": book.use(f"{arbor.path}.{name}", f"turns/{unit}"),
            },
            unit="turns/h",
            source=SOURCE,
            method="The train stands between one striking and the next; this is the mean.",
        )
        if arbor.fly is not None and arbor.name != "fly":
            book.derive(
                f"{train.name}.fly.{name}",
                f"turns of the fly for one {unit}",
                "p",
                {"p": book.use(f"{arbor.path}.{name}")},
                unit=f"turns/{unit}",
                source=SOURCE,
                method=f"The fly goes round with its arbor, {arbor.path}.",
            )
    drum = train.barrel_arbor or next(iter(train.arbors), None)
    if drum is not None:
        book.derive(
            f"{train.name}.{unit}s_per_barrel_turn",
            f"{unit}s in one turn of the barrel",
            "1/p",
            {"p": book.use(f"{drum.path}.{name}")},
            source=SOURCE,
        )


# -- the count wheel -----------------------------------------------------------


def _count_wheel(book: Book, train: Train, unit: str) -> None:
    wheel = train.fact("count wheel")
    if wheel is None:
        return
    path = f"{train.name}.count_wheel"
    per_turn = f"{path}.{unit}s_per_turn"
    title = f"{unit}s in one turn of the count wheel, by its gearing"
    pair = count_pair(train, wheel)
    if pair is None:
        book.state(per_turn, title, None, [waiting(f"{wheel.path}.count", "what drives the count wheel")])
    else:
        driving, counts = pair
        where = {f"z_{number}": place.term(book) for number, (place, _) in enumerate(counts, 1)}
        book.derive(
            per_turn,
            title,
            "z_2/(z_1*p)" if counts else "1/p",
            {**where, "p": book.use(f"{driving.path}.turns_per_{unit}")},
            source=SOURCE,
            method=f"Turns of the driving arbor for one of the count wheel, over its turns for a {unit}.",
        )
    kind = kind_of(train)
    id = f"{path}.agrees"
    title = "whether the gearing of the count wheel fits what it is cut for"
    figure = book.get(per_turn)
    cut_for = book.use(f"{train.name}.{unit}s_per_12h")
    needed = blows_a_turn(train, wheel)
    if kind is None or needed is None or figure is None or figure.exact is None or cut_for.value is None:
        book.state(id, title, None, [book.use(per_turn), cut_for])
        return
    hours = _hours_a_turn(wheel, kind[0])
    book.state(
        id,
        title,
        figure.exact == needed,
        [book.use(per_turn), cut_for],
        source=SOURCE,
        method=(
            f"One turn should pass {needed} {unit}s ({kind[0]}, {hours} h a turn); its gearing passes "
            f"{figure.shown}."
        ),
    )


def blows_a_turn(train: Train, wheel: Node) -> Fraction | None:
    """Blows or changes that a turn of the count wheel must pass, by what it is cut for; None where that is not said."""
    kind = kind_of(train)
    if kind is None:
        return None
    return IN_TWELVE_HOURS[kind[0]][0] * _hours_a_turn(wheel, kind[0]) / 12


def _hours_a_turn(wheel: Node, kind: str) -> Fraction:
    """Hours of striking on the count wheel: as stated, else twelve for hours and one for quarters."""
    stated = wheel.quantity("turns")
    if stated is not None:
        return (Fraction(stated.si).limit_denominator(10**6) or Fraction(stated.si)) / 3600
    return Fraction(1) if "quarter" in kind else Fraction(12)


# -- blows of a chime, the hammer ----------------------------------------------


def quarters_of(train: Train) -> tuple[Node, ...]:
    """The lines that write out the quarters, under the train or under its chime barrel."""
    drum = train.fact("chime barrel")
    every = train.node.all("quarter") + (drum.all("quarter") if drum else ())
    return tuple(node for node in every if {"number", "changes"} <= node.values.keys())


def changes_of(train: Train) -> dict[int, list[str]]:
    """The lines of changes by quarter: each a list of places, `.` a rest, `36` two bells together."""
    found: dict[int, list[str]] = {}
    for node in quarters_of(train):
        number = node.count(part="number")
        words = node.part("changes", Words)
        if number is not None and words is not None:
            found.setdefault(number, []).extend(words.text.split())
    return found


def _chime_blows(book: Book, train: Train) -> None:
    id = f"{train.name}.blows_per_day"
    title = "blows on the chime's bells in a day"
    changes = changes_of(train)
    kind = kind_of(train)
    if changes:
        blows = sum(len(place) for places in changes.values() for place in places if place != ".")
        facts = tuple(fact_input(n.path, n.values["changes"].written, n.evidence) for n in quarters_of(train))
        each = Term(
            Fraction(blows),
            "",
            "blows in one hour, as the quarters are written",
            {},
            facts,
        )
        book.derive(id, title, "24*b", {"b": each}, unit="per day", source=SOURCE)
    elif kind is not None and kind[0] == "ting-tang quarters":
        book.derive(
            id,
            title,
            "2*n",
            {"n": book.use(f"{train.name}.changes_per_day")},
            unit="per day",
            source=SOURCE,
            method="Two blows to each change.",
        )
    else:
        book.state(
            id, title, None, [waiting(f"{train.name}.quarter", "the changes of the quarters")], unit="per day"
        )


def _hammer(book: Book, train: Train, hammer: Node) -> None:
    path = hammer.path
    mass = book.fact(hammer.get("mass"), f"{path}.mass", "mass of the hammer", "kg")
    lift = book.fact(hammer.get("lift"), f"{path}.lift", "rise of the hammer's centre of gravity", "m")
    which = path if len(train.facts("hammer")) > 1 else "the hammer"
    from countwheel.figures.gravity import at_place

    book.derive(
        f"{path}.energy_per_blow",
        f"work to lift {which} for one blow",
        "m*g*h",
        {"m": mass, "g": at_place(book), "h": lift},
        unit="J/blow",
        symbol="E",
        source="definition of work; E. Beckett, Clocks, Watches and Bells, 1903, page 201",
        cautions=(
            "A hammer falls without warning. Keep hands and head clear of it and of its lever, "
            "and have it held off before the bell is touched or rung.",
        ),
    )
    bells = {fact.label: fact for fact in book.clock.root.all("bell")}
    on = hammer.get("on")
    name = on.text(part="name") if on else None
    bell = next(
        (fact for label, fact in bells.items() if name and label and label.lower() == name.lower()), None
    )
    if bell is None and name is None and len(bells) == 1 and len(train.facts("hammer")) == 1:
        bell = next(iter(bells.values()))
    if bell is not None:
        book.derive(
            f"{path}.mass_ratio",
            f"mass of the bell for one of {which}",
            "M/m",
            {"M": book.fact(bell.get("mass"), f"{bell.path}.mass", "mass of the bell", "kg"), "m": mass},
            source="E. Beckett, Clocks, Watches and Bells, 1903, pages 215 and 246: about 50 for an hour bell",
        )
