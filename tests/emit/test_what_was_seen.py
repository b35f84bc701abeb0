"""What was wrong on the pages of the demos when they were looked at as pictures, and must not come back."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import pytest
from countwheel import api, outputs
from countwheel.emit.document import Binder, Card, Tab, Table
from countwheel.emit.drawings import draw_all
from countwheel.emit.manual import build_manual
from countwheel.emit.pdf import print_pdf
from countwheel.emit.register import build_register, facts_of
from countwheel.emit.traversal import plain, walk
from manual_reading import squeezed
from pypdf import PdfReader

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)
HARBOUR, CHAPEL = "penquay-harbour-office", "skarnhove-chapel"
CORN_HALL, SCHOOL = "marlsted-corn-hall", "ellenfrith-school"


@cache
def result(name: str) -> api.Result:
    return api.compile_file(SPECS / name)


@cache
def binder(name: str) -> Binder:
    found = result(name)
    return outputs.binder(found, ready=((), api.gaps(found)))


def tab(name: str, id: str) -> Tab:
    return next(tab for tab in binder(name).tabs if tab.id == id)


def page(name: str, id: str) -> str:
    return squeezed(plain(tab(name, id).document))


@cache
def chapter(name: str, id: str) -> str:
    found = result(name)
    assert found.clock is not None
    one = build_manual(found.clock, found.figures, gaps=api.gaps(found)).chapter(id)
    assert one is not None
    return squeezed(plain(one))


# -- words about what this clock has not, or has otherwise ------------------------------
def test_one_hand_is_not_read_to_the_second() -> None:
    assert "how many minutes this clock is fast or slow" in chapter(CHAPEL, "setting")
    assert "A few minutes One hand is read to a few minutes" in chapter(CHAPEL, "setting")
    assert "hold the pendulum at the end of its swing" not in chapter(CHAPEL, "setting")
    assert "Write the error, in minutes fast or slow" in page(CHAPEL, "blank")
    assert "Write the error, in seconds fast or slow" in page(HARBOUR, "blank")


def test_a_verge_is_not_held_to_seconds_a_week_nor_to_the_barometer() -> None:
    text = chapter(CHAPEL, "regulating")
    assert "within some seconds a week" not in text
    assert "barometer rises" not in text
    assert "For each °C" not in chapter(CHAPEL, "seasons")
    assert "For each °C" in chapter(HARBOUR, "seasons")


def test_no_spring_is_spoken_of_where_there_is_none() -> None:
    found = result(CHAPEL)
    assert not any("suspension_spring" in id for id in found.figures)
    assert "suspension spring" not in chapter(CHAPEL, "care")
    assert "done to what it hangs from" in chapter(CHAPEL, "before")
    assert "suspension spring" in chapter(HARBOUR, "care")


def test_one_bell_is_one_bell() -> None:
    assert "The bell is also rung" in chapter(CHAPEL, "before")
    assert "says that it is down" in chapter(CHAPEL, "before")


def test_the_train_has_no_part_in_the_swing_of_a_gravity_escapement() -> None:
    text = chapter(CORN_HALL, "stops")
    assert "the train has no part in the swing" in text
    assert "the right weight hangs" not in text
    assert "the right weight hangs" in chapter(HARBOUR, "stops")
    # the pivots of the arms are an oiling point of the same manual
    assert "the arms want no oil" not in text
    assert "the swing grows smaller" not in chapter(CORN_HALL, "seasons")


def test_legs_in_two_planes_are_two_sets() -> None:
    assert "It has two sets of 3 legs, one behind the other" in chapter(CORN_HALL, "works")


# -- labels, handover, spare parts, log ------------------------------------------------
def test_bars_are_several_and_a_label_says_what_its_length_is() -> None:
    assert "Bars of the striking train, and where they hang" in page(CHAPEL, "handover").replace(
        "bars", "Bars"
    )
    cards = {card.path: squeezed(plain(card)) for card in walk(binder(CHAPEL)) if isinstance(card, Card)}
    assert "put them back after winding" in cards["strike.winding"]
    cards = {card.path: squeezed(plain(card)) for card in walk(binder(HARBOUR)) if isinstance(card, Card)}
    assert "11 in from the square to the hand; put it back" in cards["going.winding"]


def test_a_shop_is_not_told_how_often_a_hammer_strikes() -> None:
    text = page(HARBOUR, "spares")
    assert "mass 30 lb" in text
    for needless in ("each change", "pulled off", "lift 7 in"):
        assert needless not in text
    assert "efficiency" not in page(CORN_HALL, "spares")


def test_an_error_in_the_log_reads_as_it_was_written() -> None:
    text = page(HARBOUR, "log")
    assert "6 s slow" in text
    assert "s, slow" not in text
    assert "stopped: snow on the hands" in text


# -- numbers ---------------------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_how_exact_is_enough_is_said_as_a_scale_is_read(name: str) -> None:
    found = api.gaps(result(name))
    assert found is not None
    for gap in found.gaps:
        assert "e-" not in gap.enough
        assert not gap.enough.endswith((" ft", " cwt", " qr")), gap.path
        assert gap.word != "quality factor" or "watch" in gap.means.needed
        mixed = gap.written.partition("±")[0].split()
        if gap.enough and len(mixed) > 3 and mixed[1].isalpha() and mixed[-1].isalpha():  # 2 ft 6 in
            assert gap.enough.endswith(f" {mixed[-1]}"), (gap.path, gap.written, gap.enough)


def test_what_is_left_of_a_run_is_told_in_hours() -> None:
    found = result(CHAPEL)
    assert found.clock is not None
    fall = next(one for one in draw_all(found.clock, found.figures) if one.id == "fall-going")
    assert ">Wound every Wednesday and Sunday: 4<" in fall.svg
    assert ">hours in hand<" in fall.svg
    assert "0.167" not in fall.svg


@pytest.mark.parametrize("name", DEMOS)
def test_the_register_has_no_word_of_the_grammar_and_no_tolerance_of_a_habit(name: str) -> None:
    found = result(name)
    assert found.clock is not None
    rows = facts_of(found.clock, found.sources)
    assert not [row.path for row in rows if "<" in row.what or "<" in row.value]
    assert not [row.path for row in rows if row.path.startswith("care") and row.tolerance]
    tasks = [row.value for row in rows if row.path == "care.task"]
    assert all(" every " in task or " ?" in task for task in tasks)


def test_several_bells_and_seasons_are_headed_so() -> None:
    titles = [
        chapter.title for id in ("register", "sheets") for chapter in tab(HARBOUR, id).document.chapters
    ]
    assert {"Bells", "Seasons"} <= {title[:1].upper() + title[1:] for title in titles}
    assert "Bell" in [chapter.title for chapter in tab(CHAPEL, "register").document.chapters]


def test_a_pulley_for_a_cord_has_no_teeth() -> None:
    found = result(SCHOOL)
    assert found.clock is not None
    drawn = next(one for one in draw_all(found.clock, found.figures) if one.id.startswith("elevation-going"))
    assert "open cord wheel: 80" in squeezed(drawn.svg)
    assert "open cord wheel: 80 teeth" not in squeezed(drawn.svg)


def test_one_dial_is_one_dial() -> None:
    for name, titles in ((CHAPEL, {"The way to the dial", "The dial in plan"}),
                         (HARBOUR, {"The way to the dials", "The dials in plan"})):  # fmt: skip
        found = result(name)
        assert found.clock is not None
        assert titles <= {drawing.title for drawing in draw_all(found.clock, found.figures)}


def test_trains_have_one_name_under_a_drawing_too() -> None:
    found = result(HARBOUR)
    assert found.clock is not None
    heard = next(one for one in draw_all(found.clock, found.figures) if one.id == "strike-pattern")
    assert "The striking train is silent" in heard.svg
    assert "The strike train" not in heard.svg


# -- on paper --------------------------------------------------------------------------
def test_nothing_runs_over_its_column() -> None:
    """A long path and an address go on in the next line; the head of an empty column is not written over."""
    text = """countwheel 1

