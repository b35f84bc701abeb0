"""Clocks for the tests of torque, escapement and arc, from the written description on."""

from __future__ import annotations

import math
from pathlib import Path

from countwheel.api import Result, check_text, compile_file
from countwheel.figures.record import Figure

SPECS = Path(__file__).parent.parent.parent / "specs"
DEMOS = ("penquay-harbour-office", "marlsted-corn-hall", "vaubrune-gate")
G = 9.81
DEGREE = math.pi / 180
INCH = 0.0254
FOOT = 0.3048
POUND = 0.45359237
FOOT_POUND = FOOT * POUND * 9.80665

PLACE = f"""
clock "A clock"
  place "Somewhere"
    gravity {G} m/s²
"""

# 96/8, 64/8, 60/8 and 30 teeth: a seconds pendulum; the barrel, 20 cm with its line, turns in 12 hours.
# With four legs, which make 8 beats in a turn, a third wheel of 450 (and no matter that nobody cut one).
TRAIN = """
train going
  {train}
  arbor barrel
    barrel
      diameter 198 mm
      line
        diameter 2 mm
      parts 1
      turns of line 16
      fall 30 m
      weight {weight} kg
      pulley lead
        fixed
        efficiency 100 %
    wheel great 96
      {teeth}
  arbor centre
    pinion 8
    wheel 64
    rate once an hour
  arbor third
    pinion 8
    wheel {third}
  arbor escape
    pinion 8
    {wheel}
"""


def compiled(*blocks: str) -> Result:
    """A description of these blocks; a slip in the writing of it fails the test at once.

    That its counts do not fit its beat, and the like, is no slip of the writing.
    """
    result = check_text("countwheel 1\n\n" + PLACE + "\n".join(blocks))
    slips = [
        f"{one.code} {one.message}"
        for one in result.diagnostics
        if one.severity == "error" and not one.code.startswith("M5")
    ]
    assert not slips, slips
    return result


def going(
    weight: float = 10,
    train: str = "efficiency of a mesh 90 %",
    teeth: str = "",
    wheel: str = "escape wheel 30",
) -> str:
    third = 450 if wheel.startswith("legs 4") else 60
    return TRAIN.format(weight=weight, train=train, teeth=teeth, wheel=wheel, third=third)


def demo(name: str) -> Result:
    return compile_file(SPECS / name)


def figure(result: Result, id: str) -> Figure:
    found = result.figures.get(id)
    assert found is not None, f"no figure {id}"
    return found


def value(result: Result, id: str) -> float:
    found = figure(result, id)
    assert isinstance(found.value, float), (
        f"{id} is {found.value!r}, waits for {found.waits_for}, {found.cautions}"
    )
    return found.value
