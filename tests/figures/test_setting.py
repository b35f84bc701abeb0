"""Summer time: dates against an hourly look at the zone and against printed dates; what to do, by the kind of clock."""

from __future__ import annotations

from calendar import SUNDAY, Calendar
from datetime import UTC, date, datetime, timedelta
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest
from countwheel import zones
from figure_texts import compiled, figure, going

ID = "setting.summer_time"
LOG = "log\n  2026-04-10 14:00   found right\n"


def place(zone: str) -> str:
    return f'clock "A"\n  place\n    time zone {zone}\n'


def said(zone: str, *blocks: str) -> str:
    return str(figure(compiled(place(zone), *blocks), ID).value)


def method(*blocks: str) -> str:
    return figure(compiled(place("Europe/London"), *blocks), ID).method


# -- dates ---------------------------------------------------------------------


def packaged(name: str) -> ZoneInfo:
    """The zone from the tzdata package by the standard library's own way; a machine's copy may be an older one."""
    with files("tzdata").joinpath("zoneinfo", *name.split("/")).open("rb") as data:
        return ZoneInfo.from_file(data, key=name)


def by_the_hour(name: str, year: int) -> list[datetime]:
    """Every change of a zone's offset in a year, in universal time, by looking at each hour of it."""
    zone = packaged(name)
    hours = [datetime(year, 1, 1, tzinfo=UTC) + timedelta(hours=n) for n in range(366 * 24)]
    offsets = [hour.astimezone(zone).utcoffset() for hour in hours]
    return [
        hour
        for hour, before, after in zip(hours[1:], offsets, offsets[1:], strict=False)
        if before != after and hour.year == year
    ]


@pytest.mark.parametrize("year", [1975, 1995, 2025, 2026, 2031])
@pytest.mark.parametrize(
    "name",
    [
        *("Europe/London", "Europe/Berlin", "Europe/Dublin", "Australia/Sydney", "Australia/Lord_Howe"),
        *("America/New_York", "Asia/Tokyo", "Africa/Casablanca", "Pacific/Auckland", "America/Santiago"),
    ],
)
def test_changes_against_an_hourly_look(name: str, year: int) -> None:
    zone = packaged(name)
    expected = []
    for moment in by_the_hour(name, year):
        before = (moment - timedelta(hours=1)).astimezone(zone).utcoffset()
        after = moment.astimezone(zone).utcoffset()
        assert before is not None
        assert after is not None
        # the hour found may be later than the change itself by less than an hour; the day is told by the old clock
        change = (after - before).total_seconds() / 60
        expected.append(((moment + before).date(), change))
    # a change in the first or last hours of a year, by local time, belongs to its local year
    found = [(change.day, change.by) for change in zones.changes(name, year)]
    assert found == expected


# The last Sundays of March and October, 2025 to 2029, as the recurrence rules of RFC 5545 give them (dateutil).
@pytest.mark.parametrize(
    ("year", "spring", "autumn"),
    [(2025, 30, 26), (2026, 29, 25), (2027, 28, 31), (2028, 26, 29), (2029, 25, 28)],
)
def test_london_s_last_sundays(year: int, spring: int, autumn: int) -> None:
    sundays = [
        max(d for d in Calendar().itermonthdates(year, month) if d.month == month and d.weekday() == SUNDAY)
        for month in (3, 10)
    ]
    assert sundays == [date(year, 3, spring), date(year, 10, autumn)]
    changes = zones.changes("Europe/London", year)
    # by the clock before the change: 1 a.m. GMT in spring, 2 a.m. summer time (1 a.m. GMT) in autumn
    assert [(c.day, c.minute, c.by) for c in changes] == [(sundays[0], 60, 60), (sundays[1], 120, -60)]


def test_sydney() -> None:
    # hourly scan of the database, universal time: 2025-04-05 16:00 and 2025-10-04 16:00
    assert [(c.day, c.minute, c.by) for c in zones.changes("Australia/Sydney", 2025)] == [
        (date(2025, 4, 6), 180, -60),
        (date(2025, 10, 5), 120, 60),
    ]


def test_british_standard_time() -> None:
    # begun by 1968-02-18 and ended on 1971-10-31, with no change between
    assert [c.day for c in zones.changes("Europe/London", 1968) if c.by] == [date(1968, 2, 18)]
    assert zones.changes("Europe/London", 1969) == zones.changes("Europe/London", 1970) == ()
    assert [c.day for c in zones.changes("Europe/London", 1971)] == [date(1971, 10, 31)]


