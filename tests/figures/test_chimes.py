"""Chime barrels and the sequence of twelve hours, against Beckett's and Goodrich's barrels and plain counting."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from countwheel.api import Result
from countwheel.figures import changes, chimes
from countwheel.model.clock import Train
from figure_texts import book_of, compiled, exact, figure, value

# E. Beckett, Clocks, Watches and Bells, 1903, p. 204 (and en.wikipedia.org, Westminster Quarters): bells 1 2 3 6.
CAMBRIDGE = {1: "1236", 2: "3126 3213", 3: "1326 6213 1236", 4: "3126 3213 1326 6213"}


def chime(a_turn: str = "5", gap: str = "2 1/2", lines: dict[int, str] | None = None, more: str = "") -> str:
    text = "train chime\n  strikes quarters\n" + more
    for number, places in (CAMBRIDGE if lines is None else lines).items():
        text += f"  quarter {number}  {' '.join(places.replace(' ', ''))}\n"
    text += "  arbor barrel\n    wheel 100\n    chime barrel\n      changes a turn " + a_turn + "\n"
    return text + (f"      gap {gap}\n" if gap else "")


HOURS = (
    "train strike\n  strikes hours\n  blow interval 4 s\n  arbor barrel\n    wheel 78\n    lifting pins 13\n"
)


# -- the barrel --------------------------------------------------------------------


def test_five_changes_go_twice_round_in_an_hour() -> None:
    # Beckett p. 176: 50 drives 100, five changes round, ten chimes an hour: two turns of the barrel
    result = compiled(chime("5"))
    assert exact(result, "chime.barrel.pinning") == 20
    assert exact(result, "chime.barrel.turns_per_hour") == 2


def test_westminster_s_barrel_of_an_hour_and_a_half() -> None:
    # bigben.freeservers.com/chimes.html: three times the five sets; Beckett p. 205: one set of cams is five chimes
    result = compiled(chime("15", "2"))
    assert exact(result, "chime.barrel.pinning") == 60
    assert exact(result, "chime.barrel.turns_per_hour") == Fraction(2, 3)


@pytest.mark.parametrize("a_turn", ["3", "4", "6", "7"])
def test_changes_that_do_not_come_round(a_turn: str) -> None:
    found = figure(compiled(chime(a_turn)), "chime.barrel.pinning")
    assert found.value is None
    assert any("do not come round" in text for text in found.cautions)


@pytest.mark.parametrize(
    ("gap", "bells", "spaces", "source"),
    [
        ("2 1/2", 4, 55, "Beckett p. 205: each blow 2 spaces, the interval 5: 5 × (3 × 2 + 5)"),
        ("3", 4, 30, "Beckett p. 205: at Cambridge three spaces between the chimes; 5 × (3 + 3)"),
        ("2", 4, 25, "Beckett p. 205: at Westminster and Doncaster two; 5 × (3 + 2)"),
        ("4", 4, 35, "W. L. Goodrich, The Modern Clock, 1905, p. 371: five tunes of four notes and three: 5 × (4 + 3)"),
    ],
)  # fmt: skip
def test_the_spaces_round_a_barrel(gap: str, bells: int, spaces: int, source: str) -> None:
    assert value(compiled(chime("5", gap)), "chime.barrel.divisions") == pytest.approx(spaces), source


def test_where_the_pins_stand() -> None:
    pins = chimes.pinning(book_of(chime("5")), _train(chime("5")))
    assert len(pins) == 20
    # the first set 1 2 3 6 at spaces 0 2 4 6 of 55, the next begins 5 spaces on
    assert [(pin.bell, pin.turn) for pin in pins[:5]] == [
        ("1", Fraction(0)),
        ("2", Fraction(2, 55)),
        ("3", Fraction(4, 55)),
        ("6", Fraction(6, 55)),
        ("3", Fraction(11, 55)),
    ]
    # round the barrel in their order, and the last gap as long as the others
    assert [pin.turn for pin in pins] == sorted({pin.turn for pin in pins})
    assert 1 - pins[-1].turn == Fraction(5, 55)
    assert Counter(pin.bell for pin in pins) == {"1": 5, "2": 5, "3": 6, "6": 4}


def _train(text: str) -> Train:
    clock = compiled(text).clock
    assert clock is not None
    return clock.trains[0]


def test_rests_have_no_pin_and_two_bells_two() -> None:
    lines = {1: "1 2", 2: "1 2 2 1", 3: "1 2 1 2 2 1", 4: "1 2 . 2 2 1 2 1"}
    text = chime("10", "2", lines).replace("1 2 . 2", "1 2 . 12")
    pins = chimes.pinning(book_of(text), _train(text))
    assert len(pins) == 20  # 20 places, one of them a rest and one with two bells
    assert sum(pin.change == 7 for pin in pins) == 2
    assert {pin.place for pin in pins if pin.change == 7} == {1}


def test_a_gap_that_is_not_stated_is_assumed_and_said_to_be() -> None:
    result = compiled(chime("5", ""))
    assert "which is assumed" in figure(result, "chime.barrel.pinning").method
    divisions = figure(result, "chime.barrel.divisions")
    assert divisions.value == pytest.approx(55)
    assert divisions.standing == "assumed"
    # Westminster's 2 and Cambridge's 3 are the ends of what is assumed
    assert divisions.uncertainty == pytest.approx(2 * 5 * 0.5 / 3**0.5)


def test_quarters_that_cannot_be_shared_out() -> None:
    found = figure(compiled(chime("5", "2", {1: "123", 2: "1234", 3: "123", 4: "1"})), "chime.barrel.pinning")
    assert found.value is None
    assert any("cannot be shared out" in text for text in found.cautions)


# -- twelve hours ----------------------------------------------------------------------


def twelve_hours(*blocks: str) -> tuple[Result, tuple[chimes.Blow, ...]]:
    return compiled(*blocks), chimes.sequence(book_of(*blocks))


def test_cambridge_quarters_and_the_hours() -> None:
    # Beckett p. 176, 205: 4, 8, 12 and 16 blows, 480 in twelve hours; 78 of the hours (Goodrich p. 297)
    result, blows = twelve_hours(chime(more="  blow interval 1.5 s\n"), HOURS)
    assert exact(result, "chime.sequence_over_12h") == 480 + 78 == len(blows)
    assert Counter(blow.train for blow in blows) == {"chime": 480, "strike": 78}
    assert [blow.at for blow in blows] == sorted(blow.at for blow in blows)


def test_the_hour_is_struck_on_the_hour() -> None:
    _, blows = twelve_hours(chime(more="  blow interval 1.5 s\n"), HOURS)
    for hour in range(1, 13):
        struck = [blow.at for blow in blows if blow.train == "strike" and 0 <= blow.at - 3600 * hour < 1800]
        assert struck == [3600 * hour + 4 * n for n in range(hour)]
        last = max(blow.at for blow in blows if blow.train == "chime" and blow.at < 3600 * hour)
        assert 6 <= 3600 * hour - last <= 10  # Beckett p. 203
    quarter = [blow for blow in blows if 900 <= blow.at < 1000]
    assert [(blow.at - 900, blow.bell[-1]) for blow in quarter] == [
        (0, "1"),
        (1.5, "2"),
        (3, "3"),
        (4.5, "6"),
    ]
    half = [blow.at - 1800 for blow in blows if 1800 <= blow.at < 1900]
    assert half[:5] == [0, 1.5, 3, 4.5, 4.5 + 1.5 * 2.5]


def test_bells_by_the_names_of_their_hammers() -> None:
    text = chime()
    for name in ("one", "two", "three", "four"):
        text += f'  hammer {name}\n    on bell "{name} bell"\n    mass 5 lb\n    lift 4 in\n'
    _, blows = twelve_hours(text)
    assert Counter(blow.bell for blow in blows) == {
        **{"one bell": 120, "two bell": 120, "three bell": 144, "four bell": 96}
    }
    days = changes.blows_a_day(book_of(text), _train(text))
    assert days is not None
    assert [day.value for day in days] == [240, 240, 288, 192]


def test_ting_tang_and_halves() -> None:
    ting = "train chime\n  strikes ting-tang quarters\n  arbor barrel\n    wheel 60\n"
    halves = HOURS.replace("strikes hours", "strikes hours and halves")
    result, blows = twelve_hours(ting, halves)
    # ten changes of two blows in an hour; 90 with the halves (Beckett p. 170)
    assert exact(result, "chime.sequence_over_12h") == 12 * 20 + 90 == len(blows)
    assert sum(blow.at % 3600 == 1800 for blow in blows if blow.train == "strike") == 12


def test_repeated_hours_are_heard_twice() -> None:
    three = "train chime\n  strikes three quarters\n  quarter 1  1 2\n  quarter 2  1 2 1 2\n"
    three += "  quarter 3  1 2 1 2 1 2\n  arbor barrel\n    wheel 60\n"
    repeated = HOURS.replace("strikes hours", "strikes repeated hours")
    result, blows = twelve_hours(three, repeated)
    assert exact(result, "chime.sequence_over_12h") == 12 * 12 + 156 == len(blows)
    at_two = [blow.at - 7200 for blow in blows if blow.train == "strike" and 7200 <= blow.at < 9000]
    assert at_two == [0, 4, 120, 124]


def test_nothing_without_changes() -> None:
    bare = "train chime\n  strikes quarters\n  arbor barrel\n    wheel 60\n    chime barrel\n"
    assert not [id for id in compiled(bare).figures if "sequence" in id or "pinning" in id]
    waiting = figure(compiled(chime("?")), "chime.barrel.pinning")
    assert waiting.waits_for == ("chime.chime_barrel.changes_a_turn",) or waiting.waits_for[0].endswith(
        "turn"
    )


def test_changes_read_back() -> None:
    read = changes.read(_train(chime()))
    assert read is not None
    assert ["".join(change) for change in read.hour()] == [
        *("1236", "3126", "3213", "1326", "6213", "1236", "3126", "3213", "1326", "6213"),
    ]
    assert read.bells() == ("1", "2", "3", "6")
    assert read.blows() == 40
    assert read.blows("6") == 8
