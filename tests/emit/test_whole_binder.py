"""What must hold of every paper of a clock at once, on paper and on the screen."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from countwheel import api
from countwheel.emit.document import Binder, Caution, Picture
from countwheel.emit.html import print_binder, print_html
from countwheel.emit.pdf import print_pdf
from countwheel.emit.traversal import plain, walk
from hostile import ODD
from manual_reading import pdf_text, read_page, read_pdf, squeezed
from manual_samples import CHIMES, EMPTY, TIMEPIECE, TOWER, compiled
from test_binder import DEMOS, SPECS, bound, demo, pages_of, pdf_of, read_of, small, texts_of


# -- links on paper ----------------------------------------------------------------
def targets(data: bytes) -> tuple[int, list[str]]:
    """How many links a PDF has within itself, and those that lead to no page of it or out of it."""
    reader = read_pdf(data)
    pages = {page.indirect_reference.idnum for page in reader.pages if page.indirect_reference}
    found, wrong = 0, []
    for number, page in enumerate(reader.pages, 1):
        for one in page.get("/Annots") or ():
            link: Any = one.get_object()
            if link["/Subtype"] != "/Link":
                continue
            found += 1
            where = link.get("/Dest") or link.get("/A", {}).get("/D")
            if isinstance(where, str):
                named = reader.named_destinations.get(where)
                where = named.dest_array if named is not None else None
            where = where.get_object() if where is not None else None
            if isinstance(where, dict):
                where = where["/D"]
            if not where or where[0].idnum not in pages:
                wrong.append(f"page {number}: {link.get('/A') or link.get('/Dest')}")
    return found, wrong


@pytest.mark.parametrize("name", DEMOS)
def test_every_link_of_the_pdf_leads_to_a_page_of_it(name: str) -> None:
    found, wrong = targets(pdf_of(name))
    assert wrong == []
    assert found > 300
    manual = next(tab for tab in demo(name).tabs if tab.id == "manual").document
    assert manual.chapters


@pytest.mark.parametrize("name", ["penquay-harbour-office", "tarnholt-ropewalk"])
def test_every_link_of_the_manual_by_itself_leads_somewhere(name: str) -> None:
    result = api.compile_file(SPECS / name)
    assert result.clock is not None
    from countwheel.emit.drawings import draw_all
    from countwheel.emit.manual import build_manual

    manual = build_manual(result.clock, result.figures, draw_all(result.clock, result.figures))
    found, wrong = targets(print_pdf(manual))
    assert wrong == []
    page = read_page(print_html(manual))
    links = [attributes["href"] for tag, attributes in page.elements if "href" in attributes]
    assert len(links) > 50
    assert [link for link in links if not link.startswith("#") or link[1:] not in page.ids] == []
    assert found > 50


# -- counts ------------------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_the_pdf_holds_every_count_of_every_wheel_and_pinion(name: str) -> None:
    result = api.compile_file(SPECS / name)
    assert result.clock is not None
    text = squeezed(" ".join(texts_of(name)))
    labels = {
        path: squeezed(after)
        for path, after in re.findall(r"\b([a-z_]+\.[a-z_.0-9]+) ((?:[^A-Z]|[A-Z](?!\u00a0?\d))+)", text)
        if re.search(r"\d", after)
    }
    seen = 0
    for train in result.clock.trains:
        for arbor in train.arbors:
            for gear in arbor.gears:
                if gear.teeth is None:
                    continue
                seen += 1
                # in the table of counts, in the register beside its path, and on the label of its arbor
                assert re.search(rf"\b{gear.teeth}\b", text), gear.path
                registered = re.search(rf"{re.escape(gear.path)} (?:\S+ ){{0,3}}{gear.teeth}\b", text)
                assert registered, (gear.path, gear.teeth)
                if arbor.path in labels:
                    assert re.search(rf"\b{gear.teeth}\b", labels[arbor.path]), (
                        gear.path,
                        labels[arbor.path],
                    )
    assert seen >= 5


# -- cautions ----------------------------------------------------------------------
ALWAYS = {"tower", "emergency", "figures", "labels", "measuring"}
# Whatever has a train that a weight drives, wound by hand.
TRAIN = {"train", "falling"}
HAZARDS = {
    "ellenfrith-school": TRAIN | {"winding", "pendulum", "bells", "height"},
    "eskerholt-observatory": TRAIN | {"winding", "pendulum", "bells", "height", "mercury"},
    "marlsted-corn-hall": TRAIN | {"winding", "pendulum", "bells", "height", "cutting"},
    "penquay-harbour-office": TRAIN | {"winding", "pendulum", "bells", "height"},
    "skarnhove-chapel": TRAIN | {"winding", "pendulum", "bells", "height"},
    "tarnholt-ropewalk": TRAIN | {"winding", "height", "mercury", "cutting"},
    "vaubrune-gate": TRAIN | {"winding", "pendulum", "bells", "height", "electricity", "cutting"},
    "wenlodden-institute": TRAIN | {"winding", "pendulum", "bells", "height", "electricity"},
}
MOTOR = '  automatic winding\n    motor "single phase"\n'
VARIANTS: dict[str, tuple[str, set[str]]] = {
    "no train": (EMPTY, set()),
    "no strike, mercury": (TIMEPIECE, TRAIN | {"winding", "pendulum", "height", "mercury"}),
    "no dial, a motor": (TOWER, TRAIN | {"winding", "pendulum", "bells", "electricity"}),
    "bob of lead": (
        TIMEPIECE.replace("bob mercury\n    jars 2", "bob lead"),
        TRAIN | {"winding", "pendulum", "height"},
    ),
    "a motor, and a rope all the same": (
        TIMEPIECE.replace("  winding by endless rope", MOTOR + "  winding by endless rope"),
        TRAIN | {"winding", "pendulum", "height", "mercury", "electricity"},
    ),
    "a motor alone": (
        TIMEPIECE.replace("  winding by endless rope\n    jockey weight 4 lb\n", MOTOR),
        TRAIN | {"pendulum", "height", "mercury", "electricity"},
    ),
    "no dial": (TIMEPIECE.replace("dial\n  one hand only\n", ""), TRAIN | {"winding", "pendulum", "mercury"}),
}


def cautions(binder: Binder) -> set[str]:
    return {part.hazard for part in walk(binder) if isinstance(part, Caution)}


def test_every_demo_has_its_row() -> None:
    assert sorted(HAZARDS) == DEMOS


@pytest.mark.parametrize("name", DEMOS)
def test_cautions_are_those_of_the_demo(name: str) -> None:
    assert cautions(demo(name)) - ALWAYS == HAZARDS[name]
    assert cautions(demo(name)) >= ALWAYS


@pytest.mark.parametrize("name", VARIANTS)
def test_cautions_go_with_the_parts(name: str) -> None:
    text, wanted = VARIANTS[name]
    assert cautions(bound(compiled(text))) - ALWAYS == wanted


@pytest.mark.parametrize("name", DEMOS)
def test_cautions_are_printed_with_their_word(name: str) -> None:
    text = squeezed(" ".join(texts_of(name)))
    for part in walk(demo(name)):
        if isinstance(part, Caution):
            assert squeezed(f"Caution: {part.title}") in text


# -- what is not there -------------------------------------------------------------
STRIKING = re.compile(
    r"\b(strik\w*|struck|chim\w*|bells?|hammers?|quarters?|rung|ringers?|rack|snail|count wheels?|let(?:s|ting)? off"
    r"|blows?|silent|silenc\w*|in step)\b",
    re.IGNORECASE,
)
BOOK = "Clocks, Watches and Bells"  # the title of a book


@cache
def silent() -> Binder:
    return bound(compiled(TIMEPIECE), contacts=True)


def test_a_clock_without_a_strike_has_no_word_of_it_in_the_whole_binder() -> None:
    binder = silent()
    drawn = " ".join(
        f"{part.drawing.title} {part.drawing.alt} {re.sub('<[^>]+>', ' ', part.drawing.svg)}"
        for part in walk(binder)
        if isinstance(part, Picture)
    )
    pages = [
        read_page(data.decode()).text for name, data in print_binder(binder).items() if name.endswith(".html")
    ]
    for text in (plain(binder), drawn, *pages, pdf_text(print_pdf(binder))):
        found = squeezed(text).replace(BOOK, "")
        assert STRIKING.findall(found) == []


def test_the_words_of_striking_are_found_where_there_is_one() -> None:
    found = {word.lower() for word in STRIKING.findall(plain(bound(compiled(CHIMES))))}
    assert {"strike", "chiming", "quarter", "hammers", "count wheel"} <= found


# -- what was wrong on the pages -----------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_no_lettering_is_under_seven_points(name: str) -> None:
    texts, small_ones = read_of(name)
    assert texts
    assert small_ones == set()


def test_no_number_to_call_leaves_room_for_it() -> None:
    binder = bound(api.compile_file(SPECS / "vaubrune-gate"), contacts=True)  # names, and no telephone
    tab = next(tab for tab in binder.tabs if tab.id == "emergency")
    text = squeezed(plain(tab.document))
    assert "Owner, day and night" in text
    assert "Clockmaker" in text
    assert "Electrician" in text


def test_what_is_wound_again_by_a_motor_is_switched_off_when_it_strikes_on() -> None:
    text = squeezed(plain(demo("wenlodden-institute")))
    assert "Its motor would wind it again and again: cut off the supply" in text
    assert "Its motor would wind" not in squeezed(plain(demo("eskerholt-observatory")))


def test_one_bell_and_one_hammer_are_told_in_the_singular() -> None:
    text = squeezed(plain(demo("vaubrune-gate")))
    assert "The bell is also rung" in text
    assert "the hammer is pulled off" in text
    assert "bells are down" not in text


def test_no_care_is_told_with_the_words_of_the_language() -> None:
    for name in DEMOS:
        register = next(tab for tab in demo(name).tabs if tab.id == "register").document
        assert "<task>" not in plain(register)
    text = squeezed(plain(demo("tarnholt-ropewalk")))
    assert "look at the roof every 3 months" in text
    assert "months ±" not in text


def test_sizes_are_told_to_digits_that_help() -> None:
    measuring = next(tab for tab in demo("tarnholt-ropewalk").tabs if tab.id == "measuring").document
    text = squeezed(plain(measuring))
    assert "± 110 mm" in text  # a rope whose length is not known, in the keeper's own unit
    assert " ft" not in text
    assert "°N" not in "".join(re.findall(r"± [\d.]+ \S+", text))
    drawn = {
        part.drawing.id: part.drawing.svg
        for part in walk(demo("eskerholt-observatory"))
        if isinstance(part, Picture)
    }
    fall = squeezed(re.sub("<[^>]+>", " ", drawn["fall-going"]))
    assert "12 hours in hand" in fall
    assert "230 J of work" in fall


def test_a_heavy_weight_is_lifted_by_those_who_may() -> None:
    measuring = next(tab for tab in demo("vaubrune-gate").tabs if tab.id == "measuring").document
    section = next(
        part for part in walk(measuring) if getattr(part, "title", "").endswith("Going train: weight")
    )
    assert "by those who may lift it" in plain(section)  # 90 Paris pounds are 44 kg


# -- what may come -----------------------------------------------------------------
LONG = "Donaudampfschiff" * 12


@cache
def hostile(folder: Path) -> Binder:
    return small(
        folder,
        f"""countwheel 1

