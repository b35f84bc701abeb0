"""The calendar as other programs read it: vobject takes the file apart and dateutil works out the recurrences.

Clock changes are held against the IANA data, looked through with the standard library's zoneinfo.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import vobject
from countwheel import api, outputs
from countwheel.emit.calendar_entries import entries
from hypothesis import given
from hypothesis import strategies as st
from keeping_reading import GOING, HEAD, STRIKE, calendar_of, compiled, every, read

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)
FIRST, LAST = date(2026, 4, 12), date(2027, 4, 11)
ZONES = ["Europe/London", "Australia/Sydney", "Australia/Lord_Howe", "America/New_York", "Europe/Dublin"]
ZONES += ["Asia/Kolkata", "Pacific/Chatham", "America/Santiago"]


@cache
def demo(name: str) -> api.Result:
    return api.compile_file(SPECS / name, working=False)


def packaged(name: str) -> ZoneInfo:
    """The zone from the tzdata package by the standard library's own way."""
    with files("tzdata").joinpath("zoneinfo", *name.split("/")).open("rb") as data:
        return ZoneInfo.from_file(data, key=name)


def zoned(zone: str, rest: str = GOING + STRIKE) -> str:
    return HEAD + f"    time zone {zone}\n" + rest


def dates(content: bytes, kind: str) -> list[date]:
    return sorted(day for one in read(content) if one.kind == kind for day in one.days)


# -- the form ----------------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_the_file_is_as_the_standard_says(name: str) -> None:
    """RFC 5545: lines end with CRLF and have 75 octets at most (3.1), no UTF-8 sequence is parted by our folds, each
    event has UID and DTSTAMP (3.6.1), and each zone that is named is there (3.6.5).
    """
    content = calendar_of(demo(name), FIRST, LAST)
    assert content.endswith(b"\r\n")
    lines = content.split(b"\r\n")
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(map(len, lines)) <= 75
    for line in lines:
        line.decode("utf-8")
    text = content.decode("utf-8").replace("\r\n ", "")
    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert "VERSION:2.0\r\n" in text
    assert "PRODID:" in text
    events = text.split("BEGIN:VEVENT")[1:]
    assert all("UID:" in one and "DTSTAMP:" in one and "SEQUENCE:" in one for one in events)
    assert set(re.findall(r";TZID=([^:;]+):", text)) <= set(re.findall(r"^TZID:(.+?)\r$", text, re.M))
    assert not re.search(r"COUNT=.*UNTIL=|UNTIL=.*COUNT=", text)


@pytest.mark.parametrize("name", DEMOS)
def test_another_library_reads_the_same_events(name: str) -> None:
    result = demo(name)
    assert result.clock is not None
    ours = entries(result.clock, result.figures, FIRST, LAST)
    theirs = read(calendar_of(result, FIRST, LAST))
    assert len(theirs) == len(ours) > 0
    assert [(one.title, one.text, one.kind) for one in theirs] == [
        (o.title, o.text, o.category) for o in ours
    ]
    for one, our in zip(theirs, ours, strict=True):
        same = one.start.replace(tzinfo=None) if isinstance(one.start, datetime) else one.start
        assert same == (our.start.replace(tzinfo=None) if isinstance(our.start, datetime) else our.start)
        assert min(one.days) >= FIRST
        assert max(one.days) <= LAST


NASTY = "Uhr; „Käthe“, \\n \\ 時計" + " 時計塔の鐘" * 12


def test_letters_of_several_octets_and_signs_that_mean_something() -> None:
    text = f'countwheel 1\nclock "{NASTY}"\n  wound every Friday\n' + GOING
    content = calendar_of(compiled(text), FIRST, LAST)
    assert max(map(len, content.split(b"\r\n"))) <= 75
    for line in content.split(b"\r\n"):
        line.decode("utf-8")
    clock = compiled(text).clock
    assert clock is not None
    assert any(clock.name in one.title for one in read(content))


