"""Nut, tray, rigid body and swing against handbooks and against pendulums whose parts are moved."""

from __future__ import annotations

import math
from typing import Any

import pytest
from countwheel.figures import gravity, pendulum, rating
from countwheel.figures.book import Book
from figure_clocks import build, n, q, w
from scipy.integrate import quad  # type: ignore[import-untyped]

INCH = 0.0254
LONDON = repr(39.14 * INCH * math.pi**2)


def _pendulum(g: str = LONDON, /, **facts: Any) -> Book:
    book = Book(build({"clock": {"place": {"gravity": q(f"{g} m/s²")}}, "pendulum": facts}))
    for mechanism in (gravity, pendulum, rating):
        mechanism.work_out(book)
    return book


def _value(book: Book, id: str) -> float:
    figure = book.get(id)
    assert figure is not None, id
    assert isinstance(figure.value, float), figure
    return figure.value


def _nut(per_inch: float, beat: float = 1.0, /, **more: Any) -> Book:
    thread = {"thread": q(f"{1 / per_inch!r} in"), "divisions": n(20)}
    return _pendulum(**{"beat": q(f"{beat!r} s"), "rating nut": thread, **more})


@pytest.mark.parametrize(
    ("per_inch", "rate", "slack"),
    [
        # Goodrich, p. 79, and Beckett, pp. 49-50: 18 threads to the inch give 1 min/day, 36 give 30 s;
        # exactly 61.3 and 30.7
        (18, 61.3, 0.05),
        (36, 30.7, 0.05),
        (18, 60, 2),
        # Goodrich, p. 73: an inch is about 18 min/day
        (1, 18.4 * 60, 3),
    ],
)
def test_a_turn_of_the_nut_on_a_seconds_pendulum(per_inch: float, rate: float, slack: float) -> None:
    book = _nut(per_inch)
    assert _value(book, "pendulum.nut.rate_per_turn") == pytest.approx(rate, abs=slack)
    assert _value(book, "pendulum.nut.rate_per_division") == pytest.approx(rate / 20, abs=slack / 20)


def test_one_second_a_day() -> None:
    # Encyclopaedia Britannica, 11th ed., vol. 6, p. 539: .000906 in
    assert 1 / _value(_nut(1), "pendulum.nut.rate_per_turn") == pytest.approx(0.000906, abs=5e-7)


def test_a_published_nut() -> None:
    # the clock pages of Trinity College, Cambridge, 30 October 2010: 1½ s, 45 s/day for a full turn: .092 in
    book = _nut(1 / 0.092, 1.5)
    assert _value(book, "pendulum.nut.rate_per_turn") == pytest.approx(45, abs=1)


def _rigid(**more: Any) -> dict[str, object]:
    return {
        "beat": q("1.25 s"),
        "half arc": q("2 °"),
        "rod": {"": w("pine"), "length": q("1.7 m"), "mass": q("4 kg")},
        "bob": {
            "": w("cast iron"),
            "shape": w("cylinder"),
            "mass": q("95 kg"),
            "diameter": q("0.25 m"),
            "height": q("0.3 m"),
        },
        "rating nut": {"thread": q("1.5 mm"), "mass": q("0.6 kg")},
        "tray": {"below suspension": q("0.7 m"), "mass": q("0.3 kg")},
        **more,
    }


def _beat(rod: float, bob_centre: float, extra: float = 0.0) -> float:
    """Beat of the pendulum of `_rigid` at no arc, by integrating over its parts; `extra` kg on the tray."""
    density = 95 / 0.3
    inertia = quad(lambda y: density * (y**2 + 0.25**2 / 16), bob_centre - 0.15, bob_centre + 0.15)[0]
    moment = quad(lambda y: density * y, bob_centre - 0.15, bob_centre + 0.15)[0]
    inertia += quad(lambda y: 4 / rod * y**2, 0, rod)[0]
    moment += quad(lambda y: 4 / rod * y, 0, rod)[0]
    for mass, y in ((0.6, bob_centre + 0.15), (0.3 + extra, 0.7)):
        inertia += mass * y**2
        moment += mass * y
    return math.pi * math.sqrt(inertia / (float(LONDON) * moment))


def test_the_rigid_body_beats_as_asked_for() -> None:
    book = _pendulum(**_rigid())
    centre = _value(book, "pendulum.bob.centre")
    at_arc = _beat(1.7, centre) * (1 + _value(book, "pendulum.circular_deviation") / 86400)
    assert at_arc == pytest.approx(1.25, rel=1e-9)


def test_the_nut_by_moving_the_bob() -> None:
    book = _pendulum(**_rigid())
    centre = _value(book, "pendulum.bob.centre")
    low, high = _beat(1.7, centre + 1e-5), _beat(1.7, centre - 1e-5)
    gain_per_metre = 86400 * (low - high) / 2e-5 / _beat(1.7, centre)
    found = _value(book, "pendulum.nut.rate_per_turn")
    assert found == pytest.approx(gain_per_metre * 0.0015, rel=1e-6)
    simple = 43200 * 0.0015 / _value(book, "pendulum.theoretical_length")
    assert abs(found / simple - 1) > 0.005  # the rigid body is not the simple pendulum


