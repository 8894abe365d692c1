"""JSON Schemas (draft 2020-12) of what `check`, `list`, `compare` and `size` print with `--format json`."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

Json = dict[str, Any]

_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_TEXT: Json = {"type": "string"}
_TEXTS: Json = {"type": "array", "items": _TEXT}
_COUNT: Json = {"type": "integer", "minimum": 0}
_PLACE: Json = {"type": ["integer", "null"], "minimum": 1}
_NUMBER: Json = {"type": ["integer", "null"], "minimum": 0}
_BLOCKS: Json = {"type": ["number", "null"], "minimum": 0, "description": "null: unknown"}
_FILL: Json = {"type": ["number", "null"], "minimum": 0, "description": "bits used over bits taken"}
_FILE: Json = {"type": "string", "description": "relative to memlint.toml, with /"}
_SHAPE = {"depth": {"type": "integer", "minimum": 1}, "width": {"type": "integer", "minimum": 1}}


def schema_text(name: str) -> str:
    """The schema of a command's JSON, as JSON. Ends in a line end."""
    return json.dumps(SCHEMAS[name], indent=2, ensure_ascii=False) + "\n"


def _object(properties: Mapping[str, Json], optional: tuple[str, ...] = (), **more: Any) -> Json:
    return {
        "type": "object",
        "properties": dict(properties),
        "required": [name for name in properties if name not in optional],
        "additionalProperties": False,
        **more,
    }


def _list(items: Json) -> Json:
    return {"type": "array", "items": items}


def _choice(*values: str | None) -> Json:
    return {"enum": list(values)}


def _or_null(text: Json) -> Json:
    return {**text, "type": [text["type"], "null"]}


_RANGE: dict[str, Json] = {
    "file": _FILE,
    "line": _PLACE,
    "column": {**_PLACE, "description": "in code points"},
    "end_line": _PLACE,
    "end_column": {**_PLACE, "description": "exclusive"},
}
_START = {name: _RANGE[name] for name in ("file", "line", "column")}

_FINDING = _object(
    {
        "rule": _TEXT,
        "severity": _choice("error", "warning", "note"),
        "message": _TEXT,
        "path": {**_or_null(_TEXT), "description": "the first of `paths`"},
        "paths": {**_TEXTS, "description": "memories or instances it holds for"},
        **_RANGE,
        "related": _list(_object({"message": _TEXT, **_RANGE})),
        "numbers": {
            "type": "object",
            "additionalProperties": {"type": ["number", "string", "null"]},
            "description": "null: unknown",
        },
        "help": {**_TEXTS, "description": "what to do: concrete alternatives"},
    }
)

_SUMMARY = _object(
    {
        "errors": _COUNT,
        "warnings": _COUNT,
        "notes": _COUNT,
        "accepted": {**_COUNT, "description": "findings that an intent accepts"},
        "known": {**_COUNT, "description": "findings left out because the baseline has them"},
        "device": _TEXT,
        "device_given": {"type": "boolean"},
        "memories": _COUNT,
        "unresolved": {**_COUNT, "description": "memories of unknown shape"},
        "roots": _TEXTS,
        "totals": _list(
            _object(
                {
                    "root": _TEXT,
                    "tier": _TEXT,
                    "blocks": {"type": "number", "minimum": 0},
                    "available": _BLOCKS,
                    "memories": _COUNT,
                    "unknown": {**_COUNT, "description": "memories that could not be counted"},
                }
            )
        ),
        "units_without_source": _list(_object({"unit": _TEXT, "instances": _TEXTS})),
    }
)

_MEMORY = _object(
    {
        "path": _TEXT,
        "unit": _TEXT,
        "name": _TEXT,
        **_START,
        "depth": _NUMBER,
        "width": _NUMBER,
        "banks": {"type": "integer", "minimum": 1},
        "copies": _NUMBER,
        "bits": _NUMBER,
        "ports": _object({"w": _COUNT, "r": _COUNT, "rw": _COUNT}),
        "clocks": {"type": ["array", "null"], "items": _TEXT, "description": "dotted nets, sorted"},
        "read": _choice("synchronous", "asynchronous", "none", None),
        "language": _choice("verilog", "systemverilog", "vhdl"),
        "tier": _or_null(_TEXT),
        "tier_from": _choice("intent", "attribute", "assumed", None),
        "blocks": _BLOCKS,
        "uniform_blocks": _BLOCKS,
        "fill": _FILL,
        "chain": _NUMBER,
        "chains": _NUMBER,
        "split": _NUMBER,
        "read_latency": _NUMBER,
        "unresolved": {**_or_null(_TEXT), "description": "why the shape is unknown"},
    }
)

