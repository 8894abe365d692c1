"""What the JSON Schemas of the reports are made of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

Json: TypeAlias = "dict[str, Any]"

TEXT: Json = {"type": "string"}
TEXTS: Json = {"type": "array", "items": TEXT}
COUNT: Json = {"type": "integer", "minimum": 0}
PLACE: Json = {"type": ["integer", "null"], "minimum": 1}
NUMBER: Json = {"type": ["integer", "null"], "minimum": 0}
BLOCKS: Json = {"type": ["number", "null"], "minimum": 0, "description": "null: unknown"}
FILL: Json = {"type": ["number", "null"], "minimum": 0, "description": "bits used over bits taken"}
FILE: Json = {"type": "string", "description": "relative to memlint.toml, with /"}
SHAPE: Mapping[str, Json] = {
    "depth": {"type": "integer", "minimum": 1},
    "width": {"type": "integer", "minimum": 1},
}


def object_of(properties: Mapping[str, Json], optional: tuple[str, ...] = (), **more: Any) -> Json:
    """An object with these properties and no others; all are required but the `optional` ones."""
    return {
        "type": "object",
        "properties": dict(properties),
        "required": [name for name in properties if name not in optional],
        "additionalProperties": False,
        **more,
    }


def list_of(items: Json) -> Json:
    """An array whose items are all of one kind."""
    return {"type": "array", "items": items}


def choice(*values: str | None) -> Json:
    """One of these values."""
    return {"enum": list(values)}


def or_null(one: Json) -> Json:
    """The same, or null."""
    return {**one, "type": [one["type"], "null"]}
