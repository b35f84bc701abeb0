"""Sizes of new wheels and pinions against handbooks, an independent epicycloid, and the geometry of a pair."""

from __future__ import annotations

import math

import mpmath
import pytest
from countwheel.figures.cutting import figures_of
from countwheel.figures.epicycloid import epicycloid_tip, trundle_tip
from countwheel.figures.record import Figure
from countwheel.figures.replacing import parts_of
from figure_texts import compiled, figure, value
from hypothesis import given, settings
from hypothesis import strategies as st

WHEEL, PINION = "going.one.wheel.replacement", "going.two.pinion.replacement"


def pair(
    wheel: int | str, pinion: int | str, wheel_facts: str = "", pinion_facts: str = "", arbor_facts: str = ""
) -> str:
    """A wheel that drives a pinion; facts are lines, parted by `;`."""

    def lines(facts: str, deep: int) -> str:
        return "".join(f"{' ' * deep}{fact.strip()}\n" for fact in facts.split(";") if fact.strip())

    return (
        f"train going\n  arbor one\n    wheel {wheel}\n{lines(wheel_facts, 6)}"
        f"  arbor two\n    pinion {pinion}\n{lines(pinion_facts, 6)}{lines(arbor_facts, 4)}"
    )


def sizes(path: str, text: str) -> dict[str, Figure]:
    """The figures of any part, also of one that nothing is amiss with, by the end of their ids."""
    clock = compiled(text).clock
    assert clock is not None
    (part,) = (part for part in parts_of(clock) if part.path == path)
    own = f"{path}.replacement."
    return {
        id.removeprefix(own): found for id, found in figures_of(clock, part).items() if id.startswith(own)
    }


def mm(found: Figure) -> float:
    assert isinstance(found.value, float), found.waits_for
    return found.value


# -- handbooks -------------------------------------------------------------------------------


# The blank of a wheel is (N + 2.76) M, of pinions of 6, 7, 8 leaves 7.71, 8.71, 9.71 M, of 10, 12, 16 leaves 11.61,
# 13.61, 17.61 M: list of stock cutters, clock-works.clara.net/cata/wnpc3.html; the allowances 2.76, 1.71 and 1.61
# again at timekeepersworkbench.com/techinfo.
@pytest.mark.parametrize(
    ("leaves", "blank", "depth"),
    [
        (6, 7.71, 1.58),
        (7, 8.71, 1.85),
        (8, 9.71, 1.90),
        (10, 11.61, 2.05),
        (12, 13.61, 2.10),
        (16, 17.61, 2.10),
    ],
)
def test_sizes_by_a_stock_cutter(leaves: int, blank: float, depth: float) -> None:
    text = pair(60, leaves, "module 3 mm; tooth form stock cutter")
    made = sizes("going.two.pinion", text)
    assert mm(made["outside_diameter"]) == pytest.approx(3 * blank)
    assert mm(made["root_diameter"]) == pytest.approx(3 * (leaves - 2 * depth))
    assert mm(made["tooth_thickness"]) == pytest.approx(3 * (1.05 if leaves < 10 else 1.25))
    wheel = sizes("going.one.wheel", text)
    assert mm(wheel["outside_diameter"]) == pytest.approx(3 * 62.76)
    assert mm(wheel["tooth_depth"]) == pytest.approx(3 * 2.95)  # full depth 2.95 M, same list


def test_a_count_of_leaves_that_the_list_does_not_have_gets_no_depth() -> None:
    made = sizes("going.two.pinion", pair(60, 9, "module 3 mm; tooth form stock cutter"))
    assert mm(made["outside_diameter"]) == pytest.approx(3 * 10.71)
    assert not {"root_diameter", "tooth_depth"} & set(made)


# W. L. Goodrich, The Modern Clock, 1905, page 216: 96 teeth on a pitch circle of 3 in are 32 to the inch; for the
# diameter over all add 2/32; a pinion of 8 is .25 in. His addendum of one module is that of the involute's basic rack.
def test_diametral_pitch_after_goodrich() -> None:
    text = pair(96, 8, "diametral pitch 32 per inch; tooth form involute")
    wheel, pinion = sizes("going.one.wheel", text), sizes("going.two.pinion", text)
    assert mm(wheel["pitch_diameter"]) / 25.4 == pytest.approx(3)
    assert mm(wheel["outside_diameter"]) / 25.4 == pytest.approx(3.0625)
    assert mm(pinion["pitch_diameter"]) / 25.4 == pytest.approx(0.25)
    assert mm(pinion["outside_diameter"]) / 25.4 == pytest.approx(0.3125)


