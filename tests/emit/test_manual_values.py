"""Values and figures as the manual prints them: dates, lengths of time, digits, and the words it explains."""

from __future__ import annotations

from fnmatch import fnmatchcase
from pathlib import Path

import pytest
from countwheel.api import compile_file
from countwheel.emit.manual import principal_patterns
from countwheel.emit.shown import Span, bearing, date_text, show, show_figure, span_of
from countwheel.emit.words import all_words
from countwheel.figures.record import Figure
from manual_samples import HARBOUR, compiled

FOLDERS = sorted(
    path
    for path in (Path(__file__).parents[2] / "specs").glob("*/*.movement")
    if path.stem == path.parent.name
)


@pytest.mark.parametrize(
    ("iso", "long", "short"),
    [
        ("2026-05-02", "2 May 2026", "2 May 2026"),
        ("1931-09", "September 1931", "Sep 1931"),
        ("1931", "1931", "1931"),
        ("--11-01", "1 November", "1 Nov"),
        ("23:00", "23:00", "23:00"),
        ("about 1887", "about 1887", "about 1887"),
    ],
)
def test_dates_are_spelt_out(iso: str, long: str, short: str) -> None:
    assert date_text(iso) == long
    assert date_text(iso, short=True) == short


@pytest.mark.parametrize(
    ("seconds", "span"),
    [
        (8.5 * 86400, Span(8, 12, 0)),
        (8 * 86400 - 1, Span(7, 23, 0)),  # never more than it is
        (8 * 86400, Span(8, 0, 0)),
        (47 * 3600 + 59 * 60, Span(0, 47, 59)),
        (7199, Span(0, 0, 119)),
        (59, Span(0, 0, 0)),
    ],
)
def test_lengths_of_time_are_rounded_down(seconds: float, span: Span) -> None:
    assert span_of(seconds) == span


@pytest.mark.parametrize(
    ("number", "spread", "digits", "text"),
    [
        (44.161, 0.026, 3, "44.2"),
        (44.161, 12.0, 3, "44"),
        (0.0231, None, 2, "0.023"),
        (408.2, 0.9, 2, "410"),
        (-0.194, None, 2, "−0.19"),
    ],
)
def test_no_more_digits_than_are_borne(number: float, spread: float | None, digits: int, text: str) -> None:
    # GUM 7.2.6: a value is given to the place of its uncertainty, of which at most two digits are worth giving
    assert bearing(number, spread, digits) == text


def test_what_is_only_small_is_said_to_be_within() -> None:
    small = show_figure(Figure("a.b", "", 0.001, "s/day per °C", "0.001", uncertainty=0.07))
    large = show_figure(Figure("a.b", "", 0.5, "s/day per °C", "0.50", uncertainty=0.07))
    assert small
    assert large
    assert small.within == "0.1"
    assert large.within == ""
    assert large.owner == "a"


def test_a_value_is_shown_as_written_with_its_evidence() -> None:
    clock = compiled(HARBOUR).clock
    assert clock is not None
    weight = show(clock.fact("train", "arbor", "barrel", "weight"))
    assert weight
    assert (weight.text, weight.how, weight.weak) == ("2 cwt 3 qr 4 lb", "stamped", False)
    made = show(clock.fact("clock", "made"))
    assert made
    assert (made.text, made.how, made.by, made.weak) == ("about 1887", "told", "the previous keeper", True)
    arc = show(clock.fact("pendulum", "half arc"))
    assert arc
    assert arc.text == "2.0°"
    assert show(clock.fact("pendulum", "no such fact")) is None


def test_every_word_has_a_meaning_and_one_entry() -> None:
    found = all_words()
    assert all(word.meaning for word in found)
    forms = [form.lower() for word in found for form in word.forms]
    assert len(forms) == len(set(forms))
    assert len({word.id for word in found}) == len(found)


def test_every_principal_figure_is_one_of_some_demo_clock() -> None:
    ids = {id for path in FOLDERS for id in compile_file(path).figures} | set(compiled(HARBOUR).figures)
    unused = [pattern for pattern in principal_patterns() if not any(fnmatchcase(id, pattern) for id in ids)]
    assert unused == []
