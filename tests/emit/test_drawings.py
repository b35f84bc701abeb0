"""What the drawings of trains and of the way to the dials show."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree as ET

import build
import pytest
from countwheel.emit.drawing import Drawing
from countwheel.emit.drawings import draw_all
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock

SVG = "{http://www.w3.org/2000/svg}"


def drawn(clock: Clock) -> dict[str, Drawing]:
    return {drawing.id: drawing for drawing in draw_all(clock, build.figures(clock))}


def words(drawing: Drawing) -> str:
    """All lettering of a drawing, in the order written, one line a text."""
    root = ET.fromstring(drawing.svg)
    return "\n".join(text.text or "" for text in root.iter(f"{SVG}text"))


def part(drawing: Drawing, about: str) -> ET.Element:
    """The group of a box, by the path that stands in its title."""
    root = ET.fromstring(drawing.svg)
    return next(group for group in root.iter(f"{SVG}g") if (group.findtext(f"{SVG}title") or "") == about)


def lettering(group: ET.Element) -> str:
    """What stands in a box, as one line without the commas that save room."""
    lines = " ".join(text.text or "" for text in group.iter(f"{SVG}text"))
    return lines.replace(",", "")


def dashed_cells(group: ET.Element) -> int:
    return sum("stroke-dasharray" in rect.attrib for rect in group.iter(f"{SVG}rect"))


@pytest.fixture(scope="module")
def example() -> dict[str, Drawing]:
    return drawn(build.clock())


def test_one_drawing_a_train_and_one_of_the_dials(example: dict[str, Drawing]) -> None:
    assert [id for id in example if id.startswith(("train", "way"))] == [
        "train-going",
        "train-strike",
        "way-to-the-dials",
    ]


def test_every_train_is_drawn_from_the_side_and_from_the_front_before_the_dials(
    example: dict[str, Drawing],
) -> None:
    assert list(example)[2:7] == [
        "elevation-going",
        "face-going",
        "elevation-strike",
        "face-strike",
        "way-to-the-dials",
    ]
    # what is put down by hand comes after them
    assert list(example)[7:] == ["strike-pattern", "count-wheel-strike", "dials-in-plan"]


# -- trains ------------------------------------------------------------------


def test_every_count_can_be_found_in_the_lettering(example: dict[str, Drawing]) -> None:
    text = words(example["train-going"])
    for counted in (
        "great wheel 144",
        "pinion 12",
        "wheel 80",
        "pinion 10",
        "escape wheel 30",
        "module 4 mm",
    ):
        assert counted in text
    assert "pinion 12 drives wheel 96" in text
    text = words(example["train-strike"])
    for counted in (
        "200",
        "pinion “count” 20",
        "pinion 10",
        "wheel 72",
        "pinion 9",
        "lifting pins 20",
        "2 vanes",
    ):
        assert counted in text


def test_ratios_are_exact_and_decimal_and_hunting_is_said(example: dict[str, Drawing]) -> None:
    text = words(example["train-going"])
    assert "144 ÷ 12 = 12" in text
    assert "does not hunt: same pair every turn" in text
    third = build.train(
        "going",
        "going",
        (
            build.arbor("going", "barrel", build.gear("wheel", 80, path="a"), barrel=build.barrel("b")),
            build.arbor(
                "going", "centre", build.gear("pinion", 12, path="c"), build.gear("wheel", 61, path="d")
            ),
            build.arbor("going", "third", build.gear("pinion", 8, path="e")),
        ),
    )
    text = words(drawn(build.clock((third,)))["train-going"])
    assert "80 ÷ 12 = 20/3 ≈ 6.667" in text
    assert "61 ÷ 8 = 7.625" in text
    assert "\nhunts" in text
    assert "does not hunt: same pair every 3 turns" in text


def test_turns_and_sense_stand_in_the_arbor(example: dict[str, Drawing]) -> None:
    group = part(example["train-going"], "going.third")
    assert "8 turns an hour one in 7 min 30 s" in lettering(group)
    assert "clockwise from the front" in lettering(group)


def test_a_striking_train_turns_by_blows() -> None:
    clock = build.clock()
    figures = build.figures(clock)
    for arbor, each in (("barrel", Fraction(1, 20)), ("locking", Fraction(1)), ("fly", Fraction(8))):
        path = f"strike.{arbor}.turns_per_blow"
        figures[path] = Figure(id=path, title="", value=float(each), exact=each)
    text = words(draw_all(clock, figures)[1])
    for each_blow in ("1 turn in 20 blows", "1 turn a blow", "8 turns a blow"):
        assert each_blow in text
    assert "an hour" not in text


def test_the_power_comes_in_at_the_head_and_leaves_where_it_does(example: dict[str, Drawing]) -> None:
    text = words(example["train-going"])
    for place in ("weight 2 cwt 3 qr 4 lb", "fall 34 ft", "in 2 parts", "deadbeat escapement", "pendulum"):
        assert place in text
    assert "leading off" in text
    assert "lets off" in text
    text = words(example["train-strike"])
    for place in ("hammer", "mass 38 lb", "count wheel", "cut for hours", "fly"):
        assert place in text


def test_unknown_is_dashed_with_what_is_known_and_the_lost_is_named(example: dict[str, Drawing]) -> None:
    group = part(example["train-going"], "going.third")
    assert "wheel ? 60 to 84 lost" in lettering(group)
    assert dashed_cells(group) == 1


def test_the_assumed_is_dashed_and_says_so(example: dict[str, Drawing]) -> None:
    group = part(example["train-going"], "going.escape")
    assert any("assumed" in (text.text or "") for text in group.iter(f"{SVG}text"))
    # The pinion is assumed, and the turns wait for the lost wheel.
    assert dashed_cells(group) == 2


def test_a_lost_arbor_is_dashed_as_a_whole() -> None:
    going = build.going(lost_wheel=False)
    third = going.arbors[2]
    gone = third.model_copy(update={"node": third.node.model_copy(update={"facts": (build.fact("lost"),)})})
    train = going.model_copy(update={"arbors": (*going.arbors[:2], gone, going.arbors[3])})
    group = part(drawn(build.clock((train,)))["train-going"], "going.third")
    assert group.find(f"{SVG}rect").attrib["stroke-dasharray"]  # type: ignore[union-attr]
    assert "lost arbor “third”" in lettering(group)


def test_an_arbor_that_nothing_drives_still_stands_in_its_place() -> None:
    going = build.going()
    train = going.model_copy(update={"meshes": going.meshes[:1] + going.meshes[2:]})
    assert "how it is driven: ?" in words(drawn(build.clock((train,)))["train-going"])


def test_where_nothing_is_doubtful_nothing_is_dashed() -> None:
    train = build.strike()
    drawing = drawn(build.clock((train,), ()))["train-strike"]
    assert "stroke-dasharray" not in drawing.svg
    assert "dashed" not in words(drawing)


def test_what_the_clock_lacks_is_not_drawn() -> None:
    bare = build.train("going", "going", (build.arbor("going", "centre", build.gear("wheel", 60)),))
    clock = build.clock((bare,), ())
    clock = clock.model_copy(update={"root": build.fact("movement")})
    drawings = drawn(clock)
    assert list(drawings) == ["train-going", "elevation-going", "face-going"]
    text = words(drawings["train-going"])
    for lacking in (
        "weight",
        "barrel",
        "escapement",
        "pendulum",
        "fly",
        "hammer",
        "count wheel",
        "leading off",
    ):
        assert lacking not in text
    assert drawn(build.clock((), ())) == {}


def test_a_figure_that_waits_says_for_what(example: dict[str, Drawing]) -> None:
    assert "waits for the wheel of the third arbor" in lettering(part(example["train-going"], "going.escape"))


def test_a_long_train_goes_on_several_sheets_with_every_count() -> None:
    arbors = tuple(
        build.arbor(
            "long",
            f"number {at}",
            *([build.gear("pinion", 10 + at, path=f"long.{at}.pinion")] if at else []),
            build.gear("wheel", 100 + at, path=f"long.{at}.wheel"),
            barrel=None if at else build.barrel("long.barrel"),
        )
        for at in range(12)
    )
    drawings = drawn(build.clock((build.train("long", "other", arbors),), ()))
    assert len(drawings) > 1
    text = "\n".join(words(drawing) for drawing in drawings.values())
    assert all(f"wheel {100 + at}" in text for at in range(12))
    assert all(f"pinion {10 + at}" in text for at in range(1, 12))
    assert text.count("weight 2 cwt") == 1


# -- dials -------------------------------------------------------------------

ROSE = ("north", "east", "south", "west", "north-east", "south-east", "south-west", "north-west")


@pytest.mark.parametrize("many", range(1, 9))
def test_every_dial_is_reached_with_counts_turns_and_sense(many: int) -> None:
    text = words(drawn(build.clock(dials=ROSE[:many]))["way-to-the-dials"])
    assert all(f"{name} dial" in text.split("\n") for name in ROSE[:many])
    flat = " ".join(text.replace(",", "").split())
    assert flat.count("minute hand 1 turn an hour clockwise from outside") == many
    assert flat.count("hour hand 1 turn in 12 h clockwise from outside") == many
    assert flat.count("turned by bevel 48") == many
    assert flat.count("cannon pinion 30 drives minute wheel 90 minute pinion 20 drives hour wheel 80") == many
    for step in ("pair of bevels", "48 drives 48", "shaft “rise”", "runs up", "universal joint", "angle 12°"):
        assert step in text


def test_one_hand_only_is_said() -> None:
    clock = build.clock(dials=("north",))
    dial = clock.dials[0]
    node = dial.node.model_copy(update={"facts": (build.fact("one hand only"),)})
    clock = clock.model_copy(update={"dials": (dial.model_copy(update={"node": node}),)})
    assert "no minute hand" in words(drawn(clock)["way-to-the-dials"])


def test_an_unknown_count_of_the_motion_work_is_dashed() -> None:
    clock = build.clock(dials=("north",))
    work = build.motion_work()
    unknown = build.fact("minute wheel", None, teeth=build.unknown("? 80..100"))
    work = work.model_copy(update={"facts": (work.facts[0], unknown, *work.facts[2:])})
    clock = clock.model_copy(
        update={"dials": tuple(dial.model_copy(update={"motion_work": work}) for dial in clock.dials)}
    )
    drawing = drawn(clock)["way-to-the-dials"]
    assert "minute wheel ?" in words(drawing)
    assert "80 to 100" in words(drawing)
    assert dashed_cells(part(drawing, "dial.north")) == 1


# -- the same bytes ----------------------------------------------------------


def test_the_same_clock_gives_the_same_bytes_whatever_the_hash_order() -> None:
    script = (
        "import build, hashlib; from countwheel.emit.drawings import draw_all\n"
        "clock = build.clock()\n"
        "text = ''.join(d.id + d.title + d.svg + d.alt for d in draw_all(clock, build.figures(clock)))\n"
        "print(hashlib.sha256(text.encode()).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=Path(__file__).parent,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(seen) == 1


def test_drawings_do_not_depend_on_the_figures_order() -> None:
    clock = build.clock()
    figures = build.figures(clock)
    backwards = dict(reversed(figures.items()))
    assert draw_all(clock, figures) == draw_all(clock, backwards)


def test_a_figure_is_shown_as_it_stands() -> None:
    clock = build.clock()
    figures = build.figures(clock)
    figures["going.train.beats_per_hour"] = replace(figures["going.train.beats_per_hour"], shown="2879")
    assert "2879 beats an hour" in words(draw_all(clock, figures)[0])
