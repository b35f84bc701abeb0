"""Gaps as JSON, with the schema of what is printed (JSON Schema 2020-12)."""

from __future__ import annotations

import json
from typing import Any

from countwheel.emit.gap_rows import chapters_of
from countwheel.emit.json_schema import NUMBER, STRING, WHOLE, YES, an_object, document, list_of
from countwheel.search.gap import Gap, Gaps

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
    figure = {
        "id": STRING,
        "title": STRING,
        "settles": {**NUMBER, "description": "how far the figure would be settled, 0 to 1"},
    }
    gap = {
        "path": STRING,
        "kind": {"enum": ["unknown", "not stated", "weak"]},
        "meaning": STRING,
        "written": {**STRING, "description": "what is known of it, as written"},
        "how": STRING,
        "lost": YES,
        "where": STRING,
        "with": STRING,
        "minutes": WHOLE,
        "enough": {**STRING, "description": "the half-width that is enough, in the keeper's unit"},
        "settles": {**NUMBER, "description": "figures settled, with the share of candidates that would fall"},
        "candidates": NUMBER,
        "figures": list_of(an_object(figure)),
        "chapters": list_of(STRING),
    }
    settling = "what can be measured and settles something, the best first"
    return document(
        NAME,
        {
            "movement": STRING,
            "figures_known": WHOLE,
            "figures_waiting": WHOLE,
            "gaps": list_of(an_object(gap)),
            "worklist": list_of(STRING) | {"description": settling},
        },
    )