def test_the_rule_and_two_years_in_words() -> None:
    assert said("Europe/London", going(), LOG) == (
        "The clocks of Europe/London go forward one hour on the last Sunday in March at 01:00 and back one hour on"
        " the last Sunday in October at 02:00. In 2026: forward on 29 March, back on 25 October. In 2027: forward on"
        " 28 March, back on 31 October."
    )


# Years gone by, so that no law of the future changes what is expected here (New York's is the rule of 2007).
@pytest.mark.parametrize(
    ("zone", "rules"),
    [
        (
            "America/New_York",
            [("second Sunday in March", 120, 60), ("first Sunday in November", 120, -60)],
        ),
        (
            "Australia/Sydney",
            [("first Sunday in April", 180, -60), ("first Sunday in October", 120, 60)],
        ),
        ("Australia/Lord_Howe", [("first Sunday in April", 120, -30), ("first Sunday in October", 120, 30)]),
        ("Asia/Tokyo", []),
        ("Africa/Casablanca", None),  # with Ramadan, so on another day each year
    ],
)
def test_the_rules_of_other_zones(zone: str, rules: list[tuple[str, int, int]] | None) -> None:
    found = zones.rules(zone, 2012)
    assert (None if found is None else [tuple(rule) for rule in found]) == rules


def test_a_zone_without_summer_time() -> None:
    found = figure(compiled(place("Asia/Tokyo"), going(), LOG), ID)
    assert found.value == "The clocks of Asia/Tokyo are not changed: there is no summer time at present."
    assert found.method == "Nothing has to be done at the clock."
    assert "half an hour" in said("Australia/Lord_Howe", going(), LOG)


def test_years_are_counted_from_the_newest_date_and_not_from_today() -> None:
    later = LOG + "  2031-01-02 09:00   found right\n"
    assert "In 2031: forward on 30 March" in said("Europe/London", going(), later)
    seen = going().replace("wheel 80", 'wheel 80   counted on 2024-05-06 by "A"')
    assert "In 2024: forward on 31 March, back on 27 October." in said("Europe/London", seen)
    none = said("Europe/London", going())
    assert "In 20" not in none
    assert "last Sunday in March" in none
    inputs = figure(compiled(place("Europe/London"), going(), LOG), ID).inputs
    assert [one.written for one in inputs] == ["Europe/London", "2026-04-10"]


@pytest.mark.parametrize("day", ["2031-02-30", "2031-00-10", "2031-13"])
def test_no_year_is_counted_from_a_day_that_is_none(day: str) -> None:
    """Such a day is told as a fault; the figures, which are shown beside it, keep to the days that there are."""
    from countwheel import outputs
    from countwheel.api import check_text

    text = f"countwheel 1\n\n{place('Europe/London')}  stopped since {day}\n\n{LOG}"
    result = check_text(text)
    assert "M107" in [one.code for one in result.diagnostics]
    inputs = figure(result, ID).inputs
    assert [one.written for one in inputs] == ["Europe/London", "2026-04-10"]
    assert "calendar.ics" in outputs.calendar_of_build(result, None)


def test_a_stop_in_the_old_days_is_told_as_it_was() -> None:
    text = said("Europe/London", going(), 'log\n  1969-05-01   stopped "dirt"\n')
    assert "In 1969 they are not changed. In 1970 they are not changed." in text


def test_no_zone_no_figure_and_a_wrong_one_waits() -> None:
    assert ID not in compiled('clock "A"\n  place\n    country "France"\n', going()).figures
    assert figure(compiled(place("?"), going()), ID).waits_for == ("clock.place.time_zone",)
    from countwheel.api import check_text

    wrong = check_text("countwheel 1\n\n" + place("Europe/Londn") + "\n" + going())
    assert wrong.figures[ID].waits_for == ("clock.place.time_zone",)


def test_a_name_is_no_way_into_the_folders() -> None:
    for name in ("../zoneinfo/Europe/London", "/etc/hostname", "Europe", "", "Europe/London/x"):
        assert zones.zone(name) is None


# -- what to do ----------------------------------------------------------------