def test_the_tray_by_adding_a_weight() -> None:
    book = _pendulum(**_rigid())
    centre = _value(book, "pendulum.bob.centre")
    gain = 86400 * (_beat(1.7, centre, -1e-4) / _beat(1.7, centre, 1e-4) - 1) / 0.2
    assert _value(book, "pendulum.tray.rate_per_gram") == pytest.approx(gain, rel=1e-6)


def test_the_stated_length_gives_a_beat() -> None:
    book = _pendulum(**_rigid(length=q("1.6 m")))
    ratio = 1 + _value(book, "pendulum.circular_deviation") / 86400
    assert _value(book, "pendulum.beat.by_parts") == pytest.approx(_beat(1.7, 1.6) * ratio, rel=1e-9)


def test_the_rule_of_the_small_weight() -> None:
    # Beckett, pp. 50-51, and Britannica 9th ed.: M/10 800 at mid length gains a second a day
    book = _pendulum(beat=q("1 s"), mass=q("310 kg"), tray={"below suspension": q(f"{39.14 / 2!r} in")})
    assert _value(book, "pendulum.small_weight.for_one_second") == pytest.approx(310e3 / 10800)
    assert 9.4 * _value(book, "pendulum.tray.rate_per_gram") == pytest.approx(0.32748, rel=1e-3)


@pytest.mark.parametrize(
    ("mass", "weight", "slack"),
    # Britannica, 9th ed., vol. 6, p. 16: 15 lb, 10 grains; 6 cwt, 1 oz
    [("15 lb", 10 * 64.79891e-3, 0.3 * 64.79891e-3), ("6 cwt", 28.349523, 0.3)],
)
def test_published_small_weights(mass: str, weight: float, slack: float) -> None:
    book = _pendulum(beat=q("1 s"), mass=q(mass))
    assert _value(book, "pendulum.small_weight.for_one_second") == pytest.approx(weight, abs=slack)


def test_a_third_of_the_way_is_a_ninth_less_than_half() -> None:
    # Beckett, p. 51, and Britannica, 9th ed., print M/7200, a slip: their own formula gives M/9600
    third = _pendulum(beat=q("1 s"), mass=q("100 kg"), tray={"below suspension": q(f"{39.14 / 3!r} in")})
    found = _value(third, "pendulum.tray.rate_per_gram")
    # at ⅓: 43200 · 2/9 = 9600
    assert found == pytest.approx(9600 / 100e3, rel=1e-6)


def test_a_weight_at_the_centre_of_oscillation_does_nothing_and_below_it_loses() -> None:
    at, under = (
        _pendulum(beat=q("1 s"), mass=q("100 kg"), tray={"below suspension": q(f"{inches} in")})
        for inches in (39.14, 41)
    )
    assert _value(at, "pendulum.tray.rate_per_gram") == pytest.approx(0, abs=1e-12)
    assert _value(under, "pendulum.tray.rate_per_gram") < 0


def test_ball_correction() -> None:
    # Huygens, in W. Derham, 1696, p. 74: a ball of radius r adds 2r²/5L
    ball = {"shape": w("sphere"), "mass": q("10 kg"), "diameter": q("0.2 m")}
    book = _pendulum(beat=q("1 s"), length=q("1 m"), bob=ball)
    assert _value(book, "pendulum.centre_of_oscillation") == pytest.approx(1.004)


def test_a_rod_alone() -> None:
    # centre of oscillation of a uniform rod at two thirds of it: Goodrich, p. 19; period of the same by hand
    rod = {"": w("steel"), "length": q("1 m"), "mass": q("1 kg")}
    nothing = {"shape": w("sphere"), "mass": q("1e-12 kg"), "diameter": q("1e-6 m")}
    book = _pendulum("9.80665", beat=q("1 s"), length=q("1 m"), rod=rod, bob=nothing)
    assert _value(book, "pendulum.centre_of_oscillation") == pytest.approx(2 / 3, rel=1e-9)
    assert 2 * _value(book, "pendulum.beat.by_parts") == pytest.approx(1.638226327, rel=1e-9)


