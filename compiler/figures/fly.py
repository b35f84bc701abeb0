"""The fly of a striking train: how fast it lets the train run, by the drag of its vanes in the air."""

from __future__ import annotations

from countwheel.figures import changes
from countwheel.figures.book import At, Book, Term, constant
from countwheel.figures.striking import unit_of
from countwheel.figures.torque import mesh_efficiency, way_between
from countwheel.model.clock import Arbor, Train

ROOT_3 = 3**0.5
AIR = 1.2  # kg/m³, at 20 °C and sea level (OIML R 111)
DRAG_LOW, DRAG_HIGH = 1.17, 1.98
DRAG_SOURCE = "Aeronautical Engineer's Data Book, fig. 5.13: flat plates at 90°, square 1.17, long 1.98"
SOURCE = (
    "mechanics: what the weight gives and the hammer does not take is spent by vanes square to the air, in a"
    f" steady run; drag: {DRAG_SOURCE}. E. Beckett, Clocks, Watches and Bells, 1903, page 194, gives no rule for"
    " the size but arms of 2 ft and 4 to 8 turns a blow"
)
ESTIMATE = (
    "An estimate, good to a factor of two at best: the vanes stir the air that they meet, they may stand edgewise,"
    " the run is not steady, and what levers and wires take is not counted."
)
CARE = (
    "A fly starts without warning and can break a hand. Keep clear of its sweep, and never hold it while the train"
    " is let off unless you know the train."
)


def work_out(book: Book) -> None:
    """Figures `T.fly.work_per_blow`, `T.fly.speed`, `T.blow_interval`, where the vanes are measured.

    After work.py and striking.py.
    """
    for train in book.clock.trains:
        if train.role in ("strike", "chime"):
            arbor = next((arbor for arbor in train.arbors if arbor.fly is not None), None)
            if arbor is not None:
                _fly(book, train, arbor)


def _losses(book: Book, train: Train, start: str, end: str) -> tuple[str, dict[str, Term]] | None:
    """What passes the pairs from one arbor to another, as a text to multiply by, with its terms."""
    way = way_between(train, start, end)
    if not way and start != end:
        return None
    worms = sum(mesh.form == "worm" for mesh in way)
    text, terms = "", {}
    for symbol, count, mesh in (
        ("η", len(way) - worms, None),
        ("η_w", worms, next((mesh for mesh in way if mesh.form == "worm"), None)),
    ):
        if count:
            text += f"*{symbol}" + (f"**{count}" if count > 1 else "")
            terms[symbol] = mesh_efficiency(book, train, mesh)
    return text, terms


def _hammer_work(book: Book, train: Train) -> tuple[str, dict[str, Term]] | None:
    """Work of the hammers for one blow (one change of a chime), as a text with its terms."""
    hammers = train.facts("hammer")
    terms: dict[str, Term] = {}
    parts = []
    per_day = changes.blows_a_day(book, train) if hammers else None
    if per_day is None:
        return None
    for number, (hammer, blows) in enumerate(zip(hammers, per_day, strict=True), 1):
        energy = f"{hammer.path}.energy_per_blow"
        if not book.known(energy) or not blows.known:
            return None
        terms[f"E_{number}"] = book.use(energy, "J/blow")
        if train.role == "strike":
            parts.append(f"E_{number}")
        else:
            terms[f"b_{number}"] = blows
            parts.append(f"b_{number}*E_{number}")
    if train.role == "strike":
        # several hammers of an hour strike take turns: their mean
        return (parts[0] if len(parts) == 1 else f"({' + '.join(parts)})/{len(parts)}"), terms
    terms["N"] = book.use(f"{train.name}.changes_per_day")
    return f"({' + '.join(parts)})/N", terms


def _fly(book: Book, train: Train, arbor: Arbor) -> None:
    drum, unit = train.barrel_arbor, unit_of(train)
    vane = book.at(arbor.fly, f"{arbor.path}.fly")
    if drum is None or not all(vane.has(word) for word in ("vanes", "arm", "vane length", "vane width")):
        return
    needed = (
        f"{train.name}.barrel.torque",
        f"{drum.path}.turns_per_{unit}",
        f"{train.name}.fly.turns_per_{unit}",
    )
    hammers = _hammer_work(book, train)
    losses = _losses(book, train, drum.path, arbor.path)
    if hammers is None or losses is None or not all(book.known(one) for one in needed):
        return
    work, terms = hammers
    left = book.derive(
        f"{train.name}.fly.work_per_{unit}",
        f"work that reaches the fly for each {unit}",
        f"(2*pi*M*p - {work}){losses[0]}",
        {
            "M": book.use(needed[0], "N·m"),
            "p": book.use(needed[1], f"turns/{unit}"),
            **terms,
            **losses[1],
        },
        unit="J",
        symbol="E",
        source=SOURCE,
        method="What the barrel gives, less the lift of the hammers, through the pairs of wheels up to the fly.",
        cautions=(ESTIMATE,),
    )
    _speed(book, train, vane, book.use(left, "J"), book.use(needed[2], f"turns/{unit}"))


def _speed(book: Book, train: Train, vane: At, left: Term, turns: Term) -> None:
    unit = unit_of(train)
    drag = constant(
        (DRAG_LOW + DRAG_HIGH) / 2,
        "",
        "drag of a vane",
        (DRAG_HIGH - DRAG_LOW) / 2 / ROOT_3,
        DRAG_SOURCE,
        assumed=True,
    )
    speed = book.derive(
        f"{train.name}.fly.speed",
        "speed of the fly in a steady run of blows",
        "60/(2*pi)*sqrt(8*E/(2*pi*n*k*c*ρ*w*((R + l/2)**4 - (R - l/2)**4)))",
        {
            "E": left,
            "n": turns.named(f"turns of the fly for one {unit}"),
            "k": vane.term("vanes", "vanes of the fly", ""),
            "c": drag,
            "ρ": constant(AIR, "kg/m³", "density of the air in the clock room"),
            "w": vane.term("vane width", "width of a vane, along the arbor", "m"),
            "R": vane.term("arm", "from the arbor to the middle of a vane", "m"),
            "l": vane.term("vane length", "length of a vane, along the arm", "m"),
        },
        unit="turns/min",
        symbol="s",
        source=SOURCE,
        method="The drag on every strip of a vane, with the square of its own speed, spends the work in the turns.",
        cautions=(ESTIMATE, CARE),
    )
    if not isinstance(speed.value, float) or not speed.value:
        return
    estimate = 60 * float(turns.value or 0) / speed.value
    book.derive(
        f"{train.name}.{unit}_interval",
        f"from {unit} to {unit}, by the drag of the fly",
        "60*n/s",
        {"n": turns.named(f"turns of the fly for one {unit}"), "s": book.use(speed, "turns/min")},
        unit="s",
        symbol="t",
        source=SOURCE,
        method=f"The turns of the fly for one {unit}, at the speed that it reaches in a steady run.",
        cautions=(ESTIMATE, *_compared(train, estimate)),
    )


def _compared(train: Train, estimate: float) -> tuple[str, ...]:
    """What the stated interval says against the estimate, where they are further apart than it is good for."""
    stated = train.node.quantity("blow interval")
    if stated is None or train.role != "strike" or not stated.si:
        return ()
    times = estimate / stated.si
    if 0.5 <= times <= 2:
        return ()
    more, what = (times, "longer") if times > 1 else (1 / times, "shorter")
    return (
        f"This is {more:.1f} times {what} than the {stated.written} that is stated between blows. Look again at the"
        " vanes and their arm, at the pairs up to the fly, and at hammer and weight; or the vanes stand edgewise.",
    )
