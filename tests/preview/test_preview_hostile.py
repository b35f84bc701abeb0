"""Hostile texts in the preview's pages, in a real browser: they are texts, and nothing runs."""

from __future__ import annotations

from pathlib import Path

from hostile import ALL, clock_of
from previewed import HARBOUR, serving
from test_preview_browser import Browser, chromium, go, pytestmark

__all__ = ["chromium", "pytestmark"]  # a fixture, and when to skip

PLACES = ("", "amiss", "figures", "try", "drawings", "manual", "text")
ASKED = (
    "figures?find=%3Cimg%20src%3Dx%20onerror%3Dwindow.hit%3D1%3E",
    "try?path=%22%3E%3Cscript%3Ewindow.hit%3D1",
)


def test_no_text_runs_in_a_page(chromium: Browser, tmp_path: Path) -> None:
    with serving(tmp_path, HARBOUR) as served:
        served.file.write_text(clock_of(ALL), encoding="utf-8")
        served.desk.read()
        for place in (*PLACES, *ASKED):
            go(chromium, served, place)
            assert chromium.execute_script("return window.hit === undefined"), place
            made = chromium.execute_script(
                "return document.querySelectorAll('script:not([src]), iframe, object, embed, [onload], [onerror],"
                " [onmouseover]').length"
            )
            assert made == 0, place
            led = chromium.execute_script(
                "return [...document.links].map(one => one.protocol + '//' + one.host)"
            )
            assert set(led) <= {f"http://127.0.0.1:{served.server.port}"}, place
            if place in ("text", "manual"):
                said = " ".join(chromium.execute_script("return document.body.textContent").split())
                assert "<script>window.hit=1</script>" in said, place
