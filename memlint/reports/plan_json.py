"""`memlint plan` for programs."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from memlint.engine.budgets import BudgetUse
from memlint.engine.planning import Assigned, DevicePlan, Filling, Scenario
from memlint.engine.totals import ExternalSum, Place, TierSum, UnitTotal
from memlint.reports.json_output import number
from memlint.text.source import SourceText


def plan_json(
    scenarios: Sequence[Scenario], sources: Mapping[str, SourceText], shown: Callable[[str], bool]
) -> str:
    """Every scenario with all its memories; shares as decimals, blocks in steps of a part of a block."""
    report = {"scenarios": [_scenario(one, sources, shown) for one in scenarios]}
    return json.dumps(report, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _scenario(
    one: Scenario, sources: Mapping[str, SourceText], shown: Callable[[str], bool]
) -> dict[str, Any]:
    plan = one.plan
    memories = [each for each in plan.memories if shown(each.view.memory.span.file)]
    return {
        "title": one.title,
        "device": plan.device.name,
        "root": plan.root,
        "fits": plan.fits,
        "proven": plan.proven if plan.plan is None else plan.plan.optimal,
        "gap": None if plan.plan is None else _decimal(plan.plan.gap),
        "cost": _cost(plan),
        "conflict": list(plan.conflict),
        "tiers": [_filling(each) for each in plan.fillings],
        "memories": [_memory(each, sources) for each in memories],
        "units": [_unit(each) for each in one.units],
        "instances": [_place(each) for each in one.places],
        "budgets": [_budget(each) for each in one.budgets],
        "left_out": [{"path": path, "because": why} for path, why in plan.left_out],
        "units_without_source": list(plan.missing),
        "black_boxes": list(plan.black_boxes),
    }


def _decimal(value: Fraction) -> float:
    return round(float(value), 6)


def _cost(plan: DevicePlan) -> dict[str, Any] | None:
    if plan.plan is None:
        return None
    cost = plan.plan.cost
    return {
        "share": _decimal(cost.share),
        "cuts": cost.cuts,
        "read_latency": cost.latency,
        "microwatt": number(cost.power),
    }


def _filling(one: Filling) -> dict[str, Any]:
    unit = "bits" if one.role == "external" else "blocks"
    return {
        "tier": one.tier,
        "unit": unit,
        "taken": number(one.taken),
        "supply": number(one.supply),
        "available": number(one.available),
        "columns": [{"blocks": height, "chains": list(chains)} for height, chains in one.columns],
    }


def _memory(one: Assigned, sources: Mapping[str, SourceText]) -> dict[str, Any]:
    memory, source = one.view.memory, sources.get(one.view.memory.span.file)
    at = source.position(memory.span.start) if source is not None else None
    return {
        "path": memory.path,
        "file": memory.span.file,
        "line": None if at is None else at.line,
        "column": None if at is None else at.column,
        "planned": memory.planned,
        "black_box": memory.black_box,
        "fixed": bool(one.fixed),
        "tier_now": one.view.tier.name if one.view.tier else None,
        "tier": one.choice.tier,
        "blocks": number(one.placement.blocks),
        "share": None if one.choice.last_resort else _decimal(one.choice.share),
        "chains": list(one.choice.chains),
        "cuts": one.choice.cuts,
        "ways": one.placement.ways,
        "read_latency": one.choice.latency,
        "why": list(one.why),
    }


def _unit(one: UnitTotal) -> dict[str, Any]:
    return {
        "unit": one.unit,
        "instances": one.instances,
        "own": [_sum(each) for each in one.own],
        "tiers": [_sum(each) for each in one.tiers],
    }


def _place(one: Place) -> dict[str, Any]:
    return {
        "path": one.path,
        "unit": one.unit,
        "tiers": [_sum(each) for each in one.tiers],
        "external": [_outside(each) for each in one.outside],
        "units_without_source": list(one.missing),
        "black_boxes": list(one.black_boxes),
        "without_tier": list(one.homeless),
    }


def _budget(one: BudgetUse) -> dict[str, Any]:
    return {
        "path": one.path,
        "unit": one.unit,
        "tier": one.tier,
        "blocks": number(one.blocks),
        "budget": number(one.budget),
        "unknown": one.unknown,
    }


def _outside(one: ExternalSum) -> dict[str, Any]:
    return {
        "tier": one.tier,
        "bits": one.bits,
        "capacity_bits": one.capacity_bits,
        "bandwidth_gbit_s": one.bandwidth_gbit_s,
        "peak_gbit_s": number(one.peak_gbit_s),
        "memories": one.memories,
        "unknown": one.unknown,
    }


def _sum(one: TierSum) -> dict[str, Any]:
    return {
        "tier": one.tier,
        "blocks": number(one.blocks),
        "uniform_blocks": number(one.uniform_blocks),
        "bits": one.bits,
        "memories": one.memories,
        "planned": one.planned,
        "unknown": one.unknown,
    }
