"""The preview in a real browser: Chromium, where there is one with its driver.

Accessibility is judged by the rules of axe-core (Deque, MPL-2.0), WCAG 2.1 A and AA with its best practices.
"""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

import pytest
from previewed import Served, serving

selenium = pytest.importorskip("selenium")
from selenium import webdriver  # noqa: E402
from selenium.webdriver.chrome.service import Service  # noqa: E402
from selenium.webdriver.common.by import By  # noqa: E402
from selenium.webdriver.common.keys import Keys  # noqa: E402
from selenium.webdriver.support.ui import WebDriverWait  # noqa: E402

CHROMIUM, DRIVER = shutil.which("chromium") or shutil.which("chromium-browser"), shutil.which("chromedriver")
pytestmark = pytest.mark.skipif(not (CHROMIUM and DRIVER), reason="there is no Chromium with its driver here")
PATIENCE = 30
Browser = webdriver.Chrome


def browser(folder: Path, *more: str) -> Browser:
    options = webdriver.ChromeOptions()
    options.binary_location = str(CHROMIUM)
    for flag in (
        "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
        "--disable-dev-shm-usage", f"--user-data-dir={folder}", *more,
    ):  # fmt: skip
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    found = webdriver.Chrome(options=options, service=Service(str(DRIVER)))
    found.set_window_size(1300, 900)
    return found


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    found = browser(tmp_path_factory.mktemp("profile"))
    yield found
    found.quit()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    with serving(tmp_path) as found:
        yield found


def go(chromium: Browser, served: Served, place: str = "") -> None:
    chromium.get(f"{served.server.address}{place}")


def wait(chromium: Browser, true: Callable[[Browser], Any]) -> Any:
    return WebDriverWait(chromium, PATIENCE).until(true)


def text(chromium: Browser, where: str) -> str:
    return str(
        chromium.execute_script("return document.querySelector(arguments[0])?.textContent ?? ''", where)
    )


def angle(chromium: Browser, arbor: str) -> str:
    script = "return document.querySelector(`g.turns[data-path='${arguments[0]}']`).getAttribute('transform')"
    return str(chromium.execute_script(script, arbor))


def seconds(chromium: Browser, train: str = "turning-going") -> float:
    """How far a train has run, in seconds of the clock."""
    return float(chromium.execute_script("return trains.get(arguments[0]).seconds", train))


def no_complaints(chromium: Browser) -> None:
    """Nothing was refused by the page's own policy, and no script failed."""
    told = [entry["message"] for entry in chromium.get_log("browser") if entry["level"] == "SEVERE"]
    assert not told


def test_saving_the_file_changes_the_page_and_keeps_the_place(chromium: Browser, served: Served) -> None:
    go(chromium, served, "?part=going.third")
    chromium.execute_script("window.scrollTo(0, 700); document.body.dataset.sign = 'kept'")
    before = chromium.execute_script("return scrollY")
    assert before > 0
    chromium.execute_script("trains.get('turning-going').factor = 600")
    run = seconds(chromium)
    served.change("      72     ", "      75     ")
    wait(chromium, lambda _: "wheel: 75 teeth" in text(chromium, "#turning-going + .wide"))
    wait(chromium, lambda _: "Brought up to date" in text(chromium, "#state"))
    # the same page: not loaded anew, the part still chosen, the train running on
    assert chromium.execute_script("return document.body.dataset.sign") == "kept"
    assert "third arbor" in text(chromium, "#part-title")
    assert "75" in text(chromium, "#part .stated")
    assert (
        chromium.execute_script("return document.querySelector('svg a[aria-current]').dataset.part")
        == "going.third"
    )
    assert seconds(chromium) > run
    # the fault that it brings is on top; what was at the top of the window is there still
    assert "M501" in text(chromium, ".on-top")
    assert chromium.execute_script("return scrollY") > before
    no_complaints(chromium)


def test_open_groups_a_search_and_the_scroll_are_kept(chromium: Browser, served: Served) -> None:
    go(chromium, served, "figures")
    chromium.execute_script(
        "const [one, two] = document.querySelectorAll('details'); one.open = false; two.open = true"
    )
    row = "tr[data-id^='pendulum.']:nth-child(9)"
    chromium.execute_script("document.querySelector(arguments[0]).scrollIntoView()", row)
    top = "return document.querySelector(arguments[0]).getBoundingClientRect().top"
    before = chromium.execute_script(top, row)
    served.change("jack 12 drives 96", "jack 12 drives 90")
    wait(
        chromium,
        lambda _: chromium.execute_script("return document.getElementById('page').dataset.version") == "2",
    )
    wait(chromium, lambda _: "Brought up to date" in text(chromium, "#state"))
    opened = chromium.execute_script(
        "return [...document.querySelectorAll('details')].map((one) => one.open)"
    )
    assert opened[:2] == [False, True]
    assert abs(chromium.execute_script(top, row) - before) < 3
    box = chromium.find_element(By.ID, "find")
    box.send_keys("winding")
    wait(chromium, lambda _: "found" in text(chromium, "#found"))
    served.change("jack 12 drives 90", "jack 12 drives 84")
    wait(
        chromium,
        lambda _: chromium.execute_script("return document.getElementById('page').dataset.version") == "3",
    )
    wait(chromium, lambda _: chromium.find_element(By.ID, "find").get_attribute("value") == "winding")
    assert chromium.switch_to.active_element.get_attribute("id") == "find"


