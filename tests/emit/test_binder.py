"""The binder: every paper in one cover, each once, with references that lead somewhere and nobody named unasked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path, PurePosixPath
from typing import Any

import pytest
from countwheel import api, outputs
from countwheel.emit.document import Binder, Card, Cards, Entry, Photograph, Picture
from countwheel.emit.html import print_binder
from countwheel.emit.pdf import print_pdf
from countwheel.emit.traversal import anchors, dangling, plain, walk
from manual_reading import pdf_text, read_page, read_pdf, squeezed

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)
NUMBERS = re.compile(r"01632 960 \d\d\d|@penquay\.example|Quay Street")
NASTY = '<script>x()</script> ]]> #set page(width: 1pt) \\u{41} {{ 7*7 }} & "'


def bound(result: api.Result, contacts: bool = False, issued: int | None = None) -> Binder:
    return outputs.binder(result, contacts=contacts, issued=issued)


@cache
def demo(name: str) -> Binder:
    return bound(api.compile_file(SPECS / name))


@cache
def pages_of(name: str) -> dict[str, bytes]:
    return print_binder(demo(name))


@cache
def pdf_of(name: str) -> bytes:
    return print_pdf(demo(name))


@cache
def read_of(name: str) -> tuple[tuple[str, ...], frozenset[tuple[int, float, str]]]:
    """The text of each page of the PDF; and what is lettered under 7 pt: page, size, text. Read once: it is slow."""
    texts: list[str] = []
    small_ones: set[tuple[int, float, str]] = set()
    for number, page in enumerate(read_pdf(pdf_of(name)).pages, 1):

        def look(text: str, cm: Any, tm: Any, font: Any, size: float, number: int = number) -> None:
            height = abs(size * tm[3] * cm[3])
            if text.strip() and 0 < height < 6.95:
                small_ones.add((number, round(height, 2), text.strip()[:30]))

        texts.append(squeezed(page.extract_text(visitor_text=look)))
    return tuple(texts), frozenset(small_ones)


def texts_of(name: str) -> tuple[str, ...]:
    return read_of(name)[0]


def small(folder: Path, text: str, contacts: bool = False) -> Binder:
    (folder / "try.movement").write_text(text, encoding="utf-8")
    result = api.compile_file(folder / "try.movement")
    assert result.clock is not None
    return bound(result, contacts)


def part_id(part: object) -> str:
    return getattr(part, "id", "")


def bookmarks(data: bytes) -> Iterator[tuple[int, str, int]]:
    """Depth, title and page from 1 of every bookmark."""
    reader = read_pdf(data)

    def inside(items: list[Any], depth: int) -> Iterator[tuple[int, str, int]]:
        for item in items:
            if isinstance(item, list):
                yield from inside(item, depth + 1)
            else:
                number = reader.get_destination_page_number(item)
                assert number is not None
                yield depth, str(item.title), number + 1

    yield from inside(list(reader.outline), 0)


# -- what is in it -----------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_no_reference_leads_nowhere_and_no_id_is_there_twice(name: str) -> None:
    binder = demo(name)
    assert dangling(binder) == ()
    ids = [part.id for part in walk(binder) if hasattr(part, "id")]
    assert len(ids) == len(set(ids))
    letters = [tab.letter for tab in binder.tabs]
    assert letters == sorted(set(letters))
    assert {"use", "manual", "sheets", "register", "changes", "log", "blank", "labels"} <= {
        tab.id for tab in binder.tabs
    }
    assert [tab.id for tab in binder.tabs][-1] == "alphabetical"


@pytest.mark.parametrize("name", DEMOS)
def test_every_drawing_stands_in_it_once(name: str) -> None:
    shown = [part.drawing.id for part in walk(demo(name)) if isinstance(part, Picture)]
    result = api.compile_file(SPECS / name)
    assert shown == [drawing.id for drawing in outputs.drawings(result)]


@pytest.mark.parametrize("name", DEMOS)
def test_labels_lead_to_what_tells_of_their_part(name: str) -> None:
    binder = demo(name)
    cards = [part for part in walk(binder) if isinstance(part, Card)]
    result = api.compile_file(SPECS / name)
    assert result.clock is not None
    paths = {card.path for card in cards}
    arbors = [arbor for train in result.clock.trains for arbor in train.arbors]
    assert paths >= {arbor.path for arbor in arbors if not arbor.node.get("lost")}
    assert paths <= {node.path for node in result.clock.root.walk()} | {arbor.path for arbor in arbors}
    for card in cards:
        home = binder.home(card.code.to)
        assert home is not None
        letter, _, number = plain(card.code).partition("\u00a0")
        assert letter == home.letter
        chapter = next((one for one in home.document.chapters if str(one.number) == number), None)
        if not number:  # a tab without chapters: the section that it leads to has the part in it
            section = next(part for part in walk(home) if part_id(part) == card.code.to)
            assert card.name.lower() in plain(section).lower()
            continue
        assert chapter is not None
        there = {part.id for part in walk(chapter) if hasattr(part, "id")}
        assert card.code.to in there


def test_a_lost_arbor_has_no_label() -> None:
    paths = {part.path for part in walk(demo("tarnholt-ropewalk")) if isinstance(part, Card)}
    assert "going.upper" not in paths
    assert {"going.third", "crate", "by_the_door"} <= paths


def test_the_log_is_told_in_the_order_of_its_days() -> None:
    log = next(tab for tab in demo("penquay-harbour-office").tabs if tab.id == "log")
    text = plain(log.document)
    assert (
        text.index("19 Sep 2025, 10:00") < text.index("8 Jan 2026, 05:40") < text.index("3 Apr 2026, 09:00")
    )
    assert "snow on the hands of the west dial" in text
    assert "nut 1/5 division down" in squeezed(text)


def test_a_clock_has_only_the_emergencies_of_its_parts() -> None:
    def emergency(name: str) -> str:
        return plain(next(tab for tab in demo(name).tabs if tab.id == "emergency").document)

    assert "Mercury" in emergency("tarnholt-ropewalk")
    assert not re.search("striking|weight|parted", emergency("tarnholt-ropewalk"))  # its weight is lost
    assert "A line has parted" in emergency("penquay-harbour-office")
    assert "Mercury" not in emergency("penquay-harbour-office")
    assert "lever by the trap door" in emergency("penquay-harbour-office")


def test_the_day_of_issue_is_the_one_given() -> None:
    result = api.compile_file(SPECS / "tarnholt-ropewalk")
    assert "14 November 2023" in plain(bound(result, issued=1_700_000_000))  # date -u -d @1700000000
    assert "Issued on \n" in plain(bound(result))


# -- nobody unasked ----------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_nobody_to_call_is_named_unasked(name: str) -> None:
    result = api.compile_file(SPECS / name)
    assert result.clock is not None
    private = [
        text
        for contact in result.clock.root.all("contact")
        for word in ("telephone", "mail", "address")
        if (text := contact.text(word))
    ]
    everywhere = plain(demo(name)) + "".join(
        content.decode() for page, content in pages_of(name).items() if page.endswith(".html")
    )
    assert not [text for text in private if text in everywhere]
    asked = plain(bound(result, contacts=True))
    assert all(text in asked for text in private)


def test_the_manual_says_that_names_were_left_out() -> None:
    text = plain(demo("penquay-harbour-office"))
    assert "left out of this copy" in text
    assert not NUMBERS.search(text)
    assert not NUMBERS.search(" ".join(texts_of("penquay-harbour-office")))


# -- on paper ----------------------------------------------------------------------
@pytest.mark.parametrize("name", ["penquay-harbour-office", "tarnholt-ropewalk", "skarnhove-chapel"])
def test_bookmarks_are_the_contents_and_lead_to_their_pages(name: str) -> None:
    binder, data = demo(name), pdf_of(name)
    made = list(bookmarks(data))
    tabs = [f"{tab.letter}\u2002{tab.title}" for tab in binder.tabs]
    assert [title for depth, title, _ in made if depth == 0] == tabs
    chapters = [
        f"{tab.letter} {chapter.number}\u2002{chapter.title}"
        for tab in binder.tabs
        for chapter in tab.document.chapters
    ]
    found = [title for depth, title, _ in made if depth == 1]
    assert [title for title in found if title in set(chapters)] == chapters
    texts = texts_of(name)
    for _, title, page in made:
        assert squeezed(title)[:40] in texts[page - 1]
    assert [f"page {number} of {len(texts)}" in text for number, text in enumerate(texts, 1)] == [True] * len(
        texts
    )
    contents = squeezed(" ".join(texts[1:4]))
    for title, page in ((title, page) for depth, title, page in made if depth == 0):
        assert re.search(rf"{re.escape(squeezed(title))}[ .]*{page}\b", contents), title
    # a page says at its head what it is of
    home = ""
    for number, text in enumerate(texts, 1):
        home = next((title for depth, title, page in made if depth == 0 and page == number), home)
        assert not home or squeezed(f"{binder.title} – {home}") in text


def test_the_code_of_a_label_names_the_page_that_it_leads_to() -> None:
    name = "penquay-harbour-office"
    texts = texts_of(name)
    printed = next(text for text in texts if "L Labels to tie on" in text and "strike.fly" in text)
    codes = re.findall(r"going\.third pinion 10; wheel 72 B.(\d+), page (\d+)", printed)
    assert len(codes) == 1
    chapter, page = codes[0]
    told = texts[int(page) - 1]
    assert f"B {chapter} Counts and figures" in told or "The going train" in told


def test_index_gives_each_page_once_in_order() -> None:
    texts = texts_of("penquay-harbour-office")
    (line,) = re.findall(r"\bfly ((?:\d+, )+\d+)", " ".join(texts[-2:]))
    pages = [int(page) for page in line.split(", ")]
    assert pages == sorted(set(pages))
    assert all(re.search(r"\bfly\b", texts[page - 1], re.IGNORECASE) for page in pages)


def test_photographs_are_in_the_pdf_as_they_are() -> None:
    data = pdf_of("penquay-harbour-office")
    photos = SPECS / "penquay-harbour-office" / "photos"
    for name in ("great-wheel.jpg", "chime-barrel.jpg"):
        assert (photos / name).read_bytes() in data  # a JPEG goes in byte for byte
    first = next(number for _, title, number in bookmarks(data) if title.endswith("Photographs"))
    assert sum(len(page.images) for page in list(read_pdf(data).pages)[first - 1 : first + 2]) == 4


def test_the_pdf_is_tagged_and_the_same_each_time() -> None:
    again = print_pdf(bound(api.compile_file(SPECS / "tarnholt-ropewalk")))
    assert again == pdf_of("tarnholt-ropewalk")
    assert read_pdf(again).trailer["/Root"]["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert print_binder(bound(api.compile_file(SPECS / "tarnholt-ropewalk"))) == pages_of("tarnholt-ropewalk")


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_sheet_to_copy_is_one_page(paper: outputs.Paper) -> None:
    data = print_pdf(demo("penquay-harbour-office"), paper=paper)
    pages = [page for depth, title, page in bookmarks(data) if depth == 1 and title.startswith("K ")]
    (after,) = (page for depth, title, page in bookmarks(data) if depth == 0 and title.startswith("L"))
    assert [*pages, after] == list(range(pages[0], pages[0] + len(pages) + 1))


# -- on a memory stick -------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_every_link_of_the_pages_leads_to_something_in_the_folder(name: str) -> None:
    files = pages_of(name)
    pages = {page: read_page(content.decode()) for page, content in files.items() if page.endswith(".html")}
    assert "index.html" in pages
    assert len(pages) == len(demo(name).tabs) + 1
    for page in pages.values():
        assert len(page.ids) == len(set(page.ids))
        assert not {"script", "iframe", "object", "link", "base", "form"} & set(page.tags)
    reached = {"index.html"}
    for here, page in pages.items():
        for tag, attributes in page.elements:
            assert not [key for key in attributes if key.startswith("on")]
            if tag == "img":
                assert attributes["src"] in files
                assert attributes["alt"]
            if "href" not in attributes:
                continue
            target, _, anchor = attributes["href"].partition("#")
            assert not PurePosixPath(target).is_absolute()
            assert (target or here) in pages, attributes["href"]
            assert not anchor or anchor in pages[target or here].ids, (here, attributes["href"])
            reached.add(target or here)
    assert reached == set(pages)


def test_photographs_lie_beside_the_pages() -> None:
    files = pages_of("penquay-harbour-office")
    photos = SPECS / "penquay-harbour-office" / "photos"
    assert files["photographs/photograph-1.jpg"] == (photos / "great-wheel.jpg").read_bytes()
    shots = [part for part in walk(demo("penquay-harbour-office")) if isinstance(part, Photograph)]
    assert [shot.photo.file for shot in shots] == [
        name.removeprefix("photographs/") for name in sorted(files) if name.startswith("photographs/")
    ]


# -- what may come -----------------------------------------------------------------
def test_hostile_texts_are_text(tmp_path: Path) -> None:
    quoted = NASTY.replace('"', "'")
    (tmp_path / "p.jpg").write_bytes((SPECS / "penquay-harbour-office/photos/great-wheel.jpg").read_bytes())
    binder = small(
        tmp_path,
        f"""countwheel 1

