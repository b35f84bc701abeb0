"""How wide lettering may come out, and where to break it, without knowing the reader's font.

A drawing carries no font: the reader's own sans serif is used, and these
differ. So widths are taken from a wide face (the advance widths of DejaVu
Sans, in thousandths of the size; most faces are some 15 % narrower), and a
box fitted to them holds the text in any common font.
"""

from __future__ import annotations

import re

# Advance widths of characters 32 to 126, in thousandths of an em.
_WIDTHS = (
    "318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337 636 636 636 636 636 636 636 636 636 636 "
    "337 337 838 838 838 531 1000 684 686 698 770 632 575 775 752 295 295 656 557 863 748 787 603 787 695 "
    "635 "
    "611 732 684 989 685 611 685 390 337 390 838 500 500 613 635 550 635 615 352 635 634 278 278 579 278 974 "
    "634 612 635 635 411 521 392 634 592 818 592 592 525 636 337 636 838"
)
_ASCII = (*[0] * 32, *map(int, _WIDTHS.split()), 840)
_BOLD = 1.14
#: Other letters of alphabets; then everything above them: ideographs, symbols, pictures.
_OTHER, _WIDE = 840, 1380

# Not allowed in XML 1.0 (2.2), or would turn the order of letters around beyond their own text.
_UNPRINTABLE = re.compile(
    "[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|[\x7f-\x9f\u202a-\u202e\u2066-\u2069]"
)


def clean(text: str) -> str:
    """One line of text that any XML reader takes: white space is single spaces, no control characters."""
    return " ".join(_UNPRINTABLE.sub("\ufffd", text).split())


def width_of(text: str, size: float, bold: bool = False) -> float:
    """The widest that `text` is likely to come out at `size`, in the same unit."""
    if text.isascii():
        total = sum(map(_ASCII.__getitem__, text.encode()))
    else:
        total = sum(
            _ASCII[code] if code < 128 else _OTHER if code < 0x2E80 else _WIDE for code in map(ord, text)
        )
    return total * size * (_BOLD if bold else 1.0) / 1000


_UNITS = frozenset(
    (
        "h",
        "min",
        "s",
        "d",
        "in",
        "ft",
        "mm",
        "cm",
        "m",
        "kg",
        "g",
        "lb",
        "oz",
        "cwt",
        "qr",
        "ton",
        "°",
        "N",
        "kN",
    )
)


def _pieces(text: str) -> list[str]:
    """The words of a text, where a number keeps its unit and its fraction, and a word its number."""
    out: list[str] = []
    before = ""
    for word in clean(text).split(" "):
        counted = before[:1].isdigit()
        if out and (
            (counted and word in _UNITS)
            or (counted and "/" in word and word[:1].isdigit())
            or (before[-1:].isalpha() and word[:1].isdigit() and before not in _UNITS)
        ):
            out[-1] += f" {word}"
        else:
            out.append(word)
        before = word
    return out


def wrap(text: str, size: float, room: float, bold: bool = False) -> tuple[str, ...]:
    """`text` in lines no wider than `room`, broken at spaces, or within a word too long for a line."""
    lines: list[str] = []
    line = ""
    room += 0.01  # a line that made the width of its own cell must fit into it again
    for word in _pieces(text):
        longer = f"{line} {word}" if line else word
        if width_of(longer, size, bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        while width_of(word, size, bold) > room and len(word) > 1:
            cut = 1
            while width_of(word[: cut + 1], size, bold) <= room:
                cut += 1
            # Rather at a space within the room than within a word.
            space = word.rfind(" ", 0, cut + 1)
            cut = space if space > 0 else cut
            lines.append(word[:cut])
            word = word[cut:].lstrip()
        line = word
    lines.append(line)
    return tuple(lines)
