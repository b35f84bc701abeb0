"""The chime barrel's pins, and all that is sounded in twelve hours, as data for a drawing and for listening."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from countwheel.figures import changes
from countwheel.figures.book import Book, Term
from countwheel.figures.changes import REST, Changes
from countwheel.figures.rounding import significant
from countwheel.figures.strike_work import PAUSE, schedule
from countwheel.figures.striking import SOURCE, kind_of
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node

BARREL = (
    "E. Beckett, Clocks, Watches and Bells, 1903, pages 204-205: sets of changes round the barrel, a gap after each;"
    " W. L. Goodrich, The Modern Clock, 1905, page 371"
)
# Usual intervals, where none is stated, for listening only: common practice, no source.
USUAL_CHIME, USUAL_HOUR = 1.3, 2.5
SECOND_TIME = 120.0  # a repeated hour is struck again about two minutes later: common practice, no source


class Pin(NamedTuple):
    """One pin: the bell that it sounds, the change it belongs to, its place in that, and where it stands in a turn."""

    bell: str
    change: int
    place: int
    turn: Fraction


class Blow(NamedTuple):
    """One blow: seconds from noon, the train, and the bell (its own name, or TRAIN and the number in the changes)."""

    at: float
    train: str
    bell: str


def work_out(book: Book) -> None:
    """Figures `T.barrel.pinning`, `T.barrel.divisions`, `T.sequence_over_12h` of chiming trains. After striking.py."""
    for train in book.clock.trains_of("chime"):
        read = changes.read(train)
        if read is None:
            continue
        if train.fact("chime barrel") is not None and read.lines:
            _barrel(book, train, read)
        _sequence(book, train, read)


# -- the barrel ----------------------------------------------------------------


def _fraction(term: Term) -> Fraction:
    return Fraction(term.value or 0).limit_denominator(1000)


#: On one barrel: an hour of quarters has ten, and a barrel has room for a few hours.
MOST_CHANGES = 1000


def sets(read: Changes, a_turn: int) -> tuple[tuple[str, ...], ...] | None:
    """The changes that stand round a barrel of so many; None where those written do not come round on it.

    The hour's changes follow one another for ever, and whatever stands in one
    place of the barrel is played each time that place comes by.
    """
    hour = read.hour()
    if not hour or not 1 <= a_turn <= MOST_CHANGES:
        return None
    # the change that stands in a place now is played there again a turn later
    if any(change != hour[(number + a_turn) % len(hour)] for number, change in enumerate(hour)):
        return None
    return tuple(hour[place % len(hour)] for place in range(a_turn))


def pins(round_the_barrel: tuple[tuple[str, ...], ...], gap: Fraction) -> tuple[Pin, ...]:
    """Where each pin stands, counted in turns from the first blow of the first change, in order round the barrel."""
    if not round_the_barrel:
        return ()
    each = len(round_the_barrel[0]) - 1 + gap
    whole = each * len(round_the_barrel)
    return tuple(
        Pin(bell, number, place, (number * each + place) / whole)
        for number, change in enumerate(round_the_barrel)
        for place, bells in enumerate(change)
        for bell in bells
        if bell != REST
    )


def pinning(book: Book, train: Train) -> tuple[Pin, ...]:
    """The pins of a train's chime barrel; none where the changes are not written or do not come round on it."""
    read = changes.read(train)
    drum = train.fact("chime barrel")
    number = drum.number("changes a turn") if drum is not None else None
    if read is None or number is None or number != int(number):
        return ()
    found = sets(read, int(number))
    return pins(found, _fraction(changes.gap(book, train))) if found else ()


def _barrel(book: Book, train: Train, read: Changes) -> None:
    drum = book.at(train.fact("chime barrel"), f"{train.name}.chime_barrel")
    a_turn = drum.term("changes a turn", "changes in one turn of the chime barrel", "")
    id, title = f"{train.name}.barrel.pinning", "pins on the chime barrel"
    if not a_turn.known:
        book.state(id, title, None, [a_turn], source=BARREL)
        return
    gap = changes.gap(book, train)
    standing = pinning(book, train)
    if not standing:
        hour = len(read.hour())
        book.state(
            id,
            title,
            None,
            source=BARREL,
            facts=(*a_turn.inputs, *read.inputs()),
            cautions=(
                f"The {hour} changes of an hour, as they are written, do not come round on a barrel of"
                f" {significant(float(a_turn.value or 0), 4)} changes: look at the lines again, or at the barrel."
                if hour
                else "The quarters as they are written cannot be shared out into one change for the first, two for"
                " the second, and so on; so it is not known what one change of the barrel is.",
            ),
        )
        return
    book.derive(
        id,
        title,
        "p",
        {"p": _counted(read, a_turn, len(standing))},
        source=BARREL,
        method=_layout(standing, "" if drum.has("gap") else changes.GAP_ASSUMED),
    )
    each = read.each()
    spaces = {"c": a_turn, "m": read.term(each, "places of a change"), "s": gap}
    text = "c*(m - 1 + s)"
    if gap.value is not None and _fraction(gap).denominator > 1:
        text = f"{_fraction(gap).denominator}*c*(m - 1 + s)"
    book.derive(
        f"{train.name}.barrel.divisions",
        "equal spaces into which the chime barrel is divided",
        text,
        spaces,
        source=BARREL,
        method=(
            "From blow to blow is one space, or two where the gap between changes is a number and a half; after the"
            " last blow of a change comes the gap. A place with a rest has no pin."
        ),
    )


