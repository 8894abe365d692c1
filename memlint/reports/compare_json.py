"""`memlint compare` as JSON: the same bytes for the same two states."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from memlint.engine.differences.changes import Amount, BlockChange, Cause, Comparison, MemoryChange
from memlint.engine.sides import Side
from memlint.reports.compare_words import side_of
from memlint.reports.json_output import finding_json, memory_json, number
from memlint.reports.positions import line_and_column
from memlint.rules.finding import Finding, Severity
from memlint.rules.view import MemoryView


def compare_json(comparison: Comparison) -> str:
    """The whole comparison. Ends in a line end."""
    report = {
        "old": _side(comparison.old),
        "new": _side(comparison.new),
        "memories": [_memory(one, comparison) for one in comparison.memories],
        "units": [{"unit": one.name, **_blocks(one)} for one in comparison.units],
        "tiers": [{"root": one.name, **_blocks(one), "available": one.available} for one in comparison.tiers],
        "findings": {
            "new": [finding_json(one, comparison.new.judgement.sources) for one in comparison.new_findings],
            "gone": [finding_json(one, comparison.old.judgement.sources) for one in comparison.gone_findings],
        },
        "summary": _summary(comparison),
    }
    return json.dumps(report, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _side(side: Side) -> dict[str, Any]:
    return {
        "name": side.name,
        "commit": side.commit or None,
        "device": side.judgement.device.name,
        "notes": list(side.notes),
    }


def _memory(one: MemoryChange, comparison: Comparison) -> dict[str, Any]:
    return {
        "path": one.path,
        "kind": one.kind,
        "before": _view(one.old, comparison.old),
        "after": _view(one.new, comparison.new),
        "causes": [_cause(cause, comparison) for cause in one.causes],
        "changes": [
            {
                "what": change.what,
                "before": change.before,
                "after": change.after,
                "causes": [_cause(cause, comparison) for cause in change.causes],
            }
            for change in one.changes
        ],
    }


def _view(view: MemoryView | None, side: Side) -> dict[str, Any] | None:
    return None if view is None else memory_json(view, side.judgement.sources)


def _cause(cause: Cause, comparison: Comparison) -> dict[str, Any]:
    side = side_of(cause, comparison)
    line, column = (None, None) if cause.span is None else line_and_column(cause.span, side.judgement.sources)
    return {
        "text": cause.text,
        "side": cause.side,
        "file": None if cause.span is None else cause.span.file,
        "line": line,
        "column": column,
    }


def _blocks(one: BlockChange) -> dict[str, Any]:
    return {"tier": one.tier, "before": _amount(one.before), "after": _amount(one.after)}


def _amount(one: Amount) -> dict[str, Any]:
    return {"blocks": number(one.blocks), "memories": one.memories, "unknown": one.unknown}


def _summary(comparison: Comparison) -> dict[str, Any]:
    kinds = [one.kind for one in comparison.memories]
    return {
        **{kind: kinds.count(kind) for kind in ("added", "removed", "moved", "changed")},
        "unchanged": comparison.unchanged,
        "new": _counts(comparison.new_findings),
        "gone": _counts(comparison.gone_findings),
    }


def _counts(findings: Sequence[Finding]) -> dict[str, int]:
    return {f"{level}s": sum(one.severity == level for one in findings) for level in reversed(Severity)}
