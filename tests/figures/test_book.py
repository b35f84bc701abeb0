"""The book: chains, correlations, waiting, and printed working that recomputes."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from countwheel.figures import rounding
from countwheel.figures.book import Book, constant
from countwheel.figures.units import UnitError
from figure_clocks import absent, build, n, q, unknown, x
from figure_reading import first_number, number
from hypothesis import given, settings
from hypothesis import strategies as st


def _book(**facts: Any) -> Book:
    return Book(build({"barrel": facts}))


def test_one_figure_in_full() -> None:
    book = _book(diameter=q("10.25 in ± 0.0625 in"), line={"diameter": q("6 mm ± 0.1 mm")})
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    figure = book.derive(
        "r",
        "working radius",
        "(D + d)/2",
        {
            "D": barrel.term("diameter", "diameter", "mm"),
            "d": barrel.at("line").term("diameter", "line", "mm"),
        },
        unit="mm",
        symbol="r",
    )
    assert figure.value == pytest.approx(133.175)
    # a rectangular half-width a has u = a/√3 (GUM 4.3.7)
    expected = math.hypot(1.5875 / 2, 0.1 / 2) / math.sqrt(3)
    assert figure.uncertainty == pytest.approx(expected)
    assert figure.shown == "133.18"
    assert figure.formula == "r = (D + d)/2"
    assert figure.substitution == "(260.35 + 6)/2"
    assert list(figure.budget) == ["barrel.diameter", "barrel.line.diameter"]
    assert sum(figure.budget.values()) == pytest.approx(1)
    assert figure.inputs[0].tolerance == "± 0.0625 in"
    assert figure.standing == "measured"


def test_the_same_fact_in_two_figures_cancels_in_their_difference() -> None:
    book = _book(diameter=q("10 in ± 0.5 in"))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    wide = barrel.term("diameter", "diameter", "mm")
    book.derive("round", "", "pi*D", {"D": wide}, unit="mm")
    book.derive("square", "", "(pi*D)**2", {"D": wide}, unit="mm²")
    gone = book.derive("gone", "", "S/C**2", {"S": book.use("square"), "C": book.use("round")}, unit="")
    assert gone.value == pytest.approx(1)
    assert gone.uncertainty is None
    assert gone.how_propagated == "what is uncertain cancels out"
    half = book.derive("half", "", "C - D", {"C": book.use("round", "mm"), "D": wide}, unit="mm")
    assert half.uncertainty == pytest.approx((math.pi - 1) * 0.5 * 25.4 / math.sqrt(3))


def test_gum_h1_end_gauge() -> None:
    # GUM example H.1: l = 50 000 838 nm, u = 32 nm, from six parts (nm)
    book = Book(build())
    deg, exp = "°C", "/°C"
    terms = {
        "l_s": constant(50000623.0, "", "standard", 25.0),
        "d": constant(215.0, "", "difference", math.hypot(5.8, math.hypot(3.9, 6.7))),
        "α": constant(11.5e-6, exp, "expansion", 1.2e-6),
        "θ": constant(-0.1, deg, "temperature", math.hypot(0.2, 0.35355)),
        "e": constant(0.0, exp, "difference of expansion", 0.57735e-6),
        "t": constant(0.0, deg, "difference of temperature", 0.0288675),
    }
    figure = book.derive("l", "end gauge", "l_s + d - l_s*(e*θ + α*t)", terms, unit="")
    assert figure.value == pytest.approx(50000838.0)
    assert figure.uncertainty == pytest.approx(31.66388, rel=2e-4)
    assert figure.budget["standard"] == pytest.approx((25 / 31.66388) ** 2, rel=1e-3)
    assert figure.budget["difference of temperature"] == pytest.approx((16.599 / 31.66388) ** 2, rel=1e-3)
    assert figure.budget["difference of expansion"] == pytest.approx((2.88679 / 31.66388) ** 2, rel=1e-3)


def test_waits_go_through_a_chain_and_name_facts_once() -> None:
    book = _book(weight=unknown(), parts=n(2))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    weight = barrel.term("weight", "weight", "kg")
    fall = barrel.term("fall", "fall", "m")
    book.derive("pull", "", "W/n", {"W": weight, "n": barrel.term("parts", "parts", "")}, unit="kg")
    end = book.derive("work", "", "P*h*W", {"P": book.use("pull"), "h": fall, "W": weight}, unit="J")
    assert end.waits
    assert end.waits_for == ("barrel.weight", "barrel.fall")
    assert end.formula == "P × h × W"
    assert end.substitution == ""
    assert book.get("pull").waits_for == ("barrel.weight",)  # type: ignore[union-attr]


def test_a_denied_part_is_not_there() -> None:
    book = Book(build({"barrel": {"click": absent(), "line": None}}))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    assert not barrel.has("click")
    assert barrel.has("line")
    assert not barrel.has("pulley")


def test_numbers_that_do_not_allow_it_give_no_value_and_no_crash() -> None:
    book = Book(build())
    figure = book.derive("bad", "", "1/(a - b)", {"a": constant(2, "", "a"), "b": constant(2, "", "b")})
    assert figure.value is None
    assert not figure.waits
    assert "cannot be worked out" in figure.cautions[0]
    after = book.derive("after", "", "2*x", {"x": book.use("bad")})
    assert after.value is None


def test_angles_are_angles() -> None:
    book = _book(angle=q("30 ° ± 1 °"))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    sine = book.derive("s", "", "sin(a)", {"a": barrel.term("angle", "angle", "deg")})
    assert sine.value == pytest.approx(0.5)
    assert sine.uncertainty == pytest.approx(math.radians(1) * math.cos(math.radians(30)) / math.sqrt(3))
    assert sine.substitution == "sin(30°)"
    back = book.derive("b", "", "asin(s)", {"s": book.use("s")}, unit="deg")
    assert back.value == pytest.approx(30)
    assert back.uncertainty == pytest.approx(1 / math.sqrt(3))


def test_exact_figures_keep_their_fraction_through_units() -> None:
    book = Book(build())
    book.derive(
        "n", "turns", "a/b", {"a": constant(1, "", "one"), "b": constant(12, "", "w")}, unit="turns/h"
    )
    day = book.derive("day", "", "n", {"n": book.use("n", "turns/day")}, unit="turns/day")
    assert day.exact == Fraction(2)
    assert day.shown == "2"
    with pytest.raises(UnitError):
        book.use("n", "kg")


def test_a_bent_function_is_tried_as_well() -> None:
    book = _book(gap=q("1 mm ± 1 mm"))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    figure = book.derive("c", "", "1 - a**2", {"a": barrel.term("gap", "gap", "mm")})
    # a is even over 0 to 2: the mean of 1 - a² is 1 - 4/3, its standard deviation √(16/5 - 16/9)
    assert "trials" in figure.how_propagated
    words = figure.how_propagated.split()
    mean, spread = (number(words[i]) for i in (words.index("give") + 1, len(words) - 1))
    assert mean == pytest.approx(-1 / 3, abs=0.1)
    assert spread == pytest.approx(math.sqrt(16 / 5 - 16 / 9), abs=0.1)
    again = Book(book.clock)
    other = again.derive("c", "", "1 - a**2", {"a": barrel.term("gap", "gap", "mm")})
    assert other == figure


def test_an_assumed_constant_weakens_and_is_listed() -> None:
    book = _book(weight=q("100 kg ± 1 kg"))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    eta = constant(0.95, "", "efficiency of a pulley", 0.02, assumed=True)
    figure = book.derive("p", "", "W*η", {"W": barrel.term("weight", "weight", "kg"), "η": eta}, unit="kg")
    assert figure.standing == "assumed"
    assert [one.path for one in figure.inputs] == ["barrel.weight", "efficiency of a pulley"]
    assert set(figure.budget) == {"barrel.weight", "efficiency of a pulley"}


def test_states_wait_too() -> None:
    book = _book(count=unknown())
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    assert book.state("s", "sense", "clockwise").shown == "clockwise"
    assert book.state("y", "agrees", True, [constant(1, "", "one")]).shown == "yes"
    waiting = book.state("w", "agrees", True, [barrel.term("count", "count", "")])
    assert waiting.value is None
    assert waiting.waits_for == ("barrel.count",)


SIZES = st.floats(1e-3, 1e5)
SHARES = st.floats(1e-6, 0.3)


@given(SIZES, SIZES, SIZES, SHARES, SHARES, st.booleans(), st.integers(1, 40))
@settings(max_examples=200, deadline=None)
def test_the_printed_working_gives_the_printed_result(
    a: float, b: float, c: float, ua: float, ub: float, sure: bool, k: int
) -> None:
    book = Book(build())
    terms = {
        "a": constant(a, "", "a", 0.0 if sure else ua * a),
        "b": constant(b, "", "b", 0.0 if sure else ub * b),
        "c": constant(c, "", "c"),
        "k": constant(Fraction(k, 7), "", "k"),
        "θ": constant(0.01 + a / 1e5 * 60, "deg", "angle", 0.0 if sure else ua),
    }
    for i, text in enumerate(
        (
            "k*a*b/c",
            "86400*(a/b - c/k)",
            "(a + b)**2/(4*pi**2*c)",
            "sqrt(a**2 + b*c)*k",
            "k*a*sin(θ) - b*cos(θ)",
            "c*(1/agm(1, cos(θ/2)) - 1)",
        )
    ):
        figure = book.derive(f"f{i}", "", text, terms)
        places = len(figure.shown.partition(".")[2])
        worked = number(figure.substitution)
        if places:
            assert rounding.fixed(worked, places) == figure.shown, (figure.substitution, figure.shown)
        else:
            size = 10 ** (len(figure.shown.lstrip("−")) - len(figure.shown.rstrip("0").lstrip("−")))
            assert abs(worked - first_number(figure.shown)) <= size * 0.5000001, figure


def test_plain_numbers_are_exact_without_a_tolerance() -> None:
    book = _book(turns=x(7.5))
    barrel = book.at(book.clock.fact("barrel"), "barrel")
    assert book.derive("t", "", "2*t", {"t": barrel.term("turns", "turns", "turns")}).exact == 15
