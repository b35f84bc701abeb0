"""The drawing of the record: every reading where it belongs, and none where there is no record."""

from __future__ import annotations

import re
from datetime import date, timedelta
from random import Random

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


def widths(drawing: Drawing) -> list[float]:
    """How wide each of the thin level lines is, in mm: the rates, which stand in one path."""
    paths = re.findall(r'd="((?:M-?[\d.]+,(-?[\d.]+) L-?[\d.]+,\2)+)"', drawing.svg)
    return [
        float(end) - float(start)
        for path, _ in paths
        for start, end in re.findall(r"M(-?[\d.]+),-?[\d.]+ L(-?[\d.]+),", path)
    ]


@pytest.mark.parametrize(
    ("number", "title"), [(26, "from one reading to the next"), (1043, "over 8 weeks each")]
)
def test_rates_are_wide_enough_to_be_seen(number: int, title: str) -> None:
    random, day, error, lines = Random(4), date(2005, 1, 7), 0, []
    for _ in range(number):
        lines.append(f"  {day} 09:00 found {told(error)}\n")
        day, error = day + timedelta(7), error + random.choice((-1, 1))
    (drawing,) = drawn("".join(lines))
    assert f"rate {title}, s/day" in words_in(drawing)
    assert min(widths(drawing)) >= 0.45
    years = [words for words in words_in(drawing) if re.fullmatch(r"\d{4}", words)]
    assert (number == 1043) == (3 <= len(years) <= 8)


def test_two_settings_on_a_day_make_no_rate_of_an_hour() -> None:
    lines = []
    for at in range(12):
        day = date(2026, 1, 2) + timedelta(7 * at)
        lines += [f"  {day} 09:00 found 7 s fast, set right\n", f"  {day} 10:00 found 1 s fast, set right\n"]
    (drawing,) = drawn("".join(lines))
    assert "24" not in words_in(drawing)  # a second in an hour
    assert "1.5" in words_in(drawing)