_ARRAY = _object(
    {
        "path": _TEXT,
        "unit": _TEXT,
        "name": _TEXT,
        **_START,
        "depth": _NUMBER,
        "width": _NUMBER,
        "language": _choice("verilog", "systemverilog", "vhdl"),
        "reason": {**_TEXT, "description": "why it is no memory"},
    }
)

_CUT = _object(
    {
        "first_word": _COUNT,
        "words": _COUNT,
        "first_bit": _COUNT,
        "bits": _COUNT,
        "shape": {"type": "array", "items": _COUNT, "minItems": 2, "maxItems": 2},
        "blocks": {"type": "number", "minimum": 0},
    }
)

_SIZE = _object(
    {
        "shape": _object(_SHAPE),
        "tiers": _list(
            _object(
                {
                    "tier": _TEXT,
                    "blocks": _BLOCKS,
                    "uniform_blocks": _BLOCKS,
                    "lower_bound": _BLOCKS,
                    "fill": _FILL,
                    "copies": _NUMBER,
                    "chain": _NUMBER,
                    "chains": _NUMBER,
                    "split": _NUMBER,
                    "read_latency": _NUMBER,
                    "cuts": _list(_CUT),
                    "fits": {"type": "boolean"},
                    "because": _TEXTS,
                }
            )
        ),
        "holds": _object({"bits": _COUNT, "enough": {"type": "boolean"}}),
    },
    optional=("holds",),
)

_SIDE = _object(
    {
        "name": {**_TEXT, "description": "the revision as given, or `working tree`"},
        "commit": {**_or_null(_TEXT), "description": "its full hash; null for the working tree"},
        "device": _TEXT,
        "notes": {**_TEXTS, "description": "what a reader must know of this side"},
    }
)

_CAUSES = _list(
    _object(
        {
            "text": _TEXT,
            "side": {**_choice("old", "new"), "description": "where its place is"},
            "file": _or_null(_FILE),
            "line": _PLACE,
            "column": _PLACE,
        }
    )
)

_CHANGED = _object(
    {
        "path": {**_TEXT, "description": "on the new side, or on the old where it is no more"},
        "kind": _choice("added", "removed", "moved", "changed"),
        "before": {"anyOf": [_MEMORY, {"type": "null"}]},
        "after": {"anyOf": [_MEMORY, {"type": "null"}]},
        "causes": {**_CAUSES, "description": "of the addition, removal or move"},
        "changes": _list(
            _object(
                {
                    "what": _choice("shape", "ports", "clocks", "read", "tier", "blocks"),
                    "before": _TEXT,
                    "after": _TEXT,
                    "causes": {**_CAUSES, "description": "none: not known"},
                }
            )
        ),
    }
)

_AMOUNT = _object(
    {
        "blocks": {"type": "number", "minimum": 0, "description": "flip-flops for `registers`"},
        "memories": _COUNT,
        "unknown": {**_COUNT, "description": "memories that could not be counted"},
    }
)
_STEP = {"tier": _TEXT, "before": _AMOUNT, "after": _AMOUNT}
_SEVERITIES = _object({"errors": _COUNT, "warnings": _COUNT, "notes": _COUNT})

_COMPARISON = _object(
    {
        "old": _SIDE,
        "new": _SIDE,
        "memories": {**_list(_CHANGED), "description": "those that differ"},
        "units": {
            **_list(_object({"unit": _TEXT, **_STEP})),
            "description": "all instances of a unit, with everything below them",
        },
        "tiers": _list(_object({"root": _TEXT, **_STEP, "available": _BLOCKS})),
        "findings": _object({"new": _list(_FINDING), "gone": _list(_FINDING)}),
        "summary": _object(
            {
                "added": _COUNT,
                "removed": _COUNT,
                "moved": _COUNT,
                "changed": _COUNT,
                "unchanged": _COUNT,
                "new": _SEVERITIES,
                "gone": _SEVERITIES,
            }
        ),
    }
)

SCHEMAS: Mapping[str, Json] = {
    "check": {
        "$schema": _DRAFT,
        "title": "memlint check --format json",
        **_object({"findings": _list(_FINDING), "summary": _SUMMARY}),
    },
    "list": {
        "$schema": _DRAFT,
        "title": "memlint list --format json",
        **_object({"memories": _list(_MEMORY), "arrays": _list(_ARRAY)}, optional=("arrays",)),
    },
    "compare": {"$schema": _DRAFT, "title": "memlint compare --format json", **_COMPARISON},
    "size": {
        "$schema": _DRAFT,
        "title": "memlint size --format json",
        "description": "one object for one shape, a list of them for several",
        "oneOf": [{"$ref": "#/$defs/size"}, {"type": "array", "items": {"$ref": "#/$defs/size"}}],
        "$defs": {"size": _SIZE},
    },
}
