"""Texts of a keeper that could pass for markup: in a browser they are texts, and nothing runs."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel import api
from opened import Browser, Write

ODD = (
    "<script>window.hit=1</script><img src=x onerror='window.hit=1'> & #let \\u{41} $a$ {{ 7*7 }} 'q' שלום 🔔"
)
LONG = "W" * 300


@pytest.fixture(scope="module")
def hostile(written: Write, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "try.movement").write_text(
        f'''countwheel 1

clock "{ODD}"
  place "{ODD}"
  owner "{ODD}"
  keeper "{LONG}"
  history """
    {ODD}

    [press](javascript:window.hit=1) <svg onload=window.hit=1>
    """

train going
  arbor barrel
    wheel great 96
    remark "{ODD}"
  arbor escape
    pinion 8
    escape wheel 30

contact "{ODD}"
  telephone "{ODD}"

log
  2026-05-02 note "{ODD}" by "{ODD}"
''',
        encoding="utf-8",
    )
    result = api.compile_file(folder / "try.movement")
    assert result.clock is not None
    assert result.clock.name == ODD
    return written(result, "hostile-pages")


def test_nothing_runs(browser: Browser, hostile: list[Path]) -> None:
    for page in hostile:
        browser.open(page)
        assert browser.run("return window.hit === undefined"), page.name
        assert browser.run("return document.querySelectorAll('script, iframe, object, embed').length") == 0
        assert browser.run("return [...document.links].every(one => one.protocol === 'file:')")
        home = page.parent.as_uri()
        assert [url for url in browser.requests() if not url.startswith((home, "data:"))] == []


def test_the_text_is_seen_as_it_was_written(browser: Browser, hostile: list[Path]) -> None:
    for page in hostile:
        browser.open(page)
        seen = " ".join(browser.run("return document.body.textContent").split())
        assert ODD in seen, page.name


def test_a_long_word_stays_on_the_page(browser: Browser, hostile: list[Path]) -> None:
    for page in hostile:
        browser.open(page)
        wide = browser.run("return [document.documentElement.scrollWidth, window.innerWidth]")
        assert wide[0] <= wide[1], page.name
