"""The ways to keep one memory on a device: its tiers, and how short its chains are cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.device.facts import Device, Tier
from memlint.mapping.columns_pieces import Pieces, pieces_of, shorter_chains, with_chains_of
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import place
from memlint.mapping.plan import Choice
from memlint.mapping.wording import plural

NO_PIECES = Pieces((), Fraction(0))


@dataclass(frozen=True, slots=True)
class Way:
    """A choice and the placement behind it."""

    choice: Choice
    placement: Placement


@dataclass(frozen=True, slots=True)
class Refusal:
    """A tier that does not take the memory, and why."""

    tier: str
    text: str


def ways_on(
    demand: Demand, tier: Tier, device: Device, within: int | None = None
) -> tuple[tuple[Way, ...], Refusal | None]:
    """Every way to keep the memory on the tier, its chains as long as they may be first; or why none.

    `within` is the most cycles a read may take. A latency that is not known is let through.
    """
    placement = place(demand, tier, device)
    if placement.obstacles:
        return (), Refusal(tier.name, "; ".join(one.text for one in placement.obstacles))
    ways = ways_regardless(demand, tier, device)
    if not ways:
        return (), Refusal(tier.name, "; ".join(placement.because) or "its blocks there are not known")
    kept = tuple(way for way in ways if _in_time(way.choice.latency, within))
    if kept:
        return kept, None
    fastest = min(way.choice.latency for way in ways if way.choice.latency is not None)
    return (), Refusal(
        tier.name, f"a read takes {plural(fastest, 'cycle')} at least, its intent allows {within}"
    )


def ways_regardless(demand: Demand, tier: Tier, device: Device) -> tuple[Way, ...]:
    """The ways on a tier as if all that keeps the memory off it were mended; none while it is not known how
    much it takes there."""
    placement = place(demand, tier, device)
    if placement.blocks is None and tier.role != "external":
        return ()
    whole = _pieces(placement, tier, demand)
    ways = [Way(_choice(demand, placement, tier, whole, 0), placement)]
    for length in shorter_chains(whole.chains[0]) if whole.chains else ():
        shorter = with_chains_of(tier, length)
        cut = place(demand, shorter, device)
        pieces = _pieces(cut, shorter, demand)
        if cut.blocks == placement.blocks:
            ways.append(Way(_choice(demand, cut, tier, pieces, _cuts(whole, pieces)), cut))
    return tuple(ways)


def _in_time(latency: int | None, within: int | None) -> bool:
    return within is None or latency is None or latency <= within


def _pieces(placement: Placement, tier: Tier, demand: Demand) -> Pieces:
    if not tier.columns or tier.chain is None:
        return NO_PIECES
    return pieces_of(placement, tier, demand.banks) or NO_PIECES


def _cuts(whole: Pieces, cut: Pieces) -> int:
    """Each cut makes one piece more."""
    return max(0, int(len(cut.chains) + cut.singles - len(whole.chains) - whole.singles))


def _choice(demand: Demand, placement: Placement, tier: Tier, pieces: Pieces, cuts: int) -> Choice:
    blocks = placement.blocks
    if blocks is None:  # off the chip: bits
        blocks = Fraction(demand.depth * (placement.word or demand.width) * demand.banks)
    power = dict(placement.power).get("microwatt")
    return Choice(
        tier=tier.name,
        blocks=blocks,
        share=placement.share or Fraction(0),
        cuts=cuts,
        latency=placement.read_latency,
        power=None if power is None else Fraction(round(power * 1000), 1000),
        chains=pieces.chains,
        last_resort=placement.share is None,
    )


def ways_among(
    demand: Demand, tiers: Sequence[Tier], device: Device, within: int | None = None
) -> tuple[tuple[Way, ...], tuple[Refusal, ...]]:
    """The ways on any of several tiers, and the tiers that give none."""
    ways: list[Way] = []
    refused: list[Refusal] = []
    for tier in tiers:
        found, why_not = ways_on(demand, tier, device, within)
        ways.extend(found)
        if why_not is not None:
            refused.append(why_not)
    return tuple(ways), tuple(refused)
