"""`memlint reconcile` for programs."""

from __future__ import annotations

import json
from typing import Any

from memlint.engine.reconciling import Compared, Reconciliation, Verdict
from memlint.reports.json_output import number


def reconcile_json(found: Reconciliation) -> str:
    """Every compared memory with its verdict, and what could not be compared."""
    report = {
        "memories": [_memory(one) for one in found.compared],
        "unmatched": [
            {
                "line": row.line,
                "path": row.path,
                "tier": row.tier,
                "blocks": number(row.blocks),
                "near": list(near),
            }
            for row, near in found.unmatched
        ],
        "not_in_table": [view.memory.path for view in found.unbuilt],
        "unused_acceptances": [one.memory for one in found.unused],
        "summary": {verdict.value: len(found.of(verdict)) for verdict in Verdict},
    }
    return json.dumps(report, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _memory(one: Compared) -> dict[str, Any]:
    placement = one.view.placement
    return {
        "path": one.view.memory.path,
        "tier": one.view.tier.name if one.view.tier else None,
        "blocks": number(placement.blocks) if placement else None,
        "uniform_blocks": number(placement.uniform_blocks) if placement else None,
        "built": [{"tier": tier, "blocks": number(blocks)} for tier, blocks in one.built],
        "verdict": one.verdict.value,
        "because": one.because,
    }
