"""Every link of every page leads to a page that is there, and to a place that is on it."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urldefrag, urljoin

import pytest
from countwheel.preview import pages
from countwheel.preview.desk import Desk
from previewed import ROOT

TRIED = 8  # of the hundreds of facts that could be tried


class Read(HTMLParser):
    """The links, the ids and the labels of a page, and which of its ids are there twice."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if id := given.get("id"):
            self.ids.append(id)
        for name in ("href", "src"):
            if tag in ("a", "link", "script", "img") and (address := given.get(name)) is not None:
                self.links.append(address)


@pytest.mark.parametrize("name", ["penquay-harbour-office", "tarnholt-ropewalk", "vaubrune-gate"])
def test_every_link_leads_somewhere(name: str) -> None:
    desk = Desk(str(ROOT / "specs" / name / f"{name}.movement"))
    read: dict[str, Read] = {}
    todo = ["/k/", "/k/amiss", "/k/explain/M403"]
    wanted: set[tuple[str, str, str]] = set()
    while todo:
        address = todo.pop()
        if address in read or (address.startswith("/k/try?") and sum("try?" in one for one in read) >= TRIED):
            continue
        path, _, query = address.partition("?")
        kind, content = pages.page(desk, unquote(path.removeprefix("/k/")), query)
        read[address] = Read(content.decode() if kind == "html" else "")
        assert len(read[address].ids) == len(set(read[address].ids)), address
        for link in read[address].links:
            if link.startswith("tel:"):
                continue
            target, fragment = urldefrag(urljoin(f"http://here{address}", link))
            assert target.startswith("http://here/k/"), (address, link)
            wanted.add((address, target.removeprefix("http://here"), unquote(fragment)))
            todo.append(target.removeprefix("http://here"))
    lost = [one for one in wanted if one[2] and one[1] in read and one[2] not in read[one[1]].ids]
    assert not lost
    assert len(read) > 30
    # from the figures to their working, and from a part to its figures
    assert any(target.startswith("/k/figures/sheets-") and fragment for _, target, fragment in wanted)
    assert {Path(address).name for address in read} >= {"preview.css", "preview.js", "icon.svg"}


def test_the_text_is_shown_with_an_address_for_each_line() -> None:
    name = "penquay-harbour-office"
    desk = Desk(str(ROOT / "specs" / name / f"{name}.movement"))
    text, css, part = (
        pages.page(desk, *asked)[1].decode()
        for asked in (("text", ""), ("preview.css", ""), ("", "part=going.centre"))
    )
    assert 'class="movement-source"' in text
    assert ".movement-source" in css
    ids = Read(text).ids
    lines = [link.partition("#")[2] for link in Read(part).links if link.startswith("text#")]
    assert lines
    assert set(lines) <= set(ids)
    assert len(ids) == len(set(ids))
