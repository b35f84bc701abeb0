"""Entries as numbers, and the record cut into stretches."""

from __future__ import annotations

from datetime import date, time
from math import isnan, sqrt

import pytest
from countwheel.api import check_text
from countwheel.record.entries import Entry, entries, reading_error, step_of, utc
from countwheel.record.stretches import stretches
from made_logs import entry

HEAD = """countwheel 1

clock "Quay clock"
  place
    latitude  50.1 °N
    time zone Europe/London

pendulum
  beat 1 s
  rating nut
    divisions 20

log
"""


def read(*lines: str) -> tuple[Entry, ...]:
    result = check_text(HEAD + "".join(f"  {line}\n" for line in lines))
    assert result.clock is not None
    return entries(result.clock)


def test_all_that_an_entry_can_say() -> None:
    (one,) = read(
        "2026-05-02 09:05 found 1 min 12 s slow, left right at 11 °C at 1009 hPa arc 1.9 ° nut 2 divisions up"
        ' tray minus 5 g wound oiled pallets against "radio signal" by "KT" note "Ice."'
    )
    assert (one.found, one.left, one.was_set) == (-72.0, 0.0, True)
    assert (one.temperature, one.pressure, one.arc) == pytest.approx((11.0, 1009.0, 1.9))
    assert (one.nut, one.tray) == pytest.approx((0.1, -5.0))
    assert (one.served, one.stopped, one.started, one.by) == (True, False, False, "KT")
    # 09:05 in summer is 08:05 by UTC; 2026-05-02 is day 20575 since 1970-01-01
    assert one.at == pytest.approx(20575 + (8 * 60 + 5) / 1440)


def test_turns_of_the_nut() -> None:
    one, other = read("2026-05-02 nut 1/4 turn down", "2026-05-03 nut 1 division down")
    assert (one.nut, other.nut) == pytest.approx((-0.25, -0.05))
    bare = check_text("countwheel 1\n\nlog\n  2026-05-03 nut 1 division down\n")
    assert bare.clock is not None
    nut = entries(bare.clock)[0].nut
    assert nut is not None
    assert isnan(nut)


@pytest.mark.parametrize(
    ("written", "step"),
    [
        ("3 s", 1),
        ("3 1/2 s", 0.5),
        ("2.5 s", 0.1),
        ("2 min", 60),
        ("1 min 12 s", 1),
        ("1 h", 3600),
        ("1/4 min", 15),
    ],
)
def test_the_step_of_a_reading(written: str, step: float) -> None:
    assert step_of(written) == pytest.approx(step)


def test_a_reading_to_the_minute_is_good_to_a_quarter_of_one() -> None:
    # a rectangle of a minute's width has the standard deviation 60/√12 s
    assert reading_error(60.0) == pytest.approx(sqrt(0.3**2 + 300.0))


# IANA time zone database: summer time began in Britain on 2026-03-29 at 01:00 UTC and ends on 2026-10-25 at 01:00 UTC.
def test_the_hours_that_are_skipped_and_doubled() -> None:
    where = "Europe/London"
    assert utc(date(2026, 3, 29), time(1, 30), where)[1] == "skipped"
    assert utc(date(2026, 3, 29), time(2, 0), where)[1] == ""
    first, twice = utc(date(2026, 10, 25), time(1, 30), where)
    assert twice == "twice"
    second, _ = utc(date(2026, 10, 25), time(1, 30), where, after=first + 0.01)
    assert (second - first) * 24 == pytest.approx(1.0)
    assert utc(date(2026, 10, 25), time(2, 0), where)[1] == ""
    before, _ = utc(date(2026, 3, 28), time(9, 0), where)
    after, _ = utc(date(2026, 3, 29), time(9, 0), where)
    assert (after - before) * 24 == pytest.approx(23.0)


def test_entries_out_of_order_are_kept_in_the_order_of_time() -> None:
    found = read("2026-05-09 found 2 s fast", "2026-05-02 found 1 s fast")
    assert [one.found for one in found] == [1.0, 2.0]


def test_a_stretch_ends_at_a_setting_an_adjustment_and_a_stop() -> None:
    record = [
        entry(0, 0.0),
        entry(7, 1.0),
        entry(14, 2.0, 0.0),  # set
        entry(21, 1.0),
        entry(28, 2.0, tray=5.0),
        entry(35, 4.0),
        entry(37, stopped=True),
        entry(40, started=True),  # nobody put it right: nothing is known of its error
        entry(42, 9.0),
        entry(49, 9.0),
    ]
    found = stretches(record)
    assert [[r.error for r in one.readings] for one in found] == [[0, 1, 2], [0, 1, 2], [2, 4], [9, 9]]
    assert [one.spell for one in found] == [0, 0, 1, 3]
    assert [one.why for one in found] == ["the log begins", "set", "tray changed", "set going"]


def test_what_is_doubted_or_set_aside_is_no_reading() -> None:
    record = [entry(0, 0.0), entry(7, 61.0, doubted="a minute out"), entry(14, 2.0), entry(21, 3.0)]
    (found,) = stretches(record)
    assert [r.error for r in found.readings] == [0, 2, 3]
    (without,) = stretches(record, aside=frozenset({id(record[2])}))
    assert [r.error for r in without.readings] == [0, 3]
    assert len(stretches(record, jumps=frozenset({id(record[3])}))) == 1


def test_a_doubted_reading_at_a_setting_does_not_take_the_setting_away() -> None:
    record = [entry(0, 0.0), entry(7, 61.0, 0.0, doubted="?"), entry(14, 2.0)]
    (found,) = stretches(record)
    assert [(r.at, r.error) for r in found.readings] == [(7, 0), (14, 2)]


def test_two_readings_at_the_same_minute_both_count() -> None:
    found = read(
        "2026-01-02 09:00 found 3 s fast",
        "2026-01-02 09:00 found 8 s fast",
        "2026-01-09 09:00 found 8 s fast",
    )
    (one,) = stretches(found)
    assert [reading.error for reading in one.readings] == [3.0, 8.0, 8.0]
    assert stretches(found[:2]) == ()  # no time, no rate


@pytest.mark.parametrize(
    ("event", "cut"),
    [
        ('note "Winter slab on the going weight."', True),
        ('done "winter weight"', True),
        ('note "Changed over to winter."', True),
        ('note "No weight changed."', False),
        ('note "Hands put on one hour for summer time."', False),
        ('note "First frost of the winter, ice on the hands."', False),
        ('note "The weight is a rod with slabs."', False),
        ("oiled pallets", False),
    ],
)
def test_a_weight_that_was_changed_cuts_the_record(event: str, cut: bool) -> None:
    season = "season winter\n  from 1 November to 31 March\n  going.barrel.weight 110 kg\nseason summer\n"
    lines = [f"  2026-01-{day:02d} 09:00 found {day} s fast" for day in (2, 9, 16, 23)]
    lines[1] += f" {event}"
    made = check_text(HEAD.replace("log\n", season + "\nlog\n") + "\n".join(lines) + "\n")
    assert made.clock is not None
    found = stretches(entries(made.clock))
    assert [one.why for one in found] == (["the log begins", "weight changed"] if cut else ["the log begins"])
    assert len({one.spell for one in found}) == len(found)
