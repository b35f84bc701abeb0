"""Hands in weight and wind, and the proportions of dials, against published numbers and an integral by quadrature."""

from __future__ import annotations

import pytest
from countwheel.api import Result
from figure_texts import PLACE, compiled, figure, going, value
from scipy.integrate import quad

ON_FAR_SIDE = "  driven by going.centre on far side\n"


def dial(*hand: str, more: str = "", word: str = "minute hand", wind: str = "") -> dict[str, str]:
    lines = "".join(f"    {line}\n" for line in hand)
    return {
        "place": PLACE + (f"    wind {wind}\n" if wind else ""),
        "dial": f"dial\n{ON_FAR_SIDE}{more}  {word}\n{lines}",
    }


def found(*hand: str, more: str = "", word: str = "minute hand", wind: str = "") -> Result:
    parts = dial(*hand, more=more, word=word, wind=wind)
    return compiled(parts["place"], going(), parts["dial"])


# -- the wind ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wind", "pascals", "rel", "source"),
    [
        ("26 m/s", 422.5, 1e-9, "EN 1991-1-4 with 1.25 kg/m³, as worked in infosteel.be SSB03 p. 57"),
        ("100 mph", 1225.73, 0.021, "0.00256 V² in pounds a square foot, air of 1.226 kg/m³"),
        ("10 m/s", 61.3, 0.021, "0.613 v², the same air"),
        ("40 m/s", 980.8, 0.021, "0.613 v², the same air"),
    ],
)
def test_the_pressure_of_the_wind(wind: str, pascals: float, rel: float, source: str) -> None:
    assert value(found("length 1 m", wind=wind), "place.wind_pressure") == pytest.approx(pascals, rel=rel), (
        source
    )


def test_a_gale_where_no_wind_is_stated() -> None:
    # Beaufort scale: force 8 is 34 to 40 knots, a knot 1852 m in an hour
    result = found("length 1 m")
    speed = (2 * value(result, "place.wind_pressure") / 1.25) ** 0.5
    assert 34 * 1852 / 3600 <= speed <= 40 * 1852 / 3600


def test_the_turning_force_is_that_of_all_its_strips() -> None:
    result = found("length 0.9 m", "thickness 20 mm", wind="26 m/s")

    def strip(r: float) -> float:
        # a blade that tapers evenly to half its depth at the tip (Beckett p. 221)
        return 422.5 * 0.020 * (1 - r / 0.9 / 2) * r

    without_drag = quad(strip, 0, 0.9)[0]
    torque = figure(result, "dial.minute_hand.wind_torque")
    # flat plates, Aeronautical Engineer's Data Book fig. 5.13(b): square 1.17, long 1.98
    assert isinstance(torque.value, float)
    assert torque.value == pytest.approx((1.17 + 1.98) / 2 * without_drag)
    assert torque.uncertainty is not None
    assert torque.value - 3**0.5 * torque.uncertainty <= 1.18 * without_drag
    assert torque.value + 3**0.5 * torque.uncertainty >= 1.97 * without_drag


def test_what_is_stated_of_the_hand_is_used() -> None:
    id = "dial.minute_hand.wind_torque"
    bare, broad, deep, open_work = (
        found("length 1 m"),
        found("length 1 m", f"width {1000 / 13:.6f} mm"),
        found("length 1 m", "width 80 mm", "thickness 28 mm"),
        found("length 1 m", "width 80 mm", "thickness 28 mm", "skeleton"),
    )
    # a thirteenth of its length where no breadth is stated (Beckett p. 221)
    assert value(bare, id) == pytest.approx(value(broad, id), rel=1e-6)
    assert value(deep, id) == pytest.approx(1.575 * 250 * 0.028 / 3)
    assert value(open_work, id) == pytest.approx(1.5 * value(deep, id))
    shares = [figure(one, id).uncertainty or 0 for one in (deep, bare)]
    assert shares[0] < shares[1]
    for one in (bare, broad, deep, open_work):
        assert any("Work on them is for a clockmaker" in text for text in figure(one, id).cautions)
        assert not one.has_errors


def test_the_wind_against_the_train() -> None:
    barrel = (
        "train going\n  arbor barrel\n    barrel\n      diameter 198 mm\n      parts 1\n      turns of line 16\n"
        "      fall 30 m\n      weight 100 kg\n      line\n        diameter 2 mm\n    wheel 96\n"
        "  arbor centre\n    pinion 8\n    rate once an hour\n"
    )
    parts = dial("length 0.9 m", "thickness 20 mm")
    result = compiled(parts["place"], barrel, parts["dial"])
    share = value(result, "dial.minute_hand.wind_share")
    # the pull at 10 cm, a twelfth of it on the arbor of the hour; the loss of the one pair is the torque figure's
    at_centre = value(result, "going.centre.torque")
    assert at_centre < 100 * 9.81 * 0.1 / 12
    assert share == pytest.approx(100 * value(result, "dial.minute_hand.wind_torque") / at_centre)