DIAL = "dial\n  driven by going.centre on far side\n  minute hand\n    length 1 m\n"
COUNT_WHEEL = (
    "train strike\n  strikes hours\n  count wheel\n    cut for hours\n  arbor barrel\n    wheel 78\n"
)
RACK = "train strike\n  strikes hours\n  rack\n    teeth 14\n  arbor barrel\n    wheel 78\n"
CHIME = "train chime\n  strikes quarters\n  count wheel\n    cut for quarters\n  arbor barrel\n    wheel 78\n"


def test_a_count_wheel_is_never_turned_back() -> None:
    # Antiquarian Horological Society, Keeper's Handbook, p. 17: stop an hour, or advance eleven; in spring
    # advance an hour and let it strike
    text = method(going(), COUNT_WHEEL, DIAL)
    assert "stop the pendulum" in text
    assert "on by 11 hours" in text
    assert "let it strike out at each hour" in text
    assert "Never turn the hands back past an hour" in text


def test_quarters_and_halves_are_waited_for() -> None:
    assert "strike out at each quarter" in method(going(), COUNT_WHEEL, CHIME, DIAL)
    assert "back past a quarter" in method(going(), COUNT_WHEEL, CHIME, DIAL)
    assert "each half hour" in method(going(), COUNT_WHEEL.replace("hours", "hours and halves"), DIAL)


def test_a_rack_keeps_its_count() -> None:
    text = method(going(), RACK, DIAL)
    assert "its count stays right" in text
    assert "Never turn" not in text


def test_a_dial_of_24_hours_goes_on_23() -> None:
    assert "on by 23 hours" in method(going(), COUNT_WHEEL, DIAL + "  hours 24\n")


def test_a_timepiece_with_one_hand() -> None:
    text = method(going(), "dial\n  driven by going.centre on far side\n  one hand only\n")
    assert "strike" not in text.replace("nothing that strikes", "")
    assert "move the hand on." in text


def test_a_gravity_escapement_need_not_be_touched_for_seconds() -> None:
    assert "gravity escapement" in method(going(), "escapement gravity\n", DIAL)
    assert "gravity escapement" not in method(going(), "escapement deadbeat\n", DIAL)


def test_it_says_what_moves() -> None:
    found = figure(compiled(place("Europe/London"), going(), COUNT_WHEEL, DIAL), ID)
    assert any("keep clear" in text for text in found.cautions)


def test_a_zone_whose_days_follow_the_moon_has_no_rule_but_days() -> None:
    # Morocco puts its clocks back for Ramadan, which moves eleven days from year to year
    text = said("Africa/Casablanca", going(), "log\n  2024-05-01 09:00   found right\n")
    assert text.startswith("The clocks of Africa/Casablanca are changed by no rule that stays the same")
    years = dict(part.split(": ", 1) for part in text.removesuffix(".").split(". ") if part.startswith("In "))
    assert set(years) == {"In 2024", "In 2025"}
    # Ramadan began about 11 March 2024 and 1 March 2025: the Sunday before it (the database's own days)
    assert years["In 2024"].startswith("back on 10 March")
    assert years["In 2025"].startswith("back on 23 February")


def test_a_clock_that_only_strikes_is_let_off() -> None:
    text = method(going(), COUNT_WHEEL)
    assert "let the striking off by hand" in text
    assert "Never turn" not in text  # there are no hands


def test_a_clock_of_which_neither_dial_nor_strike_is_told_has_hands_all_the_same() -> None:
    text = method(going())
    assert text.startswith("When the clocks go forward, move the hands on.")
    assert "striking" not in text


def test_where_nothing_says_how_the_blows_are_counted_the_hands_are_not_turned_back() -> None:
    silent = "train strike\n  strikes hours\n  no rack\n  arbor barrel\n    wheel 78\n"
    assert "Never turn the hands back past an hour" in method(going(), silent, DIAL)


def test_a_count_wheel_and_a_rack_are_both_told_of() -> None:
    # quarters by a count wheel, hours by a rack
    text = method(going(), RACK, CHIME, DIAL)
    assert "Never turn the hands back past a quarter" in text
    assert "its count stays right" in text


def test_the_dial_that_takes_longest_to_come_round_counts() -> None:
    both = DIAL.replace("dial\n", "dial north\n") + DIAL.replace("dial\n", "dial court\n") + "  hours 24\n"
    assert "on by 23 hours" in method(going(), both)
    assert "on by 23 hours" in method(going(), DIAL, "motion work\n  hours 24\n")