clock "{ODD}"
  place "{ODD}"
  owner "{LONG}"
  keeper "{ODD}"
train going
  arbor barrel
    barrel
      line steel wire rope
        ending "{ODD}"
      weight 20 kg
    wheel great 96
      condition "{ODD}"
    found in "{ODD}"
  arbor escape
    pinion 8
    escape wheel 30
dial
  material "{ODD}"
contact "{ODD}"
  telephone "{ODD}"
care
  "{ODD}" every 2 weeks
log
  2026-05-02 note "{ODD}" by "{ODD}"
""",
        contacts=True,
    )


def test_odd_texts_print_as_themselves_everywhere(tmp_path: Path) -> None:
    binder = hostile(tmp_path)
    pages = {name: data.decode() for name, data in print_binder(binder).items() if name.endswith(".html")}
    for name, content in pages.items():
        page = read_page(content)
        assert "script" not in page.tags
        assert squeezed(ODD) in page.text, name
    drawings = [part.drawing.svg for part in walk(binder) if isinstance(part, Picture)]
    assert drawings
    assert not [svg for svg in drawings if "<script" in svg]
    assert any("&lt;script" in svg for svg in drawings)
    text = pdf_text(print_pdf(binder))
    assert "<script>window.hit=1</script> & #let x = 1 \\\\ \\u{41} $a$ {{ 7*7 }} `c` 'q'" in text
    assert "&amp;" in text
    assert "[bell]" in text  # a letter for which the PDF has no shape is named
    assert text.replace(" ", "").count(LONG) > 0


def test_the_pages_and_the_folder_agree() -> None:
    """The texts that a demo's PDF and HTML hold are the same ones: neither printer leaves a tab out."""
    binder = demo("tarnholt-ropewalk")
    pages, text = pages_of("tarnholt-ropewalk"), pdf_text(pdf_of("tarnholt-ropewalk"))
    for tab in binder.tabs:
        assert f"{tab.id}.html" in pages
        assert squeezed(f"{tab.letter} {tab.title}") in text


