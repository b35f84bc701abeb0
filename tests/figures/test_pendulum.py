"""Pendulums: length and arc against handbooks, standards, mpmath and the equation of motion, step by step."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import mpmath  # type: ignore[import-untyped]
import numpy as np
import pytest
from countwheel.figures import gravity, pendulum
from countwheel.figures.book import Book
from figure_clocks import build, q
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

INCH = 0.0254


def _pendulum(
    beat: float | None, g: str | None = None, latitude: float | None = None, /, **facts: Any
) -> Book:
    place = {"gravity": q(f"{g} m/s²")} if g else {"latitude": q(f"{latitude} °"), "above sea": q("0 m")}
    own = {"beat": q(f"{beat!r} s"), **facts} if beat else facts
    book = Book(build({"clock": {"place": place}, "pendulum": own}))
    gravity.work_out(book)
    pendulum.work_out(book)
    return book


def _value(book: Book, id: str) -> float:
    figure = book.get(id)
    assert figure is not None, id
    assert isinstance(figure.value, float), figure
    return figure.value


# g such that the seconds pendulum is 39.14 in, the figure that British handbooks reckon with
LONDON = repr(39.14 * INCH * math.pi**2)


# -- length ------------------------------------------------------------
@pytest.mark.parametrize(
    ("beat", "inches", "slack"),
    [
        # E. Beckett, 8th ed., p. 36
        (4, 52 * 12 + 2, 0.5),
        (3, 29 * 12 + 4, 0.5),
        (2.5, 20 * 12 + 5, 0.5),
        (2, 13 * 12 + 0.5, 0.5),
        (1.5, 7 * 12 + 4, 0.5),
        (1.25, 61, 0.5),
        (1, 39.14, 0.005),
        (0.75, 22, 0.5),
        (2 / 3, 17.4, 0.05),
        (0.5, 9.78, 0.0051),
        # the same, p. 61
        (2.5, 244.6, 0.05),
    ],
)
def test_beckett_s_table_of_turret_pendulums(beat: float, inches: float, slack: float) -> None:
    assert _value(_pendulum(beat, LONDON), "pendulum.theoretical_length") / INCH == pytest.approx(
        inches, abs=slack
    )


@pytest.mark.parametrize(
    ("per_minute", "inches"),
    [
        # W. L. Goodrich, The Modern Clock, p. 258, after Britten: rows right to the last digit
        (30, 156.56),
        (40, 88.07),
        (60, 39.14),
        (70, 28.75),
        (75, 25.05),
        (84, 19.97),
        (88, 18.19),
        (100, 14.09),
        (110, 11.64),
        (120, 9.78),
        (126, 8.87),
        (150, 6.26),
        (180, 4.35),
    ],
)
def test_goodrich_s_table_of_trains(per_minute: float, inches: float) -> None:
    length = _value(_pendulum(60 / per_minute, LONDON), "pendulum.theoretical_length") / INCH
    assert length == pytest.approx(inches, abs=0.0061)


@pytest.mark.parametrize(
    ("per_hour", "metres", "slack"),
    [
        # Gourdin's table in Goodrich, pp. 16-17
        (3600, 0.9939, 5e-5),
        (3000, 1.4312, 6e-5),  # 1.43115: rounded up
        (2400, 2.2362, 5e-5),
        (1800, 3.975, 5e-4),
        (1200, 8.945, 5e-4),
        (600, 35.779, 5e-4),
        (7200, 0.2485, 5e-5),
        (9000, 0.1590, 5e-5),
        (14400, 0.0621, 5e-5),
        (18000, 0.0398, 5e-5),
    ],
)
def test_gourdin_s_metric_table(per_hour: float, metres: float, slack: float) -> None:
    # its last row, one vibration an hour, is 12 880 337.93 m: that is the gravity it was reckoned with
    book = _pendulum(3600 / per_hour, repr(12880337.93 * math.pi**2 / 3600**2))
    assert _value(book, "pendulum.theoretical_length") == pytest.approx(metres, abs=slack)


@pytest.mark.parametrize(
    ("latitude", "metres"),
    # gravity of GRS80 by boule, over π²
    [(51.5, 0.9941670010), (45, 0.9935757103), (0, 0.9909542849), (90, 0.9962087606)],
)
def test_the_seconds_pendulum_by_latitude(latitude: float, metres: float) -> None:
    book = _pendulum(1.0, None, latitude)
    assert _value(book, "pendulum.seconds_pendulum") == pytest.approx(metres, abs=2e-9)


def test_standard_gravity() -> None:
    # standard gravity, kayelaby.npl.co.uk 2.7.5: 9.80665 m/s², and so 0.9936213856 m
    book = _pendulum(1.0, "9.80665")
    assert _value(book, "pendulum.seconds_pendulum") == pytest.approx(0.9936213856, abs=1e-10)


@pytest.mark.parametrize(
    ("place", "latitude", "inches"),
    # Goodrich, p. 12, the rows that are not misprinted, to their digits
    [("New York", 40.7, 39.1012), ("Paris", 48.85, 39.13), ("London", 51.5, 39.14), ("Madras", 13.08, 39.02)],
)
def test_the_seconds_pendulum_by_place(place: str, latitude: float, inches: float) -> None:
    length = _value(_pendulum(1.0, None, latitude), "pendulum.seconds_pendulum") / INCH
    assert length == pytest.approx(inches, abs=0.006), place


def test_kater_s_seconds_pendulum() -> None:
    # H. Kater's corrected value, London, in vacuum at sea level: 39.13929 in
    book = _pendulum(1.0, None, 51.52)
    figure = book.get("pendulum.seconds_pendulum")
    assert figure is not None
    assert figure.uncertainty is not None
    assert abs(float(figure.value or 0) / INCH - 39.13929) < 2 * figure.uncertainty / INCH


def test_the_arc_shortens_the_pendulum_that_keeps_time() -> None:
    # equation of motion at the corrected length: the period must come out as asked for
    book = _pendulum(1.0, "9.80665", **{"half arc": q("6 °")})
    length = _value(book, "pendulum.theoretical_length")
    assert _period(math.radians(6)) * math.sqrt(length / 9.80665) == pytest.approx(2.0, rel=1e-9)


# -- arc ---------------------------------------------------------------
def _period(half_arc: float) -> float:
    """Period of θ'' = -sin θ from rest at `half_arc` radians, by steps; no elliptic integral in sight."""

    def down(_t: float, y: np.ndarray) -> float:
        return float(y[0])

    down.terminal = True  # type: ignore[attr-defined]
    done = solve_ivp(
        lambda _t, y: (y[1], -math.sin(y[0])),
        (0, 10),
        (half_arc, 0.0),
        method="DOP853",
        rtol=1e-12,
        atol=1e-14,
        events=down,
    )
    return float(4 * done.t_events[0][0])


@pytest.mark.parametrize(
    ("half_arc", "ratio", "loss"),
    [
        # complete elliptic integral by mpmath and by scipy, 12 digits alike
        (0.5, 1.00000475966795, 0.411235311),
        (1, 1.00001903892101, 1.64496277),
        (2, 1.00007615967157, 6.58019562),
        (2.5, 1.00011900416022, 10.2819594),
        (4, 1.00030470250609, 26.3262965),
        (5, 1.00047617248599, 41.1413028),
        (10, 1.00190718814322, 164.781056),
    ],
)
def test_circular_deviation(half_arc: float, ratio: float, loss: float) -> None:
    book = _pendulum(1.0, "9.8", **{"half arc": q(f"{half_arc} °")})
    found = _value(book, "pendulum.circular_deviation")
    assert found == pytest.approx(loss, rel=5e-9)
    assert 1 + found / 86400 == pytest.approx(ratio, abs=1e-13)
    exact = 2 / mpmath.pi * mpmath.ellipk(mpmath.sin(mpmath.radians(half_arc) / 2) ** 2)
    assert found == pytest.approx(float(86400 * (exact - 1)), rel=1e-9)


@pytest.mark.parametrize(("half_arc", "ratio"), [(30, 1.01740879759596), (90, 1.18034059901610)])
def test_wide_arcs(half_arc: float, ratio: float) -> None:
    # complete elliptic integral by mpmath and by scipy
    book = _pendulum(1.0, "9.8", **{"half arc": q(f"{half_arc} °")})
    assert 1 + _value(book, "pendulum.circular_deviation") / 86400 == pytest.approx(ratio, abs=1e-13)


@pytest.mark.parametrize("half_arc", [2, 6, 30, 90])
def test_circular_deviation_by_the_equation_of_motion(half_arc: float) -> None:
    book = _pendulum(1.0, "9.8", **{"half arc": q(f"{half_arc} °")})
    ratio = 1 + _value(book, "pendulum.circular_deviation") / 86400
    assert ratio == pytest.approx(_period(math.radians(half_arc)) / (2 * math.pi), rel=1e-11)


def test_beckett_s_six_seconds_at_two_degrees() -> None:
    # 8th ed., pp. 34-35: K = 5400 a², about 6 s at 2°
    book = _pendulum(1.0, "9.8", **{"half arc": q("2 °")})
    found = _value(book, "pendulum.circular_deviation")
    assert found == pytest.approx(5400 * math.radians(2) ** 2, rel=1e-3)
    assert found == pytest.approx(6, abs=0.6)


def test_two_published_arcs_of_one_clock() -> None:
    # clock pages of Trinity College, Cambridge, 30 October 2010: 55 mrad fell to 48; 5400(.055² - .048²)
    facts = {"half arc": q("0.055 rad")}
    book = Book(
        build(
            {
                "clock": {"place": {"gravity": q("9.81 m/s²")}},
                "pendulum": {"beat": q("1.5 s"), **facts},
                "escapement": {"least arc": q("0.048 rad")},
            }
        )
    )
    pendulum.work_out(book)
    found = _value(book, "pendulum.circular_deviation.to_least_arc")
    assert found == pytest.approx(5400 * (0.055**2 - 0.048**2), rel=2e-3)


def test_what_a_degree_more_does() -> None:
    # 1 s/day for each tenth of an inch at a three-inch swing of a seconds pendulum: about, as told by
    # H. H. Cunynghame, Time and Clocks, ch. IV; 1.5 in to each side, so 0.05 in of half arc
    half = math.degrees(1.5 / 39.14)
    book = _pendulum(1.0, "9.8", **{"half arc": q(f"{half!r} °")})
    per_degree = _value(book, "pendulum.circular_deviation.per_degree")
    assert per_degree * math.degrees(0.05 / 39.14) == pytest.approx(0.5, abs=0.3)
    slope = mpmath.diff(
        lambda a: 86400 * 2 / mpmath.pi * mpmath.ellipk(mpmath.sin(mpmath.radians(a) / 2) ** 2), half
    )
    assert per_degree == pytest.approx(float(slope), rel=1e-3)


def test_the_loss_grows_with_the_arc() -> None:
    losses = [
        _value(_pendulum(1.0, "9.8", **{"half arc": q(f"{arc} °")}), "pendulum.circular_deviation")
        for arc in (0.5, 1, 2, 3, 5, 8)
    ]
    assert all(one < other for one, other in pairwise(losses))


# -- beat --------------------------------------------------------------
def test_counts_that_agree_with_the_beat_are_used_for_it() -> None:
    from countwheel.figures.book import constant
    from figure_clocks import train

    for stated, expected, exact in (("1.2501 s ± 0.0005 s", 1.25, True), ("1.27 s ± 0.0005 s", 1.27, False)):
        clock = build({"pendulum": {"beat": q(stated)}}, train("going", "going", {}))
        book = Book(clock)
        book.derive("going.train.beats_per_hour", "", "n", {"n": constant(2880, "per h", "n")}, unit="per h")
        pendulum.work_out(book)
        figure = book.get("pendulum.beat")
        assert figure is not None
        assert figure.value == pytest.approx(expected)
        assert (figure.exact is not None) is exact


def test_rates_go_on_without_a_place_and_the_length_waits() -> None:
    book = Book(build({"pendulum": {"beat": q("1 s")}}))
    pendulum.work_out(book)
    length = book.get("pendulum.theoretical_length")
    assert length is not None
    assert length.waits_for == ("clock.place.latitude",)
    # somewhere on earth: between the equator's and the pole's, Bulletin Géodésique 62(3), 1988
    term = pendulum.length_term(book)
    assert 0.9909542849 < float(term.value or 0) < 0.9962087606
    assert term.uncertainty == pytest.approx((0.9962087606 - 0.9909542849) / 2 / 3**0.5, rel=1e-3)
