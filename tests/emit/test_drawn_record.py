"""The drawing of the record: every reading where it belongs, and none where there is no record."""

from __future__ import annotations

import pytest
from countwheel.api import check_text
from countwheel.emit.draw_record import timekeeping
from countwheel.emit.drawing import Drawing
from hand_drawn import circles_in, clock_of, dots_in, words_in

HEAD = "countwheel 1\n\nlog\n"


def drawn(log: str) -> tuple[Drawing, ...]:
    result = check_text(HEAD + log)
    assert result.clock is not None
    return timekeeping(result.clock, result.figures)


def told(error: int) -> str:
    return f"{abs(error)} s {'fast' if error > 0 else 'slow'}" if error else "right"


def weeks(*errors: int) -> str:
    return "".join(
        f"  2026-{1 + at // 4:02d}-{1 + 7 * (at % 4):02d} found {told(error)}\n"
        for at, error in enumerate(errors)
    )


def test_no_drawing_without_a_record() -> None:
    assert drawn(weeks(3, 4)) == ()
    assert drawn('  2026-01-01 note "Nothing."\n') == ()
    assert timekeeping(clock_of("tarnholt-ropewalk").clock, {}) == ()  # type: ignore[arg-type]


def test_every_reading_is_a_dot_in_its_place() -> None:
    (drawing,) = drawn(weeks(0, 5, 10, 5, 0, -5))
    dots = dots_in(drawing)
    assert len(dots) == 6
    by_height = [round(y, 2) for _, y, _ in dots]
    # equal errors stand equally high, and each step of 5 s is as far
    assert by_height[0] == pytest.approx(by_height[4], abs=0.05)
    assert by_height[1] == pytest.approx(by_height[3], abs=0.05)
    assert by_height[0] - by_height[1] == pytest.approx(by_height[5] - by_height[0], abs=0.05)
    assert by_height[2] < by_height[1] < by_height[0]
    across = [x for x, _, _ in dots]
    assert across[1] - across[0] == pytest.approx(across[2] - across[1], abs=0.05)
    assert "temperature, °C" not in words_in(drawing)
    assert "6 readings from 2026-01-01 to 2026-02-08, between −5 and 10 seconds" in drawing.alt


def test_what_was_set_aside_is_a_ring() -> None:
    (drawing,) = drawn(weeks(*(0, 1, 1, 2, 2, 63, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7)))
    assert len(circles_in(drawing)) == 2  # the ring, and the dot in the key
    assert any("does not fit its neighbours" in words for words in words_in(drawing))
