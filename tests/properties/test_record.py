"""What holds of every record: it does not matter where the error is counted from, nor what is called fast."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from countwheel.emit import rate_json, rate_text
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.record.cleaning import cleaned
from countwheel.record.coefficients import coefficient
from countwheel.record.entries import Entry, reading_error
from countwheel.record.report import report
from countwheel.source import Span
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import validate

NOWHERE = Node(word="entry", written="", path="log", span=Span("", 0, 0), word_span=Span("", 0, 0))


@st.composite
def records(draw: st.DrawFn) -> list[Entry]:
    made, at = [], 0.0
    for _ in range(draw(st.integers(2, 40))):
        at += draw(st.floats(0.5, 20))
        found = float(draw(st.integers(-90, 90)))
        left = draw(st.sampled_from((None, None, None, 0.0)))
        made.append(
            Entry(
                at,
                f"{at:.3f}",
                "",
                NOWHERE,
                found=found,
                found_error=reading_error(1.0),
                left=found if left is None else left,
                left_error=reading_error(1.0),
                was_set=left is not None,
                temperature=draw(st.floats(-5, 30)),
                tray=draw(st.sampled_from((None, None, None, 5.0))),
            )
        )
    return made


def told(record: list[Entry]) -> tuple[list[float], list[float], list[float], float | None]:
    clean = cleaned(record)
    rates = clean.rates
    keys = sorted(rates.rates) if rates is not None else []
    return (
        [rates.rates[key] for key in keys] if rates is not None else [],
        [rates.errors[key] for key in keys] if rates is not None else [],
        [odd.amount for odd in clean.odd],
        coefficient(clean.stretches, "temperature").value,
    )


def moved(record: list[Entry], by: float, sign: float = 1.0) -> list[Entry]:
    return [
        replace(one, found=sign * (one.found or 0.0) + by, left=sign * (one.left or 0.0) + by) for one in record
    ]  # fmt: skip


@given(records(), st.integers(-1000, 1000))
def test_a_clock_shifted_by_a_constant_has_the_same_rates(record: list[Entry], by: int) -> None:
    one, other = told(record), told(moved(record, float(by)))
    assert other[0] == pytest.approx(one[0], rel=1e-6, abs=1e-6)
    assert other[1] == pytest.approx(one[1], rel=1e-6)
    assert other[2] == pytest.approx(one[2], rel=1e-6, abs=1e-6)
    assert (one[3] is None) == (other[3] is None)


@given(records())
def test_fast_for_slow_turns_every_sign(record: list[Entry]) -> None:
    one, other = told(record), told(moved(record, 0.0, -1.0))
    assert other[0] == pytest.approx([-rate for rate in one[0]], rel=1e-6, abs=1e-6)
    assert other[1] == pytest.approx(one[1], rel=1e-6)
    assert other[2] == pytest.approx([-amount for amount in one[2]], rel=1e-6, abs=1e-6)
    if one[3] is not None:
        assert other[3] == pytest.approx(-one[3], rel=1e-6, abs=1e-6)


@given(records(), st.floats(-1e4, 1e4))
def test_the_date_does_not_matter(record: list[Entry], by: float) -> None:
    one, other = told(record), told([replace(entry, at=entry.at + by) for entry in record])
    assert other[0] == pytest.approx(one[0], rel=1e-4, abs=1e-5)


@settings(max_examples=60)
@given(records())
def test_no_record_is_too_odd_to_report_on(record: list[Entry]) -> None:
    root = NOWHERE.model_copy(update={"word": "movement"})
    made = report(Clock(name="", file="", root=root), {}, read=tuple(record))
    assert sum(len(one.readings) for one in made.cleaned.stretches) <= 2 * len(record)
    assert len(made.rates) == len(made.cleaned.stretches)
    validate(json.loads(rate_json.dump("", made)), rate_json.schema())
    assert "nan" not in rate_text.text("", made)
