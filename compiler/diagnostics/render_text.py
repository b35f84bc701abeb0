"""Diagnostics for a person at a terminal, or in a letter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from textwrap import wrap

from countwheel.diagnostics.cells import harmless, show, wide
from countwheel.diagnostics.record import Diagnostic, Label, Severity
from countwheel.source import Source, Span

USUAL_WIDTH = 100
_SMALLEST_WIDTH = 40
_CUT = "…"

_BOLD = "1"
_COLOURS: dict[Severity, str] = {"error": "1;31", "doubt": "1;33", "advice": "1;36"}
_COUNTED: tuple[tuple[Severity, str, str], ...] = (
    ("error", "error", "errors"),
    ("doubt", "doubt", "doubts"),
    ("advice", "piece of advice", "pieces of advice"),
)


def in_order(diagnostics: Iterable[Diagnostic]) -> list[Diagnostic]:
    """By file, then by place, then by code: the order of every output."""
    return sorted(diagnostics, key=lambda d: (d.span.file, d.span.start, d.code, d.span.end, d.message))


def summary(diagnostics: Iterable[Diagnostic]) -> str:
    """'2 errors, 1 doubt'; 'nothing amiss' where there are none."""
    severities = [diagnostic.severity for diagnostic in diagnostics]
    parts = []
    for severity, one, many in _COUNTED:
        if number := severities.count(severity):
            parts.append(f"{number} {one if number == 1 else many}")
    return ", ".join(parts) or "nothing amiss"


def render(
    diagnostics: Iterable[Diagnostic],
    sources: Mapping[str, Source],
    *,
    colour: bool = False,
    width: int | None = None,
) -> str:
    """All diagnostics as text, and a line that counts them; '' where there are none.

    `sources` gives the text of each file by the name its spans bear; a file
    that is not there is named without its text. Sentences are wrapped to
    `width` columns where it is given; source lines are cut to it (else to 100)
    around the underlined part. Every line ends with a newline.
    """
    ordered = in_order(diagnostics)
    if not ordered:
        return ""
    printer = _Printer(sources, colour, width)
    blocks = ["\n".join(printer.block(diagnostic)) for diagnostic in ordered]
    return "\n\n".join([*blocks, summary(ordered)]) + "\n"


class _Printer:
    def __init__(self, sources: Mapping[str, Source], colour: bool, width: int | None) -> None:
        self.sources = sources
        self.colour = colour
        self.wrapped = None if width is None else max(width, _SMALLEST_WIDTH)
        self.width = self.wrapped or USUAL_WIDTH

    def block(self, diagnostic: Diagnostic) -> Iterator[str]:
        ink = _COLOURS[diagnostic.severity]
        first, *rest = self._wrap(f"{diagnostic.severity} {diagnostic.code}  {diagnostic.message}", "    ")
        head = len(diagnostic.severity)
        yield self._paint(first[:head], ink) + first[head:]
        yield from rest
        yield from self._place("  at", diagnostic.span, diagnostic.label, ink)
        for other in diagnostic.others:
            yield from self._other(other)
        for hint in diagnostic.hints:
            yield from self._wrap(f"  > {hint}", "    ")

    def _other(self, other: Label) -> Iterator[str]:
        yield from self._place("  and", other.span, other.text, _BOLD)

    def _place(self, word: str, span: Span, label: str, ink: str) -> Iterator[str]:
        label = harmless(label)
        source = self.sources.get(span.file)
        if source is None:
            yield f"{word} {self._paint(harmless(span.file), _BOLD)}" + (f": {label}" if label else "")
            return
        start, end = source.place(span.start), source.place(max(span.start, span.end))
        where = f"{harmless(span.file)}:{start.line}:{start.column}"
        yield f"{word} {self._paint(where, _BOLD)}"
        text = source.line_text(start.line)
        before = min(start.column - 1, len(text))
        upto = len(text) if end.line > start.line else min(end.column - 1, len(text))
        if end.line > start.line and end.column > 1:
            label = f"{label} (to line {end.line})".strip()
        gutter = f"    line {start.line}: "
        shown, left, marks = _cut(text, before, upto, self.width - len(gutter))
        yield (gutter + shown).rstrip()
        under = " " * (len(gutter) + left)
        marked = under + self._paint("^" * marks, ink)
        used = len(under) + marks
        if not label or used + 1 + wide(label) <= self.width:
            yield f"{marked} {label}".rstrip()
            return
        yield marked
        # A long note goes below, where there is room for it.
        indent = under if len(under) <= self.width // 2 else " " * len(gutter)
        yield from self._wrap(indent + label, indent)

    def _wrap(self, text: str, indent: str) -> list[str]:
        text = harmless(text)
        if self.wrapped is None or wide(text) <= self.wrapped:
            return [text]
        lead = text[: len(text) - len(text.lstrip(" "))]
        return wrap(
            text[len(lead) :],
            self.wrapped,
            initial_indent=lead,
            subsequent_indent=indent,
            break_on_hyphens=False,
            break_long_words=False,
        )

    def _paint(self, text: str, ink: str) -> str:
        return f"\x1b[{ink}m{text}\x1b[0m" if self.colour else text


def _cut(text: str, start: int, end: int, room: int) -> tuple[str, int, int]:
    """The line as shown, the columns before the underline, and the underline's length.

    A line that is wider than `room` columns is cut at either side of the
    underlined part, the cut marked; an underlined part that is itself too wide
    is shown from its beginning.
    """
    cells: list[tuple[str, int]] = []
    column = 0
    columns = [0]  # where each character begins, and where the last one ends
    for char in text:
        cell = show(char, column)
        cells.append(cell)
        column += cell[1]
        columns.append(column)
    if column <= room and len(text) <= 4 * room:
        return "".join(sign for sign, _ in cells), columns[start], max(1, columns[end] - columns[start])

    spare = max(0, room - min(columns[end] - columns[start], room) - 2)
    first, last = start, start
    # A third of what is left over goes before the underlined part, the rest after it.
    wanted = columns[start] - spare // 3
    while first > 0 and columns[first - 1] >= max(wanted, 0):
        first -= 1
    used = 2 + columns[start] - columns[first]
    while last < len(cells) and used + columns[last + 1] - columns[start] <= room:
        last += 1
    # Room that the end of the line did not need goes to its beginning.
    while first > 0 and last == len(cells) and columns[last] - columns[first - 1] + 2 <= room:
        first -= 1
    # A mark that sits on a letter is not parted from it.
    while first < start and columns[first + 1] == columns[first]:
        first += 1
    lead = _CUT if first > 0 else ""
    tail = _CUT if last < len(cells) else ""
    shown = lead + "".join(sign for sign, _ in cells[first:last]) + tail
    left = len(lead) + columns[start] - columns[first]
    return shown, left, max(1, columns[min(end, last)] - columns[start])
