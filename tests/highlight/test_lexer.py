"""The lexer as Pygments itself finds and runs it."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel.highlight.lexer import TOKENS, MovementLexer, NotebookStyle
from hypothesis import given
from hypothesis import strategies as st
from pygments.lexers import get_lexer_by_name, get_lexer_for_filename
from pygments.styles import get_style_by_name
from pygments.token import Error, Keyword, Name

SPECS = sorted((Path(__file__).parents[2] / "specs").rglob("*.movement"))


def test_pygments_finds_it_by_name_and_by_file() -> None:
    assert isinstance(get_lexer_by_name("movement"), MovementLexer)
    assert isinstance(get_lexer_for_filename("going.movement"), MovementLexer)
    assert get_style_by_name("movement") is NotebookStyle


@pytest.mark.parametrize("file", SPECS, ids=lambda file: file.stem)
def test_a_demo_has_no_error_and_joins_back(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    tokens = list(MovementLexer(stripnl=False, ensurenl=False).get_tokens(text))
    assert not [value for kind, value in tokens if kind is Error]
    assert "".join(value for _, value in tokens) == text


@given(st.text())
def test_the_tokens_of_any_text_join_back(text: str) -> None:
    lexer = MovementLexer()
    tokens = list(lexer.get_tokens_unprocessed(text))
    assert "".join(value for _, _, value in tokens) == text
    assert [at for at, _, _ in tokens] == [len(text[:at]) for at, _, _ in tokens]


def test_words_have_the_tokens_of_the_trade_they_belong_to() -> None:
    tokens = [pair for pair in MovementLexer().get_tokens("train going\n  runs south") if pair[1].strip()]
    assert tokens == [
        (Keyword.Declaration, "train"),
        (Name.Label, "going"),
        (Name.Attribute, "runs"),
        (Keyword.Constant, "south"),
    ]


def luminance(colour: str) -> float:
    """Relative luminance of RRGGBB, as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one.lstrip("#")), luminance(other.lstrip("#"))), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_of_contrast_is_that_of_the_standard() -> None:
    """WCAG 2.2, contrast ratio: from 1 to 21; #767676 on white is the lightest grey that passes 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("background", [NotebookStyle.background_color, NotebookStyle.highlight_color])
def test_every_colour_can_be_read(background: str) -> None:
    colours = {NotebookStyle.style_for_token(token)["color"] for token in TOKENS.values()} - {None}
    colours.add(NotebookStyle.line_number_color)
    assert len(colours) > 5
    for colour in colours:
        assert contrast(colour, background) >= 4.5, colour


def test_what_could_be_mixed_up_differs_without_colour() -> None:
    """The words of one line: parts, facts, choices, names, evidence. Texts, numbers and comments show what they are."""
    looks = {
        kind: tuple(
            NotebookStyle.style_for_token(TOKENS[kind])[how] for how in ("bold", "italic", "underline")
        )
        for kind in ("part", "fact", "choice", "name", "evidence", "fault")
    }
    assert len(set(looks.values())) == len(looks)
