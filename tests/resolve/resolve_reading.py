"""Short descriptions, compiled, and what the tests ask of them."""

from __future__ import annotations

from countwheel.api import Result, check_text
from countwheel.model.clock import Clock
from countwheel.model.node import Node

HEAD = 'countwheel 1\nclock "Try"\n  place "Nowhere"\n    latitude 50 °N\n'


def compiled(text: str) -> Result:
    """A description with the lines that every one has put before it."""
    return check_text(HEAD + text, "try.movement")


def clock_of(text: str) -> Clock:
    clock = compiled(text).clock
    assert clock is not None
    return clock


def fact(text: str, path: str) -> Node:
    """The one fact that has that path."""
    found = [node for node in clock_of(text).root.walk() if node.path == path]
    assert len(found) == 1, [node.path for node in clock_of(text).root.walk()]
    return found[0]


def codes(text: str) -> list[str]:
    """The codes of all that is amiss but for facts that are wanted or waited for."""
    return [one.code for one in compiled(text).diagnostics if one.code not in ("M210", "M604")]


def told(text: str) -> list[tuple[str, str]]:
    """(code, underlined text), as `codes`."""
    result = compiled(text)
    source = result.sources["try.movement"].text
    return [
        (one.code, source[one.span.start : one.span.end])
        for one in result.diagnostics
        if one.code not in ("M210", "M604")
    ]
