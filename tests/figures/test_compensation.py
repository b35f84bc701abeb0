"""Warmth and air against handbooks."""

from __future__ import annotations

import math
from typing import Any

import pytest
from countwheel.figures import compensation, gravity, pendulum, rating
from countwheel.figures.book import Book
from figure_clocks import build, q, w

INCH = 0.0254
LONDON = 39.14 * INCH * math.pi**2


def _pendulum(beat: float = 1.0, /, **facts: Any) -> Book:
    place = {"gravity": q(f"{LONDON!r} m/s²")}
    book = Book(build({"clock": {"place": place}, "pendulum": {"beat": q(f"{beat!r} s"), **facts}}))
    for mechanism in (gravity, pendulum, rating, compensation):
        mechanism.work_out(book)
    return book


def _value(book: Book, id: str = "pendulum.temperature_coefficient") -> float:
    figure = book.get(id)
    assert figure is not None, id
    assert isinstance(figure.value, float), figure
    return figure.value


@pytest.mark.parametrize(
    ("expansion", "rate"),
    # 43200 α by hand: carbon steel, zinc, fused silica, fir and pine of tables of expansion
    [(11.5, 0.4968), (29.7, 1.2830), (0.55, 0.0238), (3.7, 0.1598), (5, 0.2160)],
)
def test_a_plain_rod(expansion: float, rate: float) -> None:
    book = _pendulum(rod={"expansion": q(f"{expansion}e-6 /°C")})
    assert _value(book) == pytest.approx(rate, abs=6e-5)


@pytest.mark.parametrize(
    ("metal", "published"),
    [
        # Beckett, p. 53: from 40 to 70 °F iron makes a minute's difference in a week, brass in 5 days,
        # wood in 3 weeks
        ("iron", 60 / 7),
        ("brass", 60 / 5),
        ("deal", 60 / 21),
    ],
)
def test_a_minute_s_difference(metal: str, published: float) -> None:
    book = _pendulum(rod={"": w(metal)})
    change = abs(_value(book)) * 30 / 1.8
    # round words: by the book's own expansions it is 63 to 65 seconds, and ours are a little larger
    assert change == pytest.approx(published, rel=0.15)


def test_iron_by_the_degree_fahrenheit() -> None:
    # Cunynghame, ch. IV: about ¼ s/day for 1 °F with iron; A. Mallock, Proc. R. Soc. 1911:
    # about ½ s/day for 1 °C with steel
    assert abs(_value(_pendulum(rod={"": w("iron")}))) / 1.8 == pytest.approx(0.25, abs=0.05)
    assert abs(_value(_pendulum(rod={"": w("steel")}))) == pytest.approx(0.5, abs=0.03)


def test_steel_and_wood_over_sixty_degrees() -> None:
    # liquisearch.com, pendulum: 16 s/day for steel over 60 °F, wood about 6
    assert abs(_value(_pendulum(rod={"": w("steel")}))) * 60 / 1.8 == pytest.approx(16, abs=0.7)
    wood = _pendulum(rod={"": w("deal")})
    assert abs(_value(wood)) * 60 / 1.8 == pytest.approx(6, abs=0.6)
    assert "Damp" in wood.get("pendulum.temperature_coefficient").cautions[0]  # type: ignore[union-attr]


def _beckett(zinc: float, iron_up: float, iron_down: float) -> dict[str, object]:
    def member(metal: str, inches: float, way: str) -> dict[str, object]:
        return {"|material": w(metal), "": q(f"{inches} in"), "|way": w(way)}

    return {
        "": w("compensated"),
        "<member>": [
            member("iron", iron_down, "down"),
            member("zinc", zinc, "up"),
            member("iron", iron_up, "down"),
        ],
    }


@pytest.mark.parametrize(
    ("beat", "rod", "zinc", "bob"),
    [
        # Beckett, p. 57: length of rod, zinc tube and bob of three clocks; each is
        # balanced to 1.5 % with .007 for iron and .016 for zinc, the iron tube being as long as the zinc less
        # half of the bob that hangs on its middle
        (1.25, 68.5, 48.5, 14),
        (1.5, 98, 68, 15),
        (2, 173, 125, 20),
    ],
)
def test_published_zinc_and_iron_pendulums(beat: float, rod: float, zinc: float, bob: float) -> None:
    stack = _beckett(zinc, zinc - bob / 2, rod)
    lone = _pendulum(beat, rod={"": w("iron")})
    book = _pendulum(beat, rod=stack, bob={"": w("cast iron")})
    up, down = (_value(book, f"pendulum.compensation.{way}") for way in ("up", "down"))
    # the book's own expansions differ a little from ours: the balance is what counts
    assert up == pytest.approx(down, rel=0.10)
    assert abs(_value(book)) < 0.2 * abs(_value(lone))
    inches = 25.4e-3
    assert up == pytest.approx(zinc * inches * 29.7)
    assert down == pytest.approx((rod + zinc - bob / 2) * inches * 12.0)


