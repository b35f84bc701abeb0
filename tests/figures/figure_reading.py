"""Reads a printed formula back into Python, as a person with a calculator would read it."""

from __future__ import annotations

import math
import re

_UP = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def _agm(a: float, b: float) -> float:
    for _ in range(60):
        a, b = (a + b) / 2, math.sqrt(a * b)
    return a


NAMES = {
    "pi": math.pi,
    "AGM": _agm,
    "arcsin": math.asin,
    "arccos": math.acos,
    "arctan": math.atan,
    "min": min,
    "max": max,
    "floor": math.floor,
    "ceil": math.ceil,
    "gcd": lambda a, b: math.gcd(int(a), int(b)),
    "lcm": lambda a, b: math.lcm(int(a), int(b)),
    "sqrt": math.sqrt,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "ln": math.log,
    "exp": math.exp,
    "abs": abs,
}


def number(text: str) -> float:
    """The value of a printed number or formula. `−` is a minus, `10⁻⁵` a power, `2°` an angle."""
    text = text.replace("−", "-").replace("×", "*").replace("^", "**").replace("π", "(pi)")
    # sin²(x) is the square of the sine
    text = re.sub(r"(sin|cos|tan)([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+)(\((?:[^()]|\([^()]*\))*\))", r"(\1\3)\2", text)
    text = re.sub(r"([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+)", lambda found: f"**({found[1].translate(_UP)})", text)
    text = re.sub(r"√([\w.]+)", r"sqrt(\1)", text).replace("√(", "sqrt(")
    text = re.sub(r"(\([^()]*(?:\([^()]*\))?\))°", r"(\1*pi/180)", text)
    text = re.sub(r"([\d.]+)°", r"(\1*pi/180)", text)
    text = re.sub(r"([\d.]+)′", r"(\1*pi/10800)", text)
    text = re.sub(r"\|([^|]*)\|", r"abs(\1)", text)  # bars are never nested
    return float(eval(text, {"__builtins__": {}}, NAMES))


def first_number(shown: str) -> float:
    """The number at the front of a printed result: `7/3 (2.3333…)` is 7/3."""
    return number(shown.split(" ")[0].rstrip("…"))
