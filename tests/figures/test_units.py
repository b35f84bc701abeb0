"""Every display unit, worked out again by pint (which the program itself never loads)."""

from __future__ import annotations

import subprocess
import sys

import pint
import pytest
from countwheel.figures.units import UNITS, UnitError, from_si, ratio
from figure_clocks import SI

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()


@pytest.mark.parametrize("name", list(UNITS))
def test_factor(name: str) -> None:
    unit = UNITS[name]
    size = REGISTRY.parse_expression(unit.check)
    size = size if hasattr(size, "to_base_units") else REGISTRY.Quantity(size, "dimensionless")
    assert float(unit.factor) == pytest.approx(size.to_base_units().magnitude, rel=1e-12)


def test_one_dimension_has_one_pint_dimension() -> None:
    seen: dict[str, object] = {}
    for unit in UNITS.values():
        size = REGISTRY.parse_expression(unit.check)
        found = getattr(size, "dimensionality", None) or REGISTRY.Quantity(1, "").dimensionality
        assert seen.setdefault(unit.dimension, found) == found


@pytest.mark.parametrize("name", sorted(set(SI) & set(UNITS)))
def test_the_test_builder_agrees(name: str) -> None:
    if name not in ("%",):
        assert SI[name][1] == pytest.approx(float(UNITS[name].factor), rel=1e-14)


def test_british_hundredweight() -> None:
    # 1 cwt is 112 lb in Britain: 50.80234544 kg (the pound is 0.45359237 kg exactly)
    assert float(UNITS["cwt"].factor) == pytest.approx(50.80234544, rel=1e-12)


def test_conversion_is_clean_and_guarded() -> None:
    assert from_si(10.25 * 0.0254, "mm") == 260.35
    assert ratio("turns/h", "turns/day") == 24
    with pytest.raises(UnitError):
        ratio("mm", "kg")


def test_pint_is_not_loaded_at_run_time() -> None:
    code = "import sys, countwheel.figures.book; print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
