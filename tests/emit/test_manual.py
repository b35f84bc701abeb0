"""The keeper's manual: what stands in it for this clock and that, and what never may."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from countwheel import api
from countwheel.api import compile_file
from countwheel.emit.document import Caution, Document, Link, Table
from countwheel.emit.drawings import draw_all
from countwheel.emit.gap_rows import row
from countwheel.emit.html import print_html
from countwheel.emit.manual import build_manual
from countwheel.emit.naming import Names
from countwheel.emit.pdf import print_pdf
from countwheel.emit.traversal import dangling, plain, walk
from countwheel.emit.view_gaps import MOST
from countwheel.figures.record import Figure
from manual_reading import Page, pdf_text, read_page, read_pdf, squeezed
from manual_samples import CHIMES, EMPTY, HARBOUR, HOSTILE, ODD, TIMEPIECE, TOWER, compiled

ALL = {
    "harbour": HARBOUR,
    "chimes": CHIMES,
    "timepiece": TIMEPIECE,
    "tower": TOWER,
    "hostile": HOSTILE,
    "empty": EMPTY,
}


@cache
def manual(text: str, drawn: bool = False) -> Document:
    result = compiled(text)
    assert result.clock is not None
    drawings = draw_all(result.clock, result.figures) if drawn else ()
    return build_manual(result.clock, result.figures, drawings, gaps=api.gaps(result))


@cache
def page(text: str) -> Page:
    return read_page(print_html(manual(text, drawn=True)))


def chapters(text: str) -> list[str]:
    return [chapter.id for chapter in manual(text).chapters]


def words(text: str, chapter: str | None = None) -> str:
    if chapter is None:
        return squeezed(plain(manual(text)))
    found = manual(text).chapter(chapter)
    assert found is not None
    return squeezed(plain(found))


def hazards(text: str) -> set[str]:
    return {part.hazard for part in walk(manual(text)) if isinstance(part, Caution)}


# -- which chapters there are --------------------------------------------------
def test_a_full_clock_has_every_chapter() -> None:
    assert [chapter.id for chapter in manual(HARBOUR, drawn=True).chapters] == [
        "glance", "people", "before", "works", "winding", "starting", "setting", "strike", "regulating",
        "seasons", "care", "stops", "never", "counts", "drawings", "unknown", "words", "sources", "remarks",
    ]  # fmt: skip


def test_chapters_are_numbered_without_a_gap() -> None:
    for text in ALL.values():
        assert [chapter.number for chapter in manual(text).chapters] == list(
            range(1, len(chapters(text)) + 1)
        )


def test_what_a_clock_lacks_has_no_chapter() -> None:
    assert not {"strike", "care", "drawings", "remarks"} & set(chapters(TIMEPIECE))
    assert "winding" not in chapters(HOSTILE)
    assert "regulating" not in chapters(HOSTILE)
    assert chapters(EMPTY)[:3] == ["glance", "people", "before"]
    assert not {
        "works", "winding", "starting", "setting", "regulating", "seasons", "stops", "strike", "counts", "sources",
    } & set(chapters(EMPTY))  # fmt: skip


def test_a_clock_that_does_not_strike_hears_nothing_of_it() -> None:
    text = words(TIMEPIECE)
    assert (
        re.findall(
            r"\b(?:str[iu]k\w*|struck|hammers?|bells?|chim\w*|blows?|count wheel|rack|rung|ringers?)\b", text
        )
        == []
    )


def test_a_clock_without_dials_hears_nothing_of_hands() -> None:
    text = words(TOWER)
    assert (
        re.findall(r"\b(?:minute hand|hour hand|the hands|motion work|leading.off|setting dial)\b", text)
        == []
    )
    assert "height" not in hazards(TOWER)


# -- cautions ------------------------------------------------------------------
def test_cautions_are_those_of_this_clock() -> None:
    assert hazards(HARBOUR) == {"falling", "winding", "train", "bells", "pendulum", "height", "tower"}
    assert hazards(TIMEPIECE) == {"falling", "winding", "train", "pendulum", "mercury", "height", "tower"}
    assert hazards(TOWER) == {"falling", "winding", "electricity", "train", "bells", "pendulum", "tower"}
    assert hazards(EMPTY) == {"tower"}


def test_bells_that_are_rung_have_their_own_words() -> None:
    assert "The bell is also rung" in words(TOWER, "before")
    assert "hammer must be pulled off" in words(TOWER, "before")
    assert "cord by the ladder" in words(TOWER, "strike")
    assert "rung" not in words(HARBOUR)


def test_the_owner_and_the_law_come_before_the_manual() -> None:
    assert "Penquay Harbour Board answers for the tower and the clock" in words(HARBOUR, "before")
    for text in ALL.values():
        assert (
            "Where the owner’s rules or the law of the place say otherwise than this manual, follow them"
            in words(text, "before")
        )


def test_nothing_is_called_safe() -> None:
    for text in ALL.values():
        if text is not HOSTILE:
            assert re.findall(r"\b(?:safe|safely|no danger|certif\w+)\b", words(text), re.IGNORECASE) == []


def test_regulations_of_the_united_kingdom_only_there() -> None:
    # Work at Height Regulations 2005 (SI 2005/735)
    assert "Work at Height Regulations 2005" in words(TIMEPIECE, "before")
    assert "Regulations" not in words(TOWER, "before")


# -- every instruction is about this clock -------------------------------------
def test_winding_is_of_this_clock() -> None:
    text = words(HARBOUR, "winding")
    assert "wound every Friday" in text
    assert "Raise the bolt and shutter first" in text
    assert "12 min (only estimated)" in text  # marked in words where it is weak
    assert "turn it anticlockwise, seen from the front" in text
    assert "white paint on the line" in text
    assert "steel wire rope, 6 mm (unsourced) across; the weight hangs on 2 parts (unsourced) of it" in text
    assert "3 cwt 0 qr 4 lb" in text
    assert "1 November" in text
    assert "endless rope hand over hand" in words(TIMEPIECE, "winding")
    assert "red switch by the door" in words(TOWER, "winding")


def test_how_long_it_runs_is_the_figures_own() -> None:
    hours = compiled(HARBOUR).figures["going.duration.by_turns"].value
    assert isinstance(hours, float)
    days, rest = divmod(int(hours), 24)
    assert f"One winding of the going train lasts {days} days and {rest} hours" in words(HARBOUR, "winding")


def test_a_missing_fact_leaves_room_to_write() -> None:
    assert "Not known: what is loosened, turned or slipped at the movement" in words(HARBOUR, "setting")
    assert "Not known: which way the nut is turned to raise the bob" in words(HARBOUR, "regulating")
    assert "turning the nut to the right raises the bob" in words(TIMEPIECE, "regulating")
    assert "How long one winding of the going train lasts is not yet known" in words(TIMEPIECE, "winding")


def test_a_count_wheel_is_never_turned_back() -> None:
    assert "Never turn the hands back past an hour" in words(HARBOUR, "setting")
    assert "let it off twice, and it strikes three and four" in words(HARBOUR, "strike")
    assert "rack" not in words(HARBOUR, "strike")
    assert "move the hand back, slowly and without force" in words(TIMEPIECE, "setting")


def test_autumn_is_an_hours_stop_or_eleven_hours_on() -> None:
    # stop one hour, or advance eleven: Antiquarian Horological Society, handbook for keepers of turret clocks
    text = words(HARBOUR, "setting")
    assert "stop the pendulum for exactly one hour" in text
    assert "move the hands on by 11 hours, letting it strike every one of them" in text


def test_a_rack_needs_no_putting_in_step() -> None:
    text = words(TOWER, "strike")
    assert "rack and snail" in text
    assert (
        "It must not run down before the going train" in text
    )  # Goodrich, The Modern Clock (1905), p.268-269
    assert "let it off twice" not in text


def test_a_gravity_escapement_is_set_by_the_wheel_not_the_pendulum() -> None:
    # Beckett, Clocks, Watches and Bells, p.187, 253 (run on or stop), p.51 (stopping disturbs the rate)
    assert "the train can be let on, or held, for a few beats" in words(TIMEPIECE, "setting")
    assert "gravity" not in words(HARBOUR)


def test_the_keepers_own_way_stands_in_its_chapter() -> None:
    assert "Ring the office first, and *again* when you are down." in words(HARBOUR, "winding")
    assert "Not more than three at a time." in words(HARBOUR, "before")
    assert "Ring the office" not in words(HARBOUR, "remarks")
    assert "Remark on the barrel arbor of the going train The click is worn." in words(HARBOUR, "winding")
    assert "The click is worn." not in words(HARBOUR, "remarks")
    assert "The spare hammer is in the porch." in words(HARBOUR, "remarks")
    assert "opening of the new quay" in words(HARBOUR, "remarks")


def test_care_says_who() -> None:
    assert "clean movement every 5 years clockmaker" in words(HARBOUR, "care")
    assert "oil pivots every 6 months the keeper" in words(HARBOUR, "care")


def test_how_far_to_turn_the_nut_follows_from_its_rate() -> None:
    # the handbooks' 43 200 p/L: 16 threads to the inch and a pendulum of 61 in make 44 s a day for a turn
    figures = compiled(HARBOUR).figures | {
        "pendulum.nut.rate_per_turn": Figure(
            "pendulum.nut.rate_per_turn", "", 44.0, "s/day per turn", "44.0"
        ),
        "pendulum.nut.rate_per_division": Figure(
            "pendulum.nut.rate_per_division", "", 2.2, "s/day per division"
        ),
    }
    clock = compiled(HARBOUR).clock
    assert clock is not None
    regulating = build_manual(clock, figures).chapter("regulating")
    assert regulating is not None
    table = next(part for part in walk(regulating) if isinstance(part, Table))
    rows = [[float(plain(cell)) for cell in row] for row in table.rows]
    assert [row[0] for row in rows] == [1, 2, 5, 10, 20]
    for daily, weekly, turns, divisions in rows:
        assert weekly == 7 * daily
        assert turns * 44 == pytest.approx(daily, rel=0.05)  # printed to two digits
        assert divisions * 2.2 == pytest.approx(daily, rel=0.05)


def test_a_quarter_is_put_in_step_by_what_it_plays() -> None:
    text = words(CHIMES, "strike")
    assert "Listen which quarter it was" in text
    assert "The chiming train lets it off: put that one right first" in text
    assert "4 3 1 4 2" in text  # the fourth quarter's bells as written
    assert "back past an hour or quarter" in words(CHIMES, "setting")


def test_what_there_is_none_of_is_not_asked_after() -> None:
    assert "silent" not in words(CHIMES, "strike")
    assert "There is no maintaining power" in words(CHIMES, "winding")
    assert "No maintaining power is recorded" in words(TIMEPIECE, "winding")


# -- counts, gaps, words -------------------------------------------------------
@pytest.mark.parametrize("text", [HARBOUR, TIMEPIECE, TOWER, HOSTILE])
def test_every_count_is_printed(text: str) -> None:
    clock = compiled(text).clock
    assert clock is not None
    printed = set(re.findall(r"\d+", pdf_text(print_pdf(manual(text)))))
    wanted = {
        str(number)
        for node in clock.root.walk()
        for value in node.values.values()
        if value.kind in ("count", "counts")
        for number in (value.values if value.kind == "counts" else (value.value,))
    }
    assert wanted <= printed


def test_what_is_unknown_is_said_with_what_waits() -> None:
    text = words(HARBOUR, "unknown")
    assert "Going train, third arbor: wheel the part is lost; perhaps 60 to 84" in text
    assert "12 min, estimated makes surer: maintaining power left when winding is done" in text


@pytest.mark.parametrize("text", ALL.values(), ids=ALL)
def test_what_is_not_known_is_what_the_gaps_are(text: str) -> None:
    """The same facts in the same order as `gaps` has them, none told twice and none left out but the last."""
    result = compiled(text)
    assert result.clock is not None
    found = api.gaps(result)
    assert found is not None
    chapter = manual(text).chapter("unknown")
    tables = [part for part in walk(chapter) if isinstance(part, Table)] if chapter else []
    told = [squeezed(plain(cells[0])) for table in tables for cells in table.rows]
    names = Names(result.clock)
    asked = [row(gap, names).part for gap in found.gaps if not gap.firm]
    asked = [part[:1].upper() + part[1:] for part in map(squeezed, asked)]
    assert sorted(told) == sorted(part for part in asked if part in told)
    best = [gap for gap in found.worklist if gap.kind != "weak"][:MOST]
    first = [squeezed(row(gap, names).part) for gap in best]
    assert [part[:1].lower() + part[1:] for part in told[: len(first)]] == [
        part[:1].lower() + part[1:] for part in first
    ]
    left = (
        int(next(iter(re.findall(r"Besides these, (\d+) more", words(text, "unknown"))), 0)) if chapter else 0
    )
    assert len(told) + left == len(asked)


def test_only_words_that_are_used_are_explained() -> None:
    explained = words(HARBOUR, "words")
    assert "count wheel" in explained
    assert "remontoire" not in explained
    assert "gravity" not in explained
    assert "count wheel" not in words(TIMEPIECE, "words")


def test_a_word_is_linked_where_it_is_first_used() -> None:
    for text in (HARBOUR, TIMEPIECE, TOWER):
        for chapter in manual(text).chapters:
            to = [part.to for part in walk(chapter) if isinstance(part, Link) and part.to.startswith("word-")]
            assert len(to) == len(set(to))
    assert any(isinstance(part, Link) and part.to == "word-click" for part in walk(manual(HARBOUR)))


# -- in print ------------------------------------------------------------------
@pytest.mark.parametrize("text", ALL.values(), ids=ALL)
def test_no_link_leads_nowhere(text: str) -> None:
    assert dangling(manual(text)) == ()
    ids = page(text).ids
    assert len(ids) == len(set(ids))
    targets = [attributes["href"] for tag, attributes in page(text).elements if tag == "a"]
    assert targets
    assert {target.removeprefix("#") for target in targets} <= set(ids)


@pytest.mark.parametrize("text", ALL.values(), ids=ALL)
def test_headings_step_down_one_at_a_time(text: str) -> None:
    # WCAG 2.2, technique H42 and PDF/UA-1: levels without gaps
    levels = [int(tag[1]) for tag in page(text).tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_the_page_stands_alone() -> None:
    elements = page(HARBOUR).elements
    assert ("html", {"lang": "en-GB"}) in elements
    assert not {"script", "link", "iframe", "object", "img", "form"} & set(page(HARBOUR).tags)
    assert page(HARBOUR).tags.count("svg") >= 3
    assert not any(name in ("src", "style") or name.startswith("on") for _, a in elements for name in a)


def test_nothing_a_keeper_writes_is_markup_in_html() -> None:
    shown = page(HOSTILE)
    assert not {"script", "img", "b", "i"} & set(shown.tags)
    assert not any("javascript" in value for _, attributes in shown.elements for value in attributes.values())
    assert shown.text.count(squeezed(ODD)) >= 7
    assert "<b>Clock</b> & #1" in shown.text
    assert "<img src=x onerror=alert(1)> [press](javascript:alert(1)) eye" in shown.text


def test_nothing_a_keeper_writes_is_markup_in_pdf() -> None:
    data = print_pdf(manual(HOSTILE))
    text = pdf_text(data)
    # without its Hebrew, which may be read in the order it is drawn, and its bell, which has no shape
    seen = squeezed(ODD).split(" שלום")[0]
    assert text.count(seen) >= 7
    assert "שלום"[::-1] in text or "שלום" in text
    assert "[bell]" in text
    reader = read_pdf(data)
    actions = [note.get_object().get("/A", {}) for sheet in reader.pages for note in sheet.get("/Annots", [])]
    assert not any(action.get("/S") in ("/URI", "/JavaScript", "/Launch") for action in actions)
    assert reader.metadata
    assert reader.metadata.title == "<b>Clock</b> & #1 – Keeper’s manual"


def test_the_pdf_says_what_it_is() -> None:
    # PDF/UA-1 (ISO 14289-1): tagged, with a language and a title that is shown, and the part number in XMP
    reader = read_pdf(print_pdf(manual(HARBOUR, drawn=True)))
    root = reader.root_object
    assert root["/MarkInfo"]["/Marked"].value is True
    assert root["/Lang"] == "en-GB"
    assert reader.metadata
    assert reader.metadata.title == "Harbour Office clock – Keeper’s manual"
    assert reader.metadata.author == "Penquay Harbour Board"
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert len(titles) == len(manual(HARBOUR, drawn=True).chapters)
    assert titles[chapters(HARBOUR).index("winding")].split(None, 1)[1] == "Winding"


def test_links_of_the_pdf_lead_to_its_own_pages() -> None:
    reader = read_pdf(print_pdf(manual(HARBOUR)))
    notes = [note.get_object() for sheet in reader.pages for note in sheet.get("/Annots", [])]
    assert len(notes) > 20
    names = reader.named_destinations
    for note in notes:
        to = note.get("/Dest") or note["/A"]["/D"]
        assert str(to) in names or to[0].get_object()["/Type"] == "/Page"


_PRINT_TWICE = """
import hashlib, sys
from countwheel.api import check_text, gaps
from countwheel.emit.html import print_html
from countwheel.emit.manual import build_manual
from countwheel.emit.pdf import print_pdf
from countwheel.figures.record import Figure
result = check_text(sys.stdin.read(), "sample.movement")
made = build_manual(result.clock, result.figures, gaps=gaps(result))
print(hashlib.sha256(print_html(made).encode()).hexdigest(), hashlib.sha256(print_pdf(made)).hexdigest())
"""


def test_the_same_description_gives_the_same_bytes() -> None:
    printed = set()
    for seed, zone, language in (("0", "UTC", "C"), ("1", "Asia/Tokyo", "de_DE.UTF-8")):
        environment = os.environ | {"PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": language, "PYTHONUTF8": "1"}
        done = subprocess.run(
            [sys.executable, "-c", _PRINT_TWICE],
            input=HARBOUR, env=environment, capture_output=True, text=True, check=True, encoding="utf-8",
        )  # fmt: skip
        printed.add(done.stdout)
    assert len(printed) == 1


# -- the demo clocks -----------------------------------------------------------
SPECS = sorted(
    path
    for path in (Path(__file__).parents[2] / "specs").glob("*/*.movement")
    if path.stem == path.parent.name
)


@pytest.mark.parametrize("path", SPECS, ids=[path.stem for path in SPECS])
def test_every_demo_clock_has_its_manual(path: Path) -> None:
    result = compile_file(path)
    assert result.clock is not None
    made = build_manual(result.clock, result.figures, draw_all(result.clock, result.figures))
    assert dangling(made) == ()
    assert result.clock.name in squeezed(plain(made))
    reader = read_pdf(print_pdf(made))
    text = squeezed(" ".join(sheet.extract_text() for sheet in reader.pages))
    numbers = set(re.findall(r"\d+", text))
    teeth = {
        str(gear.teeth)
        for train in result.clock.trains
        for arbor in train.arbors
        for gear in arbor.gears
        if gear.teeth
    }
    assert teeth <= numbers
    assert not re.findall(r"\b(?:None|undefined|nan)\b", text)
    assert all(len(squeezed(sheet.extract_text())) > 60 for sheet in reader.pages)  # no page is empty
