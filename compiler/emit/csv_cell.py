"""A cell of a CSV file that no spreadsheet takes for a formula, whatever the quotation marks around it."""

from __future__ import annotations

import re

# What a spreadsheet reckons: = + - @, their wide forms, and what begins with a blank or the end of a line.
_FORMULA = re.compile(r"'*(?:\s*[=+\-@＝＋－＠]|[\t\r\n])")
# A signed number is none, alone or with one unit: nothing is left in it to reckon or to call.
_NUMBER = re.compile(r"[+-]\d+(?:[.,]\d+)?(?: ?[A-Za-zµ°%²³]{1,12})?")


def text_cell(said: str) -> str:
    """An apostrophe before what could be taken for a formula.

    One more goes before those that a keeper put there, so that to take one away gives the text again.
    """
    return f"'{said}" if _FORMULA.match(said) and not _NUMBER.fullmatch(said) else said
