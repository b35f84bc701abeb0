"""The language reference is made from the vocabulary. `python tests/test_reference.py` writes it anew."""

from __future__ import annotations

from pathlib import Path

from countwheel.emit.words_markdown import reference

FILE = Path(__file__).parent.parent / "specs" / "reference" / "language.md"
MARK = "<!-- words -->\n"


def test_the_reference_is_the_vocabulary() -> None:
    _, _, words = FILE.read_text(encoding="utf-8").partition(MARK)
    assert words == "\n" + reference()


if __name__ == "__main__":
    text, _, _ = FILE.read_text(encoding="utf-8").partition(MARK)
    FILE.write_text(text + MARK + "\n" + reference(), encoding="utf-8")