def test_no_wind_figure_without_a_minute_hand_that_is_known() -> None:
    for result in (found("material copper"), found("length 1 m", word="hour hand", more="  one hand only\n")):
        assert not [id for id in result.figures if "wind" in id]


# -- weight --------------------------------------------------------------------


def test_the_turning_force_of_a_heavy_hand() -> None:
    # 10 kg half a metre out: 49.05 N·m; half of it taken off by 10 kg at 25 cm behind
    bare = found("length 1 m", "mass 10 kg", "centre of gravity 0.5 m")
    half = found("length 1 m", "mass 10 kg", "centre of gravity 0.5 m", "counterpoise 10 kg at 0.25 m")
    id = "dial.minute_hand.imbalance_torque"
    assert value(bare, id) == pytest.approx(49.05)
    assert value(half, id) == pytest.approx(49.05 / 2)
    assert "none is counted" in figure(bare, id).method


def test_the_counterpoise_that_is_needed() -> None:
    # lever: 9 lb at 14 in against 7 7/8 lb at 16 in: 126 inch-pounds on both sides
    result = found("length 38 in", "mass 9 lb", "centre of gravity 14 in", "counterpoise 7 lb 14 oz at 16 in")
    assert value(result, "dial.minute_hand.counterpoise_needed") / 0.45359237 == pytest.approx(7.875)
    assert value(result, "dial.minute_hand.imbalance_torque") == pytest.approx(0, abs=1e-9)
    # at a third of the hand's length, the most that is usual (Beckett p. 221), where there is none
    bare = found("length 0.9 m", "mass 10 kg", "centre of gravity 0.36 m")
    assert value(bare, "dial.minute_hand.counterpoise_needed") == pytest.approx(12)


def test_a_bare_mass_says_nothing_of_balance() -> None:
    result = found("length 1 m", "mass 10 kg")
    assert not [id for id in result.figures if "imbalance" in id or "counterpoise" in id]


def test_an_hour_hand_alone() -> None:
    result = found(
        "length 1 m", "mass 10 kg", "counterpoise 8 kg at 0.5 m", word="hour hand", more="  one hand only\n"
    )
    torque = figure(result, "dial.hour_hand.imbalance_torque")
    # its own centre of gravity is assumed between three and five tenths of its length
    assert torque.value == pytest.approx(9.81 * (10 * 0.4 - 8 * 0.5), abs=1e-9)
    assert torque.uncertainty == pytest.approx(9.81 * 10 * 0.1 / 3**0.5, rel=0.03)
    assert torque.standing == "assumed"


def test_a_lost_or_absent_hand_asks_for_nothing() -> None:
    text = f"dial\n{ON_FAR_SIDE}  no minute hand\n  hour hand lost\n"
    result = compiled(PLACE, going(), text)
    asked = ("imbalance", "counterpoise", "wind", "proportion")
    assert not [id for id in result.figures if any(word in id for word in asked)]


# -- proportions ---------------------------------------------------------------

# E. Beckett, Clocks, Watches and Bells, 1903, p. 217: diameter in feet and inches, height in feet.
DIALS = {
    "Westminster": ("22 ft 6 in", 180),
    "St Paul's": ("17 ft", 126),
    "St Pancras": ("12 ft 9 in", 150),
    "King's Cross": ("9 ft", 90),
    "Bow": ("9 ft", 70),
    "Manchester": ("9 ft", 80),
    "Royal Exchange": ("9 ft", 90),
    "Leeds St George": ("8 ft 4 in", 57),
    "Chelsea": ("6 ft 10 in", 72),
    "Mechlin": ("40 ft", 300),
}


@pytest.mark.parametrize("name", DIALS)
def test_beckett_s_dials_by_his_own_rule(name: str) -> None:
    size, height = DIALS[name]
    result = found("material copper", more=f"  diameter {size}\n  above ground {height} ft\n")
    proportion = value(result, "dial.proportion")
    assert (proportion >= 0.1 - 1e-9) is (name not in ("St Pancras", "Chelsea"))
    if name == "St Pancras":
        assert proportion == pytest.approx(0.085, abs=5e-4)
    if name == "Chelsea":
        assert proportion == pytest.approx(0.095, abs=5e-4)


def test_hands_by_the_rules() -> None:
    # Beckett p. 221 and Goodrich p. 444: a thirteenth; Beckett p. 218: figures and minutes a third of the radius
    result = found("length 39 in", "width 3 in", more="  diameter 7 ft\n  hour hand\n    length 28 in\n")
    assert value(result, "dial.minute_hand.width_proportion") == pytest.approx(13)
    assert value(result, "dial.hour_hand.proportion") == pytest.approx(2 / 3)
    assert value(result, "dial.minute_hand.proportion") == pytest.approx(39 / 42)
    assert "two thirds" in figure(result, "dial.hour_hand.proportion").method


def test_a_height_that_is_not_known_is_waited_for_where_it_is_named() -> None:
    result = found("length 1 m", more="  diameter 2 m\n  above ground ?\n")
    assert figure(result, "dial.proportion").waits_for == ("dial.above_ground",)
    assert "dial.proportion" not in found("length 1 m", more="  diameter 2 m\n").figures
