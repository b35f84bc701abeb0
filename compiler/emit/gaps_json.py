"""Gaps as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from typing import Any

from countwheel.emit.gap_rows import chapters_of
from countwheel.search.gaps import Gap, Gaps

NAME = "countwheel gaps 1"


def dump(movement: str, gaps: Gaps) -> str:
    """The object of `gaps --json` as text ending with a newline."""
    made = {
        "schema": NAME,
        "movement": movement,
        "figures_known": gaps.known,
        "figures_waiting": gaps.waiting,
        "gaps": [_gap(gap) for gap in gaps.gaps],
        "worklist": [gap.path for gap in gaps.worklist],
    }
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def _gap(gap: Gap) -> dict[str, Any]:
    return {
        "path": gap.path,
        "kind": gap.kind,
        "meaning": gap.meaning,
        "written": gap.written,
        "how": gap.how,
        "lost": gap.lost,
        "where": gap.where,
        "with": gap.means.needed,
        "minutes": gap.means.minutes,
        "enough": gap.enough,
        "settles": gap.settles,
        "candidates": gap.candidates,
        "figures": [{"id": one.figure, "title": one.title, "settles": one.settles} for one in gap.holds],
        "chapters": list(chapters_of(one.figure for one in gap.holds)),
    }


def schema() -> dict[str, Any]:
    """The JSON Schema of `gaps --json`."""
    string, number, yes = {"type": "string"}, {"type": "number"}, {"type": "boolean"}
    strings = {"type": "array", "items": string}

    def an_object(properties: dict[str, Any]) -> dict[str, Any]:
        return {
            "type": "object",
            "properties": properties,
            "required": list(properties),
            "additionalProperties": False,
        }

    figure = {
        "id": string,
        "title": string,
        "settles": {**number, "description": "how far the figure would be settled, 0 to 1"},
    }
    gap = {
        "path": string,
        "kind": {"enum": ["unknown", "not stated", "weak"]},
        "meaning": string,
        "written": {**string, "description": "what is known of it, as written"},
        "how": string,
        "lost": yes,
        "where": string,
        "with": string,
        "minutes": {"type": "integer"},
        "enough": {**string, "description": "the half-width that is enough, in the keeper's unit"},
        "settles": {**number, "description": "figures settled, with the share of candidates that would fall"},
        "candidates": number,
        "figures": {"type": "array", "items": an_object(figure)},
        "chapters": strings,
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": NAME,
        **an_object(
            {
                "schema": {"const": NAME},
                "movement": string,
                "figures_known": {"type": "integer"},
                "figures_waiting": {"type": "integer"},
                "gaps": {"type": "array", "items": an_object(gap)},
                "worklist": {
                    **strings,
                    "description": "what can be measured and settles something, the best first",
                },
            }
        ),
    }
