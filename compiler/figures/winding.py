"""Winding: turns of the handle, effort, work and time, and whether the clock goes on meanwhile."""

from __future__ import annotations

from countwheel.figures.book import Book, Term, constant, waiting
from countwheel.figures.drive import Drive, drives
from countwheel.figures.terms import words_input

GEARING = "mechanics of winding gear: what is gained in force is lost in turns"
EFFORT = (
    "Turning and pulling for long is hard work. What is right for a person is for whoever answers for the"
    " work to settle, with the rules and the guidance of the place; this figure certifies"
    " nothing."
)
# A pair of winding wheels and their bearings: an assumption, as no measurement on winding jacks was found.
PAIR, PAIR_U = 0.90, 0.04
# Ways of winding with no handle, bars or lever to be turned: the rope is pulled by hand.
BY_ROPE = ("rope", "endless rope", "endless chain")
# Turns of a handle in a minute: an assumption, as is that for bars.
PACE, PACE_U = 25.0, 5.0


def work_out(book: Book) -> None:
    """Figures `T.winding.*` and `T.maintaining.*`. After power.py and work.py of the same trains."""
    for drive in drives(book):
        if drive.automatic.node is None:
            if (drive.winding.text(part="by") or "") not in BY_ROPE:
                _handle(book, drive)
            if drive.train.role == "going":
                _maintaining(book, drive)


def _gear(drive: Drive) -> tuple[str, str, dict[str, Term]]:
    """Turns of the handle to one of the barrel, as a text over and a text under the line, with its terms."""
    terms: dict[str, Term] = {}
    for i, jack in enumerate(drive.winding.all("jack"), 1):
        terms[f"a_{i}"] = jack.own("winding pinion", "", "driver")
        terms[f"b_{i}"] = jack.own("winding wheel", "", "driven")
    pairs = len(terms) // 2
    driven = "*".join(f"b_{i}" for i in range(1, pairs + 1))
    driver = "*".join(f"a_{i}" for i in range(1, pairs + 1))
    return driven, driver, terms


def _handle(book: Book, drive: Drive) -> None:
    t = drive.id
    driven, driver, gear = _gear(drive)
    over = f"({driver})" if "*" in driver else driver
    text, method = f"{driven}/{over}", ""
    if not gear:
        text, method = "1", "There are no winding wheels: what is turned sits on the barrel's own square."
        if not drive.winding.has("direct"):
            text, method = "i", "No winding wheels are stated: that there are none is assumed."
            gear = {"i": constant(1, "", "turns of the handle, no winding wheels stated", assumed=True)}
    if drive.winding.node is None:
        text, gear, method = "i", {"i": waiting(drive.winding.path, "how it is wound")}, ""
    ratio = book.derive(
        f"{t}.winding.ratio",
        f"turns of the {turned(drive)} to one of the barrel",
        text,
        gear,
        symbol="i",
        source=GEARING,
        method=method,
    )
    turns = book.derive(
        f"{t}.winding.turns",
        f"turns of the {turned(drive)} for one winding",
        "z*i",
        {"z": book.use(f"{t}.barrel.turns_per_winding", "turns"), "i": book.use(ratio)},
        unit="turns",
        symbol="k",
        source=GEARING,
        method="From run down to fully wound; less after a shorter run.",
    )
    arm = _arm(drive)
    stated = drive.winding.term("efficiency", "share of the work at the handle that reaches the weight", "")
    pairs = len(drive.winding.all("jack"))
    if stated.known:
        where = {"M": book.use(f"{t}.barrel.torque.ideal", "N·m"), "η": stated}
        text, method = "M/(i*a*η)", "With the efficiency stated for the winding as a whole."
    else:
        where = {"M": book.use(f"{t}.barrel.torque.to_wind", "N·m")}
        text = "M/(i*a)"
        method = "The pulleys' losses are in the turning force; nothing is lost in gear, as there is none."
        if pairs:
            where["κ"] = constant(
                PAIR, "", "efficiency of a pair of winding wheels", PAIR_U, "not measured", assumed=True
            )
            text = f"M/(i*a*κ**{pairs})" if pairs > 1 else "M/(i*a*κ)"
            method = (
                "The pulleys' losses are in the turning force; a loss is assumed for each pair of wheels."
            )
    force = book.derive(
        f"{t}.winding.handle_force",
        f"force at the {turned(drive)}",
        text,
        {**where, "i": book.use(ratio), "a": arm},
        unit="N",
        symbol="F",
        source=GEARING,
        method=method + " A mean over the turn; a hand pushes harder in some places than in others.",
        cautions=(EFFORT, care(turned(drive))),
    )
    book.derive(
        f"{t}.winding.work",
        "work of the keeper for one winding",
        "2*pi*a*k*F/1000",
        {"a": arm, "k": book.use(turns, "turns"), "F": book.use(force, "N")},
        unit="kJ",
        symbol="E",
        source=GEARING,
        cautions=(EFFORT,),
    )
    _minutes(book, drive)


