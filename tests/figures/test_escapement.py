"""Angles, distances and impulse of each kind of escapement, against published ones."""

from __future__ import annotations

import math

import pytest
from figure_descriptions import DEGREE, FOOT, FOOT_POUND, INCH, POUND, G, compiled, figure, going, value

BECKETT_G = 9.80665  # work in foot-pounds is stated in the standard pound's weight


def _legs(legs: str, facts: str = "", diameter: str = "4 in", weight: float = 10) -> str:
    wheel = f"legs {legs}\n      outside diameter {diameter}"
    return going(weight, wheel=wheel) + f"\nescapement gravity\n{facts}"


# -- angles ------------------------------------------------------------
@pytest.mark.parametrize(
    ("wheel", "kind", "angle", "source"),
    [
        ("escape wheel 30", "deadbeat", 6, "seconds wheel of 30 teeth, two beats a tooth: common practice"),
        ("legs 4", "gravity", 45, "Beckett, p. 123; Goodrich, The Modern Clock, 1905, ch. XI"),
        ("legs 3 double", "gravity", 60, "Beckett, pp. 123 and 130"),
        ("pins 60 on both sides", "pin wheel", 6, "one beat a pin, the pins on both sides by turns"),
    ],
)
def test_what_the_wheel_turns_at_a_beat(wheel: str, kind: str, angle: float, source: str) -> None:
    result = compiled(going(wheel=wheel), f"escapement {kind}\n")
    assert value(result, "escapement.wheel_angle_per_beat") == pytest.approx(angle), source


@pytest.mark.parametrize(("teeth", "share"), [(30, 5 / 6), (15, 11 / 12)])
def test_what_drop_leaves_of_the_beat(teeth: int, share: float) -> None:
    # M. V. Headrick, Clock and Watch Escapement Mechanics, 1997, ch. 10: a degree of drop of every 6 with 30 teeth,
    # of every 12 with 15, which is 8.33 per cent better. Beckett, p. 86: no more than 5° of motion with 30 teeth.
    result = compiled(going(wheel=f"escape wheel {teeth}"), "escapement deadbeat\n  drop 1 °\n")
    whole = value(result, "escapement.wheel_angle_per_beat")
    assert value(result, "escapement.impulse_angle_of_wheel") / whole == pytest.approx(share)


def test_lift_lock_and_drop() -> None:
    angles = "  lift 1.5 °\n  lock 0.5 °\n  drop 1 °\n  least arc {} °\n"
    result = compiled(going(), "escapement deadbeat\n" + angles.format(1.2))
    # Beckett, p. 90: the impulse ends near 1° after the middle and begins no later than half a degree before it
    assert value(result, "escapement.escaping_arc") == pytest.approx(1.0)
    assert figure(result, "escapement.arcs_agree").value is True
    assert value(result, "escapement.angles_used") == pytest.approx(3.0)
    assert figure(result, "escapement.angles_fit").value is True
    short = compiled(going(), "escapement deadbeat\n" + angles.format(0.6))
    assert figure(short, "escapement.arcs_agree").value is False
    wide = compiled(going(wheel="escape wheel 72"), "escapement deadbeat\n" + angles.format(1.2))
    assert figure(wide, "escapement.angles_fit").value is False  # 2.5° a beat is less than the 3° asked for


# -- distances ---------------------------------------------------------
@pytest.mark.parametrize(
    ("legs", "distance", "slack", "source"),
    [
        ("4", 5.2, 0.05, "Beckett, p. 124: a wheel of 4 in, 5.2 in"),
        ("4", 4 / (2 * math.cos(67.5 * DEGREE)), 1e-9, "Goodrich, ch. XI: stops at 67½° on each side"),
        (
            "3 double",
            4,
            1e-9,
            "Beckett, p. 130, and Goodrich, ch. XI: the diameter of the wheel; stops 120° apart",
        ),
    ],
)
def test_distance_of_a_gravity_escapement(legs: str, distance: float, slack: float, source: str) -> None:
    found = value(compiled(_legs(legs)), "escapement.tangent_centre_distance")
    assert found / 25.4 == pytest.approx(distance, abs=slack), source


