"""Who is let in: only who has the key, on this machine, from a page of ours; and nothing of the disk is handed out."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from previewed import Served, serving


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("guarded")) as found:
        yield found


def test_with_the_key_the_page_is_there(served: Served) -> None:
    assert served.ask().status == 200
    assert "Harbour Office clock" in served.ask().text
    assert served.ask(headers={"Host": f"localhost:{served.server.port}"}).status == 200
    assert served.ask(headers={"Sec-Fetch-Site": "same-origin"}).status == 200
    assert served.ask(headers={"Origin": f"http://127.0.0.1:{served.server.port}"}).status == 200


def test_the_key_is_long_and_never_the_same(served: Served, tmp_path: Path) -> None:
    with serving(tmp_path) as other:
        assert other.server.key != served.server.key
        assert len(other.server.key) >= 32


@pytest.mark.parametrize(
    "target",
    ["/", "/preview.css", "/events", "/wrong/", "/wrong/events", "/favicon.ico", "//", "/%2e%2e/", "*"],
)
def test_without_the_key_nothing_is_there(served: Served, target: str) -> None:
    answer = served.ask(target=target)
    assert answer.status == 403
    assert "Harbour" not in answer.text
    assert served.server.key not in answer.text


def test_nearly_the_key_is_not_the_key(served: Served) -> None:
    key = served.server.key
    for wrong in (key[:-1], key + "x", key.swapcase(), "%C3%A9" + key):
        assert served.ask(target=f"/{wrong}/").status == 403
    assert served.ask(target=f"/?key={key}").status == 403
    assert served.ask(target="/", headers={"Cookie": f"key={key}"}).status == 403


def test_no_cookie_is_set(served: Served) -> None:
    """Cookies go to every port of a host (RFC 6265, section 8.5): another server here would be sent the key."""
    assert "set-cookie" not in served.ask().headers


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "0.0.0.0:{port}", "evil.example:{port}", ""]
)
def test_another_name_is_refused(served: Served, host: str) -> None:
    """A name of elsewhere that is made to lead to this machine (DNS rebinding) stands in the Host header."""
    assert served.ask(headers={"Host": host.format(port=served.server.port)}).status == 403


@pytest.mark.parametrize(
    "origin", ["https://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1:{port}"]
)
def test_another_origin_is_refused(served: Served, origin: str) -> None:
    assert served.ask(headers={"Origin": origin.format(port=served.server.port)}).status == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none, none"])
def test_what_another_page_asks_for_is_refused(served: Served, site: str) -> None:
    for place in ("", "events", "try"):
        assert served.ask(place, headers={"Sec-Fetch-Site": site}).status == 403


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS"])
def test_nothing_can_be_sent(served: Served, method: str) -> None:
    answer = served.ask("try", method)
    assert answer.status == 405
    assert answer.headers["allow"] == "GET, HEAD"
    assert served.ask(method=method, target="/").status == 403


def test_a_body_is_refused_unread(served: Served) -> None:
    assert served.ask("try", headers={"Content-Length": "100000000000"}).status == 413
    assert served.ask("try", headers={"Transfer-Encoding": "chunked"}).status == 413
    assert served.ask("try", body=b"x").status == 413
    assert served.ask("try", "POST", headers={"Content-Length": "100000000000"}).status == 405


def test_an_address_has_a_longest(served: Served) -> None:
    assert served.ask("x" * 3000).status == 414
    assert served.ask("x" * 100_000).status in (414, 403)
    assert served.ask("?part=" + "x" * 1000).status == 200
    assert served.ask("try?" + "&".join(["fact=a"] * 30)).status == 404


@pytest.mark.parametrize(
    "place",
    [
        "nope", "../pyproject.toml", "..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd", "/etc/passwd",
        "manual/../amiss", "penquay-harbour-office.movement", "photos/slabs.png", "manual/nope", "manual/glance/x",
        "explain/M999", "try/x", "pages/base.html.j2", "base.html.j2", "preview.js/x", "preview.js%00", "..\\amiss",
        "explain/../explain/M403",
        "amiss/", "figures/..", "%", "%ff",
    ],
)  # fmt: skip
def test_only_its_own_places_are_there(served: Served, place: str) -> None:
    answer = served.ask(place)
    assert answer.status == 404
    assert len(answer.text) < 100


def test_what_goes_with_every_answer(served: Served) -> None:
    for answer in (served.ask(), served.ask("preview.js"), served.ask("nope"), served.ask(target="/")):
        policy = answer.headers["content-security-policy"]
        assert policy.startswith("default-src 'none';")
        assert "unsafe" not in policy
        assert "http" not in policy
        assert "frame-ancestors 'none'" in policy
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"
        assert "python" not in answer.headers.get("server", "").lower()


def test_pages_fetch_and_run_nothing_but_their_own(served: Served) -> None:
    import re

    for place in (
        "",
        "amiss",
        "figures",
        "figures/sheets-going",
        "try",
        "drawings",
        "manual",
        "manual/works",
    ):
        text = served.ask(place).text
        for address in re.findall(r"(?:src|href)=\"([^\"]*)\"", text):
            assert not re.match(r"(?:[a-z]+:|//)", address) or address.startswith("tel:"), address
        assert not re.search(r"<script(?![^>]* src=)|<style|\son\w+=|\sstyle=", text), place


def test_the_server_is_on_the_loopback_address_alone(served: Served) -> None:
    assert served.server.socket.getsockname()[0] == "127.0.0.1"
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    for address in others - {"127.0.0.1"}:
        with socket.socket() as line:
            line.settimeout(2)
            assert line.connect_ex((str(address), served.server.port)) != 0


def test_the_address_for_the_browser_is_good_once(served: Served) -> None:
    """A program's arguments can be read by others on the machine: what stands there must soon be worth nothing."""
    once = served.server.address_once().partition(str(served.server.port))[2]
    assert served.server.key not in once
    assert served.ask(target=f"{once}/amiss").status == 403
    assert served.ask(target=once, headers={"Sec-Fetch-Site": "cross-site"}).status == 403
    first = served.ask(target=once)
    assert (first.status, first.headers["location"]) == (303, f"/{served.server.key}/")
    assert served.ask(target=once).status == 403


def test_the_key_without_its_stroke_leads_on(served: Served) -> None:
    assert served.ask(target=f"/{served.server.key}").headers["location"] == f"/{served.server.key}/"


def test_head_is_answered_without_content(served: Served) -> None:
    answer = served.ask("amiss", "HEAD")
    assert (answer.status, answer.text) == (200, "")
    assert int(answer.headers["content-length"]) > 100


def test_a_line_that_says_nothing_right_is_cut_off(served: Served) -> None:
    for said in (
        b"GET\r\n\r\n",
        b"\x16\x03\x01\x00\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET / HTTP/1.1\r\n\r\n",
        "GET /é/ HTTP/1.1\r\nHost: é\r\n\r\n".encode(),
    ):
        with socket.create_connection(("127.0.0.1", served.server.port), timeout=20) as line:
            line.sendall(said)
            assert b"Harbour" not in line.recv(4000)
    assert served.ask().status == 200
