"""One line: its items, their parts and places, and the clauses of how it is known."""

from __future__ import annotations

from typing import Any

import pytest
from countwheel.project import parse
from countwheel.source import Source
from countwheel.syntax.tree import Line


def line_of(text: str) -> Line:
    tree, report = parse(Source("x.movement", text))
    assert report == []
    return tree.lines[0]


def kinds(text: str) -> list[tuple[str, str]]:
    return [(item.kind, item.text) for item in line_of(text).items]


def clauses(text: str) -> list[tuple[str, str]]:
    return [(clause.kind, clause.text) for clause in line_of(text).clauses]


# -- values ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("wheel great 144", [("word", "wheel"), ("word", "great"), ("number", "144")]),
        (
            "w 2 cwt 1 qr 4 lb",
            [("word", "w"), ("measure", "2 cwt"), ("measure", "1 qr"), ("measure", "4 lb")],
        ),
        ("length 6 ft 3 1/2 in", [("word", "length"), ("measure", "6 ft"), ("measure", "3 1/2 in")]),
        ("length 10½ in", [("word", "length"), ("measure", "10½ in")]),
        ("length 10 ½ in", [("word", "length"), ("measure", "10 ½ in")]),
        ("length ½ in", [("word", "length"), ("measure", "½ in")]),
        ("length ⅞″", [("word", "length"), ("measure", "⅞″")]),
        ("length 6mm", [("word", "length"), ("measure", "6mm")]),
        ("length 6′3½″", [("word", "length"), ("measure", "6′"), ("measure", "3½″")]),
        ("angle 2 ° 15 ′", [("word", "angle"), ("measure", "2 °"), ("measure", "15 ′")]),
        ("latitude 50.12 °N", [("word", "latitude"), ("measure", "50.12 °N")]),
        ("latitude 50 ° N", [("word", "latitude"), ("measure", "50 ° N")]),
        ("expansion 12e-6 /°C", [("word", "expansion"), ("measure", "12e-6 /°C")]),
        ("expansion 1.2E-5 per °C", [("word", "expansion"), ("measure", "1.2E-5 per °C")]),
        ("thread 16 per inch", [("word", "thread"), ("measure", "16 per inch")]),
        ("grade 1770 N/mm²", [("word", "grade"), ("measure", "1770 N/mm²")]),
        ("weight 3 US cwt", [("word", "weight"), ("measure", "3 US cwt")]),
        ("length 3 Paris inches", [("word", "length"), ("measure", "3 Paris inches")]),
        ("beats 2880 an  hour", [("word", "beats"), ("measure", "2880 an  hour")]),
        ("above sea -3 m", [("word", "above"), ("word", "sea"), ("measure", "-3 m")]),
        ("above sea −3 m", [("word", "above"), ("word", "sea"), ("measure", "−3 m")]),
        ("drives 48, 48", [("word", "drives"), ("number", "48"), ("comma", ","), ("number", "48")]),
        ("parts 3 # three", [("word", "parts"), ("number", "3")]),
        ("laid 6x19M fibre core", [("word", "laid"), ("word", "6x19M"), ("word", "fibre"), ("word", "core")]),
        ("from going.centre", [("word", "from"), ("word", "going.centre")]),
        ("strikes G#", [("word", "strikes"), ("word", "G#")]),
        ("time zone Europe/London", [("word", "time"), ("word", "zone"), ("word", "Europe/London")]),
        ("arbor inner", [("word", "arbor"), ("word", "inner")]),
        ("minute wheel 90", [("word", "minute"), ("word", "wheel"), ("number", "90")]),
        ("wheel 80 minute", [("word", "wheel"), ("measure", "80 minute")]),
        ("wheel 80 minutely", [("word", "wheel"), ("number", "80"), ("word", "minutely")]),
        ('pulley "head"', [("word", "pulley"), ("text", "head")]),
        ('remark ""', [("word", "remark"), ("text", "")]),
        ("2026-05-02 09:05 wound", [("date", "2026-05-02"), ("time", "09:05"), ("word", "wound")]),
        ("replaced 1931-07", [("word", "replaced"), ("date", "1931-07")]),
        (
            "quarter 1  1 . 36 4",
            [
                ("word", "quarter"),
                ("number", "1"),
                ("number", "1"),
                ("dot", "."),
                ("number", "36"),
                ("number", "4"),
            ],
        ),
        ("spans 7 1/2 teeth", [("word", "spans"), ("number", "7 1/2"), ("word", "teeth")]),
        ("ratio 80..96", [("word", "ratio"), ("range", "80..96")]),
        ("ratio 80 … 96 mm", [("word", "ratio"), ("range", "80 … 96 mm")]),
        ("ratio 80–96", [("word", "ratio"), ("range", "80–96")]),
    ],
)
def test_values(text: str, expected: list[tuple[str, str]]) -> None:
    assert kinds(text) == expected


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("d ± 1/16 in", ["pm", "number", "unit"]),
        ("d +/- 2 %", ["pm", "number", "unit"]),
        ("d +- 1 ft 2 in", ["pm", "number", "unit", "number", "unit"]),
        ("d ± 3", ["pm", "number"]),
        ("d ?", ["unknown"]),
        ("d ? 80..96", ["unknown", "number", "range", "number"]),
        ("d ? 80..96 mm odd", ["unknown", "number", "range", "number", "unit", "parity"]),
        ("d ? 1 or 2", ["unknown", "number", "or", "number"]),
        ("d ? 1 in or 2 in or 3 in", ["unknown", *["number", "unit", "or"] * 2, "number", "unit"]),
        ("d ? about 6 ft 3 in", ["unknown", "about", "number", "unit", "number", "unit"]),
        ("d ? some 150 mm", ["unknown", "about", "number", "unit"]),
        ("d ? even", ["unknown", "parity"]),
    ],
)
def test_tolerances_and_unknowns_are_one_item(text: str, parts: list[str]) -> None:
    item = line_of(text).items[1]
    assert [kind for kind, *_ in item.parts] == parts
    assert item.text == text[2:]


