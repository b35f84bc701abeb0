"""What there is none of, what is lost, what is only hinted at: never printed or drawn as if it were there."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree as ET

import pytest
from countwheel import api
from countwheel.api import Result
from countwheel.emit.document import Document, Table
from countwheel.emit.drawing import Drawing
from countwheel.emit.drawings import draw_all
from countwheel.emit.manual import build_manual
from countwheel.emit.naming import Names
from countwheel.emit.traversal import plain, walk
from manual_reading import squeezed
from manual_samples import HARBOUR, TIMEPIECE, TOWER, compiled
from wreck_samples import GATE, LAYERS, WRECK

SVG = "{http://www.w3.org/2000/svg}"


@cache
def manual(text: str) -> Document:
    result = compiled(text)
    assert result.clock is not None
    return build_manual(result.clock, result.figures, gaps=api.gaps(result))


def chapter(text: str, id: str) -> str:
    found = manual(text).chapter(id)
    assert found is not None
    return squeezed(plain(found))


@cache
def drawings(text: str) -> dict[str, Drawing]:
    result: Result = compiled(text)
    assert result.clock is not None
    return {drawing.id: drawing for drawing in draw_all(result.clock, result.figures)}


def lettering(drawing: Drawing) -> str:
    root = ET.fromstring(drawing.svg)
    return squeezed(" ".join(text.text or "" for text in root.iter(f"{SVG}text")).replace(",", ""))


def rows(text: str, id: str) -> list[str]:
    found = manual(text).chapter(id)
    assert found is not None
    tables = [part for part in walk(found) if isinstance(part, Table)]
    return [squeezed(" ".join(plain(cell) for cell in row)) for table in tables for row in table.rows]


# -- what there is none of -----------------------------------------------------
def without(text: str, words: tuple[str, ...], deny: bool) -> str:
    """The description with every fact of those words, and what it owns, left out or denied (`no tray`)."""
    kept: list[str] = []
    below: int | None = None
    for line in text.split("\n"):
        depth = len(line) - len(line.lstrip())
        if below is not None and line.strip() and depth > below:
            continue
        below = None
        word = next((word for word in words if re.match(rf"\s+{word}\b", line)), "")
        if not word:
            kept.append(line)
            continue
        below = depth
        if deny:
            kept.append(f"{' ' * depth}no {word}")
    return "\n".join(kept)


LEAVES = (
    "handle", "jack", "bars", "mark", "takes", "lasts", "slabs", "diameter",
    "construction", "grade", "half arc", "thread", "divisions", "mass", "lift", "pulled off", "notches",
    "lifting pins", "counterpoise", "above ground", "friction", "isolator", "motor", "reserve", "jockey weight",
    "layers", "cut for", "vanes", "each change", "changes a turn", "steps", "condition", "arm",
)  # fmt: skip
PARTS = (
    "winding", "automatic winding", "rating nut", "tray", "crutch", "suspension spring", "bob", "rod", "fly",
    "hammer", "count wheel", "rack", "chime barrel", "remontoire", "line", "pulley", "warning", "lifting pins",
    "snail", "let off by",
)  # fmt: skip


@pytest.mark.parametrize("words", [LEAVES, PARTS], ids=["facts", "parts"])
@pytest.mark.parametrize("text", [HARBOUR, TIMEPIECE, TOWER, GATE, LAYERS, WRECK])
def test_what_there_is_none_of_reads_as_if_it_were_not_there(text: str, words: tuple[str, ...]) -> None:
    denied, left_out = (without(text, words, deny) for deny in (True, False))
    assert denied != left_out
    # The same figures for both: what they make of a denied fact is their own affair.
    figures = compiled(left_out).figures
    clocks = [compiled(version).clock for version in (denied, left_out)]
    made = [build_manual(clock, figures) for clock in clocks if clock]
    # What nobody has stated is asked after, and explained; what there is none of is not.
    for one in made[0].chapters:
        two = made[1].chapter(one.id)
        if one.id not in ("unknown", "words"):
            assert two is not None
            assert unasked(plain(one)) == unasked(plain(two))
    drawn = [draw_all(clock, figures) for clock in clocks if clock]
    assert [lettering(drawing) for drawing in drawn[0]] == [lettering(drawing) for drawing in drawn[1]]


def unasked(text: str) -> str:
    """What a chapter says, without its numbers and without what a run of the clock waits for."""
    text = re.sub(r"; it cannot be worked out before these are known: [^.]*\.", ".", squeezed(text))
    return re.sub(r"^\d+|chapter \d+", "chapter", text)


def test_what_there_is_none_of_is_not_asked_after() -> None:
    there = WRECK.replace("  no tray", "  tray")
    assert any("tray: depth below the suspension" in row for row in rows(there, "unknown"))
    assert not any("tray" in row for row in rows(WRECK, "unknown"))


def test_no_maintaining_power_is_said_plainly() -> None:
    text = chapter(WRECK, "winding")
    assert "There is no maintaining power" in text
    assert "There is maintaining power" not in text


# -- what is lost --------------------------------------------------------------
def test_what_is_lost_is_named() -> None:
    glance = chapter(WRECK, "glance")
    lost = glance[glance.index("Lost ") : glance.index("Whom to call")]
    for part in (
        "weight of the going train", "wheel of the third arbor of the going train",
        "upper arbor of the going train", "bob of the pendulum", "rating nut of the pendulum", "hour hand",
    ):  # fmt: skip
        assert part in lost.lower()
    assert "Leave it standing" in glance


def test_mercury_that_is_lost_is_not_in_the_pendulum() -> None:
    text = chapter(WRECK, "before")
    assert "The pendulum holds mercury" not in text
    assert "had a bob with mercury in it, and the bob is lost" in text
    assert "The pendulum holds mercury" in chapter(TIMEPIECE, "before")


def test_a_hint_is_given_with_what_is_not_known() -> None:
    text = chapter(WRECK, "before")
    assert "the weight is lost; it may have been 50 to 70 kg; the line is manila rope" in text
    assert "How heavy its bob is, is not known; take it for heavy" in chapter(TIMEPIECE, "before")
    glance = chapter(WRECK, "glance")
    assert "Made not known" in glance
    assert "Maker not known" in glance


def test_nothing_is_turned_wound_or_leant_on_that_is_lost() -> None:
    assert "Its weight is lost: there is nothing to wind" in chapter(WRECK, "winding")
    regulating = chapter(WRECK, "regulating")
    assert "The rating nut is lost" in regulating
    assert "turn only the nut" not in regulating
    for id in ("winding", "setting", "regulating"):
        assert "This clock has not gone since 1961" in chapter(WRECK, id)
        assert "has not gone" not in chapter(HARBOUR, id)
    stops = chapter(WRECK, "stops")
    assert "the bob is lost" in stops
    assert "the crutch (if there is one) on the rod" in stops
    assert "crutch" not in chapter(HARBOUR, "stops")


def test_each_gap_is_told_once() -> None:
    parts = rows(WRECK, "unknown")
    assert sum("winding: bars" in row for row in parts) == 1
    assert sum("upper arbor" in row for row in parts) == 1
    assert len(set(parts)) == len(parts)
    assert not any("lost the part is lost" in row for row in parts)
    assert any(row.startswith("Pendulum: rating nut the part is lost") for row in parts)
    assert any(row == "Pendulum: bob the part is lost" for row in parts)


def test_doubted_counts_and_remains_stand_once_in_the_tables() -> None:
    counts = rows(WRECK, "counts")
    escape = next(row for row in counts if "escape wheel" in row)
    assert (
        "also recorded: 32 (told, by the chandler; doubted: from memory; 2 from the one that holds)" in escape
    )
    crate = [row for row in counts if "crate" in row]
    assert [row.split("”")[1].split()[:4] for row in crate] == [
        ["60", "not", "stated"],
        [":", "remains", "41", "of"],
    ]


def test_a_lost_part_is_drawn_as_lost_and_tied_to_nothing() -> None:
    drawing = drawings(WRECK)["train-going"]
    text = lettering(drawing)
    assert "lost weight ? 50 to 70 kg" in text
    assert "lost fall" not in text
    assert "lost arbor “upper”" in text
    assert "how it is driven" not in text
    root = ET.fromstring(drawing.svg)
    upper = next(g for g in root.iter(f"{SVG}g") if g.findtext(f"{SVG}title") == "going.upper")
    box = upper.find(f"{SVG}rect")
    assert box is not None
    left, top, wide, high = (float(box.attrib[key]) for key in ("x", "y", "width", "height"))
    for arrow in root.iter(f"{SVG}polygon"):
        x, y = (float(part) for part in arrow.attrib["points"].split()[0].split(","))
        assert not (left - 1 < x < left + wide + 1 and top - 1 < y < top + high + 1)


# -- what a keeper calls it ----------------------------------------------------
@pytest.mark.parametrize("text", [HARBOUR, TIMEPIECE, TOWER, GATE, LAYERS, WRECK])
def test_no_path_of_the_description_is_printed(text: str) -> None:
    clock = compiled(text).clock
    assert clock is not None
    paths = {node.path for node in clock.root.walk() if "." in node.path}
    names = {train.name for train in clock.trains}
    printed = [squeezed(plain(manual(text))), *map(lettering, drawings(text).values())]
    for words in printed:
        assert not [path for path in paths if re.search(rf"(?<![\w.]){re.escape(path)}(?![\w.])", words)]
        assert not [name for name in names if re.search(rf"\b{name}, \w+, ", words)]


def test_names_are_those_of_the_trade() -> None:
    clock = compiled(GATE).clock
    assert clock is not None
    names = Names(clock)
    assert names.train("strike") == "striking train"
    assert names.part("going.barrel.weight") == "going train: weight"
    assert names.part("going.third.wheel") == "going train, third arbor: wheel"
    assert names.part("going.barrel.great") == "going train: great wheel"
    assert names.phrase("going.barrel.turns_of_line") == "turns of line of the barrel of the going train"
    assert names.phrase("going.barrel.hand", within="going") == "lantern pinion “hand” of the barrel arbor"
    assert names.phrase("going.centre.turns") == "direction of turning of the centre arbor of the going train"
    told = names.in_text("distance between the arbors going.barrel and going.centre", "going")
    assert told == "distance between the barrel arbor and the centre arbor"
    assert names.in_text("see notes.txt, 0.5 or e.g. this") == "see notes.txt, 0.5 or e.g. this"
