"""One memory on one tier: counts, cuts, chains, latency, and why it fits or not."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from memlint.device.facts import Device, Tier
from memlint.mapping.demand import Demand, Obstacle, Placement
from memlint.mapping.elsewhere import in_registers, off_chip
from memlint.mapping.latency import read_latency
from memlint.mapping.layout import Layout, cuts_of
from memlint.mapping.narrate import cut_sentences, mode_sentence
from memlint.mapping.obstacles import check, find_obstacles, open_questions
from memlint.mapping.power import power_of, power_unknown
from memlint.mapping.ways import Way, find_ways
from memlint.mapping.wording import amount

PREFERENCES = ("blocks", "speed", "power")

MOST_BITS = 65_536
"""Bits of the widest word whose cuts are listed: a wider one is a slip, and must not stall an editor."""


def place(demand: Demand, tier: Tier, device: Device, prefer: str = "blocks") -> Placement:
    """Reckon one memory on one tier of a device.

    `prefer` is what to put first where there is a choice: `blocks` (fewest blocks), `speed` (least
    latency, then fewest blocks one above another, then fewest blocks) or `power` (least power where the
    profile gives the figures, else blocks).

    With obstacles the counts are those of the nearest mode, as if the obstacles were mended. What cannot
    be known is None, with the reason in `because`. Raises ValueError when the demand describes no memory
    or `prefer` is none of these.
    """
    check(demand)
    if prefer not in PREFERENCES:
        raise ValueError(f"prefer is one of {', '.join(PREFERENCES)}, not {prefer!r}")
    if tier.role == "registers":
        return in_registers(demand, tier)
    obstacles = find_obstacles(tier, demand)
    if tier.role == "external":
        return off_chip(demand, tier, obstacles)
    ways, widths, reason = find_ways(demand, tier)
    obstacles += widths
    reason = reason or _too_wide(demand) or _lanes_open(ways, tier, demand)
    if reason:
        return Placement(tier.name, not obstacles, obstacles, (reason,))
    way, chosen = _choose(ways, demand, tier, device, prefer)
    return _answer(demand, tier, device, prefer, ways, way, chosen, obstacles)


def count_blocks(demand: Demand, tier: Tier, device: Device) -> Fraction | None:
    """The blocks `place` would give, without cuts and reasons: for planning, where many are compared."""
    check(demand)
    if tier.role in ("registers", "external"):
        return place(demand, tier, device).blocks
    ways, _, reason = find_ways(demand, tier)
    if reason or _too_wide(demand) or _lanes_open(ways, tier, demand):
        return None
    return min(way.blocks(way.units(), demand.banks) for way in ways)


def _too_wide(demand: Demand) -> str:
    if demand.width <= MOST_BITS:
        return ""
    return f"a word of {demand.width:,} bits is wider than is reckoned with ({MOST_BITS:,} bits)"


def _lanes_open(ways: list[Way], tier: Tier, demand: Demand) -> str:
    """What write lanes leave unknown where the profile does not document the enables; empty when their
    count is the same with enables and without."""
    unsure = [way for way in ways if not way.enables_known(tier)]
    if not unsure:
        return ""
    most = min(way.blocks(way.units(), demand.banks) for way in ways)
    least = min(way.blocks(way.units_unlaned(), demand.banks) for way in unsure)
    if least >= most:
        return ""
    lanes = len(unsure[0].plan.word.lanes)
    return (
        f"the profile does not document the write enables of {tier.name}: "
        f"{lanes} write lanes make it between {amount(least)} and {amount(most)} blocks"
    )


def _choose(ways: list[Way], demand: Demand, tier: Tier, device: Device, prefer: str) -> tuple[Way, Layout]:
    """The mode and the layout that put first what is preferred; of equals the mode listed first."""
    if prefer == "speed":
        return min(_all(ways), key=lambda one: _speed_key(one[0], one[1], tier, device))
    if prefer == "power" and not power_unknown(tier, device):
        return min(_all(ways), key=lambda one: _power_key(one[0], one[1], tier, device))
    if len(ways) == 1:
        return ways[0], ways[0].layout()
    counts = [way.blocks(way.units(), 1) for way in ways]
    least = min(counts)
    best = [way for way, count in zip(ways, counts, strict=True) if count == least]
    return min(((way, way.layout()) for way in best), key=lambda one: _equals_key(*one))


def _odd_part(way: Way, tier: Tier, blocks: Fraction) -> str:
    """What becomes of the rest of a block that is taken in part."""
    if blocks.denominator == 1 or way.mode.pair == "any":
        return ""
    if way.mode.pair is None:
        return f"the profile does not say whose parts of a block of {tier.name} may share it"
    return "the rest of the block that is taken in part is lost to other memories"


def _hardened_elsewhere(ways: list[Way], way: Way, banks: int) -> str:
    """What hardened ECC would take in a mode that was not chosen because soft ECC takes fewer blocks."""
    if way.plan.hard is not None:
        return ""
    for other in ways:
        if other.plan.hard is not None:
            blocks = amount(other.blocks(other.units(), banks))
            return f"hardened ECC in mode {other.mode.name} takes {blocks} blocks"
    return ""


def _uniform(
    ways: list[Way], way: Way, chosen: Layout, blocks: Fraction, banks: int
) -> tuple[Fraction, tuple[int, int]]:
    """The fewest blocks with one shape for all, over every mode, and that shape."""
    if chosen.uniform and chosen.cost == way.uniform_units() and len(ways) == 1:
        piece = chosen.runs[0].piece
        return blocks, (piece.depth, piece.width)
    counts = [(one.blocks(one.uniform_units(), banks), at) for at, one in enumerate(ways)]
    least, at = min(counts)
    return least, ways[at].uniform_shape()


def _equals_key(way: Way, chosen: Layout) -> tuple[object, ...]:
    """The choice among equals across modes: the layout's own order, with blocks instead of units."""
    _, mixed, joined, chains, tallest, awake, depth = chosen.key()
    return way.plan.hard is None, mixed, joined, chains, tallest, way.blocks(awake, 1), depth