def test_words_that_mean_something_only_behind_an_unknown() -> None:
    assert kinds("material about or odd") == [("word", word) for word in ("material", "about", "or", "odd")]


@pytest.mark.parametrize(
    "text",
    [
        "a 6 ft 3 1/2 in ± 1/16 in  measured on 2026-05-02",
        'é "𝄞" ½ in  told by "x"',
        "x ? 80..96 mm odd lost",
    ],
)
def test_places(text: str) -> None:
    line = line_of("\n\n   # above\n" + text)
    whole = "\n\n   # above\n" + text
    for item in line.items:
        shown = whole[item.start : item.end]
        assert shown.strip('"') == item.text
        for _, piece, start, end in item.parts:
            assert whole[start:end] == piece
    for clause in line.clauses:
        assert clause.text in whole[clause.start : clause.end]


# -- how it is known -----------------------------------------------------------------

HOWS = ("counted", "measured", "stamped", "copied", "told", "estimated", "assumed")


@pytest.mark.parametrize("how", HOWS)
def test_each_word_for_how_it_is_known(how: str) -> None:
    assert clauses(f"wheel 80 {how}") == [("known", how)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("x 1 told on 2026-05-02", [("known", "told"), ("on", "2026-05-02")]),
        ("x 1 told on 1931-07", [("known", "told"), ("on", "1931-07")]),
        ("x 1 told on 1931", [("known", "told"), ("on", "1931")]),
        ('x 1 told by "the previous keeper"', [("known", "told"), ("by", "the previous keeper")]),
        ("x 1 told by KT", [("known", "told"), ("by", "KT")]),
        ('x 1 copied from "sheet 3"', [("known", "copied"), ("from", "sheet 3")]),
        ("x 1 lost", [("lost", "lost")]),
        ("x 1 perhaps", [("perhaps", "perhaps")]),
        ("x 1 doubted", [("doubted", "")]),
        ('x 1 doubted "chalk mark missed"', [("doubted", "chalk mark missed")]),
        (
            'x 1 counted on 1931 by "HB" doubted "why"',
            [("known", "counted"), ("on", "1931"), ("by", "HB"), ("doubted", "why")],
        ),
        (
            'x 1 doubted "why" counted by "HB" on 1931',
            [("doubted", "why"), ("known", "counted"), ("by", "HB"), ("on", "1931")],
        ),
        (
            'x 1 lost counted from "s" by K on 1931 perhaps',
            [
                ("lost", "lost"),
                ("known", "counted"),
                ("from", "s"),
                ("by", "K"),
                ("on", "1931"),
                ("perhaps", "perhaps"),
            ],
        ),
        ("lost", [("lost", "lost")]),
        ("x lost perhaps", [("lost", "lost"), ("perhaps", "perhaps")]),
    ],
)
def test_clauses_in_any_order(text: str, expected: list[tuple[str, str]]) -> None:
    assert clauses(text) == expected


def test_on_by_and_from_are_plain_words_where_nothing_is_known_of_it() -> None:
    assert kinds("pins 40 on one side") == [
        ("word", "pins"),
        ("number", "40"),
        *[("word", w) for w in ("on", "one", "side")],
    ]
    assert clauses("from going.centre by hand on far side") == []


def test_a_word_of_evidence_inside_a_longer_word_is_no_evidence() -> None:
    assert clauses("x toldo lostly counted-upon") == []


