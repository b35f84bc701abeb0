"""Text as a terminal shows it: how many cells a character takes, and nothing harmful let through.

A description can hold anything, a terminal's own orders among it. Here such
characters become signs that can be seen and do nothing.
"""

from __future__ import annotations

import unicodedata

TAB_STOP = 4


def show(char: str, column: int = 0) -> tuple[str, int]:
    """What is printed for one character, and its width in columns.

    `column` (from 0) is where it falls: a tab is as wide as is left to its stop, and is
    shown as an arrow so that it can be told from spaces.
    """
    if " " <= char <= "~":
        return char, 1
    if char == "\t":
        width = TAB_STOP - column % TAB_STOP
        return "⇥" + " " * (width - 1), width
    if char < " ":
        return chr(0x2400 + ord(char)), 1  # the control pictures: ESC is shown as ␛
    if char == "\x7f":
        return "␡", 1
    if char in "\u200c\u200d":
        return char, 0  # the joiners that some scripts cannot be written without
    category = unicodedata.category(char)
    if category in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"):
        sign = f"‹U+{ord(char):04X}›"  # among them the marks that turn the line round
        return sign, len(sign)
    if category in ("Mn", "Me") or "\u1160" <= char <= "\u11ff":
        return char, 0  # sits on the letter before it
    return char, 2 if unicodedata.east_asian_width(char) in "WF" else 1


def harmless(text: str) -> str:
    """The text with every character that a terminal might obey made visible instead."""
    if text.isascii() and text.isprintable():
        return text
    return "".join("⇥" if char == "\t" else show(char)[0] for char in text)


def wide(text: str) -> int:
    """How many columns the text takes once it is shown."""
    if text.isascii() and text.isprintable():
        return len(text)
    column = 0
    for char in text:
        column += show(char, column)[1]
    return column
