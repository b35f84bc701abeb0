"""What striking does with its weight: the hammers' share, the run of blows on one winding, quarters in time."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from countwheel.figures import changes
from countwheel.figures.book import Book, Term, constant, waiting
from countwheel.figures.striking import SOURCE, kind_of, unit_of
from countwheel.model.clock import Train

SHARE = (
    "E. Beckett, Clocks, Watches and Bells, 1903, page 201: the weight's work is two to three times the hammer's;"
    " page 285: with pins a quarter to a third reaches the hammer, with good cams nearly three quarters"
)
HAMMER = (
    "A hammer falls without warning. Keep hands and head clear of it, its lever and its wire, and have it held off"
    " before anybody goes among the bells."
)
# Between the last quarter bell and the first blow of the hour: "from 6 to 10 seconds with large bells".
PAUSE, PAUSE_HALF = 8.0, 2.0
PAUSE_SOURCE = "E. Beckett, Clocks, Watches and Bells, 1903, page 203: 6 to 10 s"
ROOT_3 = 3**0.5
QUARTER_OF_AN_HOUR = 900

Schedule = tuple[tuple[Fraction, int], ...]


def work_out(book: Book) -> None:
    """Figures `quarters.*`, `T.share_of_energy`, `T.blows_per_winding`, `T.duration.at_worst`.

    After striking.py, power.py and work.py.
    """
    for train in book.clock.trains:
        if train.role in ("strike", "chime"):
            _share(book, train)
            _worst_run(book, train)
    _quarters(book)


# -- how the work is shared ----------------------------------------------------


def _share(book: Book, train: Train) -> None:
    """Hammer work over weight's work, where there are hammers and a weight."""
    whole = f"{train.name}.energy.per_day"
    hammers = train.facts("hammer")
    if not hammers or not book.has(whole):
        return
    day = changes.blows_a_day(book, train)
    if day is None:
        return
    terms: dict[str, Term] = {}
    parts = []
    for number, (hammer, blows) in enumerate(zip(hammers, day, strict=True), 1):
        mark = f"_{number}" if len(hammers) > 1 else ""
        terms[f"b{mark}"] = blows
        terms[f"E{mark}"] = book.use(f"{hammer.path}.energy_per_blow", "J/blow")
        parts.append(f"b{mark}*E{mark}")
    work = " + ".join(parts)
    book.derive(
        f"{train.name}.share_of_energy",
        f"work of the {'hammers' if len(hammers) > 1 else 'hammer'} as a share of the weight's",
        f"100*({work})/W" if len(parts) > 1 else f"100*{work}/W",
        {**terms, "W": book.use(whole, "J").named("work of the weight in a day")},
        unit="%",
        source=SHARE,
        method=(
            "Every blow of the day is counted, in silent hours too. What is left over goes into the fly, and into"
            " friction of pulleys, pivots, levers and wires: little left means that it may not strike in the cold."
        ),
        cautions=(HAMMER,),
    )


# -- how long one winding lasts at the worst -------------------------------------


def schedule(kind: str) -> Schedule:
    """When in twelve hours, counted from noon, a train strikes, and how many blows or changes."""
    hours = range(1, 13)
    quarter = Fraction(1, 4)
    found: list[tuple[Fraction, int]]
    if kind == "hours":
        found = [(Fraction(hour), hour) for hour in hours]
    elif kind == "repeated hours":
        found = [(Fraction(hour), 2 * hour) for hour in hours]
    elif kind == "one at the hour":
        found = [(Fraction(hour), 1) for hour in hours]
    elif kind == "hours and halves":
        found = [pair for hour in hours for pair in ((hour - Fraction(1, 2), 1), (Fraction(hour), hour))]
    else:
        last = 3 if kind == "three quarters" else 4
        found = [(hour - 1 + number * quarter, number) for hour in hours for number in range(1, last + 1)]
    return tuple(found)


def blows_in(kind: str, hours: Fraction | int) -> tuple[int, int]:
    """The least and the most blows (or changes) that can fall in so many hours, wherever these begin."""
    rounds, rest = divmod(Fraction(hours), 12)
    times = schedule(kind)
    whole = int(rounds) * sum(blows for _, blows in times)
    thrice = [(at + shift, blows) for shift in (-12, 0, 12) for at, blows in times]
    found = []
    for start, _ in times:
        # from just after one striking, and up to just before one: between these nothing changes
        found.append(sum(blows for at, blows in thrice if start < at <= start + rest))
        found.append(sum(blows for at, blows in thrice if start - rest <= at < start))
    return whole + min(found), whole + max(found)


def shortest_run(kind: str, blows: int) -> Fraction:
    """Hours from the worst moment, just before a striking, to the first one that so many blows do not suffice for."""
    times = schedule(kind)
    rounds, rest = divmod(blows, sum(count for _, count in times))
    twice = times + tuple((at + 12, count) for at, count in times)
    runs = []
    for number, (start, _) in enumerate(times):
        left = rest
        for at, count in twice[number:]:
            left -= count
            if left < 0:
                runs.append(at - start)
                break
    return 12 * rounds + min(runs)


