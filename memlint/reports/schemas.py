"""JSON Schemas (draft 2020-12) of what commands print with `--format json`."""

from __future__ import annotations

import json
from collections.abc import Mapping

from memlint.reports.schema_parts import (
    BLOCKS,
    COUNT,
    FILE,
    FILL,
    NUMBER,
    PLACE,
    SHAPE,
    TEXT,
    TEXTS,
    Json,
    choice,
    list_of,
    object_of,
    or_null,
)
from memlint.reports.schemas_device import PLAN, RECONCILIATION

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema_text(name: str) -> str:
    """The schema of a command's JSON, as JSON. Ends in a line end."""
    return json.dumps(SCHEMAS[name], indent=2, ensure_ascii=False) + "\n"


_RANGE: dict[str, Json] = {
    "file": FILE,
    "line": PLACE,
    "column": {**PLACE, "description": "in code points"},
    "end_line": PLACE,
    "end_column": {**PLACE, "description": "exclusive"},
}
_START = {name: _RANGE[name] for name in ("file", "line", "column")}

_FINDING = object_of(
    {
        "rule": TEXT,
        "severity": choice("error", "warning", "note"),
        "message": TEXT,
        "path": {**or_null(TEXT), "description": "the first of `paths`"},
        "paths": {**TEXTS, "description": "memories or instances it holds for"},
        **_RANGE,
        "related": list_of(object_of({"message": TEXT, **_RANGE})),
        "numbers": {
            "type": "object",
            "additionalProperties": {"type": ["number", "string", "null"]},
            "description": "null: unknown",
        },
        "help": {**TEXTS, "description": "what to do: concrete alternatives"},
    }
)

_SUMMARY = object_of(
    {
        "errors": COUNT,
        "warnings": COUNT,
        "notes": COUNT,
        "accepted": {**COUNT, "description": "findings that an intent accepts"},
        "known": {**COUNT, "description": "findings left out because the baseline has them"},
        "device": TEXT,
        "device_given": {"type": "boolean"},
        "memories": COUNT,
        "unresolved": {**COUNT, "description": "memories of unknown shape"},
        "roots": TEXTS,
        "totals": list_of(
            object_of(
                {
                    "root": TEXT,
                    "tier": TEXT,
                    "blocks": {"type": "number", "minimum": 0},
                    "available": BLOCKS,
                    "memories": COUNT,
                    "unknown": {**COUNT, "description": "memories that could not be counted"},
                }
            )
        ),
        "units_without_source": list_of(object_of({"unit": TEXT, "instances": TEXTS})),
    }
)

_MEMORY = object_of(
    {
        "path": TEXT,
        "unit": TEXT,
        "name": TEXT,
        **_START,
        "depth": NUMBER,
        "width": NUMBER,
        "banks": {"type": "integer", "minimum": 1},
        "copies": NUMBER,
        "bits": NUMBER,
        "ports": object_of({"w": COUNT, "r": COUNT, "rw": COUNT}),
        "clocks": {"type": ["array", "null"], "items": TEXT, "description": "dotted nets, sorted"},
        "read": choice("synchronous", "asynchronous", "none", None),
        "language": choice("verilog", "systemverilog", "vhdl"),
        "tier": or_null(TEXT),
        "tier_from": choice("intent", "attribute", "assumed", None),
        "blocks": BLOCKS,
        "uniform_blocks": BLOCKS,
        "fill": FILL,
        "chain": NUMBER,
        "chains": NUMBER,
        "split": NUMBER,
        "read_latency": NUMBER,
        "unresolved": {**or_null(TEXT), "description": "why the shape is unknown"},
    }
)

_ARRAY = object_of(
    {
        "path": TEXT,
        "unit": TEXT,
        "name": TEXT,
        **_START,
        "depth": NUMBER,
        "width": NUMBER,
        "language": choice("verilog", "systemverilog", "vhdl"),
        "reason": {**TEXT, "description": "why it is no memory"},
    }
)

_CUT = object_of(
    {
        "first_word": COUNT,
        "words": COUNT,
        "first_bit": COUNT,
        "bits": COUNT,
        "shape": {"type": "array", "items": COUNT, "minItems": 2, "maxItems": 2},
        "blocks": {"type": "number", "minimum": 0},
    }
)

