"""The remontoire: what its weight gives, and that the escapement feels nothing else."""

from __future__ import annotations

import math

import pytest
from figure_descriptions import G, compiled, figure, going, value

PENDULUM = "pendulum\n  beat 1 s\n"


def clock(weight: float = 10, every: str = "30 s", drop: float = 20, more: str = "    arm 80 mm\n") -> str:
    facts = f"remontoire every {every}\n    weight 400 g\n    drop {drop} mm\n{more}"
    return going(weight, "efficiency of a mesh 90 %\n  " + facts.rstrip())


def test_worked_by_hand() -> None:
    result = compiled(clock(), "escapement deadbeat", PENDULUM)
    energy = 0.4 * G * 20  # mJ
    assert value(result, "going.remontoire.energy_per_rewind") == pytest.approx(energy)
    assert value(result, "going.remontoire.rewinds_per_day") == 2880
    assert value(result, "going.remontoire.energy_per_day") == pytest.approx(energy * 2.88)
    assert value(result, "going.remontoire.power") == pytest.approx(energy / 30)
    # the escape arbor turns half round in half a minute, the third arbor 8 × 30/3600 = 1/15
    assert figure(result, "going.remontoire.turns_per_rewind").shown.startswith("1/15")
    assert figure(result, "going.remontoire.driven_turns_per_rewind").shown.startswith("1/2")
    assert figure(result, "going.remontoire.beats_per_rewind").shown == "30"
    assert value(result, "going.remontoire.impulse") == pytest.approx(energy / 30)
    assert value(result, "going.remontoire.torque") == pytest.approx(energy / 1000 / math.pi)
    # an arm of 80 mm that sinks 20 mm, level in the middle: sin(θ/2) = 10/80
    assert value(result, "going.remontoire.arm_angle") == pytest.approx(2 * math.degrees(math.asin(0.125)))
    assert value(result, "going.remontoire.unevenness") == pytest.approx(100 * (1 - math.sqrt(1 - 0.125**2)))


def test_it_is_the_work_of_the_escape_arbor() -> None:
    # virtual work: turning force times the angle it turns is the weight times its fall, whatever the gearing
    result = compiled(clock(), "escapement deadbeat", PENDULUM)
    turned = 2 * math.pi * value(result, "going.remontoire.driven_turns_per_rewind")
    assert value(result, "going.escape.torque") * turned == pytest.approx(0.4 * G * 0.020)


def test_the_escapement_does_not_feel_the_going_weight() -> None:
    light, heavy = (compiled(clock(weight), "escapement deadbeat", PENDULUM) for weight in (10, 20))
    for id in (
        "going.escape.torque",
        "going.escape.torque.ideal",
        "escapement.impulse",
        "pendulum.power_arriving",
    ):
        assert value(light, id) == value(heavy, id)
    assert value(heavy, "going.third.torque") == pytest.approx(2 * value(light, "going.third.torque"))
    assert value(heavy, "going.remontoire.margin") > value(light, "going.remontoire.margin")
    # without it, it does
    plain = [
        value(compiled(going(weight), "escapement deadbeat"), "going.escape.torque") for weight in (10, 20)
    ]
    assert plain[1] == pytest.approx(2 * plain[0])


@pytest.mark.parametrize(
    ("every", "turn", "fits"),
    [
        ("30 s", "1/15", True),
        ("50 s", "1/9", True),
        ("15 s", "1/30", True),
        ("60 s", "2/15", False),
        ("40 s", "4/45", False),
    ],
)
def test_the_period_must_fit_the_counts(every: str, turn: str, fits: bool) -> None:
    # the third arbor turns 8 times an hour
    result = compiled(clock(every=every), "escapement deadbeat", PENDULUM)
    assert figure(result, "going.remontoire.turns_per_rewind").shown.startswith(turn)
    assert figure(result, "going.remontoire.fits_counts").value is fits


def test_half_a_minute_is_a_twelfth_turn_of_an_arbor_of_ten_an_hour() -> None:
    # J. W. Benson, Time and Time-Tellers, 1875, pp. 156 and 177: a remontoire let off every half minute
    text = clock().replace("wheel 64", "wheel 80").replace("wheel 60", "wheel 48")
    result = compiled(text, "escapement deadbeat", PENDULUM)
    assert figure(result, "going.remontoire.turns_per_rewind").shown.startswith("1/12")
    assert figure(result, "going.remontoire.fits_counts").value is True


def test_more_asked_than_arrives_leaves_no_margin() -> None:
    result = compiled(clock(weight=0.5, drop=60), "escapement deadbeat", PENDULUM)
    assert value(result, "going.remontoire.margin") < 0


def test_what_is_not_known_is_waited_for() -> None:
    text = clock().replace("weight 400 g", "weight ?")
    result = compiled(text, "escapement deadbeat", PENDULUM)
    assert figure(result, "going.escape.torque").waits_for == ("going.remontoire.weight",)


def test_none_where_there_is_none() -> None:
    for train in ("", "no remontoire"):
        result = compiled(going(train=train), "escapement deadbeat")
        assert not [id for id in result.figures if "remontoire" in id]
        assert value(result, "going.escape.torque") > 0
