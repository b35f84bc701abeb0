"""Winding gear, effort, work and maintaining power."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from countwheel.figures.book import Book
from figure_clocks import n, q, w, x
from figure_trains import run, value

BARREL = {
    "diameter": q("294 mm"),
    "line": {"diameter": q("6 mm")},
    "turns of line": x(16),
    "parts": n(1),
    "weight": q("100 kg"),
    "fall": q("30 m"),
    "pulley": [{"label": "head", "efficiency": q("95 %")}],
}


def _jack(driver: int, driven: int) -> dict[str, object]:
    return {"|driver": n(driver), "|driven": n(driven)}


def _wound(winding: dict[str, Any] | None, **own: Any) -> Book:
    facts = dict(own)
    if winding is not None:
        facts["winding"] = winding
    return run(BARREL, Fraction(1, 12), facts)


def test_turns_through_the_gear_are_exact() -> None:
    book = _wound({"jack": [_jack(12, 96), _jack(10, 45)], "handle": q("300 mm")})
    ratio = book.get("going.winding.ratio")
    assert ratio is not None
    assert ratio.exact == 36
    assert value(book, "going.winding.turns") == pytest.approx(16 * 36)


def test_no_gear_is_the_square_itself_and_no_winding_at_all_waits() -> None:
    assert value(_wound({"handle": q("300 mm")}), "going.winding.turns") == pytest.approx(16)
    for id in ("going.winding.turns", "going.winding.handle_force", "going.winding.work"):
        assert _wound(None).get(id).waits_for == ("going.winding",)  # type: ignore[union-attr]


def test_work_at_the_handle_is_the_weight_s_work_over_the_efficiency() -> None:
    # energy: whatever the gear, work in × efficiency = weight × rise
    rise = 16 * math.pi * 0.300
    for jacks, gear in (([], 1.0), ([_jack(12, 96)], 0.90), ([_jack(12, 96), _jack(10, 45)], 0.81)):
        winding: dict[str, object] = {"handle": q("300 mm"), **({"jack": jacks} if jacks else {})}
        book = _wound(winding)
        work = value(book, "going.winding.work")
        assert work == pytest.approx(100 * 9.81 * rise / 1000 / 0.95 / gear)
    stated = _wound({"handle": q("300 mm"), "jack": [_jack(12, 96)], "efficiency": q("80 %")})
    assert value(stated, "going.winding.work") == pytest.approx(100 * 9.81 * rise / 1000 / 0.80)


@pytest.mark.parametrize(
    ("winding", "arm"),
    [
        ({"handle": q("280 mm")}, 0.28),
        ({"lever": q("1.2 m")}, 1.2),
        ({"bars": {"": n(4), "|length": q("3 ft")}}, 0.9144),
    ],
)
def test_the_arm_that_the_hand_is_on(winding: dict[str, object], arm: float) -> None:
    force = value(_wound(winding), "going.winding.handle_force")
    assert force == pytest.approx(100 * 9.81 * 0.150 / 0.95 / arm)


def test_minutes() -> None:
    own = {"handle": q("300 mm"), "jack": [_jack(12, 96)]}
    assert value(_wound({**own, "takes": q("12 min")}), "going.winding.minutes") == 12
    assert value(_wound({**own, "turns a minute": x(16)}), "going.winding.minutes") == pytest.approx(8)
    assumed = _wound(own).get("going.winding.minutes")
    assert assumed is not None
    assert assumed.standing == "assumed"


@pytest.mark.parametrize(("lasts", "covers"), [("15 min", True), ("10 min", False)])
def test_maintaining_power_against_winding(lasts: str, covers: bool) -> None:
    power = {"|kind": w("bolt and shutter"), "lasts": q(lasts)}
    winding = {"handle": q("300 mm"), "takes": q("12 min")}
    book = _wound(winding, **{"maintaining power": power})
    assert book.get("going.maintaining.covers").value is covers  # type: ignore[union-attr]
    assert value(book, "going.maintaining.margin") == pytest.approx(float(lasts.split()[0]) - 12)


def test_gear_that_drives_while_it_is_wound() -> None:
    book = _wound({"handle": q("300 mm")}, **{"maintaining power": {"|kind": w("sun and planet")}})
    assert book.get("going.maintaining.covers").value is True  # type: ignore[union-attr]


def test_the_click_holds_the_whole_pull() -> None:
    facts = {**BARREL, "click": {"ratchet diameter": q("150 mm")}}
    book = run(facts, Fraction(1, 12), {})
    assert value(book, "going.click.load") == pytest.approx(100 * 9.81 * 0.150 / 0.075)


def test_what_can_hurt_has_its_cautions() -> None:
    book = run({**BARREL, "click": {"ratchet diameter": q("150 mm")}}, Fraction(1, 12), {"winding": {}})
    for id in ("going.winding.handle_force", "going.line.energy_if_it_parts", "going.click.load"):
        assert book.get(id).cautions, id  # type: ignore[union-attr]


def test_only_what_goes_round_has_a_usual_pace() -> None:
    bars = _wound({"bars": {"": n(4), "|length": q("3 ft")}})
    assert value(bars, "going.winding.minutes") == pytest.approx(16 / 6)
    lever = _wound({"lever": q("1.2 m")}).get("going.winding.minutes")
    assert lever is not None
    assert lever.waits_for == ("going.winding.turns_a_minute",)
