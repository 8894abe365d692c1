"""A memory of the design → what it demands, the intent that won, the tier it goes to, its placement."""

from __future__ import annotations

from collections.abc import Mapping

from memlint.design.memory import BoundClause, Memory
from memlint.device.facts import REGISTERS, Device, Tier
from memlint.mapping.assume import assumed_tier, choose_named
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import place
from memlint.reading.intent.clauses import Accept, Budget, Ecc, In, InitialContents, Ports, WriteLanes
from memlint.rules.stated_ports import counted
from memlint.rules.view import MemoryView


def view_of(memory: Memory, device: Device, thresholds: Mapping[str, float]) -> MemoryView:
    """Everything the rules see of a memory on a device."""
    clauses = winning_clauses(memory)
    accepts = tuple(
        BoundClause(clause, bound)
        for bound in memory.intents
        for clause in bound.intent.clauses
        if isinstance(clause, Accept)
    )
    demand = demand_of(memory, clauses)
    tier, origin = _tier(memory, clauses, demand, device, thresholds)
    known: dict[str, Placement] = {}

    def placed(on: Tier) -> Placement:
        found = known.get(on.name)
        if found is None:
            assert demand is not None
            found = place(demand, on, device)
            known[on.name] = found
        return found

    placement = placed(tier) if demand is not None and tier is not None else None
    return MemoryView(memory, device, tier, origin, clauses, accepts, demand, placement, placed, thresholds)


def winning_clauses(memory: Memory) -> tuple[BoundClause, ...]:
    """The clauses in force, one of each kind: the outermost intent's wins, clause by clause."""
    won: dict[type, BoundClause] = {}
    for bound in memory.intents:
        for clause in bound.intent.clauses:
            if not isinstance(clause, Accept | Budget):
                won.setdefault(type(clause), BoundClause(clause, bound))
    return tuple(won.values())


def demand_of(memory: Memory, clauses: tuple[BoundClause, ...]) -> Demand | None:
    """What the memory asks of a tier; None while its shape is not known."""
    if memory.depth is None or memory.width is None or memory.depth < 1 or memory.width < 1:
        return None
    said = {type(bound.clause): bound.clause for bound in clauses}
    ecc = said.get(Ecc)
    stated = said.get(Ports)
    (writes, reads, both), write_width, read_width = counted(
        memory, stated if isinstance(stated, Ports) else None
    )
    contents = memory.contents
    if contents == "none" and InitialContents in said:
        contents = "given"
    return Demand(
        depth=memory.depth,
        width=memory.width,
        banks=memory.banks,
        writes=writes,
        reads=reads,
        readwrites=both,
        clocks=max(1, len(memory.clocks)) if memory.clocks_known else None,
        asynchronous=None if memory.read is None else memory.read == "asynchronous",
        lanes=_lanes(memory, said.get(WriteLanes)),
        ecc="none" if not isinstance(ecc, Ecc) else "in word" if ecc.in_word else "added",
        contents=contents,
        write_width=write_width,
        read_width=read_width,
        resets_array=memory.reset is not None,
        latch=memory.latch,
    )


def _lanes(memory: Memory, said: object) -> tuple[int, ...]:
    """The lanes the HDL writes; where it shows none, those the intent states, if they fill the word."""
    assert memory.width is not None
    if memory.lanes or not isinstance(said, WriteLanes):
        return memory.lanes
    widths = said.widths
    if said.each:
        widths = (said.each,) * (memory.width // said.each)
    return tuple(reversed(widths)) if sum(widths) == memory.width and len(widths) > 1 else ()


def _tier(
    memory: Memory,
    clauses: tuple[BoundClause, ...],
    demand: Demand | None,
    device: Device,
    thresholds: Mapping[str, float],
) -> tuple[Tier | None, str | None]:
    named = next((bound.clause for bound in clauses if isinstance(bound.clause, In)), None)
    if isinstance(named, In):
        tiers = tuple(tier for tier in map(device.tier, named.tiers) if tier is not None)
        if tiers:
            return (choose_named(demand, tiers, device) if demand is not None else tiers[0]), "intent"
        # The device has none of the tiers that are named: which one was meant is not known.
        return None, None
    if memory.attribute is not None:
        asked = _of_attribute(memory, device)
        if asked is not None:
            return asked, "attribute"
    if demand is None:
        return None, None
    tier = assumed_tier(demand, memory.packed, device, thresholds)
    return tier, "assumed" if tier is not None else None


def _of_attribute(memory: Memory, device: Device) -> Tier | None:
    match memory.attribute:
        case "block":
            return device.first_of_role("block")
        case "logic":
            # A ROM in logic is lookup tables; a RAM kept out of blocks is whatever logic can hold it.
            return device.first_of_role("fabric") or REGISTERS
        case None:
            return None
        case name:
            return device.tier(name)
