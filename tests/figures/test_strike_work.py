"""Blows in thirty hours, the worst run, the hammer's share, quarters in time: published numbers and plain counting."""

from __future__ import annotations

import math

import pytest
from countwheel.figures import strike_work
from figure_texts import PLACE, compiled, exact, figure, going, value

POUND, FOOT, INCH = 0.45359237, 0.3048, 0.0254


def strike(kind: str = "hours", *more: str, barrel: str = "", hammer: str = "", pins: int = 13) -> str:
    """A striking train with `pins` on its barrel; further lines of the train, the barrel and the hammer."""
    lines = ["train strike", f"  strikes {kind}", *(f"  {line}" for line in more)]
    lines += ["  arbor barrel", "    barrel", *(f"      {line}" for line in barrel.split(" · ") if line)]
    lines += ["    wheel 78", f"    lifting pins {pins}", "  arbor locking", "    pinion 6"]
    lines += ["  hammer", *(f"    {line}" for line in hammer.split(" · "))] if hammer else []
    return "\n".join(lines) + "\n"


# -- blows in a window -----------------------------------------------------------


def test_thirty_hours_of_striking() -> None:
    # W. L. Goodrich, The Modern Clock, 1905, p. 297: 156 and the hours 1 to 6 make 177, the least; W. Derham,
    # 1696, p. 38-39: 195 on the mean. The most, 156 and the hours 7 to 12, is 213 by plain addition.
    least, most = strike_work.blows_in("hours", 30)
    assert (least, most) == (156 + 1 + 2 + 3 + 4 + 5 + 6, 156 + 7 + 8 + 9 + 10 + 11 + 12) == (177, 213)
    assert least <= 195 <= most


def test_whole_half_days_are_alike_wherever_they_begin() -> None:
    # Derham p. 38: 1248 in eight days; Goodrich p. 298: 180 a day with halves
    assert strike_work.blows_in("hours", 192) == (1248, 1248)
    assert strike_work.blows_in("hours and halves", 24) == (180, 180)
    assert strike_work.blows_in("quarters", 1) == (10, 10)


def heard(kind: str, quarter_hour: int) -> int:
    """Blows or changes at a quarter hour counted from noon: written out anew, apart from the table under test."""
    hour, quarter = divmod(quarter_hour, 4)
    hour = (hour - 1) % 12 + 1
    match kind:
        case "hours":
            return hour if quarter == 0 else 0
        case "hours and halves":
            return {0: hour, 2: 1}.get(quarter, 0)
        case "repeated hours":
            return 2 * hour if quarter == 0 else 0
        case "one at the hour":
            return 1 if quarter == 0 else 0
        case "three quarters":
            return quarter
        case _:
            return quarter or 4


KINDS = [
    *("hours", "hours and halves", "repeated hours", "one at the hour"),
    *("quarters", "ting-tang quarters", "three quarters"),
]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("blows", [1, 12, 13, 57, 58, 120, 195, 212, 213, 1000])
def test_the_worst_run_by_letting_it_strike(kind: str, blows: int) -> None:
    runs = []
    for start in range(48):
        left, at = blows, start
        while (left := left - heard(kind, at)) >= 0:
            at += 1
        runs.append(at - start)
    assert strike_work.shortest_run(kind, blows) * 4 == min(runs)


def test_213_blows_last_thirty_hours_and_212_may_not() -> None:
    assert strike_work.shortest_run("hours", 213) == 30
    assert strike_work.shortest_run("hours", 212) == 29


def test_the_worst_run_of_a_train() -> None:
    # Goodrich p. 297: 13 pins, 177 blows in 13.6 turns (printed 13.5); the most, 213, want 16.4
    for turns, enough in (("13.7", False), ("16.5", True)):
        result = compiled(
            strike(barrel=f"turns of line {turns} · parts 1 · diameter 200 mm · fall 100 m · line")
        )
        assert (value(result, "strike.duration.at_worst") >= 30) is enough
        assert value(result, "strike.blows_per_winding") == pytest.approx(13 * float(turns))
        assert value(result, "strike.duration.at_worst") <= value(result, "strike.duration.by_turns") + 1


# -- the hammer's share ------------------------------------------------------------


def test_the_daily_duty_of_a_hammer() -> None:
    # E. Beckett, Clocks, Watches and Bells, 1903, p. 201: 156 blows of 6 in are the hammer through 78 ft. With 13
    # blows a turn and 12 turns a day, a weight of twice the hammer falling 78 ft a day would give half of it.
    day = 78 * FOOT  # what the line lets out in 12 turns, so the barrel with its line is 78/12/π ft across
    across = day / 12 / 3.141592653589793
    barrel = (
        f"turns of line 96 · parts 1 · diameter {1000 * across - 2:.9f} mm · fall 300 m · weight 200 lb"
        " · line ·   diameter 2 mm"
    )
    result = compiled(PLACE, strike(barrel=barrel, hammer="mass 100 lb · lift 6 in"))
    assert value(result, "strike.energy.per_day") == pytest.approx(200 * POUND * 9.81 * day)
    assert value(result, "strike.share_of_energy") == pytest.approx(50)
    assert any("falls without warning" in text for text in figure(result, "strike.share_of_energy").cautions)


