"""Why a tier does not take a memory, and what its profile leaves open."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.device.facts import Mode, Tier
from memlint.mapping.demand import Demand, Obstacle
from memlint.mapping.modes import clocks_allowed, copies_in, modes_text, ports_text, takes_clocks
from memlint.mapping.wording import plural


def candidate_modes(tier: Tier, demand: Demand) -> list[tuple[Mode, int]]:
    """The modes that provide the ports, and the clocks where any of those does, with their copies."""
    by_ports = [(mode, copies) for mode in tier.modes if (copies := copies_in(mode, demand)) is not None]
    by_clocks = [(mode, copies) for mode, copies in by_ports if takes_clocks(mode, tier, demand)]
    return by_clocks or by_ports


def find_obstacles(tier: Tier, demand: Demand) -> tuple[Obstacle, ...]:
    """Everything that keeps the memory off the tier, except its size and its port widths."""
    if tier.role == "registers":
        return ()
    return (
        *_ports(tier, demand), *_clocks(tier, demand), *_read(tier, demand), *_contents(tier, demand),
        *_reset(tier, demand),
    )  # fmt: skip


def _ports(tier: Tier, demand: Demand) -> Iterator[Obstacle]:
    if tier.modes and not any(copies_in(mode, demand) is not None for mode in tier.modes):
        yield Obstacle("ports", f"its ports are {ports_text(demand)}; {tier.name} offers {modes_text(tier)}")


def _clocks(tier: Tier, demand: Demand) -> Iterator[Obstacle]:
    if demand.latch:
        yield Obstacle("clocks", f"it is written by a latch enable; {tier.name} writes on a clock edge")
    if demand.clocks is None or demand.clocks < 2:
        return
    modes = [mode for mode in tier.modes if copies_in(mode, demand) is not None]
    if modes and not any(takes_clocks(mode, tier, demand) for mode in modes):
        where = "" if tier.clocks == "one" else f" in mode {modes[0].name}"
        yield Obstacle(
            "clocks", f"its ports use {demand.clocks} clocks; the ports of {tier.name} share one{where}"
        )
    elif not modes and tier.clocks == "one":
        yield Obstacle("clocks", f"its ports use {demand.clocks} clocks; the ports of {tier.name} share one")


def _read(tier: Tier, demand: Demand) -> Iterator[Obstacle]:
    if demand.asynchronous and tier.read == "synchronous":
        yield Obstacle("read", f"it is read without a clock; {tier.name} reads on a clock edge only")


def _contents(tier: Tier, demand: Demand) -> Iterator[Obstacle]:
    has = tier.initial_contents
    if demand.contents == "given" and has in ("zero", "none"):
        starts = "starts at zero" if has == "zero" else "cannot be given any"
        yield Obstacle("contents", f"it must hold given contents at power-up; {tier.name} {starts}")
    elif demand.contents == "zero" and has == "none":
        yield Obstacle("contents", f"it must be zero at power-up; what {tier.name} holds then is not defined")


def _reset(tier: Tier, demand: Demand) -> Iterator[Obstacle]:
    if demand.resets_array:
        yield Obstacle(
            "reset",
            f"a reset clears all {plural(demand.depth, 'word')}; {tier.name} keeps its words through a reset",
        )


def open_questions(tier: Tier, mode: Mode, demand: Demand) -> Iterator[str]:
    """What the profile or the design does not say and the answer therefore leaves open."""
    if demand.clocks is None:
        yield "how many clocks its ports use is unknown, so they are not compared with the tier's"
    elif demand.clocks > 1 and clocks_allowed(mode, tier) is None:
        yield f"the profile does not say whether the ports of {tier.name} may have clocks of their own"
    if demand.asynchronous is None:
        yield "whether it is read without a clock is unknown"
    elif tier.read is None:
        yield f"the profile does not say whether {tier.name} is read on a clock edge"
    if demand.contents != "none" and tier.initial_contents is None:
        yield f"the profile does not say what {tier.name} holds at power-up"


def check(demand: Demand) -> None:
    """Refuse a demand that describes no memory; raises ValueError naming what is wrong."""
    for name in ("depth", "width", "banks"):
        if getattr(demand, name) < 1:
            raise ValueError(f"{name} must be at least 1, not {getattr(demand, name)}")
    if any(lane < 1 for lane in demand.lanes) or sum(demand.lanes) > demand.width:
        lanes = " + ".join(map(str, demand.lanes))
        raise ValueError(f"write lanes {lanes} do not fit a word of {demand.width} bits")
