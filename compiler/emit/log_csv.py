"""The log as CSV (RFC 4180): one line an entry, numbers as numbers, under headings that can be read back."""

from __future__ import annotations

import csv
import io
from math import degrees

from countwheel.emit.csv_cell import text_cell
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment, Number, Quantity, Text, Value, Words
from countwheel.record.importing import headings


def as_csv(clock: Clock) -> str:
    """Errors in s (fast is positive), °C, hPa, degrees, g; the nut as it was written. Lines end with CR LF."""
    out = io.StringIO(newline="")
    write = csv.writer(out, lineterminator="\r\n")
    write.writerow(headings())
    for log in clock.root.all("log"):
        for entry in log.facts:
            if entry.word == "entry":
                write.writerow([text_cell(_told(entry, name)) for name in headings()])
    return out.getvalue()


def _number(value: float) -> str:
    shown = f"{value:.10g}"
    return f"{value:.6f}" if "e" in shown else shown


def _told(entry: Node, name: str) -> str:
    if name in ("date", "time"):
        moment = entry.values.get(name)
        return (moment.iso if name == "date" else moment.iso[:5]) if isinstance(moment, Moment) else ""
    if name in ("temperature", "pressure", "arc"):
        return _read_off(entry, name)
    if name == "doubted":
        return entry.evidence.doubted or ""
    event = entry.get(name)
    if event is None:
        return ""
    if name in ("found", "left", "set"):
        return _error(event)
    if name == "nut":
        number = event.part("value", Number)
        return " ".join(
            [number.written if number else "", _written(event, "of"), _words(event, "way")]
        ).strip()
    if name == "tray":
        mass = event.quantity()
        sign = -1 if _words(event, "change") == "minus" else 1
        return _number(round(sign * 1000 * mass.si, 6)) if mass is not None else ""
    said = [_text(value) for one in entry.all(name) for value in one.values.values()]
    return "; ".join(filter(None, said)) or "yes"


def _read_off(entry: Node, name: str) -> str:
    dimension = {"arc": "angle"}.get(name, name)
    found = (event.quantity() for event in (*entry.all("at"), *entry.all("arc")))
    value = next((one for one in found if one is not None and one.dimension == dimension), None)
    if value is None:
        return ""
    made = {"temperature": lambda x: x - 273.15, "pressure": lambda x: x / 100, "arc": degrees}[name](
        value.si
    )
    return _number(round(made, 6))


def _error(event: Node) -> str:
    value = event.part("value", Quantity)
    if value is None:
        return "0"
    return _number(round((-1 if _words(event, "way") == "slow" else 1) * value.si, 6))


def _words(event: Node, part: str) -> str:
    value = event.values.get(part)
    return value.text if isinstance(value, Words) else ""


def _written(event: Node, part: str) -> str:
    value = event.values.get(part)
    return value.written if isinstance(value, Words) else ""


def _text(value: Value) -> str:
    return value.text if isinstance(value, (Words, Text)) else value.written
