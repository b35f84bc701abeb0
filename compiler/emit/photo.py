"""A photograph as it goes into a paper: its bytes looked over, never taken on trust.

Reads only what stands in the file's own head and chunks (JPEG: ISO/IEC 10918-1 annex B; PNG: ISO/IEC 15948,
clauses 5, 10 and 11; the turn of a camera: EXIF tag 0x0112). Decodes no picture: what is far too large for a
page, cut short or no picture at all is refused with the reason.

What is printed is the picture and nothing else: where it was taken, with which camera and by whom, remarks, small
copies and what is hung on behind the end are left out, as they may be private. The picture itself is not packed
anew; how the camera was held is kept.
"""

from __future__ import annotations

import base64
import re
import struct
import zlib
from dataclasses import dataclass
from typing import Literal

MOST_PIXELS = 60_000_000  # more than a camera gives; a file that says so wants to fill the memory
_MOST_UNPACKED = 200_000_000  # bytes of a PNG's dots: each of them may have several
_DOTS = 120  # to the inch: a picture is printed no larger than this bears
_SIDEWAYS = frozenset({5, 6, 7, 8})
# How a picture is turned and turned over, by its EXIF value: the matrix that sets it right (w, h as stored).
_TURNS = {
    2: "matrix(-1 0 0 1 {w} 0)",
    3: "matrix(-1 0 0 -1 {w} {h})",
    4: "matrix(1 0 0 -1 0 {h})",
    5: "matrix(0 1 1 0 0 0)",
    6: "matrix(0 1 -1 0 {h} 0)",
    7: "matrix(0 -1 -1 0 {h} {w})",
    8: "matrix(0 -1 1 0 0 {w})",
}
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
# Behind the head of a scan its dots go on to the next marker: not a stuffed byte, no restart and no filling.
_AFTER_SCAN = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
# What of a PNG makes the picture: its size, colours, dots and what shines through (clause 11).
_SHOWN = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT"})

Kind = Literal["jpeg", "png"]
Fault = Literal["kind", "large", "broken", "missing"]


@dataclass(frozen=True, slots=True)
class Photo:
    """`width` and `height` in dots as it is seen; `turn` is how the camera was held (EXIF, 1 for upright).

    `data` are the bytes of the picture alone. `file` is its name in the folder of a printed paper; `alt` says what
    it shows.
    """

    file: str
    data: bytes
    kind: Kind
    width: int
    height: int
    turn: int
    alt: str

    @property
    def millimetres(self) -> tuple[float, float]:
        """Width and height at the largest that its dots bear."""
        return self.width * 25.4 / _DOTS, self.height * 25.4 / _DOTS

    def as_svg(self) -> str:
        """The picture as it is seen, within an SVG: the form in which pictures reach the PDF."""
        stored = (self.height, self.width) if self.turn in _SIDEWAYS else (self.width, self.height)
        turned = _TURNS.get(self.turn, "matrix(1 0 0 1 0 0)").format(w=stored[0], h=stored[1])
        held = base64.b64encode(self.data).decode()
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" '
            f'width="{self.width}" height="{self.height}"><image transform="{turned}" width="{stored[0]}" '
            f'height="{stored[1]}" href="data:image/{self.kind};base64,{held}"/></svg>'
        )


def read_photo(data: bytes, name: str, alt: str) -> Photo | Fault:
    """The photograph in `data`, or why it cannot be printed. `name` is that of its file, without an ending."""
    kind: Kind
    try:
        if data.startswith(b"\xff\xd8\xff"):
            kind, (width, height, turn, bare) = "jpeg", _jpeg(data)
        elif data.startswith(b"\x89PNG\r\n\x1a\n"):
            kind, (width, height), turn, bare = "png", _png_size(data), 1, b""
        else:
            return "kind"
        if (
            width * height * (_bits(data) if kind == "png" else 0) > 8 * _MOST_UNPACKED
            or width * height > MOST_PIXELS
        ):
            return "large"
        if kind == "png":
            bare = _png(data)
    except (ValueError, IndexError, struct.error, zlib.error):
        return "broken"
    if not width or not height:
        return "broken"
    if turn in _SIDEWAYS:
        width, height = height, width
    return Photo(f"{name}.{'jpg' if kind == 'jpeg' else 'png'}", bare, kind, width, height, turn, alt)


