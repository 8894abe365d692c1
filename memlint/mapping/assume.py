"""Which tier a memory goes to when nobody, or more than one answer, says so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from memlint.device.facts import REGISTERS, Device, Tier
from memlint.mapping.demand import Demand
from memlint.mapping.obstacles import find_obstacles
from memlint.mapping.place import place

REGISTER_BITS = "assume-registers-bits"
FABRIC_BITS = "assume-fabric-bits"
FABRIC_DEPTH = "assume-fabric-depth"

ASSUMED: Mapping[str, float] = {REGISTER_BITS: 64, FABRIC_BITS: 1024, FABRIC_DEPTH: 32}
"""The thresholds' defaults: at most so many bits in registers, so many bits or words in fabric."""

TAKEN_FIRST = ("fabric", "block")
DECIDING = ("ports", "clocks", "read", "contents")


def assumed_tier(
    demand: Demand, packed: bool, device: Device, thresholds: Mapping[str, float]
) -> Tier | None:
    """The tier a memory is assumed to go to when no intent and no attribute names one.

    `registers` if packed, a latch, cleared by reset, one word a bank, or of few bits; else the first tier
    of role fabric (where the read is asynchronous, or the memory small or shallow) or block that takes its
    ports, clocks, read style and contents; else `registers`. Never bulk or external. `thresholds` may
    override `ASSUMED` key by key.
    """
    limits = {**ASSUMED, **thresholds}
    bits = demand.depth * demand.width * demand.banks
    if packed or demand.latch or demand.resets_array or demand.depth == 1 or bits <= limits[REGISTER_BITS]:
        return REGISTERS
    small = bits <= limits[FABRIC_BITS] or demand.depth <= limits[FABRIC_DEPTH]
    for role in TAKEN_FIRST:
        if role == "fabric" and not (demand.asynchronous or small):
            continue
        for tier in device.tiers:
            if tier.role == role and takes(demand, tier):
                return tier
    return REGISTERS


def takes(demand: Demand, tier: Tier) -> bool:
    """Whether the tier takes the memory's ports, clocks, read style and contents, as far as is known."""
    return not any(obstacle.kind in DECIDING for obstacle in find_obstacles(tier, demand))


def choose_named(demand: Demand, tiers: Sequence[Tier], device: Device) -> Tier | None:
    """Of the tiers an intent names, the first that takes the memory's ports, clocks, read style, contents
    and lanes; if none does, the first; None when none is named.

    A tier takes the lanes when they cost it no more blocks than the word written whole.
    """
    for tier in tiers:
        if takes(demand, tier) and not lane_cost(demand, tier, device):
            return tier
    return tiers[0] if tiers else None


def lane_cost(demand: Demand, tier: Tier, device: Device) -> Fraction | None:
    """The blocks that write lanes add on this tier; None when either count is unknown."""
    if len(demand.lanes) < 2:
        return Fraction(0)
    split, whole = place(demand, tier, device).blocks, place(replace(demand, lanes=()), tier, device).blocks
    return None if split is None or whole is None else split - whole
