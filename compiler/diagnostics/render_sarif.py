"""Diagnostics as a SARIF log, for services that show findings beside the text.

The format: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0. Section numbers
in the comments are that standard's, from memory.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Any
from urllib.parse import quote

from countwheel.diagnostics.pages import Page, read
from countwheel.diagnostics.record import Diagnostic, Edit, Severity
from countwheel.diagnostics.registry import CODES, Code
from countwheel.diagnostics.render_text import in_order
from countwheel.source import Source, Span

VERSION = "2.1.0"
SCHEMA_URI = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
FINGERPRINT = "countwheelLine/v1"

_BASE = "START"
# 'warning' is a part of a strike, so our own word is doubt; theirs is fixed by the standard (3.27.10).
_LEVELS: dict[Severity, str] = {"error": "error", "doubt": "warning", "advice": "note"}


def to_sarif(
    diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source], *, version: str = ""
) -> dict[str, Any]:
    """The log as plain dicts and lists: every code as a rule, every diagnostic as a result.

    `version` is the compiler's own, left out where empty.
    """
    ordered = in_order(diagnostics)
    index = {code: number for number, code in enumerate(CODES)}
    driver: dict[str, Any] = {"name": "countwheel"}
    if version:
        driver["version"] = version
    driver["rules"] = [_rule(code, read(code.code)) for code in CODES.values()]
    names = sorted({span.file for diagnostic in ordered for span in _spans(diagnostic)} | set(sources))
    seen: Counter[str] = Counter()
    run: dict[str, Any] = {
        "tool": {"driver": driver},
        "language": "en-GB",
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {
            _BASE: {"description": {"text": "The folder that the paths are counted from."}}
        },
        "artifacts": [
            {"location": _artifact(name), "roles": ["analysisTarget"], "encoding": "UTF-8"} for name in names
        ],
        "results": [_result(diagnostic, sources, index, seen) for diagnostic in ordered],
    }
    return {"$schema": SCHEMA_URI, "version": VERSION, "runs": [run]}


def dump(diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source], *, version: str = "") -> str:
    """The log as text, indented, ending with a newline."""
    return json.dumps(to_sarif(diagnostics, sources, version=version), ensure_ascii=False, indent=2) + "\n"


def _rule(code: Code, page: Page) -> dict[str, Any]:
    return {
        "id": code.code,
        "shortDescription": {"text": f"{code.title}."},
        "fullDescription": {"text": " ".join(page.meaning.split())},
        "help": {"text": page.plain(), "markdown": page.text},
        "defaultConfiguration": {"level": _LEVELS[code.severity]},
    }


def _result(
    diagnostic: Diagnostic, sources: Mapping[str, Source], index: Mapping[str, int], seen: Counter[str]
) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": diagnostic.code,
        "ruleIndex": index[diagnostic.code],
        "level": _LEVELS[diagnostic.severity],
        "message": {"text": "\n".join([diagnostic.message, *diagnostic.hints])},
        "locations": [_location(diagnostic.span, sources, diagnostic.label)],
        "partialFingerprints": {FINGERPRINT: _fingerprint(diagnostic, sources, seen)},
    }
    if diagnostic.others:
        result["relatedLocations"] = [
            {"id": number, **_location(other.span, sources, other.text)}
            for number, other in enumerate(diagnostic.others, 1)
        ]
    if fixes := _unlike(_fix(edit, sources) for edit in diagnostic.edits if edit.span.file in sources):
        result["fixes"] = fixes
    return result


def _spans(diagnostic: Diagnostic) -> Iterable[Span]:
    yield diagnostic.span
    yield from (other.span for other in diagnostic.others)
    yield from (edit.span for edit in diagnostic.edits)


def _location(span: Span, sources: Mapping[str, Source], note: str) -> dict[str, Any]:
    physical: dict[str, Any] = {"artifactLocation": _artifact(span.file)}
    if (source := sources.get(span.file)) is not None:
        physical["region"] = _region(source, span)
    location: dict[str, Any] = {"physicalLocation": physical}
    if note:
        location["message"] = {"text": note}
    return location


def _artifact(file: str) -> dict[str, str]:
    # A relative reference whose first part holds a colon would be read as having a scheme
    # (RFC 3986, 4.2), so colons are encoded too. Names that are not UTF-8 keep their bytes.
    return {"uri": quote(file.encode("utf-8", "surrogateescape"), safe="/"), "uriBaseId": _BASE}


def _region(source: Source, span: Span) -> dict[str, int]:
    start, end = source.place(span.start), source.place(max(span.start, span.end))
    return {
        "startLine": start.line,
        "startColumn": start.column,
        "endLine": end.line,
        "endColumn": end.column,  # the column after the last character (3.30.8)
    }


def _fix(edit: Edit, sources: Mapping[str, Source]) -> dict[str, Any]:
    replacement = {
        "deletedRegion": _region(sources[edit.span.file], edit.span),
        "insertedContent": {"text": edit.text},
    }
    return {
        "description": {"text": edit.title},
        "artifactChanges": [{"artifactLocation": _artifact(edit.span.file), "replacements": [replacement]}],
    }


def _unlike(items: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """The items in their order, each once: the standard's `fixes` is a set (3.27.30)."""
    kept: list[dict[str, Any]] = []
    for item in items:
        if item not in kept:
            kept.append(item)
    return kept


def _fingerprint(diagnostic: Diagnostic, sources: Mapping[str, Source], seen: Counter[str]) -> str:
    """What stays the same when lines are put in above: code, file, the line's own words.

    Equal ones in a file are told apart by their order.
    """
    source = sources.get(diagnostic.span.file)
    line = "" if source is None else source.line_text(source.place(diagnostic.span.start).line)
    key = "\n".join([diagnostic.code, diagnostic.span.file, " ".join(line.split())])
    seen[key] += 1
    text = f"{key}\n{seen[key]}"
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
