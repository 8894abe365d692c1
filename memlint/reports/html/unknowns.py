"""Why a figure of a memory is not known."""

from __future__ import annotations

from memlint.rules.placed import why_no_tier
from memlint.rules.view import MemoryView

_SHAPE = ("depth", "width", "bits")
_COUNT = ("copies", "blocks", "uniform_blocks", "fill", "chain", "chains", "split", "read_latency")


def reasons(view: MemoryView) -> dict[str, str]:
    """A sentence for each field of `list --format json` that is null and could be a value."""
    memory = view.memory
    found: dict[str, str] = {}
    shape = memory.unresolved or "the reason is not known"
    values = {"depth": memory.depth, "width": memory.width, "bits": memory.bits}
    found |= {key: shape for key in _SHAPE if values[key] is None}
    if not memory.clocks_known:
        found["clocks"] = _clocks(view)
    if memory.read is None:
        found["read"] = _read(view)
    if view.tier is None:
        found["tier"] = why_no_tier(view)
    return found | _count(view, shape)


def _count(view: MemoryView, shape: str) -> dict[str, str]:
    here = view.placement
    if view.tier is None or here is None:
        why = f"the shape is unknown: {shape}" if view.memory.bits is None else "it has no tier"
        return dict.fromkeys(_COUNT, why)
    said = [*(one.text for one in here.obstacles), *here.because]
    why = "; ".join(said) or "the profile leaves out a fact it needs"
    null = [key for key in _COUNT if getattr(here, key) is None]
    if here.blocks is None:
        return dict.fromkeys(null, why)
    return {key: _lacks(view, key, why) for key in null}


def _lacks(view: MemoryView, key: str, why: str) -> str:
    tier = view.tier
    assert tier is not None
    if key == "fill" and tier.block_bits is None:
        return f"the profile does not say how many bits a block of {tier.name} has"
    if key == "read_latency" and tier.read_latency is None:
        return f"the profile does not say the read latency of {tier.name}"
    if key in ("chain", "chains", "split") and "chain" in tier.unknown:
        return f"the profile does not say whether {tier.name} has depth wires"
    return why


def _clocks(view: MemoryView) -> str:
    if view.memory.planned:
        return "it is planned, without RTL yet"
    said = [
        access.reason
        for port in view.memory.ports
        for access in port.accesses
        if access.clock is None and not access.asynchronous and access.reason
    ]
    return said[0] if said else "a clock could not be traced to its net"


def _read(view: MemoryView) -> str:
    if view.memory.planned:
        return "it is planned, without RTL yet"
    if not view.memory.clocks_known:
        return _clocks(view)
    return "how its reads are clocked could not be worked out"
