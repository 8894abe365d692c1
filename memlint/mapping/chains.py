"""Depth chains: how many blocks one above the other hold together without logic, and where they break."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.device.facts import Mode, Tier


@dataclass(frozen=True, slots=True)
class ChainLimits:
    """What a tier's depth wires allow in one mode.

    `hardened` is False where there are none: then each block one above another is joined in logic; None
    when the profile does not say. `longest` is the most blocks a chain can have (its own limit and the
    tallest column), None when the profile gives neither. `register_every` is in blocks, None when unknown.
    `missing` says what the profile leaves out.
    """

    hardened: bool | None
    longest: int | None = 1
    register_every: int | None = None
    missing: str = ""

    def pieces(self, blocks: int) -> int:
        """Inputs that a run of so many blocks needs of the multiplexer behind it (1 = none)."""
        if self.hardened is False:
            return blocks
        return 1 if self.longest is None else -(-blocks // self.longest)

    def unknown(self, blocks: int) -> str:
        """Why it is not known where a run of so many blocks breaks; empty when it is."""
        return self.missing if blocks > 1 and self.longest is None else ""


def chain_limits(tier: Tier, mode: Mode) -> ChainLimits:
    """The limits of the tier's hardened chain in this mode."""
    chain = tier.chain
    if chain is None and "chain" in tier.unknown:
        return ChainLimits(None, None, None, f"the profile does not say whether {tier.name} has depth wires")
    if chain is None or (chain.modes and mode.name not in chain.modes):
        return ChainLimits(hardened=False)
    tallest = max((column.blocks for column in tier.columns), default=None)
    known = [limit for limit in (chain.longest, tallest) if limit is not None]
    missing = ""
    if not known:
        missing = f"the profile gives neither the longest chain of {tier.name} nor its columns"
    elif tallest is None:
        missing = f"the profile gives no columns of {tier.name}; only its longest chain limits a chain"
    return ChainLimits(True, max(1, min(known)) if known else None, chain.register_every, missing)


def ceil_log(value: int, base: int) -> int:
    """The least k with base^k >= value, in whole numbers (base >= 2)."""
    power, k = 1, 0
    while power < value:
        power *= base
        k += 1
    return k
