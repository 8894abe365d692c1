"""What a plan says of each memory, and what it says when there is none."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Protocol

from memlint.device.facts import REGISTERS, Device
from memlint.mapping.columns import arrange, smallest_conflict
from memlint.mapping.plan import Choice, Conflict, Problem
from memlint.mapping.plan_choices import Refusal, Way
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, bits, listed, percent, plural

MOST_NAMED = 8


class Planned(Protocol):
    """A memory with the ways it may be kept."""

    @property
    def view(self) -> MemoryView: ...
    @property
    def refused(self) -> tuple[Refusal, ...]: ...


def cost_words(choice: Choice, device: Device) -> str:
    """`2 blocks of bulk, 2 % of the device's`."""
    tier = device.tier(choice.tier)
    if choice.tier == REGISTERS.name:
        return f"{plural(choice.blocks, 'flip-flop')}"
    if tier is not None and tier.role == "external":
        return f"{bits(int(choice.blocks))} of {choice.tier}"
    share = "a share that is not known" if choice.last_resort else percent(choice.share)
    return f"{plural(choice.blocks, 'block')} of {choice.tier}, {share} of the device's"


def reasons(
    ways: Sequence[Way], chosen: Way, refused: Sequence[Refusal], fixed: str, device: Device
) -> tuple[str, ...]:
    """Why the memory is where the plan keeps it, the others with their cost, those that do not take it."""
    found = [fixed] if fixed else [_decided(ways, chosen, device)]
    if chosen.choice.cuts:
        cycles = chosen.placement.read_latency
        read = "" if cycles is None else f", read in {plural(cycles, 'cycle')}"
        found.append(
            f"its chain is cut ({plural(chosen.choice.cuts, 'time')}) so that it can be read in time or the "
            f"columns hold all: a {chosen.placement.ways}:1 multiplexer in fabric{read}"
        )
    first: dict[str, Way] = {}
    for way in ways:
        first.setdefault(way.choice.tier, way)
    found += [
        f"instead: {cost_words(way.choice, device)}"
        for tier, way in first.items()
        if tier != chosen.choice.tier
    ]
    found += [f"not {one.tier}: {one.text}" for one in refused]
    return tuple(found)


def _decided(ways: Sequence[Way], chosen: Way, device: Device) -> str:
    tiers = list(dict.fromkeys(way.choice.tier for way in ways))
    if len(tiers) == 1:
        return "the only tier it may go to"
    cheapest = min(ways, key=lambda way: (way.choice.last_resort, way.choice.share))
    if cheapest.choice.share == chosen.choice.share and not chosen.choice.last_resort:
        return f"the smallest share of the {len(tiers)} tiers that take it"
    return (
        f"{cheapest.choice.tier} would be a smaller share ({percent(cheapest.choice.share)}), but other "
        "memories make better use of it, or a budget or the columns leave it none"
    )


def conflict_words(
    conflict: Conflict, problem: Problem, candidates: Sequence[Planned], device: Device
) -> tuple[str, ...]:
    """Why there is no plan, and what to do, in sentences."""
    involved = [candidates[at] for at in conflict.items]
    if not conflict.proven:
        return (
            "no plan was found, and none can be excluded",
            "free some memories: name several tiers in `in`, or loosen `read within`",
        )
    if not conflict.limits and not conflict.tiers:
        return tuple(
            f"`{one.view.memory.path}` can be kept nowhere: "
            + "; ".join(f"not {refusal.tier}: {refusal.text}" for refusal in one.refused)
            for one in involved
        )
    names = _names(involved)
    if conflict.needed is not None and conflict.there is not None:
        limit = problem.limits[conflict.limits[0]]
        over = conflict.needed - conflict.there
        where = "the device" if limit.name == limit.tier else limit.name
        return (
            f"{plural(len(involved), 'memory', 'memories')} cannot do without `{limit.tier}`, at "
            f"least {_amount(conflict.needed, limit.tier, device)} of it, {where} has "
            f"{_amount(conflict.there, limit.tier, device)}: {names}",
            f"allow another tier to some of them (`in {limit.tier} or …`), make them smaller by "
            f"{_amount(over, limit.tier, device)} in all, or choose a larger device",
        )
    if conflict.tiers:
        return (
            f"{plural(len(involved), 'memory', 'memories')} cannot be kept together: {names}",
            *(text for tier in conflict.tiers if (text := _columns(problem, conflict, tier))),
            "allow more cycles in `read within`, so that chains can be cut, or another tier",
        )
    limits = [problem.limits[row] for row in conflict.limits]
    stated = listed(
        f"{_amount(limit.blocks, limit.tier, device)} of `{limit.tier}`"
        + ("" if limit.name == limit.tier else f" ({limit.name})")
        for limit in limits
    )
    return (
        f"{plural(len(involved), 'memory', 'memories')} cannot share {stated}, however they are placed: "
        f"{names}",
        "allow another tier to some of them, make them smaller, or choose a larger device",
    )


def _amount(blocks: Fraction, tier: str, device: Device) -> str:
    known = device.tier(tier)
    outside = known is not None and known.role == "external"
    return bits(int(blocks)) if outside else plural(blocks, "block")


def _names(involved: Sequence[Planned]) -> str:
    paths = [f"`{one.view.memory.path}`" for one in involved]
    more = len(paths) - MOST_NAMED
    if more > 1:
        return f"{', '.join(paths[:MOST_NAMED])} and {amount(more)} more"
    return listed(paths)


def _columns(problem: Problem, conflict: Conflict, tier: str) -> str:
    """The columns' own reason, with every chain cut as short as it may be."""
    chains: list[int] = []
    for at in conflict.items:
        here = [one for one in problem.items[at].choices if one.tier == tier]
        if here and len(here) == len(problem.items[at].choices):
            chains += min((one.chains for one in here), key=lambda lengths: max(lengths, default=0))
    fewest = smallest_conflict(chains, problem.columns[tier])
    reason = arrange(fewest, 0, problem.columns[tier]).reason if fewest else ""
    return f"the columns of `{tier}`: {reason}" if reason else ""
