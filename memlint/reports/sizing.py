"""What `memlint size` found out about one shape, for its text and its JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from memlint.device.facts import Device, Mode, Tier
from memlint.mapping.alternatives import (
    Beside,
    Folding,
    NearMiss,
    foldings,
    near_misses,
    on_every_tier,
    side_by_side,
)
from memlint.mapping.demand import Demand, Placement
from memlint.reading.intent.clauses import Holds

WORTH = Fraction(1, 8)
"""Near misses and foldings are shown when they save at least this part of the blocks."""


@dataclass(frozen=True, slots=True)
class Sizing:
    """One shape on a device: its placements, those that fit first, and what is close by on each tier."""

    demand: Demand
    device: Device
    prefer: str
    placements: tuple[Placement, ...]
    near: tuple[tuple[str, NearMiss], ...]
    folded: tuple[tuple[str, Folding], ...]
    holds: Holds | None


def sizing(demand: Demand, device: Device, prefer: str, holds: Holds | None) -> Sizing:
    """Everything there is to say about one shape; raises ValueError when it describes no memory."""
    placements = on_every_tier(demand, device, prefer)
    near: list[tuple[str, NearMiss]] = []
    folded: list[tuple[str, Folding]] = []
    for placement in placements:
        tier = device.tier(placement.tier)
        blocks, obstacles = placement.blocks, placement.obstacles
        if tier is None or blocks is None or tier.role in ("registers", "external"):
            continue
        if any(obstacle.kind != "shape" for obstacle in obstacles):
            continue
        most = min(blocks * (1 - WORTH), Fraction(blocks if tier.blocks is None else tier.blocks))
        near += [(tier.name, one) for one in near_misses(demand, tier, device) if one.blocks <= most]
        best = [one for one in foldings(demand, tier, device) if one.blocks <= most]
        folded += [(tier.name, one) for one in best[-1:]]
    return Sizing(demand, device, prefer, placements, tuple(near), tuple(folded), holds)


def beside(sizings: Sequence[Sizing]) -> list[tuple[str, Beside]]:
    """What shapes of one depth save, tier by tier, as one word; empty for shapes of several depths."""
    demands = [one.demand for one in sizings]
    device = sizings[0].device
    found = []
    for tier in device.tiers:
        if all(placed.fits for one in sizings for placed in one.placements if placed.tier == tier.name):
            together = side_by_side(demands, tier, device)
            if together is not None:
                found.append((tier.name, together))
    return found


def only_shape(device: Device, depth: int, width: int) -> Device:
    """The device with every block shape but one taken out of its tiers."""
    return replace(device, tiers=tuple(_only_shape(tier, depth, width) for tier in device.tiers))


def _only_shape(tier: Tier, depth: int, width: int) -> Tier:
    def kept(mode: Mode) -> Mode:
        return replace(
            mode,
            shapes=tuple(one for one in mode.shapes if (one.depth, one.width) == (depth, width)),
            half_shapes=tuple(one for one in mode.half_shapes if (one.depth, one.width) == (depth, width)),
        )

    modes = tuple(kept(mode) for mode in tier.modes)
    return replace(tier, modes=tuple(mode for mode in modes if mode.shapes or mode.half_shapes), ecc=())
