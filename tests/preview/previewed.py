"""A description that is served to the tests of the preview: its folder, its server, asking it as a browser does."""

from __future__ import annotations

import http.client
import shutil
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from countwheel.files import Folder
from countwheel.preview.desk import Desk
from countwheel.preview.server import Server
from countwheel.preview.watch import Watch

ROOT = Path(__file__).parents[2]
HARBOUR = ROOT / "specs" / "penquay-harbour-office"
CLOCKS = [path for path in sorted((ROOT / "specs").glob("*/*.movement")) if path.stem == path.parent.name]
CLOCKS += sorted((ROOT / "tests" / "outside" / "clocks").glob("*.movement"))


class Answer(NamedTuple):
    status: int
    headers: dict[str, str]
    text: str


class Served(NamedTuple):
    """A server at work on the description `file`."""

    file: Path
    desk: Desk
    server: Server
    watch: Watch

    def ask(
        self,
        place: str = "",
        method: str = "GET",
        headers: Mapping[str, str] | None = None,
        body: bytes | None = None,
        *,
        target: str | None = None,
    ) -> Answer:
        """What comes back for a place below the key, or for a whole `target`."""
        line = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        try:
            line.putrequest(
                method, f"/{self.server.key}/{place}" if target is None else target, skip_host=True
            )
            sent = {"Host": f"127.0.0.1:{self.server.port}"} | dict(headers or {})
            if body is not None:
                sent.setdefault("Content-Length", str(len(body)))
            for name, value in sent.items():
                line.putheader(name, value)
            line.endheaders(body)
            answer = line.getresponse()
            return Answer(
                answer.status, {n.lower(): v for n, v in answer.getheaders()}, answer.read().decode()
            )
        finally:
            line.close()

    def change(self, old: str, new: str, name: str = "") -> None:
        """Writes the description with a piece of its text changed, as an editor saves it."""
        path = self.file.parent / name if name else self.file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), encoding="utf-8")


@contextmanager
def serving(folder: Path, spec: Path = HARBOUR) -> Iterator[Served]:
    """Serves a copy of the folder of a demo clock that lies in `folder`."""
    target = folder / spec.name
    shutil.copytree(spec, target)
    file = target / f"{spec.name}.movement"
    desk = Desk(str(file))
    server = Server(desk)
    watch = Watch(Folder(target), desk.watched, desk.read)
    threads = [
        threading.Thread(target=run, daemon=True)
        for run in (watch.run, lambda: server.serve_forever(poll_interval=0.05))
    ]
    for thread in threads:
        thread.start()
    try:
        yield Served(file, desk, server, watch)
    finally:
        watch.stop()
        server.close()
        for thread in threads:
            thread.join(20)
