"""The content tree as a PDF, set by the typst library from data, never from pasted markup.

Only the fonts that the library carries are used, so the bytes depend on the
document, the template and the library's version alone. The file is tagged
and says so (PDF/UA-1); what the fonts cannot print is named instead.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal

from countwheel.emit.document import Binder, Document, Photograph, Picture, walk
from countwheel.emit.drawing import Drawing
from countwheel.emit.photo import Photo
from countwheel.emit.svg_inline import size_mm

Paper = Literal["a4", "us-letter"]

# Every font that the library carries has these: plain Latin, accents, the marks of punctuation and measure.
_LATIN = frozenset(map(chr, [*range(0x20, 0x7F), *range(0xA0, 0xAD), *range(0xAE, 0x180)]))
_SURE = _LATIN | frozenset("–—‘’“”…×÷±−°′″½¼¾²³·\n\t\u2002")
_BOX = "□"


def print_pdf(document: Document | Binder, *, paper: Paper = "a4", timestamp: int | None = None) -> bytes:
    """The whole document, or a whole binder in one go, as PDF bytes.

    `timestamp` (seconds since 1970, as in SOURCE_DATE_EPOCH) is the date of
    making that the file states; without one it states none. Raises
    `typst.TypstError` only for a fault of our own template.
    """
    import typst

    data = as_data(document)
    data["paper"] = paper
    data["dated"] = timestamp is not None
    data["pictures"] = {
        part.id: _picture(part) for part in walk(document) if isinstance(part, (Picture, Photograph))
    }
    try:
        return _set(_printable(data, _has_shape), timestamp)
    except typst.TypstError:
        # Each letter has a shape and yet some of them together (stacked accents) have none: name them all.
        return _set(_printable(data, lambda letter: False), timestamp)


def _set(data: Any, timestamp: int | None) -> bytes:
    import typst

    template = files("countwheel.emit").joinpath("templates/print/manual.typ").read_bytes()
    made = typst.compile(
        template,
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs={"document": json.dumps(data, ensure_ascii=False)},
        pdf_standards="ua-1",
        timestamp=timestamp,
    )
    return bytes(made)


def as_data(part: object) -> Any:
    """A part of the tree as plain lists, dictionaries, texts and numbers, each part with its `kind`.

    A picture keeps its id, title and words only: its drawing goes beside the tree.
    """
    if isinstance(part, Drawing):
        return {"title": part.title, "alt": part.alt}
    if isinstance(part, Photo):
        return {"alt": part.alt}
    if is_dataclass(part) and not isinstance(part, type):
        data = {field.name: as_data(getattr(part, field.name)) for field in fields(part)}
        if isinstance(part, Document):
            data["pictured"] = any(isinstance(one, Picture) for one in walk(part))
        kind = getattr(part, "kind", None)
        return data | {"kind": kind} if kind else data
    if isinstance(part, tuple):
        return [as_data(inner) for inner in part]
    return part


def _picture(part: Picture | Photograph) -> dict[str, Any]:
    if isinstance(part, Photograph):
        svg, size = part.photo.as_svg(), part.photo.millimetres
    else:
        svg, size = part.drawing.svg, size_mm(part.drawing) or (0.0, 0.0)
    return {"svg": svg, "width": size[0], "height": size[1]}


# -- letters that no font of ours has ------------------------------------------
def _printable(data: Any, has_shape: Callable[[str], bool], *, drawn: bool = False) -> Any:
    """The same data with each letter that cannot be printed given by its name.

    In a drawing, where there is no room for a name, an empty box stands for it.
    """
    if isinstance(data, dict):
        return {key: _printable(value, has_shape, drawn=key == "svg") for key, value in data.items()}
    if isinstance(data, list):
        return [_printable(inner, has_shape) for inner in data]
    if isinstance(data, str) and not _SURE.issuperset(data):
        return "".join(
            letter if letter in _SURE or has_shape(letter) else _BOX if drawn else _name(letter)
            for letter in data
        )
    return data


@lru_cache(maxsize=4096)
def _has_shape(letter: str) -> bool:
    """Whether the carried fonts can print this letter: the library itself is asked."""
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
