"""Turns of every arbor, ratio and hunting of every mesh, beats in the hour.

The rate of a going train is taken from the arbor whose rate is stated (`rate
once an hour`); what cannot be reached from there, past a count that is not
known, is taken from the pendulum's beat at the other end.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from countwheel.figures.book import Book, Term, waiting
from countwheel.figures.places import beats_each
from countwheel.figures.record import Input
from countwheel.figures.terms import fact_input
from countwheel.model.clock import Arbor, Mesh, Train
from countwheel.model.node import Node
from countwheel.model.values import Quantity, Words

HOUR = 3600
# Edmund Beckett, Lord Grimthorpe, A Rudimentary Treatise on Clocks, Watches and Bells, 8th ed. 1903,
# pages 22-23 and 185-186; the rule of the products of wheels and pinions is W. Derham's,
# The Artificial Clock-maker, 1696, pages 10-14.
TRAINS = "W. Derham, The Artificial Clock-maker, 1696, pages 10-14"
BEATS = "W. L. Goodrich, The Modern Clock, 1905, pages 258-260; E. Beckett, Clocks, Watches and Bells, 1903, page 124"
_EVERY = {"hour": Fraction(1), "minute": Fraction(1, 60), "day": Fraction(24), "week": Fraction(168)}


def work_out(book: Book) -> None:
    """Figures `T.ARBOR.*`, `T.MESH.*`, `T.train.*`, `escapement.beats_per_turn`, `pendulum.beats_per_hour`."""
    if book.clock.pendulum is not None:
        book.derive(
            "pendulum.beats_per_hour",
            "beats an hour by the pendulum's own beat",
            "3600/t",
            {"t": beat_term(book)},
            unit="per h",
            symbol="n",
            source="definition of the beat",
        )
    for train in book.clock.trains:
        for mesh in train.meshes:
            _mesh(book, mesh)
        if train.role == "going":
            _beats_per_turn(book, train)
            _going(book, train)


# -- meshes --------------------------------------------------------------------


def teeth(book: Book, node: Node, what: str) -> Term:
    """The count of a gear as stated; where it is not known, as it was deduced (see deduced.py)."""
    stated = book.fact(node, node.path, what, "", part="teeth")
    deduced = f"{node.path}.teeth"
    if stated.known or not book.known(deduced):
        return stated
    term = book.use(deduced)
    told = Input(node.path, str(term.value), "deduced", how="deduced")
    return replace(term, what=what, inputs=(told, *term.inputs))


def _mesh(book: Book, mesh: Mesh) -> None:
    driver = teeth(book, mesh.driver.node, f"teeth of {mesh.driver.path}")
    driven = teeth(book, mesh.driven.node, f"teeth of {mesh.driven.path}")
    book.derive(
        f"{mesh.path}.ratio",
        f"turns of {mesh.driven_arbor} for one of {mesh.driver_arbor}",
        "z_1/z_2",
        {"z_1": driver, "z_2": driven},
        symbol="i",
        source=TRAINS,
        method="Teeth of the driver over teeth of the driven.",
    )
    if mesh.form in ("chain", "crossed cord", "open cord", "worm"):
        return
    book.derive(
        f"{mesh.path}.common_factor",
        f"largest number that divides both counts of {mesh.driver.path} and {mesh.driven.path}",
        "gcd(z_1, z_2)",
        {"z_1": driver, "z_2": driven},
        method="Where it is 1 the pair hunts: every tooth meets every leaf, and wear is spread.",
    )
    book.derive(
        f"{mesh.path}.hunting",
        f"turns of {mesh.driver_arbor} until the same tooth and leaf meet again",
        "z_2/gcd(z_1, z_2)",
        {"z_1": driver, "z_2": driven},
        unit="turns",
        method="The pair hunts where this is the whole count of the driven one.",
    )
    _sizes(book, mesh, driver, driven)


def module_term(book: Book, node: Node) -> Term | None:
    """The module of a gear in mm, from whichever of module, circular or diametral pitch is stated."""
    if node.get("module"):
        return book.fact(node.get("module"), f"{node.path}.module", f"module of {node.path}", "mm")
    if node.get("diametral pitch"):
        # inches of pitch diameter for each tooth: the module itself
        return book.fact(
            node.get("diametral pitch"),
            f"{node.path}.diametral_pitch",
            f"module of {node.path} from its diametral pitch",
            "mm",
        )
    if node.get("circular pitch"):
        pitch = book.fact(
            node.get("circular pitch"), f"{node.path}.circular_pitch", f"circular pitch of {node.path}", "mm"
        )
        figure = book.derive(
            f"{node.path}.module",
            f"module of {node.path} from its circular pitch",
            "p/pi",
            {"p": pitch},
            unit="mm",
            symbol="m",
            source="definition of the module",
        )
        return book.use(figure, "mm")
    if node.get("pitch diameter"):
        figure = book.derive(
            f"{node.path}.module",
            f"module of {node.path} from its pitch diameter",
            "D/z",
            {
                "D": book.fact(
                    node.get("pitch diameter"),
                    f"{node.path}.pitch_diameter",
                    f"pitch diameter of {node.path}",
                    "mm",
                ),
                "z": teeth(book, node, f"teeth of {node.path}"),
            },
            unit="mm",
            symbol="m",
            source="definition of the module",
        )
        return book.use(figure, "mm")
    return None


def _sizes(book: Book, mesh: Mesh, driver: Term, driven: Term) -> None:
    module = module_term(book, mesh.driver.node) or module_term(book, mesh.driven.node)
    if module is None or mesh.form in ("bevel", "contrate"):
        return
    book.derive(
        f"{mesh.path}.module",
        f"module of {mesh.driver.path} and {mesh.driven.path}",
        "m",
        {"m": module},
        unit="mm",
        symbol="m",
        source="definition of the module",
    )
    sign = "-" if mesh.form == "internal" else "+"
    book.derive(
        f"{mesh.path}.centre_distance",
        f"distance between the arbors {mesh.driver_arbor} and {mesh.driven_arbor}",
        f"m*(z_1 {sign} z_2)/2",
        {"m": module, "z_1": driver, "z_2": driven},
        unit="mm",
        symbol="a",
        source="definition of the module: the pitch circles touch",
    )


# -- how fast ------------------------------------------------------------------


def rate_id(arbor_path: str) -> str:
    return f"{arbor_path}.turns_per_hour"


def spread(book: Book, train: Train, start: str, name: str, unit: str, titled: str) -> None:
    """From an arbor whose figure `name` is known to every arbor that can be reached by counts that are known."""
    neighbours = train.neighbours()
    reached = [start]
    for here in reached:
        for mesh, other, driven in neighbours.get(here, ()):
            if book.has(f"{other}.{name}") or mesh.driver.teeth is None or mesh.driven.teeth is None:
                continue
            _step(book, mesh, here, other, driven, name, unit, titled)
            reached.append(other)


def _step(
    book: Book, mesh: Mesh, here: str, other: str, driven: bool, name: str, unit: str, titled: str
) -> None:
    book.derive(
        f"{other}.{name}",
        f"{titled} {other}",
        "n*z_1/z_2" if driven else "n*z_2/z_1",
        {
            "n": book.use(f"{here}.{name}").named(f"{titled} {here}"),
            "z_1": teeth(book, mesh.driver.node, f"teeth of {mesh.driver.path}"),
            "z_2": teeth(book, mesh.driven.node, f"teeth of {mesh.driven.path}"),
        },
        unit=unit,
        source=TRAINS,
    )


def spread_waiting(
    book: Book, train: Train, name: str, unit: str, titled: str, otherwise: tuple[str, ...]
) -> None:
    """Arbors that no known count reaches: they wait for the counts on the way, for a lost arbor, or for `otherwise`."""
    neighbours = train.neighbours()
    for here in [arbor.path for arbor in train.arbors if book.known(f"{arbor.path}.{name}")]:
        for mesh, other, driven in neighbours.get(here, ()):
            if not book.has(f"{other}.{name}"):
                _step(book, mesh, here, other, driven, name, unit, titled)
    lost = lost_arbors(train)
    for arbor in train.arbors:
        if book.has(f"{arbor.path}.{name}"):
            continue
        counts = [
            gear.path
            for mesh, _, _ in neighbours.get(arbor.path, ())
            for gear in (mesh.driver, mesh.driven)
            if gear.teeth is None
        ]
        missing = (arbor.path,) if arbor.path in lost else tuple(counts) or lost or otherwise
        book.state(
            f"{arbor.path}.{name}",
            f"{titled} {arbor.path}",
            None,
            [waiting(path, path) for path in dict.fromkeys(missing)],
            unit=unit,
        )


def lost_arbors(train: Train) -> tuple[str, ...]:
    return tuple(arbor.path for arbor in train.arbors if arbor.node.get("lost") or arbor.node.evidence.lost)


def stated_rate(book: Book, arbor: Arbor) -> Term | None:
    """Turns an hour where the description states how often an arbor turns; exact."""
    node = arbor.node.get("rate")
    if node is None:
        return None
    unit_word = node.part("of", Words)
    timed = node.part("time", Quantity)
    if unit_word is not None:
        hours, written = (
            _EVERY[unit_word.text],
            f"{'an' if unit_word.text == 'hour' else 'a'} {unit_word.written}",
        )
    elif timed is not None:
        stated = Fraction(timed.si)
        hours, written = (stated.limit_denominator(10**6) or stated) / HOUR, f"in {timed.written}"
    else:
        return waiting(node.path, f"how often {arbor.path} turns", "turns/h")
    given = fact_input(node.path, f"once {written}", node.evidence)
    return Term(1 / hours, "turns/h", f"stated turns of {arbor.path}", {}, (given,))


def beat_term(book: Book) -> Term:
    """The stated beat in seconds, exact where no tolerance bears on it."""
    pendulum = book.at(book.clock.pendulum, "pendulum")
    term = pendulum.term("beat", "beat of the pendulum", "s")
    node = pendulum.at("beat").node
    value = node.quantity() if node is not None else None
    if value is None or term.parts:
        return term
    return Term(
        Fraction(value.si).limit_denominator(10**9) or Fraction(value.si),
        "s",
        term.what,
        {},
        term.inputs,
        (),
        term.origin,
    )


def _beats_per_turn(book: Book, train: Train) -> None:
    arbor = train.escape_arbor
    node = arbor.escape if arbor else None
    if node is None or book.has("escapement.beats_per_turn"):
        return
    # as stated and not as deduced: else the counts would agree with the beat by which one of them was found
    of = "teeth" if node.word == "escape wheel" else node.word
    count = book.fact(node, node.path, f"{of} of {node.path}", "", part="teeth")
    what = f"beats in one turn of {arbor.path if arbor else ''}"
    each = beats_each(book.clock, arbor)
    if isinstance(each, str):
        book.state("escapement.beats_per_turn", what, None, [count, waiting(each, "how it escapes")])
        return
    book.derive(
        "escapement.beats_per_turn",
        what,
        "z*b",
        {"z": count, "b": each.term(book)},
        source=BEATS,
        method="Verge, anchor, deadbeat and pins on one side: two beats a tooth. Legs: two a leg, counting one plane.",
    )


def _going(book: Book, train: Train) -> None:
    titled = "turns an hour of"
    anchor = next((arbor for arbor in train.arbors if arbor.node.get("rate")), None)
    escape = train.escape_arbor
    if anchor is not None:
        stated = stated_rate(book, anchor)
        assert stated is not None
        book.derive(
            rate_id(anchor.path),
            f"{titled} {anchor.path}",
            "n",
            {"n": stated},
            unit="turns/h",
            source="the description",
        )
        if stated.known:
            spread(book, train, anchor.path, "turns_per_hour", "turns/h", titled)
    per_turn = "escapement.beats_per_turn"
    beat = beat_term(book)
    by_beat = (
        escape is not None and not book.has(rate_id(escape.path)) and book.known(per_turn) and beat.known
    )
    if escape is not None and by_beat:
        book.derive(
            rate_id(escape.path),
            f"{titled} {escape.path}, from the pendulum's beat",
            "3600/(t*b)",
            {"t": beat, "b": book.use(per_turn)},
            unit="turns/h",
            source=BEATS,
        )
        spread(book, train, escape.path, "turns_per_hour", "turns/h", titled)
    otherwise = ("pendulum.beat",) if escape is not None else (f"{train.name} (the rate of one arbor)",)
    spread_waiting(book, train, "turns_per_hour", "turns/h", titled, otherwise)
    for arbor in train.arbors:
        if book.known(rate_id(arbor.path)):
            book.derive(
                f"{arbor.path}.period_per_turn",
                f"time of one turn of {arbor.path}",
                "3600/n",
                {"n": book.use(rate_id(arbor.path))},
                unit="s",
                source=TRAINS,
            )
    _beats(book, train, escape, beat, by_beat)


def _beats(book: Book, train: Train, escape: Arbor | None, beat: Term, by_beat: bool) -> None:
    if escape is None:
        return
    id = f"{train.name}.train.beats_per_hour"
    if by_beat:
        # The counts alone do not reach the escape wheel from an arbor whose rate is known.
        missing = _unknown_counts(train) or lost_arbors(train)
        if not missing and not any(arbor.node.get("rate") for arbor in train.arbors):
            missing = (f"{train.name} (the rate of one arbor)",)
        book.state(
            id,
            "beats an hour by the counts of the train",
            None,
            [waiting(path, path) for path in missing or (escape.path,)],
            unit="per h",
            source=BEATS,
        )
        return
    book.derive(
        id,
        "beats an hour by the counts of the train",
        "n*b",
        {
            "n": book.use(rate_id(escape.path), "turns/h").named(f"turns an hour of {escape.path}"),
            "b": book.use("escapement.beats_per_turn"),
        },
        unit="per h",
        symbol="N",
        source=BEATS,
        method="Turns of the escape wheel in an hour times the beats in one of its turns.",
    )
    book.derive(
        f"{train.name}.train.error_per_day",
        "what the counts and the stated beat make of a day: gain (+) or loss (−)",
        "86400*(3600/(N*t) - 1)",
        {"N": book.use(id, "per h"), "t": beat},
        unit="s/day",
        symbol="e",
        source="definition; an error of nothing means that the counts fit the beat",
        method="The clock shows one hour after N beats of t seconds each.",
    )


def _unknown_counts(train: Train) -> tuple[str, ...]:
    paths = [gear.path for mesh in train.meshes for gear in (mesh.driver, mesh.driven) if gear.teeth is None]
    return tuple(dict.fromkeys(paths))
