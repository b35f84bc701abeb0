"""Near words: the right one, and none where none is near."""

from __future__ import annotations

from time import perf_counter

import pytest
from countwheel.diagnostics.suggest import nearest, slips_between

WORDS = (
    "wheel", "weight", "width", "pinion", "pins", "barrel", "maintaining power", "count wheel",
    "dead turns", "deadbeat", "line", "tie", "lift", "week", "lasts", "arm", "mm", "cm",
)  # fmt: skip


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("maintaning power", "maintaining power"),
        ("weel", "wheel"),  # not `week`: a letter left out is likelier than a wrong one
        ("wheele", "wheel"),
        ("wehel", "wheel"),
        ("Pinion", "pinion"),
        ("count-wheel", "count wheel"),
        ("countwheel", "count wheel"),
        ("dead_beat", "deadbeat"),
        ("dead beat", "deadbeat"),
        ("barel", "barrel"),
        ("MM", "mm"),
    ],
)
def test_the_near_word_is_found(word: str, meant: str) -> None:
    assert nearest(word, WORDS) == (meant,)


@pytest.mark.parametrize("word", ["", "  ", "xy", "mn", "escapement", "zzzzz", "harbour", "lntz"])
def test_nothing_is_suggested_where_nothing_is_near(word: str) -> None:
    assert nearest(word, WORDS) == ()


def test_a_third_of_the_length_is_the_limit() -> None:
    assert nearest("abcdef", ["abcdxy"]) == ("abcdxy",)
    assert nearest("abcdef", ["abcxyz"]) == ()
    assert nearest("abc", ["abx"]) == ("abx",)
    assert nearest("abc", ["ayx"]) == ()


def test_best_first_whatever_the_order_of_the_known_words() -> None:
    expected = ("wheel", "wheels", "wheal", "theel")
    assert nearest("wheel", ["theel", "wheels", "wheel", "wheal"], limit=4) == expected
    assert nearest("wheel", ["wheel", "wheal", "theel", "wheels"], limit=4) == expected
    assert nearest("wheel", {"wheels", "theel", "wheel", "wheal"}, limit=2) == expected[:2]
    assert nearest("wheel", ["wheel"], limit=0) == ()


@pytest.mark.parametrize(
    ("one", "two", "slips"),
    [
        # Restricted distance: 'ca' to 'abc' is 3, since no part may be touched twice (the full
        # distance is 2). Common textbook example, no source.
        ("ca", "abc", 3),
        # The textbook pair for edit distance. Common practice, no source.
        ("kitten", "sitting", 3),
        ("wheel", "wehel", 1),
        ("", "abc", 3),
        ("abc", "abc", 0),
        ("abcd", "badc", 2),
    ],
)
def test_slips_are_counted(one: str, two: str, slips: int) -> None:
    assert slips_between(one, two, 9) == slips
    assert slips_between(two, one, 9) == slips
    assert slips_between(one, two, slips) == slips
    if slips:
        assert slips_between(one, two, slips - 1) is None


def test_four_hundred_known_words_are_no_burden() -> None:
    known = [f"{first} {second}" for first in WORDS for second in WORDS] + list(WORDS) * 8
    began = perf_counter()
    for _ in range(20):
        nearest("maintaning powr", known)
    assert (perf_counter() - began) / 20 < 0.05  # measured: about a millisecond
