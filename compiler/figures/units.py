"""The units that figures are given in, and their size in SI.

One table; a test recomputes every factor with pint from the name in the third
column. Only display units stand here: what a keeper may write is in the grammar.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import NamedTuple

from countwheel.figures.formula import Numeric


class UnitError(ValueError):
    """A unit asked for by a figure that is not in the table: a fault of the program."""


class Unit(NamedTuple):
    """`factor` times a number in this unit is the number in the coherent SI unit of `dimension`.

    `check` is the same unit in pint's words, for the test. Exact factors are fractions.
    """

    dimension: str
    factor: Numeric
    check: str


_DAY = Fraction(86400)
_INCH = Fraction(254, 10000)
_LB = Fraction(45359237, 100000000)
_PER_DAY = 1 / _DAY
_DEGREE = math.pi / 180

UNITS: dict[str, Unit] = {
    "": Unit("", Fraction(1), "dimensionless"),
    "%": Unit("", Fraction(1, 100), "percent"),
    "in a million": Unit("", Fraction(1, 10**6), "ppm"),
    # length, area, volume
    "µm": Unit("length", Fraction(1, 10**6), "micrometer"),
    "mm": Unit("length", Fraction(1, 1000), "millimeter"),
    "cm": Unit("length", Fraction(1, 100), "centimeter"),
    "m": Unit("length", Fraction(1), "meter"),
    "in": Unit("length", _INCH, "inch"),
    "ft": Unit("length", 12 * _INCH, "foot"),
    "mm²": Unit("area", Fraction(1, 10**6), "millimeter**2"),
    "m²": Unit("area", Fraction(1), "meter**2"),
    # mass and inertia
    "g": Unit("mass", Fraction(1, 1000), "gram"),
    "kg": Unit("mass", Fraction(1), "kilogram"),
    "lb": Unit("mass", _LB, "pound"),
    "cwt": Unit("mass", 112 * _LB, "UK_hundredweight"),
    "kg/m": Unit("linear density", Fraction(1), "kilogram/meter"),
    "kg/m³": Unit("density", Fraction(1), "kilogram/meter**3"),
    "kg·m": Unit("first moment", Fraction(1), "kilogram*meter"),
    "kg·m²": Unit("moment of inertia", Fraction(1), "kilogram*meter**2"),
    # time
    "ms": Unit("time", Fraction(1, 1000), "millisecond"),
    "s": Unit("time", Fraction(1), "second"),
    "min": Unit("time", Fraction(60), "minute"),
    "h": Unit("time", Fraction(3600), "hour"),
    "day": Unit("time", _DAY, "day"),
    "days": Unit("time", _DAY, "day"),
    # speed and turning: a turn is a count, as on the movement, not 2π
    "m/s": Unit("speed", Fraction(1), "meter/second"),
    "m/s²": Unit("acceleration", Fraction(1), "meter/second**2"),
    "turn": Unit("turns", Fraction(1), "dimensionless"),
    "turns": Unit("turns", Fraction(1), "dimensionless"),
    "turns/h": Unit("frequency", Fraction(1, 3600), "1/hour"),
    "turns/day": Unit("frequency", _PER_DAY, "1/day"),
    "turns/min": Unit("frequency", Fraction(1, 60), "1/minute"),
    "per h": Unit("frequency", Fraction(1, 3600), "1/hour"),
    "per day": Unit("frequency", _PER_DAY, "1/day"),
    "per 12 h": Unit("frequency", Fraction(1, 43200), "1/(12*hour)"),
    "turns/blow": Unit("turns", Fraction(1), "dimensionless"),
    "turns/change": Unit("turns", Fraction(1), "dimensionless"),
    # angle
    "rad": Unit("angle", Fraction(1), "radian"),
    "deg": Unit("angle", _DEGREE, "degree"),
    "arcmin": Unit("angle", _DEGREE / 60, "arcminute"),
    # force, torque, work, power, stress
    "N": Unit("force", Fraction(1), "newton"),
    "kN": Unit("force", Fraction(1000), "kilonewton"),
    "N·m": Unit("torque", Fraction(1), "newton*meter"),
    "mN·m": Unit("torque", Fraction(1, 1000), "millinewton*meter"),
    "mJ": Unit("energy", Fraction(1, 1000), "millijoule"),
    "J": Unit("energy", Fraction(1), "joule"),
    "kJ": Unit("energy", Fraction(1000), "kilojoule"),
    "J/day": Unit("power", _PER_DAY, "joule/day"),
    "µW": Unit("power", Fraction(1, 10**6), "microwatt"),
    "mW": Unit("power", Fraction(1, 1000), "milliwatt"),
    "W": Unit("power", Fraction(1), "watt"),
    "N/mm²": Unit("stress", Fraction(10**6), "newton/millimeter**2"),
    "Pa": Unit("pressure", Fraction(1), "pascal"),
    "hPa": Unit("pressure", Fraction(100), "hectopascal"),
    # the pendulum's rate and what moves it
    "s/day": Unit("rate", _PER_DAY, "second/day"),
    "min/day": Unit("rate", 60 * _PER_DAY, "minute/day"),
    "s/week": Unit("rate", _PER_DAY / 7, "second/week"),
    "s/day per °C": Unit("rate per temperature", _PER_DAY, "second/day/delta_degC"),
    "s/day per hPa": Unit("rate per pressure", _PER_DAY / 100, "second/day/hectopascal"),
    "s/day per g": Unit("rate per mass", _PER_DAY * 1000, "second/day/gram"),
    "s/day per turn": Unit("rate", _PER_DAY, "second/day"),
    "s/day per division": Unit("rate", _PER_DAY, "second/day"),
    "s/day per deg": Unit("rate per angle", _PER_DAY / _DEGREE, "second/day/degree"),
    "s/day per mm": Unit("rate per length", _PER_DAY * 1000, "second/day/millimeter"),
    "/°C": Unit("expansion", Fraction(1), "1/delta_degC"),
    "µm/°C": Unit("length per temperature", Fraction(1, 10**6), "micrometer/delta_degC"),
    "°C": Unit("temperature difference", Fraction(1), "delta_degC"),
    # per turn and per blow
    "mm/turn": Unit("length", Fraction(1, 1000), "millimeter"),
    "m/turn": Unit("length", Fraction(1), "meter"),
    "m/day": Unit("speed", _PER_DAY, "meter/day"),
    "J/blow": Unit("energy", Fraction(1), "joule"),
}

# Inside a formula an angle is an angle: 2° stands for 2 × π/180, whatever the unit it is printed in.
ANGLES = {"deg": "°", "arcmin": "′"}


def unit(name: str) -> Unit:
    """The unit of that name. Raises UnitError for a name that is not in the table."""
    try:
        return UNITS[name]
    except KeyError:
        raise UnitError(f"no unit {name!r} in the table of figures/units.py") from None


def ratio(source: str, target: str) -> Numeric:
    """The number by which a value in `source` is multiplied to be in `target`; exact where both are."""
    if source == target:
        return Fraction(1)
    one, other = unit(source), unit(target)
    if one.dimension != other.dimension:
        raise UnitError(
            f"{source!r} is a {one.dimension or 'number'}, {target!r} a {other.dimension or 'number'}"
        )
    return one.factor / other.factor


def from_si(si: float, target: str) -> float:
    """A value in SI in the unit `target`, rid of the last digit's noise (0.26035 m is 260.35 mm)."""
    return float(f"{si / float(unit(target).factor):.15g}")


def radians(unit_of_angle: str) -> float:
    """What takes a number in a unit of angle to a formula (radians); 1 for every other unit."""
    return float(unit(unit_of_angle).factor) if unit_of_angle in ANGLES else 1.0
