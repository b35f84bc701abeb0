"""Hostile texts through everything that is built: each output is walked, and in each they are texts.

What is looked for is what the reader of that format could be made to do: a kind of output that nobody has thought of
here fails.
"""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from functools import partial
from html.parser import HTMLParser
from pathlib import Path

import icalendar
import mido
import pypdf
import pytest
from countwheel import api, outputs
from countwheel.emit import layout_engine
from countwheel.emit.csv_cell import text_cell
from countwheel.highlight.page import source_html
from hostile import ALL, MARK, TEXTS, clock_of

SUBJECT = f"{MARK} <script>window.hit=1</script> =1+1 \x1b]0;title\x07 \u202egnp"


def made_of(text: str, folder: Path) -> dict[str, bytes]:
    """All that is built of a clock with the text everywhere, also in what git says of it."""
    folder.mkdir()
    path = folder / "try.movement"
    path.write_text(clock_of(text), encoding="utf-8")
    if shutil.which("git"):
        own = (
            "-c",
            f"user.name={MARK} ' onload=window.hit=1 =1+1 \x1b[2J",
            "-c",
            "user.email=a@example.invalid",
        )
        for words in (("init", "-q"), ("add", "."), (*own, "commit", "-q", "-m", SUBJECT)):
            subprocess.run(["git", *words], cwd=folder, check=True, timeout=60)
    result = api.compile_file(path)
    assert not result.has_errors, [one.message for one in result.diagnostics if one.severity == "error"]
    found = outputs.everything(result, with_binder=True, issued=1_777_000_000)
    found |= {f"alone/{name}": one for name, one in outputs.binder_alone(result, contacts=True).items()}
    found["text.html"] = source_html(clock_of(text)).encode()
    from countwheel.emit.log_csv import as_csv

    assert result.clock is not None
    found["log.csv"] = as_csv(result.clock).encode()
    return found


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return made_of(f"{MARK} a plain text", tmp_path_factory.mktemp("plain") / "it")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return made_of(ALL, tmp_path_factory.mktemp("hostile") / "it")


Shape = set[tuple[str, str, str]]


class _Page(HTMLParser):
    """What a page consists of: elements, their attributes, and the beginning of each address."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.shape: Shape = set()
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.shape.add((tag, "", ""))
        for name, value in attrs:
            scheme = re.match(r"[A-Za-z][\w+.-]*:", value or "")
            leads = name in ("href", "src", "action", "xlink:href", "style")
            self.shape.add((tag, name, scheme[0] if leads and scheme else ""))

    handle_startendtag = handle_starttag

    def handle_decl(self, decl: str) -> None:
        self.shape.add(("!", decl, ""))

    def unknown_decl(self, data: str) -> None:
        self.shape.add(("!", data, ""))

    def handle_pi(self, data: str) -> None:
        self.shape.add(("?", data, ""))

    def handle_comment(self, data: str) -> None:
        self.shape.add(("--", data, ""))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def page(content: bytes) -> _Page:
    read = _Page()
    read.feed(content.decode())
    read.close()
    return read


def look_at_page(content: bytes, usual: Shape) -> None:
    read = page(content)
    made = {one for one in read.shape - usual if one[0] not in ("br", "tspan", "wbr")}
    # markup of a keeper's own text block is allowed: emphasis, lists, tables; nothing that leads or runs
    allowed = {"bdi", "em", "strong", "code", "p", "ul", "ol", "li", "blockquote", "table", "tr", "td", "th"}
    assert {one for one in made if one[0] not in allowed or one[1]} == set()
    assert not {name for _, name, _ in read.shape if name.startswith("on")}
    assert not {tag for tag, _, _ in read.shape} & {"script", "iframe", "object", "embed", "form", "base"}


def look_at_drawing(content: bytes) -> None:
    for element in ElementTree.fromstring(content).iter():
        assert element.tag.rpartition("}")[2] not in (
            "script",
            "image",
            "foreignObject",
            "a",
            "use",
            "animate",
        )
        assert not [name for name in element.attrib if name.startswith("on") or name.endswith("href")]


def look_at_pdf(content: bytes) -> None:
    """Adobe's PDF 1.7 (ISO 32000-1), 12.6.4: of the actions only those that go to another place of the same file."""
    read = pypdf.PdfReader(io.BytesIO(content))
    for one in range(len(read.xref[0]) + 50):
        try:
            found = read.get_object(one)
        except Exception:
            continue
        if isinstance(found, dict):
            assert found.get("/S") not in (
                "/JavaScript",
                "/Launch",
                "/URI",
                "/SubmitForm",
                "/GoToR",
                "/ImportData",
            )
            assert not {"/JS", "/AA", "/OpenAction"} & set(found)
    assert not read.attachments
    assert "WWWW" in "".join(one.extract_text() for one in read.pages)


def look_at_json(content: bytes) -> None:
    read = json.loads(content)
    assert isinstance(read, dict)
    assert "hit" not in read


def look_at_csv(content: bytes) -> None:
    text = content.decode()
    assert "\n" not in text.replace("\r\n", "")
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert len({len(row) for row in rows}) == 1
    number = re.compile(r"[+-]\d+(\.\d+)?( ?[A-Za-z°]+)?")
    for cell in (cell for row in rows for cell in row):
        assert not cell.lstrip().startswith(tuple("=+-@＝＋－＠")) or number.fullmatch(cell), cell


