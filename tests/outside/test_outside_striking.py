"""Published striking and chiming: blows, locking, count wheels, hammers.

B is E. Beckett, A Rudimentary Treatise on Clocks, Watches and Bells, 8th ed. 1903; D is W. Derham, The
Artificial Clock-maker, 1696; G is W. L. Goodrich, The Modern Clock, 1905; BN is J. W. Benson, Time and
Time-Tellers, 1875.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from outside_reading import FOOT, POUND, compiled, exact, faults, train, value


def strike(pairs: str, pins: int, *, at: str = "barrel", facts: str = "", more: str = "strikes hours") -> str:
    """A striking train with lifting pins on the barrel, its last arbor the locking one, or with pins on the last."""
    end = "pin" if at == "pin" else "locking"
    text = train("strike", pairs, anchor="", end=end, barrel=facts, more=more)
    return text.replace(f"  arbor {at}\n", f"  arbor {at}\n    lifting pins {pins}\n")


@pytest.mark.parametrize(
    ("kind", "twelve_hours", "day", "source"),
    [
        ("hours", 78, 156, "G p. 297; D p. 34-35; B p. 169, 195"),
        ("hours and halves", 90, 180, "B p. 170: 90; G p. 298: 180"),
        ("repeated hours", 156, 312, "D p. 46: two notches of each sort"),
    ],
)
def test_blows(kind: str, twelve_hours: int, day: int, source: str) -> None:
    result = compiled(train("strike", "78/8", more=f"strikes {kind}", anchor=""))
    assert exact(result, "strike.blows_per_12h") == twelve_hours, source
    assert exact(result, "strike.blows_per_day") == day, source


def test_thirty_hours_of_striking_on_the_mean() -> None:
    # D p. 38-39: as 12 h to 78, so 30 h to 195
    result = compiled(strike("78/6", 13))
    assert exact(result, "strike.blows_per_day") * Fraction(30, 24) == 195


@pytest.mark.parametrize(
    ("pairs", "cams", "turns", "source"),
    [
        ("100/10", 10, Fraction(1), "B p. 197-198: n = 10 m"),
        ("120/12", 10, Fraction(1), "B p. 197-198: n = 12 m"),
        ("78/6", 13, Fraction(1), "D p. 33-34: pins as the quotient of pin wheel and detent pinion"),
        ("104/8", 26, Fraction(1, 2), "D p. 33-34, 112: half of the pins where the hoop is double"),
    ],
)
def test_turns_of_the_locking_arbor(pairs: str, cams: int, turns: Fraction, source: str) -> None:
    result = compiled(strike(pairs, cams))
    assert exact(result, "strike.locking.turns_per_blow") == turns, source


def test_two_thirds_of_a_turn() -> None:
    # B p. 198: n = ⅔ m p, so n = 8 m with a pinion of 12: 128 teeth for 16 cams
    text = strike("128/12", 16)
    bare = compiled(text)
    assert exact(bare, "strike.locking.turns_per_blow") == Fraction(2, 3)
    # it can only be locked in three places: without them it would stand elsewhere after each blow
    assert faults(bare) == {"M506"}
    three = compiled(text.replace("    pinion 12", "    pinion 12\n    locks 3 a turn"))
    assert faults(three) == set()


def test_the_wheel_of_192_teeth_makes_a_whole_turn() -> None:
    # B p. 198 prints 192 teeth with 16 cams and a pinion of 12 as ⅔ of a turn; by his own rule, and by
    # G p. 259 (192/12 = 16), it is a whole one
    result = compiled(strike("192/12", 16))
    assert exact(result, "strike.locking.turns_per_blow") == 1
    assert faults(result) == set()


def test_quarters_of_two_thirds_of_a_turn() -> None:
    # B p. 201: 12 cams, 96 with 12: ⅔ of a turn for a chime
    text = train("chime", "96/12", anchor="", end="locking", more="strikes quarters")
    text = text.replace("  arbor barrel\n", "  arbor barrel\n    lifting pins 12\n")
    result = compiled(text.replace("    pinion 12", "    pinion 12\n    locks 3 a turn"))
    assert exact(result, "chime.locking.turns_per_change") == Fraction(2, 3)
    assert faults(result) == set()


@pytest.mark.parametrize(
    ("pairs", "pins", "blows", "source"),
    [
        ("78/8", 8, 78, "B p. 165; D p. 110: 78 into 8, 8 pins, great wheel in 12 h"),
        ("128/8", 26, 416, "D p. 112"),
        ("80/10 65/10", 12, 624, "D p. 113"),
        ("144/6", 26, 624, "D p. 113: or 144 into 6, 26 pins"),
        ("72/8 64/8", 12, 864, "D p. 114"),
        ("145/5", 30, 870, "D p. 114: or 145 into 5, 30 pins"),
        ("96/8 88/8", 16, 2112, "D p. 114"),
    ],
)
def test_strokes_in_a_turn_of_the_great_wheel(pairs: str, pins: int, blows: int, source: str) -> None:
    result = compiled(strike(pairs, pins, at="pin", facts="turns of line 16"))
    assert exact(result, "strike.blows_per_barrel_turn") == blows, source


@pytest.mark.parametrize(
    ("pairs", "pins", "pair", "on", "passed", "agrees", "source"),
    [
        ("78/6", 13, "8 drives 48", "barrel", Fraction(78), True, "D p. 34"),
        ("128/8", 26, "8 drives 24", "pin", Fraction(78), True, "D p. 112"),
        ("80/10 65/10", 12, "8 drives 52", "pin", Fraction(78), True, "D p. 113"),
        ("144/6", 26, "8 drives 24", "pin", Fraction(78), True, "D p. 113"),
        # not exact: the count creeps
        ("72/8 64/8", 12, "37 drives 30", "second", Fraction(2880, 37), False, "D p. 114: 37)30"),
        ("145/5", 30, "24 drives 62", "pin", Fraction(155, 2), False, "D p. 114: 24)62"),
        ("96/8 88/8", 16, "27 drives 12", "second", Fraction(704, 9), False, "D p. 114: 27)12"),
        # the ratios that would be right, 13/16, 13/5 and 39/88, in counts of our own
        ("72/8 64/8", 12, "32 drives 26", "second", Fraction(78), True, "D p. 114 by the exact 13/16"),
        ("145/5", 30, "20 drives 52", "pin", Fraction(78), True, "D p. 114 by the exact 13/5"),
        ("96/8 88/8", 16, "88 drives 39", "second", Fraction(78), True, "D p. 114 by the exact 39/88"),
    ],
)
def test_count_wheels(
    pairs: str, pins: int, pair: str, on: str, passed: Fraction, agrees: bool, source: str
) -> None:
    at = "barrel" if pairs == "78/6" else "pin"
    wheel = f"count wheel ·   driven by strike.{on} ·   count {pair} ·   cut for hours"
    result = compiled(strike(pairs, pins, at=at, more=f"strikes hours · {wheel}"))
    assert exact(result, "strike.count_wheel.blows_per_turn") == passed, source
    assert result.figures["strike.count_wheel.agrees"].value is agrees
    assert ("M507" in faults(result)) is not agrees


def test_a_count_wheel_for_hours_and_halves() -> None:
    # B p. 170: 90 with one blow at each half hour, so a wheel of 78 does not fit such striking
    for passed, agrees in ((78, False), (90, True)):
        wheel = f"count wheel ·   driven by strike.barrel ·   count 10 drives {passed} ·   cut for hours and halves"
        result = compiled(strike("100/10", 10, more=wheel))
        assert exact(result, "strike.count_wheel.blows_per_turn") == passed
        assert ("M507" in faults(result)) is not agrees


def test_pins_and_turns_of_a_winding() -> None:
    # G p. 297: 13 pins, 156 blows a day for 7½ days, printed as 1,070 blows and 80 4/13 turns: it is 1170 and
    # 90 (156 × 7.5; 1170/13)
    right, printed = (
        compiled(strike("78/6", 13, facts=f"turns of line {turns}")) for turns in ("90", "80 4/13")
    )
    assert value(right, "strike.duration.by_turns") / 24 == pytest.approx(7.5)
    assert value(printed, "strike.duration.by_turns") / 24 < 6.7


def test_westminster_s_chime_barrel() -> None:
    # bigben.freeservers.com/chimes.html: the five sets of changes three times round the drum, ten an hour:
    # one turn in an hour and a half
    text = "train chime\n  strikes quarters\n  arbor drum\n    chime barrel\n      changes a turn 15\n"
    result = compiled(text)
    assert exact(result, "chime.drum.turns_per_hour") == Fraction(2, 3)


# -- hammers -----------------------------------------------------------
def test_the_daily_work_of_a_hammer() -> None:
    # B p. 201: 156 blows with 6 in of lift are as the hammer's weight through 78 ft
    text = strike("78/6", 13, more="strikes hours · hammer ·   mass 100 lb ·   lift 6 in")
    result = compiled('clock "A"\n  place\n    gravity 9.81 m/s²\n', text)
    day = value(result, "strike.hammer.energy_per_blow") * float(exact(result, "strike.blows_per_day"))
    assert day == pytest.approx(100 * POUND * 9.81 * 78 * FOOT)


def test_the_old_hour_bell_of_st_paul_s() -> None:
    # BN p. 139: bell 11 474 lb, hammer 145 lb: a seventy-ninth
    text = strike("78/6", 13, more="strikes hours · hammer ·   mass 145 lb ·   lift 6 in")
    result = compiled(text, 'bell "hour"\n  mass 11474 lb\n')
    assert value(result, "strike.hammer.mass_ratio") == pytest.approx(79, abs=0.5)
