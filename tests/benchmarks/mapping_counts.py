"""How fast blocks are counted. Run: python tests/benchmarks/mapping_counts.py [--json]

Three questions, answered in one process so that only ratios matter:
- 100,000 distinct random shapes (depth to 64K, width to 512) against a plain search of the same cuts, which
  fills its tables over depth and width anew for every shape, in steps of the shapes' common depth, and is
  run on a sample; both must count alike.
- Counting 2,000 memories, each from scratch.
- Placing the same 2,000 with cuts, chains, latency and reasons.
"""

from __future__ import annotations

import argparse
import json
import platform
import random
import sys
import time
from collections.abc import Callable, Sequence
from math import gcd

from memlint.device.facts import BlockShape, Device, Mode, Tier
from memlint.mapping.demand import Demand
from memlint.mapping.place import count_blocks, place

SHAPES = [
    (16384, 1), (8192, 2), (4096, 4), (4096, 5), (2048, 8), (2048, 10), (1024, 16), (1024, 20), (512, 32),
    (512, 40),
]  # fmt: skip
DISTINCT, SAMPLE, MEMORIES = 100_000, 60, 2_000

MODE = Mode("simple_dual", tuple(BlockShape(depth, width) for depth, width in SHAPES))
TIER = Tier("block", "block", block_bits=20480, blocks=2000, clocks="any", read="synchronous", read_latency=1,
            initial_contents="any", modes=(MODE,))  # fmt: skip
DEVICE = Device("bench", "", (TIER,), 200, 4)


def plain_search(depth: int, width: int) -> int:
    """Fewest blocks of any cut into strips or layers, by tables over every depth step and every width."""
    step = gcd(*(deep for deep, _ in SHAPES))
    rows = -(-depth // step)
    listed = [(deep // step, wide) for deep, wide in SHAPES]
    never = 10**9

    def word(cost: dict[int, int]) -> list[int]:
        table = [0] + [never] * width
        for bits in range(1, width + 1):
            table[bits] = min(price + table[max(0, bits - wide)] for wide, price in cost.items())
        return table

    strip: dict[int, int] = {}
    for wide in {wide for _, wide in listed}:
        filled = [0] + [never] * rows
        for row in range(1, rows + 1):
            filled[row] = min(1 + filled[max(0, row - deep)] for deep, other in listed if other >= wide)
        strip[wide] = filled[rows]
    strips = word(strip)[width]
    layer = [0]
    for row in range(1, rows + 1):
        stacks: dict[int, int] = {}
        for deep, wide in listed:
            stacks[wide] = min(stacks.get(wide, never), -(-row // deep))
        layer.append(word(stacks)[width])
    layers = [0] + [never] * rows
    for row in range(1, rows + 1):
        layers[row] = min(layer[e] + layers[row - e] for e in range(1, row + 1))
    return min(strips, layers[rows])


def seconds(run: Callable[[], object]) -> float:
    """Processor time, so that a busy machine does not count."""
    start = time.process_time()
    run()
    return time.process_time() - start


def demands(draw: random.Random, count: int) -> list[Demand]:
    """Distinct shapes, depth to 64K and width to 512, evenly drawn: the hard end."""
    found: dict[tuple[int, int], None] = {}
    while len(found) < count:
        found[draw.randint(1, 65536), draw.randint(1, 512)] = None
    return [Demand(depth, width) for depth, width in found]


def usual(draw: random.Random, count: int) -> list[Demand]:
    """Depth 16 to 4K, width 3 to 128, drawn by order of magnitude: as memories are in hand-written HDL."""
    return [Demand(int(2 ** draw.uniform(4, 12)), int(2 ** draw.uniform(1.5, 7))) for _ in range(count)]


def measure() -> dict[str, float]:
    draw = random.Random(20)
    distinct, common = demands(draw, DISTINCT), usual(draw, MEMORIES)
    hard = distinct[:MEMORIES]
    sample = distinct[:SAMPLE]
    tables = seconds(lambda: count_blocks(distinct[-1], TIER, DEVICE))
    counted = seconds(lambda: [count_blocks(one, TIER, DEVICE) for one in distinct])
    plain: list[int] = []
    searched = seconds(lambda: plain.extend(plain_search(one.depth, one.width) for one in sample))
    for one, blocks in zip(sample, plain, strict=True):
        if count_blocks(one, TIER, DEVICE) != blocks:
            raise SystemExit(f"{one.depth} x {one.width}: the plain search finds {blocks}, the count differs")
    return {
        "first count, filling the mode's tables, ms": tables * 1e3,
        "count, us each": counted / DISTINCT * 1e6,
        "plain search, us each": searched / SAMPLE * 1e6,
        "plain search / count": (searched / SAMPLE) / (counted / DISTINCT),
        "count 2,000 usual memories, ms": seconds(lambda: _all(count_blocks, common)) * 1e3,
        "count 2,000 large memories, ms": seconds(lambda: _all(count_blocks, hard)) * 1e3,
        "place 2,000 usual memories, ms": seconds(lambda: _all(place, common)) * 1e3,
        "place 2,000 large memories, ms": seconds(lambda: _all(place, hard)) * 1e3,
    }


def _all(reckon: Callable[[Demand, Tier, Device], object], listed: Sequence[Demand]) -> None:
    for one in listed:
        reckon(one, TIER, DEVICE)


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--json", action="store_true", help="print JSON only")
    asked = parser.parse_args()
    rows = measure()
    report = {"python": platform.python_version(), "shapes": DISTINCT, "sample": SAMPLE, "figures": rows}
    if not asked.json:
        width = max(map(len, rows))
        for name, value in rows.items():
            print(f"{name:<{width}}  {value:>12,.1f}")
        print()
    json.dump(report, sys.stdout, indent=2)
    print()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
