"""Small pieces of JSON Schema (2020-12), for the schemas of what the commands print."""

from __future__ import annotations

from typing import Any

DIALECT = "https://json-schema.org/draft/2020-12/schema"
STRING, NUMBER, WHOLE, YES = {"type": "string"}, {"type": "number"}, {"type": "integer"}, {"type": "boolean"}


def an_object(properties: dict[str, Any]) -> dict[str, Any]:
    """An object that has just these properties."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def list_of(items: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": items}


def document(name: str, properties: dict[str, Any]) -> dict[str, Any]:
    """The schema of a whole document, whose `schema` is its name."""
    return {"$schema": DIALECT, "title": name, **an_object({"schema": {"const": name}, **properties})}
