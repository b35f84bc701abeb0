"""Text that can stand in a printed paper: no character that XML cannot hold or that turns a line about."""

from __future__ import annotations

import re

# XML 1.0 (fifth edition), production 2: the characters a document can hold. U+FFFD stands for the others.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Marks that order a turn of direction (Unicode annex 9, 2.1 to 2.4): the printers find it themselves, and
# an unclosed one would turn the rest of a line that is not the keeper's.
_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")


def printable_text(text: str) -> str:
    return _TURNS.sub("", _NOT_XML.sub("\ufffd", text))


def first_capital(text: str) -> str:
    """The text with its first letter large and the others as they are."""
    return text[:1].upper() + text[1:]