clock "{quoted}"
  owner "{quoted}"
train going
  arbor barrel
    barrel
      line steel wire rope
        ending "{quoted}"
photo "p.jpg" of going.barrel
  caption "{quoted}"
contact "{quoted}"
  telephone "{quoted}"
care
  "{quoted}" every 2 weeks
log
  2026-05-02 note "{quoted}" by "{quoted}"
""",
        contacts=True,
    )
    pages = {name: data.decode() for name, data in print_binder(binder).items() if name.endswith(".html")}
    for page in pages.values():
        assert "script" not in read_page(page).tags
    for id in ("photographs", "contacts", "log", "spares"):
        assert squeezed(quoted) in read_page(pages[f"{id}.html"]).text
    text = pdf_text(print_pdf(binder))
    assert "x()</script>" in text
    assert "{{ 7*7 }}" in text


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"GIF89a not for us", "neither a JPEG nor a PNG"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "broken or cut short"),
        (b"\x89PNG\r\n\x1a\n" + bytes(40), "broken or cut short"),
        (None, "not beside the description"),
    ],
)
def test_a_photograph_that_is_none_is_told_of(tmp_path: Path, content: bytes | None, told: str) -> None:
    if content is not None:
        (tmp_path / "p.jpg").write_bytes(content)
    binder = small(tmp_path, 'countwheel 1\nclock "Try"\nphoto "p.jpg"\n  caption "A click"\n')
    shots = next(tab for tab in binder.tabs if tab.id == "photographs")
    assert told in plain(shots.document)
    assert told in pdf_text(print_pdf(binder))
    assert not [name for name in print_binder(binder) if name.startswith("photographs/")]


@pytest.mark.parametrize("text", ["countwheel 1\n", 'countwheel 1\nclock "Nothing"\n'])
def test_a_clock_of_which_nothing_is_known(tmp_path: Path, text: str) -> None:
    binder = small(tmp_path, text)
    assert dangling(binder) == ()
    assert not [part for part in walk(binder) if isinstance(part, Cards)]
    assert any(isinstance(part, Entry) for part in walk(binder))
    assert print_pdf(binder).startswith(b"%PDF")
    assert "manual-before" in anchors(binder)


@pytest.mark.parametrize("name", ["penquay-harbour-office", "tarnholt-ropewalk"])
def test_the_page_for_the_door_is_one_page_in_the_binder_too(name: str) -> None:
    starts = [
        at
        for at, text in enumerate(texts_of(name), 1)
        if re.search(r"B 1\W+This clock at a glance.*B 1\W+This clock at a glance", text)  # head and heading
    ]
    people = [
        at for at, text in enumerate(texts_of(name), 1) if re.search(r"B 2\W+People.*B 2\W+People", text)
    ]
    assert len(starts) == 1
    assert people == [starts[0] + 1]


def test_the_rota_has_a_tab_where_there_is_one() -> None:
    assert "rota" not in [tab.id for tab in demo("penquay-harbour-office").tabs]
    page = pages_of("ellenfrith-school")["rota.html"].decode()
    assert "Whose turn it is" in page
    assert "<strong>CE</strong>" in page
