"""A real browser, and the papers as they lie on a memory stick: opened as files, with nothing behind them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from countwheel import api, outputs
from countwheel.emit.html import print_binder, print_html
from opened import Browser, Write

SPECS = Path(__file__).parents[2] / "specs"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
DRIVER = shutil.which("chromedriver")


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    webdriver = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
    if CHROMIUM is None or DRIVER is None:
        pytest.skip("there is no Chromium with its driver on this machine")
    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    own = tmp_path_factory.mktemp("profile")
    for argument in (
        *("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"),
        f"--user-data-dir={own}",
    ):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(DRIVER))
    driver.set_script_timeout(120)
    try:
        yield Browser(driver)
    finally:
        driver.quit()


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Write:
    """Writes the manual by itself and the binder with all names in it; gives their pages, the manual first."""

    def write(result: api.Result, name: str) -> list[Path]:
        folder = tmp_path_factory.mktemp(name)
        drawn = outputs.drawings(result)
        missing = api.gaps(result)
        bound = outputs.binder(result, contacts=True, ready=(drawn, missing))
        manual = outputs.manual(result, (), missing)
        (folder / "manual.html").write_text(print_html(manual), encoding="utf-8")
        for file, content in print_binder(bound).items():
            place = folder / "binder" / file
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        return [folder / "manual.html", *sorted((folder / "binder").glob("*.html"))]

    return write


@pytest.fixture(scope="session", params=["penquay-harbour-office", "tarnholt-ropewalk"])
def pages(request: pytest.FixtureRequest, written: Write) -> list[Path]:
    """Two demos: one with everything, photographs and chimes too, and one of which half is lost."""
    return written(api.compile_file(SPECS / request.param), request.param)
