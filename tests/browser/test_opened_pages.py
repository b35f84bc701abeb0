"""The HTML papers in Chromium, opened as files: open to all, led somewhere, still, and readable without styles."""

from __future__ import annotations

from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote, urldefrag, urlparse

import pytest
from opened import Browser

pytest.importorskip("axe_core_python", reason="axe-core is not installed")

# What axe-core checks for the W3C's guidelines 2.1, levels A and AA, and for what is held good practice.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]
RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, {runOnly: arguments[0]}).then(done, fault => done({fault: String(fault)}));
"""


def axe() -> str:
    return files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")


def test_nothing_shuts_anybody_out(browser: Browser, pages: list[Path]) -> None:
    script, wrong, passed = axe(), [], set()
    # One page has the same few kinds of thing some hundred times, which takes a minute: the other demo's is looked at.
    for page in (page for page in pages if page.stat().st_size < 400_000):
        browser.open(page)
        browser.run(script)
        found = browser.wait_for(RUN, RULES)
        assert "fault" not in found, found
        passed |= {rule["id"] for rule in found["passes"]}
        wrong += [
            (page.name, rule["id"], rule["impact"], node["html"][:160])
            for rule in found["violations"]
            for node in rule["nodes"]
        ]
    assert wrong == []
    # it looked: some rule of each sort found what it looks for
    assert {"color-contrast", "heading-order", "image-alt", "link-name", "list", "region"} - passed <= {
        "image-alt"  # no photographs
    }


def test_axe_sees_what_is_wrong(browser: Browser, tmp_path: Path) -> None:
    page = tmp_path / "wrong.html"
    page.write_text("<html><title>x</title><h4>a</h4><img src='a.png'><a href='#'></a>", encoding="utf-8")
    browser.open(page)
    browser.run(axe())
    found = {rule["id"] for rule in browser.wait_for(RUN, RULES)["violations"]}
    assert {"html-has-lang", "image-alt", "link-name", "landmark-one-main"} <= found


def test_every_link_leads_somewhere_and_no_request_leaves_the_folder(
    browser: Browser, pages: list[Path]
) -> None:
    ids: dict[Path, set[str]] = {}
    links: list[tuple[Path, str]] = []
    for page in pages:
        browser.open(page)
        assert browser.run("return document.documentElement.lang") == "en-GB"
        ids[page] = set(browser.run("return [...document.querySelectorAll('[id]')].map(one => one.id)"))
        links += [(page, href) for href in browser.run("return [...document.links].map(one => one.href)")]
        # a picture that is not loaded has no size
        broken = "return [...document.images].filter(one => !one.naturalWidth).map(one => one.src)"
        assert browser.run(broken) == []
        home = page.parent.as_uri()
        asked = browser.requests()
        assert page.as_uri() in asked
        assert [url for url in asked if not url.startswith((home, "data:"))] == []
    assert len(links) > 500
    for page, href in links:
        url, anchor = urldefrag(href)
        target = Path(unquote(urlparse(url).path))
        assert target in ids, (page.name, href)
        assert not anchor or unquote(anchor) in ids[target], (page.name, href)


# Seen lines of text, without what is there to be heard alone.
SEEN = """
document.querySelectorAll('.aloud, .gap, .skip').forEach(one => one.remove());
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
const texts = [];
while (walker.nextNode()) {
  const text = walker.currentNode.data.trim();
  if (!text || walker.currentNode.parentElement.closest('svg, style')) continue;
  const range = document.createRange();
  range.selectNodeContents(walker.currentNode);
  const box = range.getBoundingClientRect();
  texts.push([text, box.width > 0 && box.height > 0]);
}
return texts;
"""
BARE = "document.querySelectorAll('style').forEach(one => one.remove()); return document.styleSheets.length"
OUTLINE = "return [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map(one => [+one.tagName[1], one.innerText])"


def test_without_styles_nothing_is_lost(browser: Browser, pages: list[Path]) -> None:
    for page in pages:
        browser.open(page)
        outline = browser.run(OUTLINE)
        styled = browser.run(SEEN)
        browser.open(page)
        assert browser.run(BARE) == 0
        # what says "room to write" is then read by all
        assert browser.run(
            "return [...document.querySelectorAll('.aloud, .gap')].every(one => one.offsetWidth > 0)"
        )
        levels = [level for level, _ in outline]
        assert levels[0] == 1
        assert all(after <= before + 1 for before, after in pairwise(levels)), page.name
        assert browser.run(OUTLINE) == outline
        markers = (
            "return [...new Set([...document.querySelectorAll('ol > li')].map("
            "one => getComputedStyle(one).listStyleType + getComputedStyle(one).display))]"
        )
        assert browser.run(markers) in ([], ["decimallist-item"])
        captions = "return [...document.querySelectorAll('caption')].every(one => one.offsetHeight > 0)"
        assert browser.run(captions)
        bare = browser.run(SEEN)
        assert [text for text, _ in bare] == [text for text, _ in styled]
        assert [text for text, seen in bare if not seen] == []
        assert [text for text, seen in styled if not seen] == []


TOPS = """
return [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map(one => one.getBoundingClientRect().top);
"""


def test_reading_order_is_the_order_on_the_page(browser: Browser, pages: list[Path]) -> None:
    for page in pages:
        for bare in (False, True):
            browser.open(page)
            if bare:
                browser.run(BARE)
            tops = browser.run(TOPS)
            assert tops == sorted(tops)
