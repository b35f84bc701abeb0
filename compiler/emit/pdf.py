"""The content tree as a PDF, set by the typst library from data, never from pasted markup.

Only the fonts that the library carries are used, so the bytes depend on the
document, the template and the library's version alone. The file is tagged
and says so (PDF/UA-1); what the fonts cannot print is named instead.
"""

from __future__ import annotations

import json
import re
import unicodedata
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal

from countwheel.emit.document import Binder, Document, Photograph, Picture
from countwheel.emit.pdf_data import as_data
from countwheel.emit.svg_inline import size_mm
from countwheel.emit.traversal import blocks

Paper = Literal["a4", "us-letter"]

# Every font that the library carries has these: plain Latin, accents, the marks of punctuation and measure.
_LATIN = frozenset(map(chr, [*range(0x20, 0x7F), *range(0xA0, 0xAD), *range(0xAE, 0x180)]))
_SURE = _LATIN | frozenset("–—‘’“”…×÷±−°′″½¼¾²³·\n\t\u2002")
_BEYOND = re.compile("[^\n -~]")
_BOX = "□"
_NOTHING = b"#set document(date: none)"
_MOST_KEPT = 2_000_000  # letters of which the library keeps the pages: all papers of a large clock have fewer
_kept = 0


def print_pdf(document: Document | Binder, *, paper: Paper = "a4", timestamp: int | None = None) -> bytes:
    """The whole document, or a whole binder in one go, as PDF bytes.

    `timestamp` (seconds since 1970, as in SOURCE_DATE_EPOCH) is the date of
    making that the file states; without one it states none. Raises
    `typst.TypstError` only for a fault of our own template.
    """
    import typst

    text = json.dumps(as_data(document) | {"paper": paper}, ensure_ascii=False)
    pictures = json.dumps(
        {part.id: _picture(part) for part in blocks(document) if isinstance(part, (Picture, Photograph))},
        ensure_ascii=False,
    )
    shapeless = _shapeless(frozenset(_BEYOND.findall(text + pictures)) - _SURE)
    try:
        return _set(_without(shapeless, text), _without(shapeless, pictures, drawn=True), timestamp)
    except typst.TypstError:
        # Each letter has a shape and yet some of them together (stacked accents) have none: name them all.
        text, pictures = (
            _without(frozenset(one) - _SURE, one, drawn=one is pictures) for one in (text, pictures)
        )
        return _set(text, pictures, timestamp)


def _set(document: str, pictures: str, timestamp: int | None) -> bytes:
    import typst

    template = files("countwheel.emit").joinpath("templates/print/manual.typ").read_bytes()
    given = {"document": document, "pictures": pictures, "dated": "yes" if timestamp is not None else "no"}
    _make_room(len(document) + len(pictures))
    made = typst.compile(
        template,
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs=given,
        pdf_standards="ua-1",
        timestamp=timestamp,
    )
    return bytes(made)


def _make_room(wanted: int) -> None:
    """Has the library let go of what it keeps of pages set before, if these, with so many letters more, are too many.

    It keeps all in case that it is wanted again, some 150 bytes for each letter given, and drops what its last ten runs
    did not ask for.
    """
    import typst

    global _kept
    if _kept + wanted > _MOST_KEPT:
        _kept = 0
        for _ in range(12):
            typst.compile(_NOTHING, format="pdf", ignore_system_fonts=True)
    _kept += wanted


def _picture(part: Picture | Photograph) -> dict[str, Any]:
    if isinstance(part, Photograph):
        svg, size = part.photo.as_svg(), part.photo.millimetres
    else:
        svg, size = part.drawing.svg, size_mm(part.drawing) or (0.0, 0.0)
    return {"svg": svg, "width": size[0], "height": size[1]}


# -- letters that no font of ours has ------------------------------------------
def _without(letters: frozenset[str], text: str, *, drawn: bool = False) -> str:
    """The text with each of these letters given by its name.

    In a drawing, where there is no room for a name, an empty box stands for it.
    """
    for letter in sorted(letters.intersection(text)) if letters else ():
        text = text.replace(letter, _BOX if drawn else _name(letter))
    return text


@lru_cache(maxsize=64)
def _shapeless(letters: frozenset[str]) -> frozenset[str]:
    """Those that the carried fonts cannot print: the library is asked, first about all of them at once."""
    if not letters or _has_shape("".join(sorted(letters))):
        return frozenset()
    return frozenset(letter for letter in letters if not _has_shape(letter))


@lru_cache(maxsize=4096)
def _has_shape(letter: str) -> bool:
    """Whether the carried fonts can print this letter, or all of several."""
    import typst

    try:
        typst.compile(
            b'#set document(title: "letter", date: none)\n#sys.inputs.letter',
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs={"letter": letter},
            pdf_standards="ua-1",
        )
    except typst.TypstError:
        return False
    return True


def _name(letter: str) -> str:
    """What stands for a letter that cannot be printed: nothing for one that is never seen, else its name."""
    if unicodedata.category(letter) in ("Cf", "Mn", "Me"):
        return ""
    name = unicodedata.name(letter, "")
    return f"[{name.lower()}]" if name else f"[letter U+{ord(letter):04X}]"
