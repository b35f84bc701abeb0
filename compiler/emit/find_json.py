"""What `find` found as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from typing import Any

from countwheel.emit.json_schema import NUMBER, STRING, WHOLE, YES, an_object, document, list_of
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
    counts = {"type": "object", "additionalProperties": WHOLE, "description": "the count by the name of each"}
    end = {"type": ["integer", "null"]}
    lost = {
        "name": STRING, "what": STRING, "least": end, "most": end, "limits": STRING, "stated": YES, "lost": YES,
    }  # fmt: skip
    error = {
        "type": ["number", "null"],
        "description": "what the clock gains (+) or loses (−) a day by the beat, in s",
    }
    candidate = {
        "counts": counts,
        "share": {**NUMBER, "description": "how likely among those found, 0 to 1"},
        "seconds_per_day": error,
        "reasons": list_of(an_object({"text": STRING, "cost": NUMBER, "against": YES})),
    }
    clash = {
        "rules": list_of(STRING),
        "reason": {"enum": ["range", "prime", "searched"]},
        "prime": end,
        "tried": WHOLE,
    }
    near = {"counts": counts, "rule": STRING, "ratio": NUMBER, "seconds_per_day": error}
    measurement = {
        "kind": STRING,
        "path": STRING,
        "what": STRING,
        "expected_left": NUMBER,
        "minutes": WHOLE,
        "tolerance": {**NUMBER, "description": "relative half-width that is enough; 0 for a count"},
    }
    group = {
        "lost": list_of(an_object(lost)),
        "rules": list_of(STRING),
        "combinations": WHOLE,
        "complete": {**YES, "description": "whether the candidates are all there are"},
        "stopped": {"enum": ["", "most", "steps"]},
        "candidates": list_of(an_object(candidate)),
        "clashes": list_of(an_object(clash)),
        "nearest": list_of(an_object(near)),
        "measurements": list_of(an_object(measurement)),
    }
    return document(
        NAME,
        {
            "movement": STRING,
            "groups": list_of(an_object(group)),
            "free": list_of(an_object({**lost, "waits_for": list_of(STRING)})),
        },
    )
