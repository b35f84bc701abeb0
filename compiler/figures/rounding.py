"""Numbers in print: as many digits as they bear, and no more.

A value with a standard uncertainty u is printed to the place of the second
digit of u (GUM 7.2.6: at most two digits of an uncertainty are worth giving).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction

MINUS = "−"
_UP = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
# No figure of ours is good to more than this, whatever its budget says.
MOST_DIGITS = 10
# Digits for an inexact value that has no uncertainty of its own.
USUAL_DIGITS = 5
# Fewer than four digits of an input look like a slip, even where they would do.
LEAST_DIGITS = 4


def order(x: float) -> int:
    """The power of ten of the first digit of x (0 for 0)."""
    return math.floor(math.log10(abs(x))) if x and math.isfinite(x) else 0


def places_for(value: float, u: float | None, digits: int | None = None) -> int:
    """Decimal places to print `value` to (negative: tens, hundreds...).

    Two digits of `u`; where there is none, `digits` significant digits.
    """
    if not value:
        return 0 if not u else 1 - order(float(f"{u:.1e}"))
    finest = MOST_DIGITS - 1 - order(value)
    if u and math.isfinite(u) and digits is None:
        first = order(float(f"{u:.1e}"))
        return min(1 - first, finest)
    return min((digits or USUAL_DIGITS) - 1 - order(value), finest)


def fixed(x: float, places: int) -> str:
    """x to so many decimal places, in plain digits, with a true minus sign; -0 is 0."""
    text = f"{x:.{places}f}" if places >= 0 else f"{round(x, places):.0f}"
    if text.startswith("-"):
        return MINUS + text[1:] if text.strip("-0.") else text[1:]
    return text


def result_text(x: float, places: int, bare: bool) -> str:
    """A result to so many places; `bare` drops zeros at its end, where nothing says that they are known."""
    text = fixed(x, places)
    return text.rstrip("0").rstrip(".") if bare and "." in text else text


def _plain(text: str) -> str:
    """Decimal digits without an exponent and without trailing zeros."""
    text = format(Decimal(text), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def significant(x: float, digits: int) -> str:
    """x to so many significant digits, trailing zeros dropped; far from 1 as `1.15 × 10⁻⁵`."""
    if x == 0:
        return "0"
    text = f"{x:.{digits - 1}e}"
    mantissa, _, power = text.partition("e")
    ten = int(power)
    near = -5 < ten < 9
    out = _plain(text) if near else f"{_plain(mantissa)} × 10{str(ten).translate(_UP)}"
    return out.replace("-", MINUS)


def as_printed(x: float, digits: int) -> float:
    """The number that `significant(x, digits)` shows."""
    return float(f"{x:.{digits - 1}e}")


def plain_fraction(value: Fraction) -> str:
    """A fraction exactly: as a whole number or a short decimal where it is one, else `a/b`."""
    text = short_decimal(value, 8)
    if text is None:
        text = f"{value.numerator}/{value.denominator}"
    return text.replace("-", MINUS)


def short_decimal(value: Fraction, most: int) -> str | None:
    """The decimal form where it ends within `most` places, else None."""
    if value.denominator == 1:
        return str(value.numerator)
    for places in range(1, most + 1):
        scaled = value * 10**places
        if scaled.denominator == 1:
            whole = abs(scaled.numerator)
            sign = "-" if value < 0 else ""
            return f"{sign}{whole // 10**places}.{whole % 10**places:0{places}d}"
    return None


def exact_text(value: Fraction) -> str:
    """An exact result: `12`, `1/8 (0.125)`, `1/3 (0.33333…)`."""
    if value.denominator == 1:
        return str(value.numerator).replace("-", MINUS)
    decimal = short_decimal(value, 6)
    if len(str(value.denominator)) > 6:
        # nobody reads so long a fraction; the record holds it
        return (decimal or f"{fixed(float(value), max(1, 7 - order(float(value))))}…").replace("-", MINUS)
    if decimal is None:
        decimal = f"{fixed(float(value), max(1, 4 - order(float(value))))}…"
    fraction = f"{value.numerator}/{value.denominator}"
    return f"{fraction} ({decimal})".replace("-", MINUS)


def uncertainty_text(u: float) -> str:
    """A standard uncertainty to two digits: `0.53`, `12`, `1200`, `0.000012`."""
    if not u:
        return "0"
    first = order(float(f"{u:.1e}"))
    return fixed(u, 1 - first)


def _digits_of(x: float) -> int:
    """Significant digits of the shortest decimal form of x."""
    digits = Decimal(repr(x)).normalize().as_tuple().digits
    return len(digits)


def fewest_digits(
    values: Mapping[str, float], gives: Callable[[dict[str, float]], bool], start: int = 4
) -> dict[str, str] | None:
    """Print each of `values` with the fewest digits such that `gives(what is printed)` is true.

    A value that is short as it stands (five digits or fewer) is printed in
    full, any other with four digits at least. None where even 17 digits do not do.
    """
    short = {name: n for name, x in values.items() if (n := _digits_of(x)) <= 5}
    most = 17
    chosen: dict[str, int] = {}
    for digits in range(start, most + 1):
        chosen = {name: short.get(name, digits) for name in values}
        if gives({name: as_printed(x, chosen[name]) for name, x in values.items()}):
            break
    else:
        return None
    for name in values:
        if name in short:
            continue
        while chosen[name] > LEAST_DIGITS:
            trial = {**chosen, name: chosen[name] - 1}
            if not gives({other: as_printed(values[other], trial[other]) for other in values}):
                break
            chosen = trial
    return {name: significant(x, chosen[name]) for name, x in values.items()}
