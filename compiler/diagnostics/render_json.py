"""Diagnostics for other programs: one JSON object, described by `SCHEMA`."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from countwheel.diagnostics.record import Diagnostic, Edit, Label
from countwheel.diagnostics.registry import CODES
from countwheel.diagnostics.render_text import in_order
from countwheel.source import Source, Span

NAME = "countwheel diagnostics"
VERSION = 1


def to_json(diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source]) -> dict[str, Any]:
    """The object as plain dicts and lists, in the order of every output (file, place, code).

    Lines and columns count from 1, columns in code points; offsets count code
    points from 0; an end is the place after the last character. `start` and
    `end` are null where the file's text is not in `sources` (it could not be read).
    """
    ordered = in_order(diagnostics)
    severities = [diagnostic.severity for diagnostic in ordered]
    return {
        "schema": {"name": NAME, "version": VERSION},
        "counts": {severity: severities.count(severity) for severity in ("error", "doubt", "advice")},
        "diagnostics": [_diagnostic(diagnostic, sources) for diagnostic in ordered],
    }


def dump(diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source]) -> str:
    """The object as text, indented, ending with a newline."""
    return json.dumps(to_json(diagnostics, sources), ensure_ascii=False, indent=2) + "\n"


def _diagnostic(diagnostic: Diagnostic, sources: Mapping[str, Source]) -> dict[str, Any]:
    return {
        "code": diagnostic.code,
        "severity": diagnostic.severity,
        "title": CODES[diagnostic.code].title,
        "message": diagnostic.message,
        **_where(diagnostic.span, sources),
        "label": diagnostic.label,
        "others": [_other(other, sources) for other in diagnostic.others],
        "hints": list(diagnostic.hints),
        "edits": [_edit(edit, sources) for edit in diagnostic.edits],
    }


def _other(other: Label, sources: Mapping[str, Source]) -> dict[str, Any]:
    return {**_where(other.span, sources), "label": other.text}


def _edit(edit: Edit, sources: Mapping[str, Source]) -> dict[str, Any]:
    return {"title": edit.title, **_where(edit.span, sources), "text": edit.text}


def _where(span: Span, sources: Mapping[str, Source]) -> dict[str, Any]:
    source = sources.get(span.file)
    return {
        "file": span.file,
        "start": None if source is None else _point(source, span.start),
        "end": None if source is None else _point(source, max(span.start, span.end)),
    }


def _point(source: Source, offset: int) -> dict[str, int]:
    offset = max(0, min(offset, len(source.text)))
    line, column = source.place(offset)
    return {"line": line, "column": column, "offset": offset}


def _object(properties: dict[str, Any]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


_STRING = {"type": "string"}
_WHERE: dict[str, Any] = {
    "file": {"type": "string", "description": "The path as shown to people; never an absolute one."},
    "start": {"anyOf": [{"$ref": "#/$defs/point"}, {"type": "null"}]},
    "end": {"anyOf": [{"$ref": "#/$defs/point"}, {"type": "null"}]},
}

SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "title": NAME,
    "description": "What `countwheel check --format json` prints.",
    **_object(
        {
            "schema": _object({"name": {"const": NAME}, "version": {"const": VERSION}}),
            "counts": _object(
                {severity: {"type": "integer", "minimum": 0} for severity in ("error", "doubt", "advice")}
            ),
            "diagnostics": {"type": "array", "items": {"$ref": "#/$defs/diagnostic"}},
        }
    ),
    "$defs": {
        "point": {
            "description": "A place: line and column from 1, offset from 0, all in code points.",
            **_object(
                {
                    "line": {"type": "integer", "minimum": 1},
                    "column": {"type": "integer", "minimum": 1},
                    "offset": {"type": "integer", "minimum": 0},
                }
            ),
        },
        "other": {
            "description": "Another place that bears on the fault, and what it says there.",
            **_object({**_WHERE, "label": _STRING}),
        },
        "edit": {
            "description": "A mend that a machine can make: put `text` in place of what stands there.",
            **_object({"title": _STRING, **_WHERE, "text": _STRING}),
        },
        "diagnostic": _object(
            {
                "code": {"enum": list(CODES)},
                "severity": {"enum": ["error", "doubt", "advice"]},
                "title": _STRING,
                "message": _STRING,
                **_WHERE,
                "label": _STRING,
                "others": {"type": "array", "items": {"$ref": "#/$defs/other"}},
                "hints": {"type": "array", "items": _STRING},
                "edits": {"type": "array", "items": {"$ref": "#/$defs/edit"}},
            }
        ),
    },
}