def test_gravity_escapements_of_other_legs_are_not_guessed_at() -> None:
    assert "escapement.tangent_centre_distance" not in compiled(_legs("5")).figures


def _anchor(kind: str, facts: str, teeth: int = 30) -> str:
    return going(wheel=f"escape wheel {teeth}\n      outside diameter 6 in") + f"\nescapement {kind}\n{facts}"


def test_span_and_pallets_of_fifteen_teeth() -> None:
    # M. V. Headrick, Clock and Watch Escapement Mechanics, 1997, ch. 11: 5.5 of 15 teeth are 132°; a wheel of 3 in
    # radius then has pallets of 3 tan 66° = 6.74 in
    result = compiled(_anchor("deadbeat", "  spans 5 1/2 teeth\n", 15))
    assert value(result, "escapement.span") == pytest.approx(132)
    assert value(result, "escapement.pallet_radius") / 25.4 == pytest.approx(6.74, abs=0.005)


@pytest.mark.parametrize("kind", ["recoil anchor", "deadbeat"])
def test_seven_and_a_half_of_thirty(kind: str) -> None:
    # Goodrich, The Modern Clock, ch. X: the distance is usually 1.4 times the wheel's radius, which is right for
    # no more than one span: a quarter of the wheel
    result = compiled(_anchor(kind, "  spans 7 1/2 teeth\n  pallet centre distance 4.3 in\n"))
    tangent = value(result, "escapement.tangent_centre_distance") / 25.4
    assert tangent / 3 == pytest.approx(1.4, abs=0.02)
    assert value(result, "escapement.centre_distance_off_tangent") / 25.4 == pytest.approx(4.3 - tangent)
    other = compiled(_anchor(kind, "  spans 10 1/2 teeth\n"))
    assert value(other, "escapement.tangent_centre_distance") / 25.4 / 3 > 2


def test_lengths_at_the_pallets() -> None:
    result = compiled(_anchor("deadbeat", "  pallet centre distance 5 in\n  drop 1 °\n  lock 1/2 °\n"))
    # 3, 4, 5: the pallets are 4 in from their arbor
    assert value(result, "escapement.pallet_radius") == pytest.approx(4 * 25.4)
    assert value(result, "escapement.shake") == pytest.approx(3 * 25.4 * DEGREE)
    assert value(result, "escapement.lock_depth") == pytest.approx(4 * 25.4 * DEGREE / 2)


def test_pallets_of_a_pin_wheel() -> None:
    text = going(wheel="pins 30 on one side\n      pitch diameter 6 in\n      outside diameter 6.2 in")
    result = compiled(text, "escapement pin wheel\n  pallet centre distance 5 in\n")
    assert value(result, "escapement.pallet_radius") == pytest.approx(4 * 25.4)
    assert (
        "escapement.tangent_centre_distance" not in result.figures
    )  # any distance has its own length of arm


# -- impulse -----------------------------------------------------------
def test_impulse_is_turning_force_times_angle() -> None:
    torque = 10 * G * 0.1 / 720 * 0.9**3
    some = compiled(going(), "escapement deadbeat\n  drop 1 °\n")
    assert value(some, "escapement.impulse") == pytest.approx(1000 * torque * 5 * DEGREE)
    every = compiled(going(), "escapement deadbeat\n")
    assert value(every, "escapement.impulse") == pytest.approx(1000 * torque * 6 * DEGREE)
    assert "no drop is stated" in figure(every, "escapement.impulse").method
    assert value(some, "escapement.power_arriving") == pytest.approx(1000 * torque * 2 * math.pi * 60 / 3600)
    # all of the turns of a day, less the drop
    day = value(every, "escapement.impulse_per_day")
    assert day == pytest.approx(value(every, "escapement.power_arriving") * 86.4)


WESTMINSTER = """
escapement gravity
  arms
    mass 1 oz
    lift 0.9 in
pendulum
  beat 2 s
  mass 700 lb
  half arc 2 2/3 °
"""


