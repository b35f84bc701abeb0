"""Published motion work and the way to the hands.

B is E. Beckett, A Rudimentary Treatise on Clocks, Watches and Bells, 8th ed. 1903; C is H. H. Cunynghame,
Time and Clocks, 1906; D is W. Derham, The Artificial Clock-maker, 1696; G is W. L. Goodrich, The Modern
Clock, 1905.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from outside_reading import compiled, exact, faults, train, value


def motion(cannon: int, wheel: int, pinion: int, hour: int, *more: str, modules: str = "") -> str:
    """Motion work; `modules` gives those of the first and of the second pair in millimetres."""
    first, second = modules.split() if modules else ("", "")
    lines = ["motion work"]
    for word, count, module in (
        ("cannon pinion", cannon, first),
        ("minute wheel", wheel, first),
        ("minute pinion", pinion, second),
        ("hour wheel", hour, second),
    ):
        lines.append(f"  {word} {count}")
        if module:
            lines.append(f"    module {module} mm")
    return "\n".join((*lines, *(f"  {line}" for line in more)))


@pytest.mark.parametrize(
    ("counts", "hours", "source"),
    [
        ((48, 48, 6, 72), 12, "D p. 111: 48 and 48, 6 and 72"),
        ((30, 30, 6, 72), 12, "C ch. IV: 30 and 30, 6 and 72"),
        ((30, 90, 25, 100), 12, "B p. 224: 90 and 100 with 25 and 30"),
        ((25, 90, 30, 100), 12, "B p. 224: the pinions the other way"),
        ((24, 72, 20, 80), 12, "B p. 224: 72 and 80 with 20 and 24"),
        ((12, 48, 12, 36), 12, "D p. 63, 121: 12 and 48, 12 and 36"),
        ((20, 80, 20, 120), 24, "G p. 494: 20 and 80, 20 and 120"),
    ],
)
def test_ratio(counts: tuple[int, int, int, int], hours: int, source: str) -> None:
    result = compiled(motion(*counts, f"hours {hours}"))
    assert exact(result, "motion_work.ratio") == hours, source
    assert faults(result) == set()


def test_a_dial_of_24_hours_is_not_taken_for_twelve() -> None:
    # G p. 494: 20/80 and 20/120 are 24 to 1: on a common dial the hour hand would be half as fast
    assert faults(compiled(motion(20, 80, 20, 120))) == {"M502"}
    assert faults(compiled(motion(48, 48, 6, 72, "hours 24"))) == {"M502"}


@pytest.mark.parametrize(
    ("counts", "sums", "source"),
    [((30, 90, 25, 100), (120, 125), "B p. 224"), ((24, 72, 20, 80), (96, 100), "B p. 224")],
)
def test_two_pairs_of_unlike_sums_need_two_pitches(
    counts: tuple[int, int, int, int], sums: tuple[int, int], source: str
) -> None:
    plain = compiled(motion(*counts))
    figure = plain.figures["motion_work.coaxial"]
    assert figure.value is None, source  # it waits for the modules, and says how they must stand
    assert f"{sums[0]} and {sums[1]}" in figure.method
    assert faults(compiled(motion(*counts, modules="2 2"))) == {"M503"}
    fitting = f"2.5 {2.5 * sums[0] / sums[1]}"
    two = compiled(motion(*counts, modules=fitting))
    assert two.figures["motion_work.coaxial"].value is True
    assert faults(two) == set()


def test_a_report_that_is_rounded_is_found_out() -> None:
    # D p. 25-26: a train of 16 000 in an hour runs 20 hours and needs a report of 7.2; he takes 7
    text = train("going", "55/5 45/5 40/5", "escape wheel 17", anchor="", barrel="turns of line 12")
    text = text.replace("    wheel great 55", "    wheel great 55\n    pinion report 4")
    dial = "\n  arbor dial\n    wheel 28\n    driven by going.barrel.report\n    rate once in 12 h\n"
    result = compiled(text + dial, "escapement recoil anchor", "pendulum\n  beat 0.225 s\n")
    assert exact(result, "pendulum.beats_per_hour") == 16000
    assert exact(result, "going.train.beats_per_hour") == Fraction(7 * 26928, 12)
    assert "M501" in faults(result)
    # the true ratio of 7.2, 36 on 5, with the beats that go with it, is not found fault with
    right = text.replace("report 4", "report 5") + dial.replace("wheel 28", "wheel 36")
    beat = 3600 / (7.2 * 26928 / 12)
    result = compiled(right, "escapement recoil anchor", f"pendulum\n  beat {beat:.9f} s\n")
    assert "M501" not in faults(result)


def test_the_run_of_that_movement() -> None:
    # D p. 25-26: 12 turns at 16 000 in an hour are 20 hours (20.2)
    text = train("going", "55/5 45/5 40/5", "escape wheel 17", anchor="", barrel="turns of line 12")
    result = compiled(text, "escapement recoil anchor", "pendulum\n  beat 0.225 s\n")
    assert value(result, "going.duration.by_turns") == pytest.approx(20, abs=0.5)


def test_a_170_hour_movement_with_a_rounded_report() -> None:
    # D p. 26-28: 10, 8, 8 and 6⅗ with a crown wheel of 17, twelve turns in 170 hours; 144/170 is taken as 20/24
    text = train("going", "60/6 48/6 48/6 33/5", "escape wheel 17", anchor="", barrel="turns of line 12")
    text = text.replace("    wheel great 60", "    wheel great 60\n    wheel report 24")
    text = text.replace("arbor second\n", "arbor second\n    driven by going.barrel.great\n")
    dial = "\n  arbor dial\n    wheel 20\n    driven by going.barrel.report\n    rate once in 12 h\n"
    half_train = 71808 * 12 / 170
    beat = f"pendulum\n  beat {3600 / half_train / 2:.9f} s\n"
    result = compiled(text + dial, "escapement recoil anchor", beat)
    beats = exact(result, "going.train.beats_per_hour")
    assert beats / exact(result, "going.barrel.turns_per_hour") / 2 == 71808
    # 20/24 is 1.62 per cent off 72/85
    assert value(result, "going.train.error_per_day") / 86400 == pytest.approx(0.0165, abs=0.0003)
    assert "M501" in faults(result)


@pytest.mark.parametrize(
    ("way", "source"),
    [
        ("bevel 60 drives 20 on far side", "G p. 258: from a great wheel of 3 h by bevels of 3 to 1"),
        ("gear 120 drives 40", "B p. 185; G p. 260: a wheel of 40 on the great wheel of 120"),
    ],
)
def test_hands_from_a_great_wheel_of_three_hours(way: str, source: str) -> None:
    text = train("going", "120/10 90/10 75/9", "legs 3 double", anchor="barrel once in 3 h")
    leading = f"leading off\n  from going.barrel\n  {way}\n"
    result = compiled(text, "escapement gravity", leading, "dial north\n", motion(30, 90, 25, 100))
    assert exact(result, "dial.north.minute_hand.turns_per_hour") == 1, source
    assert exact(result, "dial.north.hour_hand.turns_per_hour") == Fraction(1, 12)
    assert "M505" not in faults(result)


def test_bevels_of_the_wrong_number_are_found_out() -> None:
    # the same clock with equal bevels: the minute hand would go round once in three hours
    text = train("going", "120/10 90/10 75/9", "legs 3 double", anchor="barrel once in 3 h")
    leading = "leading off\n  from going.barrel\n  bevel 48 drives 48 on far side\n"
    result = compiled(text, "escapement gravity", leading, "dial north\n", motion(30, 90, 25, 100))
    assert exact(result, "dial.north.minute_hand.turns_per_hour") == Fraction(1, 3)
    assert "M505" in faults(result)


# -- Hooke joints ------------------------------------------------------
@pytest.mark.parametrize(
    ("angle", "error"),
    [
        # largest error of the driven shaft in degrees, by vector geometry (scipy.spatial.transform.Rotation)
        (5, 0.109222),
        (10, 0.438561),
        (20, 1.781682),
        (25, 2.817138),
        (30, 4.117194),
        (35, 5.705388),
    ],
)
def test_unevenness_of_a_joint(angle: int, error: float) -> None:
    text = train("going", "64/8 60/8", "escape wheel 30")
    leading = (
        'leading off\n  from going.barrel\n  shaft "rise"\n    runs up\n'
        f"    universal joint\n      angle {angle} °\n"
    )
    result = compiled(text, leading, "dial north\n")
    found = [figure for id, figure in result.figures.items() if id.endswith(".unevenness")]
    if not found:
        pytest.skip("no figure of a joint's unevenness yet")
    worst = found[0]
    assert isinstance(worst.value, float)
    degrees = {"deg": 1.0, "°": 1.0, "arcmin": 1 / 60, "min": 6.0, "s": 0.1}[worst.unit]
    assert worst.value * degrees == pytest.approx(error, rel=1e-4)
