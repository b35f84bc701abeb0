"""The train that turns: every speed and sense is that of the figures, and what meshes does so tooth by gap.

Everything is read back from the SVG that the page is given.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from math import cos, hypot, pi, sin, tau
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from countwheel.api import Result, check_text, compile_file
from countwheel.emit.train_tree import tree_of
from countwheel.preview.teeth import mate_phase, saw, toothed
from countwheel.preview.train_drawing import Drawn, draw_turning
from countwheel.preview.turning import run_of, turnings
from previewed import CLOCKS, HARBOUR


@cache
def compiled(path: Path) -> tuple[Result, tuple[Drawn, ...]]:
    result = compile_file(path)
    assert result.clock is not None
    return result, draw_turning(result.clock, result.figures)


def rates(drawn: Drawn) -> dict[str, float]:
    """Turns an hour of each arbor, clockwise counted up, as the script of the page will turn it."""
    root = ET.fromstring(drawn.svg)
    return {
        group.attrib["data-path"]: float(group.attrib["data-rate"])
        for group in root.iter("g")
        if group.get("class") == "turns"
    }


@pytest.mark.parametrize("path", CLOCKS, ids=lambda path: path.stem)
def test_speed_and_sense_are_those_of_the_figures(path: Path) -> None:
    result, drawings = compiled(path)
    for drawn in drawings:
        for arbor, rate in rates(drawn).items():
            told = result.figures.get(f"{arbor}.sense")
            speed = result.figures.get(f"{arbor}.turns_per_{drawn.run.by or 'hour'}")
            if arbor.endswith(("count_wheel", "chime_barrel")):
                continue
            if told is None or told.value is None or speed is None or speed.value is None:
                assert rate == 0
                continue
            expected = float(speed.exact if isinstance(speed.exact, Fraction) else speed.value)  # type: ignore[arg-type]
            if drawn.run.by:
                expected = expected * 3600 / drawn.run.seconds if drawn.run.seconds else 0.0
            assert abs(rate) == pytest.approx(expected, rel=1e-12)
            if rate:
                assert (rate > 0) == (told.value == "clockwise")


@pytest.mark.parametrize("path", CLOCKS, ids=lambda path: path.stem)
def test_two_that_mesh_go_by_as_many_teeth(path: Path) -> None:
    """Without the figures: as many teeth of both pass the line of centres in an hour, one against the other."""
    result, drawings = compiled(path)
    assert result.clock is not None
    shown = {arbor: rate for drawn in drawings for arbor, rate in rates(drawn).items()}
    for train in result.clock.trains:
        for pairs in tree_of(train).below.values():
            for pair in pairs:
                one, two = (shown.get(arbor.path) for arbor in (pair.driver, pair.driven))
                teeth = pair.mesh.driver.teeth, pair.mesh.driven.teeth
                if one and two and all(teeth) and pair.mesh.reverses is not None:
                    sign = -1 if pair.mesh.reverses else 1
                    assert two * teeth[1] == pytest.approx(sign * one * teeth[0], rel=1e-9), pair.mesh.path


def test_the_demo_turns_as_its_keeper_wrote_it() -> None:
    """Worked out by hand from the counts: centre once an hour, third 80/10, escape 72/12 of that; barrel 12/144."""
    going, strike, chime = compiled(HARBOUR / "penquay-harbour-office.movement")[1]
    assert rates(going) == {
        "going.barrel": pytest.approx(1 / 12),
        "going.centre": pytest.approx(-1),
        "going.third": pytest.approx(8),
        "going.escape": pytest.approx(-48),
    }
    # a blow every 2.5 s, 20 blows in a turn of the barrel; the count wheel goes round in 78 blows
    assert strike.run.seconds == 2.5
    assert not strike.run.estimated
    assert rates(strike)["strike.barrel"] == pytest.approx(3600 / 2.5 / 20)
    assert rates(strike)["strike.count_wheel"] == pytest.approx(-3600 / 2.5 / 78)
    assert chime.run.by == "change"
    assert chime.run.estimated
    assert rates(chime)["chime.chime_barrel"] != 0


BARE = """countwheel 1
clock "Bare"
train going
  arbor barrel
    wheel 100
  arbor escape
    pinion 10
    escape wheel 30
train strike
  strikes hours
  arbor barrel
    wheel 80
    lifting pins 8
    turns clockwise
  arbor fly
    pinion 8
    fly
