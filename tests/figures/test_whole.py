"""A whole clock: every printed working recomputes, ids are well formed, and it is quick."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest
from countwheel.figures import (
    compensation,
    gravity,
    line,
    pendulum,
    power,
    rating,
    rounding,
    typography,
    winding,
    work,
)
from countwheel.figures.book import Book, constant
from countwheel.figures.formula import formula
from countwheel.figures.units import UNITS
from countwheel.model.clock import Clock, Role
from figure_clocks import build, n, q, train, unknown, w, x
from figure_reading import number

MECHANISMS = (gravity, power, line, work, winding, pendulum, rating, compensation)


def _barrel(weight: str, parts: int, **more: Any) -> dict[str, Any]:
    return {
        "diameter": q("10.25 in ± 0.0625 in"),
        "length": q("14 in ± 0.1 in"),
        "turns of line": x(17.0),
        "dead turns": x(2.0),
        "line": {
            "": w("steel wire rope"),
            "construction": w("6x19M fibre core"),
            "diameter": q("6 mm ± 0.1 mm"),
            "grade": q("1770 N/mm²"),
        },
        "pulley": [{"label": "head", "diameter": q("9 in ± 0.1 in")}],
        "parts": n(parts),
        "weight": q(weight),
        "fall": q("34 ft ± 0.2 ft"),
        "click": {"ratchet diameter": q("6 in ± 0.05 in")},
        **more,
    }


def clock() -> Clock:
    own = {
        "winding": {
            "jack": [{"|driver": n(12), "|driven": n(96)}],
            "handle": q("11 in ± 0.1 in"),
        },
        "maintaining power": {"|kind": w("bolt and shutter"), "lasts": q("12 min ± 1 min")},
    }
    role: tuple[tuple[Role, str, int], ...] = (
        ("going", "312 lb ± 3 lb", 2),
        ("strike", "11 cwt ± 0.1 cwt", 3),
        ("chime", "14 cwt ± 0.2 cwt", 3),
    )
    trains = [train(name, name, _barrel(weight, parts), own) for name, weight, parts in role]
    facts = {
        "clock": {
            "place": {"latitude": q("50.12 °"), "above sea": q("22 m ± 1 m")},
            "wound": {"|day": w("Friday")},
        },
        "pendulum": {
            "beat": q("1.25 s ± 0.0005 s"),
            "rod": {
                "": w("pine"),
                "length": q("1.7 m ± 0.01 m"),
                "width": q("50 mm"),
                "thickness": q("25 mm"),
            },
            "suspension spring": {"thickness": q("0.4 mm"), "width": q("40 mm"), "length": q("60 mm")},
            "bob": {
                "": w("cast iron"),
                "shape": w("lens"),
                "mass": q("210 lb ± 1 lb"),
                "diameter": q("14 in ± 0.1 in"),
                "height": q("9 in ± 0.1 in"),
                "borne at": w("bottom"),
            },
            "half arc": q("2 ° ± 0.1 °"),
            "rating nut": {"thread": q("1.5875 mm"), "divisions": n(20), "mass": q("1 lb ± 0.05 lb")},
            "tray": {"below suspension": q("30 in ± 0.3 in"), "mass": q("200 g ± 5 g")},
            "run down": {"|from": q("2 ° ± 0.05 °"), "|to": q("1 ° ± 0.05 °"), "|time": q("95 min ± 1 min")},
        },
        "escapement": {"least arc": q("1.2 ° ± 0.1 °")},
    }
    return build(facts, *trains)


def work_out(whole: Clock) -> Book:
    book = Book(whole)
    for name, turns in (("going", Fraction(1, 12)), ("strike", Fraction(13, 40)), ("chime", Fraction(2))):
        given = constant(turns, "turns/h", f"turns of {name}")
        book.derive(f"{name}.barrel.turns_per_hour", "turns", "n", {"n": given}, unit="turns/h")
    for mechanism in MECHANISMS:
        mechanism.work_out(book)
    return book


BOOK = work_out(clock())
DERIVED = [figure for figure in BOOK.figures if figure.substitution]


def test_nothing_waits_where_everything_is_stated() -> None:
    assert not [figure.id for figure in BOOK.figures if figure.waits]
    assert len(BOOK.figures) > 110


@pytest.mark.parametrize("figure", DERIVED, ids=lambda figure: figure.id)
def test_the_printed_working_gives_what_is_printed(figure: Any) -> None:
    worked = number(figure.substitution)
    if figure.unit == "deg":
        worked *= 57.29577951308232
    if figure.exact is not None:
        assert worked == pytest.approx(float(figure.exact), rel=1e-12)
        return
    places = len(figure.shown.partition(".")[2])
    if figure.uncertainty:
        places = rounding.places_for(float(figure.value), figure.uncertainty)
    again = rounding.fixed(worked, places)
    if not figure.uncertainty and "." in again:
        again = again.rstrip("0").rstrip(".")
    assert again == figure.shown


@pytest.mark.parametrize("figure", BOOK.figures, ids=lambda figure: figure.id)
def test_every_record_is_whole(figure: Any) -> None:
    assert re.fullmatch(r"[a-z0-9_]+(\.[a-z0-9_]+)+", figure.id)
    assert figure.title
    assert figure.unit in UNITS
    assert figure.source
    assert figure.shown
    if figure.uncertainty:
        assert sum(figure.budget.values()) == pytest.approx(1)
        assert figure.inputs
    for text in (figure.method, *figure.cautions):
        assert not re.search(r"\bsafe\b", text.lower())
    if figure.expression:
        tree = formula(figure.expression).tree
        assert typography.to_typst(tree)
        assert typography.to_mathml(tree).count("<mrow>") == typography.to_mathml(tree).count("</mrow>")


def test_the_same_clock_gives_the_same_figures() -> None:
    assert work_out(clock()).figures == BOOK.figures


def test_a_missing_fact_stops_only_what_rests_on_it() -> None:
    whole = clock()
    lost = train("going", "going", {**_barrel("1 kg", 2), "weight": unknown()})
    book = work_out(whole.model_copy(update={"trains": (lost[1], *whole.trains[1:])}))
    waiting = {figure.id for figure in book.figures if figure.waits}
    assert waiting
    assert all(id.startswith("going.") or id == "pendulum.share_of_energy" for id in waiting)
    for id in waiting:
        figure = book.get(id)
        assert figure is not None
        assert figure.waits_for == ("going.barrel.weight",) or figure.id.startswith("going.winding")
    assert book.known("going.duration")