def turned(drive: Drive) -> str:
    """What is turned or worked to wind the train."""
    if drive.winding.has("handle"):
        return "handle"
    by = drive.winding.text(part="by")
    return next((word for word in ("lever", "bars") if drive.winding.has(word) or by == word), "handle")


def care(what: str) -> str:
    """The caution for whoever works the `handle`, `lever` or `bars`."""
    off = "the bars out" if what == "bars" else f"the {what} off"
    return (
        f"Keep clear of the weight's way, keep a hand on the {what} until the click holds, take {off},"
        " and let somebody know that you are in the tower."
    )


def _arm(drive: Drive) -> Term:
    """The throw of the handle in m, or the length of the lever or of the bars."""
    winding = drive.winding
    if winding.node is None:
        return waiting(winding.path, "how it is wound", "m")
    if not winding.has("handle"):
        if winding.has("lever"):
            return winding.term("lever", "length of the winding lever", "m")
        if winding.has("bars"):
            return winding.at("bars").own("length of the bars", "m", "length")
    return winding.term("handle", "throw of the handle", "m")


def _minutes(book: Book, drive: Drive) -> None:
    id, title = f"{drive.id}.winding.minutes", "time that winding takes"
    takes = drive.winding.term("takes", "time that winding takes", "min")
    if takes.known:
        book.derive(id, title, "t", {"t": takes}, unit="min", symbol="t", source="the description")
        return
    pace = drive.winding.term("turns a minute", "turns of the handle in a minute", "turns/min")
    method = "At the pace stated."
    usual = _usual_pace(drive)
    if not pace.known and usual:
        pace = constant(usual[0], "turns/min", f"turns of the {usual[2]} in a minute", usual[1], assumed=True)
        method = "At an assumed pace, without rests."
    book.derive(
        id,
        title,
        "k/v",
        {"k": book.use(f"{drive.id}.winding.turns", "turns"), "v": pace},
        unit="min",
        symbol="t",
        source="common practice, no source",
        method=method,
    )


def _usual_pace(drive: Drive) -> tuple[float, float, str] | None:
    """Turns a minute, their uncertainty, and of what; None for a lever or a rope, which go by strokes."""
    if drive.winding.has("lever") or (drive.winding.text(part="by") or "") not in ("", "handle", "bars"):
        return None
    bars = drive.winding.has("bars") and not drive.winding.has("handle")
    return (6.0, 2.0, "bars") if bars else (PACE, PACE_U, "handle")


def _maintaining(book: Book, drive: Drive) -> None:
    t, at = drive.id, drive.maintaining
    if at.node is None or getattr(at.node.value, "kind", "") == "absent":
        return
    kind = (at.text(part="kind") or at.text() or "").lower()
    if kind in ("sun and planet", "none needed"):
        book.state(
            f"{t}.maintaining.covers",
            "the clock goes on while it is wound",
            True,
            facts=(words_input(at.node),),
            source="the description",
            method="Its winding gear drives the train while it is wound.",
        )
        return
    lasts = at.term("lasts", "time that the maintaining power lasts", "min")
    minutes = book.use(f"{t}.winding.minutes", "min")
    margin = book.derive(
        f"{t}.maintaining.margin",
        "maintaining power left when winding is done",
        "t_m - t",
        {"t_m": lasts, "t": minutes},
        unit="min",
        symbol="m",
        source="E. Beckett, A Rudimentary Treatise, 8th ed., p. 150: bolt and shutter, 10 minutes at least",
        method="How long it drives the clock, less the time that winding takes.",
    )
    covers = margin.value is not None and float(margin.value) >= 0
    book.state(
        f"{t}.maintaining.covers",
        "the clock goes on while it is wound",
        covers if not margin.waits else None,
        [lasts, minutes],
        source=margin.source,
        method="Yes, if the maintaining power lasts at least as long as winding takes.",
        cautions=()
        if covers or margin.waits
        else ("Wind in two stages, and set the maintaining power again.",),
    )
