"""The JSON reports: the same bytes for the same design, whatever the order of its files."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from memlint.design.memory import Memory, NotMemory
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Finding, Number, Severity
from memlint.rules.view import MemoryView
from memlint.text.source import SourceText, Span

Sources = Mapping[str, SourceText]


def check_json(
    judgement: Judgement, findings: Sequence[Finding], *, device_given: bool, known: int = 0
) -> str:
    """The findings to show, of all the judgement has, and the summary of the whole design.

    `known` findings are left out because a baseline has them.
    """
    return _dump(
        {
            "findings": [finding_json(finding, judgement.sources) for finding in findings],
            "summary": _summary(judgement, findings, device_given, known),
        }
    )


def list_json(
    judgement: Judgement, memories: Sequence[MemoryView], arrays: Sequence[NotMemory] | None = None
) -> str:
    """The memories to show; with `arrays`, also those that are none."""
    report: dict[str, Any] = {"memories": [memory_json(view, judgement.sources) for view in memories]}
    if arrays is not None:
        report["arrays"] = [array_json(one, judgement.sources) for one in arrays]
    return _dump(report)


def number(value: Number) -> int | float | str | None:
    """Whole numbers as integers, others rounded to 4 places; None is unknown."""
    match value:
        case Fraction():
            return value.numerator if value.denominator == 1 else round(float(value), 4)
        case float():
            return round(value, 4)
        case _:
            return value


def _dump(report: dict[str, Any]) -> str:
    return json.dumps(report, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def finding_json(finding: Finding, sources: Sources) -> dict[str, Any]:
    """A finding with everything it says."""
    return {
        "rule": finding.rule,
        "severity": str(finding.severity),
        "message": finding.message,
        "path": finding.paths[0] if finding.paths else None,
        "paths": list(finding.paths),
        **_range(finding.span, sources),
        "related": [{"message": one.message, **_range(one.span, sources)} for one in finding.related],
        "numbers": {key: _figure(key, value) for key, value in finding.numbers},
        "help": list(finding.help),
    }


def _figure(key: str, value: Number) -> int | float | str | None:
    return _fill(value) if key == "fill" and isinstance(value, Fraction) else number(value)


def _fill(value: Fraction | None) -> float | None:
    return None if value is None else round(float(value), 4)


def _range(span: Span, sources: Sources) -> dict[str, Any]:
    source = sources.get(span.file)
    if source is None:
        return {"file": span.file, "line": None, "column": None, "end_line": None, "end_column": None}
    start, end = source.position(span.start), source.position(max(span.start, span.end))
    return {
        "file": span.file,
        "line": start.line,
        "column": start.column,
        "end_line": end.line,
        "end_column": end.column,
    }


def _place(span: Span, sources: Sources) -> dict[str, Any]:
    whole = _range(span, sources)
    return {key: whole[key] for key in ("file", "line", "column")}


def _summary(
    judgement: Judgement, findings: Sequence[Finding], device_given: bool, known: int
) -> dict[str, Any]:
    return {
        **{f"{one}s": sum(finding.severity == one for finding in findings) for one in reversed(Severity)},
        "accepted": len(judgement.accepted),
        "known": known,
        "device": judgement.device.name,
        "device_given": device_given,
        "memories": len(judgement.memories),
        "unresolved": sum(view.memory.bits is None for view in judgement.memories),
        "roots": sorted(judgement.roots),
        "totals": [
            {
                "root": one.root,
                "tier": one.tier,
                "blocks": number(one.blocks),
                "available": one.available,
                "memories": one.memories,
                "unknown": one.unknown,
            }
            for one in sorted(judgement.totals, key=lambda total: total.root)
        ],
        "units_without_source": [
            {"unit": unit.name, "instances": sorted(unit.instances)}
            for unit in sorted(judgement.missing, key=lambda unit: unit.name)
        ],
    }


def memory_json(view: MemoryView, sources: Sources) -> dict[str, Any]:
    """A memory with everything that is known of it, None where something is not."""
    memory, placement = view.memory, view.placement
    return {
        "path": memory.path,
        "unit": memory.unit,
        "name": memory.name,
        **_place(memory.span, sources),
        "depth": memory.depth,
        "width": memory.width,
        "banks": memory.banks,
        "copies": placement.copies if placement else None,
        "bits": memory.bits,
        "ports": {
            "w": memory.count(writes=True, reads=False),
            "r": memory.count(writes=False, reads=True),
            "rw": memory.count(writes=True, reads=True),
        },
        "clocks": _clocks(memory),
        "read": memory.read,
        "language": memory.language,
        "tier": view.tier.name if view.tier else None,
        "tier_from": view.tier_from,
        "blocks": number(placement.blocks) if placement else None,
        "uniform_blocks": number(placement.uniform_blocks) if placement else None,
        "fill": _fill(placement.fill) if placement else None,
        "chain": placement.chain if placement else None,
        "chains": placement.chains if placement else None,
        "split": placement.split if placement else None,
        "read_latency": placement.read_latency if placement else None,
        "unresolved": memory.unresolved,
    }


def _clocks(memory: Memory) -> list[str] | None:
    """The nets, sorted; None as long as one of them is unknown."""
    return sorted({clock.net for clock in memory.clocks}) if memory.clocks_known else None


def array_json(one: NotMemory, sources: Sources) -> dict[str, Any]:
    """An array that is no memory, and why."""
    return {
        "path": one.path,
        "unit": one.unit,
        "name": one.name,
        **_place(one.span, sources),
        "depth": one.depth,
        "width": one.width,
        "language": one.language,
        "reason": one.reason,
    }