clock "Narrow"
  place "Here"
    country "Denmark"

train going
  arbor barrel
    barrel
      diameter 200 mm
      parts 2
      turns of line 20
      fall 5 m
      line galvanised wire rope
        diameter 5 mm    copied from "a tally"
        fitted 2022-04
        ending "spliced eye and thimble"
      weight 50 kg
    wheel great 96
  arbor escape
    pinion 8
    escape wheel 30

contact "Somebody"
  role "has all the keys and lets the clockmaker in on any day of the week"
  telephone "01632 960 000"
  mail "somebody.with.a.long.name@a-hall-that-is-far-away.example"
"""
    found = api.check_text(text)
    assert found.clock is not None
    reader = PdfReader(io.BytesIO(print_pdf(build_manual(found.clock, found.figures, gaps=api.gaps(found)))))
    said = " ".join(one.extract_text() for one in reader.pages)
    assert "somebody.with.a.long.name@a-hall-that-is-far-away.example" not in said  # in two lines
    assert "somebody.with.a.long.name@a-hall-that-is-far-away.example" in "".join(said.split())
    heads: dict[str, float] = {}

    def see(words: str, page: list[float], line: list[float], *rest: object) -> None:
        for word in ("Length", "Parts"):
            if words.strip().startswith(word):
                heads.setdefault(word, page[4] + line[4])

    for one in reader.pages:
        if "Line, and how thick" in squeezed(one.extract_text()):
            one.extract_text(visitor_text=see)
    assert heads["Parts"] - heads["Length"] > 30  # points: the word itself has about 32


def test_no_row_is_parted_between_two_pages() -> None:
    """Every row of the register has its name, its path and its value on one page."""
    found = result(CORN_HALL)
    assert found.clock is not None
    document = build_register(found.clock, found.sources)
    pages = ["".join(one.extract_text().split()) for one in PdfReader(io.BytesIO(print_pdf(document))).pages]
    rows = [row for part in walk(document) if isinstance(part, Table) for row in part.rows if len(row) > 5]
    assert len(rows) > 200
    for row in rows:
        name = "".join(plain(row[0]).split())
        assert any(name in one for one in pages), name
