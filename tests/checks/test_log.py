"""Times of day that a place did not have, and likely slips, with what must not be taken for one."""

from __future__ import annotations

import pytest
from countwheel.api import check_text

HEAD = (
    'countwheel 1\n\nclock "Quay clock"\n  place\n    latitude 50.1 °N\n    time zone Europe/London\n\nlog\n'
)


def codes(*lines: str) -> list[tuple[str, int]]:
    """Each code of the record's own with the line of the log that it stands at, from 1."""
    result = check_text(HEAD + "".join(f"  {line}\n" for line in lines))
    first = HEAD.count("\n")
    text = result.sources[result.file].text
    return [
        (one.code, text[: one.span.start].count("\n") - first + 1)
        for one in result.diagnostics
        if one.code.startswith("M7")
    ]


# IANA time zone database: Britain put its clocks on at 01:00 on 2026-03-29, and back at 02:00 on 2026-10-25.
@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("2026-03-29 01:00 found 3 s fast", ["M711"]),
        ("2026-03-29 01:59 found 3 s fast", ["M711"]),
        ("2026-03-29 02:00 found 3 s fast", []),
        ("2026-10-25 01:30 found 3 s fast", ["M712"]),
        ("2026-10-25 00:59 found 3 s fast", []),
        ("2026-10-25 02:00 found 3 s fast", []),
        ("2026-03-29 found 3 s fast", []),
    ],
)
def test_hours_of_the_place(line: str, code: list[str]) -> None:
    assert [one for one, _ in codes(line)] == code


def test_without_a_time_zone_no_hour_is_doubted() -> None:
    result = check_text("countwheel 1\n\nlog\n  2026-03-29 01:30 found 3 s fast\n")
    assert not [one for one in result.diagnostics if one.code.startswith("M71")]


STEADY = tuple(f"2026-05-{day:02d} 09:00 found {3 + day // 7} s fast" for day in (1, 8, 15, 22))


def test_an_hour() -> None:
    assert codes(*STEADY, "2026-05-29 09:00 found 59 min 50 s slow") == [("M713", 5)]
    assert codes("2026-03-20 found 3 s fast", "2026-03-30 found 1 h 2 s fast") == [("M713", 2)]
    assert codes(
        *STEADY, "2026-05-29 09:00 found 59 min 50 s slow, left right", "2026-06-05 found right"
    ) == [("M713", 5)]


def test_a_minute_is_told_once_though_the_next_reading_is_back() -> None:
    assert codes(*STEADY, "2026-05-29 09:00 found 67 s fast", "2026-06-05 09:00 found 8 s fast") == [
        ("M714", 5)
    ]
    assert codes(*STEADY, "2026-05-29 09:00 found 2 min 7 s fast") == [("M714", 5)]


@pytest.mark.parametrize(
    "last",
    [
        "2026-05-29 09:00 found 30 s fast",
        '2026-05-29 09:00 found 67 s fast doubted "read wrong"',
        "2026-05-29 09:00 found 7 s fast, left 67 s fast",
    ],
)
def test_what_is_no_slip(last: str) -> None:
    assert codes(*STEADY, last) == []


def test_a_clock_that_is_minutes_out_every_week_is_not_told_of_each() -> None:
    wild = (0, 60, 200, 110, 290, 230, 330, 250)
    assert codes(*(f"2026-05-{1 + 3 * n:02d} found {error} s fast" for n, error in enumerate(wild))) == []


def test_an_hour_that_was_written_down_is_no_slip() -> None:
    assert codes(*STEADY, "2026-05-23 set 1 h fast", "2026-05-29 found 1 h fast") == []


def test_out_of_order_is_still_told() -> None:
    assert codes("2026-05-09 found 3 s fast", "2026-05-02 found 2 s fast") == [("M702", 2)]


def test_readings_to_the_minute_step_by_a_minute() -> None:
    every = [
        f"2026-05-{day:02d} 09:00 found {1 + at // 2} min fast" for at, day in enumerate((1, 8, 15, 22, 29))
    ]
    assert codes(*every) == []
    assert codes(*every, "2026-06-05 09:00 found 63 min fast") == [("M713", 6)]


def test_nothing_and_a_sign_are_told_how_to_be_written() -> None:
    said = [
        one.hints
        for line in ("found 0 s fast", "left 0 min slow", "found -3 s fast")
        for one in check_text(HEAD + f"  2026-05-01 09:00 {line}\n").diagnostics
        if one.code == "M307"
    ]
    assert said == [
        ("write `found right`",),
        ("write `left right`",),
        ("write it without a sign, and `fast` or `slow` behind it",),
    ]


def test_an_earlier_time_is_in_order_where_the_hour_came_twice() -> None:
    """IANA time zone database: London, 02:00 on 2026-10-25 became 01:00."""
    assert [code for code, _ in codes("2026-10-25 01:30 wound", "2026-10-25 01:10 wound")] == ["M712", "M712"]
    assert ("M702", 2) in codes("2026-10-25 02:10 wound", "2026-10-25 01:10 wound")
    assert ("M702", 2) in codes("2026-10-25 01:30 wound", "2026-10-25 00:50 wound")
    assert ("M702", 2) in codes("2026-10-24 01:30 wound", "2026-10-24 01:10 wound")
