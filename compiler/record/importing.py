"""Lines of the log from a CSV file (RFC 4180), by a mapping of its columns; nothing is guessed."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

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
_NUMBER = re.compile(r"[+\-−]?\d+(?:[.,]\d+)?")
_KEPT = re.compile(r"'+\s*[=+\-@＝＋－＠]")  # text that begins as a formula does, as our own CSV has it
_NO = frozenset({"", "no", "0", "-", "false", "n"})
_YES = frozenset({"yes", "1", "x", "true", "y", "✓"})


class Unreadable(ValueError):
    """A mapping that does not fit the file, in a keeper's words."""


class Column(NamedTuple):
    """Which column of the file (from 0), and the unit that a bare number in it has."""

    at: int
    unit: str


def columns_of(mapping: str, text: str) -> dict[str, Column]:
    """The columns by our name, from `date=Day, found=Error in s`; where nothing is given, headings that are our names.

    Raises Unreadable.
    """
    rows = list(_rows(text))
    if not rows:
        raise Unreadable("the file holds no line of headings")
    heads = [head.strip().lstrip("'") for head in rows[0][1]]
    found: dict[str, Column] = {}
    for piece in filter(None, (one.strip() for one in mapping.split(","))):
        ours, equals, theirs = (part.strip() for part in piece.partition("="))
        name = _OTHER_NAMES.get(ours, ours)
        if not equals or name not in FIELDS:
            raise Unreadable(f"`{piece}` is not like `date=Day`; before the = can stand {', '.join(FIELDS)}")
        if name in found:
            raise Unreadable(f"`{name}` is given twice")
        unit = _UNITS.get(name, "")
        if theirs not in heads and " in " in theirs:
            theirs, _, unit = (part.strip() for part in theirs.rpartition(" in "))
        if theirs not in heads:
            raise Unreadable(f"the file has no column `{theirs}`; it has {', '.join(heads)}")
        found[name] = Column(heads.index(theirs), unit)
    if not found:
        for at, head in enumerate(heads):
            name = _OTHER_NAMES.get(head.lower(), head.lower())
            if name in FIELDS and name not in found:
                found[name] = Column(at, _UNITS.get(name, ""))
    if "date" not in found:
        raise Unreadable(
            "which column is the date? say so with --columns, for example 'date=Day, found=Error in s'"
        )
    return found


def lines_of(
    text: str, columns: Mapping[str, Column], order: str = "y-m-d"
) -> tuple[list[tuple[int, str]], list[str]]:
    """The lines of the log, each with its line number in the file, and what could not be read."""
    lines: list[tuple[int, str]] = []
    faults: list[str] = []
    for number, row in list(_rows(text))[1:]:
        if not any(cell.strip() for cell in row):
            continue
        said: list[str] = []
        for name in FIELDS:
            if name not in columns:
                continue
            column = columns[name]
            cell = row[column.at].strip() if column.at < len(row) else ""
            # An apostrophe before a sign keeps a spreadsheet from taking the cell for a formula.
            cell = cell[1:] if _KEPT.match(cell) else cell
            try:
                said.append(_piece(name, cell, column.unit, order))
            except Unreadable as wrong:
                faults.append(f"line {number}: {wrong}")
        when, done = [one for one in said[:2] if one], [one for one in said[2:] if one]
        if "time" not in columns:
            when, done = said[:1], [one for one in said[1:] if one]
        if not done:
            done = ['note "Nothing else is said."']
        lines.append((number, " ".join(when) + "   " + "   ".join(done)))
    return lines, faults


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Rows with the line that each begins on; semicolons part the cells where the first line has more of them."""
    first = text.partition("\n")[0]
    mark = max((",", ";", "\t"), key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    rows, begins = [], 1
    try:
        for row in reader:
            rows.append((begins, row))
            begins = reader.line_num + 1
    except csv.Error:
        raise Unreadable("it is not a CSV file") from None
    return rows


def _piece(name: str, cell: str, unit: str, order: str) -> str:
    """A cell as a piece of a line; '' where it says nothing. Raises Unreadable."""
    cell = " ".join(cell.split())
    if name == "date":
        return _date(cell, order)
    if not cell:
        return ""
    if name == "time":
        hour = re.fullmatch(r"(\d{1,2})[:.h](\d{2})(?::\d{2})?", cell)
        if hour is None:
            raise Unreadable(f"`{cell}` is not a time of day such as 09:05")
        return f"{int(hour[1]):02d}:{hour[2]}"
    if name in ("found", "left", "set"):
        return f"{name} {_error(cell, unit)}"
    if name in ("wound", "started", "stopped", "oiled", "cleaned"):
        if cell.lower() in _NO:
            return ""
        return name if cell.lower() in _YES or name in ("wound", "started") else f"{name} {_quoted(cell)}"
    if name in ("against", "by", "note", "doubted"):
        return f"{name} {_quoted(cell)}"
    if name == "nut":
        return f"nut {_nut(cell)}"
    bare = _NUMBER.fullmatch(cell)
    value = f"{_plain(cell)} {unit}" if bare else cell
    if name == "tray":
        return f"tray {_signed(value, 'plus', 'minus')}"
    value = value.lstrip("+")
    return f"arc {value}" if name == "arc" else f"at {value}"


def _plain(cell: str) -> str:
    return cell.replace(",", ".").replace("−", "-")


def _signed(value: str, plus: str, minus: str) -> str:
    """'+5 g' as 'plus 5 g', '-5 g' as 'minus 5 g'; what begins with a word stays."""
    if value[:1] in "+-−":
        return f"{plus if value[0] == '+' else minus} {value[1:].strip()}"
    return f"{plus} {value}" if value[:1].isdigit() else value


def _error(cell: str, unit: str) -> str:
    """A signed number is fast where it is positive; words such as `12 s slow` stay."""
    if _NUMBER.fullmatch(cell) is None:
        return cell
    number = _plain(cell)
    size = number.lstrip("+-")
    if float(size) == 0.0:
        return "right"
    return f"{size} {unit} {'slow' if number.startswith('-') else 'fast'}"


def _nut(cell: str) -> str:
    """A signed number is divisions, up where it is positive; words such as `1/5 division up` stay."""
    if _NUMBER.fullmatch(cell) is None:
        return cell
    number = _plain(cell)
    size = number.lstrip("+-")
    return f"{size} division{'' if float(size) == 1 else 's'} {'down' if number.startswith('-') else 'up'}"


def _date(cell: str, order: str) -> str:
    parts = re.fullmatch(r"(\d{1,4})[-/. ](\d{1,2})[-/. ](\d{1,4})\.?", cell)
    if parts is None:
        raise Unreadable(f"`{cell}` is not a date")
    numbers = dict(zip(order.split("-"), parts.groups(), strict=True))
    if len(numbers["y"]) != 4:
        raise Unreadable(f"`{cell}` is not a date in the order {order}; a year has four figures")
    try:
        return date(int(numbers["y"]), int(numbers["m"]), int(numbers["d"])).isoformat()
    except ValueError:
        raise Unreadable(f"`{cell}` is not a date in the order {order}") from None


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', "'") + '"'


def headings() -> Sequence[str]:
    """The headings of a file that needs no mapping."""
    return FIELDS
