"""Bits that a memory takes from the device, and those of them that hold something."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.rules.view import MemoryView


@dataclass(frozen=True, slots=True)
class Usage:
    """In bits, over all banks and copies. Copies and check bits count as used: the memory needs them."""

    taken: Fraction
    used: Fraction

    @property
    def wasted(self) -> Fraction:
        """What is taken and holds nothing."""
        return self.taken - self.used


def usage(view: MemoryView) -> Usage | None:
    """None where the blocks, or the bits of a block, are not known, or the memory is off the chip."""
    tier, here = view.tier, view.placement
    if tier is None or here is None or here.blocks is None or tier.role == "external":
        return None
    if tier.role == "registers":
        return Usage(here.blocks, here.blocks)
    if tier.block_bits is None or here.fill is None:
        return None
    taken = here.blocks * tier.block_bits
    return Usage(taken, here.fill * taken)


@dataclass(frozen=True, slots=True)
class Waste:
    """What the memories of one declaration waste on one tier, all alike taken together."""

    views: tuple[MemoryView, ...]
    tier: str
    blocks: Fraction
    usage: Usage


def waste_ranking(memories: Sequence[MemoryView]) -> list[Waste]:
    """Declarations by the bits they waste, most first; those that waste nothing are left out."""
    groups: dict[object, list[MemoryView]] = {}
    for view in memories:
        groups.setdefault((view.memory.span, view.tier.name if view.tier else ""), []).append(view)
    ranking = []
    for views in groups.values():
        known = [(view, one) for view in views if (one := usage(view)) is not None]
        if not known:
            continue
        taken = sum((one.taken for _, one in known), Fraction(0))
        used = sum((one.used for _, one in known), Fraction(0))
        counts = [view.placement.blocks or Fraction(0) for view, _ in known if view.placement]
        blocks = sum(counts, Fraction(0))
        if taken > used:
            tier = known[0][0].tier
            assert tier is not None
            ranking.append(Waste(tuple(view for view, _ in known), tier.name, blocks, Usage(taken, used)))
    return sorted(ranking, key=lambda one: (-one.usage.wasted, one.views[0].memory.path))
