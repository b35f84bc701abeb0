"""A page opened in a browser."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from countwheel.api import Result

Write = Callable[[Result, str], list[Path]]


class Browser:
    """Chromium on one page at a time, with all that the page asked the world for."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver

    def open(self, page: Path) -> None:
        self.driver.get_log("performance")  # what came before is not this page's
        self.driver.get(page.as_uri())

    def run(self, script: str, *arguments: object) -> Any:
        return self.driver.execute_script(script, *arguments)

    def wait_for(self, script: str, *arguments: object) -> Any:
        return self.driver.execute_async_script(script, *arguments)

    def requests(self) -> list[str]:
        told = (json.loads(entry["message"])["message"] for entry in self.driver.get_log("performance"))
        sent = (one["params"] for one in told if one["method"] == "Network.requestWillBeSent")
        # the browser's own first page is no page of ours
        return [one["request"]["url"] for one in sent if not one["documentURL"].startswith("chrome:")]
