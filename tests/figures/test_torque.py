"""Turning force from arbor to arbor, and where a train's power goes."""

from __future__ import annotations

import math
import re

import pytest
from countwheel.figures import rounding
from figure_descriptions import DEMOS, FOOT, POUND, G, compiled, demo, figure, going, value
from figure_reading import number

BARREL = 10 * G * 0.1  # N·m: 10 kg on a radius of 100 mm


# -- the chain, by hand ------------------------------------------------
def test_a_chain_worked_by_hand() -> None:
    result = compiled(going(), "escapement deadbeat")
    assert value(result, "going.barrel.torque") == pytest.approx(BARREL)
    for arbor, ratio, pairs in (("centre", 12, 1), ("third", 96, 2), ("escape", 720, 3)):
        assert value(result, f"going.{arbor}.torque.ideal") == pytest.approx(BARREL / ratio)
        assert value(result, f"going.{arbor}.torque") == pytest.approx(BARREL / ratio * 0.9**pairs)


def test_without_losses_every_arbor_has_the_same_power() -> None:
    result = compiled(going(), "escapement deadbeat")
    powers = [
        value(result, f"going.{arbor}.torque.ideal") * value(result, f"going.{arbor}.turns_per_hour")
        for arbor in ("barrel", "centre", "third", "escape")
    ]
    assert powers == pytest.approx([powers[0]] * 4)


def test_an_efficiency_that_is_not_stated_is_listed_as_assumed() -> None:
    stated = figure(compiled(going(), "escapement deadbeat"), "going.escape.torque")
    assumed = figure(compiled(going(train=""), "escapement deadbeat"), "going.escape.torque")
    assert assumed.standing == "assumed"
    assert stated.standing != "assumed"
    given = next(one for one in assumed.inputs if one.path == "efficiency of a pair of wheels")
    assert "0.93 to 0.98" in given.evidence
    assert assumed.value == pytest.approx(BARREL / 720 * 0.955**3)
    # the rectangle from 0.93 to 0.98 has 0.025/√3; three pairs that share it move together (GUM 4.3.7, 5.2.2)
    share = 3 * 0.025 / math.sqrt(3) / 0.955
    assert assumed.uncertainty is not None
    assert isinstance(assumed.value, float)
    of_meshes = math.sqrt(assumed.budget["efficiency of a pair of wheels"]) * assumed.uncertainty
    assert of_meshes / assumed.value == pytest.approx(share, rel=0.01)


@pytest.mark.parametrize(
    ("teeth", "force"),
    [
        ("module 4 mm", BARREL / 0.192),  # 96 teeth of 4 mm: 192 mm to the pitch circle
        ("pitch diameter 384 mm", BARREL / 0.192),
        ("circular pitch 12 mm", BARREL / (96 * 0.012 / (2 * math.pi))),
        ("diametral pitch 8 per inch", BARREL / (6 * 0.0254)),  # 12 inches across
    ],
)
def test_force_on_the_teeth(teeth: str, force: float) -> None:
    result = compiled(going(teeth=teeth), "escapement deadbeat")
    assert value(result, "going.barrel_centre.tooth_force") == pytest.approx(force)


def test_no_force_where_no_size_is_stated_and_it_waits_where_the_size_is_not_known() -> None:
    assert "going.barrel_centre.tooth_force" not in compiled(going(), "escapement deadbeat").figures
    asked = compiled(going(teeth="module ?"), "escapement deadbeat")
    assert figure(asked, "going.barrel_centre.tooth_force").waits_for == ("going.barrel.great.module",)


# -- published ---------------------------------------------------------
def _pairs(*pairs: tuple[int, int], weight: float = 10, parts: int = 1) -> str:
    lines = [
        "train going",
        "  arbor a1",
        "    barrel",
        "      diameter 198 mm",
        "      line",
        "        diameter 2 mm",
    ]
    lines += [f"      parts {parts}", f"      weight {weight} kg"]
    for at, (wheel, leaves) in enumerate(pairs, 2):
        lines += [f"    wheel {wheel}", f"  arbor a{at}", f"    pinion {leaves}"]
    return "\n".join(lines) + "\n    escape wheel 30\n"


