"""The same memory otherwise: on other tiers, a little smaller, folded, or beside another one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from memlint.device.facts import Device, Tier
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.ecc import word_lanes
from memlint.mapping.latency import mux_registers
from memlint.mapping.place import count_blocks, place
from memlint.mapping.secded import check_bits

WITHIN = Fraction(1, 8)
"""A near miss gives up at most this part of the depth or width."""

MOST_FOLDS = 16


@dataclass(frozen=True, slots=True)
class NearMiss:
    """A memory `less` words or bits (`of`: `depth` or `width`) smaller, and the blocks it takes."""

    of: str
    less: int
    size: int
    blocks: Fraction
    saved: Fraction


@dataclass(frozen=True, slots=True)
class Folding:
    """`ways` words side by side in one: its shape, its blocks, the multiplexer that picks one on a read.

    `registers` are the cycles that multiplexer adds, None when unknown.
    """

    ways: int
    depth: int
    width: int
    blocks: Fraction
    saved: Fraction
    registers: int | None


@dataclass(frozen=True, slots=True)
class Beside:
    """Several memories of one address as one word: its width, its blocks, and those they take apart."""

    width: int
    blocks: Fraction
    apart: Fraction


def on_every_tier(demand: Demand, device: Device, prefer: str = "blocks") -> tuple[Placement, ...]:
    """The memory on every tier: those that take it first, cheapest share of the device first, unknown
    counts and supply after known ones, `registers` and external tiers last; then those that do not, in
    the profile's order."""
    tiers = (*device.tiers, *(tier for tier in device.on_chip() if tier.role == "registers"))
    placed = [(tier.role, place(demand, tier, device, prefer)) for tier in tiers]
    fitting = [one for one in placed if one[1].fits]
    fitting.sort(key=lambda one: _cheapest_first(*one))
    return (*(one for _, one in fitting), *(one for _, one in placed if not one.fits))


def _cheapest_first(role: str, placed: Placement) -> tuple[int, bool, bool, Fraction, Fraction]:
    last = {"registers": 1, "external": 2}.get(role, 0)
    share, blocks = placed.share, placed.blocks
    zero = Fraction(0)
    return last, blocks is None, share is None, share or zero, blocks or zero


def near_misses(
    demand: Demand, tier: Tier, device: Device, within: Fraction = WITHIN
) -> tuple[NearMiss, ...]:
    """The least step down in depth, and in width, that saves blocks on this tier; most saved first.

    Looks no further than `within` of the size (but always one word or bit). A memory with unequal port
    widths is not made narrower.
    """
    taken = count_blocks(demand, tier, device)
    if taken is None:
        return ()
    found = [_least_step(demand, tier, device, taken, "depth", within)]
    if demand.write_width is None and demand.read_width is None:
        found.append(_least_step(demand, tier, device, taken, "width", within))
    return tuple(sorted((one for one in found if one), key=lambda one: -one.saved))


def _least_step(
    demand: Demand, tier: Tier, device: Device, taken: Fraction, of: str, within: Fraction
) -> NearMiss | None:
    size = demand.depth if of == "depth" else demand.width
    low, high = 1, min(size - 1, max(1, int(size * within)))

    def saves(less: int) -> bool:
        blocks = count_blocks(smaller(demand, of, less), tier, device)
        return blocks is not None and blocks < taken

    if high < 1 or not saves(high):
        return None
    while low < high:  # fewer words or bits never take more blocks
        middle = (low + high) // 2
        low, high = (low, middle) if saves(middle) else (middle + 1, high)
    blocks = count_blocks(smaller(demand, of, low), tier, device)
    assert blocks is not None
    return NearMiss(of, low, size - low, blocks, taken - blocks)


def smaller(demand: Demand, of: str, less: int) -> Demand:
    """The demand with fewer words, or with fewer bits, taken from the highest lanes."""
    if of == "depth":
        return replace(demand, depth=demand.depth - less)
    width = demand.width - less
    lanes: list[int] = []
    for lane in demand.lanes:
        kept = min(lane, width - sum(lanes))
        if kept > 0:
            lanes.append(kept)
    return replace(demand, width=width, lanes=tuple(lanes))


def foldings(demand: Demand, tier: Tier, device: Device) -> tuple[Folding, ...]:
    """Two, four, eight or sixteen words side by side in one, where that takes fewer blocks.

    A write then covers one part of the wider word, so its parts become write lanes; a read needs the
    multiplexer. Check bits to be added go with each word.
    """
    taken = count_blocks(demand, tier, device)
    if taken is None or demand.write_width is not None or demand.read_width is not None:
        return ()
    check = check_bits(demand.width) if demand.ecc == "added" else 0
    lanes = (*(word_lanes(demand) or (demand.width,)), *((check,) if check else ()))
    if check and len(lanes) == 2:
        lanes = (demand.width + check,)
    found, least, ways = [], taken, 2
    while ways <= min(MOST_FOLDS, demand.depth):
        folded = replace(
            demand,
            depth=-(-demand.depth // ways),
            width=(demand.width + check) * ways,
            lanes=lanes * ways if demand.writes + demand.readwrites else (),
            ecc="in word" if check else demand.ecc,
        )
        blocks = count_blocks(folded, tier, device)
        if blocks is not None and blocks < least:
            registers = 0 if tier.read == "asynchronous" else mux_registers(ways, device.mux_ways)
            found.append(Folding(ways, folded.depth, folded.width, blocks, taken - blocks, registers))
            least = blocks
        ways *= 2
    return tuple(found)


def side_by_side(demands: Sequence[Demand], tier: Tier, device: Device) -> Beside | None:
    """Memories that are always addressed alike, kept in one word; None when that saves no blocks, when a
    count is unknown, or when they differ in more than width and lanes.

    Each word is a write lane of its own, since each may be written without the others.
    """
    counts = [count_blocks(demand, tier, device) for demand in demands]
    alike = {replace(demand, width=1, lanes=()) for demand in demands}
    if len(demands) < 2 or len(alike) > 1 or None in counts:
        return None
    lanes = tuple(lane for demand in demands for lane in (word_lanes(demand) or (demand.width,)))
    width = sum(demand.width for demand in demands)
    together = count_blocks(replace(demands[0], width=width, lanes=lanes), tier, device)
    apart = sum((count for count in counts if count is not None), Fraction(0))
    return Beside(width, together, apart) if together is not None and together < apart else None
