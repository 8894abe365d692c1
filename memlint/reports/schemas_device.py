"""JSON Schemas of the commands about a whole device: `plan` and `reconcile`."""

from __future__ import annotations

from memlint.reports.schema_parts import (
    BLOCKS,
    COUNT,
    FILE,
    NUMBER,
    PLACE,
    TEXT,
    TEXTS,
    Json,
    choice,
    list_of,
    object_of,
    or_null,
)

_AMOUNT: Json = {"type": "number", "minimum": 0}
_SHARE: Json = {"type": ["number", "null"], "minimum": 0, "description": "of the blocks the device has"}
_UNKNOWN: Json = {**COUNT, "description": "memories that could not be counted"}

_SUM = object_of(
    {
        "tier": TEXT,
        "blocks": {**_AMOUNT, "description": "flip-flops for `registers`"},
        "uniform_blocks": BLOCKS,
        "bits": COUNT,
        "memories": COUNT,
        "planned": {**COUNT, "description": "of the memories, those without RTL yet"},
        "unknown": _UNKNOWN,
    }
)

_EXTERNAL = object_of(
    {
        "tier": TEXT,
        "bits": COUNT,
        "capacity_bits": NUMBER,
        "bandwidth_gbit_s": or_null(_AMOUNT),
        "peak_gbit_s": {**or_null(_AMOUNT), "description": "if every port is used every cycle"},
        "memories": COUNT,
        "unknown": _UNKNOWN,
    }
)

_FILLING = object_of(
    {
        "tier": TEXT,
        "unit": choice("blocks", "bits"),
        "taken": _AMOUNT,
        "supply": {**BLOCKS, "description": "what is available, less the reserve; null: unknown"},
        "available": BLOCKS,
        "columns": {
            **list_of(object_of({"blocks": COUNT, "chains": list_of(COUNT)})),
            "description": "the chains that stand in each column; empty where none do",
        },
    }
)

_PLANNED = object_of(
    {
        "path": TEXT,
        "file": FILE,
        "line": PLACE,
        "column": PLACE,
        "planned": {"type": "boolean", "description": "it has no RTL yet"},
        "black_box": {
            "type": "boolean",
            "description": "a unit without source, as memlint.toml describes it",
        },
        "fixed": {"type": "boolean", "description": "its tier is not the plan's to choose"},
        "tier_now": or_null(TEXT),
        "tier": TEXT,
        "blocks": {**BLOCKS, "description": "null: off the chip"},
        "share": _SHARE,
        "chains": {**list_of(COUNT), "description": "blocks of each piece of two and more, over all banks"},
        "cuts": {**COUNT, "description": "pieces that its chains are cut in beyond those they must"},
        "ways": {**NUMBER, "description": "inputs of the multiplexer that joins its pieces"},
        "read_latency": NUMBER,
        "why": {**TEXTS, "description": "what decided, what the other tiers cost, which do not take it"},
    }
)

_COST = {
    **object_of({"share": _AMOUNT, "cuts": COUNT, "read_latency": COUNT, "microwatt": _AMOUNT}),
    "type": ["object", "null"],
    "description": "null: there is no plan",
}

PLAN = object_of(
    {
        "scenarios": list_of(
            object_of(
                {
                    "title": TEXT,
                    "device": TEXT,
                    "root": TEXT,
                    "fits": {"type": ["boolean", "null"], "description": "null: not known"},
                    "proven": {
                        "type": "boolean",
                        "description": "no plan costs less; without one: none exists",
                    },
                    "gap": {
                        **or_null(_AMOUNT),
                        "description": "by how much of its share a better plan could be better",
                    },
                    "cost": _COST,
                    "conflict": {**TEXTS, "description": "why there is no plan, and what to do"},
                    "tiers": list_of(_FILLING),
                    "memories": list_of(_PLANNED),
                    "units": list_of(
                        object_of(
                            {"unit": TEXT, "instances": COUNT, "own": list_of(_SUM), "tiers": list_of(_SUM)}
                        )
                    ),
                    "instances": list_of(
                        object_of(
                            {
                                "path": TEXT,
                                "unit": TEXT,
                                "tiers": list_of(_SUM),
                                "external": list_of(_EXTERNAL),
                                "units_without_source": TEXTS,
                                "black_boxes": TEXTS,
                                "without_tier": TEXTS,
                            }
                        )
                    ),
                    "budgets": list_of(
                        object_of(
                            {
                                "path": TEXT,
                                "unit": TEXT,
                                "tier": TEXT,
                                "blocks": {**_AMOUNT, "description": "of the instance and all below it"},
                                "budget": _AMOUNT,
                                "unknown": _UNKNOWN,
                            }
                        )
                    ),
                    "left_out": {
                        **list_of(object_of({"path": TEXT, "because": TEXT})),
                        "description": "memories that are in no sum",
                    },
                    "units_without_source": {**TEXTS, "description": "in no sum"},
                    "black_boxes": {**TEXTS, "description": "units counted as memlint.toml describes them"},
                }
            )
        )
    }
)

RECONCILIATION = object_of(
    {
        "memories": list_of(
            object_of(
                {
                    "path": TEXT,
                    "tier": or_null(TEXT),
                    "blocks": BLOCKS,
                    "uniform_blocks": BLOCKS,
                    "built": list_of(object_of({"tier": TEXT, "blocks": _AMOUNT})),
                    "verdict": choice("agrees", "explained", "accepted", "outlier"),
                    "because": TEXT,
                }
            )
        ),
        "unmatched": {
            **list_of(
                object_of(
                    {
                        "line": {"type": "integer", "minimum": 1},
                        "path": TEXT,
                        "tier": TEXT,
                        "blocks": _AMOUNT,
                        "near": {**TEXTS, "description": "paths of memories that are written alike"},
                    }
                )
            ),
            "description": "rows without a memory",
        },
        "not_in_table": TEXTS,
        "unused_acceptances": {
            **TEXTS,
            "description": "memories of [[measured]] whose count is not in the table",
        },
        "summary": object_of({"agrees": COUNT, "explained": COUNT, "accepted": COUNT, "outlier": COUNT}),
    }
)
