"""Clocks with ways of their own: endless ropes, remontoires, racks, layers, quarters, other countries."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel.api import compile_file
from countwheel.emit.document import Table
from countwheel.emit.drawings import draw_all
from countwheel.emit.manual import build_manual
from countwheel.emit.pdf import print_pdf
from countwheel.emit.traversal import plain, walk
from manual_reading import read_pdf, squeezed
from manual_samples import HARBOUR, TIMEPIECE
from test_absent_and_lost import chapter, drawings, lettering, manual, rows
from wreck_samples import GATE, LAYERS


def test_only_the_dials_that_are_led_to_are_said_to_be() -> None:
    text = chapter(GATE, "glance")
    assert (
        "The train turns the hand of the gate dial from the movement itself, and the hands of the court dial "
        in text
    )
    assert "through leading-off work with 1 shaft" in text


def test_a_dial_of_one_hand_has_it_among_the_principal_figures() -> None:
    figures = " ".join(rows(GATE, "counts"))
    assert "the hour hand of the gate dial" in figures
    assert "the hour hand of the court dial" not in figures
    assert "the minute hand of the court dial" in figures


def test_pins_and_legs_are_told_whole() -> None:
    assert "two sets of 3 legs (unsourced), one behind the other" in chapter(LAYERS, "glance")
    assert "60 pins (unsourced) on both sides" in chapter(GATE, "glance")


def test_how_the_line_should_lie_is_how_it_does() -> None:
    assert "lying on the barrel in even layers (2)" in chapter(LAYERS, "winding")
    assert "its turns side by side on the barrel" in chapter(HARBOUR, "winding")
    assert "side by side" not in chapter(GATE, "winding")  # an endless rope is not wound on the barrel


def test_a_motor_that_stops_leaves_its_own_train_run_down() -> None:
    assert "expect this train to have run down" in chapter(GATE, "winding")


def test_what_is_not_stated_of_the_nut_is_not_said() -> None:
    assert "under or over the bob" not in chapter(GATE, "regulating")
    assert "The rating nut raises or lowers the bob" in chapter(GATE, "regulating")


def test_a_procedure_stands_where_the_words_of_its_name_belong() -> None:
    assert "Lift one arm." in chapter(GATE, "setting")
    assert "Lift the lever." in chapter(GATE, "strike")
    assert "Lock the red switch." in chapter(GATE, "before")


def test_the_changes_of_a_quarter_keep_their_groups() -> None:
    table = next(
        part for part in walk(manual(LAYERS)) if isinstance(part, Table) and part.caption == "What it plays"
    )
    assert [squeezed(plain(row[1])) for row in table.rows] == ["3 1 4 2", "2 4 1 3 | 3 4 2 ."]


def test_other_countries_are_told_what_to_ask_for() -> None:
    text = chapter(GATE, "before")
    assert "What the owner can ask about" in text
    for kind in (
        "work at height", "lifting and handling by hand", "lifting gear", "work on electrical installations",
        "hazardous substances", "protected buildings",
    ):  # fmt: skip
        assert kind in text
    assert "Regulations" not in text
    assert "What the owner can ask about" not in chapter(TIMEPIECE, "before")


def test_the_regulating_table_of_a_verge_is_in_minutes() -> None:
    # a verge is out by minutes a day, so its table begins at a minute: 60 times a second's share of a turn
    text = (SCHOOL.parent / "skarnhove-chapel" / "skarnhove-chapel.movement").read_text("utf-8")

    def table(of: str) -> Table:
        parts = walk(manual(of))
        return next(part for part in parts if isinstance(part, Table) and part.caption == "How far to turn")

    verge, anchor = table(text), table(text.replace("escapement verge", "escapement recoil anchor"))
    assert plain(verge.heads[0]).startswith("Minutes")
    assert plain(anchor.heads[0]).startswith("Seconds")
    minute, second = (float(plain(one.rows[0][2])) for one in (verge, anchor))
    assert [plain(row[0]) for row in verge.rows] == [plain(row[0]) for row in anchor.rows]
    assert minute == pytest.approx(60 * second, rel=0.05)


def test_what_goes_for_every_motor_is_said_once() -> None:
    text = (SCHOOL.parent / "wenlodden-institute" / "wenlodden-institute.movement").read_text("utf-8")
    before, stops, winding = (chapter(text, id) for id in ("before", "stops", "winding"))
    assert before.count("a hand, a sleeve or a tool") == 1
    assert "The going train, chiming train and striking train: grey switch left of the door" in before
    assert stops.count("Reset a breaker once at most") == 1
    assert stops.count("grey switch") == 1
    assert "The striking train goes on for 48 h without the mains." in stops
    assert winding.count("Stay clear while you watch each motor") == 1
    # a switch of its own for one of them is told apart
    apart = text.replace("grey switch", "red switch", 1)
    assert "The going train: red switch" in chapter(apart, "before")
    assert "The chiming train and striking train: grey switch" in chapter(apart, "before")


def test_a_weight_of_slabs_is_told_by_their_sum() -> None:
    # six of 2 kg and 1 kg of tackle
    slabs = "weight\n        slabs 6 of 2 kg\n        tackle 1 kg"
    text = chapter(TIMEPIECE.replace("weight 60 lb", slabs), "winding")
    assert (
        "13.0 kg (unsourced), in slabs: 6 (unsourced) of 2 kg (unsourced), and 1 kg (unsourced) of tackle"
        in text
    )
    assert "Weight not known" not in text


# -- drawn ---------------------------------------------------------------------
def test_labels_stand_in_quotes_after_the_kind() -> None:
    assert "lantern pinion “hand” 12" in lettering(drawings(GATE)["train-going"])
    assert "great wheel 72" in lettering(drawings(GATE)["train-going"])
    assert "shaft “court”" in lettering(drawings(GATE)["way-to-the-dials"])


def test_the_chime_barrel_is_driven_by_its_own_wheel() -> None:
    text = lettering(drawings(LAYERS)["train-chime"])
    assert "90 ÷ 30 = 3" in text
    assert "chime barrel wheel 30 10 changes in a turn" in text
    assert "72 ÷ 24 = 3" in text


def test_a_remontoire_stands_between_its_arbors() -> None:
    heights = {
        title: top for title, (_, top, _, _) in boxes_of(drawings(GATE)["train-going"].svg).items() if title
    }
    assert heights["going.third"] < heights["going.remontoire"] < heights["going.escape"]


def test_a_rack_is_joined_to_its_snail_and_its_train() -> None:
    strike = lettering(drawings(GATE)["train-strike"])
    assert "snail 12 steps on the hour arbor of the going train" in strike
    assert "how far it falls" in strike
    assert "rack of the striking train" in lettering(drawings(GATE)["train-going"])


SPRINGLESS = """countwheel 1
clock "Old clock"
  faces south
  place
    latitude 50 °N
