"""The table of materials against published expansions and densities."""

from __future__ import annotations

import pytest
from countwheel.figures import materials

# E. Beckett, A Rudimentary Treatise on Clocks, 8th ed., p. 52: expansion for 1000 °F.
# Copper's .0106 is well over every modern value; our range reaches it.
BECKETT = {
    "deal": 0.0023,
    "glass": 0.0048,
    "steel": 0.0064,
    "cast iron": 0.0066,
    "iron": 0.0070,
    "brass": 0.0100,
    "copper": 0.0106,
    "lead": 0.0165,
    "zinc": 0.016,
}
# The same page, lb/in³
BECKETT_DENSITY = {
    "cast iron": 0.26,
    "steel": 0.28,
    "wrought iron": 0.28,
    "brass": 0.30,
    "copper": 0.32,
    "lead": 0.41,
    "zinc": 0.253,
    "mercury": 0.49,
}
# Tables of expansion at cfm-calculator.com, liquisearch.com, wisetool.com and in Serway and Vuille,
# College Physics, 9th ed., 1e-6 per K
MODERN = [
    ("brass", 18.7),
    ("brass", 19.0),
    ("steel", 10.8),
    ("carbon steel", 11.0),
    ("wrought iron", 13.3),
    ("forged iron", 11.3),
    ("cast iron", 10.4),
    ("zinc", 29.7),
    ("lead", 28.0),
    ("lead", 29.0),
    ("invar", 1.2),
    ("fused silica", 0.55),
    ("fir", 3.7),
    ("pine", 5.0),
    ("oak", 4.9),
    ("mercury", 182.0),
]


@pytest.mark.parametrize("name", BECKETT)
def test_beckett_s_expansions_lie_within_the_ranges(name: str) -> None:
    found = materials.find(name)
    assert found is not None
    published = BECKETT[name] / 1000 * 1.8 * 1e6
    # printed to two digits: half of the last one either way
    slack = 0.00005 / 1000 * 1.8 * 1e6
    assert found.expansion.least - slack <= published <= found.expansion.most + slack


@pytest.mark.parametrize("name", BECKETT_DENSITY)
def test_beckett_s_densities(name: str) -> None:
    found = materials.find(name)
    assert found is not None
    published = BECKETT_DENSITY[name] * 0.45359237 / 0.0254**3
    assert found.density.value == pytest.approx(published, rel=0.025)


@pytest.mark.parametrize(("name", "published"), MODERN)
def test_modern_expansions_lie_within_the_ranges(name: str, published: float) -> None:
    found = materials.find(name)
    assert found is not None
    assert found.expansion.least <= published <= found.expansion.most


def test_mercury_from_its_specific_volumes() -> None:
    # CRC Handbook, ml/g at 0, 20 and 40 °C
    mercury = materials.find("mercury")
    assert mercury is not None
    assert mercury.density.value == pytest.approx(1000 / 0.0738215, abs=0.5)
    growth = (0.0740891 / 0.073554 - 1) / 40 * 1e6
    assert mercury.expansion.value == pytest.approx(growth, abs=0.1)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Cast Iron", "cast iron"),
        ("varnished red pine", "pine"),
        ("grey iron, painted", "cast iron"),
        ("wrought iron", "iron"),
        ("brass-cased lead", "brass"),
        ("gun metal", "bronze"),
    ],
)
def test_names_as_keepers_write_them(written: str, name: str) -> None:
    found = materials.find(written)
    assert found is not None
    assert found.name == name


def test_what_is_not_known_is_not_guessed() -> None:
    assert materials.find("cheese") is None
    assert materials.find("ironbark") is None
    assert materials.expansion("unobtainable", "the rod") is None


def test_every_row_is_in_order() -> None:
    for material in materials.table():
        for part in (material.expansion, material.density):
            assert part.least <= part.value <= part.most, material.name
            assert part.source