def _worst_run(book: Book, train: Train) -> None:
    kind = kind_of(train)
    unit = unit_of(train)
    turns, each = f"{train.name}.barrel.turns_per_winding", f"{train.name}.{unit}s_per_barrel_turn"
    if kind is None or not (book.known(turns) and book.known(each)):
        return
    figure = book.derive(
        f"{train.name}.{unit}s_per_winding",
        f"{unit}s on one winding",
        "n*b",
        {"n": book.use(turns, "turns"), "b": book.use(each)},
        source=SOURCE,
    )
    if not isinstance(figure.value, float) or figure.value < 1:
        return
    count = floor(figure.value + 1e-9)
    words = kind[0]
    a_round = sum(blows for _, blows in schedule(words))
    rest = shortest_run(words, count % a_round)
    book.derive(
        f"{train.name}.duration.at_worst",
        "run on one winding from the worst moment to wind at",
        "12*floor(B/N) + h",
        {
            "B": book.use(figure).named(f"{unit}s on one winding"),
            "N": book.use(f"{train.name}.{unit}s_per_12h"),
            "h": constant(rest, "h", "hours for what is left of them, beginning where most is struck"),
        },
        unit="h",
        source="W. L. Goodrich, The Modern Clock, 1905, page 297, for thirty hours; the worst hour: own counting",
        method=(
            "Wound just before it strikes, the hours with most blows ahead, to the first that it cannot finish; whole"
            f" {unit}s are counted. By the mean over the day it looks longer, for some hours strike more than others."
        ),
    )


# -- quarters and hour within the quarter ----------------------------------------


def _quarters(book: Book) -> None:
    """Only for a clock with quarters and at least one measured interval between blows."""
    chimes = book.clock.trains_of("chime")
    strikes = book.clock.trains_of("strike")
    every = [train for train in (*chimes, *strikes) if kind_of(train) is not None]
    if not chimes or not any(train.node.get("blow interval") for train in every):
        return
    terms: dict[str, Term] = {}
    parts: list[str] = []
    for number, train in enumerate(every, 1):
        text = _time_at_twelve(book, train, number, terms)
        if text:
            parts.append(text)
    lead = _lead(book, chimes[0])
    if lead is not None:
        at, more = lead
        book.derive(
            "quarters.before_the_hour",
            "how long before the hour the last quarter has to begin",
            f"{at} + d",
            {
                **more,
                "d": constant(
                    PAUSE,
                    "s",
                    "pause between the quarters and the hour",
                    PAUSE_HALF / ROOT_3,
                    PAUSE_SOURCE,
                    assumed=True,
                ),
            },
            unit="s",
            source=PAUSE_SOURCE,
            method="From its first blow to the first blow of the hour, which alone tells the time.",
        )
    if not parts:
        return
    total = book.derive(
        "quarters.time_taken",
        "time for all that is struck at twelve, quarters and hour",
        " + ".join(parts),
        terms,
        unit="s",
        symbol="t",
        source=SOURCE,
        method="Each blow, and each rest in the changes, takes one interval.",
    )
    warning = chimes[0].node.quantity("warning")
    room = QUARTER_OF_AN_HOUR - (warning.si if warning else 0)
    fits = isinstance(total.value, float) and total.value < room
    before = f", less the {warning.written} by which it warns" if warning else ""
    book.state(
        "quarters.fit",
        "whether the quarters and twelve blows of the hour are done before the next quarter",
        fits,
        [book.use(total)],
        source=SOURCE,
        method=f"They take {total.shown} s of the 900 s that there are{before}.",
    )


def _interval(book: Book, train: Train) -> Term:
    return book.fact(
        train.node.get("blow interval"),
        f"{train.name}.blow_interval",
        f"from blow to blow of the {train.name} train",
        "s",
    )


def _lead(book: Book, train: Train) -> tuple[str, dict[str, Term]] | None:
    """From the first to the last blow of the fourth quarter, as a text with its terms."""
    read = changes.read(train)
    if read is None or len(read.quarter(4)) == 0:
        return None
    terms = {"t": _interval(book, train), "p": read.places_term(4)}
    return _with_gaps(book, train, "p - 1", "t", read, terms, "")


def _with_gaps(
    book: Book, train: Train, count: str, t: str, read: changes.Changes, terms: dict[str, Term], mark: str
) -> tuple[str, dict[str, Term]]:
    """Intervals of a last quarter: its places, and what the gap between two changes is longer than one blow."""
    if read.changes_in(4) < 2:
        return f"({count})*{t}", terms
    terms[f"k{mark}"] = constant(read.changes_in(4), "", "changes of the last quarter")
    terms[f"s{mark}"] = changes.gap(book, train)
    return f"({count} + (k{mark} - 1)*(s{mark} - 1))*{t}", terms


def _time_at_twelve(book: Book, train: Train, number: int, terms: dict[str, Term]) -> str:
    kind = kind_of(train)
    assert kind is not None
    t = f"t_{number}"
    if train.role == "strike":
        most = max(blows for _, blows in schedule(kind[0]))
        if most == 1:
            return ""  # from one blow to the next there is nothing to wait for
        terms[t] = _interval(book, train)
        terms[f"N_{number}"] = constant(most, "", "blows at twelve")
        return f"N_{number}*{t}"
    if kind[0] == "three quarters":
        return ""  # nothing is chimed at the hour
    read = changes.read(train)
    if read is None:
        terms[f"p_{number}"] = waiting(f"{train.name}.quarter", "the changes of the quarters")
        terms[t] = _interval(book, train)
        return f"p_{number}*{t}"
    terms[t] = _interval(book, train)
    terms[f"p_{number}"] = read.places_term(4)
    text, _ = _with_gaps(book, train, f"p_{number}", t, read, terms, f"_{number}")
    return text
