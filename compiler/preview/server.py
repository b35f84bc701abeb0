"""The server: hands pages to the browser of this machine and says when they changed. Nothing comes from the disk."""

from __future__ import annotations

import secrets
import sys
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import ClassVar

from countwheel.preview import pages
from countwheel.preview.desk import Desk
from countwheel.preview.guard import HEADERS, HOME, ONCE, Refused, admit

LOOPBACK = "127.0.0.1"
MOST_LISTENERS = 16  # pages that are told of changes at the same time
_BEAT = 10.0  # seconds between signs of life to a page that waits


class Server(ThreadingHTTPServer):
    """Serves one desk on the loopback address; the port 0 takes any that is free. Raises OSError where it is taken."""

    daemon_threads = True
    block_on_close = False
    allow_reuse_address = True

    def __init__(self, desk: Desk, port: int = 0) -> None:
        super().__init__((LOOPBACK, port), Handler)
        self.desk = desk
        self.key = secrets.token_urlsafe(24)
        self.once = ""
        self.listeners = threading.BoundedSemaphore(MOST_LISTENERS)
        self._once_lock = threading.Lock()

    @property
    def port(self) -> int:
        return int(self.server_address[1])

    @property
    def address(self) -> str:
        return f"http://{LOOPBACK}:{self.port}/{self.key}/"

    def address_once(self) -> str:
        """An address that leads to the first page once: a browser is started with it, where others can read that."""
        self.once = secrets.token_urlsafe(24)
        return f"http://{LOOPBACK}:{self.port}/{self.once}"

    def spend_once(self) -> bool:
        with self._once_lock:
            good, self.once = bool(self.once), ""
            return good

    def handle_error(self, request: object, client_address: object) -> None:
        """A browser that went away is nothing to tell; anything else is told in a line."""
        fault = sys.exc_info()[1]
        if not isinstance(fault, OSError):
            sys.stderr.write(f"countwheel: a page could not be handed out: {fault!r}\n")

    def close(self) -> None:
        self.desk.end()
        self.shutdown()
        self.server_close()


class Handler(BaseHTTPRequestHandler):
    server: Server
    timeout = 60
    protocol_version = "HTTP/1.1"
    server_version = "countwheel"
    sys_version = ""
    error_content_type = "text/plain; charset=utf-8"
    error_message_format = "%(code)d\n"
    _KINDS: ClassVar[dict[str, str]] = {
        "html": "text/html; charset=utf-8",
        "css": "text/css; charset=utf-8",
        "js": "text/javascript; charset=utf-8",
        "svg": "image/svg+xml",
        "text": "text/plain; charset=utf-8",
    }

    def do_GET(self) -> None:
        try:
            # What is given twice is neither of the two, and so refused.
            headers = {name.lower(): ", ".join(self.headers.get_all(name, [])) for name in set(self.headers)}
            server = self.server
            asked = admit(
                self.command, self.path, headers, port=server.port, key=server.key, once=server.once
            )
            if asked.place in (HOME, ONCE):
                if asked.place == ONCE and not server.spend_once():
                    raise Refused(403, "This address was good for one time.")
                self._answer(303, "text", b"", {"Location": f"/{server.key}/"})
            elif asked.place == "events":
                self._events()
            else:
                kind, content = self._page(asked.place, asked.query)
                self._answer(200, kind, content)
        except Refused as refused:
            # What came with a refused request is not read: the connection ends with it.
            self.close_connection = True
            more = {"Allow": "GET, HEAD"} if refused.status == 405 else {}
            self._answer(refused.status, "text", f"{refused.why}\n".encode(), more | {"Connection": "close"})

    do_HEAD = do_POST = do_PUT = do_DELETE = do_PATCH = do_OPTIONS = do_GET

    def _page(self, place: str, query: str) -> tuple[str, bytes]:
        try:
            return pages.page(self.server.desk, place, query)
        except Refused:
            raise
        except Exception as fault:  # one page that cannot be made must not end the others
            sys.stderr.write(f"countwheel: {place or 'the first page'} could not be made: {fault!r}\n")
            raise Refused(500, "This page could not be made; the terminal says why.") from None

    def _answer(self, status: int, kind: str, content: bytes, more: dict[str, str] | None = None) -> None:
        self.send_response(status)
        headers = {"Content-Type": self._KINDS[kind], "Content-Length": str(len(content))}
        for name, value in (headers | (more or {})).items():
            self.send_header(name, value)
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    def end_headers(self) -> None:
        """What goes with every answer, those of the library too (to a line that it cannot read)."""
        for name, value in HEADERS.items():
            self.send_header(name, value)
        super().end_headers()

    def _events(self) -> None:
        """Tells the version at once and each new one, until the page goes away (Server-Sent Events, WHATWG HTML)."""
        if not self.server.listeners.acquire(blocking=False):
            raise Refused(503, "Too many pages are open.")
        try:
            self.close_connection = True
            self.send_response(200)
            self.send_header("Content-Type", "text/event-stream")
            self.send_header("Connection", "close")
            self.end_headers()
            if self.command == "HEAD":
                return
            desk, told = self.server.desk, 0
            while not desk.ended:
                version = desk.wait(told, _BEAT)
                line = f"event: version\ndata: {version}\n\n" if version != told else ": still here\n\n"
                told = version
                self.wfile.write(line.encode())
                self.wfile.flush()
        except OSError:
            pass  # the page was closed
        finally:
            self.server.listeners.release()

    def log_message(self, format: str, *args: object) -> None:
        """Nothing is logged: addresses hold the key."""
