"""A cell of a table as a piece of a line of the log; what cannot be one is said in a keeper's words."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

NUMBER = re.compile(r"[+\-−]?\d+(?:[.,]\d+)?")
_PART = re.compile(r"[+\-−]?(?:\d+ )?\d+/\d+")
_TIME = re.compile(r"(\d{1,2})[:.h](\d{2})(?:[:.]\d{2}(?:\.\d+)?)?\s*(am|pm|a\.m\.|p\.m\.)?", re.I)
_MOMENT = re.compile(r"(\S+?)(?:T|\s+)(\d{1,2}[:.h]\d{2}.*?)(?:Z)?", re.I)
_DEGREES = re.compile(r"([+\-−]?\d+(?:[.,]\d+)?)\s*(?:°|deg)?\s*([CF])", re.I)
_WITH_WAY = re.compile(r".*\b(fast|slow)", re.I)
_NO = frozenset({"", "no", "0", "-", "false", "n"})
_YES = frozenset({"yes", "1", "x", "true", "y", "✓"})


class Unreadable(ValueError):
    """A mapping or a cell that cannot be read, in a keeper's words."""


def piece(name: str, cell: str, unit: str) -> str:
    """The piece of a line that a cell of the column `name` is; '' where it says nothing.

    `unit` is that of a bare number. Dates are read by `date_of`. Raises Unreadable.
    """
    return _READERS[name](name, cell, unit) if cell else ""


def moment(cell: str) -> tuple[str, str]:
    """A cell with date and time of day, taken apart; the time is '' where there is none."""
    parts = _MOMENT.fullmatch(cell)
    return (parts[1], parts[2]) if parts is not None else (cell, "")


def date_of(cell: str, order: str) -> str:
    """`order` is `y-m-d`, `d-m-y` or `m-d-y`. Raises Unreadable."""
    parts = re.fullmatch(r"(\d{1,4})[-/. ](\d{1,2})[-/. ](\d{1,4})\.?", cell)
    if parts is None:
        raise Unreadable(f"`{cell}` is not a date" if cell else "there is no date")
    numbers = dict(zip(order.split("-"), parts.groups(), strict=True))
    if len(numbers["y"]) != 4:
        other = next(
            (one for one in ("y-m-d", "d-m-y") if len(parts[1 + one.split("-").index("y")]) == 4), ""
        )
        hint = (
            "a year has four figures"
            if not other or order == other
            else f"is it in another, as --dates {other}?"
        )
        raise Unreadable(f"`{cell}` is not a date in the order {order}; {hint}")
    try:
        return date(int(numbers["y"]), int(numbers["m"]), int(numbers["d"])).isoformat()
    except ValueError:
        raise Unreadable(f"`{cell}` is not a date in the order {order}: there was no such day") from None


def _time(name: str, cell: str, unit: str) -> str:
    parts = _TIME.fullmatch(cell)
    if parts is None:
        raise Unreadable(f"`{cell}` is not a time of day such as 09:05")
    hour, half = int(parts[1]), (parts[3] or "").lower().replace(".", "")
    if half and not 1 <= hour <= 12:
        raise Unreadable(f"`{cell}` is not a time of day: there is no {hour} {half}")
    hour = hour % 12 + (12 if half == "pm" else 0) if half else hour
    if hour > 23 or int(parts[2]) > 59:
        raise Unreadable(f"`{cell}` is not a time of day: a day goes to 23:59")
    return f"{hour:02d}:{parts[2]}"


def _error(name: str, cell: str, unit: str) -> str:
    """A signed number is fast where it is positive; words such as `12 s slow` stay."""
    if _WITH_WAY.match(cell) is not None or cell.lower() == "right":
        return f"{name} {cell}"
    slow = cell[0] in "-−"
    size = cell.lstrip("+-−").strip()
    if NUMBER.fullmatch(size) or _PART.fullmatch(size):
        size = f"{_plain(size)} {unit}"
    elif re.fullmatch(r"\d[\d.,/ ]*\s*[^\W\d]+", size) is None:
        raise Unreadable(f"`{cell}` is not an error such as 3, -2.5 or 12 s slow")
    if not re.search(r"[1-9]", size):
        return f"{name} right"
    return f"{name} {size} {'slow' if slow else 'fast'}"


def _read_off(name: str, cell: str, unit: str) -> str:
    word = "arc" if name == "arc" else "at"
    degrees = _DEGREES.fullmatch(cell)
    if NUMBER.fullmatch(cell):
        return f"{word} {_plain(cell).lstrip('+')} {unit}"
    if name == "temperature" and degrees is not None:
        return f"at {_plain(degrees[1]).lstrip('+')} °{degrees[2].upper()}"
    if not re.match(r"[+\-−]?\d", cell):
        usual = {"temperature": "11 or 52 °F", "pressure": "1009 or 757 mmHg", "arc": "1.9"}[name]
        raise Unreadable(f"`{cell}` is not a value such as {usual}")
    return f"{word} {cell.lstrip('+')}"


def _nut(name: str, cell: str, unit: str) -> str:
    """A signed number is divisions, up where it is positive; words such as `1/5 division up` stay."""
    if re.search(r"\b(up|down)\b", cell, re.I) and re.match(r"\d", cell):
        return f"nut {cell}"
    down = cell[0] in "-−"
    size = cell.lstrip("+-−").strip()
    number = re.match(r"(\d+ \d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)\s*(turns?|divisions?)?", size)
    if number is None or number.end() != len(size):
        raise Unreadable(f"`{cell}` does not tell how the nut was turned, as -2, 1/2 or 1/4 turn up do")
    if not re.search(r"[1-9]", number[1]):
        return ""
    one = re.fullmatch(r"1|\d+/\d+|0[.,]\d+", number[1])
    unit = number[2] or ("division" if one else "divisions")
    return f"nut {_plain(number[1])} {unit} {'down' if down else 'up'}"


def _tray(name: str, cell: str, unit: str) -> str:
    """'+5 g' as 'plus 5 g', '-5' as 'minus 5 g'; what begins with a word stays."""
    if re.match(r"(plus|minus)\b", cell, re.I):
        return f"tray {cell}"
    size = cell.lstrip("+-−").strip()
    if not re.match(r"\d", size):
        raise Unreadable(f"`{cell}` does not tell what the tray was given, as 5, -2.5 or minus 5 g do")
    if NUMBER.fullmatch(size):
        size = f"{_plain(size)} {unit}"
    if not re.search(r"[1-9]", size):
        return ""
    return f"tray {'minus' if cell[0] in '-−' else 'plus'} {size}"


def _done(name: str, cell: str, unit: str) -> str:
    if cell.lower() in _NO:
        return ""
    return name if cell.lower() in _YES or name in ("wound", "started") else f"{name} {_quoted(cell)}"


def _words(name: str, cell: str, unit: str) -> str:
    return f"{name} {_quoted(cell)}"


def _plain(cell: str) -> str:
    return cell.replace(",", ".").replace("−", "-")


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', "'") + '"'


_READERS: dict[str, Callable[[str, str, str], str]] = {
    "time": _time,
    **dict.fromkeys(("found", "left", "set"), _error),
    **dict.fromkeys(("temperature", "pressure", "arc"), _read_off),
    "nut": _nut,
    "tray": _tray,
    **dict.fromkeys(("wound", "oiled", "cleaned", "stopped", "started"), _done),
    **dict.fromkeys(("against", "by", "note", "doubted"), _words),
}