train going
  arbor barrel
    barrel
    wheel great 96
    wheel open cord sun 40
    wheel crossed cord moon 40
    turns clockwise
  arbor second
    pinion 8
    wheel contrate 96
  arbor escape
    runs up
    pinion 8
    escape wheel 31
    turns clockwise from above
  arbor sun
    driven by going.barrel.sun by open cord
    wheel open cord 80
  arbor moon
    driven by going.barrel.moon by crossed cord
    wheel crossed cord 80
escapement verge
pendulum
  beat 0.6 s
  rod
    wood 16 in down
  no suspension spring
  bob lead
    mass 4 lb
  rating nut
train strike
  strikes repeated hours
  arbor barrel
    barrel
  count wheel
    cut for repeated hours
train single
  strikes one at the hour
  arbor barrel
    barrel
leading off
  from going.barrel
  to north-east
dial north-east
"""


def test_a_pendulum_without_a_spring_is_not_said_to_hang_from_one() -> None:
    assert "thin spring" in chapter(HARBOUR, "before")
    assert "Its bob is 4 lb (unsourced). Do not lift it" in chapter(SPRINGLESS, "before")
    for id in ("regulating", "stops"):
        assert "its spring" not in chapter(SPRINGLESS, id)
        assert "its spring" in chapter(HARBOUR, id)


def test_damp_is_told_of_where_a_member_of_the_rod_is_of_wood() -> None:
    assert "The rod is of wood" in chapter(SPRINGLESS, "regulating")


def test_what_to_let_off_follows_what_is_struck() -> None:
    text = chapter(SPRINGLESS, "strike")
    assert "go on until it has struck three twice and four twice" in text
    assert "let it off twice" not in text
    assert "A single blow wants no counting" in text


def test_an_upright_arbor_is_looked_at_from_above() -> None:
    assert "clockwise, from above" in " ".join(rows(SPRINGLESS, "counts"))
    assert "clockwise from above" in lettering(drawings(SPRINGLESS)["train-going"])


def test_a_dial_keeps_the_name_that_it_was_given() -> None:
    for text in (chapter(SPRINGLESS, "glance"), lettering(drawings(SPRINGLESS)["train-going"])):
        assert "north-east dial" in text.lower()
        assert "north_east" not in text.lower()


def test_an_arbor_that_drives_several_on_a_later_sheet_is_drawn_there() -> None:
    """The chain and the cords of a barrel whose train goes on over several sheets."""
    result = compile_file(SCHOOL)
    assert result.clock is not None
    last = next(one for one in draw_all(result.clock, result.figures) if one.id == "train-going-sheet-3")
    said = lettering(last)
    for name in ("open cord wheel “sun” 40", "crossed cord wheel “moon” 40", "chain wheel “down” 16"):
        assert name in said


SCHOOL = Path(__file__).parent.parent.parent / "specs" / "ellenfrith-school"


def boxes_of(svg: str) -> dict[str, tuple[float, float, float, float]]:
    """Left, top, right and bottom of each box, by what it is about."""
    from xml.etree import ElementTree as ET

    space = "{http://www.w3.org/2000/svg}"
    found: dict[str, tuple[float, float, float, float]] = {}
    for at, group in enumerate(ET.fromstring(svg).iter(f"{space}g")):
        rect = group.find(f"{space}rect")
        if rect is not None and group.find(f"{space}text") is not None:
            x, y, wide, high = (float(rect.attrib[key]) for key in ("x", "y", "width", "height"))
            found[group.findtext(f"{space}title") or f"box {at}"] = (x, y, x + wide, y + high)
    return found


# -- the pages -----------------------------------------------------------------
SPECS = sorted(
    path
    for path in (Path(__file__).parents[2] / "specs").glob("*/*.movement")
    if path.stem == path.parent.name
)
MM = 72 / 25.4


@pytest.mark.parametrize("path", SPECS, ids=[path.stem for path in SPECS])
def test_headings_have_company_and_the_first_chapter_one_page(path: Path) -> None:
    result = compile_file(path)
    assert result.clock is not None
    made = build_manual(result.clock, result.figures, draw_all(result.clock, result.figures))
    reader = read_pdf(print_pdf(made))
    starts = [entry for entry in reader.outline if not isinstance(entry, list)]
    pages = [reader.get_destination_page_number(entry) for entry in starts]
    # "This clock at a glance" has the second page to itself (it hangs on a door), people and keys have the third,
    # the cautions begin the fourth.
    assert pages[:3] == [1, 2, 3]
    assert squeezed(reader.pages[2].extract_text()).count("People and keys") >= 1
    assert squeezed(reader.pages[3].extract_text()).count("Before you touch it") >= 1
    for entry in starts:
        # The foot margin is 22 mm; a heading with less than 30 mm of text under it would stand forlorn.
        assert entry.top is not None
        assert float(entry.top) > (22 + 30) * MM
