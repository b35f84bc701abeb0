"""The model as JSON, and its JSON Schema, made from the vocabulary and the types of values."""

from __future__ import annotations

import json
from typing import Any

from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.vocabulary import load

NAME = "countwheel model 1"


def dump(clock: Clock) -> str:
    """The facts of a clock as text in JSON, ending with a newline."""
    data = {"schema": NAME, "movement": clock.name, "facts": json.loads(clock.root.model_dump_json())}
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of `countwheel model`: every word of the vocabulary, with who may own it.

    Each block of the language is a definition `block NAME` that lists the
    words that may stand under it, with their meanings.
    """
    vocabulary = load()
    node = Node.model_json_schema(ref_template="#/$defs/{model}", mode="serialization")
    types = node.pop("$defs")
    fact = types.pop("Node", node)
    definitions: dict[str, Any] = dict(sorted(types.items()))
    definitions["Node"] = fact
    for owner in sorted(vocabulary.owners):
        if owner == "*":
            continue
        words = {entry.word: entry for entry in vocabulary.under(owner).values()}
        loose = vocabulary.loose.get(owner)
        if loose is not None:
            words[loose.word] = loose
        definitions[f"block {owner}"] = {
            "title": owner,
            "type": "array",
            "items": {
                "allOf": [{"$ref": "#/$defs/Node"}],
                "oneOf": [
                    _word(word, entry.meaning, vocabulary.owners) for word, entry in sorted(words.items())
                ],
            },
        }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": NAME,
        "type": "object",
        "properties": {
            "schema": {"const": NAME},
            "movement": {"type": "string"},
            "facts": {
                "allOf": [{"$ref": "#/$defs/Node"}],
                "properties": {"facts": {"$ref": "#/$defs/block movement"}},
            },
        },
        "required": ["schema", "movement", "facts"],
        "additionalProperties": False,
        "$defs": definitions,
    }


def _word(word: str, meaning: str, owners: dict[str, Any]) -> dict[str, Any]:
    name = {"<entry>": "entry"}.get(word, word)
    properties: dict[str, Any] = {"word": {"const": name}}
    if name in owners:
        properties["facts"] = {"$ref": f"#/$defs/block {name}"}
    return {"description": meaning, "properties": properties}
