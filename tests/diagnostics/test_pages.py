"""The pages: one a code, all of one form, and readable at a terminal."""

from __future__ import annotations

from importlib.resources import files

import pytest
from countwheel.diagnostics.pages import explain, page, read
from countwheel.diagnostics.registry import CODES


def test_there_is_a_page_for_every_code_and_no_other() -> None:
    found = {entry.name for entry in files("countwheel.diagnostics").joinpath("pages").iterdir()}
    assert found == {f"{code}.md" for code in CODES}


@pytest.mark.parametrize("code", CODES)
def test_the_page_has_its_parts(code: str) -> None:
    parts = read(code)
    assert parts.title == CODES[code].title
    assert len(parts.found) > 20
    assert len(parts.meaning) > 60
    if parts.not_shown:
        assert len(parts.not_shown) > 20
        assert not parts.example
        assert not parts.mended
        return
    assert parts.mended.startswith("countwheel 1\n")
    assert parts.example != parts.mended
    if code not in ("M006", "M007"):  # these two are about that very line
        assert parts.example.startswith("countwheel 1\n")


@pytest.mark.parametrize("code", CODES)
def test_no_computing_jargon(code: str) -> None:
    words = page(code).casefold().replace("`", " ").split()
    jargon = {"parse", "parser", "token", "syntax", "string", "boolean", "null", "exception", "identifier",
              "node", "invalid", "warning", "integer", "whitespace", "character set", "regex"}  # fmt: skip
    # `warning` is a word of the trade, but none of these pages is about that.
    assert not jargon & {word.strip(".,;:()'\"") for word in words}


@pytest.mark.parametrize("width", [40, 72, 100])
def test_explained_at_a_terminal(width: int) -> None:
    for code in CODES:
        text = explain(code, width)
        assert text.startswith(f"{code} {CODES[code].title}\n=====")
        assert "```" not in text
        # headings and examples are never broken; all else is
        prose = [line for line in text.splitlines() if not line.startswith("    ") and set(line) - set("=-")]
        assert all(len(line) <= max(width, len(code) + 1 + len(CODES[code].title)) for line in prose)
        shown = read(code).mended
        if shown:
            assert "\n".join(f"    {line}".rstrip() for line in shown.splitlines()) in text


def test_signs_stand_for_what_cannot_be_seen() -> None:
    assert "\n\tmade" in read("M101").example
    assert "\x07" in read("M005").example
    assert "\t" not in page("M101")
    assert "␉" in explain("M101")


def test_capitals_do_not_matter_and_an_unknown_code_is_refused() -> None:
    assert page("m201") == page("M201")
    with pytest.raises(KeyError):
        page("M999")
    with pytest.raises(KeyError):
        explain("../M201")