def test_a_wheel_is_clicked_and_reached_with_the_keyboard(chromium: Browser, served: Served) -> None:
    go(chromium, served)
    badge = chromium.find_element(By.CSS_SELECTOR, "#turning-going a[data-part='going.third'] .number text")
    badge.click()
    wait(chromium, lambda _: text(chromium, "#part-title") == "Going train: third arbor")
    told = text(chromium, "#part")
    assert "Counted, 19 September 2025, by KT." in " ".join(told.split())
    assert "penquay-harbour-office.movement, line 119" in told
    assert "8 turns/h" in told
    assert chromium.current_url.endswith("?part=going.third#part")
    first = chromium.find_element(By.CSS_SELECTOR, "#turning-going a[data-part='going.barrel']")
    chromium.execute_script("arguments[0].focus()", first)
    chromium.switch_to.active_element.send_keys(Keys.ENTER)
    wait(chromium, lambda _: text(chromium, "#part-title") == "Going train: barrel arbor")
    no_complaints(chromium)


def test_the_slider_shows_what_changes_and_leaves_the_file_alone(chromium: Browser, served: Served) -> None:
    kept = served.file.read_bytes()
    go(chromium, served, "try?fact=going.barrel.weight")
    assert "No figure changes" in text(chromium, "#outcome")
    slide = chromium.find_element(By.ID, "slide-1")
    assert float(str(slide.get_attribute("value"))) == 312
    for _ in range(3):
        slide.send_keys(Keys.ARROW_RIGHT)
    wait(chromium, lambda _: "Pull in the line at rest" in text(chromium, "#outcome"))
    number = float(str(chromium.find_element(By.ID, "number-1").get_attribute("value")))
    assert number > 312
    assert chromium.switch_to.active_element.get_attribute("id") == "slide-1"
    cells = [
        cell.text for cell in chromium.find_elements(By.CSS_SELECTOR, "tr[data-id='going.line.load'] > *")
    ]
    assert cells[1].startswith("707.8")
    assert cells[3].startswith("+")
    served.change("jack 12 drives 96", "jack 12 drives 90")
    wait(
        chromium,
        lambda _: chromium.execute_script("return document.getElementById('page').dataset.version") == "2",
    )
    assert float(str(chromium.find_element(By.ID, "number-1").get_attribute("value"))) == number
    assert "Pull in the line at rest" in text(chromium, "#outcome")
    served.change("jack 12 drives 90", "jack 12 drives 96")
    assert served.file.read_bytes() == kept
    no_complaints(chromium)


def test_it_turns_can_be_stopped_and_strikes_only_when_asked(chromium: Browser, served: Served) -> None:
    go(chromium, served)
    start = angle(chromium, "going.escape")
    wait(chromium, lambda _: angle(chromium, "going.escape") != start)
    go_button = chromium.find_element(By.CSS_SELECTOR, "[data-train='turning-going'] .go")
    assert go_button.text == "Pause"
    go_button.click()
    assert go_button.text == "Turn"
    held = seconds(chromium)
    chromium.execute_async_script("setTimeout(arguments[0], 300)")
    assert seconds(chromium) == held
    assert seconds(chromium, "turning-strike") == 0
    strike = chromium.find_element(By.CSS_SELECTOR, "[data-train='turning-strike'] .go")
    assert strike.text == "Let it run"
    strike.click()
    wait(chromium, lambda _: seconds(chromium, "turning-strike") > 0)
    assert seconds(chromium) == held


def test_two_that_mesh_stay_in_mesh_while_they_turn(chromium: Browser, served: Served) -> None:
    """Read from the page at one moment: the angles are those of the counts, each the other way."""
    go(chromium, served)
    wait(chromium, lambda _: seconds(chromium) > 5)
    chromium.find_element(By.CSS_SELECTOR, "[data-train='turning-going'] .go").click()
    run = seconds(chromium)
    for arbor, turns_an_hour in (("barrel", 12 / 144), ("centre", -1), ("third", 8), ("escape", -48)):
        shown = float(angle(chromium, f"going.{arbor}").removeprefix("rotate(").removesuffix(")"))
        expected = run * turns_an_hour / 3600 * 360
        assert (shown - expected + 180) % 360 - 180 == pytest.approx(0, abs=0.01)


