"""One clock in which all agrees, and one change to a line of it for each way in which a clock can contradict itself.

The clock is invented. Its counts and sizes are those that such clocks have: a pendulum of 1 1/4 seconds
is 61 inches long (g T²/π² with g = 9.811 m/s²); 156 blows a day, 78 in twelve hours (1 + 2 + ... + 12);
motion work of 12 to 1.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel.api import Result, check_text

WHOLE = (Path(__file__).parent / "whole.movement").read_text(encoding="utf-8")


def changed(*changes: tuple[str, str]) -> str:
    text = WHOLE
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    return text


def grave(result: Result) -> list[str]:
    """The codes of the clock itself and of what is expected, advice left out."""
    return [
        one.code for one in result.diagnostics if one.code[:2] in ("M5", "M6") and one.severity != "advice"
    ]


def test_in_the_whole_clock_nothing_disagrees() -> None:
    result = check_text(WHOLE)
    assert [one.code for one in result.diagnostics] == ["M604"]
    assert result.clock is not None
    assert len(result.clock.expectations) == 3


Change = tuple[str, str]
CASES: dict[str, tuple[str, *tuple[Change, ...]]] = {
    # A tooth miscounted: 2865 beats an hour by the counts, 2880 by the pendulum.
    "M501 a count of the train": ("M501", ("wheel 60\n", "wheel 59\n")),
    "M501 the beat": ("M501", ("beat 1.25 s", "beat 1.2 s"), ("length 61 in", "length ?")),
    "M502 the hour wheel": ("M502", ("hour wheel 80", "hour wheel 72")),
    "M502 the minute wheel": ("M502", ("minute wheel 90", "minute wheel 96")),
    "M503 one module": ("M503", ("minute pinion 20\n    module 6 mm", "minute pinion 20\n    module 5 mm")),
    "M504 the bevel on the near side": ("M504", ("drives 48 on far side", "drives 48 on near side")),
    "M504 the arbor the other way": (
        "M504",
        ("    turns anticlockwise from front\n", "    turns clockwise from front\n"),
        (
            "    turns clockwise from front\n  arbor escape",
            "    turns anticlockwise from front\n  arbor escape",
        ),
        ("clockwise\n    centre distance", "anticlockwise\n    centre distance"),
    ),
    "M505 unequal bevels": ("M505", ("bevel 48 drives 48 on", "bevel 48 drives 40 on")),
    "M505 unequal bevels of the dials": ("M505", ("drives 48, 48", "drives 40, 40")),
    "M506 the locking pinion": ("M506", ("pinion 10\n    wheel 72", "pinion 9\n    wheel 72")),
    "M506 the great wheel": ("M506", ("    wheel 200\n", "    wheel 190\n")),
    "M507 the count wheel": ("M507", ("count 20 drives 78", "count 20 drives 72")),
    "M507 cut for halves too": (
        "M507",
        ("cut for hours", "cut for hours and halves"),
        ("blows 156", "blows 180"),
    ),
    "M508 a short barrel": ("M508", ("length 14 in", "length 3 in")),
    "M508 a thick line": ("M508", ("diameter 6 mm", "diameter 1 in")),
    "M509 the room": ("M509", ("room 40 ft", "room 20 ft"), ("fall 37 ft 6 in", "fall ?")),
    "M510 too light for iron": ("M510", ("mass 210 lb", "mass 40 lb")),
    "M510 too heavy for iron": ("M510", ("mass 210 lb", "mass 210 kg")),
    "M511 minutes for seconds": (
        "M511",
        ("blow interval 1.25 s", "blow interval 1.25 min"),
        ("interval 2.5 s", "interval 1 min"),
    ),
    "M512 the length of a pendulum of 1 1/2 s": ("M512", ("length 61 in", "length 88 in")),
    "M512 the length to the end of the rod in cm": ("M512", ("length 61 in", "length 61 cm")),
    "M513 wound every ten days": ("M513", ("wound weekly", "wound every 10 days")),
    "M513 wound on one day, and few turns": (
        "M513",
        ("wound weekly", "wound every Friday"),
        ("turns of line 17", "turns of line 12"),
        ("expect going lasts at least 8 days\n", ""),
    ),
    "M514 two arbors": (
        "M514",
        (
            "    turns clockwise from front\n  arbor escape",
            "    turns anticlockwise from front\n  arbor escape",
        ),
    ),
    "M514 the winding": ("M514", ("      clockwise\n", "      anticlockwise\n")),
    "M515 centre distance": ("M515", ("centre distance 312 mm", "centre distance 350 mm")),
    "M515 two modules in mesh": (
        "M515",
        ("pinion 12\n      module 4 mm", "pinion 12\n      module 4.5 mm"),
        ("    centre distance 312 mm to going.centre\n", ""),
    ),
    "M601 a train that runs less": (
        "M601",
        ("expect going lasts at least 8 days", "expect going lasts at least 9 days"),
    ),
    "M601 the halves are struck": (
        "M601",
        ("expect strike blows 156 a day", "expect strike blows 180 a day"),
    ),
    "M603 no such figure": ("M603", ("expect strike blows 156 a day", "expect strike.barrel.colour is 3")),
}


@pytest.mark.parametrize("case", CASES)
def test_what_disagrees_is_told_and_nothing_else(case: str) -> None:
    code, *changes = CASES[case]
    result = check_text(changed(*changes))
    assert set(grave(result)) == {code}, [(one.code, one.message) for one in result.diagnostics]
    assert {one.code for one in result.diagnostics} <= {code, "M604", "M602", "M519"}


@pytest.mark.parametrize("case", CASES)
def test_the_place_is_on_a_line_that_was_changed_or_that_it_is_held_against(case: str) -> None:
    """One of the places shown (the first or the others) is on a line of the change."""
    _, *changes = CASES[case]
    text = changed(*changes)
    before, after = WHOLE.split("\n"), text.split("\n")
    new = {number for number, line in enumerate(after) if line not in before or before[number] != line}
    result = check_text(text)
    for one in result.diagnostics:
        if one.severity == "advice" or not new:
            continue
        shown = {
            text.count("\n", 0, span.start) for span in (one.span, *(other.span for other in one.others))
        }
        assert shown & new, (one, new)


SAME = {
    "the beat rounded as a keeper rounds it": ("beat 1.25 s", "beat 1 1/4 s"),
    "a beat that may be out by as much": ("beat 1.25 s", "beat 1.2504 s ± 0.001 s"),
    "24 hours": ("wheel 90\n    module 5 mm", "wheel 90\n    module 5 mm"),
    "two locks a turn": ("pinion 10\n    wheel 72", "pinion 10\n    locks 1 a turn\n    wheel 72"),
    "more layers": ("length 14 in", "length 3 in\n      layers 2"),
    "an unknown count": ("wheel 60\n", "wheel ? 56..64\n"),
    "an unknown bob": ("mass 210 lb", "mass ? about 40 lb"),
    "a bob of lead": ("bob cast iron", "bob lead\n    hole 5 in"),
    "a pendulum measured to the end of its rod": ("length 61 in", "length 68 in"),
    "wound twice a week": ("wound weekly", "wound every Monday and Friday"),
    "a module measured a little differently": (
        "      module 4 mm\n    wheel 64",
        "      module 4.05 mm\n    wheel 64",
    ),
}


@pytest.mark.parametrize("case", SAME)
def test_what_is_no_contradiction_is_not_told(case: str) -> None:
    assert grave(check_text(changed(SAME[case]))) == []


def test_no_check_is_made_on_a_train_with_a_faulty_line() -> None:
    """What is wrong of the train may follow from the line that could not be read."""
    result = check_text(changed(("wheel 64\n", "wheel 6A\n"), ("    wheel 200\n", "    wheel 2OO\n")))
    assert not [code for code in grave(result) if code[1] == "5"]


def test_one_fault_is_one_message_whatever_rests_on_it() -> None:
    """A great wheel miscounted spoils the run, the blows and what is expected: the locking tells of it."""
    result = check_text(
        changed(
            ("    wheel great 144\n", "    wheel great 140\n"), ("centre distance 312", "centre distance ?")
        )
    )
    assert len([one for one in result.diagnostics if one.severity != "advice"]) <= 1


def test_a_hand_backwards_is_told_once_for_all_dials() -> None:
    result = check_text(changed(("drives 48 on far side", "drives 48 on near side")))
    (fault,) = [one for one in result.diagnostics if one.code == "M504"]
    assert "north" in fault.message
    assert "south" in fault.message


def test_an_expectation_that_waits_is_advice() -> None:
    result = check_text(changed(("turns of line 17", "turns of line ?"), ("fall 22 ft 9 in", "fall ?")))
    assert not result.has_errors
    (advice,) = [one for one in result.diagnostics if one.code == "M602"]
    assert "going.duration" in advice.message
