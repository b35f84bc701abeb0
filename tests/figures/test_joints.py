"""Universal joints against published errors, and against the geometry of their pins worked out in space."""

from __future__ import annotations

import math

import numpy as np
import pytest
from figure_texts import compiled, figure, going, value
from scipy.spatial.transform import Rotation

HAND = "dial\n  minute hand\n    length 1 m\n"
EXACT = "± 0 °"


def way(*joints: tuple[str, str], before: str = "", between: str = "", after: str = "") -> str:
    """A leading off: pairs before, joints (angle, forks) each at the end of a shaft, pairs between them and after."""
    lines = ["leading off", "  from going.centre"]
    lines += [f"  {before}"] if before else []
    for number, (angle, forks) in enumerate(joints):
        if number and between:
            lines.append(f"  {between}")
        lines += [f"  shaft s{number}", "    universal joint", f"      angle {angle} {EXACT}"]
        lines += [f"      forks {forks}"] if forks else []
    lines += [f"  {after}"] if after else []
    return "\n".join(lines) + "\n"


def joint(number: int = 0) -> str:
    return f"leading_off.s{number}.universal_joint"


# The largest error by three ways (two closed forms, a search), degrees and seconds on a shaft once an hour.
@pytest.mark.parametrize(
    ("angle", "degrees", "seconds"),
    [
        (5, 0.109222, 1.092),
        (10, 0.438561, 4.386),
        (20, 1.781682, 17.817),
        (25, 2.817138, 28.171),
        (30, 4.117194, 41.172),
        (35, 5.705388, 57.054),
        (45, 9.879282, 98.793),
    ],
)
def test_the_error_of_one_joint(angle: int, degrees: float, seconds: float) -> None:
    result = compiled(going(), way((f"{angle} °", "")), HAND)
    assert value(result, f"{joint()}.unevenness") == pytest.approx(degrees, abs=1e-6)
    assert value(result, f"{joint()}.unevenness_at_dial") == pytest.approx(seconds, abs=1e-3)
    assert "leading_off.unevenness" not in result.figures  # with one joint there is nothing to put together


def pins_in_space(angles: tuple[float, float], crossed: bool, back: bool) -> float:
    """The largest error in degrees of two joints, by their pins as vectors; nothing of the formulas is in here.

    Three shafts in the plane x-y; `back`: the last runs parallel to the first again,
    else it bends on the same way. The pin of each driven fork is square to its own shaft and to
    the pin that drives it.
    """
    one, two = (math.radians(angle) for angle in angles)
    first = np.array([1.0, 0.0, 0.0])
    middle = Rotation.from_rotvec([0, 0, one]).apply(first)
    last = Rotation.from_rotvec([0, 0, -two if back else two]).apply(middle)
    turned: list[float] = []
    for degrees in np.arange(0.0, 360.0, 0.25):
        pin = Rotation.from_rotvec(first * math.radians(degrees)).apply(np.array([0.0, 0.0, 1.0]))
        for shaft, quarter in ((middle, crossed), (last, False)):
            pin = np.cross(shaft, pin)
            pin /= np.linalg.norm(pin)
            if quarter:
                pin = Rotation.from_rotvec(shaft * math.pi / 2).apply(pin)
        across = np.cross(last, [0.0, 0.0, 1.0])
        turned.append(math.atan2(float(pin @ across), float(pin @ np.array([0.0, 0.0, 1.0]))))
    whole = np.unwrap(turned)
    error = whole * (1 if whole[-1] > whole[0] else -1) - np.radians(np.arange(0.0, 360.0, 0.25))
    error -= math.pi / 2 * round(float(error.mean()) / (math.pi / 2))  # counted from the nearest quarter turn
    return math.degrees(float(np.abs(error).max()))


@pytest.mark.parametrize("back", [True, False])
@pytest.mark.parametrize("angles", [(8.0, 8.0), (20.0, 20.0), (12.0, 20.0), (30.0, 5.0)])
@pytest.mark.parametrize("forks", ["in line", "crossed"])
def test_two_joints_against_their_pins(angles: tuple[float, float], forks: str, back: bool) -> None:
    result = compiled(going(), way((f"{angles[0]} °", forks), (f"{angles[1]} °", forks)), HAND)
    found = value(result, "leading_off.unevenness")
    assert found == pytest.approx(pins_in_space(angles, forks == "crossed", back), abs=2e-4)
    assert value(result, "leading_off.unevenness_at_dial") == pytest.approx(10 * found)


