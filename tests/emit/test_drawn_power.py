"""The fall of the weights and the bands of power, against the figures that they are drawn from."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from countwheel.api import compile_file
from countwheel.emit.draw_fall import falls
from countwheel.emit.draw_power import WHOLE, parts_of, powers
from countwheel.emit.fall_facts import LONG, fall_of
from hand_drawn import DEMOS, clock_of, lines_in, words_in

STEMS = tuple(path.stem for path in DEMOS)


def test_the_weight_hangs_each_day_where_the_figures_say() -> None:
    result = clock_of("penquay-harbour-office")
    assert result.clock is not None
    made = next(one for one in falls(result.clock, result.figures) if one.id == "fall-going")
    per_day = result.figures["going.weight.descent_per_day"].value
    assert isinstance(per_day, float)
    # the room of 41 ft 6 in is the whole height; the weight hangs 2 ft 6 in under its pulley when wound
    scale = LONG / (41.5 * 0.3048)
    flat = [run for run in lines_in(made) if len(run) == 2 and run[0][1] == run[1][1]]
    head = min(y for (_, y), _ in flat) + 4  # the beam stands 4 mm over the pulley
    for day in range(1, 9):
        y = head + (2.5 * 0.3048 + day * per_day) * scale
        assert any(run[0][1] == pytest.approx(y, abs=0.02) for run in flat), day
    assert "day 3: 8 ft 3 in" in words_in(made)  # 3 × 0.8368 m
    assert "run down after 8.5 days: 23 ft 4 in" in words_in(made)


def test_the_run_against_days_ends_where_the_weight_does() -> None:
    result = clock_of("marlsted-corn-hall")
    assert result.clock is not None
    train = result.clock.trains[0]
    found = fall_of(result.clock, train, result.figures)
    assert found is not None
    assert found.interval == pytest.approx(7)
    assert found.end == pytest.approx(found.down(8.0), rel=1e-6)
    assert list(found.day_marks) == [1, 2, 3, 4, 5, 6, 7, 8]


def test_where_the_weight_would_end_below_the_ground_it_says_so(tmp_path: Path) -> None:
    whole = next(path for path in DEMOS if path.stem == "penquay-harbour-office")
    shutil.copytree(whole.parent, tmp_path, dirs_exist_ok=True)
    path = tmp_path / whole.name
    text = path.read_text(encoding="utf-8")
    assert text.count("least hang     1 ft ") == 1  # the strike's; the quarters are in a file of their own
    path.write_text(text.replace("least hang     1 ft ", "least hang     2 ft "), encoding="utf-8")
    for place, low in ((whole, False), (path, True)):
        result = compile_file(place)
        assert result.clock is not None
        made = {one.id: " ".join(words_in(one)) for one in falls(result.clock, result.figures)}
        # 2 ft and 40 ft of fall are 6 in more than the 41 ft 6 in of the room; 1 ft, and 2 ft 6 in and 34 ft, are less
        assert ("would end below the ground" in made["fall-strike"]) == low
        assert "would end below the ground" not in made["fall-going"]


@pytest.mark.parametrize("stem", STEMS)
def test_the_bands_are_as_wide_as_their_shares_and_together_as_the_whole(stem: str) -> None:
    result = clock_of(stem)
    assert result.clock is not None
    made = {one.id: one for one in powers(result.clock, result.figures)}
    for train in result.clock.trains:
        parts = parts_of(train, result.figures)
        assert (parts is not None) == (f"power-{train.name}" in made)
        if parts is None:
            continue
        bands = [run for run in lines_in(made[f"power-{train.name}"]) if len(run) == 9]
        wide = [run[-1][1] - run[0][1] for run in bands]
        assert sum(wide) == pytest.approx(WHOLE, abs=0.05)
        assert wide == pytest.approx([run[5][1] - run[3][1] for run in bands], abs=0.05)
        shares = [result.figures[f"{part.id}.share"].value for part in parts if part.value]
        assert wide == pytest.approx([share * WHOLE / 100 for share in shares], abs=0.05)  # type: ignore[operator]


def test_nothing_is_drawn_of_a_train_without_its_facts() -> None:
    result = clock_of("regulator")
    assert result.clock is not None
    assert falls(result.clock, result.figures) == ()
    assert powers(result.clock, result.figures) == ()


def test_a_motor_wound_weight_is_not_said_to_be_down_when_its_reserve_ends() -> None:
    result = clock_of("wenlodden-institute")
    assert result.clock is not None
    made = next(one for one in falls(result.clock, result.figures) if one.id == "fall-chime")
    # 1.25 days at 3.896 m are 4.87 m, and the line reaches to 5.84 m
    assert "run down: 5.84 m" in words_in(made)
    assert "A motor winds this train" in " ".join(words_in(made))
