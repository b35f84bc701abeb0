"""The run of each train: barrel, line paid out, fall of the weight, and how long it goes on a winding."""

from __future__ import annotations

from countwheel.figures.book import Book, Term, constant
from countwheel.figures.drive import Drive, drives
from countwheel.figures.record import Figure

BARREL = "common practice; calliper and one line: W. L. Goodrich, The Modern Clock, 1905, p. 270"
DURATION = "W. L. Goodrich, The Modern Clock, 1905, p. 259"

_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def work_out(book: Book) -> None:
    """Figures `T.barrel.effective_radius`, `T.line.travel_per_turn`, `T.weight.*`, `T.duration*`."""
    found = drives(book)
    for drive in found:
        _radius(book, drive)
        _descent(book, drive)
        _duration(book, drive)
    _first_to_wind(book, found)


# -- the barrel --------------------------------------------------------
def _radius(book: Book, drive: Drive) -> None:
    t, barrel = drive.id, drive.barrel
    where = {
        "D": barrel.term("diameter", "diameter of the bare barrel", "mm"),
        "d": drive.line_diameter,
    }
    layers_node = barrel.at("layers")
    layers = layers_node.own("layers of line on the full barrel", "")
    several = layers_node.node is not None and (not layers.known or layers.value != 1)
    if barrel.has("groove depth"):
        where["c"] = barrel.term("groove depth", "depth of the grooves", "mm")
        text, method = "(D + d)/2 - c", "The line lies at the bottom of its groove."
    elif not several:
        text, method = "(D + d)/2", "One layer: half the barrel and half the line."
    else:
        text, method = _layers(book, drive, where, layers)
    cautions: tuple[str, ...] = ()
    if barrel.has("taper"):
        cautions = ("The barrel tapers: the radius changes from end to end by half the taper.",)
    book.derive(
        f"{t}.barrel.effective_radius",
        "working radius of the barrel",
        text,
        where,
        unit="mm",
        symbol="r",
        source=BARREL,
        method=method,
        cautions=cautions,
    )
    book.derive(
        f"{t}.line.travel_per_turn",
        "line paid out in one turn of the barrel",
        "2*pi*r",
        {"r": book.use(f"{t}.barrel.effective_radius", "m")},
        unit="m",
        symbol="c",
        source=BARREL,
    )


def _layers(book: Book, drive: Drive, where: dict[str, Term], layers: Term) -> tuple[str, str]:
    """Radii of the first and the last layer as figures of their own; the text for the mean of them."""
    where["k"] = layers
    nested = drive.barrel.has("layers nested")
    # a round line in the hollow of two others lies √3/2 of its own diameter above them
    step = "sqrt(3)/2*d" if nested else "d"
    lies = (
        "each layer in the hollows of the one below" if nested else "each layer straight above the one below"
    )
    for name, title, text in (
        ("first_layer", "radius of the first layer", "(D + d)/2"),
        ("last_layer", "radius of the last layer", f"(D + d)/2 + (k - 1)*{step}"),
    ):
        book.derive(
            f"{drive.id}.barrel.effective_radius.{name}",
            title,
            text,
            {key: where[key] for key in ("D", "d", "k")},
            unit="mm",
            symbol="r",
            source=BARREL,
            method=f"Line in several layers, {lies}.",
        )
    return f"(D + d)/2 + (k - 1)/2*{step}", (
        f"The mean of the first and the last layer, {lies}. The pull on the train and the fall in a turn"
        " change from layer to layer between those of the first and of the last."
    )


def _descent(book: Book, drive: Drive) -> None:
    t = drive.id
    book.derive(
        f"{t}.weight.descent_per_turn",
        "fall of the weight in one turn of the barrel",
        "c/n",
        {"c": book.use(f"{t}.line.travel_per_turn", "m"), "n": drive.parts},
        unit="m",
        symbol="s",
        source=DURATION,
        method="Each part of the line takes its share of what the barrel pays out.",
    )
    book.derive(
        f"{t}.weight.descent_per_day",
        "fall of the weight in a day",
        "24*s*N",
        {"s": book.use(f"{t}.weight.descent_per_turn", "m"), "N": drive.turns_per_hour},
        unit="m",
        symbol="h",
        source=DURATION,
    )
    turns = drive.barrel.term("turns of line", "turns that the line can make", "turns")
    fall = drive.barrel.term("fall", "fall that there is for the weight", "m")
    _least(
        book,
        f"{t}.weight.descent_per_winding",
        "fall of the weight on one winding",
        "m",
        "h",
        {
            "s*Z": {"s": book.use(f"{t}.weight.descent_per_turn", "m"), "Z": turns},
            "H": {"H": fall},
        },
        DURATION,
        "The smaller of what the turns of line allow and what the tower allows.",
    )
    _least(
        book,
        f"{t}.barrel.turns_per_winding",
        "turns of the barrel on one winding",
        "turns",
        "z",
        {
            "Z": {"Z": turns},
            "H/s": {"H": fall, "s": book.use(f"{t}.weight.descent_per_turn", "m")},
        },
        DURATION,
        "The smaller of the turns of line and the turns in which the weight reaches the end of its fall.",
    )


