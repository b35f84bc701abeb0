"""The evidence register for a terminal, as CSV (RFC 4180) and as JSON with its schema (JSON Schema 2020-12)."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import asdict, fields
from textwrap import wrap
from typing import Any

from countwheel.emit.csv_cell import text_cell
from countwheel.emit.json_schema import STRING, an_object, document, list_of
from countwheel.emit.register import ORDER, Recorded, Share, Summary, summary_of

NAME = "countwheel evidence 1"


# -- for a terminal ------------------------------------------------------------------
def text(movement: str, rows: Sequence[Recorded], width: int = 100) -> str:
    """A summary, then every fact under the part of the clock that it is of."""
    told = summary_of(rows)
    lines = [f"Evidence of {movement}: {_many(told.facts, 'fact')}, {_many(told.others, 'further value')}"]
    lines += _wrapped(", ".join(f"{how} {number}" for how, number in told.how), "  known: ", width)
    for heading, shares in (("by", told.people), ("from", told.sources), ("in", told.years)):
        if shares:
            of = "; ".join(f"{share.name} {share.number}" for share in shares)
            lines += _wrapped(of, f"  {heading + ':':<6} ", width)
    if told.oldest:
        lines += _wrapped(f"{told.oldest[0].on}, {told.oldest[0].path}", "  oldest: ", width)
    group = ""
    for row in rows:
        if row.group != group:
            group = row.group
            lines += ["", group]
        first = f"  {row.path}: " if row.holds else "    also "
        lines += _wrapped(f"{_value(row)}", first, width)
        lines += _wrapped(f"{_known(row)}  [{row.file}:{row.line}]", "      ", width)
        if row.agrees is not None:
            lines += _wrapped(_compared(row), "      ", width)
        if row.remark:
            lines += _wrapped(f"remark: {row.remark}", "      ", width)
    return "".join(f"{line}\n" for line in lines)


def _wrapped(said: str, first: str, width: int) -> list[str]:
    return wrap(
        said,
        width,
        initial_indent=first,
        subsequent_indent=" " * min(len(first), 12),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _many(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _value(row: Recorded) -> str:
    return row.value if not row.tolerance or row.tolerance in row.value else f"{row.value} {row.tolerance}"


def _known(row: Recorded) -> str:
    said = [row.how, f"on {row.on}" if row.on else "", f"by {row.by}" if row.by else ""]
    said += [f"from {row.source}" if row.source else "", "(the part is lost)" if row.lost else ""]
    said += ["(perhaps)" if row.perhaps else "", f"DOUBTED: {row.doubted}" if row.doubted else ""]
    return " ".join(word for word in said if word)


def _compared(row: Recorded) -> str:
    if not row.apart:
        return "the same" if row.agrees else "DISAGREES: not the same"
    allowed = f"the tolerances allow {row.allowed}" if row.allowed else "no tolerance"
    return f"{'agrees' if row.agrees else 'DISAGREES'}: {row.apart} from the value that holds; {allowed}"


# -- for a spreadsheet ----------------------------------------------------------------
def as_csv(rows: Sequence[Recorded]) -> str:
    """One line a recorded value, with a heading line; lines end with CR LF (RFC 4180, section 2).

    A cell that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    out = io.StringIO(newline="")
    write = csv.writer(out, lineterminator="\r\n")
    names = [field.name for field in fields(Recorded)]
    write.writerow(names)
    for row in rows:
        write.writerow([_cell(getattr(row, name)) for name in names])
    return out.getvalue()


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return text_cell("" if value is None else str(value))


# -- as JSON ---------------------------------------------------------------------------
def dump(movement: str, rows: Sequence[Recorded]) -> str:
    """The object of `evidence --json` as text ending with a newline."""
    data = {
        "schema": NAME,
        "movement": movement,
        "summary": _summary(summary_of(rows)),
        "facts": [asdict(row) for row in rows],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _summary(told: Summary) -> dict[str, Any]:
    return asdict(told) | {"how": dict(told.how), "oldest": [row.path for row in told.oldest]}


_NUMBER = {"type": "integer", "minimum": 0}
_TYPES: dict[str, dict[str, Any]] = {
    "str": STRING,
    "bool": {"type": "boolean"},
    "int": _NUMBER,
    "int | None": {"type": ["integer", "null"]},
    "bool | None": {"type": ["boolean", "null"]},
}
_MEANS = {
    "group": "the part of the clock",
    "what": "what it is, in a keeper's words",
    "value": "as written in the description",
    "tolerance": "as stated, or what is usual for its kind",
    "on": "ISO date, month or year; empty where not said",
    "doubted": "why; empty where it is not doubted",
    "holds": "false for a value recorded beside the one that holds",
    "apart": "how far from the value that holds, in the unit of that one",
    "allowed": "what the tolerances of both allow together",
    "agrees": "null where it is the value that holds, or cannot be compared",
}


def schema() -> dict[str, Any]:
    """The JSON Schema of `evidence --json`."""
    row: dict[str, dict[str, Any]] = {}
    for one in fields(Recorded):
        row[one.name] = _TYPES[str(one.type)] | (
            {"description": _MEANS[one.name]} if one.name in _MEANS else {}
        )
    row["how"] = {"enum": list(ORDER), "description": "how it is known"}
    shares = list_of(an_object({one.name: _TYPES[str(one.type)] for one in fields(Share)}))
    summary: dict[str, Any] = {one.name: _TYPES.get(str(one.type), shares) for one in fields(Summary)}
    summary["how"] = {
        "type": "object",
        "propertyNames": {"enum": list(ORDER)},
        "additionalProperties": _NUMBER,
    }
    summary["oldest"] = {
        "type": "array",
        "items": STRING,
        "description": "paths of the facts with the first date",
    }
    return document(
        NAME,
        {"movement": STRING, "summary": an_object(summary), "facts": list_of(an_object(row))},
    )