# Tip diameter d + 2m, root diameter d - 2.5m: nbviewer.org, drivetrainhub/notebooks-gears, chapter 2.
def test_involute_tip_and_root() -> None:
    made = sizes("going.one.wheel", pair(80, 20, "module 2 mm; tooth form involute"))
    assert mm(made["outside_diameter"]) == pytest.approx(164)
    assert mm(made["root_diameter"]) == pytest.approx(155)


# W. Derham, The Artificial Clock-maker, 1696, pages 69-70: a wheel of 60 teeth 2 in across, a pinion of 6 .2 in.
def test_size_of_a_pinion_after_derham() -> None:
    made = sizes("going.two.pinion", pair(60, 6, "pitch diameter 2 in"))
    assert mm(made["pitch_diameter"]) / 25.4 == pytest.approx(0.2)


# W. L. Goodrich, The Modern Clock, 1905, page 492: a regulator's wheels, cut with one cutter: 144 teeth 3.40 in,
# 96 teeth 2.26 in, 90 teeth 2.11 in.
@pytest.mark.parametrize(("teeth", "inches"), [(96, 2.26), (90, 2.11)])
def test_wheels_of_one_cutter(teeth: int, inches: float) -> None:
    made = sizes("going.one.wheel", pair(144, 12, "pitch diameter 3.40 in"))
    assert mm(made["module"]) * teeth / 25.4 == pytest.approx(inches, abs=0.02)


# W. L. Goodrich, The Modern Clock, 1905, pages 213-214: the height of a wheel's teeth above the pitch circle is 5/12 of
# the pitch radius of a pinion of 6, 2/5 of one of 7, 7/20 of one of 8: 1.25, 1.40 and 1.40 modules. His are rules of
# thumb. (His rule for 9 is out of line with these, and that for 10 is for a thinner leaf.)
@pytest.mark.parametrize(("leaves", "modules"), [(6, 1.25), (7, 1.40), (8, 1.40)])
def test_height_of_a_wheels_teeth_after_goodrich(leaves: int, modules: float) -> None:
    made = sizes("going.one.wheel", pair(60, leaves, "module 1 mm"))
    assert (mm(made["outside_diameter"]) - 60) / 2 == pytest.approx(modules, rel=0.06)


# The same place: leaves rounded, about half the width of a leaf outside the pitch circle; with 8 leaves the space is
# twice the leaf and half as deep as the pinion's total radius.
def test_leaves_after_goodrich() -> None:
    made = sizes("going.two.pinion", pair(60, 8, "module 1 mm"))
    outside, thickness = mm(made["outside_diameter"]), mm(made["tooth_thickness"])
    assert thickness == pytest.approx(mm(made["circular_pitch"]) / 3)
    assert (outside - 8) / 2 == pytest.approx(thickness / 2)
    assert mm(made["tooth_depth"]) == pytest.approx(outside / 4, rel=0.06)


# -- the curve -------------------------------------------------------------------------------


def pointed(teeth: int, leaves: int, share: float) -> mpmath.mpf:
    """The height in modules, by complex numbers and a root of mpmath: another way than the one under test."""
    R, r = mpmath.mpf(teeth) / 2, mpmath.mpf(leaves) / 4

    def at(u: mpmath.mpf) -> mpmath.mpc:
        return (R + r) * mpmath.expj(u) - r * mpmath.expj((1 + R / r) * u)

    def over(u: mpmath.mpf) -> mpmath.mpf:
        return mpmath.arg(at(u)) - mpmath.pi * share / teeth

    reached = next(step for step in (n * mpmath.mpf("0.001") for n in range(1, 4000)) if over(step) > 0)
    u = mpmath.findroot(over, (reached - mpmath.mpf("0.001"), reached), "anderson")
    return abs(at(u)) - R


@pytest.mark.parametrize("teeth", [8, 20, 64, 144])
@pytest.mark.parametrize("leaves", [6, 8, 16, 90])
def test_height_of_a_pointed_tooth(teeth: int, leaves: int) -> None:
    for share in (0.5, 0.4):
        expected = float(pointed(teeth, leaves, share))
        assert epicycloid_tip(teeth / 2, leaves / 4, share) == pytest.approx(expected, rel=1e-9)


def test_a_wheel_for_trundles_as_thin_as_a_line() -> None:
    """Such a wheel's teeth fill the whole pitch, and their flanks are the epicycloid itself."""
    assert trundle_tip(32, 4, 0.0) == pytest.approx(epicycloid_tip(32, 4, 1.0), rel=1e-12)
    assert trundle_tip(32, 4, 0.8) > trundle_tip(32, 4, 1.6)