"""


def test_where_a_speed_or_a_sense_is_not_known_it_stands_still_and_the_lack_is_named() -> None:
    result = check_text(BARE)
    assert result.clock is not None
    going, strike = result.clock.trains
    still = turnings(going, tree_of(going), result.figures)
    assert {one.lacking for one in still.values()} == {"both"}
    assert all(one.clockwise_per_hour == 0 for one in still.values())
    struck = turnings(strike, tree_of(strike), result.figures)
    assert run_of(strike, result.figures).seconds is None
    assert {one.lacking for one in struck.values()} == {"speed"}
    result = check_text(BARE.replace("  strikes hours\n", "  strikes hours\n  blow interval 2 s\n"))
    assert result.clock is not None
    strike = result.clock.trains[1]
    turned = turnings(strike, tree_of(strike), result.figures)
    assert turned["strike.barrel"].clockwise_per_hour == pytest.approx(3600 / 2 / 8)
    assert turned["strike.fly"].clockwise_per_hour == pytest.approx(-3600 / 2 / 8 * 10)


@pytest.mark.parametrize("path", CLOCKS, ids=lambda path: path.stem)
def test_every_arbor_is_on_one_drawing_can_be_clicked_and_is_named(path: Path) -> None:
    result, drawings = compiled(path)
    assert result.clock is not None
    shown = [one.arbor.path for drawn in drawings for one in drawn.listed]
    assert {arbor.path for train in result.clock.trains for arbor in train.arbors} <= set(shown)
    for drawn in drawings:
        links = list(ET.fromstring(drawn.svg).iter("a"))
        assert sorted(link.attrib["data-part"] for link in links) == sorted(
            one.arbor.path for one in drawn.listed
        )
        assert all(link.attrib["aria-label"] and link.attrib["href"].startswith("?part=") for link in links)


def test_the_teeth_drawn_are_those_counted_and_pitch_circles_touch() -> None:
    going = compiled(HARBOUR / "penquay-harbour-office.movement")[1][0]
    places, radii, counts = {}, {}, {}
    for link in ET.fromstring(going.svg).iter("a"):
        place = link.find("g")
        assert place is not None
        path = link.attrib["data-part"]
        x, y = re.findall(r"-?[\d.]+", place.attrib["transform"])
        places[path] = float(x), float(y)
        radii[path] = sorted(float(c.attrib["r"]) for c in place.iter("circle") if c.get("class") == "pitch")
        counts[path] = sorted(
            (part.attrib["d"].count("L") + 1) // 6
            for part in place.iter("path")
            if part.get("class") == "gear"
        )
    assert counts["going.barrel"] == [144]
    assert counts["going.centre"] == [12, 80]
    assert counts["going.third"] == [10, 72]
    for one, two in (("barrel", "centre"), ("centre", "third"), ("third", "escape")):
        (x_1, y_1), (x_2, y_2) = places[f"going.{one}"], places[f"going.{two}"]
        apart = hypot(x_1 - x_2, y_1 - y_2)
        assert apart == pytest.approx(radii[f"going.{one}"][-1] + radii[f"going.{two}"][0], abs=0.1)


@pytest.mark.parametrize(("many", "mate"), [(144, 12), (10, 72), (80, 7), (61, 30)])
@pytest.mark.parametrize("towards", [0.0, 1.0, 2.5, -3.0])
def test_a_tooth_meets_a_gap_however_far_they_have_turned(many: int, mate: int, towards: float) -> None:
    for turned in (0.0, 0.013, 0.4, 2.0):
        phase = 0.7
        other = mate_phase(phase, many, mate, towards) - turned * many / mate
        # How far past the line of centres each has a tooth, in teeth; they turn against one another.
        here = (phase + turned - towards) * many / tau
        there = (other - towards - pi) * mate / tau
        assert (here + there) % 1.0 == pytest.approx(0.5, abs=1e-9)


@pytest.mark.parametrize(("many", "mate"), [(96, 12), (12, 96)])
def test_a_tooth_meets_a_gap_inside_a_ring_too(many: int, mate: int) -> None:
    towards = 0.8
    meet = towards if many > mate else towards + pi
    for turned in (0.0, 0.1, 3.0):
        other = mate_phase(0.3, many, mate, towards, reverses=False) + turned * many / mate
        here, there = (0.3 + turned - meet) * many / tau, (other - meet) * mate / tau
        assert (here - there) % 1.0 == pytest.approx(0.5, abs=1e-9)


def test_outlines_stand_out_of_the_pitch_circle_and_go_in() -> None:
    points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", toothed(100.0, 50, 0.2))]
    far = [hypot(x, y) for x, y in points]
    assert min(far) < 100 < max(far)
    assert max(far) == pytest.approx(100 + 0.85 * 4, abs=0.02)
    # the middle of a tooth stands at the phase
    assert any(hypot(x - max(far) * cos(0.2), y - max(far) * sin(0.2)) < 1.4 for x, y in points)
    assert saw(50.0, 30, True) != saw(50.0, 30, False)


def test_legs_in_two_planes_are_two_sets_and_a_pulley_has_no_teeth() -> None:
    by_name = {path.stem: path for path in CLOCKS}
    (going, *_) = compiled(by_name["marlsted-corn-hall"])[1]
    legs = [path for path in ET.fromstring(going.svg).iter("path") if path.get("class", "").startswith("leg")]
    assert [leg.attrib["d"].count("L") for leg in legs] == [3, 3]
    result, (school, *_) = compiled(by_name["ellenfrith-school"])
    assert result.clock is not None
    corded = {
        gear.path
        for train in result.clock.trains
        for mesh in train.meshes
        if mesh.form in ("open cord", "crossed cord")
        for gear in (mesh.driver, mesh.driven)
    }
    assert corded
    drawn = [
        (part.attrib["d"].count("L") + 1) // 6
        for part in ET.fromstring(school.svg).iter("path")
        if "gear" in part.get("class", "") and part.attrib["d"].count("L") > 20
    ]
    cut = [
        gear.teeth
        for one in school.listed
        for gear in one.arbor.gears
        if gear.path not in corded and gear.teeth
    ]
    assert sorted(drawn) == sorted(cut)