def test_turns_at_a_distance() -> None:
    # W. Derham, The Artificial Clock-maker, 1696, pages 10-11: 55/5, 45/5, 40/5 make 792 turns, so 792 times
    # less turning force; the first arbor keeps its own name
    result = compiled(_pairs((55, 5), (45, 5), (40, 5)))
    assert value(result, "going.a1.torque.ideal") / value(result, "going.a4.torque.ideal") == pytest.approx(
        792
    )


def test_a_month_needs_four_times_the_weight_of_a_week() -> None:
    # E. Beckett, Clocks, Watches and Bells, 1903, p. 138; W. L. Goodrich, The Modern Clock, 1905, p. 260: one more
    # pair of 4 to 1 makes 8 days 32, and asks for four times the weight "plus the friction"
    week = compiled(_pairs((96, 8), (64, 8)))
    month = compiled(_pairs((48, 12), (96, 8), (64, 8), weight=40))
    assert value(month, "going.a4.torque.ideal") == pytest.approx(value(week, "going.a3.torque.ideal"))
    assert value(month, "going.a4.torque") == pytest.approx(0.955 * value(week, "going.a3.torque"))


def test_doubling_the_purchase_halves_the_force() -> None:
    # allsaintswokinghambells.org.uk, Clock8Day: doubled purchase, double the run, half the force at the wheels
    single, double = compiled(_pairs((96, 8))), compiled(_pairs((96, 8), parts=2))
    assert value(double, "going.a2.torque.ideal") == pytest.approx(value(single, "going.a2.torque.ideal") / 2)


def test_power_of_a_long_case_clock() -> None:
    # AHS blog, ahsoc.org/blog/time-and-efficiency: 12 lb falling 5 ft in 8 days is 1/8500 W
    radius = 5 * FOOT / 16 / (2 * math.pi)
    text = going(weight=12 * POUND).replace("diameter 198 mm", f"diameter {2000 * radius - 2:.9f} mm")
    budget = value(compiled(text, "escapement deadbeat"), "going.power_budget")
    assert 1000 / budget == pytest.approx(8500, abs=100)


# -- branches, hands, worms --------------------------------------------
BRANCH = """
  arbor hour
    driven by going.centre.out
    wheel 36
    wheel worm screw 1
      drives going.moon
  arbor moon
    driven by going.hour.screw by worm
    wheel 59
"""


def test_a_branch_shows_the_most_that_can_come_on_it_and_nothing_is_worked_out_past_a_worm() -> None:
    text = going().replace("    wheel 64\n", "    wheel 64\n    pinion out 12\n") + BRANCH
    result = compiled(text, "escapement deadbeat")
    assert value(result, "going.hour.torque") == pytest.approx(BARREL / 12 * 0.9 * 36 / 12 * 0.9)
    assert figure(result, "going.hour.torque").method.startswith("The most that could come on it")
    assert "going.moon.torque" not in result.figures
    assert value(result, "going.escape.torque") == pytest.approx(BARREL / 720 * 0.9**3)


def test_the_hands_take_their_share_where_they_leave_the_train() -> None:
    way = "leading off\n  from going.centre\n  takes 40 %\n"
    result = compiled(going(teeth="module 4 mm"), "escapement deadbeat", way)
    assert value(result, "going.centre.torque") == pytest.approx(BARREL / 12 * 0.9)
    assert value(result, "going.escape.torque") == pytest.approx(BARREL / 720 * 0.9**3 * 0.6)
    assert value(result, "going.barrel_centre.tooth_force") == pytest.approx(BARREL / 0.192)
    assert value(result, "leading_off.torque") == pytest.approx(BARREL / 12 * 0.9 * 0.4)
    assert value(result, "going.power_budget.hands.share") == pytest.approx(100 * 0.9 * 0.4)


def test_hands_that_leave_by_an_arbor_of_their_own() -> None:
    hands = "  arbor hands\n    driven by going.barrel\n    pinion 8\n"
    way = "leading off\n  from going.hands\n  takes 40 %\n"
    result = compiled(going() + hands, "escapement deadbeat", way)
    assert value(result, "going.escape.torque") == pytest.approx(BARREL / 720 * 0.9**3 * 0.6)
    # 12 turns of the hands' arbor for one of the barrel: a twelfth of what is taken there
    assert value(result, "leading_off.torque") == pytest.approx(BARREL * 0.4 / 12)


