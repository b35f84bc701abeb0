"""Whether a photograph can be set on paper: the library that sets it is asked, before a whole paper hangs on it.

A file may be right in its head and its sums and yet hold no picture, or another one than it says.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from countwheel.emit.photo import Fault, Photo, read_photo

#: Dots of all PNG pictures of one paper together: each is unpacked to be set, which takes a second for fifty million.
MOST_UNPACKED = 300_000_000


def looked_over(files: Iterable[tuple[str, str, bytes | None]]) -> dict[str, Photo | Fault]:
    """Photographs by name, from their names, captions and contents (None where there is none), or why not shown."""
    found: dict[str, Photo | Fault] = {}
    left = MOST_UNPACKED
    for number, (name, caption, data) in enumerate(files, 1):
        one: Photo | Fault = "missing" if data is None else read_photo(data, f"photograph-{number}", caption)
        if isinstance(one, Photo) and one.kind == "png":
            left -= one.width * one.height
            one = one if left >= 0 else "large"
        found[name] = tried(one)
    return found


def tried(photo: Photo | Fault) -> Photo | Fault:
    """The photograph, or `broken` where the library cannot unpack it."""
    return photo if not isinstance(photo, Photo) or _can_be_set(photo) else "broken"


@lru_cache(maxsize=64)
def _can_be_set(photo: Photo) -> bool:
    import typst

    try:
        typst.compile(
            b'#set document(title: "photograph", date: none)\n'
            b'#image(bytes(sys.inputs.picture), format: "svg", width: 10mm, alt: "photograph")',
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs={"picture": photo.as_svg()},
            pdf_standards="ua-1",
        )
    except typst.TypstError:
        return False
    return True
