"""What is heard, the count wheel and the chime barrel, against the counts that they must come to."""

from __future__ import annotations

from math import atan2, hypot, pi

import pytest
from countwheel.emit.draw_chime_barrel import LEFT, TURN, chime_barrels
from countwheel.emit.draw_count_wheel import MIDDLE, RADIUS, count_wheels, cuts_of
from countwheel.emit.draw_strikes import heard_in, strike_pattern
from countwheel.emit.drawing import Drawing
from hand_drawn import DEMOS, OUTSIDE, circles_in, clock_of, dots_in, lines_in, words_in
from manual_samples import compiled

STEMS = tuple(path.stem for path in (*DEMOS, *OUTSIDE))
PINS = """countwheel 1

train strike
  strikes hours
  arbor barrel
    wheel great 78
    lifting pins 13
    pinion count 12
  count wheel
    count 12 drives 72
    inside pins 12
"""


def the(id: str, made: tuple[Drawing, ...]) -> Drawing:
    return next(one for one in made if one.id == id)


def notch_angles(drawing: Drawing) -> list[float]:
    """Where the bottoms of the notches stand, in turns from the top, the way of a clock's hands."""
    rim = max(lines_in(drawing), key=len)
    deep = [(x - MIDDLE, y - 5 - RADIUS) for x, y in rim if hypot(x - MIDDLE, y - 5 - RADIUS) < RADIUS - 1]
    sides = [atan2(x, -y) / (2 * pi) % 1 for x, y in deep]
    pairs = zip(sides[::2], sides[1::2], strict=True)
    return sorted(((a + ((b - a + 0.5) % 1 - 0.5) / 2) % 1) for a, b in pairs)


def test_the_notches_of_twelve_hours_stand_at_the_sums_of_the_hours_in_78() -> None:
    # W. Derham, The Artificial Clock-maker, 1696, pages 34-46: 78 strokes in one turn of the count wheel.
    result = clock_of("penquay-harbour-office")
    assert result.clock is not None
    made = the("count-wheel-strike", count_wheels(result.clock, result.figures))
    sums = [sum(range(1, hour + 1)) / 78 % 1 for hour in range(1, 13)]
    angles = notch_angles(made)
    assert len(angles) == 12
    # the last stands at the top, where a turn and none are the same
    assert sorted(round(angle, 4) % 1 for angle in angles) == pytest.approx(sorted(sums), abs=2e-4)
    assert [word for word in words_in(made) if word.isdigit()] == [str(hour) for hour in range(1, 13)]


@pytest.mark.parametrize(
    ("stem", "train", "blows"),
    [
        ("penquay-harbour-office", "chime", [1, 2, 3, 4]),
        ("ellenfrith-school", "quarters", [1, 2, 3]),
        ("skarnhove-chapel", "strike", [hour for hour in range(1, 13) for _ in range(2)]),
    ],
)
def test_what_stands_round_a_wheel(stem: str, train: str, blows: list[int]) -> None:
    result = clock_of(stem)
    assert result.clock is not None
    found = result.clock.train(train)
    assert found is not None
    cuts = cuts_of(found)
    assert [cut.blows for cut in cuts] == blows
    assert [float(cut.turn) * sum(blows) for cut in cuts] == pytest.approx(
        [sum(blows[: at + 1]) for at in range(len(blows))]
    )


def test_pins_are_drawn_where_there_are_pins() -> None:
    result = compiled(PINS)
    assert result.clock is not None
    (made,) = count_wheels(result.clock, result.figures)
    pins = [one for one in circles_in(made) if one[2] == pytest.approx(1.1, abs=0.01)]
    assert len(pins) == 12
    assert all(hypot(x - MIDDLE, y - 5 - RADIUS) == pytest.approx(RADIUS - 4, abs=0.02) for x, y, _ in pins)


