"""What one memory brings to the columns of its tier: chains, cut where they must be, and single blocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from memlint.device.facts import Tier
from memlint.mapping.chains import chain_limits
from memlint.mapping.demand import Placement


@dataclass(frozen=True, slots=True)
class Pieces:
    """`chains` are lengths of two blocks and more over all banks and copies, longest first; `singles` the
    blocks that stand alone."""

    chains: tuple[int, ...]
    singles: Fraction


def pieces_of(placement: Placement, tier: Tier, banks: int) -> Pieces | None:
    """The chains and single blocks of a memory on a tier; None while its blocks or chains are unknown.

    A run longer than the tier can chain is cut in as few pieces of nearly one length as it takes.
    """
    mode = tier.mode(placement.mode or "")
    if placement.blocks is None or placement.copies is None or mode is None or placement.chain is None:
        return None
    limits = chain_limits(tier, mode)
    if limits.hardened is None:
        return None
    chains: list[int] = []
    if limits.hardened:
        for cut in placement.cuts:
            blocks = ceil(cut.blocks)
            chains += even_pieces(blocks, limits.pieces(blocks))
    times = banks * placement.copies
    kept = sorted((one for one in chains if one > 1), reverse=True) * times
    return Pieces(tuple(sorted(kept, reverse=True)), placement.blocks - sum(kept))


def even_pieces(blocks: int, pieces: int) -> list[int]:
    """A run cut in pieces that differ by one block at most, longest first."""
    each, more = divmod(blocks, pieces)
    return [each + 1] * more + [each] * (pieces - more)


def shorter_chains(longest: int) -> Sequence[int]:
    """Lengths to which a chain can be cut down by one more piece and one more, longest first, 1 last."""
    found = [-(-longest // pieces) for pieces in range(2, longest + 1)]
    return tuple(dict.fromkeys(found))


def with_chains_of(tier: Tier, longest: int) -> Tier:
    """The tier as if its chains were no longer than this."""
    assert tier.chain is not None
    return replace(tier, chain=replace(tier.chain, longest=longest))
