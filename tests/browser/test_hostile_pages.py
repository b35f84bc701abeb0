"""Texts of a keeper that could pass for markup: in a browser they are texts, and nothing runs."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel import api, outputs
from countwheel.highlight.page import source_html
from hostile import ALL, MARK, clock_of
from opened import Browser, Write

MADE = "script, iframe, object, embed, form, base, link[rel=stylesheet][href^=http], [onload], [onerror], [onmouseover]"


@pytest.fixture(scope="module")
def hostile(written: Write, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("hostile")
    path = folder / "try.movement"
    path.write_text(clock_of(ALL), encoding="utf-8")
    result = api.compile_file(path)
    assert result.clock is not None
    assert result.clock.name == f"{MARK} {ALL}"
    pages = written(result, "hostile-pages")
    for name, content in outputs.everything(result).items():
        if name.endswith((".html", ".svg")):
            place = folder / name
            place.parent.mkdir(exist_ok=True)
            place.write_bytes(content)
            pages.append(place)
    (folder / "text.html").write_text(source_html(path.read_text(encoding="utf-8")), encoding="utf-8")
    assert len(pages) > 15
    return [*pages, folder / "text.html"]


def test_nothing_runs(browser: Browser, hostile: list[Path]) -> None:
    for page in hostile:
        browser.open(page)
        assert browser.run("return window.hit === undefined"), page.name
        assert browser.run("return document.querySelectorAll(arguments[0]).length", MADE) == 0, page.name
        assert browser.run("return [...(document.links ?? [])].every(one => one.protocol === 'file:')")
        home = page.parent.as_uri()
        assert [url for url in browser.requests() if not url.startswith((home, "data:"))] == []


def test_the_text_is_seen_as_it_was_written(browser: Browser, hostile: list[Path]) -> None:
    seen = 0
    for page in hostile:
        if page.suffix == ".html":
            browser.open(page)
            seen += " ".join(ALL.split()) in " ".join(browser.run("return document.body.textContent").split())
    assert seen > 10


def test_a_long_word_stays_on_the_page(browser: Browser, hostile: list[Path]) -> None:
    for page in hostile:
        if page.suffix == ".svg" or page.name == "text.html":
            continue  # a drawing has the size it has; the text of a description is moved sideways
        browser.open(page)
        wide = browser.run("return [document.documentElement.scrollWidth, window.innerWidth]")
        assert wide[0] <= wide[1], page.name