# -- where the power goes ----------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_the_parts_make_the_whole(name: str) -> None:
    result = demo(name)
    trains = [id.split(".")[0] for id in result.figures if re.fullmatch(r"\w+\.power_budget", id)]
    assert trains
    for train in trains:
        whole = value(result, f"{train}.power_budget")
        assert whole == value(result, f"{train}.power")
        parts = [id for id in result.figures if re.fullmatch(rf"{train}\.power_budget\.\w+", id)]
        assert len(parts) >= 4
        assert math.fsum(value(result, id) for id in parts) == pytest.approx(whole, rel=1e-9)
        assert math.fsum(value(result, f"{id}.share") for id in parts) == pytest.approx(100, rel=1e-9)
        assert all(value(result, id) >= 0 for id in parts)


STRIKE = """
train strike
  strikes hours
  efficiency of a mesh 90 %
  arbor barrel
    barrel
      diameter 198 mm
      line
        diameter 2 mm
      parts 1
      weight {weight} kg
      turns of line 60
    wheel 78
  arbor pins
    pinion 13
    lifting pins 13
    wheel 60
  arbor fly
    pinion 10
    fly
      vanes 2
  hammer
    mass 10 kg
    lift 100 mm
"""


def test_a_strike_worked_by_hand() -> None:
    # 78 blows a turn of the barrel, so two turns a day, 2 × 0.2π m; 156 blows of 9.81 J
    result = compiled(STRIKE.format(weight=300))
    whole = 300 * G * 2 * 0.2 * math.pi / 86.4  # mW
    hammer = 156 * 10 * G * 0.1 / 86.4
    left = (whole * 0.9 - hammer) * 0.9  # the lift stands after one pair, the fly after one more
    assert value(result, "strike.power_budget") == pytest.approx(whole)
    assert value(result, "strike.power_budget.hammer") == pytest.approx(hammer)
    assert value(result, "strike.power_budget.fly") == pytest.approx(left)
    assert value(result, "strike.power_budget.meshes") == pytest.approx(whole - hammer - left)
    # Beckett, p. 201: the work of the weight is two to three times that of the hammer
    assert 2 < whole / hammer < 4.2
    assert "no hammer is on the lift" in figure(result, "strike.fly.torque").method


def test_a_weight_that_cannot_lift_its_hammer_is_told() -> None:
    result = compiled(STRIKE.format(weight=60))
    assert value(result, "strike.power_budget.fly") < 0
    assert any(
        "one of them must be wrong" in one for one in figure(result, "strike.power_budget.fly.share").cautions
    )


# -- all of them -------------------------------------------------------
FAMILIES = re.compile(
    r"torque|tooth_force|remontoire|^escapement\.|power_budget|^season|^pendulum\.(more|arc|margin|share|degree|power)"
)


@pytest.mark.parametrize("name", DEMOS)
def test_the_printed_working_gives_what_is_printed(name: str) -> None:
    worked = [one for one in demo(name).figures.values() if one.substitution and FAMILIES.search(one.id)]
    assert len(worked) > 50
    for one in worked:
        again = number(one.substitution) * (180 / math.pi if one.unit == "deg" else 1)
        if one.exact is not None:
            assert again == pytest.approx(float(one.exact)), one.id
            continue
        places = len(one.shown.partition(".")[2])
        if one.uncertainty:
            places = rounding.places_for(float(one.value or 0), one.uncertainty)
        text = rounding.fixed(again, places)
        if not one.uncertainty and "." in text:
            text = text.rstrip("0").rstrip(".")
        assert text == one.shown, one.id


@pytest.mark.parametrize("name", [*DEMOS, "tarnholt-ropewalk"])
def test_no_figure_of_these_waits_for_what_nobody_would_state(name: str) -> None:
    result = demo(name)
    assert "M604" not in {one.code for one in result.diagnostics}
    if name != "tarnholt-ropewalk":
        assert not [one.id for one in result.figures.values() if FAMILIES.search(one.id) and one.waits]


def test_a_bare_description_is_not_asked_for_all_this() -> None:
    bare = compiled(
        "train going\n  arbor centre\n    wheel 64\n    rate once an hour\n  arbor third\n    pinion 8\n"
    )
    assert not [id for id in bare.figures if FAMILIES.search(id)]
    some = compiled(going(), "escapement deadbeat", "pendulum\n  beat 1 s\n")
    waiting = {path for one in some.figures.values() if FAMILIES.search(one.id) for path in one.waits_for}
    assert not waiting
