"""What the log tells of the timekeeping as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from dataclasses import asdict
from math import isfinite
from typing import Any

from countwheel.emit.json_schema import NUMBER, STRING, WHOLE, YES, an_object, document, list_of
from countwheel.record.report import Report

NAME = "countwheel rate 1"


def dump(movement: str, report: Report) -> str:
    """The object of `rate --json` as text ending with a newline; seconds, days, fast and gaining are positive."""
    made = {
        "schema": NAME,
        "movement": movement,
        "readings": sum(entry.found is not None for entry in report.entries),
        "stretches": [asdict(one) for one in report.rates],
        "odd": [
            {"when": one.entry.when, "amount": one.amount, "jump": one.jump, "likely": one.likely}
            for one in report.cleaned.odd
        ],
        "limit": report.cleaned.limit,
        "wander": report.wander,
        "scale": report.scale,
        "coefficients": [asdict(one) for one in report.coefficients],
        "step": report.step,
        "deviations": [one._asdict() for one in report.stability],
        "compared": [asdict(one) | {"agrees": one.agrees} for one in report.compared],
        "faults": [asdict(one) for one in report.faults],
        "advice": asdict(report.advice),
    }
    return json.dumps(_finite(made), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _finite(value: Any) -> Any:
    """JSON has no infinity: what is not known at all is null."""
    if isinstance(value, dict):
        return {name: _finite(inner) for name, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [_finite(inner) for inner in value]
    return None if isinstance(value, float) and not isfinite(value) else value


def _maybe(of: dict[str, Any], means: str = "") -> dict[str, Any]:
    return {"type": [of["type"], "null"]} | ({"description": means} if means else {})


def schema() -> dict[str, Any]:
    """The JSON Schema of `rate --json`."""
    half = _maybe(NUMBER, "half-width at 95 %; null where nothing bounds it")
    stretch = {
        "first": STRING, "last": STRING, "why": {**STRING, "description": "what began it"}, "days": NUMBER,
        "readings": WHOLE, "rate": {**NUMBER, "description": "s/day, gaining is positive"},
        "error": {**NUMBER, "description": "standard error, k = 1"}, "half": half,
    }  # fmt: skip
    odd = {
        "when": STRING,
        "amount": {**NUMBER, "description": "s, fast is positive"},
        "jump": {**YES, "description": "a jump that stays, not a single reading"},
        "likely": STRING,
    }
    coefficient = {
        "of": {"enum": ["temperature", "pressure", "arc"]}, "told": YES, "why_not": STRING,
        "value": _maybe(NUMBER, "s/day for each °C, hPa or degree"), "error": NUMBER, "half": half,
        "intervals": WHOLE, "spread": NUMBER, "with_date": NUMBER, "beside": STRING,
    }  # fmt: skip
    compared = {
        "of": {"enum": ["temperature", "pressure", "arc", "nut", "tray"]}, "unit": STRING, "recorded": NUMBER,
        "recorded_error": NUMBER, "low": NUMBER, "high": NUMBER, "described_error": NUMBER, "apart": NUMBER,
        "limit": _maybe(NUMBER), "figure": STRING, "when": STRING, "turned": NUMBER, "agrees": YES,
    }  # fmt: skip
    fault = {
        "kind": {"enum": ["rate drifts", "arc falls", "jump"]},
        "amount": {**NUMBER, "description": "s/day or degrees in 30 days; s for a jump"},
        "half": _maybe(NUMBER, "half-width at 99.8 %"),
        "first": STRING,
        "last": STRING,
    }
    advice = {
        "action": {"enum": ["wait", "leave", "nut", "tray", "unknown"]}, "rate": _maybe(NUMBER), "half": half,
        "warmth": _maybe(NUMBER, "°C that the rate is for"), "weeks": WHOLE,
        "turns": _maybe(NUMBER, "of the nut, up is positive"), "divisions": _maybe(NUMBER),
        "grams": _maybe(NUMBER, "on the tray, off is negative"),
        "left": {**NUMBER, "description": "s/day expected to remain"},
        "expected": _maybe(NUMBER, "s by which the clock may wander in those weeks, at 95 %"),
        "drifts_by": {**NUMBER, "description": "s that the rate left makes in those weeks"},
        "since": STRING, "raises": STRING,
        "least": _maybe(NUMBER, "turns of a nut without stated divisions under which nothing is to be judged"),
    }  # fmt: skip
    deviation = {"span": {**NUMBER, "description": "days"}, "value": NUMBER, "terms": WHOLE}
    return document(
        NAME,
        {
            "movement": STRING,
            "readings": WHOLE,
            "stretches": list_of(an_object(stretch)),
            "odd": list_of(an_object(odd)),
            "limit": _maybe(NUMBER, "standard errors from which a reading is set aside"),
            "wander": {**NUMBER, "description": "variance that the clock's own error gains in a day, s²"},
            "scale": {**NUMBER, "description": "by which the variances of the readings had to be multiplied"},
            "coefficients": list_of(an_object(coefficient)),
            "step": _maybe(NUMBER, "days between readings, where they come evenly"),
            "deviations": list_of(an_object(deviation)),
            "compared": list_of(an_object(compared)),
            "faults": list_of(an_object(fault)),
            "advice": an_object(advice),
        },
    )