def test_those_who_ask_for_less_motion_see_it_still(tmp_path: Path, served: Served) -> None:
    calm = browser(tmp_path / "calm", "--force-prefers-reduced-motion")
    try:
        go(calm, served)
        calm.execute_async_script("setTimeout(arguments[0], 300)")
        assert seconds(calm) == 0
        button = calm.find_element(By.CSS_SELECTOR, "[data-train='turning-going'] .go")
        assert button.text == "Turn"
        button.click()
        wait(calm, lambda _: seconds(calm) > 0)
    finally:
        calm.quit()


def test_another_page_and_a_wrong_key_get_nothing(chromium: Browser, served: Served) -> None:
    """A page on another port asks with the key itself: by script, as a picture, in a frame and as a form."""

    class Elsewhere(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(f"<iframe src='{served.server.address}'></iframe><p id=told>".encode())

        def log_message(self, format: str, *args: object) -> None: ...

    elsewhere = HTTPServer(("127.0.0.1", 0), Elsewhere)
    threading.Thread(target=elsewhere.serve_forever, daemon=True).start()
    try:
        chromium.get(f"http://127.0.0.1:{elsewhere.server_port}/")
        asked = """
            const done = arguments[1];
            const tell = (mode) => fetch(arguments[0], { mode }).then((a) => a.text()).catch(() => "refused");
            Promise.all([tell("cors"), tell("no-cors")]).then(done);
        """
        assert chromium.execute_async_script(asked, served.server.address) == ["refused", "refused"]
        pictured = """
            const done = arguments[1], one = new Image();
            one.onload = () => done("loaded"); one.onerror = () => done("refused"); one.src = arguments[0];
        """
        assert chromium.execute_async_script(pictured, f"{served.server.address}icon.svg") == "refused"
        assert not chromium.execute_script(
            "try { return frames[0].document.body.textContent } catch { return '' }"
        )
    finally:
        elsewhere.shutdown()
        elsewhere.server_close()
    chromium.get(f"http://127.0.0.1:{served.server.port}/wrong/")
    assert "lacks the key" in chromium.find_element(By.TAG_NAME, "body").text
    go(chromium, served)
    assert chromium.title.startswith("Trains")
    chromium.get_log("browser")


def test_the_end_of_the_server_is_told(chromium: Browser, served: Served) -> None:
    go(chromium, served)
    wait(chromium, lambda _: chromium.execute_script("return events?.readyState === 1"))
    served.watch.stop()
    served.server.close()
    wait(chromium, lambda _: "has ended" in text(chromium, "#state"))
    chromium.get_log("browser")


AXE = """
    const done = arguments[0];
    axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"] })
       .then((found) => done(found.violations.map((one) => `${one.id}: ${one.nodes[0].html}`)));
"""


@pytest.mark.parametrize(
    "place",
    ["", "?part=going.barrel", "amiss", "explain/M403", "figures", "figures/sheets-going", "drawings", "manual", "text",
     "manual/glance", "manual/counts", "try", "try?fact=going.barrel.weight&value=400&fact=pendulum.length"],
)  # fmt: skip
def test_every_page_passes_axe(chromium: Browser, served: Served, place: str) -> None:
    rules = pytest.importorskip("axe_core_python")
    if place == "amiss":
        served.change("      72     ", "      75     ")
        wait(chromium, lambda _: served.desk.version == 2)
    go(chromium, served, place)
    chromium.execute_script((Path(rules.__file__).parent / "axe.min.js").read_text(encoding="utf-8"))
    assert chromium.execute_async_script(AXE) == []
    no_complaints(chromium)


@pytest.mark.parametrize(
    "place", ["?part=going.third", "amiss", "figures", "drawings", "manual/works", "try?fact=pendulum.length"]
)
def test_at_400_per_cent_nothing_must_be_scrolled_sideways(
    chromium: Browser, served: Served, place: str
) -> None:
    """WCAG 2.1, 1.4.10 Reflow: 320 px wide, which is 1280 at 400 %; wide tables scroll in a box of their own."""
    chromium.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 320, "height": 600, "deviceScaleFactor": 1, "mobile": False},
    )
    try:
        go(chromium, served, place)
        fits = "const { scrollWidth: wide, clientWidth: seen } = document.documentElement;"
        fits += "return wide <= seen && seen <= 320"
        # On a busy machine a page counts as loaded while it is still being laid out.
        wait(chromium, lambda page: page.execute_script(fits))
    finally:
        chromium.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
