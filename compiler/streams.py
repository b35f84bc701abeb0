"""What a command prints, made harmless on its way: no text of a description, a file name or git gives orders to a
terminal.

Texts for people are made so wherever they go, JSON by its own escapes, which change nothing of what it says. What is
data (CSV, the log's lines, a description put in order, facts for git) goes into a file or a pipe as it is, and only to
a terminal harmless.
"""

from __future__ import annotations

import re
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

# What is looked at: anything but printable ASCII, line ends, and the letters and signs up to where marks begin.
_ODD = re.compile("[^\n -~\u00a0-\u00ac\u00ae-\u02ff\u2010-\u2027\u2030-\u203a\u2070-\u2bff]")


def harmless_lines(text: str) -> str:
    """The text as `harmless` makes it, its line ends kept."""
    return _ODD.sub(_seen, text)


def escaped(text: str) -> str:
    """JSON text without a character that a terminal might obey: each stands as its escape (RFC 8259, section 7)."""
    return _ODD.sub(_escape, text)


def _seen(found: re.Match[str]) -> str:
    from countwheel.diagnostics.cells import harmless

    return harmless(found[0])


def _escape(found: re.Match[str]) -> str:
    if _seen(found) == found[0]:
        return found[0]
    units = found[0].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at]:02x}{units[at + 1]:02x}" for at in range(0, len(units), 2))


class Harmless:
    """A stream that prints through `way`; all else is the stream's own. It has no `buffer` to go past it by."""

    def __init__(self, stream: Any, way: Callable[[str], str]) -> None:
        self._stream, self._way = stream, way

    def write(self, text: str) -> int:
        self._stream.write(self._way(text))
        return len(text)

    def writelines(self, lines: Iterator[str]) -> None:
        for line in lines:
            self.write(line)

    def paint(self, text: str) -> None:
        """Prints what is harmless already but for our own colours."""
        self._stream.write(text)

    def __getattr__(self, name: str) -> Any:
        if name == "buffer":
            raise AttributeError(name)
        return getattr(self._stream, name)


def paint(stream: Any, text: str) -> None:
    """Prints text that was made harmless, with our own colours in it."""
    getattr(stream, "paint", stream.write)(text)


@contextmanager
def harmless_streams(options: Namespace | None) -> Iterator[None]:
    """Lets the standard streams be harmless while a command runs; without `options`, for what is said of a call."""
    out, err = sys.stdout, sys.stderr
    way = _way(options, out.isatty()) if options is not None else harmless_lines
    if way is not None:
        sys.stdout = Harmless(out, way)
    sys.stderr = Harmless(err, harmless_lines)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = out, err


def _way(options: Namespace, to_terminal: bool) -> Callable[[str], str] | None:
    command = options.command
    if command == "language-server":
        return None
    if getattr(options, "json", False) or getattr(options, "format", "text") != "text":
        return escaped
    if command in ("model", "schema"):
        return escaped
    if getattr(options, "csv", False) or command in ("log", "tidy", "facts"):
        return harmless_lines if to_terminal else None
    return harmless_lines