# -- for those who hear the pages ------------------------------------------------------
def elements(node: Any) -> Any:
    """The elements of a PDF's structure in reading order."""
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for one in node:
            yield from elements(one)
    elif isinstance(node, dict):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from elements(node["/K"])


@pytest.mark.parametrize("name", ["penquay-harbour-office", "tarnholt-ropewalk"])
def test_the_structure_of_the_pdf_is_that_of_the_binder(name: str) -> None:
    """Points of the Matterhorn Protocol 1.1 that a program can hold: 07, 09, 11, 13, 14, 15 (heads of columns)."""
    root: Any = read_pdf(pdf_of(name)).trailer["/Root"]
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data().decode()
    found = list(elements(root["/StructTreeRoot"]))
    levels = [int(one["/S"][2:]) for one in found if re.fullmatch(r"/H\d", one["/S"])]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert levels.count(1) == len(demo(name).tabs)
    pictures = [part.drawing.alt for part in walk(demo(name)) if isinstance(part, Picture)]
    told = [str(one["/Alt"]) for one in found if one["/S"] == "/Figure"]
    assert [squeezed(text) for text in told if squeezed(text) in {squeezed(alt) for alt in pictures}] == [
        squeezed(alt) for alt in pictures
    ]
    assert all(told)
    heads = [one for one in found if one["/S"] == "/TH"]
    assert heads
    assert all("/Scope" in str(one["/A"]) for one in heads)
