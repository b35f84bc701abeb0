"""`grammar/units.table` against the pint library, which works every size out again from its definition.

A second source is scipy.constants (CODATA and the conversion factors of NIST). The British hundredweight is
112 lb and the ton 2240 lb, where pint's own `cwt` and `ton` are the American ones.
"""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest
from countwheel import grammar
from countwheel.units import dimensions_of, lookup, preferred_forms, unit_pattern, units
from countwheel.vocabulary import load

ROWS = grammar.rows("units.table")
SI = {
    "length": "meter",
    "mass": "kilogram",
    "time": "second",
    "angle": "radian",
    "latitude": "radian",
    "longitude": "radian",
    "force": "newton",
    "torque": "newton * meter",
    "stress": "pascal",
    "pressure": "pascal",
    "acceleration": "meter / second ** 2",
    "speed": "meter / second",
    "temperature": "kelvin",
    "percent": "",
    "frequency": "1 / second",
    "thread": "meter",
    "linear density": "kilogram / meter",
    "density": "kilogram / meter ** 3",
    "expansion": "1 / kelvin",
    "rate": "",
    "energy": "joule",
    "power": "watt",
}


@pytest.fixture(scope="module")
def registry() -> Any:
    made: Any = pint.UnitRegistry()
    made.define("milligal = 1e-5 * meter / second ** 2")
    return made


def test_every_dimension_has_its_si_unit() -> None:
    assert {row[0] for row in ROWS} == set(SI)


@pytest.mark.parametrize(
    "row",
    [row for row in ROWS if not row[3].startswith("offset")],
    ids=lambda row: f"{row[0]}-{row[1].split(',')[0]}",
)
def test_the_size_is_what_the_definition_gives(row: list[str], registry: Any) -> None:
    dimension, _, size, definition = row
    again = registry.Quantity(registry.parse_expression(definition)).to(SI[dimension]).magnitude
    # Sizes are written with 7 figures or more; all that are exact by definition agree to the last one.
    assert float(size) == pytest.approx(again, rel=2e-9, abs=0)


@pytest.mark.parametrize(
    ("form", "celsius", "kelvin"),
    [
        ("°C", 0.0, 273.15),
        ("°C", 100.0, 373.15),
        ("°F", 32.0, 273.15),
        ("°F", 212.0, 373.15),
        ("K", 5.0, 5.0),
    ],
)
def test_temperature_scales(form: str, celsius: float, kelvin: float) -> None:
    """Freezing and boiling water on each scale."""
    unit = lookup(form, "temperature")
    assert unit is not None
    assert celsius * unit.size + unit.offset == pytest.approx(kelvin, rel=1e-12)


@pytest.mark.parametrize("form", ["°C", "°F", "K"])
def test_temperature_scales_as_pint_has_them(form: str, registry: Any) -> None:
    unit = lookup(form, "temperature")
    assert unit is not None
    name = {"°C": "degC", "°F": "degF", "K": "kelvin"}[form]
    for value in (-10.0, 11.0, 40.0):
        again = registry.Quantity(value, name).to("kelvin").magnitude
        assert value * unit.size + unit.offset == pytest.approx(again, rel=1e-12)


@pytest.mark.parametrize(
    ("form", "dimension", "name"),
    [
        ("in", "length", "inch"),
        ("ft", "length", "foot"),
        ("yd", "length", "yard"),
        ("lb", "mass", "lb"),
        ("oz", "mass", "oz"),
        ("gr", "mass", "grain"),
        ("st", "mass", "stone"),
        ("ton", "mass", "long_ton"),
        ("US ton", "mass", "short_ton"),
        ("lbf", "force", "lbf"),
        ("kgf", "force", "kgf"),
        ("°", "angle", "degree"),
        ("′", "angle", "arcmin"),
        ("″", "angle", "arcsec"),
        ("mph", "speed", "mph"),
        ("km/h", "speed", "kmh"),
        ("week", "time", "week"),
        ("year", "time", "Julian_year"),
    ],
)
def test_sizes_of_a_second_library(form: str, dimension: str, name: str) -> None:
    constants: Any = pytest.importorskip("scipy.constants")

    unit = lookup(form, dimension)
    assert unit is not None
    assert unit.size == pytest.approx(getattr(constants, name), rel=1e-9)


@pytest.mark.parametrize(
    ("form", "pounds"),
    [("qr", 28), ("cwt", 112), ("ton", 2240), ("st", 14), ("US cwt", 100), ("US ton", 2000)],
)
def test_how_many_pounds_there_are(form: str, pounds: int) -> None:
    """The avoirdupois scale, from memory."""
    unit, pound = lookup(form, "mass"), lookup("lb", "mass")
    assert unit is not None
    assert pound is not None
    assert unit.size / pound.size == pytest.approx(pounds, rel=1e-12)


def test_the_paris_line_is_the_443_296th_part_of_a_metre() -> None:
    """The law of 19 frimaire VIII made the metre 3 Paris feet 11.296 lines (from memory)."""
    unit = lookup("Paris line", "length")
    assert unit is not None
    assert unit.size == pytest.approx(1 / 443.296, rel=1e-7)


def test_british_and_american_differ_by_a_ninth(registry: Any) -> None:
    """pint's bare `cwt` and `ton` are the American ones: to read them so would make every weight 12 % light."""
    ours, theirs = lookup("cwt", "mass"), registry.Quantity(1, "cwt").to("kilogram").magnitude
    assert ours is not None
    assert ours.size / theirs == pytest.approx(1.12)


def test_every_row_is_well_formed() -> None:
    for row in ROWS:
        assert len(row) == 4, row
        assert math.isfinite(float(row[2])), row
        assert float(row[2]) != 0, row
        forms = [form.strip() for form in row[1].split(", ")]
        assert all(forms), row
        assert len(set(forms)) == len(forms), row


def test_no_form_means_two_sizes_of_one_dimension() -> None:
    for form, several in units().items():
        dimensions = [unit.dimension for unit in several]
        assert len(dimensions) == len(set(dimensions)), form


def test_forms_of_two_dimensions_are_those_that_must_be() -> None:
    """Primes are feet and minutes of arc, inches and seconds of arc; `quarter`... belong to one only."""
    shared = {
        form: {unit.dimension for unit in several} for form, several in units().items() if len(several) > 1
    }
    assert shared == {"′": {"length", "angle"}, "″": {"length", "angle"}}


def test_spaces_inside_a_form_do_not_matter() -> None:
    assert lookup("per   inch", "thread") == lookup("per inch", "thread")
    assert dimensions_of("°  C") == ("temperature",)


def test_the_preferred_form_is_the_first() -> None:
    assert preferred_forms("length")[:3] == ("mm", "cm", "m")
    assert lookup("inches", "length") == lookup("in", "length")


def test_every_dimension_a_word_takes_has_units() -> None:
    known = {row[0] for row in ROWS}
    from countwheel.resolve.builder import parts_of
    from countwheel.resolve.readers import _READERS

    for entry in load().entries:
        for part in parts_of(entry):
            assert part.choice or part.kind in known or part.kind in _READERS, (entry.word, part.kind)


def test_the_pattern_takes_the_longest_form() -> None:
    import re

    pattern = re.compile(unit_pattern())
    for text, form in [
        ("inches x", "inches"),
        ("in/x", "in"),
        ("°N", "°N"),
        ("° C", "° C"),
        ("ton/in²", "ton/in²"),
        ("min", "min"),
    ]:
        found = pattern.match(text)
        assert found is not None
        assert found[0] == form
    assert pattern.match("inn") is None
    assert pattern.match("mmx") is None