def test_impulse_of_the_westminster_clock() -> None:
    # Beckett, pp. 253 and 113: an ounce through .9 in at each beat of 2 s, about 200 ft·lb a day; M l is 9100 lb·ft,
    # so W h / M l is not more than 1/45. Worked out: 43200/16 × .9/12 = 202.5, and 202.5/9100 = 1/44.9.
    result = compiled(WESTMINSTER)
    # the description's own gravity, 9.81 m/s², stands against the pound's standard weight
    day = value(result, "escapement.impulse_per_day") * BECKETT_G / G
    assert day / FOOT_POUND == pytest.approx(202.5, abs=0.05)
    assert day / FOOT_POUND == pytest.approx(200, abs=5)
    # 13 ft of length by Beckett's M l; by theory 2 s is 13.04 ft here
    assert 100 / value(result, "escapement.impulse_ratio") == pytest.approx(45, abs=0.3)
    assert value(result, "escapement.impulse") == pytest.approx(1000 * POUND / 16 * G * 0.9 * INCH)


def test_the_arms_and_not_the_weight_drive_the_pendulum() -> None:
    facts = "  arms\n    mass 50 g\n    lift 2 mm\n"
    light, heavy = (
        compiled(_legs("4", facts, weight=weight), "pendulum\n  beat 1 s\n") for weight in (100, 200)
    )
    for id in ("escapement.arms.impulse", "escapement.impulse", "pendulum.power_arriving"):
        assert value(light, id) == value(heavy, id)
    arm = 0.05 * G * 2
    assert value(light, "escapement.arms.impulse") == pytest.approx(arm)
    torque = 100 * G * 0.1 / 5400 * 0.9**3
    assert value(light, "escapement.arms.surplus") == pytest.approx(1000 * torque * 45 * DEGREE - arm)
    assert any("trip" in one for one in figure(light, "escapement.arms.surplus").cautions)
    arriving, arms = torque * 2 * math.pi * 450 / 3600 * 1000, arm  # mW: a beat a second
    assert value(light, "escapement.margin.train") == pytest.approx(100 * (1 - arms / arriving))
    assert value(light, "going.power_budget.fly") == pytest.approx(arriving - arms)


def test_a_gravity_regulator_has_power_to_spare() -> None:
    # Beckett, p. 131: a pendulum of nearly 40 lb, a weight of 15 lb with about 4 ft of fall, four legs; p. 90: the
    # best regulators give their pendulum 1/30 of M l in a day. So 58 per cent of the weight's work is enough, if the
    # fall is that of eight days.
    length = 39.14 * INCH
    day = 40 * POUND * G * length / 30
    each = day / 86400 / G * 1000  # an arm of so many grams through a millimetre, in kg·mm
    barrel = f"diameter {4 * FOOT / 16 / math.pi * 1000 - 2:.6f} mm"
    text = _legs("4", f"  arms\n    mass {each * 1000:.6f} g\n    lift 1 mm\n", weight=15 * POUND)
    text = text.replace("diameter 198 mm", barrel).replace("wheel 60", ["wheel 450", "1"][0])
    result = compiled(text, "pendulum\n  beat 1 s\n  mass 40 lb\n")
    assert value(result, "going.train.beats_per_hour") == 3600
    assert value(result, "escapement.impulse_ratio") == pytest.approx(100 / 30, rel=0.01)
    assert value(result, "going.power_budget.escapement.share") == pytest.approx(58, abs=1)
    assert value(result, "escapement.margin.train") > 10


def test_what_is_not_stated_makes_no_waiting_figures() -> None:
    for kind in ("deadbeat", "recoil anchor", "pin wheel", "gravity"):
        result = compiled(f"escapement {kind}\n")
        assert not [id for id in result.figures if id.startswith("escapement.")]
    asked = compiled(going(), "escapement deadbeat\n  drop ?\n")
    assert figure(asked, "escapement.impulse").waits_for == ("escapement.drop",)
