"""Plans of memories on small random devices, against every way to keep them reckoned from the shapes alone."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st
from test_mapping_columns import fits_by_hand

from memlint.device.facts import BlockShape, Chain, Column, Device, Mode, Tier
from memlint.mapping.demand import Demand
from memlint.mapping.plan import Conflict, Item, Limit, Plan, Problem
from memlint.mapping.plan_choices import ways_among
from memlint.mapping.plan_solve import solve

SMALL, BIG = (4, 4), (8, 6)
"""Words and bits of a block of each tier: one shape, so that a count is a product of two quotients."""


@dataclass(frozen=True)
class Bench:
    """`small` blocks, columns of big ones, and the longest chain they can be joined to."""

    small: int
    heights: tuple[int, ...]
    longest: int

    def device(self) -> Device:
        block = Tier("block", "block", block_bits=16, blocks=self.small, clocks="any", read="synchronous",
                     read_latency=1, modes=(Mode("simple_dual", (BlockShape(*SMALL),)),))  # fmt: skip
        bulk = Tier("bulk", "bulk", block_bits=48, blocks=sum(self.heights), clocks="one",
                    read="synchronous", read_latency=1, modes=(Mode("simple_dual", (BlockShape(*BIG),)),),
                    chain=Chain(self.longest, 4), columns=tuple(Column(one, 1) for one in self.heights))  # fmt: skip
        return Device("bench", "", (block, bulk), 200, 4)


@dataclass(frozen=True)
class Way:
    """A way to keep a memory: its share of the device, cuts that need not be, and pieces of a chain."""

    tier: str
    blocks: int
    cuts: int = 0
    pieces: tuple[int, ...] = ()


def ways(depth: int, width: int, clocks: int, bench: Bench) -> list[Way]:
    """Every way: in small blocks, and on one clock in big ones, all chains cut evenly so that none is longer
    than some length."""
    found = [Way("block", -(-depth // SMALL[0]) * -(-width // SMALL[1]))]
    if clocks > 1:
        return found
    high, wide = -(-depth // BIG[0]), -(-width // BIG[1])
    least = -(-high // min(bench.longest, max(bench.heights)))
    for pieces in sorted({-(-high // length) for length in range(1, -(-high // least) + 1)}):
        each, more = divmod(high, pieces)
        lengths = [each + 1] * more + [each] * (pieces - more)
        chains = tuple(one for one in lengths if one > 1) * wide
        found.append(Way("bulk", high * wide, (pieces - least) * wide, chains))
    return found


def best(memories: list[tuple[int, int, int]], bench: Bench) -> tuple[Fraction, int] | None:
    """The least share, and the fewest cuts with it, of every combination that the device holds."""
    found = None
    for chosen in product(*(ways(*one, bench) for one in memories)):
        small = sum(way.blocks for way in chosen if way.tier == "block")
        big = sum(way.blocks for way in chosen if way.tier == "bulk")
        if small > bench.small or big > sum(bench.heights):
            continue
        cost = (
            Fraction(small, bench.small) + Fraction(big, sum(bench.heights)),
            sum(way.cuts for way in chosen),
        )
        if found is not None and cost >= found:
            continue
        if fits_by_hand([length for way in chosen for length in way.pieces], list(bench.heights)):
            found = cost
    return found


BENCHES = st.builds(
    Bench,
    st.integers(1, 30),
    st.lists(st.integers(1, 5), min_size=1, max_size=3).map(tuple),
    st.integers(1, 5),
)
MEMORIES = st.lists(
    st.tuples(st.integers(2, 40), st.integers(1, 12), st.integers(1, 2)), min_size=1, max_size=4
)


@settings(max_examples=200)
@given(MEMORIES, BENCHES)
def test_the_plan_is_the_best_of_every_way_to_keep_the_memories(memories, bench):
    device = bench.device()
    items = []
    for at, (depth, width, clocks) in enumerate(memories):
        found, _ = ways_among(Demand(depth, width, clocks=clocks), device.tiers, device)
        items.append(Item(str(at), tuple(way.choice for way in found)))
    limits = tuple(Limit(tier.name, tier.name, Fraction(tier.blocks or 0)) for tier in device.tiers)
    answer = solve(Problem(tuple(items), limits, {"bulk": device.tiers[1].columns}))
    least = best(memories, bench)
    if least is None:
        assert isinstance(answer, Conflict)
        assert answer.proven
        return
    assert isinstance(answer, Plan)
    assert (answer.cost.share, answer.cost.cuts) == least
    assert answer.optimal