def _all(ways: list[Way]) -> Iterator[tuple[Way, Layout]]:
    for way in ways:
        for chosen in way.layouts():
            yield way, chosen


def _speed_key(way: Way, chosen: Layout, tier: Tier, device: Device) -> tuple[object, ...]:
    cycles, _ = _latency(way, chosen, tier, device)
    return cycles is None, cycles or 0, chosen.height, way.blocks(chosen.cost, 1), *_equals_key(way, chosen)


def _power_key(way: Way, chosen: Layout, tier: Tier, device: Device) -> tuple[object, ...]:
    blocks, awake = way.blocks(chosen.cost, 1), way.blocks(chosen.awake, 1)
    power = dict(power_of(tier, device, blocks, awake))
    return power["microwatt"], blocks, *_equals_key(way, chosen)


def _latency(way: Way, chosen: Layout, tier: Tier, device: Device) -> tuple[int | None, str]:
    ecc_cycles = 0 if way.plan.hard is None else way.plan.hard.ecc.extra_latency
    return read_latency(tier, device, chosen, way.limits, ecc_cycles)


def _answer(
    demand: Demand, tier: Tier, device: Device, prefer: str, ways: list[Way],
    way: Way, chosen: Layout, obstacles: tuple[Obstacle, ...],
) -> Placement:  # fmt: skip
    plan, limits, banks = way.plan, way.limits, demand.banks
    blocks = way.blocks(chosen.cost, banks)
    uniform, uniform_shape = _uniform(ways, way, chosen, blocks, banks)
    latency, latency_unknown = _latency(way, chosen, tier, device)
    broken = limits.unknown(chosen.tallest)
    word_known = plan.hard is None or plan.hard.check_known
    bits = demand.depth * plan.word.bits * banks * way.copies
    if tier.blocks is not None and blocks > tier.blocks:
        text = f"it takes {amount(blocks)} blocks of {tier.name}; {device.name} has {tier.blocks:,}"
        obstacles += (Obstacle("shape", text),)
    notes = (
        plan.note,
        _hardened_elsewhere(ways, way, banks),
        _odd_part(way, tier, blocks),
        latency_unknown,
        broken if broken != latency_unknown else "",
        limits.missing if chosen.tallest > 1 and not broken else "",
        "" if tier.block_bits else f"the profile does not give the bits of a block of {tier.name}",
        "" if tier.blocks is not None else f"the profile does not give the blocks of {tier.name}",
        power_unknown(tier, device) if prefer == "power" else "",
        *open_questions(tier, way.mode, demand),
    )
    return Placement(
        tier=tier.name,
        fits=not obstacles,
        obstacles=obstacles,
        because=(
            mode_sentence(demand, way),
            *cut_sentences(chosen, tier, way.table.unit),
            *(note for note in notes if note),
        ),
        mode=way.mode.name,
        copies=way.copies,
        blocks=blocks,
        uniform_blocks=uniform,
        lower_bound=Fraction(banks * way.copies * way.least_steps(), way.table.steps_of),
        fill=Fraction(bits) / (blocks * tier.block_bits) if tier.block_bits and word_known else None,
        cuts=cuts_of(chosen, way.table.unit),
        uniform_shape=uniform_shape,
        chain=None if limits.hardened is None and broken else chosen.tallest if limits.hardened else 1,
        chains=None if limits.hardened is None and broken else chosen.chains * banks * way.copies,
        split=None if broken else limits.pieces(chosen.tallest) if limits.hardened else 1,
        ways=None if broken else chosen.ways,
        read_latency=latency,
        output_registers=tier.output_registers,
        check_bits=plan.check,
        hard_ecc=plan.hard is not None,
        word=plan.word.bits if word_known else None,
        share=blocks / tier.blocks if tier.blocks else None,
        power=power_of(tier, device, blocks, way.blocks(chosen.awake, banks)),
    )
