"""Records of which the truth is known: it lies within what is stated as often as is stated."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from random import Random

import pytest
from countwheel.record.cleaning import cleaned
from countwheel.record.coefficients import coefficient, runs_of
from countwheel.record.entries import EYE_AND_EAR, Entry
from countwheel.record.faults import faults
from countwheel.record.fitting import coverage
from countwheel.record.wander import fit
from made_logs import Truth, entry, record

TRIALS = 400  # seeded; of 95 in 100, so many hold within 92.8 to 97.2 in 19 cases of 20


def held(truths: list[tuple[float, float, float]]) -> float:
    """The share, in per cent, of (truth, value, half-width) in which the truth lies within."""
    return 100.0 * sum(abs(value - truth) <= half for truth, value, half in truths) / len(truths)


@pytest.mark.parametrize("wander", [0.05, 0.2, 0.5])
def test_the_rate_lies_within_its_uncertainty(wander: float) -> None:
    truth = Truth(wander=wander, wrong=58.0)
    found, aside = [], 0
    for seed in range(TRIALS):
        clean = cleaned(record(truth, Random(seed)))
        aside += [odd.entry.at for odd in clean.odd if not odd.jump] != []
        rates = clean.rates
        assert rates is not None
        found += [
            (truth.rate, rates.rates[group], coverage(rates.freedom) * rates.errors[group])
            for group in rates.rates
        ]
    assert aside == TRIALS
    assert 93.0 <= held(found) <= 97.0


def test_a_clock_that_never_wanders_has_a_wider_uncertainty_than_it_needs() -> None:
    # That it does not wander is not known beforehand, and cannot be read off the record to the last.
    truth, found = Truth(wander=0.0), []
    for seed in range(TRIALS):
        rates = cleaned(record(truth, Random(seed))).rates
        assert rates is not None
        factor = coverage(rates.freedom)
        found += [(truth.rate, rates.rates[group], factor * rates.errors[group]) for group in rates.rates]
    assert 95.0 <= held(found) <= 99.0


def test_the_mis_reading_is_named_and_it_alone() -> None:
    truth = Truth(wander=0.05, wrong=58.0)
    wrong = right = 0
    for seed in range(TRIALS):
        entries = record(truth, Random(seed))
        odd = cleaned(entries).odd
        right += odd[0].entry is entries[truth.wrong_at] and odd[0].likely == "a minute"
        assert abs(odd[0].amount - 58.0) < 6
        wrong += len(odd) > 1
    assert right >= 0.99 * TRIALS
    assert wrong <= 0.03 * TRIALS


def test_nothing_is_set_aside_of_a_record_without_fault() -> None:
    found = [cleaned(record(Truth(wander=0.1), Random(seed))).odd for seed in range(TRIALS)]
    assert sum(map(bool, found)) <= 0.03 * TRIALS


@pytest.mark.parametrize("wander", [0.05, 0.2])
def test_warmth(wander: float) -> None:
    truth = Truth(warmth=-0.17, wander=wander, wrong=-60.0)
    found, told, rates_ = [], 0, []
    for seed in range(TRIALS):
        clean = cleaned(record(truth, Random(seed)))
        one = coefficient(clean.stretches, "temperature")
        assert one.value is not None
        told += one.told
        found.append((truth.warmth, one.value, one.half))
        rates = fit(runs_of(clean.stretches, ("temperature",), centre=truth.mean))
        assert rates is not None
        rates_ += [
            (truth.rate, rates.rates[spell], coverage(rates.freedom) * rates.errors[spell])
            for spell in rates.rates
        ]
    assert told >= 0.98 * TRIALS
    assert 93.0 <= held(found) <= 97.0
    assert 93.0 <= held(rates_) <= 97.0


def test_warmth_that_does_nothing_is_not_told() -> None:
    told = 0
    for seed in range(TRIALS):
        clean = cleaned(record(Truth(wander=0.1), Random(seed)))
        told += coefficient(clean.stretches, "temperature").told
    assert told <= 0.08 * TRIALS


def test_drift() -> None:
    truth = Truth(drift=0.004, wander=0.05, number=80, stop_at=30)
    found, faulty = [], 0
    for seed in range(TRIALS):
        entries = record(truth, Random(seed))
        clean = cleaned(entries)
        rates = fit(runs_of(clean.stretches, (), date_in=clean.stretches[-1].spell))
        assert rates is not None
        half = coverage(rates.freedom) * sqrt(rates.covariance[0][0])
        found.append((truth.drift, rates.coefficients[0], half))
        faulty += any(one.kind == "rate drifts" for one in faults(entries, clean.stretches, clean.odd, False))
    assert 93.0 <= held(found) <= 97.0
    assert faulty >= 0.9 * TRIALS


def test_a_steady_clock_has_no_drift() -> None:
    faulty = 0
    for seed in range(TRIALS):
        entries = record(Truth(wander=0.05), Random(seed))
        clean = cleaned(entries)
        faulty += bool(faults(entries, clean.stretches, clean.odd, False))
    assert faulty <= 0.03 * TRIALS


def test_an_arc_that_falls_is_a_fault_until_it_is_oiled() -> None:
    read = [entry(7.0 * week, 0.0, arc=2.0 - 0.03 * week) for week in range(12)]
    (found,) = faults(read, cleaned(read).stretches, (), False)
    assert found.kind == "arc falls"
    assert found.amount == pytest.approx(0.03 * 30 / 7, rel=1e-6)
    oiled = [*read, entry(91.0, 0.0, served=True), entry(98.0, 0.0, arc=2.0)]
    assert faults(oiled, cleaned(oiled).stretches, (), False) == ()


def put_right(wander: float, random: Random, number: int = 40, wrong_at: int = -1) -> list[Entry]:
    """Weekly readings to the second, the hands put right at each of them; one may be a minute out."""
    made, error = [], 0.0
    for week in range(number):
        found = round(error + random.gauss(0, EYE_AND_EAR)) + (60.0 if week == wrong_at else 0.0)
        made.append(replace(entry(7.0 * week, found, 0.0), was_set=True))
        error = random.gauss(0, EYE_AND_EAR) + 7.0 * 0.5 + random.gauss(0, sqrt(7.0 * wander))
    return made


@pytest.mark.parametrize("wander", [0.05, 0.3])
def test_hands_that_are_put_right_at_every_visit(wander: float) -> None:
    """Each stretch has two readings; how much the clock wanders, the record as a whole tells."""
    found = []
    for seed in range(TRIALS // 2):
        clean = cleaned(put_right(wander, Random(seed)))
        assert clean.rates is not None
        at = Random(seed).choice(sorted(clean.rates.rates))
        found.append((0.5, clean.rates.rates[at], coverage(clean.rates.freedom) * clean.rates.errors[at]))
    assert 91.0 <= held(found) <= 99.0


def test_a_minute_misread_is_named_though_the_hands_are_put_right_at_every_visit() -> None:
    for seed in range(20):
        read = put_right(0.1, Random(seed), 30, wrong_at=12)
        (odd,) = cleaned(read).odd
        assert (odd.entry, odd.jump, odd.as_left, odd.likely) == (read[12], False, False, "a minute")


def test_hands_that_were_not_left_as_written() -> None:
    for seed in range(20):
        read = record(Truth(wander=0.05, number=40, stop_at=99), Random(seed))
        start = read[20].found or 0.0
        set_ = replace(read[20], left=0.0, was_set=True)
        later = [
            replace(one, found=(one.found or 0.0) - start + 60.0, left=(one.found or 0.0) - start + 60.0)
            for one in read[21:]
        ]
        (odd,) = cleaned([*read[:20], set_, *later]).odd
        assert (odd.entry, odd.as_left, odd.likely, odd.amount < 0) == (set_, True, "a minute", True)


@pytest.mark.parametrize("wander", [0.01, 0.05])
def test_a_clock_that_wanders_little_has_no_jump(wander: float) -> None:
    false = 0
    for seed in range(TRIALS // 2):
        random, error, read = Random(seed), 0.0, []
        for week in range(30):
            read.append(entry(7.0 * week, float(round(error + random.gauss(0, EYE_AND_EAR)))))
            error += 7.0 * 0.5 + random.gauss(0, sqrt(7.0 * wander))
        false += bool(cleaned(read).odd)
    assert false <= 0.03 * TRIALS / 2
