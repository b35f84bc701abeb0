"""Chapters for whoever stands before the clock alone: people, starting, what the season does, what went wrong."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from countwheel import api, outputs
from countwheel.emit.document import Document, Items, Link, Table
from countwheel.emit.drawings import draw_all
from countwheel.emit.manual import build_manual
from countwheel.emit.pdf import print_pdf
from countwheel.emit.templating import wording
from countwheel.emit.traversal import dangling, plain, walk
from manual_reading import read_pdf, squeezed
from manual_samples import CHIMES, EMPTY, HARBOUR, TIMEPIECE, TOWER, compiled
from test_special_clocks import SPRINGLESS
from wreck_samples import GATE, LAYERS, WRECK

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)
SAMPLES = {
    "harbour": HARBOUR, "chimes": CHIMES, "timepiece": TIMEPIECE, "tower": TOWER, "empty": EMPTY,
    "gate": GATE, "layers": LAYERS, "springless": SPRINGLESS, "wreck": WRECK,
}  # fmt: skip


@cache
def sample(text: str) -> Document:
    result = compiled(text)
    assert result.clock is not None
    return build_manual(result.clock, result.figures, gaps=api.gaps(result))


@cache
def demo(name: str) -> api.Result:
    return api.compile_file(SPECS / name)


@cache
def demo_manual(name: str, drawn: bool = False) -> Document:
    result = demo(name)
    assert result.clock is not None
    return build_manual(result.clock, result.figures, draw_all(result.clock, result.figures) if drawn else ())


def words(document: Document, id: str) -> str:
    chapter = document.chapter(id)
    assert chapter is not None
    return squeezed(plain(chapter))


# -- people and keys -----------------------------------------------------------
def test_whom_to_call_hangs_on_the_door_and_stands_with_the_keys() -> None:
    made = demo_manual("penquay-harbour-office")
    for id in ("glance", "people"):
        assert "01632 960 171" in words(made, id)
    people = words(made, "people")
    assert "named: Harbour master's office and Night watch" in people
    assert "feel the hands' nuts steeplejack" in people
    assert "2 Quay Street" not in words(made, "glance")


def test_a_copy_without_contacts_holds_no_number_and_no_address() -> None:
    result = demo("penquay-harbour-office")
    text = squeezed(plain(outputs.manual(result, (), None, contacts="blank")))
    for detail in ("01632", "2 Quay Street", "office@penquay.example"):
        assert detail not in text
        assert detail in squeezed(plain(outputs.manual(result, (), None)))
    assert "Night watch" in text


def test_where_nobody_is_named_there_is_room() -> None:
    people = words(sample(TIMEPIECE), "people")
    assert "Nobody is named yet" in people
    assert "Not known: who has a key of the tower" in people


def test_nobody_is_asked_for_work_on_parts_that_are_not_there() -> None:
    assert "electrician" in words(sample(TOWER), "people")
    assert "tower captain" in words(sample(TOWER), "people")
    for word in ("electrician", "bell-hanger", "tower captain", "mercury"):
        assert word not in words(sample(CHIMES), "people"), word
    assert "mercury" in words(sample(TIMEPIECE), "people")
    assert "to wind" not in words(sample(EMPTY), "people")


# -- the page for the door -----------------------------------------------------
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("name", DEMOS)
def test_the_clock_at_a_glance_is_one_page_on_either_paper(name: str, paper: outputs.Paper) -> None:
    reader = read_pdf(print_pdf(demo_manual(name), paper=paper))
    starts = [entry for entry in reader.outline if not isinstance(entry, list)]
    first, second = (reader.get_destination_page_number(entry) for entry in starts[:2])
    assert (first, second) == (1, 2)


def test_many_contacts_leave_the_glance_one_page() -> None:
    more = "".join(f'contact "Helper {at}"\n  telephone "01632 960 2{at:02}"\n' for at in range(30))
    result = api.check_text(HARBOUR + more, "many.movement")
    assert result.clock is not None
    reader = read_pdf(print_pdf(build_manual(result.clock, result.figures, gaps=api.gaps(result))))
    starts = [entry for entry in reader.outline if not isinstance(entry, list)]
    assert reader.get_destination_page_number(starts[1]) == 2


def test_a_ring_of_bells_leaves_the_glance_one_page_and_is_told_with_the_works() -> None:
    more = "".join(f'\nbell "ringing {at}"\n  mass {at + 3} cwt\n  hung for ringing\n' for at in range(24))
    result = api.check_text(HARBOUR + more, "ring.movement")
    assert result.clock is not None
    made = build_manual(result.clock, result.figures, gaps=api.gaps(result))
    reader = read_pdf(print_pdf(made))
    starts = [entry for entry in reader.outline if not isinstance(entry, list)]
    assert reader.get_destination_page_number(starts[1]) == 2
    assert "rung by ringers" in words(made, "glance")
    assert "ringing 23 (also rung) 26 cwt" in words(made, "works")
    assert "hour 14 cwt (unsourced) G#" in words(sample(HARBOUR), "works")


# -- starting and stopping -----------------------------------------------------
def test_the_beat_is_set_as_this_clock_has_it_or_left_alone() -> None:
    made = words(demo_manual("penquay-harbour-office"), "starting")
    assert "How the beat is set here: two thumb screws on the crutch" in made
    assert "a little beyond 2.0° from rest" in made
    assert "Not known: where and how the beat of this clock is set" in words(sample(HARBOUR), "starting")


def test_starting_speaks_of_the_clocks_own_parts_only() -> None:
    assert "Cut off its supply" in words(sample(TOWER), "starting")
    assert "motor" not in words(sample(HARBOUR), "starting")
    assert "remontoire" not in words(sample(HARBOUR), "starting")
    assert "remontoire" in words(demo_manual("vaubrune-gate"), "starting")
    assert "crutch" not in words(sample(HARBOUR), "starting")


def test_a_clock_that_stands_is_not_set_going() -> None:
    assert "Do none of it before someone who knows such clocks" in words(sample(WRECK), "starting")


# -- the fault tree ------------------------------------------------------------
@pytest.mark.parametrize("text", SAMPLES.values(), ids=SAMPLES)
def test_every_question_has_an_answer_that_leads_on(text: str) -> None:
    chapter = sample(text).chapter("stops")
    if chapter is None:
        assert text is EMPTY
        return
    questions = [
        item
        for part in walk(chapter)
        if isinstance(part, Items) and part.steps
        for item in part.items
        if any(isinstance(block, Items) for block in item)
    ]
    assert len(questions) > 5
    for question in questions:
        assert "?" in plain(question[0])
        answers = [block for block in question if isinstance(block, Items)]
        assert len(answers) == 1
        assert len(answers[0].items) >= 2, plain(question[0])


def test_the_tree_asks_after_parts_that_the_clock_has() -> None:
    tower, timepiece, harbour = (words(sample(text), "stops") for text in (TOWER, TIMEPIECE, HARBOUR))
    assert "right down? Yes: its motor has not wound it" in tower
    assert "Is a pin bent, or caught behind a pallet?" in tower
    assert "dial" not in tower
    assert "Does an arm stick up, or has the wheel tripped past its stops?" in timepiece
    assert "leading-off" not in timepiece
    assert "joint" not in timepiece
    assert "Has the bolt and shutter come clear of its wheel?" in harbour
    assert "motor" not in harbour
    assert "hour hand" not in words(demo_manual("skarnhove-chapel"), "stops")  # its dial has one hand


def test_what_can_hurt_and_what_is_likely_is_asked_first() -> None:
    text = words(sample(HARBOUR), "stops")
    order = [
        "that should not be", "Does the pendulum swing", "right down", "bolt and shutter come clear",
        "From the street", "hang free", "in beat, tick and tock alike", "leading-off work", "the escapement",
    ]  # fmt: skip
    places = [text.index(phrase) for phrase in order]
    assert places == sorted(places)


def test_running_wrong_has_its_own_questions() -> None:
    made = words(demo_manual("penquay-harbour-office"), "stops")
    for title in ("It goes, but gains or loses", "It goes, but a dial is wrong"):
        assert made.count(title) >= 2  # the question that leads there, and the place
    assert "slips in going: it is oily, worn or slack" in made
    assert "It goes, but the dial is wrong" in words(sample(TIMEPIECE), "stops")


def test_links_within_the_tree_lead_within_it() -> None:
    chapter = demo_manual("penquay-harbour-office").chapter("stops")
    assert chapter is not None
    to = {part.to for part in walk(chapter) if isinstance(part, Link)}
    assert {"looking", "time-wrong", "dial-wrong", "people", "starting", "regulating", "seasons"} <= to


# -- the seasons ---------------------------------------------------------------
def test_what_a_heavier_weight_does_comes_from_the_figures() -> None:
    result = demo("penquay-harbour-office")
    text = words(demo_manual("penquay-harbour-office"), "seasons")
    rate = result.figures["season.winter.rate_change"].value
    assert isinstance(rate, float)
    assert rate < 0
    assert (
        f"With the weight of winter, expect a swing of about {result.figures['season.winter.arc'].value:.2f}°"
        in text
    )
    assert f"expect it to lose {abs(rate):.3f} seconds a day" in text
    assert "With the weight of summer" not in text  # that is the weight that hangs now: nothing changes


def test_weather_that_this_clock_does_not_feel_is_not_told() -> None:
    assert "rod is of wood" in words(demo_manual("penquay-harbour-office"), "seasons")
    assert "rod is of wood" not in words(sample(TIMEPIECE), "seasons")
    assert "A rope or cord grows shorter" in words(demo_manual("tarnholt-ropewalk"), "seasons")
    assert "A rope or cord grows shorter" not in words(demo_manual("penquay-harbour-office"), "seasons")
    assert "ice" not in re.findall(r"\b\w+\b", words(sample(TOWER), "seasons"))


# -- what not to do ------------------------------------------------------------
def test_what_not_to_do_is_of_this_clock() -> None:
    harbour = words(sample(HARBOUR), "never")
    assert "Do not let go of the handle before the click has the load" in harbour
    assert "Do not turn the hands back past an hour" in harbour
    assert "mercury" not in harbour
    assert "supply" not in harbour
    assert "Do not touch, tilt or sweep up mercury" in words(sample(TIMEPIECE), "never")
    assert "with the supply on" in words(sample(TOWER), "never")
    assert "Do not touch a bell that stands mouth up" in words(sample(TOWER), "never")
    assert "the clock" not in words(sample(EMPTY), "never").partition("Because it can hurt you")[2]


# -- how it works ----------------------------------------------------------------
def test_the_going_train_is_told_arbor_by_arbor_with_its_own_numbers() -> None:
    # 144/12 = 12 hours; 3600/(80/10) = 450 s; 450/(72/12) = 75 s: the description's own counts
    text = words(demo_manual("penquay-harbour-office"), "works")
    assert "Barrel arbor: great wheel of 144. One turn takes 12 hours" in text
    assert "Third arbor: pinion of 10 and wheel of 72. One turn takes 7½ minutes" in text
    assert "Escape arbor: pinion of 12 and escape wheel of 30. One turn takes 75 seconds" in text


@pytest.mark.parametrize(
    ("name", "kind", "others"),
    [
        ("penquay-harbour-office", "a deadbeat", ("gravity", "remontoire", "crown wheel", "anchor", "motor")),
        ("tarnholt-ropewalk", "a recoil anchor", ("deadbeat", "fly", "strik", "hammer", "motor")),
        ("vaubrune-gate", "has pins on its side", ("deadbeat", "anchor", "count wheel", "chim")),
        (
            "skarnhove-chapel",
            "a verge",
            ("deadbeat", "anchor", "rack", "motor", "a wide swing as for a narrow"),
        ),
    ],
)
def test_each_part_is_explained_and_no_other(name: str, kind: str, others: tuple[str, ...]) -> None:
    text = words(demo_manual(name), "works")
    assert f"In this one, {kind}" in text or f"the escape wheel {kind}" in text
    for other in others:
        assert other not in text, other


@pytest.mark.parametrize("name", DEMOS)
def test_a_drawing_is_spoken_of_only_where_it_is_given(name: str) -> None:
    def sheets(drawn: bool) -> set[str]:
        chapter = demo_manual(name, drawn).chapter("works")
        assert chapter is not None
        return {part.to for part in walk(chapter) if isinstance(part, Link) and part.to.startswith("sheet-")}

    result = demo(name)
    assert result.clock is not None
    assert sheets(drawn=False) == set()
    first = {f"sheet-train-{train.name.replace('_', '-')}" for train in result.clock.trains if train.arbors}
    # Of the going and the sounding trains each has its drawing; a train of another role has no section here.
    assert first & sheets(drawn=True)
    assert "sheet-way-to-the-dials" in sheets(drawn=True) or not result.clock.dials


def test_a_lost_part_is_told_as_lost() -> None:
    text = words(demo_manual("tarnholt-ropewalk"), "works")
    assert "its weight is lost; it may have been 50 to 70 kg" in text
    assert "wheel (count lost; it may have been 56 to 64, even)" in text
    assert "suspension spring, bob and rating nut are lost" in text


# -- lists -----------------------------------------------------------------------
def table_rows(document: Document, caption: str) -> list[list[str]]:
    tables = [part for part in walk(document) if isinstance(part, Table) and part.caption.startswith(caption)]
    assert len(tables) == 1
    return [[squeezed(plain(cell)) for cell in row] for row in tables[0].rows]


def test_lines_and_weights_are_listed_by_train() -> None:
    made = demo_manual("penquay-harbour-office")
    lines, weights = table_rows(made, "Lines"), table_rows(made, "Weights")
    assert [row[0] for row in lines] == [row[0] for row in weights]
    assert lines[0][:3] == ["going train", "steel wire rope, 6 mm (copied)", "92 ft (copied)"]
    assert lines[1][4] == "3"  # lead, beam and block
    assert weights[1][1] == "11 cwt (copied)"
    assert not any(
        isinstance(part, Table) and part.caption in ("Lines", "Weights") for part in walk(sample(EMPTY))
    )


def test_oiling_points_are_of_parts_that_are_there() -> None:
    oil = table_rows(demo_manual("penquay-harbour-office"), "Oil:")
    assert oil[0][:2] == ["Going train: both pivots of each arbor (barrel, centre, third and escape)", "8"]
    wreck = [row[0] for row in table_rows(demo_manual("tarnholt-ropewalk"), "Oil:")]
    assert "upper" not in wreck[0]  # that arbor is lost
    gravity = [row[0] for row in table_rows(demo_manual("marlsted-corn-hall"), "Oil:")]
    assert "Pivots of the gravity arms" in gravity
    assert not any("Pallets" in where for where in gravity)


# -- sources ---------------------------------------------------------------------
def test_every_source_stands_once_and_is_a_figures_own() -> None:
    result = demo("penquay-harbour-office")
    chapter = demo_manual("penquay-harbour-office").chapter("sources")
    assert chapter is not None
    tables = [part for part in walk(chapter) if isinstance(part, Table)]
    told = [squeezed(plain(row[0])) for row in tables[-1].rows]
    assert len(told) == len(set(told)) > 10
    assert set(told) <= {squeezed(figure.source) for figure in result.figures.values()}
    for id in ("going.duration", "pendulum.nut.rate_per_turn", "season.winter.arc", "strike.blows_per_day"):
        assert squeezed(result.figures[id].source) in told, id


def test_papers_and_people_behind_the_facts_are_named() -> None:
    text = words(demo_manual("penquay-harbour-office"), "sources")
    assert "1952 survey, sheet 3" in text  # of a value recorded beside the one that holds
    assert "founder's bill, 1921 1" in text
    assert re.search(r"\bKT \d{2,}", text)
    assert "rack" not in text


@pytest.mark.parametrize("text", SAMPLES.values(), ids=SAMPLES)
def test_all_of_it_prints_with_no_link_that_leads_nowhere(text: str) -> None:
    assert dangling(sample(text)) == ()
    assert not re.findall(r"\b(?:None|undefined|nan)\b|\(\)", plain(sample(text)))


# -- regulating ------------------------------------------------------------------
def test_how_much_to_lay_on_the_tray_follows_from_its_rate() -> None:
    result = demo("penquay-harbour-office")
    per_gram = result.figures["pendulum.tray.rate_per_gram"].value
    assert isinstance(per_gram, float)
    found = table_rows(demo_manual("penquay-harbour-office"), "How much to lay on")
    assert len(found) == 5
    for daily, weekly, grams in found:
        assert float(weekly) == pytest.approx(7 * float(daily))
        assert float(grams) * per_gram == pytest.approx(float(daily), rel=0.05)  # printed to two digits
    assert "If it loses, lay on so much" in words(demo_manual("penquay-harbour-office"), "regulating")


def test_the_chapters_that_a_figure_is_said_to_be_in_are_chapters() -> None:
    from countwheel.emit.gap_rows import _chapters

    titles = wording("TITLES")
    assert {id for _, ids in _chapters() for id in ids} <= set(titles)
    assert {"works", "seasons", "starting"} <= {id for _, ids in _chapters() for id in ids}
