"""Numbers as keepers write them: 12, 12.5, 10 1/4, 10½, 12e-6."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

_VULGAR = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}


@lru_cache(maxsize=4096)
def as_fraction(text: str) -> Fraction:
    """The exact value of a number as written; a fraction over nothing counts as nothing."""
    text = text.strip().replace("−", "-")
    sign = -1 if text.startswith("-") else 1
    text = text.lstrip("-")
    if text and text[-1] in _VULGAR:
        whole = text[:-1].strip()
        return sign * ((Fraction(int(whole)) if whole else Fraction(0)) + _VULGAR[text[-1]])
    total = Fraction(0)
    for piece in text.split():
        over, _, under = piece.partition("/")
        if under:
            total += Fraction(int(over), int(under)) if int(under) else Fraction(0)
        else:
            total += Fraction(over)
    return sign * total
