"""Play at the tip of a hand: by hand for one way, and how it goes with wheels, joints and speeds."""

from __future__ import annotations

import math

import pytest
from figure_texts import compiled, figure, going, value

HAND = "dial\n  minute hand\n    length 1 m\n"


def way(*lines: str) -> str:
    return "leading off\n  from going.centre\n" + "".join(f"  {line}\n" for line in lines)


def test_one_pair_with_its_play_stated() -> None:
    # half a degree of a shaft that turns once an hour is 5 s, and 1000 mm × π/360 at the tip
    result = compiled(going(), way("bevel 40 drives 40", "  play 0.5 °"), HAND)
    assert value(result, "dial.play_in_time") == pytest.approx(5 / 60)
    assert value(result, "dial.play_at_tip") == pytest.approx(1000 * math.pi / 360)
    assert figure(result, "dial.play_in_time").standing != "assumed"


def test_twice_as_large_bevels_leave_half_the_play() -> None:
    # Beckett p. 224: large bevels, since any given shake in the teeth then allows less motion of the hands;
    # of one pitch, twice the size is twice the count
    small, large = (compiled(going(), way(f"bevel {n} drives {n}"), HAND) for n in (30, 60))
    assert value(large, "dial.play_at_tip") == pytest.approx(value(small, "dial.play_at_tip") / 2)
    assert figure(small, "dial.play_at_tip").standing == "assumed"


def test_a_pair_on_a_fast_shaft_counts_less() -> None:
    slow = compiled(going(), way("bevel 40 drives 40", "bevel 40 drives 40"), HAND)
    fast = compiled(going(), way("bevel 80 drives 40", "bevel 40 drives 80"), HAND)
    # 1/40 + 1/40 turns of the hand against 1/(40 × 2) + 1/80
    ratio = value(fast, "dial.play_in_time") / value(slow, "dial.play_in_time")
    assert ratio == pytest.approx((1 / 80 + 1 / 80) / (1 / 40 + 1 / 40))


def test_joints_add_their_play_and_share_the_assumption() -> None:
    one = compiled(going(), way("universal joint", "  angle 5 °"), HAND)
    two = compiled(going(), way(*("universal joint", "  angle 5 °") * 2), HAND)
    assert value(two, "dial.play_in_time") == pytest.approx(2 * value(one, "dial.play_in_time"))
    # what is assumed of one joint is assumed of the other: the doubt adds up, and not as two chances
    spread = [figure(result, "dial.play_in_time").uncertainty or 0 for result in (one, two)]
    assert spread[1] == pytest.approx(2 * spread[0])


def test_a_single_hand_is_twelve_times_slower_to_show_it() -> None:
    hour = "dial\n  one hand only\n  hour hand\n    length 1 m\n"
    slow = compiled(going("once in 12 h"), way("bevel 40 drives 40"), hour)
    fast = compiled(going(), way("bevel 40 drives 40"), HAND)
    assert value(slow, "dial.play_in_time") == pytest.approx(12 * value(fast, "dial.play_in_time"))
    assert value(slow, "dial.play_at_tip") == pytest.approx(value(fast, "dial.play_at_tip"))


def test_only_where_there_is_a_way_and_a_length() -> None:
    direct = "dial\n  driven by going.centre on far side\n  minute hand\n    length 1 m\n"
    for blocks in (
        (going(), direct),
        (going(), way("bevel 40 drives 40"), "dial\n  minute hand\n    mass 1 kg\n"),
    ):
        assert not [id for id in compiled(*blocks).figures if "play" in id]


def test_nobody_is_sent_outside_to_measure_it() -> None:
    result = compiled(going(), way("bevel 40 drives 40"), HAND)
    assert any("Nobody reaches out" in text for text in figure(result, "dial.play_at_tip").cautions)