def _jpeg(data: bytes) -> tuple[int, int, int, bytes]:
    """Width, height, turn and the picture alone. A file that ends before its picture does is broken."""
    size, turn, at = None, 1, 2
    kept: list[bytes] = []
    while (mark := _marker(data, at)) != 0xD9:
        if mark == 0xFF:  # a byte that fills up
            at += 1
            continue
        (length,) = struct.unpack_from(">H", data, at + 2)
        if length < 2 or at + 2 + length > len(data):
            raise ValueError("no picture")
        body = data[at + 4 : at + 2 + length]
        after = at + 2 + length
        if mark == 0xE1 and body.startswith(b"Exif\0\0"):
            turn = _exif_turn(body[6:])
        elif mark in _FRAMES:
            height, width = struct.unpack_from(">HH", body, 1)
            size = (width, height)
        elif mark == 0xDA:
            found = _AFTER_SCAN.search(data, after)
            if found is None:
                raise ValueError("no end")
            after = found.start()
        if mark == 0xE0 and body.startswith(b"JFIF\0"):
            kept.append(_segment(mark, body[:12] + b"\0\0"))  # without the small copy of the picture
        elif not (0xE0 <= mark <= 0xEF or mark == 0xFE) or (mark == 0xEE and body.startswith(b"Adobe")):
            kept.append(data[at:after])  # the mark of Adobe tells how the colours are packed
        at = after
    if size is None:
        raise ValueError("no size")
    return (*size, turn, b"\xff\xd8" + _exif(turn) + b"".join(kept) + b"\xff\xd9")


def _marker(data: bytes, at: int) -> int:
    if data[at] != 0xFF:
        raise ValueError("no marker")
    return data[at + 1]


def _segment(mark: int, body: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, mark, len(body) + 2) + body


def _exif(turn: int) -> bytes:
    """How the camera was held and nothing else, where it was not upright (EXIF 2.3, 4.5 and 4.6.4)."""
    if turn == 1:
        return b""
    entry = struct.pack(">HHIHH", 0x0112, 3, 1, turn, 0)
    return _segment(0xE1, b"Exif\0\0MM\0*" + struct.pack(">IH", 8, 1) + entry + struct.pack(">I", 0))


def _exif_turn(tiff: bytes) -> int:
    """EXIF 2.3, 4.6.4: orientation, tag 0x0112 of the first directory; 1 where nothing of it can be read."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        return 1
    try:
        (first,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, first)
        for number in range(count):
            tag, _, _, value = struct.unpack_from(f"{order}HHIH", tiff, first + 2 + 12 * number)
            if tag == 0x0112:
                return value if value in _TURNS else 1
    except struct.error:
        pass
    return 1


def _png_size(data: bytes) -> tuple[int, int]:
    length, name, width, height = struct.unpack_from(">I4sII", data, 8)
    if name != b"IHDR" or length != 13:
        raise ValueError("no head")
    return width, height


def _bits(data: bytes) -> int:
    """The bits of one dot: those of a sample by the samples that a kind of colour has (clause 11.2.1, table 8)."""
    return data[24] * {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}.get(data[25], 4)


def _png(data: bytes) -> bytes:
    """The picture alone. Every chunk must have its right sum, up to the end: else it cannot be shown, or not all."""
    at, kept = 8, [data[:8]]
    while True:
        length, name = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        (told,) = struct.unpack_from(">I", data, at + 8 + length)
        if zlib.crc32(body, zlib.crc32(name)) != told:
            raise ValueError("a wrong sum")
        after = at + 12 + length
        if name in _SHOWN:
            kept.append(data[at:after])
        if name == b"IEND":
            return b"".join(kept)
        at = after
