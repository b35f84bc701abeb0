"""Photographs are looked over before they are believed."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import pytest
from countwheel.emit.photo import MOST_PIXELS, Photo, read_photo
from hypothesis import given
from hypothesis import strategies as st

SPECS = Path(__file__).parents[2] / "specs"
PHOTOS = sorted([*SPECS.glob("*/photos/*.jpg"), *SPECS.glob("*/photos/*.png")])
JPEG = (SPECS / "penquay-harbour-office/photos/great-wheel.jpg").read_bytes()
PNG = (SPECS / "penquay-harbour-office/photos/slabs.png").read_bytes()


def turned(turn: int, order: str = ">") -> bytes:
    """The picture as a camera marks it that was held otherwise (EXIF 2.3, 4.6.4, tag 0x0112)."""
    head = (b"MM" if order == ">" else b"II") + struct.pack(f"{order}HI", 42, 8)
    tiff = head + struct.pack(f"{order}HHHIHHI", 1, 0x0112, 3, 1, turn, 0, 0)
    body = b"Exif\0\0" + tiff
    return JPEG[:2] + b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body + JPEG[2:]


def sized(width: int, height: int) -> bytes:
    """A PNG that says that it is so large; its own sums are right (PNG, clause 5.3)."""
    body = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    end = struct.pack(">I", 0) + b"IEND" + struct.pack(">I", zlib.crc32(b"IEND"))
    return PNG[:8] + struct.pack(">I", 13) + body + struct.pack(">I", zlib.crc32(body)) + end


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.name)
def test_the_photographs_of_the_demos(path: Path) -> None:
    photo = read_photo(path.read_bytes(), "one", "a wheel")
    assert isinstance(photo, Photo)
    assert photo.file == f"one{path.suffix}"
    assert photo.turn == 1


def test_sizes() -> None:
    jpeg, png = read_photo(JPEG, "a", "x"), read_photo(PNG, "b", "x")
    assert isinstance(jpeg, Photo)
    assert isinstance(png, Photo)
    assert (jpeg.width, jpeg.height) == (420, 300)
    assert (png.width, png.height) == (260, 360)


@pytest.mark.parametrize("order", "<>")
@pytest.mark.parametrize("turn", range(1, 9))
def test_a_camera_held_otherwise(turn: int, order: str) -> None:
    photo = read_photo(turned(turn, order), "a", "x")
    assert isinstance(photo, Photo)
    assert photo.turn == turn
    assert (photo.width, photo.height) == ((300, 420) if turn > 4 else (420, 300))
    # where the first dot of the file (top left as stored) goes, by the table of EXIF 2.3, 4.6.4
    numbers = photo.as_svg().partition("matrix(")[2].partition(")")[0].split()
    a, b, c, d, e, f = map(float, numbers)
    w, h = 420, 300
    corners = {(a * x + c * y + e, b * x + d * y + f) for x, y in ((0, 0), (w, 0), (0, h), (w, h))}
    assert corners == {(x, y) for x in (0, photo.width) for y in (0, photo.height)}
    first = {1: "tl", 2: "tr", 3: "br", 4: "bl", 5: "tl", 6: "tr", 7: "br", 8: "bl"}[turn]
    assert (e, f) == (photo.width if "r" in first else 0, photo.height if "b" in first else 0)


SECRET = b"SOMEWHERE 50.12 N, a maker, a name"


def with_segment(data: bytes, mark: int, body: bytes) -> bytes:
    return data[:2] + struct.pack(">BBH", 0xFF, mark, len(body) + 2) + body + data[2:]


def with_chunk(name: bytes, body: bytes, before: bytes = b"IDAT") -> bytes:
    at = PNG.index(before) - 4
    made = struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    return PNG[:at] + made + PNG[at:]


# APP1 is EXIF and XMP, APP2 a colour profile or more pictures, APP13 captions; FE is a remark (ISO/IEC 10918-1, B.2.4).
@pytest.mark.parametrize("mark", [*range(0xE0, 0xF0), 0xFE], ids=lambda mark: f"{mark:02X}")
def test_a_jpeg_is_printed_without_what_is_told_of_it(mark: int) -> None:
    photo = read_photo(with_segment(JPEG, mark, SECRET), "a", "x")
    assert isinstance(photo, Photo)
    assert SECRET not in photo.data
    assert photo.data == plain(JPEG)


def test_the_place_in_the_exif_goes_and_the_turn_stays() -> None:
    for turn in range(1, 9):
        marked = turned(turn).replace(b"Exif\0\0", b"Exif\0\0", 1)
        at = marked.index(b"Exif")
        length = struct.unpack_from(">H", marked, at - 2)[0]
        told = (
            marked[: at - 2] + struct.pack(">H", length + len(SECRET)) + marked[at : at + length - 2] + SECRET
        )
        photo = read_photo(told + marked[at + length - 2 :], "a", "x")
        assert isinstance(photo, Photo)
        assert SECRET not in photo.data
        assert photo.turn == turn
        again = read_photo(photo.data, "a", "x")
        assert isinstance(again, Photo)
        assert again.turn == turn
        assert again.data == photo.data


def test_small_copies_and_what_hangs_behind_the_end_go() -> None:
    jfif = b"JFIF\0\1\2\0\0\1\0\1"
    photo = read_photo(with_segment(plain(JPEG), 0xE0, jfif + b"\1\1" + SECRET) + SECRET, "a", "x")
    assert isinstance(photo, Photo)
    assert SECRET not in photo.data
    assert photo.data.endswith(b"\xff\xd9")
    png = read_photo(PNG + SECRET, "a", "x")
    assert isinstance(png, Photo)
    assert SECRET not in png.data


def test_how_the_colours_are_packed_stays() -> None:
    adobe = b"Adobe\0d\0\0\0\0\1"
    photo = read_photo(with_segment(JPEG, 0xEE, adobe), "a", "x")
    assert isinstance(photo, Photo)
    assert adobe in photo.data


# Text, time, EXIF, and chunks that are somebody's own (PNG, clauses 11.3.4 and 11.3.6; 5.4 for the letters).
@pytest.mark.parametrize("name", [b"tEXt", b"zTXt", b"iTXt", b"tIME", b"eXIf", b"iCCP", b"pHYs", b"prVt"])
def test_a_png_is_printed_without_what_is_told_of_it(name: bytes) -> None:
    photo = read_photo(with_chunk(name, SECRET), "a", "x")
    assert isinstance(photo, Photo)
    assert SECRET not in photo.data
    bare = read_photo(PNG, "a", "x")
    assert isinstance(bare, Photo)
    assert photo.data == bare.data


def test_what_shines_through_in_a_png_stays() -> None:
    photo = read_photo(with_chunk(b"tRNS", b"\0\x80"), "a", "x")
    assert isinstance(photo, Photo)
    assert b"tRNS" in photo.data


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.name)
def test_the_dots_are_the_same(path: Path) -> None:
    """The scans, as they were packed: whatever decodes the one decodes the other to the same dots."""
    photo = read_photo(path.read_bytes(), "one", "a wheel")
    assert isinstance(photo, Photo)
    mark = b"\xff\xda" if photo.kind == "jpeg" else b"IDAT"
    whole = path.read_bytes()
    assert photo.data[photo.data.index(mark) :] == whole[whole.index(mark) :]


def plain(data: bytes) -> bytes:
    photo = read_photo(data, "a", "x")
    assert isinstance(photo, Photo)
    return photo.data


@pytest.mark.parametrize(
    ("data", "fault"),
    [
        (b"", "kind"),
        (b"BM", "kind"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "kind"),
        (sized(100_000, 100_000), "large"),
        (sized(2**31, 1), "large"),
        (sized(0, 10), "broken"),
        (JPEG[:400], "broken"),
        (JPEG[: len(JPEG) // 2], "broken"),
        (JPEG[:-2], "broken"),
        (PNG[:-12], "broken"),
        (PNG[:200] + b"\0\0" + PNG[202:], "broken"),
    ],
)
def test_what_is_no_picture_for_a_page(data: bytes, fault: str) -> None:
    assert read_photo(data, "a", "x") == fault
    assert MOST_PIXELS < 100_000**2


@given(st.integers(2, len(JPEG) - 1), st.binary(min_size=1, max_size=8))
def test_no_bytes_whatever_raise(at: int, put: bytes) -> None:
    for data in (JPEG, PNG):
        read_photo(data[:at] + put + data[at + len(put) :], "a", "x")
        read_photo(data[:at], "a", "x")
