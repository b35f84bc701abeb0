"""What a reader gets out of a printed page: helpers for the tests of the printers."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

from pypdf import PdfReader


@dataclass
class Page(HTMLParser):
    """An HTML page as a browser takes it: its elements with their attributes, its ids, its text."""

    elements: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)
    inside: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        self.inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.inside and self.inside.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if "style" not in self.inside:
            self.pieces.append(data)

    @property
    def text(self) -> str:
        return squeezed("".join(self.pieces))

    @property
    def ids(self) -> list[str]:
        return [attributes["id"] for _, attributes in self.elements if "id" in attributes]

    @property
    def tags(self) -> list[str]:
        return [tag for tag, _ in self.elements]


def read_page(html: str) -> Page:
    page = Page()
    page.feed(html)
    page.close()
    return page


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def read_pdf(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data))


def pdf_text(data: bytes) -> str:
    return squeezed(" ".join(page.extract_text() for page in read_pdf(data).pages))
