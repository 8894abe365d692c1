"""Relative power at one access a cycle, where the profile has the figures."""

from __future__ import annotations

from fractions import Fraction

from memlint.device.facts import Device, Tier


def power_unknown(tier: Tier, device: Device) -> str:
    """What is missing to reckon power, or nothing."""
    missing = [
        name
        for name, value in (
            ("idle_uw", tier.idle_uw),
            ("active_uw_per_mhz", tier.active_uw_per_mhz),
            ("target_mhz", device.target_mhz),
        )
        if value is None
    ]
    return f"power is unknown: the profile does not give {', '.join(missing)}" if missing else ""


def power_of(tier: Tier, device: Device, blocks: Fraction, awake: Fraction) -> tuple[tuple[str, float], ...]:
    """Blocks awake and asleep at an access, and the power in microwatts of one access a cycle at the
    device's target clock, alone and relative to all blocks awake. Figures the profile lacks are left out.

    Blocks not addressed count as asleep where the profile gives `asleep_uw`, else as idle.
    """
    counts = (("awake", float(awake)), ("asleep", float(blocks - awake)))
    if power_unknown(tier, device):
        return counts
    assert tier.idle_uw is not None and tier.active_uw_per_mhz is not None and device.target_mhz is not None
    busy = tier.idle_uw + tier.active_uw_per_mhz * device.target_mhz
    quiet = tier.idle_uw if tier.asleep_uw is None else tier.asleep_uw
    total = float(awake) * busy + float(blocks - awake) * quiet
    return (*counts, ("microwatt", total), ("relative", total / (float(blocks) * busy) if busy else 1.0))