def test_two_hammers_that_take_turns_do_the_work_of_one() -> None:
    # Beckett p. 187: 18 cams working two hammers
    barrel = (
        "turns of line 96 · parts 1 · diameter 198 mm · fall 300 m · weight 200 lb · line ·   diameter 2 mm"
    )
    one = compiled(PLACE, strike(barrel=barrel, hammer="mass 100 lb · lift 6 in"))
    text = strike(barrel=barrel)
    for name in ("left", "right"):
        text += f"  hammer {name}\n    mass 100 lb\n    lift 6 in\n"
    two = compiled(PLACE, text)
    assert value(two, "strike.share_of_energy") == pytest.approx(value(one, "strike.share_of_energy"))
    assert exact(two, "strike.left.blows_per_day") == 78


@pytest.mark.parametrize(
    ("bell", "hammer", "low", "high", "source"),
    [
        ("11474 lb", "145 lb", 79, 79.2, "J. W. Benson, Time and Time-Tellers, 1875, p. 139: St Paul's"),
        ("60 cwt", "112 lb", 60, 60, "Beckett p. 246: an hour hammer of at least a sixtieth"),
        ("14 cwt", "30 lb", 40, 60, "Beckett p. 215: about a fiftieth"),
    ],
)  # fmt: skip
def test_hammers_for_their_bells(bell: str, hammer: str, low: float, high: float, source: str) -> None:
    result = compiled(PLACE, strike(hammer=f"mass {hammer} · lift 6 in"), f'bell "hour"\n  mass {bell}\n')
    assert low - 1e-9 <= value(result, "strike.hammer.mass_ratio") <= high + 1e-9, source


def test_the_lift_is_what_the_hammer_rises() -> None:
    # Beckett p. 252-263: at Westminster 13 in along its way are 9 in upright, and only these cost work
    result = compiled(PLACE, strike(hammer="mass 7 cwt · lift 9 in"))
    assert value(result, "strike.hammer.energy_per_blow") == pytest.approx(7 * 112 * POUND * 9.81 * 9 * INCH)


# -- quarters in time ----------------------------------------------------------------


def chime(interval: str = "1.5 s", *more: str) -> str:
    lines = [
        *("train chime", "  strikes quarters", f"  blow interval {interval}"),
        *("  quarter 1  1 2 3 4", "  quarter 2  1 2 3 4 1 2 3 4", "  quarter 3  1 2 3 4 1 2 3 4 1 2 3 4"),
        *("  quarter 4  1 2 3 4 1 2 3 4 1 2 3 4 1 2 . 34", *(f"  {line}" for line in more)),
        *("  arbor barrel", "    wheel 60", "    lifting pins 10"),
    ]
    return "\n".join(lines) + "\n"


def test_all_that_is_struck_at_twelve() -> None:
    barrel = ["chime barrel", "  changes a turn 10", "  gap 2"]
    result = compiled(chime("1.5 s", *barrel), strike("hours", "blow interval 4 s"))
    # 16 places and three gaps of one interval more than a blow: 19 × 1.5 s, and 12 × 4 s
    assert value(result, "quarters.time_taken") == pytest.approx(19 * 1.5 + 48)
    # from the first blow of the fourth quarter: 18 intervals, and 6 to 10 s of pause (Beckett p. 203)
    lead = figure(result, "quarters.before_the_hour")
    assert lead.value == pytest.approx(18 * 1.5 + 8)
    # a half-width of 2 s of the pause, and of 4 % of an interval of which nothing says how it was timed
    assert lead.uncertainty == pytest.approx(math.hypot(2, 0.04 * 18 * 1.5) / 3**0.5, rel=0.01)
    assert figure(result, "quarters.fit").value is True


def test_quarters_that_do_not_fit() -> None:
    result = compiled(chime("20 s"), strike("hours", "blow interval 50 s"))
    assert figure(result, "quarters.fit").value is False
    tight = chime("5 s", "warning 12 min")
    assert figure(compiled(tight, strike("hours", "blow interval 8 s")), "quarters.fit").value is False
    roomy = chime("5 s", "warning 5 min")
    assert figure(compiled(roomy, strike("hours", "blow interval 8 s")), "quarters.fit").value is True


def test_ting_tang_repeated_hours_and_three_quarters() -> None:
    ting = "train chime\n  strikes ting-tang quarters\n  blow interval 2 s\n  arbor barrel\n    wheel 60\n"
    result = compiled(ting, strike("repeated hours", "blow interval 3 s"))
    # four changes of two, gap 2 1/2 between them: (8 + 3 × 1.5) × 2, and twice twelve
    assert value(result, "quarters.time_taken") == pytest.approx(25 + 72)
    three = ting.replace("ting-tang", "three")
    result = compiled(three, strike("hours", "blow interval 3 s"))
    assert value(result, "quarters.time_taken") == pytest.approx(36)
    assert "quarters.before_the_hour" not in result.figures


def test_an_interval_that_is_not_known_is_waited_for() -> None:
    found = figure(compiled(chime("?"), strike("hours", "blow interval 3 s")), "quarters.fit")
    assert found.waits_for == ("chime.blow_interval",)


def test_a_clock_that_states_none_of_it_has_none_of_it() -> None:
    for blocks in ((going(),), (strike(),), (chime().replace("  blow interval 1.5 s\n", ""), strike())):
        ids = compiled(*blocks).figures
        assert not [
            id for id in ids if id.startswith("quarters") or "share_of_energy" in id or "at_worst" in id
        ]