def test_a_tooth_for_trundles_touches_a_trundle_all_the_way() -> None:
    """Turned together, the trundle's circle never cuts into the tooth whose tip is worked out here."""
    teeth, trundles, across = 64, 8, 1.5
    R, r = teeth / 2, trundles / 2
    tip = R + trundle_tip(R, r, across)
    middle = math.pi / (2 * R)
    near = min(
        abs(
            tip * complex(math.cos(middle + turn), math.sin(middle + turn))
            - (R + r - r * complex(math.cos(turn * R / r), -math.sin(turn * R / r)))
        )
        for turn in (step * 1e-5 for step in range(-30000, 30000))
    )
    assert near == pytest.approx(across / 2, rel=1e-4)


# -- the ways to the module ------------------------------------------------------------------


@given(
    st.integers(24, 180),
    st.integers(6, 24),
    st.floats(0.5, 12).map(lambda x: round(x, 3)),
    st.sampled_from(["cycloidal", "involute", "stock cutter"]),
)
@settings(max_examples=60, deadline=None)
def test_pitch_circles_touch_and_every_way_leads_to_the_same_module(
    teeth: int, leaves: int, module: float, form: str
) -> None:
    """A pair that fits: what is had from either part, or from the distance, is the other."""
    distance = module * (teeth + leaves) / 2
    by_distance = pair(
        teeth, leaves, f"tooth form {form}", "", f"centre distance {distance:.9f} mm to going.one"
    )
    wheel, pinion = sizes("going.one.wheel", by_distance), sizes("going.two.pinion", by_distance)
    for made in (wheel, pinion):
        assert mm(made["module"]) == pytest.approx(module, rel=1e-6)
        radii = (mm(made["pitch_diameter"]) + mm(made["mate_pitch_diameter"])) / 2
        assert radii == pytest.approx(distance, rel=1e-6)
        assert mm(made["centre_distance"]) == pytest.approx(distance, rel=1e-6)
        assert mm(made["circular_pitch"]) == pytest.approx(math.pi * module, rel=1e-6)
    # the tips of either stay clear of the other's roots
    for one, other in ((wheel, pinion), (pinion, wheel)):
        if "root_diameter" in other:
            assert mm(one["outside_diameter"]) + mm(other["root_diameter"]) < 2 * distance
    over = mm(pinion["outside_diameter"])
    by_mate = pair(teeth, leaves, f"tooth form {form}", f"outside diameter {over:.9f} mm")
    assert mm(sizes("going.one.wheel", by_mate)["module"]) == pytest.approx(module, rel=1e-6)


def test_the_ways_are_compared_against_their_uncertainties() -> None:
    result = compiled(
        pair(
            64,
            8,
            "module 3 mm ± 0.03 mm; condition worn",
            "module 3 mm; outside diameter 27.2 mm ± 0.1 mm",
            "centre distance 109 mm ± 0.2 mm to going.one",
        )
    )
    assert value(result, f"{WHEEL}.module") == pytest.approx(3)
    assert figure(result, f"{WHEEL}.module").uncertainty == pytest.approx(0.03 / math.sqrt(3))
    assert value(result, f"{WHEEL}.module.by_mate_diameter") == pytest.approx(27.2 / (8 + math.pi / 3))
    apart = figure(result, f"{WHEEL}.module.by_centres.difference")
    assert apart.value == pytest.approx(2 * 109 / 72 - 3)
    assert apart.uncertainty == pytest.approx(math.hypot(0.03, 2 * 0.2 / 72) / math.sqrt(3))
    assert "cycloidal" in {one.written for one in figure(result, f"{WHEEL}.outside_diameter").inputs}
    assert figure(result, f"{WHEEL}.outside_diameter").standing == "assumed"


def test_an_internal_pair_stands_by_the_difference() -> None:
    text = pair("internal 60", 12, "module 2 mm")
    assert mm(sizes("going.one.wheel", text)["centre_distance"]) == pytest.approx(48)
    assert mm(sizes("going.two.pinion", text)["centre_distance"]) == pytest.approx(48)
    assert "outside_diameter" not in sizes("going.one.wheel", text)