@pytest.mark.parametrize(
    ("bent", "turned", "driven"),
    [(20.0, 30.0, 28.481238281), (30.0, 45.0, 40.893394649), (25.0, 60.0, 57.501415129)],
)
def test_the_pins_themselves(bent: float, turned: float, driven: float) -> None:
    # vector geometry published beside atan(tan(in) cos b), to nine decimals: the check of the check above
    assert math.degrees(math.atan(math.tan(math.radians(turned)) * math.cos(math.radians(bent)))) == (
        pytest.approx(driven, abs=1e-9)
    )
    axis = Rotation.from_euler("z", bent, degrees=True).apply([1.0, 0.0, 0.0])
    pin = Rotation.from_rotvec(np.array([1.0, 0.0, 0.0]) * math.radians(turned)).apply([0.0, 0.0, 1.0])
    other = np.cross(axis, pin)
    other /= np.linalg.norm(other)
    flat = np.cross(axis, [0.0, 0.0, 1.0])  # in the plane of the shafts
    assert math.degrees(math.atan2(float(other @ [0, 0, 1.0]), float(other @ flat))) in (
        pytest.approx(driven, abs=1e-8),
        pytest.approx(-driven, abs=1e-8),
    )


def test_equal_joints_with_forks_in_line_cancel() -> None:
    # E. Beckett, Clocks, Watches and Bells, 1903, p. 225: even where the oblique rod lies between parallel ones
    result = compiled(going(), way(("8 °", "in line"), ("8 °", "in line")), HAND)
    assert value(result, "leading_off.unevenness") == pytest.approx(0, abs=1e-12)


def test_crossed_forks_double_it_nearly() -> None:
    result = compiled(going(), way(("8 °", "crossed"), ("8 °", "")), HAND)
    assert value(result, "leading_off.unevenness") == pytest.approx(
        2 * value(result, f"{joint()}.unevenness"), rel=1e-3
    )


def test_forks_that_are_not_stated_are_taken_at_their_worst() -> None:
    unsaid = compiled(going(), way(("8 °", ""), ("8 °", "")), HAND)
    crossed = compiled(going(), way(("8 °", "crossed"), ("8 °", "crossed")), HAND)
    id = "leading_off.unevenness"
    assert value(unsaid, id) == value(crossed, id)
    assert "not stated" in figure(unsaid, id).method
    assert "one plane" in figure(unsaid, id).method


def test_unequal_angles_leave_something() -> None:
    result = compiled(going(), way(("8 °", "in line"), ("6 °", "in line")), HAND)
    # (cos 6° - cos 8°)/(cos 6° + cos 8°) = 0.0042538/1.9847900, on paper
    assert value(result, "leading_off.unevenness") == pytest.approx(
        math.degrees(0.0042538 / 1.9847900), abs=2e-5
    )


def test_a_faster_shaft_moves_the_hand_less() -> None:
    # twice an hour up to the joint, geared down behind it
    plain = compiled(going(), way(("10 °", "")), HAND)
    fast = compiled(going(), way(("10 °", ""), before="bevel 48 drives 24", after="bevel 24 drives 48"), HAND)
    slow = compiled(going("once in 4 h"), way(("10 °", ""), after="bevel 80 drives 20"), HAND)
    id = f"{joint()}.unevenness_at_dial"
    assert value(fast, id) == pytest.approx(value(plain, id) / 2)
    assert value(slow, id) == pytest.approx(value(plain, id) * 4)
    assert value(plain, id) == pytest.approx(4.386, abs=1e-3)


def test_wheels_between_two_joints_keep_them_from_cancelling() -> None:
    result = compiled(
        going(), way(("10 °", "in line"), ("10 °", "in line"), between="bevel 40 drives 40"), HAND
    )
    assert "leading_off.unevenness" not in result.figures
    assert value(result, "leading_off.unevenness_at_dial") == pytest.approx(2 * 4.38561, abs=1e-4)


def test_joints_without_a_name_are_told_apart() -> None:
    text = "leading off\n  from going.centre\n  universal joint\n    angle 8 °\n  universal joint\n    angle 12 °\n"
    result = compiled(going(), text, HAND)
    first, second = "leading_off.universal_joint", "leading_off.universal_joint_2"
    assert value(result, f"{first}.unevenness") < value(result, f"{second}.unevenness")
    assert figure(result, "leading_off.unevenness").value


def test_what_is_not_known_is_waited_for() -> None:
    text = "leading off\n  from going.centre\n  universal joint\n    angle ?\n"
    found = figure(compiled(going(), text, HAND), "leading_off.universal_joint.unevenness")
    assert found.waits_for == ("leading_off.universal_joint.angle",)
    assert not any(id.endswith("unevenness") for id in compiled(going(), HAND).figures)
