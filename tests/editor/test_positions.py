"""Places in the three units of the protocol, there and back."""

from __future__ import annotations

import pytest
from countwheel.editor.positions import Encoding, offset, position
from countwheel.source import Source
from hypothesis import given
from hypothesis import strategies as st

LINE = "🕰 n̈ °x"


@pytest.mark.parametrize(("encoding", "column"), [("utf-8", 11), ("utf-16", 7), ("utf-32", 6)])
def test_a_column_behind_an_emoji_and_a_combining_sign(encoding: Encoding, column: int) -> None:
    source = Source("a", f"first\n{LINE}\nlast")
    at = source.text.index("x")
    # LSP 3.17, "Position": the clock face is one code point, two units of UTF-16, four bytes of UTF-8.
    assert position(source, at, encoding) == (
        1,
        len(LINE[:-1].encode(f"{encoding}-le" if encoding != "utf-8" else encoding))
        // {"utf-8": 1, "utf-16": 2, "utf-32": 4}[encoding],
    )
    assert position(source, at, encoding)[1] == column
    assert offset(source, 1, column, encoding) == at


@given(st.text(), st.sampled_from(["utf-8", "utf-16", "utf-32"]), st.data())
def test_there_and_back(text: str, encoding: Encoding, data: st.DataObject) -> None:
    text = text.replace("\r", "")
    source = Source("a", text)
    at = data.draw(st.integers(0, len(text)))
    assert offset(source, *position(source, at, encoding), encoding) == at


def test_what_lies_outside_is_the_nearest_place() -> None:
    source = Source("a", "ab\ncd")
    assert offset(source, 0, 99, "utf-16") == 2
    assert offset(source, 9, 0, "utf-16") == 5
    assert offset(Source("a", "🕰"), 0, 1, "utf-16") == 0  # within the one sign
