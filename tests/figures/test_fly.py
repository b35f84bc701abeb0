"""The fly by its drag: against the same strips added up by quadrature, and how it goes with size and work."""

from __future__ import annotations

import math

import pytest
from figure_texts import PLACE, compiled, figure, value
from scipy.integrate import quad


def strike(
    *,
    weight: str = "200 kg",
    arm: str = "0.5 m",
    width: str = "0.2 m",
    interval: str = "",
    hammer: str = "10 kg",
) -> str:
    stated = f"  blow interval {interval}\n" if interval else ""
    return PLACE + (
        f"\ntrain strike\n  strikes hours\n{stated}  efficiency of a mesh 100 %\n  arbor barrel\n    barrel\n"
        f"      diameter 198 mm\n      parts 1\n      turns of line 60\n      fall 40 m\n      weight {weight}\n"
        "      line\n        diameter 2 mm\n    wheel 120\n    lifting pins 12\n"
        "  arbor locking\n    pinion 10\n    wheel 60\n"
        "  arbor fly\n    pinion 10\n    fly\n      vanes 2\n"
        f"      arm {arm}\n      vane length 0.3 m\n      vane width {width}\n"
        f"  hammer\n    mass {hammer}\n    lift 0.2 m\n"
    )


def test_the_work_that_is_left_for_the_fly() -> None:
    result = compiled(strike())
    # 200 kg on 10 cm turn a twelfth: 200 × 9.81 × 0.1 × 2π/12; the hammer takes 10 × 9.81 × 0.2
    left = 200 * 9.81 * 0.1 * 2 * math.pi / 12 - 10 * 9.81 * 0.2
    assert value(result, "strike.fly.work_per_blow") == pytest.approx(left)


def test_the_speed_is_that_at_which_the_strips_spend_the_work() -> None:
    result = compiled(strike())
    omega = 2 * math.pi * value(result, "strike.fly.speed") / 60

    def strip(r: float) -> float:
        # half the density times the square of its own speed, on a strip of the vane 0.2 m wide; drag of a plate
        # between the square's 1.17 and the long one's 1.98 (Aeronautical Engineer's Data Book, fig. 5.13)
        return 0.5 * 1.2 * (1.17 + 1.98) / 2 * 0.2 * (omega * r) ** 2 * r

    torque = 2 * quad(strip, 0.35, 0.65)[0]
    turns = 6  # 120/10 × 60/10 turns of the fly in one of the barrel, twelve blows
    assert torque * 2 * math.pi * turns == pytest.approx(value(result, "strike.fly.work_per_blow"))
    assert value(result, "strike.blow_interval") == pytest.approx(2 * math.pi * turns / omega)


def test_length_is_much_more_effective_than_width() -> None:
    # E. Beckett, Clocks, Watches and Bells, 1903, p. 194
    plain, broad, long = (
        value(compiled(strike(**more)), "strike.fly.speed")
        for more in ({}, {"width": "0.4 m"}, {"arm": "1 m"})
    )
    assert plain / broad == pytest.approx(math.sqrt(2))
    assert plain / long > 2.5


def test_it_says_how_far_it_can_be_trusted() -> None:
    result = compiled(strike())
    for id in ("strike.fly.speed", "strike.blow_interval"):
        assert any("An estimate" in text for text in figure(result, id).cautions)
    assert any("without warning" in text for text in figure(result, "strike.fly.speed").cautions)
    interval = figure(result, "strike.blow_interval")
    assert interval.uncertainty is not None
    assert interval.uncertainty > 0.05 * value(result, "strike.blow_interval")


def test_a_stated_interval_is_set_beside_it() -> None:
    near = value(compiled(strike()), "strike.blow_interval")

    def cautions(interval: float) -> str:
        return " ".join(
            figure(compiled(strike(interval=f"{interval:.2f} s")), "strike.blow_interval").cautions
        )

    assert "is stated between blows" not in cautions(1.5 * near)
    assert "3.0 times longer than the" in cautions(near / 3)
    assert "3.0 times shorter than the" in cautions(near * 3)


def test_a_hammer_that_takes_more_than_there_is() -> None:
    found = figure(compiled(strike(weight="10 kg", hammer="40 kg")), "strike.fly.speed")
    assert found.value is None
    assert any("cannot be worked out" in text for text in found.cautions)


def test_only_where_the_vanes_are_measured() -> None:
    text = strike().replace("      vane width 0.2 m\n", "")
    assert not [id for id in compiled(text).figures if id.endswith(("fly.speed", "blow_interval"))]