@pytest.mark.parametrize(
    ("shape", "facts", "inertia", "volume"),
    [
        ("cylinder", {"diameter": 0.2, "height": 0.3}, 0.2**2 / 16 + 0.3**2 / 12, math.pi * 0.01 * 0.3),
        ("flat cylinder", {"diameter": 0.3, "height": 0.1}, 0.3**2 / 8, math.pi * 0.0225 * 0.1),
        ("sphere", {"diameter": 0.2}, 0.1**2 * 2 / 5, 4 / 3 * math.pi * 1e-3),
        ("box", {"diameter": 0.2, "height": 0.3, "thickness": 0.1}, (0.04 + 0.09) / 12, 0.006),
    ],
)
def test_bobs_of_plain_shape(shape: str, facts: dict[str, float], inertia: float, volume: float) -> None:
    sizes = {word: q(f"{size} m") for word, size in facts.items()}
    bob = {"": w("lead"), "shape": w(shape), "mass": q("50 kg"), "density": q("11000 kg/m³"), **sizes}
    book = _pendulum(beat=q("1 s"), bob=bob)
    assert _value(book, "pendulum.bob.moment_of_inertia") == pytest.approx(50 * inertia)
    assert _value(book, "pendulum.bob.mass_by_size") == pytest.approx(11000 * volume)


def test_a_lens_by_integration() -> None:
    # two domes of a ball, 14 in across and 4 in through
    diameter, thick = 14 * INCH, 4 * INCH
    rise = thick / 2
    ball = (diameter**2 / 4 + rise**2) / (2 * rise)

    def half(r: float) -> float:
        return math.sqrt(ball**2 - r**2) - (ball - rise)

    volume = quad(lambda r: 4 * math.pi * r * half(r), 0, diameter / 2)[0]
    second = quad(lambda r: 4 * math.pi * r**3 * half(r), 0, diameter / 2)[0]
    lens = {
        "": w("lead"),
        "shape": w("lens"),
        "mass": q("50 kg"),
        "density": q("11340 kg/m³"),
        "diameter": q("14 in"),
        "height": q("4 in"),
    }
    book = _pendulum(beat=q("1 s"), bob=lens)
    assert _value(book, "pendulum.bob.mass_by_size") == pytest.approx(11340 * volume, rel=1e-9)
    # the thin-dome rule m r²/3 is good to 2 % for so thick a lens, and moves the bob by 0.01 % of its depth
    assert _value(book, "pendulum.bob.moment_of_inertia") == pytest.approx(50 * second / volume, rel=0.03)


@pytest.mark.parametrize(
    ("metal", "inches", "pounds"),
    # Goodrich, p. 37: lb for each inch of a cylinder of that diameter, lead, zinc, cast iron
    [
        ("lead", 3, 2.897),
        ("zinc", 3, 1.788),
        ("cast iron", 3, 1.837),
        ("lead", 6, 11.590),
        ("zinc", 5, 4.966),
    ],
)
def test_goodrich_s_cylinders(metal: str, inches: float, pounds: float) -> None:
    bob = {
        "": w(metal),
        "shape": w("cylinder"),
        "mass": q("10 lb"),
        "diameter": q(f"{inches} in"),
        "height": q("1 in"),
    }
    book = _pendulum(beat=q("1 s"), bob=bob)
    assert _value(book, "pendulum.bob.mass_by_size") / 0.45359237 == pytest.approx(pounds, rel=0.025)


def test_goodrich_s_bob_with_a_hole() -> None:
    # 3 in by 9 in of lead with a ¾-in hole: 26.07 - 1.62 = 24.45 lb at .410 lb/in³
    bob = {
        "": w("lead"),
        "shape": w("cylinder"),
        "mass": q("24.45 lb"),
        "density": q(f"{0.41 * 0.45359237 / INCH**3!r} kg/m³"),
        "diameter": q("3 in"),
        "height": q("9 in"),
        "hole": q("0.75 in"),
    }
    book = _pendulum(beat=q("1 s"), bob=bob)
    assert _value(book, "pendulum.bob.mass_by_size") / 0.45359237 == pytest.approx(24.45, abs=0.03)
    assert _value(book, "pendulum.bob.mass_ratio") == pytest.approx(1, abs=0.002)


def test_the_run_down_gives_back_the_quality_factor_it_was_made_with() -> None:
    quality, period, start = 4000.0, 2.5, 2.0
    seconds = 95 * 60.0
    end = start * math.exp(-math.pi * seconds / (quality * period))
    swing = {"|from": q(f"{start} °"), "|to": q(f"{end!r} °"), "|time": q(f"{seconds} s")}
    book = _pendulum(**{"beat": q("1.25 s"), "half arc": q("2 °"), "mass": q("100 kg"), "run down": swing})
    assert _value(book, "pendulum.quality_factor") == pytest.approx(quality)
    # energy lost in a period is 2π/Q of what there is
    energy = (
        100 * _value(book, "pendulum.theoretical_length") * float(LONDON) * (1 - math.cos(math.radians(2)))
    )
    per_day = energy * 2 * math.pi / quality * 86400 / period
    assert _value(book, "pendulum.energy_lost_per_day") == pytest.approx(per_day, rel=1e-6)
    assert _value(book, "pendulum.power_needed") == pytest.approx(per_day / 86.4, rel=1e-6)
