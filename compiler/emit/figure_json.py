"""Figures as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.render_json import to_json
from countwheel.emit.json_schema import STRING, an_object, document, list_of
from countwheel.figures.record import Figure
from countwheel.source import Source

NAME = "countwheel figures 1"


def record(figure: Figure) -> dict[str, Any]:
    """One figure under its public keys, spaces made underscores."""
    return {
        "id": figure.id,
        "title": figure.title,
        "value": figure.value,
        "unit": figure.unit,
        "shown": figure.shown,
        "exact": None if figure.exact is None else str(figure.exact),
        "uncertainty": figure.uncertainty,
        "how_propagated": figure.how_propagated,
        "inputs": [
            {
                "path": one.path,
                "written": one.written,
                "how": one.how,
                "evidence": one.evidence,
                "tolerance": one.tolerance,
            }
            for one in figure.inputs
        ],
        "formula": figure.formula,
        "substitution": figure.substitution,
        "symbols": [{"symbol": symbol, "what": what} for symbol, what in figure.symbols],
        "budget": figure.budget,
        "standing": figure.standing,
        "method": figure.method,
        "source": figure.source,
        "cautions": list(figure.cautions),
        "waits_for": list(figure.waits_for),
    }


def dump(
    movement: str, figures: Iterable[Figure], diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source]
) -> str:
    """The object of `figures --json` as text ending with a newline."""
    return (
        json.dumps(
            {
                "schema": NAME,
                "movement": movement,
                "figures": [record(figure) for figure in figures],
                "diagnostics": to_json(diagnostics, sources)["diagnostics"],
            },
            ensure_ascii=False,
            indent=2,
        )
        + "\n"
    )


def schema() -> dict[str, Any]:
    """The JSON Schema of `figures --json`."""
    from countwheel.diagnostics.render_json import SCHEMA as DIAGNOSTICS

    figure = an_object(
        {
            "id": {"type": "string", "description": "TRAIN_OR_BLOCK.PATH.QUANTITY, stable"},
            "title": STRING,
            "value": {
                "type": ["number", "string", "boolean", "null"],
                "description": "full precision; null while it waits",
            },
            "unit": STRING,
            "shown": {"type": "string", "description": "the value as printed, to the digits that it bears"},
            "exact": {
                "type": ["string", "null"],
                "description": "the value as a fraction, where exactly known",
            },
            "uncertainty": {
                "type": ["number", "null"],
                "description": "standard, k = 1, in `unit`; null where exact",
            },
            "how_propagated": STRING,
            "inputs": {
                "type": "array",
                "items": an_object(
                    {
                        "path": STRING,
                        "written": STRING,
                        "how": {
                            "type": "string",
                            "description": "its standing in one word; empty for what a table gives",
                        },
                        "evidence": STRING,
                        "tolerance": STRING,
                    }
                ),
            },
            "formula": STRING,
            "substitution": STRING,
            "symbols": {"type": "array", "items": an_object({"symbol": STRING, "what": STRING})},
            "budget": {
                "type": "object",
                "additionalProperties": {"type": "number"},
                "description": "share of the variance by input path",
            },
            "standing": {"type": "string", "description": "how the weakest of its inputs is known"},
            "method": STRING,
            "source": STRING,
            "cautions": list_of(STRING),
            "waits_for": list_of(STRING),
        }
    )
    made = document(
        NAME,
        {
            "movement": STRING,
            "figures": list_of(figure),
            "diagnostics": DIAGNOSTICS["properties"]["diagnostics"],
        },
    )
    return made | {"$defs": DIAGNOSTICS.get("$defs", {})}
