"""A description as HTML: its own lines, numbered, each with an anchor, in colours that also tell apart in grey."""

from __future__ import annotations

import re
from collections.abc import Iterable

from countwheel.highlight.lexer import TOKENS, NotebookStyle
from countwheel.highlight.pieces import pieces
from pygments import format as formatted
from pygments.formatters.html import HtmlFormatter

FRAME = "movement-source"  # the class of the outermost element; all rules of `source_css` are under it
_SAFE = re.compile(r"[A-Za-z][\w-]*", re.ASCII)
_ROW_END = re.compile(r"\r\n?")


def source_html(text: str, *, anchor: str = "line", first: int = 1, marked: Iterable[int] = ()) -> str:
    """The text of a description, or of a part of one, as `<div class="movement-source">`, well-formed as XML.

    Every line has the id `ANCHOR-NUMBER`, and its number is a link to it. `first` is the number of the first
    line (at least 1), `marked` the numbers of lines to be set off, such as those that a diagnostic speaks of.
    All that the keeper wrote is escaped. The look is in `source_css`. Raises ValueError for an `anchor` that
    could not stand in an id (letters, digits, hyphen and underscore, a letter first) and for a `first` under 1.
    """
    if not _SAFE.fullmatch(anchor):
        raise ValueError(f"{anchor!r} cannot begin an id")
    if first < 1:
        raise ValueError(f"lines are numbered from 1, not from {first}")
    text = _seen(_ROW_END.sub("\n", text))
    tokens = ((TOKENS[piece.kind], text[piece.start : piece.end]) for piece in pieces(text))
    written: str = formatted(tokens, _formatter(anchor, first, tuple(n - first + 1 for n in marked)))
    return written


def source_css() -> str:
    """The rules for what `source_html` gives, every one under its class."""
    own = (
        f".{FRAME} pre {{ margin: 0; line-height: 1.45; tab-size: 2; overflow-x: auto; }}\n"
        # Underlines of words that are no links: dotted, so that nobody presses them.
        f".{FRAME} .movement-kr {{ text-decoration-style: dotted; text-underline-offset: 0.2em; }}\n"
        f".{FRAME} pre > span:target {{ background: {NotebookStyle.highlight_color}; }}\n"
        f".{FRAME} a {{ text-decoration: none; user-select: none; margin-right: 1em; }}\n"
        f".{FRAME} a:hover, .{FRAME} a:focus-visible {{ text-decoration: underline; }}\n"
        f"@media print {{ .{FRAME} pre {{ white-space: pre-wrap; overflow: visible; }} }}\n"
    )
    rules: str = _formatter("line", 1, ()).get_style_defs(f".{FRAME}")  # type: ignore[no-untyped-call]
    kept = [rule for rule in rules.split("\n") if rule.startswith(f".{FRAME}")]
    numbers = f".{FRAME} .linenos {{ color: {NotebookStyle.line_number_color}; }}\n"
    return "\n".join(kept) + "\n" + numbers + own


def _seen(text: str) -> str:
    """The text without what no page may hold: controls that cannot be printed are shown as a mark."""
    return re.sub("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]", "\ufffd", text)


def _formatter(anchor: str, first: int, marked: tuple[int, ...]) -> HtmlFormatter[str]:
    return HtmlFormatter(
        style=NotebookStyle,
        cssclass=FRAME,
        classprefix="movement-",
        linenos="inline",
        linenostart=first,
        linespans=anchor,
        anchorlinenos=True,
        hl_lines=list(marked),
        wrapcode=False,
    )
