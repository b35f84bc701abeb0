"""What is kept of lark's work (the parser's table, the shapes of common lines) is what lark makes of the grammar."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from countwheel import grammar
from countwheel.project import parse
from countwheel.source import Source
from countwheel.syntax import parser, shapes
from countwheel.syntax.lines import tokens_of
from countwheel.units import units
from lark import Token as LarkToken
from lark import UnexpectedInput

ROOT = Path(__file__).parent.parent.parent
SAMPLES = sorted([*ROOT.glob("specs/**/*.movement"), *ROOT.glob("tests/cases/**/*.movement")])


def test_the_kept_table_is_up_to_date() -> None:
    """`python -m countwheel.syntax.parser` writes it anew."""
    assert parser.make_table() == grammar.read(parser.TABLE)


def test_making_it_twice_gives_the_same_bytes() -> None:
    assert parser.make_table() == parser.make_table()


def _shown(tree: Any) -> str:
    """A tree as text; lark's own text says a little more of a tree that was made with a fresh parser."""
    if hasattr(tree, "children"):
        return f"{tree.data!s}({', '.join(map(_shown, tree.children))})"
    return str(tree.type)


def _with(made: Any, text: str) -> Iterator[str]:
    """Each line's tree (or that there is none), read by one parser."""
    for row in text.split("\n"):
        feeding = made.parse_interactive()
        try:
            for token in tokens_of(row):
                feeding.feed_token(LarkToken(token.type, token.text))
            yield _shown(feeding.feed_eof())
        except UnexpectedInput as fault:
            yield type(fault).__name__


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_a_parser_made_anew_gives_the_same_trees(sample: Path) -> None:
    text = sample.read_text(encoding="utf-8")
    assert list(_with(parser.line_parser(), text)) == list(_with(parser._build(), text))


def test_every_kept_shape_is_what_lark_makes_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parser, "line_parser", parser._build)
    kept = json.loads(grammar.read(shapes.TABLE))
    assert kept["made with"] == shapes.made_with()
    for kinds, pieces in kept["shapes"].items():
        fresh = shapes.by_lark(kinds.split())
        assert not isinstance(fresh, shapes.Stuck), kinds
        assert [list(piece) for piece in fresh] == pieces, kinds


def test_a_line_not_kept_is_read_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    kept = {sample: parse(Source("x", sample.read_text(encoding="utf-8")))[0].lines for sample in SAMPLES}
    monkeypatch.setattr(shapes, "_known", lambda: {})
    for sample, lines in kept.items():
        fresh = parse(Source("x", sample.read_text(encoding="utf-8")))[0].lines
        assert [line.items for line in fresh] == [line.items for line in lines]
        assert [line.clauses for line in fresh] == [line.clauses for line in lines]


def test_a_table_made_with_another_grammar_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parser, "made_with", lambda: "another")
    fresh = parser.line_parser.__wrapped__()
    assert list(_with(fresh, "wheel great 144  counted on 1931")) == list(
        _with(parser._build(), "wheel great 144  counted on 1931")
    )


@pytest.mark.parametrize("kept", ["", "{", "[]", '{"made with": 3}', "null"])
def test_a_table_that_is_damaged_is_made_anew(monkeypatch: pytest.MonkeyPatch, kept: str) -> None:
    whole = grammar.read
    monkeypatch.setattr(grammar, "read", lambda name: kept if name == parser.TABLE else whole(name))
    assert list(_with(parser.line_parser.__wrapped__(), "x 80")) == ["line(word(WORD), number(NUMBER))"]


@pytest.mark.parametrize("form", sorted(units()))
def test_every_form_of_a_unit_is_read_as_one(form: str) -> None:
    for text in (f"x 3 {form}", f"x 3{form}", f"x 1/2 {form} y", f"x 3 {form}, 4", f"x 3 {form} told"):
        tree, report = parse(Source("x", text))
        assert report == [], text
        first = tree.lines[0].items[1]
        assert first.kind == "measure", text
        assert first.parts[1][1] == form, text