def look_at_calendar(content: bytes) -> None:
    """RFC 5545, 3.1: lines of at most 75 octets that end with CR LF; nothing but our own components and properties."""
    lines = content.split(b"\r\n")
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    kinds, names = set(), set()
    for one in icalendar.Calendar.from_ical(content).walk():
        kinds.add(one.name)
        names |= set(one)
    assert kinds <= {"VCALENDAR", "VEVENT", "VALARM", "VTIMEZONE", "STANDARD", "DAYLIGHT"}
    assert not names & {"ATTACH", "URL", "ATTENDEE", "ORGANIZER", "X", "IMAGE", "CONFERENCE"}
    assert lines.count(b"BEGIN:VALARM") == lines.count(b"ACTION:DISPLAY") > 0


def look_at_sound(content: bytes) -> None:
    for event in (event for track in mido.MidiFile(file=io.BytesIO(content)).tracks for event in track):
        if hasattr(event, "text") or hasattr(event, "name"):
            assert getattr(event, "text", getattr(event, "name", "")).isprintable()


def look_at_text(content: bytes) -> None:
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", content.decode())


LOOKS: dict[str, Callable[[bytes], None]] = {
    "svg": look_at_drawing,
    "pdf": look_at_pdf,
    "json": look_at_json,
    "csv": look_at_csv,
    "ics": look_at_calendar,
    "mid": look_at_sound,
    "txt": look_at_text,
}
NO_TEXT = {"css"}  # ours, word for word


def test_every_output_holds_texts_as_texts(plain: dict[str, bytes], hostile: dict[str, bytes]) -> None:
    usual = set().union(*(page(one).shape for name, one in plain.items() if name.endswith(".html")))
    looks = LOOKS | {"html": partial(look_at_page, usual=usual)}
    kinds = set()
    for name, content in hostile.items():
        kind = name.rpartition(".")[2]
        kinds.add(kind)
        if kind in NO_TEXT:
            assert content == plain[name], name
        else:
            assert kind in looks, f"{name} is a kind of output that is not looked at here"
            looks[kind](content)
    assert kinds >= set(looks) - NO_TEXT
    assert not [name for name in hostile if not re.fullmatch(r"[\w./-]+", name)]


@pytest.mark.parametrize("name", ["manual.html", "evidence.html", "text.html", "alone/binder/manual.html"])
def test_what_was_written_is_read_word_for_word(hostile: dict[str, bytes], name: str) -> None:
    seen = " ".join("".join(page(hostile[name]).text).split())
    for text in ("script", "picture", "end of a title", "entities", "template", "typst", "percent"):
        assert " ".join(TEXTS[text].split()) in seen, text


def test_what_was_written_is_read_by_programs(hostile: dict[str, bytes]) -> None:
    assert json.loads(hostile["manifest.json"])["movement"] == f"{MARK} {ALL}"
    rows = list(csv.DictReader(io.StringIO(hostile["log.csv"].decode(), newline="")))
    assert ALL in {rows[0]["note"], rows[0]["by"]}
    lines = hostile["calendar.ics"].decode().replace("\r\n ", "").split("\r\n")  # unfolded: RFC 5545, 3.1
    said = f"{MARK} {ALL}".replace("\\N", "\n")  # icalendar takes it for the end of a line, written or not
    name = next(line.partition(":")[2] for line in lines if line.startswith("X-WR-CALNAME:"))
    assert re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], name) == said


# -- the cells of a CSV file --------------------------------------------------------------
@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_a_cell_is_no_formula_and_comes_back(text: str) -> None:
    made = text_cell(text)
    assert not made.lstrip().startswith(tuple("=+-@＝＋－＠"))
    assert made in (text, f"'{text}")


@pytest.mark.parametrize(
    "fact", ["-3", "+2", "-3.5", "-3.5 s", "-0.658", "−0.7 mm", "12 s slow", "", "- none"]
)
def test_a_number_stays_one(fact: str) -> None:
    assert text_cell(fact) == ("'- none" if fact == "- none" else fact)


@pytest.mark.parametrize("text", ["=1+1", "'=1+1", "''@a", "-2+3", "+a", "'a'", "-", "  =1", "＝1"])
def test_the_log_comes_back_from_csv(text: str) -> None:
    from countwheel.emit.log_csv import as_csv
    from countwheel.record.importing import columns_of, lines_of

    lines = f'countwheel 1\nclock "A"\nlog\n  2026-05-02   found 3 s slow   note "{text}"\n'
    clock = api.check_text(lines, "try.movement").clock
    assert clock is not None
    made = as_csv(clock)
    back = lines_of(made, columns_of("", made))
    assert back.faults == ()
    again = 'countwheel 1\nclock "A"\nlog\n' + "".join(f"  {line.text}\n" for line in back.lines)
    second = api.check_text(again, "try.movement").clock
    assert second is not None
    assert as_csv(second).replace("'  =", "'=") == made.replace("'  =", "'=")


def _given_to_the_engine(text: str, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The DOT texts that the layout engine is given for a clock with the text everywhere, without their numbers."""
    given: list[str] = []
    run = layout_engine.run

    def noted(dot: str, output: str = "json0") -> tuple[str, str]:
        given.append(dot)
        return run(dot, output)

    monkeypatch.setattr(layout_engine, "run", noted)
    assert outputs.drawings(api.check_text(clock_of(text)))
    monkeypatch.undo()
    return sorted({re.sub(r"-?\d+(\.\d+)?", "0", line) for dot in given for line in dot.splitlines()})


def test_the_layout_engine_is_given_no_text(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = _given_to_the_engine("a plain text", monkeypatch)
    assert usual
    assert _given_to_the_engine(ALL, monkeypatch) == usual
    assert MARK not in "".join(usual)


def test_the_page_of_those_who_wind_holds_texts_as_texts(hostile: dict[str, bytes]) -> None:
    seen = " ".join("".join(page(hostile["alone/binder/rota.html"]).text).split())
    assert " ".join(TEXTS["script"].split()) in seen
    assert " ".join(TEXTS["dot"].split()) in seen