def _counted(read: Changes, a_turn: Term, number: int) -> Term:
    term = read.term(number, "pins, one for each blow of the changes that stand on the barrel")
    return Term(term.value, "", term.what, {}, (*term.inputs, *a_turn.inputs))


def _layout(standing: tuple[Pin, ...], assumed: str) -> str:
    """Each bell's pins in degrees round the barrel, from the first blow of the first quarter."""
    rows: dict[str, list[str]] = {}
    for pin in standing:
        rows.setdefault(pin.bell, []).append(significant(round(float(360 * pin.turn), 1), 4))
    lines = " ".join(f"Bell {bell}: {', '.join(rows[bell])}." for bell in sorted(rows))
    return f"In degrees round the barrel from the first blow of the first quarter on{assumed}. {lines}"


# -- twelve hours --------------------------------------------------------------


def _sequence(book: Book, train: Train, read: Changes) -> None:
    terms: dict[str, Term] = {"b": read.term(read.blows(), "blows of the quarters in an hour")}
    parts = ["12*b"]
    for number, strike in enumerate(book.clock.trains_of("strike"), 1):
        if not book.has(f"{strike.name}.blows_per_12h"):
            continue
        terms[f"N_{number}"] = book.use(f"{strike.name}.blows_per_12h").named(
            f"blows of the {strike.name} train in twelve hours"
        )
        parts.append(f"N_{number}")
    book.derive(
        f"{train.name}.sequence_over_12h",
        "blows that are heard in twelve hours, quarters and hours together",
        " + ".join(parts),
        terms,
        unit="per 12 h",
        source=SOURCE,
        method="Nothing is silent here: the silent hours are those of the keeper.",
    )


def _bell_name(node: Node | None, otherwise: str) -> str:
    on = node.get("on") if node is not None else None
    return (on.text(part="name") if on is not None else None) or otherwise


def _chime(book: Book, train: Train, read: Changes) -> list[Blow]:
    t = train.node.quantity("blow interval")
    step = t.si if t is not None else USUAL_CHIME
    between = step * (float(changes.gap(book, train).value or 1) - 1)
    hammers = changes.hammers_of(train, read)
    found = []
    for hour in range(12):
        for quarter, places in read.quarters.items():
            each = len(places) // read.changes_in(quarter) if places else 1
            lengths = [number * step + (number // each) * between for number in range(len(places))]
            start = 3600.0 * hour + 900.0 * quarter
            if quarter == 4:
                start -= (lengths[-1] if lengths else 0.0) + PAUSE
            for at, bells in zip(lengths, places, strict=True):
                found += [
                    Blow(start + at, train.name, _bell_name(hammers.get(bell), f"{train.name} {bell}"))
                    for bell in bells
                    if bell != REST
                ]
    return found


def _strike(train: Train) -> list[Blow]:
    kind = kind_of(train)
    if kind is None:
        return []
    t = train.node.quantity("blow interval")
    step = t.si if t is not None else USUAL_HOUR
    hammers = train.facts("hammer")
    found = []
    for at, blows in schedule(kind[0]):
        twice = kind[0] == "repeated hours"
        for number in range(blows):
            again = SECOND_TIME if twice and number >= blows // 2 else 0.0
            nth = number - blows // 2 if again else number
            hammer = hammers[number % len(hammers)] if hammers else None
            found.append(
                Blow(3600.0 * float(at) + again + nth * step, train.name, _bell_name(hammer, train.name))
            )
    return found


def sequence(book: Book) -> tuple[Blow, ...]:
    """All blows of twelve hours, from just after noon (or midnight) on, in the order in which they are heard.

    A fourth quarter is begun so that the hour's first blow falls on the hour.
    Where no interval is stated a usual one is taken.
    """
    found: list[Blow] = []
    clock: Clock = book.clock
    for train in clock.trains_of("chime"):
        read = changes.read(train)
        if read is not None:
            found += _chime(book, train, read)
    for train in clock.trains_of("strike"):
        found += _strike(train)
    return tuple(sorted(found))