def test_a_lantern_pinion_by_its_trundles() -> None:
    made = sizes("going.two.pinion", pair(64, "lantern 8", "module 3 mm", "trundle diameter 4.5 mm"))
    assert (mm(made["outside_diameter"]), mm(made["root_diameter"])) == pytest.approx((28.5, 19.5))
    over = pair(64, "lantern 8", "", "trundle diameter 4.5 mm; outside diameter 28.5 mm")
    wheel = sizes("going.one.wheel", over)
    assert mm(wheel["module"]) == pytest.approx(3)
    assert mm(wheel["outside_diameter"]) == pytest.approx(3 * (64 + 2 * 0.95 * trundle_tip(32, 4, 1.5)))


def test_how_well_it_must_be_measured() -> None:
    """With the distance out by no more than that, the new pitch circle is out by a twentieth of a module."""
    made = sizes("going.one.wheel", pair(64, 8, "", "", "centre distance 108 mm to going.one"))
    far = mm(made["centre_distance.enough"])
    assert (2 * (108 + far) / 72 - 3) * 64 / 2 == pytest.approx(3 / 20)
    # of a pinion, whose circle moves little, the pitch is the narrower limit: a hundredth
    made = sizes("going.two.pinion", pair(64, 8, "", "", "centre distance 108 mm to going.one"))
    assert mm(made["centre_distance.enough"]) == pytest.approx(1.08)


# -- which parts -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("facts", "reason"),
    [
        ("condition worn", "worn"),
        ("condition 'two teeth broken'", "worn"),
        ("condition 'not worn'", None),
        ("condition 'hardly worn, one tooth cracked'", "worn"),
        ("condition 'no tooth is broken'", None),
        ("condition 'good'", None),
        ("remains 39 of 64", "partly gone"),
        ("remains 64 of 64", None),
        ("module 3 mm", None),
    ],
)
def test_what_is_to_be_made_anew(facts: str, reason: str | None) -> None:
    clock = compiled(pair(64, 8, facts.replace("'", '"'))).clock
    assert clock is not None
    assert [part.reason for part in parts_of(clock)] == [reason, None]
    assert any(id.startswith(WHEEL) for id in compiled(pair(64, 8, facts.replace("'", '"'))).figures) is bool(
        reason
    )


def test_a_lost_part_waits_for_its_count_and_what_would_tell_its_module() -> None:
    result = compiled(pair("? 60..84 lost", 8))
    assert figure(result, f"{WHEEL}.module").waits_for == ("going.two.pinion.outside_diameter",)
    assert "going.one.wheel" in figure(result, f"{WHEEL}.outside_diameter").waits_for
    told = compiled(pair("? 60..84 lost", 8, "", "", "centre distance 108 mm to going.one"))
    assert figure(told, f"{WHEEL}.module").waits_for == ("going.one.wheel",)


def test_a_part_of_which_some_is_left_has_its_count_from_the_remains() -> None:
    made = sizes(
        "going.one.wheel", pair("?", 8, "remains 39 of 64", "", "centre distance 108 mm to going.one")
    )
    assert mm(made["module"]) == pytest.approx(3)


def test_a_worm_gets_no_sizes() -> None:
    assert not sizes("going.one.wheel", pair("worm 1", 40, "starts 1"))


def motion_work(*lines: str) -> str:
    return "motion work\n" + "".join(f"  {line}\n" for line in lines)


def test_wheels_of_the_motion_work() -> None:
    work = motion_work(
        "cannon pinion 30", "  module 2 mm", "minute wheel 90 lost", "minute pinion 24", "hour wheel 96 lost"
    )
    result = compiled(work)
    wheel = "motion_work.minute_wheel.replacement"
    assert value(result, f"{wheel}.pitch_diameter") == pytest.approx(180)
    assert value(result, f"{wheel}.centre_distance") == pytest.approx(120)
    # the pinion drives here: the wheel's teeth only need a rounding, a quarter of the pitch (2π mm) high
    assert value(result, f"{wheel}.outside_diameter") == pytest.approx(180 + math.pi)
    cannon = sizes("motion_work.cannon_pinion", work)
    assert (mm(cannon["outside_diameter"]) - 60) / 4 == pytest.approx(0.95 * epicycloid_tip(15, 22.5, 0.4))
    waits = figure(result, "motion_work.hour_wheel.replacement.module").waits_for
    assert waits == ("motion_work.minute_pinion.outside_diameter",)


def test_one_pair_for_motion_work() -> None:
    work = motion_work(
        "cannon pinion 8", "  module 2 mm", "no minute wheel", "no minute pinion", "hour wheel 96 lost"
    )
    assert value(compiled(work), "motion_work.hour_wheel.replacement.centre_distance") == pytest.approx(104)
