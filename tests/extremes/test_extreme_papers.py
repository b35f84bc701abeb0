"""Papers of clocks with more figures and facts than can be set: as many as fit, and said that there are more."""

from __future__ import annotations

import pytest
from countwheel.api import Result, check_text
from countwheel.emit import register, sheets
from countwheel.emit.plain_text import print_text
from extreme_running import dials


@pytest.fixture(scope="module")
def large() -> Result:
    return check_text(dials(20), "x.movement")


def test_the_sheets_say_that_there_are_more(large: Result, monkeypatch: pytest.MonkeyPatch) -> None:
    assert large.clock is not None
    assert "Not all are here" not in print_text(sheets.build_sheets(large.clock, large.figures), 1000)
    monkeypatch.setattr(sheets, "MOST_FIGURES", 10)
    text = print_text(sheets.build_sheets(large.clock, large.figures), 1000)
    assert f"This clock has {len(large.figures)} figures" in text
    assert "the first 10." in text
    shown = [id for id in large.figures if id in text]
    assert shown == list(large.figures)[: len(shown)]
    assert len(shown) <= 10


def test_the_register_says_that_there_are_more(large: Result, monkeypatch: pytest.MonkeyPatch) -> None:
    assert large.clock is not None
    every = len(register.facts_of(large.clock, large.sources))
    assert "Not all are here" not in print_text(register.build_register(large.clock, large.sources), 1000)
    monkeypatch.setattr(register, "MOST_ROWS", 10)
    text = print_text(register.build_register(large.clock, large.sources), 1000)
    assert f"This description records {every} values" in text
    assert "the first 10," in text
