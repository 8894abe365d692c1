"""Which tier a memory goes to when nobody, or more than one answer, says so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from memlint.device.facts import REGISTERS, Device, Tier
from memlint.mapping.demand import Demand
from memlint.mapping.obstacles import find_obstacles
from memlint.mapping.place import place
from memlint.mapping.wording import amount, plural

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
    override `ASSUMED` key by key. None where a fact decides between tiers that is not known.
    """
    found = possible_tiers(demand, packed, device, thresholds)
    return found[0] if len(found) == 1 else None


def possible_tiers(
    demand: Demand, packed: bool, device: Device, thresholds: Mapping[str, float]
) -> tuple[Tier, ...]:
    """The tiers it may be assumed to go to, as its unknown read style and clocks turn out."""
    reads = (True, False) if demand.asynchronous is None else (demand.asynchronous,)
    ports = demand.writes + demand.reads + demand.readwrites
    clocks = tuple(range(1, 1 + max(1, min(2, ports)))) if demand.clocks is None else (demand.clocks,)
    settled = (replace(demand, asynchronous=read, clocks=count) for read in reads for count in clocks)
    found = (_assumed(one, packed, device, thresholds)[0] for one in settled)
    return tuple({tier.name: tier for tier in found}.values())


def why_assumed(demand: Demand, packed: bool, device: Device, thresholds: Mapping[str, float]) -> list[str]:
    """What decided the tier that is assumed, fact by fact, with the numbers and thresholds."""
    return _assumed(demand, packed, device, thresholds)[1]


def _assumed(
    demand: Demand, packed: bool, device: Device, thresholds: Mapping[str, float]
) -> tuple[Tier, list[str]]:
    """The tier, and the facts that decided it."""
    limits = {**ASSUMED, **thresholds}
    bits = demand.depth * demand.width * demand.banks
    at_once = _registers_at_once(demand, packed, bits, limits)
    if at_once:
        return REGISTERS, [at_once]
    may_be_fabric, said = _size_and_read(demand, bits, limits)
    refused: list[str] = []
    for role in TAKEN_FIRST:
        if role == "fabric" and not may_be_fabric:
            continue
        for tier in device.tiers:
            if tier.role != role:
                continue
            against = [one.text for one in find_obstacles(tier, demand) if one.kind in DECIDING]
            if not against:
                return tier, [said, *refused, f"{tier.name} is the first of role {role} that takes it"]
            refused.append(f"{tier.name} does not take it: {'; '.join(against)}")
    return REGISTERS, [said, *refused, "so no tier of role fabric or block is left for it"]


def _registers_at_once(demand: Demand, packed: bool, bits: int, limits: Mapping[str, float]) -> str:
    """Why nothing but registers comes into question; empty if something does."""
    if packed:
        return "it is a packed array, one vector of flip-flops"
    if demand.latch:
        return "it is written by a latch enable"
    if demand.resets_array:
        return f"a reset clears all {plural(demand.depth, 'word')}"
    if demand.depth == 1:
        return "it has one word a bank, so nothing is addressed"
    if bits <= limits[REGISTER_BITS]:
        return f"{plural(bits, 'bit')}, at most {_limit(limits, REGISTER_BITS)} go to registers"
    return ""


def _size_and_read(demand: Demand, bits: int, limits: Mapping[str, float]) -> tuple[bool, str]:
    """Whether fabric comes into question, and what decided it."""
    if demand.asynchronous:
        return True, "it is read without a clock, so fabric comes first"
    if bits <= limits[FABRIC_BITS]:
        return True, f"{plural(bits, 'bit')}, at most {_limit(limits, FABRIC_BITS)} go to fabric"
    if demand.depth <= limits[FABRIC_DEPTH]:
        deep = plural(demand.depth, "word")
        return True, f"{deep} deep, at most {_limit(limits, FABRIC_DEPTH)} go to fabric"
    return False, (
        f"{plural(bits, 'bit')} are more than the {_limit(limits, FABRIC_BITS)} and "
        f"{plural(demand.depth, 'word')} more than the {_limit(limits, FABRIC_DEPTH)} that go to fabric"
    )


def _limit(limits: Mapping[str, float], key: str) -> str:
    """A threshold with the name it is set by."""
    name = f"assumed_tier.{key.removeprefix('assume-').replace('-', '_')}"
    return f"{amount(Fraction(str(limits[key])))} ({name})"


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
