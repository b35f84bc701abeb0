"""What is called a photograph and is none, or is one that would fill the memory: told in words, and the papers made."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import pytest
from countwheel.emit.photo import Photo, read_photo
from countwheel.emit.photo_trial import MOST_UNPACKED, looked_over, tried
from extreme_running import MOST_MEGABYTES, taken

SPECS = Path(__file__).parents[2] / "specs"
JPEG = (SPECS / "penquay-harbour-office/photos/great-wheel.jpg").read_bytes()
PNG = (SPECS / "penquay-harbour-office/photos/slabs.png").read_bytes()
HEAD = PNG[:8]


def chunk(name: bytes, body: bytes) -> bytes:
    """PNG, clause 5.3: length, name, content and their sum."""
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def png(width: int, height: int, data: bytes, *more: bytes, depth: int = 8, colour: int = 0) -> bytes:
    size = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0))
    return HEAD + size + b"".join(more) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def deflated(number: int) -> bytes:
    """So many zeros: a thousandth of them as packed (RFC 1951)."""
    packing = zlib.compressobj(9)
    made = [packing.compress(b"\0" * 1_000_000) for _ in range(number // 1_000_000)]
    return b"".join([*made, packing.flush()])


def many_frames(number: int) -> bytes:
    """PNG, third edition, clause 11.3.8: a picture that moves. All but the first lies in chunks of its own."""
    data = zlib.compress(b"\0" * 9)
    control = chunk(b"acTL", struct.pack(">II", number, 0))
    frames = [
        chunk(b"fcTL", struct.pack(">IIIIIHHBB", 2 * at, 8, 1, 0, 0, 1, 10, 0, 0))
        + chunk(b"fdAT", struct.pack(">I", 2 * at + 1) + data)
        for at in range(1, number)
    ]
    return png(8, 1, data, control)[:-12] + b"".join(frames) + chunk(b"IEND", b"")


def with_size(width: int, height: int) -> bytes:
    """The photograph, with another size in the head of its frame (ISO/IEC 10918-1, B.2.2)."""
    at = JPEG.index(b"\xff\xc0")
    return JPEG[: at + 5] + struct.pack(">HH", height, width) + JPEG[at + 9 :]


SVG = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><image href="file:///etc/passwd"/></svg>'
PICTURES: dict[str, tuple[bytes, str]] = {
    "claims to be huge": (png(2**31 - 1, 2**31 - 1, b""), "large"),
    "claims to be wide": (png(2**31 - 1, 1, b""), "large"),
    "a huge JPEG": (with_size(65535, 65535), "large"),
    "many bits a dot": (png(7000, 7000, zlib.compress(b""), depth=16, colour=6), "large"),
    "less in it than its size": (png(7000, 7000, zlib.compress(b"\0" * 9)), "broken"),
    "no packed data": (png(8, 8, b"not packed"), "broken"),
    "no size": (png(0, 8, zlib.compress(b"")), "broken"),
    "SVG": (SVG, "kind"),
    "HTML": (b"<!doctype html><script>alert(1)</script>", "kind"),
    "SVG behind the mark of a PNG": (HEAD + SVG, "broken"),
    "an animation of another kind": (b"GIF89a" + bytes(200), "kind"),
    "a program": (b"\x7fELF" + bytes(200), "kind"),
    "nothing": (b"", "kind"),
    "the mark alone": (HEAD, "broken"),
    "cut short": (PNG[: len(PNG) // 2], "broken"),
    "a JPEG cut short": (JPEG[: len(JPEG) // 2], "broken"),
    "a length beyond the end": (HEAD + struct.pack(">I", 2**31 - 1) + b"IHDR" + bytes(20), "broken"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_it_is_refused_with_the_reason(name: str) -> None:
    data, why = PICTURES[name]
    assert tried(read_photo(data, "a", "x")) == why


def test_of_many_frames_the_first_is_printed() -> None:
    photo = read_photo(many_frames(5000), "a", "x")
    assert isinstance(photo, Photo)
    assert len(photo.data) < 200
    assert b"fdAT" not in photo.data


def test_a_binder_with_all_of_them(tmp_path: Path) -> None:
    """The papers are made, each photograph that cannot be shown is told as such, and no memory is filled."""
    folder = tmp_path / "clock"
    folder.mkdir()
    lines = ['countwheel 1\nclock "Try"\n  place "Penquay"\n    latitude 50 °N\n']
    bomb = png(8, 8, deflated(200_000_000))  # what is beyond its own size is never unpacked
    whole = {"moving": many_frames(2000), "sound": PNG, "bomb": bomb} | {
        name: data for name, (data, _) in PICTURES.items()
    }
    for at, (name, data) in enumerate(whole.items()):
        (folder / f"{at}.png").write_bytes(data)
        lines.append(f'photo "{at}.png"\n  caption "{name}"\n')
    (folder / "clock.movement").write_text("".join(lines))
    done = taken("binder", "clock", "--to", "made", folder=tmp_path)
    assert done.code == 0, done.said
    assert done.megabytes < MOST_MEGABYTES
    pictures = sorted(path for path in (tmp_path / "made").rglob("*.png"))
    assert len(pictures) == 3
    assert all(
        b"alert" not in path.read_bytes()
        for path in (tmp_path / "made").rglob("*")
        if path.is_file() and path.suffix != ".js"
    )


def test_many_pictures_are_unpacked_up_to_a_limit() -> None:
    """Each of these is small as a file and takes a second to unpack; a paper with a thousand would take an hour."""
    side = 7000
    row = zlib.compress(b"\0" * (side + 1) * side, 1)
    files = [(f"{at}.png", "x", png(side, side, row)) for at in range(10)]
    shown = [one for one in looked_over(files).values() if isinstance(one, Photo)]
    assert len(shown) == MOST_UNPACKED // side**2
    assert len({*looked_over(files).values()} - {*shown}) == 1
