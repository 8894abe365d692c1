"""Cycles from an address to its word."""

from __future__ import annotations

from memlint.device.facts import Device, Tier
from memlint.mapping.chains import ChainLimits, ceil_log
from memlint.mapping.layout import Layout


def read_latency(
    tier: Tier, device: Device, chosen: Layout, limits: ChainLimits, ecc_cycles: int | None
) -> tuple[int | None, str]:
    """Clock cycles from address to data without optional output registers, or None and what is unknown.

    The tier's own, a register for every `register_every` blocks of a chain piece after the first, the
    multiplexer's registers, and `ecc_cycles` of hardened ECC (0 without, None when unknown).
    Asynchronous tiers take 0.
    """
    if tier.read == "asynchronous":
        return 0, ""
    if tier.read_latency is None:
        return None, f"the profile does not give the read latency of {tier.name}"
    if ecc_cycles is None:
        return None, f"the profile does not say how many cycles the hardened ECC of {tier.name} adds"
    if limits.unknown(chosen.tallest):
        return None, limits.unknown(chosen.tallest)
    registers = _chain_registers(chosen, limits)
    if registers is None:
        return None, f"the profile does not say where a chain of {tier.name} needs registers"
    joining = mux_registers(chosen.ways, device.mux_ways)
    if joining is None:
        return None, f"the profile does not say how wide a multiplexer is without registers ({chosen.ways}:1)"
    return tier.read_latency + registers + joining + ecc_cycles, ""


def _chain_registers(chosen: Layout, limits: ChainLimits) -> int | None:
    if not limits.hardened:
        return 0
    longest = max(-(-run.blocks // limits.pieces(run.blocks)) for run in chosen.runs)
    if longest == 1:
        return 0
    return None if not limits.register_every else -(-longest // limits.register_every) - 1


def mux_registers(ways: int, mux_ways: int | None) -> int | None:
    """Registers inside a ways:1 multiplexer built from `mux_ways`:1 steps, None when that is unknown."""
    if ways <= 1:
        return 0
    if mux_ways is None or mux_ways < 2:
        return None
    return max(0, ceil_log(ways, mux_ways) - 1)