@given(
    st.text(
        st.characters(exclude_categories=["Cc", "Cs", "Cf", "Zl", "Zp"], exclude_characters='"'), min_size=1
    )
)
def test_any_task_comes_back_as_it_was(task: str) -> None:
    result = compiled(f'countwheel 1\ncare\n  "{task}" every 3 months\n')
    assert result.clock is not None
    ours = entries(result.clock, result.figures, FIRST, LAST)
    content = calendar_of(result, FIRST, LAST)
    assert max(map(len, content.split(b"\r\n"))) <= 75
    assert [(one.title, one.text) for one in read(content)] == [(one.title, one.text) for one in ours]


# -- the same again ------------------------------------------------------------------
@pytest.mark.parametrize("name", DEMOS)
def test_a_second_export_changes_entries_and_adds_none(name: str) -> None:
    one = calendar_of(demo(name), FIRST, LAST, date(2026, 4, 12))
    again = calendar_of(demo(name), FIRST, LAST, date(2026, 4, 12))
    later = calendar_of(demo(name), FIRST, LAST, date(2026, 6, 1))
    assert one == again
    first, second = ({event.uid: event for event in read(content)} for content in (one, later))
    assert len(first) == len(read(one))  # no two alike
    assert first.keys() == second.keys()
    for uid, event in first.items():
        assert int(second[uid].event.sequence.value) > int(event.event.sequence.value)
        assert second[uid].event.dtstamp.value > event.event.dtstamp.value
        assert second[uid].days == event.days


def test_an_entry_keeps_its_identity_when_its_days_change() -> None:
    before = read(calendar_of(demo("penquay-harbour-office"), FIRST, LAST))
    after = read(calendar_of(demo("penquay-harbour-office"), FIRST + timedelta(days=30), LAST))
    assert {one.uid for one in after} <= {one.uid for one in before}
    wound = [next(one for one in several if one.kind == "winding") for several in (before, after)]
    assert wound[0].uid == wound[1].uid
    assert wound[0].start != wound[1].start


def test_two_lines_of_the_same_words_are_two_entries() -> None:
    result = compiled("countwheel 1\ncare\n  oil pivots every 3 months\n  oil pivots every 6 months\n")
    assert len({one.uid for one in read(calendar_of(result, FIRST, LAST))}) == 2


# -- when -----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("habit", "expected"),
    [
        # 17 April 2026 is the first Friday, 14 April the first Tuesday
        ("every Friday", every(date(2026, 4, 17), 7, LAST)),
        (
            "every Tuesday and Friday",
            sorted((*every(date(2026, 4, 14), 7, LAST), *every(date(2026, 4, 17), 7, LAST))),
        ),
        ("daily", every(FIRST, 1, LAST)),
        ("every 3 days", every(FIRST, 3, LAST)),
    ],
)
def test_the_days_of_winding(habit: str, expected: tuple[date, ...]) -> None:
    content = calendar_of(compiled(HEAD + f"  wound {habit}\n" + GOING), FIRST, LAST)
    assert dates(content, "winding") == list(expected)


def test_winding_at_intervals_goes_on_from_the_log() -> None:
    text = HEAD + "  wound every 5 days\n" + GOING + "log\n  2026-04-10 wound\n"
    assert dates(calendar_of(compiled(text), FIRST, LAST), "winding")[:2] == [
        date(2026, 4, 15),
        date(2026, 4, 20),
    ]


def test_the_time_of_day_is_that_of_the_log_also_in_summer() -> None:
    """A weekly 09:00 in London is 09:00 UTC in winter and 08:00 UTC in summer: from the zone in the file itself."""
    content = calendar_of(demo("penquay-harbour-office"), FIRST, LAST)
    event = next(one for one in read(content) if one.kind == "winding")
    assert isinstance(event.start, datetime)
    zone = vobject.readOne(content.decode()).vtimezone.tzinfo
    summer, winter = (datetime(2026, month, 7, 9, tzinfo=zone).astimezone(UTC).hour for month in (8, 12))
    assert (summer, winter) == (8, 9)
    assert event.event.duration.value == timedelta(minutes=40)


