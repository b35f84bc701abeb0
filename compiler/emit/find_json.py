"""What `find` found as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from typing import Any

from countwheel.search.find import Findings, Found
from countwheel.search.lost import Lost

NAME = "countwheel find 1"


def dump(movement: str, found: Found) -> str:
    """The object of `find --json` as text ending with a newline."""
    made = {
        "schema": NAME,
        "movement": movement,
        "groups": [_group(group) for group in found.groups],
        "free": [{**_lost(one), "waits_for": list(waits)} for one, waits in found.free],
    }
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def _lost(one: Lost) -> dict[str, Any]:
    return {
        "name": one.name,
        "what": one.word,
        "least": one.domain[0] if one.domain else None,
        "most": one.domain[-1] if one.domain else None,
        "limits": one.limits,
        "stated": one.stated,
        "lost": one.gone,
    }


def _group(group: Findings) -> dict[str, Any]:
    return {
        "lost": [_lost(one) for one in group.lost],
        "rules": [rule.says for rule in group.rules],
        "combinations": group.combinations,
        "complete": group.complete,
        "stopped": group.stopped,
        "candidates": [
            {
                "counts": one.counts,
                "share": group.share(one),
                "seconds_per_day": one.error,
                "reasons": [
                    {"text": reason.text, "cost": reason.cost, "against": reason.against}
                    for reason in one.reasons
                    if reason.text
                ],
            }
            for one in group.candidates
        ],
        "clashes": [
            {
                "rules": [rule.says for rule in one.rules],
                "reason": one.reason.kind,
                "prime": one.reason.prime,
                "tried": one.reason.tried,
            }
            for one in group.clashes
        ],
        "nearest": [
            {"counts": one.counts, "rule": one.rule.says, "ratio": one.ratio, "seconds_per_day": one.error}
            for one in group.misses
        ],
        "measurements": [
            {
                "kind": one.kind,
                "path": one.path,
                "what": one.what,
                "expected_left": one.left,
                "minutes": one.minutes,
                "tolerance": one.tolerance,
            }
            for one in group.measurements
        ],
    }


def schema() -> dict[str, Any]:
    """The JSON Schema of `find --json`."""
    string, strings, yes = (
        {"type": "string"},
        {"type": "array", "items": {"type": "string"}},
        {"type": "boolean"},
    )
    number, whole = {"type": "number"}, {"type": "integer"}
    maybe = {"type": ["number", "null"]}
    counts = {"type": "object", "additionalProperties": whole, "description": "the count by the name of each"}

    def an_object(properties: dict[str, Any]) -> dict[str, Any]:
        return {
            "type": "object",
            "properties": properties,
            "required": list(properties),
            "additionalProperties": False,
        }

    def list_of(properties: dict[str, Any]) -> dict[str, Any]:
        return {"type": "array", "items": an_object(properties)}

    end = {"type": ["integer", "null"]}
    lost = {
        "name": string, "what": string, "least": end, "most": end, "limits": string, "stated": yes, "lost": yes,
    }  # fmt: skip
    error = {**maybe, "description": "what the clock gains (+) or loses (−) a day by the beat, in s"}
    candidate = {
        "counts": counts,
        "share": {**number, "description": "how likely among those found, 0 to 1"},
        "seconds_per_day": error,
        "reasons": list_of({"text": string, "cost": number, "against": yes}),
    }
    group = {
        "lost": list_of(lost),
        "rules": strings,
        "combinations": whole,
        "complete": {**yes, "description": "whether the candidates are all there are"},
        "stopped": {"enum": ["", "most", "steps"]},
        "candidates": list_of(candidate),
        "clashes": list_of(
            {
                "rules": strings,
                "reason": {"enum": ["range", "prime", "searched"]},
                "prime": end,
                "tried": whole,
            }
        ),
        "nearest": list_of({"counts": counts, "rule": string, "ratio": number, "seconds_per_day": error}),
        "measurements": list_of(
            {
                "kind": string,
                "path": string,
                "what": string,
                "expected_left": number,
                "minutes": whole,
                "tolerance": {**number, "description": "relative half-width that is enough; 0 for a count"},
            }
        ),
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": NAME,
        **an_object(
            {
                "schema": {"const": NAME},
                "movement": string,
                "groups": list_of(group),
                "free": list_of({**lost, "waits_for": strings}),
            }
        ),
    }
