"""Who may ask: only a browser on this machine that was given the address, and only from a page of ours.

The key stands in the path of every address and nowhere else. A cookie would be sent to every other server on this
machine too, whatever its port, and along with requests that other pages make; a path is sent only by who knows it.
"""

from __future__ import annotations

import hmac
from collections.abc import Mapping
from typing import NamedTuple
from urllib.parse import unquote, urlsplit

LONGEST = 2000  # characters of an address
#: Places that no page has: led on to the first page, the one for good, the other once.
HOME, ONCE = "/home", "/once"
#: On every answer. Nothing may be run or fetched but what this server itself gives.
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


class Refused(Exception):
    """A request that is not answered: the status, and why in a sentence that gives nothing away."""

    def __init__(self, status: int, why: str) -> None:
        super().__init__(why)
        self.status, self.why = status, why


class Asked(NamedTuple):
    """A request that may be answered: its place below the key, without the first stroke, and its query."""

    place: str
    query: str


def hosts(port: int) -> frozenset[str]:
    """The names that this server goes by. A name of elsewhere that was made to lead here is none of them."""
    return frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})


def admit(
    method: str, target: str, headers: Mapping[str, str], *, port: int, key: str, once: str = ""
) -> Asked:
    """What is asked for, where it may be. Raises Refused.

    `headers` by their names in lower case. `once` is a second key, good for the first page alone.
    """
    host = headers.get("host", "").lower()
    if host not in hosts(port):
        raise Refused(403, "This server answers only to its own name and port.")
    origin = headers.get("origin")
    if origin is not None and origin.lower() != f"http://{host}":
        raise Refused(403, "Another page may not ask here.")
    if headers.get("sec-fetch-site", "none").lower() not in ("none", "same-origin"):
        raise Refused(403, "Another page may not ask here.")
    if len(target) > LONGEST:
        raise Refused(414, "The address is too long.")
    try:
        parts = urlsplit(target)
    except ValueError:
        raise Refused(404, "There is no such page.") from None
    given, stroke, place = parts.path.removeprefix("/").partition("/")
    spends = bool(once) and not stroke and same(given, once)
    if parts.netloc or not (spends or same(given, key)):
        raise Refused(403, "The address lacks the key that stands in the terminal.")
    if method not in ("GET", "HEAD"):
        raise Refused(405, "This server only shows; nothing can be sent to it.")
    if headers.get("content-length", "0").strip() != "0" or "transfer-encoding" in headers:
        raise Refused(413, "Nothing can be sent to this server.")
    if not stroke:
        return Asked(ONCE if spends else HOME, "")
    place = unquote(place)
    if any(step in ("..", ".", "") for step in place.split("/") if place) or "\\" in place or "\0" in place:
        raise Refused(404, "There is no such page.")
    return Asked(place, parts.query)


def same(given: str, key: str) -> bool:
    """Whether it is the key; takes as long for a nearly right one as for a wrong one."""
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), key.encode())