def test_a_wheel_for_quarters_that_turns_once_in_twelve_hours_has_them_twelve_times() -> None:
    wheel = "  count wheel\n    count 12 drives 72\n    cut for quarters\n    turns once in 12 h\n"
    result = compiled(f"countwheel 1\n\ntrain chime\n  arbor barrel\n    pinion count 12\n{wheel}")
    assert result.clock is not None
    assert [cut.blows for cut in cuts_of(result.clock.trains[0])] == [1, 2, 3, 4] * 12


def test_a_wheel_whose_gearing_does_not_fit_is_dashed_and_says_so() -> None:
    result = clock_of("seven-month")
    assert result.clock is not None
    (made,) = count_wheels(result.clock, result.figures)
    assert "stroke-dasharray" in made.svg
    assert "does not fit" in " ".join(words_in(made))


@pytest.mark.parametrize(
    ("stem", "id"),
    [("penquay-harbour-office", "chime-barrel-chime"), ("cambridge-quarters", "chime-barrel-quarters")],
)
def test_there_is_a_pin_for_each_blow_of_a_turn_of_the_barrel(stem: str, id: str) -> None:
    result = clock_of(stem)
    assert result.clock is not None
    made = the(id, chime_barrels(result.clock, result.figures))
    pins = dots_in(made)
    # Cambridge quarters: five changes of four bells (E. Beckett, Clocks, Watches and Bells, 1903, pages 204-205)
    assert len(pins) == result.figures[f"{id.rsplit('-', 1)[-1]}.barrel.pinning"].value
    assert len(pins) == (20 if stem == "cambridge-quarters" else 40)
    assert LEFT < min(x for x, _, _ in pins) <= max(x for x, _, _ in pins) < LEFT + TURN


@pytest.mark.parametrize("stem", STEMS)
def test_every_blow_of_twelve_hours_is_drawn_once(stem: str) -> None:
    result = clock_of(stem)
    assert result.clock is not None
    heard = heard_in(result.clock)
    made = strike_pattern(result.clock, result.figures)
    assert (heard is not None) == bool(made)
    if heard is None:
        return
    (drawing,) = made
    if len(heard.bells) > 1:
        drawn = len(dots_in(drawing))
    else:
        drawn = len([run for run in lines_in(drawing) if len(run) == 2 and run[0][0] == run[1][0]])
    assert drawn == heard.total
    totals = {
        figure.value for id, figure in result.figures.items()
        if id.endswith(".sequence_over_12h") and figure.value is not None
    } or {
        result.figures[f"{train.name}.blows_per_12h"].value for train in result.clock.trains_of("strike")
    }  # fmt: skip
    assert totals == {heard.total}


def test_a_listener_hears_three_at_three() -> None:
    result = clock_of("marlsted-corn-hall")
    assert result.clock is not None
    heard = heard_in(result.clock)
    assert heard is not None
    assert heard.columns == (4,)
    assert [len(heard.cells[4 * hour]) for hour in range(1, 13)] == list(range(1, 13))


QUARTERS = "countwheel 1\n\ntrain chime\n  strikes quarters\n{}  chime barrel\n    changes a turn 10\n{}"
LINES = ("quarter 1  1 2", "quarter 2  2 1  1 2", "quarter 3  1 2  2 1  1 2", "quarter 4  1 2  1 2  2 1  2 1")


def test_quarters_written_under_the_chime_barrel_are_its_pins() -> None:
    result = compiled(QUARTERS.format("", "".join(f"    {line}\n" for line in LINES)))
    assert result.clock is not None
    (made,) = chime_barrels(result.clock, result.figures)
    assert len(dots_in(made)) == 20


def test_a_quarter_that_there_is_none_of_is_no_fault() -> None:
    result = compiled(QUARTERS.format("".join(f"  {line}\n" for line in (*LINES[:3], "no quarter")), ""))
    assert result.clock is not None
    (made,) = strike_pattern(result.clock, result.figures)
    assert "the hour" not in words_in(made)


def test_a_count_wheel_that_there_is_none_of_is_not_drawn() -> None:
    result = compiled("countwheel 1\n\ntrain strike\n  strikes hours\n  no count wheel\n")
    assert result.clock is not None
    assert count_wheels(result.clock, result.figures) == ()
