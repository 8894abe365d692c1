"""`memlint size` as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from memlint.mapping.demand import Cut, Placement
from memlint.reports.json_output import number
from memlint.reports.sizing import Sizing


def size_json(sizings: Sequence[Sizing]) -> str:
    """One object for one shape, a list of them for several. Ends in a line end."""
    objects = [_object(one) for one in sizings]
    report = objects[0] if len(objects) == 1 else objects
    return json.dumps(report, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _object(one: Sizing) -> dict[str, Any]:
    shape = {"depth": one.demand.depth, "width": one.demand.width}
    report: dict[str, Any] = {"shape": shape, "tiers": [_tier(placement) for placement in one.placements]}
    if one.holds is not None:
        bits = one.demand.depth * one.demand.width * one.demand.banks
        report["holds"] = {"bits": one.holds.bits, "enough": bits >= one.holds.bits}
    return report


def _tier(placement: Placement) -> dict[str, Any]:
    return {
        "tier": placement.tier,
        "blocks": number(placement.blocks),
        "uniform_blocks": number(placement.uniform_blocks),
        "lower_bound": number(placement.lower_bound),
        "fill": _fill(placement.fill),
        "copies": placement.copies,
        "chain": placement.chain,
        "chains": placement.chains,
        "split": placement.split,
        "read_latency": placement.read_latency,
        "cuts": [_cut(cut) for cut in placement.cuts],
        "fits": placement.fits,
        "because": [*(obstacle.text for obstacle in placement.obstacles), *placement.because],
    }


def _fill(value: Fraction | None) -> float | None:
    return None if value is None else round(float(value), 4)


def _cut(cut: Cut) -> dict[str, Any]:
    return {
        "first_word": cut.first_word,
        "words": cut.words,
        "first_bit": cut.first_bit,
        "bits": cut.bits,
        "shape": list(cut.shape),
        "blocks": number(cut.blocks),
    }
