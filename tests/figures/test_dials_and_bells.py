"""Joints, play, hands, summer time, striking and chiming in the demo clocks: every printed working recomputes."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from countwheel.api import Result, compile_file
from countwheel.figures import rounding, typography
from countwheel.figures.formula import formula
from countwheel.figures.record import Figure
from countwheel.figures.units import ANGLES, UNITS
from figure_reading import number

SPECS = Path(__file__).parent.parent.parent / "specs"
DEMOS = ("penquay-harbour-office", "marlsted-corn-hall", "tarnholt-ropewalk", "vaubrune-gate")
OURS = re.compile(
    r"unevenness|play_|imbalance|counterpoise|wind_|proportion|summer_time|quarters\.|share_of_energy|at_worst"
    r"|per_winding$|\.fly\.(speed|work)|_interval$|pinning|divisions|sequence|blows_per_day$"
)
IN_DEGREES = {"deg": 57.29577951308232, "arcmin": 3437.746770784939}


@cache
def demo(name: str) -> Result:
    return compile_file(SPECS / name)


FOUND = [(name, one) for name in DEMOS for one in demo(name).figures.values() if OURS.search(one.id)]
ANY = pytest.mark.parametrize(
    "one", [one for _, one in FOUND], ids=[f"{name[:4]}-{one.id}" for name, one in FOUND]
)


def test_the_demos_have_them() -> None:
    ids = {one.id for _, one in FOUND}
    assert len(FOUND) > 90
    for id in (
        *("leading_off.unevenness", "dial.north.play_at_tip", "dial.east.minute_hand.wind_share"),
        *("dial.gate.hour_hand.imbalance_torque", "setting.summer_time", "quarters.fit", "strike.fly.speed"),
        *(
            "chime.barrel.pinning",
            "chime.sequence_over_12h",
            "chime.share_of_energy",
            "strike.duration.at_worst",
        ),
    ):
        assert id in ids


@ANY
def test_the_printed_working_gives_what_is_printed(one: Figure) -> None:
    if not one.substitution:
        return
    worked = number(one.substitution) * IN_DEGREES.get(one.unit, 1.0)
    assert (one.unit in IN_DEGREES) == (one.unit in ANGLES)
    if one.exact is not None:
        assert worked == pytest.approx(float(one.exact), rel=1e-12)
        return
    assert isinstance(one.value, float)
    places = len(one.shown.partition(".")[2])
    if one.uncertainty:
        places = rounding.places_for(one.value, one.uncertainty)
    assert rounding.result_text(worked, places, not one.uncertainty) == one.shown


@ANY
def test_every_record_is_whole(one: Figure) -> None:
    assert re.fullmatch(r"[a-z0-9_]+(\.[a-z0-9_]+)+", one.id)
    assert one.unit in UNITS
    assert one.source
    assert one.shown or one.waits_for
    for text in (one.title, one.method, *one.cautions):
        assert not re.search(r"\bsafe\b", text.lower())
        assert "  " not in text
    if one.expression:
        tree = formula(one.expression).tree
        assert typography.to_typst(tree)
        assert typography.to_mathml(tree)


@pytest.mark.parametrize("name", DEMOS)
def test_they_wait_for_nothing_that_is_not_named(name: str) -> None:
    result = demo(name)
    assert result.clock is not None
    said = {node.path for node in result.clock.root.walk()}
    waits = {path for one_name, one in FOUND if one_name == name for path in one.waits_for}
    assert waits <= said
    assert not [one for one in result.diagnostics if one.code == "M604"]
