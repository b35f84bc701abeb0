"""What each piece of a description is; the pieces joined are the text, whatever it is."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel.highlight.pieces import Kind, pieces
from countwheel.highlight.words import unit_forms
from countwheel.units import units
from countwheel.vocabulary import load
from hypothesis import given
from hypothesis import strategies as st

ROOT = Path(__file__).parents[2]
SPECS = sorted((ROOT / "specs").rglob("*.movement"))


def kinds(text: str) -> list[tuple[Kind, str]]:
    """The pieces of a text with what they are, white space left out."""
    return [(p.kind, text[p.start : p.end]) for p in pieces(text) if p.kind != "space"]


def check_whole(text: str) -> None:
    at = 0
    for piece in pieces(text):
        assert piece.start == at
        assert piece.end > at
        at = piece.end
    assert at == len(text)


@pytest.mark.parametrize("file", SPECS, ids=lambda file: file.stem)
def test_a_demo_is_cut_without_a_gap_and_has_no_fault(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    check_whole(text)
    assert not [piece for piece in pieces(text) if piece.kind == "fault"]


@given(st.text())
def test_any_text_is_cut_without_a_gap(text: str) -> None:
    check_whole(text)


LINES = st.lists(
    st.sampled_from(
        [entry.example for entry in load().entries if entry.example]
        + ["#", '"', '"""', "?", "..", "\t", "\r", "no", "counted by", "10 1/4", "½", "1,5", "\x00", "'", "é"]
    ),
    max_size=6,
)


@given(
    st.lists(st.tuples(st.integers(0, 9), LINES, st.sampled_from(["\n", "\r\n", "\n\n", ""])), max_size=12)
)
def test_any_mixture_of_what_is_written_is_cut_without_a_gap(rows: list[tuple[int, list[str], str]]) -> None:
    check_whole("".join(" " * depth + " ".join(words) + end for depth, words, end in rows))


@pytest.mark.parametrize("entry", [e for e in load().entries if e.fixed and e.example], ids=lambda e: e.word)
def test_the_example_of_every_word_begins_with_it(entry) -> None:  # type: ignore[no-untyped-def]
    """Also where it stands alone, without what owns it."""
    found = kinds(entry.example)
    if entry.owners == ("entry",):  # what happened: in a line of the log only
        found = kinds(f"log\n  2026-05-02 {entry.example}")[2:]
    first = [text for kind, text in found[: len(entry.word.split())] if kind in ("part", "fact")]
    # `setting dial` alone is a line of the description itself, and there `setting` is a word.
    assert " ".join(first) == ("setting" if entry.word == "setting dial" else entry.word)
    assert not [text for kind, text in found if kind == "fault"]


def test_choices_and_fixed_words_are_those_that_the_word_takes() -> None:
    assert kinds("train going\n  arbor centre") == [
        ("part", "train"),
        ("name", "going"),
        ("part", "arbor"),
        ("name", "centre"),  # elsewhere one of the places where a bob is borne
    ]
    assert kinds("pendulum\n  bob lead\n    borne at centre")[-1] == ("choice", "centre")
    assert kinds("leading off\n  bevel 48 drives 48 on far side")[2:] == [
        ("part", "bevel"),
        ("number", "48"),
        ("word", "drives"),
        ("number", "48"),
        ("word", "on"),
        ("choice", "far"),
        ("word", "side"),
    ]


def test_the_owner_decides_what_a_word_is() -> None:
    assert kinds("pendulum\n  rod pine")[-1] == ("value", "pine")
    assert kinds("leading off\n  rod rise")[-1] == ("name", "rise")


def test_how_a_fact_is_known() -> None:
    assert kinds('fall 34 ft ± 2 in  measured on 2026-05-02 by "KT" # twice') == [
        ("fact", "fall"),
        ("number", "34"),
        ("unit", "ft"),
        ("sign", "±"),
        ("number", "2"),
        ("unit", "in"),
        ("evidence", "measured"),
        ("evidence", "on"),
        ("date", "2026-05-02"),
        ("evidence", "by"),
        ("text", '"KT"'),
        ("comment", "# twice"),
    ]


def test_lines_that_begin_with_no_word_of_the_vocabulary() -> None:
    assert kinds("care\n  look at hammer springs every 3 months by clockmaker")[1:6] == [
        ("fact", "look"),
        ("fact", "at"),
        ("fact", "hammer"),
        ("fact", "springs"),
        ("word", "every"),
    ]
    assert kinds("pendulum\n  rod\n    zinc 4 ft 9 in up")[2:4] == [("choice", "zinc"), ("number", "4")]
    assert kinds("season winter\n  going.barrel.weight 3 cwt")[2] == ("path", "going.barrel.weight")
    assert kinds("log\n  2026-05-02 09:00 found 12 s fast, left right")[1:] == [
        ("date", "2026-05-02"),
        ("date", "09:00"),
        ("fact", "found"),
        ("number", "12"),
        ("unit", "s"),
        ("choice", "fast"),
        ("sign", ","),
        ("fact", "left"),
        ("word", "right"),
    ]


def test_what_is_not_there_and_what_is_unknown() -> None:
    assert kinds("no minute hand") == [("word", "no"), ("part", "minute"), ("part", "hand")]
    assert kinds("wheel ? 25..35 odd lost")[1:] == [
        ("unknown", "?"),
        ("number", "25"),
        ("sign", ".."),
        ("number", "35"),
        ("word", "odd"),
        ("evidence", "lost"),
    ]


def test_a_text_over_several_lines_is_one_piece() -> None:
    text = 'history """\n  # not a comment\n  two\n  """\nbell'
    block = [(p.kind, text[p.start : p.end]) for p in pieces(text) if p.kind == "block"]
    assert "".join(part for _, part in block) == '"""\n  # not a comment\n  two\n  """'
    assert kinds(text)[-1] == ("part", "bell")


@pytest.mark.parametrize("wrong", ["1,5", "2 May", '"open', "3.4.2026"])
def test_what_is_nearly_right_is_shown_as_a_fault(wrong: str) -> None:
    found = [kind for kind, _ in kinds(f"fall {wrong}")]
    assert ("fault" in found) == (wrong != "2 May")


def test_every_unit_is_known() -> None:
    assert set(unit_forms()) == set(units())
    for form in unit_forms():
        assert kinds(f"fall 1 {form}") == [("fact", "fall"), ("number", "1"), ("unit", form)]
