"""Zero, less than nothing, far too much, no number and no end, at every word of the vocabulary that takes a number."""

from __future__ import annotations

import re

import pytest
from countwheel.api import Result, check_text
from countwheel.diagnostics.render_text import render
from countwheel.emit import figure_json, model_json
from countwheel.vocabulary import Entry
from test_vocabulary import PLACED, described

HUGE = "1" + "0" * 30
# As a keeper may write them, and as other programs do.
NUMBERS = ("0", "-1", "−1", HUGE, "1e999", f"1/{HUGE}", "NaN", "inf", "infinity", "∞", "1/0", f"? 0..{HUGE}")
# A whole number, one with a fraction, a fraction; not part of a word, a date, a time or a name.
_NUMBER = re.compile(r"(?<![\w.:/\"-])\d+(?:\.\d+)?(?: \d+/\d+|/\d+)?(?![\w:/\"-])")
TAKING = [(owner, entry) for owner, entry in PLACED if _NUMBER.search(entry.example)]


def looked_over(text: str) -> Result:
    """What a text compiles to: every place inside it, every message in words, all of it printed."""
    result = check_text(text, "x.movement")
    for one in result.diagnostics:
        for span in (one.span, *(label.span for label in one.others), *(edit.span for edit in one.edits)):
            assert 0 <= span.start <= span.end <= len(result.sources[span.file].text), one
        assert one.message
    assert "Traceback" not in render(result.diagnostics, result.sources)
    assert result.clock is not None
    model_json.dump(result.clock)
    figure_json.dump(result.clock.name, list(result.figures.values()), result.diagnostics, result.sources)
    return result


def test_most_words_take_a_number() -> None:
    assert len({entry.word for _, entry in TAKING}) > 130


@pytest.mark.parametrize(("owner", "entry"), TAKING, ids=[f"{owner}-{entry.word}" for owner, entry in TAKING])
def test_any_number_at_every_word_that_takes_one(owner: str, entry: Entry) -> None:
    """Each number of the line by itself, then all at once. What is no number is told as an error."""
    places = [match.span() for match in _NUMBER.finditer(entry.example)]
    for number in NUMBERS:
        for start, end in places:
            looked_over(described(owner, entry.example[:start] + number + entry.example[end:]))
    for number in ("NaN", "inf", "1e999"):
        result = looked_over(described(owner, _NUMBER.sub(number, entry.example)))
        words = any(kind in entry.takes for kind in ("words", "text", "name", "claim", "path"))
        assert result.has_errors or words or not entry.fixed, (number, entry)


@pytest.mark.parametrize("number", NUMBERS)
def test_a_count_of_teeth(number: str) -> None:
    """A wheel of no teeth, of fewer than none or of more than there are atoms in it is not believed."""
    text = f'countwheel 1\nclock "x"\ntrain going\n  arbor a\n    wheel {number}\n  arbor b\n    pinion {number}\n'
    result = looked_over(text)
    assert result.has_errors or number.startswith("?")
    assert all(one.span.file == "x.movement" for one in result.diagnostics)
