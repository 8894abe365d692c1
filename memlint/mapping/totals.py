"""What a memory adds to a sum of blocks."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from memlint.device.facts import Tier
from memlint.mapping.demand import Placement


def blocks_taken(placement: Placement, tier: Tier) -> Fraction | None:
    """The blocks that are gone for other memories; None when the count is unknown.

    That is the exact count, parts of blocks included, except where the mode lets parts share a block only
    within one memory: then an odd part takes the whole of its block.
    """
    if placement.blocks is None:
        return None
    mode = tier.mode(placement.mode or "")
    if mode is not None and mode.pair == "same memory":
        return Fraction(ceil(placement.blocks))
    return placement.blocks