def test_evidence_words_in_quotes_are_text() -> None:
    assert clauses('remark "lost on 1931 by fire"') == []


def test_white_space_of_all_sorts_between_pieces() -> None:
    assert kinds("wheel\t80\xa0 \u2009\u202f") == kinds("wheel 80")
    assert [kind for kind, _ in kinds("weight 2\xa0cwt")] == ["word", "measure"]


# -- what cannot be read --------------------------------------------------------------


def broken(text: str) -> tuple[str, str]:
    tree, report = parse(Source("x.movement", text))
    assert tree.lines[0].broken
    assert len(report) == 1
    return report[0].code, text[report[0].span.start : report[0].span.end]


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ('remark "open', "M103", '"open'),
        ("d 12,5 mm", "M105", "12,5"),
        ("d 1,000", "M105", "1,000"),
        ("d 1.000,5", "M112", "1.000,5"),
        ("d 1.2.3.4", "M112", "1.2.3.4"),
        ("d 1O4", "M112", "1O4"),
        ("d 12345678901234567890", "M112", "12345678901234567890"),
        ("d .5 in", "M112", ".5"),
        ("d 5. in", "M112", "5."),
        ("d 10-1/4 in", "M112", "10-1/4"),
        ("d 1'000 mm", "M112", "1'000"),
        ("d 1e400 mm", "M112", "1e400"),
        ("d 6' 3\"", "M303", "6' 3\""),
        ('d 10 1/4"', "M303", '10 1/4"'),
        ("d 6 1/2''", "M303", "6 1/2''"),
        ("on 2/5/2026", "M106", "2/5/2026"),
        ("on 2026-5-2", "M106", "2026-5-2"),
        ("on 2026.05.02", "M106", "2026.05.02"),
        ("on 02.05.26", "M106", "02.05.26"),
        ("x 1 told on", "M211", ""),
        ("x 1 told on May", "M211", "May"),
        ("x 1 told by", "M211", ""),
        ("x 1 told from sheet", "M211", "sheet"),
        ("x 1 told 1931", "M111", "1931"),
        ("x told 80", "M111", "80"),
        ("x 1 doubted why so", "M111", "why"),
        ("x 80 ±", "M309", ""),
        ("x 80 ± odd", "M309", "odd"),
        ("x 80..", "M205", ""),
        ("x ..80", "M205", ".."),
        ("x 80 mm .. 96 mm", "M205", ".."),
        ("x ? 80", "M205", ""),
        ("x ? 80-96", "M205", "-96"),
        ("x ? 1 or", "M205", ""),
        ("x = 80", "M109", "="),
        ("x (80)", "M109", "(80)"),
        ("x @", "M109", "@"),
        ("x 80 £", "M109", "£"),
    ],
)
def test_what_is_nearly_right(text: str, code: str, at: str) -> None:
    assert broken(text) == (code, at)


@pytest.mark.parametrize(
    ("text", "mended"),
    [
        ("d 12,5 mm", "12.5"),
        ("d .5 in", "0.5"),
        ("d 5. in", "5"),
        ("d 10-1/4 in", "10 1/4"),
        ("d 10-11/16 in", "10 11/16"),
        ("d 1'000 mm", "1000"),
        ("d 1O4", "104"),
        ("d 3l", "31"),
        ("d 6' 3 1/2\"", "6 ft 3 1/2 in"),
        ("d 6’", "6 ft"),
        ("d 6''", "6 in"),
        ("on 2026/5/2", "2026-05-02"),
        ("on 25.12.2025", "2025-12-25"),
    ],
)
def test_the_mend_can_be_made_by_machine(text: str, mended: str) -> None:
    _, report = parse(Source("x.movement", text))
    assert [edit.text for edit in report[0].edits] == [mended]
    edit = report[0].edits[0]
    assert parse(Source("x.movement", text[: edit.span.start] + edit.text + text[edit.span.end :]))[1] == []


def test_a_date_that_could_be_either_has_no_mend() -> None:
    assert parse(Source("x.movement", "on 2/5/2026"))[1][0].edits == ()


def test_a_broken_line_keeps_its_leading_words_and_its_children() -> None:
    tree, report = parse(Source("x.movement", "count wheel drives 12,5\n  wheel 80\n"))
    line = tree.lines[0]
    assert [item.text for item in line.items][:3] == ["count", "wheel", "drives"]
    assert [child.content for child in line.children] == ["wheel 80"]
    assert len(report) == 1


@pytest.mark.parametrize(
    "text", ["", "1/0", "0/0 in", "?" * 50, "±" * 50, ". . . . .", ",,,", '"" ""', "a" * 5000, "1 " * 2000]
)
def test_odd_lines_never_raise(text: str) -> None:
    parsed: Any = parse(Source("x.movement", text))
    assert parsed
