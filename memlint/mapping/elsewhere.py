"""Memories that take no blocks: in flip-flops, or off the chip."""

from __future__ import annotations

from fractions import Fraction

from memlint.device.facts import Tier
from memlint.mapping.demand import Cut, Demand, Obstacle, Placement
from memlint.mapping.secded import check_bits


def in_registers(demand: Demand, tier: Tier) -> Placement:
    """One flip-flop a bit, any ports; a word is picked by a multiplexer as deep as the array."""
    check = check_bits(demand.width) if demand.ecc == "added" else 0
    word = demand.width + check
    blocks = Fraction(demand.depth * word * demand.banks)
    because = [f"{blocks.numerator:,} flip-flops, one a bit"]
    if demand.depth > 1:
        because.append(f"reads pass a multiplexer of {demand.depth:,}:1 in logic")
    if check:
        because.append(f"soft ECC: {check} check bits for {demand.width}, made in logic that is not counted")
    return Placement(
        tier=tier.name,
        fits=True,
        because=tuple(because),
        copies=1,
        blocks=blocks,
        uniform_blocks=blocks,
        lower_bound=blocks,
        fill=Fraction(1),
        cuts=(Cut(0, demand.depth, 0, word, (1, 1), Fraction(demand.depth * word)),),
        uniform_shape=(1, 1),
        chain=1,
        chains=0,
        split=1,
        ways=demand.depth,
        read_latency=0,
        check_bits=check,
        word=word,
    )


def off_chip(demand: Demand, tier: Tier, obstacles: tuple[Obstacle, ...]) -> Placement:
    """An external tier has a capacity instead of blocks."""
    check = check_bits(demand.width) if demand.ecc == "added" else 0
    word = demand.width + check
    bits = demand.depth * word * demand.banks
    capacity = tier.external.capacity_bits if tier.external else None
    because = [f"{bits:,} bits off the chip, in no blocks; the way there and back is not reckoned"]
    share = None
    if capacity is None:
        because.append(f"the profile does not give the capacity of {tier.name}")
    else:
        share = Fraction(bits, capacity)
        if bits > capacity:
            text = f"it takes {bits:,} bits; {tier.name} holds {capacity:,}"
            obstacles += (Obstacle("shape", text),)
    return Placement(
        tier.name, not obstacles, obstacles, tuple(because), check_bits=check, word=word, share=share
    )
