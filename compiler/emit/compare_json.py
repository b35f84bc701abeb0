"""What changed between two versions as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any, get_args

from countwheel.compare.facts import Kind
from countwheel.compare.versions import Comparison
from countwheel.emit.json_schema import STRING, YES, an_object, document, list_of

NAME = "countwheel compare 1"


def dump(before: str, after: str, found: Comparison) -> str:
    """The object of `compare --json` as text ending with a newline."""
    made = {
        "schema": NAME,
        "before": before,
        "after": after,
        "facts": [asdict(change) for change in found.facts],
        "figures": [asdict(shift) for shift in found.figures],
        "missed": list(found.missed),
        "kept": list(found.kept),
    }
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of `compare --json`."""
    fact = {
        "kind": {"enum": list(get_args(Kind))},
        "path": STRING,
        "word": STRING,
        "before": STRING,
        "after": STRING,
    }
    figure = {
        "id": STRING,
        "title": STRING,
        "before": STRING,
        "after": STRING,
        "unit": STRING,
        "difference": {"type": ["number", "null"]},
        "beyond": {
            **YES,
            "description": "whether it changed by more than both uncertainties let through (k = 2)",
        },
    }
    return document(
        NAME,
        {
            "before": STRING,
            "after": STRING,
            "facts": list_of(an_object(fact)),
            "figures": list_of(an_object(figure)),
            "missed": list_of(STRING) | {"description": "expectations that hold no longer"},
            "kept": list_of(STRING) | {"description": "expectations that hold again"},
        },
    )
