"""What every command does with the terminal: its width, diagnostics on standard error, wrong calls, exit codes."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable

from countwheel import api
from countwheel.cli import CLEAN, FAULTS, WRONG_CALL
from countwheel.streams import paint

WIDE = 100


def width() -> int:
    """How wide to print: a terminal's own width within reason, else always the same."""
    if not sys.stdout.isatty():
        return WIDE
    import shutil

    return min(WIDE, max(40, shutil.get_terminal_size((WIDE, 24)).columns))


def colour() -> bool:
    return sys.stderr.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"


def shown(results: Iterable[api.Result], errors: bool = False) -> str:
    """Diagnostics as standard error has them, or only the `errors` among them; nothing where all is well."""
    from countwheel.diagnostics.render_text import render

    return "".join(
        render(
            [one for one in result.diagnostics if one.severity == "error" or not errors],
            result.sources,
            colour=colour(),
            width=width() if sys.stderr.isatty() else None,
        )
        for result in results
    )


def tell(results: Iterable[api.Result], errors: bool = False) -> None:
    """Puts what `shown` gives on standard error."""
    paint(sys.stderr, shown(results, errors))


def fail(message: str) -> int:
    sys.stderr.write(f"countwheel: {message}\n")
    return WRONG_CALL


def standing(results: Iterable[api.Result]) -> int:
    return FAULTS if any(result.has_errors for result in results) else CLEAN
