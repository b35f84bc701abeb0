"""The run of a train, and the pull and work of its weight, against handbooks and hand-made checks."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from countwheel.figures import power
from countwheel.figures.book import Book, constant
from figure_clocks import build, n, q, train, unknown, w, x
from figure_trains import run, value


def test_the_drum_of_a_published_eight_day_clock() -> None:
    # H. H. Cunynghame, Time and Clocks, ch. IV: 5 ft of room, double fall, 9 ft of
    # cord, 24 turns, 4½ in of cord a turn, a drum under 1½ in; 64 driving 8 makes one turn last 8 h
    working = 4.5 / math.pi
    book = run(
        {
            "diameter": q(f"{working - 1 / 12!r} in"),
            "line": {"diameter": q(f"{1 / 12!r} in")},
            "turns of line": x(24),
            "parts": n(2),
            "fall": q("4.5 ft"),
        },
        Fraction(1, 8),
    )
    assert value(book, "going.barrel.effective_radius") * 2 / 25.4 == pytest.approx(1.43, abs=0.005)
    assert value(book, "going.line.travel_per_turn") / 0.0254 == pytest.approx(4.5)
    assert value(book, "going.line.length_needed.by_turns") / 0.3048 == pytest.approx(9)
    by_turns = book.get("going.duration.by_turns")
    assert by_turns is not None
    assert by_turns.exact == 192
    assert value(book, "going.duration") == pytest.approx(8)


def test_a_published_run_by_the_fall() -> None:
    # Goodrich, p. 259: 40 in of fall, double, 5 in round the barrel, 12 h a turn: 16 turns, 8 days
    book = run(
        {
            "diameter": q(f"{5 / math.pi - 0.1!r} in"),
            "line": {"diameter": q("0.1 in")},
            "turns of line": x(20),
            "parts": n(2),
            "fall": q("40 in"),
        },
        Fraction(1, 12),
    )
    assert value(book, "going.barrel.turns_per_winding") == pytest.approx(16)
    assert value(book, "going.duration") == pytest.approx(8)
    assert book.get("going.duration.limit").value == "fall"  # type: ignore[union-attr]


def _plain(parts: int = 1, fall: str = "10 m", **more: Any) -> dict[str, object]:
    return {
        "diameter": q("294 mm"),
        "line": {"diameter": q("6 mm")},
        "turns of line": x(16),
        "parts": n(parts),
        "weight": q("100 kg"),
        "fall": q(fall),
        **more,
    }


def test_doubling_the_purchase() -> None:
    # the run doubles and the force halves: allsaintswokinghambells.org.uk, Clock8Day, where it was tried
    one, two = (run({**_plain(parts), "turns of line": x(99)}, Fraction(1, 12)) for parts in (1, 2))
    assert value(two, "going.duration") == pytest.approx(2 * value(one, "going.duration"))
    assert value(two, "going.barrel.torque.ideal") == pytest.approx(
        value(one, "going.barrel.torque.ideal") / 2
    )
    # parts never multiply turns
    assert value(two, "going.duration.by_turns") == value(one, "going.duration.by_turns")


def test_a_fall_that_was_cut_short() -> None:
    # a gallery stopped the weight and 8 days became 5½: the same source; the run goes with the fall
    whole, cut = (run({**_plain(), "fall": q(f)}, Fraction(1, 12)) for f in ("16 m", "11 m"))
    share = value(cut, "going.duration.by_fall") / value(whole, "going.duration.by_fall")
    assert share == pytest.approx(5.5 / 8)


def test_a_line_in_layers() -> None:
    straight = run({**_plain(), "layers": n(3)}, Fraction(1, 12))
    assert value(straight, "going.barrel.effective_radius.first_layer") == pytest.approx(150)
    assert value(straight, "going.barrel.effective_radius.last_layer") == pytest.approx(147 + 2.5 * 6)
    nested = run({**_plain(), "layers": n(3), "layers nested": None}, Fraction(1, 12))
    # a round line in the hollow between two lies √3/2 of its size above them
    assert value(nested, "going.barrel.effective_radius.last_layer") == pytest.approx(
        150 + 2 * 6 * 0.866, abs=1e-3
    )
    grooved = run({**_plain(), "groove depth": q("2 mm")}, Fraction(1, 12))
    assert value(grooved, "going.barrel.effective_radius") == pytest.approx(148)


def test_the_line_by_its_girth() -> None:
    book = run({**_plain(), "line": {"girth": q(f"{math.pi * 20!r} mm")}}, Fraction(1, 12))
    assert value(book, "going.barrel.effective_radius") == pytest.approx(157)


def test_a_weight_of_slabs() -> None:
    slabs = {"slabs": {"|number": n(14), "|each": q("34 lb")}, "tackle": q("12 lb")}
    book = run({**_plain(), "weight": slabs}, Fraction(1, 12))
    assert value(book, "going.weight.mass") / 0.45359237 == pytest.approx(488)
    assert value(book, "going.barrel.torque.ideal") == pytest.approx(488 * 0.45359237 * 9.81 * 0.150)


def test_work_of_a_published_weight() -> None:
    # the same source: 100 kg up 40 ft is 12 kJ a wind
    book = run({**_plain(fall="12.192 m"), "turns of line": x(99)}, Fraction(1, 12))
    assert value(book, "going.energy.per_winding") == pytest.approx(12, abs=0.05)


def test_power_of_a_published_weight() -> None:
    # ahsoc.org, Time and efficiency: 12 lb falling 5 ft in 8 days is 1/8500 W
    round_barrel = 1.524 / 16
    facts = {
        "diameter": q(f"{(round_barrel / math.pi - 0.002) * 1000!r} mm"),
        "line": {"diameter": q("2 mm")},
        "turns of line": x(16),
        "parts": n(1),
        "weight": q("12 lb"),
        "fall": q("5 ft"),
    }
    book = run(facts, Fraction(1, 12))
    assert 1000 / value(book, "going.power") == pytest.approx(8500, rel=100 / 8500)


# -- pulleys -----------------------------------------------------------
def _pulled(parts: int, eta: float, fixed: int) -> float:
    """Pull at the barrel of a tackle under a driving weight of 1, pulley by pulley."""
    near, far = 0.0, 1.0
    for _ in range(200):
        guess = (near + far) / 2
        pull, total = guess, 0.0
        for _ in range(parts):
            total += pull
            pull /= eta
        near, far = (guess, far) if total < 1 else (near, guess)
    return near * eta**fixed


@pytest.mark.parametrize("parts", [1, 2, 3, 4])
@pytest.mark.parametrize("lead", [0, 1, 2])
def test_losses_in_the_tackle(parts: int, lead: int) -> None:
    eta = 0.94
    turning = {"efficiency": q("94 %")}
    on_weight = [{"label": f"w{i}", "on weight": None, **turning} for i in range(parts // 2)]
    fixed = [{"label": f"f{i}", **turning} for i in range(lead + max(parts - 1 - parts // 2, 0))]
    book = run({**_plain(parts), "pulley": on_weight + fixed}, Fraction(1, 12))
    whole = 100 * 9.81 * 0.150
    assert value(book, "going.barrel.torque") == pytest.approx(whole * _pulled(parts, eta, lead), rel=1e-9)
    assert value(book, "going.barrel.torque.to_wind") == pytest.approx(
        whole * _pulled(parts, 1 / eta, lead), rel=1e-9
    )
    if parts == 2 and lead == 0:
        # one weight pulley, driving: W η/(1 + η)
        assert value(book, "going.barrel.torque") == pytest.approx(whole * eta / (1 + eta))


def test_without_losses_driving_and_winding_are_one() -> None:
    book = run({**_plain(3), "pulley": [{"label": "a", "efficiency": q("100 %")}]}, Fraction(1, 12))
    ideal = value(book, "going.barrel.torque.ideal")
    driving, wound = (value(book, f"going.barrel.torque{end}") for end in ("", ".to_wind"))
    assert driving < ideal < wound  # the pulleys that are not described lose as usual


def test_the_line_paid_out_adds_to_the_weight() -> None:
    # work gained by letting n parts of a line of q kg/m down by h: n q g h at the end of the fall
    facts = _plain(2, fall="5 m", **{"line": {"diameter": q("6 mm"), "mass per length": q("0.125 kg/m")}})
    book = run(
        {**facts, "pulley": [{"label": "w", "on weight": None, "efficiency": q("100 %")}]}, Fraction(1, 12)
    )
    top, down = value(book, "going.barrel.torque"), value(book, "going.barrel.torque.run_down")
    assert down / top == pytest.approx((100 + 2 * 0.125 * 5) / 100)


# -- what is not known -------------------------------------------------
def test_it_waits_for_facts_by_their_paths() -> None:
    facts = {**_plain(), "diameter": unknown()}
    del facts["weight"]
    book = run(facts, Fraction(1, 12))
    torque = book.get("going.barrel.torque")
    assert torque is not None
    assert torque.waits_for == ("going.barrel.weight", "going.barrel.diameter")
    assert book.get("going.duration.by_turns").exact == 192  # type: ignore[union-attr]
    # one limit is enough to say something, and it says what the other waits for
    duration = book.get("going.duration")
    assert duration is not None
    assert duration.value == 8
    assert "going.barrel.diameter" in duration.method


def test_automatic_winding_has_a_reserve_and_no_handle() -> None:
    own = {"automatic winding": {"reserve": q("10 h")}}
    book = run(_plain(), Fraction(1, 12), own)
    assert value(book, "going.duration") == pytest.approx(10 / 24)
    assert book.get("going.winding.turns") is None


# -- the usual winding day ---------------------------------------------
@pytest.mark.parametrize(
    ("wound", "days"),
    [
        ({"|day": w("Friday")}, 7),
        ({"|day": w("Monday"), "|second": w("Thursday")}, 4),
        ({"|day": w("Saturday"), "|second": w("Wednesday")}, 4),
        ({"|how": w("daily")}, 1),
        ({"|interval": q("3 day")}, 3),
    ],
)
def test_the_margin_over_the_usual_winding(wound: dict[str, object], days: float) -> None:
    book = run(_plain(fall="16 m"), Fraction(1, 12), clock={"wound": wound})
    assert value(book, "going.duration.margin") == pytest.approx(8 - days)


def test_which_train_needs_winding_first() -> None:
    going, strike = train("going", "going", _plain()), train("strike", "strike", _plain())
    book = Book(build({}, going, strike))
    for name, hours in (("going", 12), ("strike", 10)):
        rate = constant(Fraction(1, hours), "turns/h", name)
        book.derive(f"{name}.barrel.turns_per_hour", "", "n", {"n": rate}, unit="turns/h")
    power.work_out(book)
    assert book.get("going.duration.first_to_wind").value == "strike"  # type: ignore[union-attr]
