"""Turns of a reasoning that few clocks reach, each by a small description and worked out by hand beside it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from countwheel.api import Result
from figure_texts import PLACE, compiled, exact, figure, going, value

# -- who strikes how often -------------------------------------------------------

BARREL = "  arbor barrel\n    barrel\n{barrel}    wheel 78\n    lifting pins {pins}\n  arbor locking\n    pinion 6\n"
POWER = (
    "      diameter 200 mm\n      line manila rope\n        diameter 10 mm\n      parts 1\n      turns of line 20\n"
    "      fall 15 m\n      weight 40 kg\n"
)


def striking(kind: str, *hammers: str, role: str = "strike", pins: int = 13, barrel: str = POWER) -> str:
    head = f"train {role}\n  strikes {kind}\n"
    return head + BARREL.format(barrel=barrel, pins=pins) + "".join(f"  hammer {one}\n" for one in hammers)


def weighing(name: str, mass: str, lift: str, more: str = "") -> str:
    return f"{name}\n    mass {mass}\n    lift {lift}{more}"


def test_two_hammers_take_turns_at_the_hour() -> None:
    # 156 blows a day (1 + 2 + … + 12, twice), one hammer after the other: 78 each, whatever they weigh
    heavy, light = weighing("left", "4 kg", "100 mm"), weighing("right", "2 kg", "100 mm")
    result = compiled(PLACE, striking("hours", heavy, light))
    assert exact(result, "strike.left.blows_per_day") == exact(result, "strike.right.blows_per_day") == 78
    # and the day's work is 78 times either: 4 and 2 kg raised 0.1 m
    work = 78 * 9.81 * 0.1 * (4 + 2)
    share = value(result, "strike.share_of_energy") / 100 * value(result, "strike.energy.per_day")
    assert share == pytest.approx(work)


def test_three_hammers_share_the_hours_and_the_halves() -> None:
    # 2 × (78 + 12) = 180 blows in a day
    hammers = [weighing(name, "2 kg", "50 mm") for name in ("one", "two", "three")]
    result = compiled(PLACE, striking("hours and halves", *hammers, pins=15))
    assert [exact(result, f"strike.{name}.blows_per_day") for name in ("one", "two", "three")] == [60] * 3


def test_the_fly_gets_what_hammers_that_take_turns_leave_on_the_mean() -> None:
    # by one hammer of 3 kg or by one of 4 and one of 2 in turns, a blow takes the same on the mean
    vanes = "  arbor fly\n    pinion 7\n    fly\n      vanes 2\n      arm 200 mm\n"
    vanes += "      vane length 150 mm\n      vane width 100 mm\n"

    def left(*hammers: str) -> float:
        train = striking("hours", *hammers).replace("    pinion 6\n", f"    pinion 6\n    wheel 56\n{vanes}")
        return value(compiled(PLACE, train), "strike.fly.work_per_blow")

    by_turns = left(weighing("left", "4 kg", "100 mm"), weighing("right", "2 kg", "100 mm"))
    assert by_turns == pytest.approx(left(weighing("alone", "3 kg", "100 mm")))


def test_ting_tang_blows_by_hammer() -> None:
    # 1 + 2 + 3 + 4 changes an hour, a blow on each bell at each: 240 a day of each hammer
    high, low = weighing("high", "1 kg", "40 mm"), weighing("low", "2 kg", "40 mm")
    result = compiled(PLACE, striking("ting-tang quarters", high, low, role="chime", pins=20))
    assert exact(result, "chime.blows_per_day") == 480
    assert exact(result, "chime.high.blows_per_day") == exact(result, "chime.low.blows_per_day") == 240
    work = 240 * 9.81 * 0.04 * (1 + 2)
    share = value(result, "chime.share_of_energy") / 100 * value(result, "chime.energy.per_day")
    assert share == pytest.approx(work)


def test_ting_tang_with_one_hammer_says_how_often_it_strikes() -> None:
    # one hammer on one bell, two blows a change by its own word
    only = weighing("only", "1 kg", "40 mm", "\n    each change 2")
    result = compiled(PLACE, striking("ting-tang quarters", only, role="chime", pins=20))
    assert exact(result, "chime.only.blows_per_day") == 2 * 240
    # without that word nothing tells which of the two blows is its own
    silent = compiled(PLACE, striking("ting-tang quarters", weighing("only", "1 kg", "40 mm"), role="chime"))
    assert "chime.only.blows_per_day" not in silent.figures


def test_ting_tang_written_out_unevenly_is_counted_by_bell() -> None:
    # the last quarter ends on the low bell alone: bell 1 has 9 blows an hour, bell 2 has 10
    lines = "".join(f"  quarter {n}  {'1 2 ' * n}\n" for n in (1, 2, 3)) + "  quarter 4  1 2 1 2 1 2 . 2\n"
    chime = striking("ting-tang quarters", weighing("high", "1 kg", "1 cm"), weighing("low", "1 kg", "1 cm"))
    chime = chime.replace("train strike\n", "train chime\n").replace(
        "  arbor barrel", f"{lines}  arbor barrel"
    )
    result = compiled(PLACE, chime)
    assert exact(result, "chime.high.blows_per_day") == 24 * 9
    assert exact(result, "chime.low.blows_per_day") == 24 * 10


# -- sizes of wheels -----------------------------------------------------------------


def pair(*pitch: str) -> str:
    lines = "".join(f"      {one}\n" for one in pitch)
    train = f"train going\n  arbor barrel\n    wheel great 96\n{lines}"
    return train + "  arbor centre\n    pinion 12\n    rate once an hour\n"


def test_a_module_from_a_pitch_diameter() -> None:
    # 96 teeth on 240 mm: 2.5 mm of diameter to a tooth; the centres are (240 + 30)/2 mm apart
    result = compiled(pair("pitch diameter 240 mm"))
    assert value(result, "going.barrel.great.module") == pytest.approx(2.5)
    assert value(result, "going.barrel_centre.module") == pytest.approx(2.5)
    assert value(result, "going.barrel_centre.centre_distance") == pytest.approx(135)


def test_a_pitch_diameter_of_a_wheel_whose_count_is_lost() -> None:
    waits = figure(compiled(pair("pitch diameter 240 mm").replace("96", "?")), "going.barrel.great.module")
    assert waits.value is None
    assert waits.waits_for == ("going.barrel.great",)


# -- beats in a turn -------------------------------------------------------------------


def escaping(wheel: str, *blocks: str) -> tuple[str, ...]:
    return (going() + f"  arbor escape\n    pinion 8\n    {wheel}\n", *blocks)


def test_pins_wait_for_the_side_they_stand_on() -> None:
    # on one side a pin serves both pallets, on both sides only one: nothing in the count tells
    found = figure(compiled(*escaping("pins 30", "escapement pin wheel\n")), "escapement.beats_per_turn")
    assert found.value is None
    assert found.waits_for == ("going.escape.pins (sides)",)
    for sides, beats in (("one side", 60), ("both sides", 30)):
        told = compiled(*escaping(f"pins 30 on {sides}", "escapement pin wheel\n"))
        assert exact(told, "escapement.beats_per_turn") == beats


def test_an_escape_wheel_waits_for_the_kind_of_escapement() -> None:
    found = figure(compiled(*escaping("escape wheel 30")), "escapement.beats_per_turn")
    assert found.value is None
    assert found.waits_for == ("escapement",)
    assert (
        exact(compiled(*escaping("escape wheel 30", "escapement deadbeat\n")), "escapement.beats_per_turn")
        == 60
    )


# -- motion work of one pair ---------------------------------------------------------------


@pytest.mark.parametrize(("hour", "ratio"), [(96, 12), (192, 24), (90, Fraction(45, 4))])
def test_motion_work_of_one_pair(hour: int, ratio: int | Fraction) -> None:
    # by division; 96 to 8 is the twelve that a dial of twelve hours must have
    work = f"motion work\n  cannon pinion 8\n  no minute wheel\n  no minute pinion\n  hour wheel {hour}\n"
    result = compiled(going(), work)
    assert exact(result, "motion_work.ratio") == ratio
    # two centres, so nothing to bring back to one
    assert "motion_work.coaxial" not in result.figures
    assert [one.code for one in result.diagnostics if one.code == "M502"] == ["M502"] * (ratio != 12)


def test_one_pair_turns_the_hour_hand_against_the_minute_hand() -> None:
    # two wheels in mesh turn against one another, and four turn alike: so one pair serves no dial of two hands
    train = going() + "    turns anticlockwise from front\n"
    dial = "dial south, north-west\n  driven by going.centre on far side\n  minute hand\n  hour hand\n"
    pairs = "motion work\n  cannon pinion 8\n  minute wheel 24\n  minute pinion 8\n  hour wheel 32\n"
    one = "motion work\n  cannon pinion 8\n  no minute wheel\n  no minute pinion\n  hour wheel 96\n"
    minute, hour = "dial.south.minute_hand.sense_from_outside", "dial.south.hour_hand.sense_from_outside"
    two = compiled(train, pairs, dial)
    assert figure(two, minute).value == figure(two, hour).value == "clockwise"
    wrong = compiled(train, one, dial)
    assert (figure(wrong, minute).value, figure(wrong, hour).value) == ("clockwise", "anticlockwise")
    (fault,) = [one for one in wrong.diagnostics if one.code == "M504"]
    # the dials by the names that the keeper gave them
    assert fault.message.startswith("The hour hand of the south and north-west dials would run backwards.")


def four(*modules: str) -> Result:
    wheels = ("cannon pinion 30", "minute wheel 90", "minute pinion 20", "hour wheel 80")
    lines = [
        f"  {wheel}\n{f'    module {module}' if module else ''}"
        for wheel, module in zip(wheels, modules, strict=True)
    ]
    return compiled(going(), "motion work\n" + "\n".join(line.rstrip() for line in lines) + "\n")


def test_unequal_sums_ask_for_the_module_that_is_missing() -> None:
    # 30 + 90 = 120 and 20 + 80 = 100: the modules stand as 100 to 120
    found = figure(four("2.5 mm", "", "", ""), "motion_work.coaxial")
    assert found.value is None
    assert found.waits_for == ("motion_work.minute_pinion.module",)
    assert "must stand as 100 to 120" in found.method
    assert figure(four("", "", "", ""), "motion_work.coaxial").waits_for == (
        "motion_work.cannon_pinion.module",
        "motion_work.minute_pinion.module",
    )
    # one wheel of a pair tells of both: 120 × 2.5 = 100 × 3
    assert figure(four("", "2.5 mm", "", "3 mm"), "motion_work.coaxial").value is True
    assert figure(four("2.5 mm", "", "2.5 mm", ""), "motion_work.coaxial").value is False


# -- what a figure says that it rests on ----------------------------------------------------------


def test_a_member_of_a_gridiron_is_named_for_its_metal_and_for_its_length_apart() -> None:
    rod = "pendulum\n  beat 1 s\n  rod\n    iron 100 in down\n    brass 60 in up\n    iron 10 in down\n  bob iron\n"
    down = figure(compiled(PLACE, rod), "pendulum.compensation.down")
    said = {one.path: one.written for one in down.inputs if one.path.startswith("pendulum")}
    assert said == {
        "pendulum.rod.member (1) (material)": "iron",
        "pendulum.rod.member (1)": "100 in",
        "pendulum.rod.member (3)": "10 in",
    }


def test_a_usual_tolerance_of_what_is_known_by_nothing_is_usual_for_its_kind() -> None:
    given = figure(compiled(pair("module 4 mm")), "going.barrel_centre.module").inputs[0]
    assert (given.written, given.evidence) == ("4 mm", "unstated")
    assert given.tolerance == "± 1 % (usual for its kind)"


def test_the_fly_and_its_time_say_how_they_come_about() -> None:
    vanes = "  arbor fan\n    pinion 7\n    fly\n      vanes 2\n      arm 200 mm\n"
    vanes += "      vane length 150 mm\n      vane width 100 mm\n"
    train = striking("hours", weighing("", "3 kg", "100 mm"))
    result = compiled(PLACE, train.replace("    pinion 6\n", f"    pinion 6\n    wheel 56\n{vanes}"))
    # 78/6 × 1/13 × 56/7
    assert exact(result, "strike.fly.turns_per_blow") == 8
    for id in ("strike.fly.turns_per_blow", "strike.blow_interval"):
        assert figure(result, id).method
        assert "no source" not in figure(result, id).source


# -- sentences that hang on what is stated ---------------------------------------------------------


def test_a_barrel_wound_on_its_own_arbor_is_not_wound_through_no_wheels() -> None:
    # wound clockwise on its own square, it runs down anticlockwise; a pair between turns that over
    barrel = "train strike\n  strikes hours\n  winding by handle\n    {0}\n    clockwise\n"
    barrel += "  arbor barrel\n    barrel\n    wheel 78\n"
    direct = figure(compiled(barrel.format("direct")), "strike.barrel.sense")
    assert direct.value == "anticlockwise"
    assert "with no winding wheels between" in direct.method
    geared = figure(compiled(barrel.format("jack 12 drives 96")), "strike.barrel.sense")
    assert geared.value == "clockwise"
    assert "through 1 pair of winding wheels" in geared.method


@pytest.mark.parametrize(
    ("lock", "half", "said"),
    [
        ("lock 1 °", 1.5, "lift and the lock"),
        ("no lock", 1, "there is no lock"),
        ("", 1, "would have to be added"),
    ],
)
def test_the_escaping_arc_says_of_the_lock_what_is_true(lock: str, half: float, said: str) -> None:
    clock = escaping("escape wheel 30", f"escapement deadbeat\n  lift 2 °\n  {lock}\n")
    found = figure(compiled(*clock), "escapement.escaping_arc")
    assert found.value == pytest.approx(half)
    assert said in found.method


def test_a_rod_that_is_left_out_is_said_to_be_and_why() -> None:
    rest = (
        "pendulum\n  beat 1 s\n  bob lead\n    shape sphere\n    mass 5 kg\n    diameter 100 mm\n  rod\n    "
    )

    def said(rod: str) -> str:
        return figure(compiled(PLACE, rest + rod), "pendulum.first_moment").method

    assert "its length as a whole is not stated" in said("wood 900 mm down\n    mass 1 kg\n")
    assert "its mass cannot be had" in said("length 900 mm\n")
    assert said("length 900 mm\n    mass 1 kg\n") == ""


@pytest.mark.parametrize(
    ("winding", "what", "off"),
    [
        ("by bars\n    bars 4 of 1 m", "bars", "take the bars out"),
        ("by handle\n    handle 1 m", "handle", "take the handle off"),
    ],
)
def test_what_is_turned_is_called_by_its_name(winding: str, what: str, off: str) -> None:
    train = striking("hours").replace(
        "  arbor barrel\n", f"  winding {winding}\n    direct\n  arbor barrel\n"
    )
    force = figure(compiled(PLACE, train), "strike.winding.handle_force")
    assert force.title == f"force at the {what}"
    assert any(off in one for one in force.cautions)
    # on the barrel's own arbor: 40 kg on 105 mm, at 1 m, all on one part of the line
    assert force.value == pytest.approx(40 * 9.81 * 0.105 / 1)