def test_a_bob_borne_at_its_bottom_raises_itself() -> None:
    # Beckett, pp. 59-60: a bob of lead on wood: .0165 · 6.6 in up against .0023 · 46 in down (±3 %)
    facts = {
        "rod": {"expansion": q(f"{0.0023 * 1.8e-3!r} /°C")},
        "bob": {
            "": w("lead"),
            "expansion": q(f"{0.0165 * 1.8e-3!r} /°C"),
            "shape": w("cylinder"),
            "mass": q("10 kg"),
            "diameter": q("3 in"),
            "height": q("13.2 in"),
            "borne at": w("bottom"),
        },
    }
    balanced = _pendulum(**facts)
    plain = _pendulum(rod=facts["rod"])
    # the rod ends at the bottom of the bob, 39.14 + 6.6 in down: 46 in
    assert abs(_value(balanced)) < 0.05 * abs(_value(plain))


@pytest.mark.parametrize(
    ("jar", "inches"),
    # Goodrich, pp. 56-59, the trade rule for seconds pendulums with a steel rod and a glass jar: about
    # 8⅛ in of mercury where the jar has a quarter of its weight, 8¾ where it has a third
    [(1 / 4, 8.125), (1 / 3, 8.75)],
)
def test_a_jar_of_mercury(jar: float, inches: float) -> None:
    height = inches * INCH
    mercury = 13546 * math.pi / 4 * 0.05**2 * height
    bob = {
        "": w("mercury in a glass jar"),
        "shape": w("cylinder"),
        "mass": q(f"{mercury * (1 + jar)!r} kg"),
        "diameter": q("0.05 m"),
        "mercury height": q(f"{inches} in"),
    }
    book = _pendulum(rod={"": w("steel")}, bob=bob)
    alone = _pendulum(rod={"": w("steel")})
    assert _value(book, "pendulum.bob.share_of_mercury") == pytest.approx(1 / (1 + jar))
    # nine tenths and more of the rod's effect is taken away
    assert abs(_value(book)) < 0.1 * abs(_value(alone))
    found = book.get("pendulum.temperature_coefficient")
    assert found is not None
    assert any("poisonous" in text for text in found.cautions)


def test_a_jar_whose_size_is_not_stated_has_the_usual_share() -> None:
    bob = {"": w("mercury"), "mass": q("20 lb"), "mercury height": q("8.4 in")}
    found = _pendulum(rod={"": w("steel")}, bob=bob).get("pendulum.temperature_coefficient")
    assert found is not None
    assert found.standing == "assumed"
    assert abs(float(found.value or 9)) < 0.1


@pytest.mark.parametrize(
    ("material", "density", "rate"),
    # by hand: 43200 · 1.1993 / (1013.25 ρ), the density of the air by CIPM-2007
    [("steel", 7850, 0.00651), ("cast iron", 7200, 0.00710), ("lead", 11340, 0.00451)],
)
def test_lift_of_the_air(material: str, density: float, rate: float) -> None:
    book = _pendulum(bob={"": w(material)})
    assert _value(book, "pendulum.barometric_coefficient") == pytest.approx(rate, abs=6e-6)
    stated = _pendulum(bob={"": w("pear"), "density": q(f"{density} kg/m³")})
    assert _value(stated, "pendulum.barometric_coefficient") == pytest.approx(rate, abs=6e-6)


def test_carried_air_reaches_the_measured_range() -> None:
    # 0.2 to 0.4 s/day for an inch of mercury (R. Matthys, Accurate Clock Pendulums, ch. 30);
    # Hilfiker .381, Armagh .37, Baily .41 (Britannica, 11th ed., Clock; MNRAS 33, 1873)
    for material in ("lead", "cast iron"):
        book = _pendulum(bob={"": w(material)})
        figure = book.get("pendulum.barometric_coefficient.with_carried_air")
        assert figure is not None
        assert figure.uncertainty is not None
        per_inch, u = abs(float(figure.value or 0)) * 33.8639, figure.uncertainty * 33.8639
        assert per_inch - 2 * u < 0.38
        assert per_inch + 2 * u > 0.37


def test_britannica_s_thirty_inches() -> None:
    # 11th ed., Clock: 4½ s/day for 30 in of mercury, lift alone, for a dense bob
    book = _pendulum(bob={"": w("lead")})
    assert abs(_value(book, "pendulum.barometric_coefficient")) * 30 * 33.8639 == pytest.approx(4.5, abs=0.15)


def test_it_waits_for_what_the_rod_is_made_of() -> None:
    nameless = _pendulum(rod={"length": q("1 m")}).get("pendulum.temperature_coefficient")
    odd = _pendulum(rod={"": w("unobtainium")}).get("pendulum.temperature_coefficient")
    assert nameless is not None
    assert odd is not None
    assert nameless.waits_for == ("pendulum.rod",)
    assert odd.waits_for == ("pendulum.rod.expansion",)