def test_a_care_line_recurs_from_its_last_day_in_the_log() -> None:
    content = calendar_of(demo("penquay-harbour-office"), FIRST, LAST)
    oil = next(one for one in read(content) if one.title.endswith("oil pallets"))
    assert oil.days == (date(2026, 6, 20), date(2026, 9, 20), date(2026, 12, 20), date(2027, 3, 20))


def test_seasons_come_in_every_year() -> None:
    text = HEAD + GOING + "season winter\n  from 29 February to 31 March\n  going.barrel.weight 110 kg\n"
    content = calendar_of(compiled(text), date(2026, 1, 1), date(2028, 12, 31))
    assert dates(content, "season") == [date(2026, 2, 28), date(2027, 2, 28), date(2028, 2, 29)]


def test_reminders() -> None:
    for one in read(calendar_of(demo("penquay-harbour-office"), FIRST, LAST)):
        alarm = one.event.valarm
        assert alarm.action.value == "DISPLAY"
        assert alarm.description.value == one.title
        assert alarm.trigger.value < timedelta()


@pytest.mark.parametrize("zone", ZONES)
def test_clock_changes_are_those_of_the_iana_data(zone: str) -> None:
    """Every hour and half hour of four years is looked at; the day is that of the clock before the change."""
    here = packaged(zone)
    expected = []
    moment = datetime(2025, 1, 1, tzinfo=UTC)
    old = moment.astimezone(here).utcoffset()
    assert old is not None
    while moment < datetime(2029, 1, 1, tzinfo=UTC):
        new = moment.astimezone(here).utcoffset()
        assert new is not None
        if new != old:
            expected.append((((moment + old).date()), new > old))
        old, moment = new, moment + timedelta(minutes=30)
    content = calendar_of(compiled(zoned(zone)), date(2025, 1, 1), date(2028, 12, 31))
    found = [(one.days[0], "forward" in one.title) for one in read(content) if one.kind == "clocks"]
    assert found == expected
    assert (zone == "Asia/Kolkata") == (not expected)


@pytest.mark.parametrize("zone", ZONES)
def test_the_zone_in_the_file_says_what_the_iana_data_say(zone: str) -> None:
    """vobject makes a zone of the VTIMEZONE alone, with dateutil; noon of every day is held against the data."""
    text = zoned(zone) + "log\n  2026-01-02 09:00 wound\n"
    text = text.replace("\ntrain going", "  wound every Friday\n\ntrain going", 1)
    content = calendar_of(compiled(text), date(2026, 1, 1), date(2027, 12, 31))
    assert b"TZID:" + zone.encode() in content
    calendar = vobject.readOne(content.decode())
    theirs, here = calendar.vtimezone.tzinfo, packaged(zone)
    for day in every(date(2026, 1, 1), 1, date(2027, 12, 31)):
        noon = datetime(day.year, day.month, day.day, 12)
        assert noon.replace(tzinfo=theirs).utcoffset() == noon.replace(tzinfo=here).utcoffset(), day


def test_half_an_hour_is_said_where_it_is_half_an_hour() -> None:
    text = " ".join(
        f"{one.title} {one.text}"
        for one in read(calendar_of(compiled(zoned("Australia/Lord_Howe")), FIRST, LAST))
        if one.kind == "clocks"
    )
    assert "half an hour" in text
    assert "11 1/2 hours" in text
    assert "one hour" not in text


# -- in what words -----------------------------------------------------------------------
def test_a_clock_without_a_strike_has_no_word_about_striking() -> None:
    text = zoned("Europe/London", GOING + "care\n  oil pivots every 6 months\n").replace(
        "\ntrain", "  wound every Friday\n\ntrain", 1
    )
    content = calendar_of(compiled(text), FIRST, LAST)
    said = " ".join(f"{one.title} {one.text}" for one in read(content)).lower()
    assert "move the hands on by one hour" in said
    assert not re.search(r"strik|struck|hammer|bell|chim|quarter", said)
    with_strike = calendar_of(compiled(zoned("Europe/London")), FIRST, LAST)
    assert "let it strike" in " ".join(one.text for one in read(with_strike))


