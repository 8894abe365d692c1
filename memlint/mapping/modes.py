"""Which modes of a tier provide a memory's ports and clocks, and in how many copies."""

from __future__ import annotations

from dataclasses import replace

from memlint.device.facts import Mode, Tier
from memlint.mapping.demand import Demand

MODE_WORDS = {
    "single": "one port",
    "simple_dual": "one write port and reads beside it",
    "true_dual": "two ports that each read and write",
    "rom": "reads only",
}


def ceil_div(a: int, b: int) -> int:
    """a / b rounded up, for whole numbers."""
    return -(-a // b)


def copies_in(mode: Mode, demand: Demand) -> int | None:
    """Copies of the memory that this mode needs to provide the ports; None when it cannot.

    With w, r, rw ports: `single` takes w + rw <= 1 and nothing else; `simple_dual` with s reads takes
    w + rw <= 1 in max(1, ceil((r + rw)/s)) copies; `true_dual` takes w + rw <= 2, with r = 0 if
    w + rw = 2, else max(1, ceil(r/(2 - w - rw))) copies; `rom` takes reads only, ceil(r/reads).
    """
    writers, reads = demand.writes + demand.readwrites, demand.reads
    match mode.name:
        case "single":
            return 1 if writers <= 1 and reads == 0 else None
        case "simple_dual":
            if writers > 1:
                return None
            return max(1, ceil_div(reads + demand.readwrites, max(1, mode.reads)))
        case "true_dual":
            if writers > 2 or (writers == 2 and reads > 0):
                return None
            return 1 if writers == 2 else max(1, ceil_div(reads, 2 - writers))
        case "rom":
            return max(1, ceil_div(reads, max(1, mode.reads))) if writers == 0 else None
    return None


def nearest(tier: Tier, demand: Demand) -> tuple[Mode, int] | None:
    """The mode with the most ports and the copies it would take if surplus writes were dropped."""
    for name in ("true_dual", "simple_dual", "single", "rom"):
        mode = tier.mode(name)
        if mode is None:
            continue
        match name:
            case "true_dual" | "single":
                return mode, 1
            case "simple_dual":
                copies = copies_in(mode, replace(demand, writes=1, readwrites=0))
            case _:
                copies = copies_in(mode, replace(demand, writes=0, readwrites=0))
        return mode, copies or 1
    return None


def clocks_allowed(mode: Mode, tier: Tier) -> str | None:
    """`one`, `any`, or None when the profile does not say; a mode may only narrow its tier."""
    if "one" in (mode.clocks, tier.clocks):
        return "one"
    return mode.clocks or tier.clocks


def takes_clocks(mode: Mode, tier: Tier, demand: Demand) -> bool:
    """Whether the mode takes the clocks, as far as both sides are known."""
    return not (demand.clocks is not None and demand.clocks > 1 and clocks_allowed(mode, tier) == "one")


def ports_text(demand: Demand) -> str:
    """Ports as users write them: `1w 2r`, `1rw`, `rom`."""
    if not demand.writes and not demand.readwrites:
        return "rom" if demand.reads <= 1 else f"rom with {demand.reads} reads"
    parts = ((demand.writes, "w"), (demand.reads, "r"), (demand.readwrites, "rw"))
    return " ".join(f"{count}{kind}" for count, kind in parts if count)


def modes_text(tier: Tier) -> str:
    """What the tier's modes offer, for messages: `simple_dual (one write port and reads beside it)`."""
    return ", ".join(f"{mode.name} ({MODE_WORDS.get(mode.name, 'unknown')})" for mode in tier.modes)
