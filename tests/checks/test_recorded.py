"""Two values of one fact: whether they disagree, by how much in the keeper's unit, and which one holds."""

from __future__ import annotations

import pytest
from countwheel.api import check_text
from countwheel.diagnostics.record import Diagnostic
from countwheel.figures.disagreement import differences


def told(fact: str, *values: str) -> list[Diagnostic]:
    lines = "".join(f"      {value}\n" for value in values)
    text = f"countwheel 1\n\npendulum\n  bob iron\n    {fact}\n{lines}"
    found = check_text(text).diagnostics
    assert not [one for one in found if one.severity == "error"], found
    return [one for one in found if one.code in ("M517", "M518")]


# A hundredweight is 112 lb (Weights and Measures Act 1985, schedule 1), a pound 0.45359237 kg (same place).
def test_how_far_apart_is_said_in_the_unit_of_the_value_that_holds() -> None:
    (one,) = told("mass", "1 cwt ± 1 lb stamped", '54.5 kg ± 0.2 kg measured on 2026-05-02 by "KT"')
    # 54.5 kg is 120.15 lb, so 8.15 lb or 0.073 cwt more; allowed are 1 lb and 0.44 lb, 0.0129 cwt
    assert one.code == "M517"
    assert "1 cwt ± 1 lb (stamped)" in one.message
    assert "54.5 kg ± 0.2 kg (measured on 2026-05-02 by KT)" in one.message
    assert "0.073 cwt apart; both tolerances together are 0.013 cwt" in one.message


@pytest.mark.parametrize(
    "second",
    [
        "102 kg ± 1 kg measured",  # the two bands just meet
        "224 lb ± 2 lb told",
        '150 kg told doubted "he guessed"',
        "? about 200 kg",
    ],
)
def test_values_that_agree_and_values_that_are_doubted_or_unknown_are_passed_over(second: str) -> None:
    assert told("mass", "100 kg ± 1 kg measured", second) == []


def test_a_little_farther_than_the_tolerances_is_told() -> None:
    (one,) = told("mass", "100 kg ± 1 kg measured", "102.01 kg ± 1 kg measured")
    assert "2.01 kg apart; both tolerances together are 2 kg" in one.message


def test_each_that_disagrees_with_the_one_that_holds_is_told() -> None:
    found = told("mass", '90 kg told doubted "x"', "100 kg measured", "150 kg told", "170 kg copied")
    assert [one.code for one in found] == ["M517", "M517"]
    assert ["150 kg" in found[0].message, "170 kg" in found[1].message] == [True, True]
    assert all("recorded as 100 kg (measured)" in one.message for one in found)


def test_where_all_are_doubted_that_is_said_and_which_holds() -> None:
    (one,) = told("mass", "90 kg told doubted", "100 kg measured doubted")
    assert one.code == "M518"
    assert one.severity == "advice"
    assert "the first, 90 kg, holds" in one.message


def test_counts_have_no_tolerance() -> None:
    text = "countwheel 1\ntrain going\n  arbor escape\n    escape wheel\n      30 counted\n      32 copied\n"
    (one,) = [one for one in check_text(text).diagnostics if one.code == "M517"]
    assert "30 (counted) and as 32 (copied), which is 2 apart; a count has no tolerance" in one.message


def test_no_digit_before_the_point_is_rounded_away() -> None:
    (one,) = told("mass", "1200 lb measured", "1065 lb stamped")
    assert "135 lb apart" in one.message


def test_words_agree_whatever_their_spelling() -> None:
    head = 'countwheel 1\nclock "A"\n  maker\n'
    result = check_text(
        head + '    "Ambrose  Pell" stamped\n    "ambrose pell" told\n    "J. Quill" copied\n'
    )
    assert result.clock is not None
    node = result.clock.fact("clock", "maker")
    assert node is not None
    assert [one.agrees for other in node.others for one in differences(node, other)] == [True, False]
    (one,) = [one for one in result.diagnostics if one.code == "M517"]
    assert "which is not the same" in one.message


def test_what_one_line_says_of_two_dials_is_told_once() -> None:
    text = "countwheel 1\ndial north, east\n  diameter\n    6 ft measured\n    7 ft told\n"
    found = [one for one in check_text(text).diagnostics if one.code == "M517"]
    assert len(found) == 1