def test_what_is_done_at_a_change_of_the_clocks_is_in_the_manuals_words() -> None:
    from countwheel.emit.plain_text import print_text

    result = api.compile_file(SPECS / "penquay-harbour-office")
    manual = " ".join(print_text(outputs.manual(result, (), None), 100_000).split())
    told = [one for one in read(calendar_of(result, FIRST, LAST)) if one.kind == "clocks"]
    assert len(told) == 2
    for one in told:
        todo = one.text.partition("At this clock: ")[2].partition("\n")[0]
        for sentence in todo.split(". "):
            assert sentence.rstrip(".") in manual


@pytest.mark.parametrize("name", DEMOS)
def test_where_it_can_hurt_somebody_the_entry_says_so_and_never_that_it_is_safe(name: str) -> None:
    words = {
        "winding": "Nobody stands below the weights",
        "lines": "never stand below",
        "season": "by two people",
        "care": "while a train is under load",
        "clocks": "keep clear",
    }
    for one in read(calendar_of(demo(name), FIRST, LAST)):
        if one.kind in words:
            assert words[one.kind].lower() in one.text.lower()
            assert "lay down goes before this" in one.text
        assert not re.search(r"\bsafe(ly)?\b", one.text, re.I)


# -- the rota, and a build ------------------------------------------------------------------
def rota_of(text: str, first: date, last: date = LAST) -> list[Any]:
    return [one for one in read(calendar_of(compiled(text), first, last)) if one.kind == "rota"]


def test_the_rota_stands_in_the_calendar_on_each_day_of_winding() -> None:
    """Wound every Tuesday and Saturday: 7 April 2026 is a Tuesday, and FG is away until the 19th."""
    content = calendar_of(demo("ellenfrith-school"), date(2026, 4, 7), LAST)
    found = [one for one in read(content) if one.kind == "rota"]
    assert {one.start.weekday() for one in found} == {1, 5}
    assert [(one.start.day, one.title.rpartition(": ")[2]) for one in found[:6]] == [
        (7, "HJ for FG"), (11, "HJ for FG"), (14, "HJ for FG"), (18, "HJ for FG"), (21, "HJ"), (25, "HJ")
    ]  # fmt: skip
    assert found[0].event.dtend.value == date(2026, 4, 8)  # the day after, RFC 5545 3.6.1
    assert "Easter holiday" in found[0].text


ROTA = "rota\n  from 2026-04-17\n  turn 2 weeks\n  winder {}\n  winder {}\n"


def test_a_rota_written_anew_changes_each_day_and_leaves_none_of_the_old_turns() -> None:
    head = HEAD + "  wound every Friday\n" + GOING
    old = rota_of(head + ROTA.format('"AB"', '"CE"'), FIRST)
    new = rota_of(head + ROTA.format('"FG"', '"HJ"').replace("04-17", "04-27").replace("2 w", "3 w"), FIRST)
    assert {one.uid for one in new} < {one.uid for one in old}
    assert [one.start for one in old if one.uid not in {other.uid for other in new}] == [
        date(2026, 4, 17), date(2026, 4, 24)
    ]  # fmt: skip


def test_a_turn_keeps_its_identity_in_a_file_that_begins_in_its_middle() -> None:
    text = HEAD + "  wound daily\n" + GOING + ROTA.format('"AB"\n    away 2026-04-20', '"CE"')
    whole, later = (
        {one.uid: (max(one.start, date(2026, 4, 22)), one.title) for one in rota_of(text, first)}
        for first in (FIRST, date(2026, 4, 22))
    )
    assert whole.items() >= later.items()


def test_a_build_has_one_from_the_newest_day_of_the_description() -> None:
    result = demo("penquay-harbour-office")
    [(name, content)] = outputs.calendar_of_build(result, None).items()
    assert name == "calendar.ics"
    assert content == outputs.calendar(result, date(2026, 4, 3), date(2027, 4, 3), date(2026, 4, 3))
    issued = outputs.calendar_of_build(result, 1_780_000_000)[name]  # 28 May 2026
    assert issued == outputs.calendar(result, date(2026, 5, 28), date(2027, 5, 28), date(2026, 5, 28))
    assert outputs.calendar_of_build(compiled(HEAD + GOING), None) == {}
