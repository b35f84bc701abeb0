"""The pages that explain each code: read from `pages/`, only when asked for.

A page is a short Markdown file, `pages/M123.md`:

    # M123 Its title, as in the registry

    What was found, in a sentence or two.

    ## At the clock

    What it means there, and what to do.

    ## Has it

    (a fenced block marked `movement`: a whole description that has this fault and no other)

    ## Mended

    (the same, mended)

Where one file of text cannot show the fault, `## Not shown` stands in place of
the last two and says why. In a block marked `movement signs` the signs ␉, ␇ and
their like stand for the characters that cannot be seen on paper.
"""

from __future__ import annotations

import re
from functools import cache
from textwrap import wrap
from typing import NamedTuple

from countwheel.diagnostics.registry import CODES

_SIGNS = {0x2400 + number: number for number in range(0x20) if number != 0x0A} | {0x2421: 0x7F}


class Page(NamedTuple):
    """A page, taken apart. `not_shown` says why there is no example; else it is empty."""

    text: str
    code: str
    title: str
    found: str
    meaning: str
    example: str
    mended: str
    not_shown: str

    def plain(self, width: int = 80) -> str:
        """The page for a terminal, wrapped to `width` columns; examples are never wrapped."""
        return _plain(self.text, max(width, 20))


def page(code: str) -> str:
    """The page of a code as written, in Markdown. Raises KeyError for an unknown code."""
    from importlib.resources import files

    name = CODES[code.upper()].code
    return files("countwheel.diagnostics").joinpath("pages", f"{name}.md").read_text(encoding="utf-8")


def explain(code: str, width: int = 80) -> str:
    """The page of a code as text for a terminal. Raises KeyError for an unknown code."""
    return read(code.upper()).plain(width)


@cache
def read(code: str) -> Page:
    """The page of a code, taken apart. Raises KeyError for an unknown code, ValueError for a page
    that is not written in the form above (a fault of ours: a test reads every page)."""
    text = page(code)
    parts = re.split(r"^(#{1,2}) (.+)\n", text, flags=re.MULTILINE)
    sections = {
        heading.strip(): body.strip("\n") for heading, body in zip(parts[2::3], parts[3::3], strict=True)
    }
    title = f"{code} {CODES[code].title}"
    if not text.startswith(f"# {title}\n"):
        raise ValueError(f"{code}: the page does not begin with '# {title}'")
    shown = {"Has it", "Mended"} if "Not shown" not in sections else {"Not shown"}
    if set(sections) != {title, "At the clock"} | shown:
        raise ValueError(f"{code}: the page has the sections {sorted(sections)}")
    return Page(
        text,
        code,
        CODES[code].title,
        sections[title],
        sections["At the clock"],
        _block(code, sections.get("Has it")),
        _block(code, sections.get("Mended")),
        sections.get("Not shown", ""),
    )


def _block(code: str, section: str | None) -> str:
    if section is None:
        return ""
    blocks = re.findall(r"^```movement( signs)?\n(.*?)^```$", section, flags=re.MULTILINE | re.DOTALL)
    if len(blocks) != 1:
        raise ValueError(f"{code}: one block marked 'movement' was looked for, {len(blocks)} found")
    signs, text = blocks[0]
    return str(text.translate(_SIGNS) if signs else text)


def _plain(text: str, width: int) -> str:
    """The few forms of Markdown that the pages use: headings, paragraphs, list items, fenced blocks."""
    out: list[str] = []
    paragraph: list[str] = []
    fenced = False

    def close() -> None:
        if paragraph:
            joined = " ".join(paragraph)
            indent = "  " if joined.startswith("- ") else ""
            out.extend(wrap(joined, width, subsequent_indent=indent, break_on_hyphens=False))
            paragraph.clear()

    for line in text.splitlines():
        if line.startswith("```"):
            close()
            fenced = not fenced
        elif fenced:
            out.append(f"    {line}".rstrip())
        elif heading := re.match(r"#+ (.+)", line):
            close()
            title = heading[1]
            out.extend([title, ("=" if line.startswith("# ") else "-") * len(title)])
        elif not line.strip():
            close()
            if out and out[-1]:
                out.append("")
        else:
            if line.startswith("- "):
                close()
            paragraph.append(line.strip())
    close()
    return "\n".join(out).rstrip("\n") + "\n"
