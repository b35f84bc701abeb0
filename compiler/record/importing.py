"""Lines of the log from a CSV file (RFC 4180), by a mapping of its columns; nothing is guessed, nothing left unsaid."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from countwheel.record.cells import Unreadable, date_of, moment, piece

#: What a column can be, in the order of a line of the log. `error` is another name of `found`.
FIELDS = (
    "date", "time", "found", "set", "left", "temperature", "pressure", "arc", "wound", "nut", "tray", "oiled",
    "cleaned", "stopped", "started", "against", "by", "note", "doubted",
)  # fmt: skip
_UNITS = {
    "found": "s",
    "left": "s",
    "set": "s",
    "temperature": "°C",
    "pressure": "hPa",
    "arc": "°",
    "tray": "g",
}
_OTHER_NAMES = {"error": "found", "day": "date", "hour": "time"}
_ENDS = re.compile(r"\s*[\t\n\v\f\r\x85\u2028\u2029]\s*")  # what no line of the log can hold
_KEPT = re.compile(r"'+\s*[=+\-@＝＋－＠]")  # text that begins as a formula does, as our own CSV has it


class Column(NamedTuple):
    """Which column of the file (from 0), the unit that a bare number in it has, and its heading."""

    at: int
    unit: str
    head: str = ""


class Line(NamedTuple):
    """A line of the log, the line of the file that it is from, and which heading stands over what of it."""

    number: int
    text: str
    places: tuple[tuple[int, int, str], ...] = ()

    def head_at(self, start: int) -> str:
        """The heading of the column that the text from `start` on is from; '' where it is from none."""
        return next((head for begin, end, head in self.places if begin <= start < end), "")


class Reading(NamedTuple):
    """The lines of the log; what could not be read; what was left out or is worth a look, which stops nothing."""

    lines: tuple[Line, ...]
    faults: tuple[str, ...]
    notes: tuple[str, ...]


def columns_of(mapping: str, text: str) -> dict[str, Column]:
    """The columns by our name, from `date=Day, found=Error in s`; where nothing is given, headings that are our names.

    Raises Unreadable.
    """
    rows = _rows(text)
    if not rows:
        raise Unreadable("the file holds no line of headings")
    heads = _heads(rows)
    found: dict[str, Column] = {}
    for one in filter(None, (part.strip() for part in mapping.split(","))):
        ours, equals, theirs = (part.strip() for part in one.partition("="))
        name = _OTHER_NAMES.get(ours, ours)
        if not equals or name not in FIELDS:
            raise Unreadable(f"`{one}` is not like `date=Day`; before the = can stand {', '.join(FIELDS)}")
        if name in found:
            raise Unreadable(f"`{name}` is given twice")
        unit = _UNITS.get(name, "")
        if _at(heads, theirs) is None and " in " in theirs:
            theirs, _, unit = (part.strip() for part in theirs.rpartition(" in "))
        at = _at(heads, theirs)
        if at is None:
            raise Unreadable(f"the file has no column `{theirs}`; it has {', '.join(heads)}")
        found[name] = Column(at, unit, heads[at])
    if not mapping.strip():
        for at, head in enumerate(heads):
            name = _OTHER_NAMES.get(head.lower(), head.lower())
            if name in FIELDS and name not in found:
                found[name] = Column(at, _UNITS.get(name, ""), head)
    twice = [column.head for column in found.values() if heads.count(column.head) > 1]
    if twice:
        raise Unreadable(f"the file has more than one column `{twice[0]}`; give each its own heading")
    if "date" not in found:
        raise Unreadable(
            f"which column is the date? say so with --columns, for example 'date=Day, found=Error in s'; the file has"
            f" {', '.join(filter(None, heads))}"
        )
    return found


def _heads(rows: Sequence[tuple[int, list[str]]]) -> list[str]:
    return [" ".join(head.split()).lstrip("'") for head in rows[0][1]]


def _at(heads: Sequence[str], wanted: str) -> int | None:
    """The column of that heading, as written or else in other letters."""
    if wanted in heads:
        return heads.index(wanted)
    alike = [at for at, head in enumerate(heads) if head.casefold() == wanted.casefold()]
    return alike[0] if len(alike) == 1 else None


def lines_of(text: str, columns: Mapping[str, Column], order: str = "y-m-d") -> Reading:
    """The lines of the log. A file that begins with its newest entry is turned round. Raises Unreadable."""
    rows = _rows(text)
    heads = _heads(rows)
    lines: list[Line] = []
    faults: list[str] = []
    notes: list[str] = []
    unread: dict[str, int] = {}
    mapped = {column.at for column in columns.values()}
    for number, row in rows[1:]:
        cells = [_ENDS.sub(" ", cell).strip() for cell in row]
        if not any(cells):
            continue
        if any(cells[len(heads) :]):
            faults.append(
                f"line {number} has {len(cells)} cells, and there are {len(heads)} headings; a comma that belongs to a"
                " number or a text wants quotation marks round the cell"
            )
            continue
        for at, head in enumerate(heads):
            if at not in mapped and at < len(cells) and cells[at]:
                unread[head or f"no. {at + 1}"] = unread.get(head or f"no. {at + 1}", 0) + 1
        line, wrong = _line(number, cells, columns, order)
        faults += [f"line {number}, column {head}: {why}" for head, why in wrong]
        if line is not None:
            lines.append(line)
        elif not wrong:
            notes.append(f"line {number} has nothing but a date, and is left out")
    if unread:
        told = ", ".join(f"{head} ({many})" for head, many in unread.items())
        notes.append(f"not read, since no column of the log is given for them: {told}")
    if not lines and not faults:
        raise Unreadable("there is nothing under the headings that could go into a log")
    if _newest_first(lines):
        lines.reverse()
        notes.append("the newest entry stands first: the lines are turned round")
    return Reading(tuple(lines), tuple(faults), tuple(notes))


def _newest_first(lines: Sequence[Line]) -> bool:
    days = [line.text[:10] for line in lines]
    return len(days) > 1 and days[0] > days[-1] and days == sorted(days, reverse=True)


def _line(
    number: int, cells: Sequence[str], columns: Mapping[str, Column], order: str
) -> tuple[Line | None, list[tuple[str, str]]]:
    """The line of a row, None where it says nothing or cannot be read, and what cannot be, by its heading."""
    wrong: list[tuple[str, str]] = []
    text, places, said = "", [], 0
    for name in FIELDS:
        column = columns.get(name)
        hour = name == "time" and column is None
        if column is None and not hour:
            continue
        own = columns["date"] if column is None else column
        cell = cells[own.at] if own.at < len(cells) else ""
        # An apostrophe before a sign keeps a spreadsheet from taking the cell for a formula.
        cell = cell[1:] if _KEPT.match(cell) else cell
        if name in ("date", "time") and "time" not in columns:
            cell = moment(cell)[1 if hour else 0]
        try:
            made = date_of(cell, order) if name == "date" else piece(name, cell, own.unit)
        except Unreadable as fault:
            wrong.append((own.head or name, str(fault)))
            continue
        if made:
            gap = "" if not text else " " if name == "time" else "   "
            places.append((len(text + gap), len(text + gap + made), own.head or name))
            text += gap + made
            said += name not in ("date", "time")
    return (Line(number, text, tuple(places)) if said and not wrong else None), wrong


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Rows with the line that each begins on; semicolons or tabs part the cells where the headings have more of them.

    Raises Unreadable.
    """
    first = next((line for line in text.splitlines() if line.strip()), "")
    told = re.fullmatch(r'"?sep=(.)"?', first.strip() if first.strip() != "sep=" else "sep=\t")
    # `told` is a line by which spreadsheets tell each other what parts the cells.
    mark = told[1] if told else max((",", ";", "\t"), key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    rows: list[tuple[int, list[str]]] = []
    begins = 1
    try:
        for row in reader:
            if rows or (any(cell.strip() for cell in row) and not (told and row[0].startswith("sep="))):
                rows.append((begins, row))
            begins = reader.line_num + 1
    except csv.Error:
        raise Unreadable(
            f"line {begins} is not one of a CSV file: a cell with quotation marks in it stands whole between two, and"
            " those in it are doubled"
        ) from None
    return rows


def headings() -> Sequence[str]:
    """The headings of a file that needs no mapping."""
    return FIELDS
