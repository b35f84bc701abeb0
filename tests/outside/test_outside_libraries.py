"""Figures beside what libraries of other trades make of the same: uncertainty, air, dates."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any

import pytest
from countwheel import zones
from countwheel.figures import compensation, fly
from outside_reading import FOOT, INCH, POUND, compiled

GTC = pytest.importorskip("GTC")
tz = pytest.importorskip("dateutil.tz")

FALL = """
clock "A barrel with a fall"
  place
    gravity 9.81 m/s²

train going
  arbor barrel
    barrel
      diameter 10 in ± 1/8 in
      length 20 in
      line
        diameter 8 mm ± 0.3 mm
      weight 200 lb ± 2 lb
      parts 2
      fall 38 ft ± 6 in
      turns of line 30
    wheel great 144
  arbor centre
    pinion 12
    rate once an hour
"""


def test_uncertainty_with_what_is_common_to_several_inputs() -> None:
    # GTC (Measurement Standards Laboratory of New Zealand): uncertain numbers that know their influences.
    # ± is a half width, so its standard uncertainty is that over √3 (JCGM 100:2008, 4.3.7).
    def given(value: float, half_width: float) -> Any:
        return GTC.ureal(value, half_width / math.sqrt(3))

    barrel, line = given(10 * INCH, INCH / 8), given(0.008, 0.0003)
    weight, fall = given(200 * POUND, 2 * POUND), given(38 * FOOT, 6 * INCH)
    radius = (barrel + line) / 2
    turn = math.pi * (barrel + line)
    torque = weight * 9.81 * radius / 2
    hours = fall / (turn / 2) * 12
    joules = torque * 2 * math.pi * 2  # two turns a day; the barrel's radius is in both factors
    figures = compiled(FALL).figures
    for id, by_gtc in (
        ("going.barrel.effective_radius", 1000 * radius),
        ("going.line.travel_per_turn", turn),
        ("going.barrel.torque.ideal", torque),
        ("going.duration.by_fall", hours),
        ("going.energy.per_day", joules),
    ):
        figure = figures[id]
        assert figure.value == pytest.approx(GTC.value(by_gtc)), id
        assert figure.uncertainty == pytest.approx(GTC.uncertainty(by_gtc), rel=1e-6), id


def test_moist_air() -> None:
    # CoolProp (I. Bell and others, Ind. Eng. Chem. Res. 53, 2014, 2498-2508), humid air after ASHRAE RP-1485:
    # volume for one kilogram of it at 20 °C, 1013.25 hPa and half saturation.
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    density = 1 / coolprop.HAPropsSI("Vha", "T", 293.15, "P", 101325, "R", 0.5)
    assert density == pytest.approx(compensation.AIR_DENSITY, rel=5e-4)
    assert density == pytest.approx(fly.AIR, rel=2e-3)
    # a cold damp tower and a hot dry one stay within twice the uncertainty that is given
    for kelvin, saturation in ((273.15, 0.9), (303.15, 0.3)):
        away = 1 / coolprop.HAPropsSI("Vha", "T", kelvin, "P", 101325, "R", saturation)
        assert abs(away - compensation.AIR_DENSITY) < 2.3 * compensation.AIR_DENSITY_U


@pytest.mark.parametrize(
    "name", ["Europe/London", "Europe/Lisbon", "America/New_York", "Australia/Lord_Howe"]
)
@pytest.mark.parametrize("year", [1968, 1995, 2024])
def test_days_of_changed_clocks(name: str, year: int) -> None:
    # dateutil's own reading of the time zone database, hour by hour through the year
    here = tz.gettz(name)
    moment, end = datetime(year, 1, 1), datetime(year + 1, 1, 1)
    utc = tz.UTC

    def offset(at: datetime) -> timedelta:
        found = at.replace(tzinfo=utc).astimezone(here).utcoffset()
        assert found is not None
        return found

    seen = []
    while moment < end:
        after = moment + timedelta(minutes=30)
        step = offset(after) - offset(moment)
        if step:
            seen.append(((after + offset(moment)).date(), int(step.total_seconds() // 60)))
        moment = after
    assert [(change.day, change.by) for change in zones.changes(name, year)] == seen