def _least(
    book: Book,
    id: str,
    title: str,
    unit: str,
    symbol: str,
    ways: dict[str, dict[str, Term]],
    source: str,
    method: str,
) -> Figure:
    """The least of several limits; where only some can be worked out, of those, and it says so."""
    known = {text: where for text, where in ways.items() if all(term.known for term in where.values())}
    if known and len(known) < len(ways):
        lacking = [
            path
            for text, where in ways.items()
            if text not in known
            for t in where.values()
            for path in t.waits
        ]
        method += f" The other limit is not known yet (it waits for {', '.join(dict.fromkeys(lacking))})."
    use = known or ways
    text = f"min({', '.join(use)})" if len(use) > 1 else next(iter(use))
    where = {name: term for terms in use.values() for name, term in terms.items()}
    return book.derive(id, title, text, where, unit=unit, symbol=symbol, source=source, method=method)


# -- how long it runs --------------------------------------------------
def _duration(book: Book, drive: Drive) -> None:
    t, barrel = drive.id, drive.barrel
    mean = drive.train.role != "going"
    note = (
        " The strike's turns are a mean over whole days: a short run depends on which hours it covers."
        if mean
        else ""
    )
    by_turns = book.derive(
        f"{t}.duration.by_turns",
        "run that the turns of line allow",
        "Z/N",
        {
            "Z": barrel.term("turns of line", "turns that the line can make", "turns"),
            "N": drive.turns_per_hour,
        },
        unit="h",
        symbol="t",
        source=DURATION,
        method="From fully wound to the last turn of line." + note,
    )
    by_fall = book.derive(
        f"{t}.duration.by_fall",
        "run that the fall allows",
        "H/(s*N)",
        {
            "H": barrel.term("fall", "fall that there is for the weight", "m"),
            "s": book.use(f"{t}.weight.descent_per_turn", "m"),
            "N": drive.turns_per_hour,
        },
        unit="h",
        symbol="t",
        source=DURATION,
        method="From the weight at its highest to the end of its fall." + note,
    )
    if drive.automatic.has("reserve") or drive.automatic.node is not None:
        book.derive(
            f"{t}.duration",
            "run without the mains",
            "R",
            {"R": drive.automatic.term("reserve", "reserve of the automatic winding", "day")},
            unit="days",
            symbol="t",
            source="the description",
            method="A motor winds this train: what counts is how long it goes on when the mains fail.",
        )
        return
    _least(
        book,
        f"{t}.duration",
        "run on one winding",
        "days",
        "t",
        {
            "A": {"A": book.use(by_turns, "day").named("run that the turns of line allow")},
            "B": {"B": book.use(by_fall, "day").named("run that the fall allows")},
        },
        DURATION,
        "The shorter of the two.",
    )
    if by_turns.value is not None and by_fall.value is not None:
        turns_bind = float(by_turns.value) <= float(by_fall.value)
        book.state(
            f"{t}.duration.limit",
            "what ends the run",
            "turns of line" if turns_bind else "fall",
            [book.use(by_turns), book.use(by_fall)],
            source=DURATION,
            method="The smaller of the two limits ends the run.",
        )
    interval = winding_interval(book)
    if interval is not None:
        book.derive(
            f"{t}.duration.margin",
            "run left over when it is wound as usual",
            "t - i",
            {"t": book.use(f"{t}.duration", "day"), "i": interval},
            unit="days",
            symbol="m",
            source="the description",
            method="The run on one winding less the longest time between the usual windings.",
        )


def winding_interval(book: Book) -> Term | None:
    """The longest usual time between windings, in days, from `wound`; None where nothing is said."""
    node = book.clock.fact("clock", "wound")
    if node is None:
        return None
    stated = book.fact(node, node.path, "usual time between windings", "day", "interval")
    if stated.known:
        return stated
    how, day, second = (node.text(part=part) for part in ("how", "day", "second"))
    days: int | None = None
    if how in ("daily", "weekly"):
        days = 1 if how == "daily" else 7
    elif day and day.lower() in _DAYS:
        days = 7
        if second and second.lower() in _DAYS:
            gap = (_DAYS.index(second.lower()) - _DAYS.index(day.lower())) % 7
            days = max(gap, 7 - gap)
    return constant(days, "day", "usual time between windings") if days else None


def _first_to_wind(book: Book, found: tuple[Drive, ...]) -> None:
    found = tuple(drive for drive in found if drive.automatic.node is None)
    runs = [(drive, book.get(f"{drive.id}.duration")) for drive in found]
    known = [
        (float(run.value), drive) for drive, run in runs if run is not None and isinstance(run.value, float)
    ]
    if len(found) < 2 or not known:
        return
    known.sort(key=lambda pair: pair[0])
    lacking = len(found) - len(known)
    method = "The runs on one winding compared: " + ", ".join(
        f"{drive.train.name} {book.get(f'{drive.id}.duration').shown} days"  # type: ignore[union-attr]
        for _, drive in known
    )
    method += f" (not known for {lacking} more)." if lacking else "."
    for drive in found:
        book.state(
            f"{drive.id}.duration.first_to_wind",
            "train that needs winding first",
            known[0][1].train.name,
            [book.use(f"{one.id}.duration") for _, one in known],
            source=DURATION,
            method=method,
        )