_SIZE = object_of(
    {
        "shape": object_of(SHAPE),
        "tiers": list_of(
            object_of(
                {
                    "tier": TEXT,
                    "blocks": BLOCKS,
                    "uniform_blocks": BLOCKS,
                    "lower_bound": BLOCKS,
                    "fill": FILL,
                    "copies": NUMBER,
                    "chain": NUMBER,
                    "chains": NUMBER,
                    "split": NUMBER,
                    "read_latency": NUMBER,
                    "cuts": list_of(_CUT),
                    "fits": {"type": "boolean"},
                    "because": TEXTS,
                }
            )
        ),
        "holds": object_of({"bits": COUNT, "enough": {"type": "boolean"}}),
    },
    optional=("holds",),
)

_SIDE = object_of(
    {
        "name": {**TEXT, "description": "the revision as given, or `working tree`"},
        "commit": {**or_null(TEXT), "description": "its full hash; null for the working tree"},
        "device": TEXT,
        "notes": {**TEXTS, "description": "what a reader must know of this side"},
    }
)

_CAUSES = list_of(
    object_of(
        {
            "text": TEXT,
            "side": {**choice("old", "new"), "description": "where its place is"},
            "file": or_null(FILE),
            "line": PLACE,
            "column": PLACE,
        }
    )
)

_CHANGED = object_of(
    {
        "path": {**TEXT, "description": "on the new side, or on the old where it is no more"},
        "kind": choice("added", "removed", "moved", "changed"),
        "before": {"anyOf": [_MEMORY, {"type": "null"}]},
        "after": {"anyOf": [_MEMORY, {"type": "null"}]},
        "causes": {**_CAUSES, "description": "of the addition, removal or move"},
        "changes": list_of(
            object_of(
                {
                    "what": choice("shape", "ports", "clocks", "read", "tier", "blocks"),
                    "before": TEXT,
                    "after": TEXT,
                    "causes": {**_CAUSES, "description": "none: not known"},
                }
            )
        ),
    }
)

_AMOUNT = object_of(
    {
        "blocks": {"type": "number", "minimum": 0, "description": "flip-flops for `registers`"},
        "memories": COUNT,
        "unknown": {**COUNT, "description": "memories that could not be counted"},
    }
)
_STEP = {"tier": TEXT, "before": _AMOUNT, "after": _AMOUNT}
_SEVERITIES = object_of({"errors": COUNT, "warnings": COUNT, "notes": COUNT})

_COMPARISON = object_of(
    {
        "old": _SIDE,
        "new": _SIDE,
        "memories": {**list_of(_CHANGED), "description": "those that differ"},
        "units": {
            **list_of(object_of({"unit": TEXT, **_STEP})),
            "description": "all instances of a unit, with everything below them",
        },
        "tiers": list_of(object_of({"root": TEXT, **_STEP, "available": BLOCKS})),
        "findings": object_of({"new": list_of(_FINDING), "gone": list_of(_FINDING)}),
        "summary": object_of(
            {
                "added": COUNT,
                "removed": COUNT,
                "moved": COUNT,
                "changed": COUNT,
                "unchanged": COUNT,
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
        **object_of({"findings": list_of(_FINDING), "summary": _SUMMARY}),
    },
    "list": {
        "$schema": _DRAFT,
        "title": "memlint list --format json",
        **object_of({"memories": list_of(_MEMORY), "arrays": list_of(_ARRAY)}, optional=("arrays",)),
    },
    "compare": {"$schema": _DRAFT, "title": "memlint compare --format json", **_COMPARISON},
    "plan": {"$schema": _DRAFT, "title": "memlint plan --format json", **PLAN},
    "reconcile": {"$schema": _DRAFT, "title": "memlint reconcile --format json", **RECONCILIATION},
    "size": {
        "$schema": _DRAFT,
        "title": "memlint size --format json",
        "description": "one object for one shape, a list of them for several",
        "oneOf": [{"$ref": "#/$defs/size"}, {"type": "array", "items": {"$ref": "#/$defs/size"}}],
        "$defs": {"size": _SIZE},
    },
}
