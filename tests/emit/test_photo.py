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
