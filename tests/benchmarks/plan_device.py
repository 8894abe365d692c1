"""How fast a whole device is planned. Run: python tests/benchmarks/plan_device.py [--json]

Three devices of 30 columns of big blocks, small blocks in steps of a half, and lookup tables, from one with
room to one that is nearly full. 2,000 memories drawn by order of magnitude, some on two clocks, some with a
read budget; each hundred is a unit with a budget of big blocks. Measured: making every memory's choices,
each from scratch, and solving; the gap is what the solver proves.
"""

from __future__ import annotations

import argparse
import json
import platform
import random
import sys
import time
from fractions import Fraction

from memlint.device.facts import BlockShape, Chain, Column, Device, Mode, Tier
from memlint.mapping.demand import Demand
from memlint.mapping.plan import Item, Limit, Plan, Problem
from memlint.mapping.plan_choices import ways_among
from memlint.mapping.plan_solve import solve

MEMORIES = 2_000
SMALL = [(16384, 1), (8192, 2), (4096, 5), (2048, 10), (1024, 20), (512, 40)]


def shapes(listed: list[tuple[int, int]]) -> tuple[BlockShape, ...]:
    return tuple(BlockShape(depth, width) for depth, width in listed)


def device(big: int, small: int, cells: int) -> Device:
    """30 columns of big blocks, small blocks, cells."""
    halves = tuple(BlockShape(depth // 2, width) for depth, width in SMALL)
    block = Tier(
        "block",
        "block",
        block_bits=20480,
        blocks=small,
        splits=2,
        clocks="any",
        read="synchronous",
        read_latency=1,
        initial_contents="any",
        modes=(Mode("simple_dual", shapes(SMALL), half_shapes=halves, pair="any"),),
    )
    bulk = Tier(
        "bulk",
        "bulk",
        block_bits=294912,
        blocks=30 * big,
        clocks="one",
        read="synchronous",
        read_latency=1,
        initial_contents="none",
        modes=(Mode("simple_dual", shapes([(4096, 72)])),),
        chain=Chain(big, 4),
        columns=(Column(big, 30),),
        idle_uw=40.0,
        active_uw_per_mhz=0.9,
    )
    fabric = Tier(
        "fabric",
        "fabric",
        block_bits=640,
        blocks=cells,
        clocks="any",
        read="asynchronous",
        read_latency=0,
        initial_contents="any",
        modes=(Mode("simple_dual", shapes([(64, 10)])),),
    )
    return Device("bench", "", (fabric, block, bulk), 200, 4)


def demands(draw: random.Random, count: int) -> list[tuple[Demand, int | None]]:
    """Depth 16 to 32K, width 4 to 144 by order of magnitude; one in six on two clocks, one in ten with a
    read budget."""
    found: list[tuple[Demand, int | None]] = []
    while len(found) < count:
        depth, width = int(2 ** draw.uniform(4, 15)), int(2 ** draw.uniform(2, 7.2))
        if depth * width > 2_000_000:
            continue
        clocks = 2 if draw.random() < 1 / 6 else 1
        within = draw.choice([1, 2, 3]) if draw.random() < 0.1 else None
        found.append((Demand(depth, width, clocks=clocks), within))
    return found


def problem(asked: list[tuple[Demand, int | None]], on: Device) -> Problem:
    """Every memory may go anywhere it fits; each hundred is a unit with a budget of a twelfth of the big
    blocks."""
    items = []
    for at, (demand, within) in enumerate(asked):
        ways, _ = ways_among(demand, on.tiers, on, within)
        items.append(Item(f"m{at}", tuple(way.choice for way in ways)))
    kept = [(at, item) for at, item in enumerate(items) if item.choices]
    limits = [Limit(tier.name, tier.name, _whole(tier)) for tier in on.tiers]
    for first in range(0, len(kept), 100):
        members = frozenset(range(first, min(first + 100, len(kept))))
        limits.append(Limit(f"unit {first // 100}", "bulk", _whole(on.tiers[-1]) / 12, members))
    columns = {tier.name: tier.columns for tier in on.tiers if tier.columns}
    return Problem(tuple(item for _, item in kept), tuple(limits), columns)


def _whole(tier: Tier) -> Fraction:
    assert tier.blocks is not None
    return Fraction(tier.blocks)


def measure() -> dict[str, dict[str, float]]:
    rows: dict[str, dict[str, float]] = {}
    for name, big, small, cells in (
        ("roomy", 32, 12_000, 60_000),
        ("tight", 24, 8_000, 40_000),
        ("full", 24, 7_000, 20_000),
    ):
        on = device(big, small, cells)
        asked = demands(random.Random(20), MEMORIES)
        start = time.process_time()
        put = problem(asked, on)
        chosen = time.process_time()
        plan = solve(put)
        solved = time.process_time()
        row = {"choices, s": chosen - start, "solve, s": solved - chosen}
        if isinstance(plan, Plan):
            taken = {tier.name: Fraction(0) for tier in on.tiers}
            for item, at in zip(put.items, plan.chosen, strict=True):
                taken[item.choices[at].tier] += item.choices[at].blocks
            row |= {
                f"{tier.name}, %": float(100 * taken[tier.name] / (tier.blocks or 1)) for tier in on.tiers
            }
            row |= {"share": float(plan.cost.share), "cuts": plan.cost.cuts, "gap, %": float(plan.gap * 100)}
        else:
            row |= {"no plan": 1.0, "proven": float(plan.proven)}
        rows[name] = row
    return rows


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--json", action="store_true", help="print JSON only")
    asked = parser.parse_args()
    rows = measure()
    if not asked.json:
        for name, row in rows.items():
            print(f"{name}: " + ", ".join(f"{key} {value:,.3f}" for key, value in row.items()))
    report = {"python": platform.python_version(), "memories": MEMORIES, "figures": rows}
    json.dump(report, sys.stdout, indent=2)
    print()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
