"""How findings name clocks and show where they are used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from memlint.design.memory import Access, Clock, Memory
from memlint.rules.finding import Related
from memlint.rules.wording import quoted


def clock_names(clocks: Sequence[Clock]) -> dict[Clock, str]:
    """A short name for each clock: the last part of its net, or all of it where that is ambiguous.

    The edge is named when one net comes with both edges.
    """
    leaves = {clock.net: leaf(clock) for clock in clocks}
    names: dict[Clock, str] = {}
    for clock in clocks:
        alone = sum(other == leaves[clock.net] for other in leaves.values()) == 1
        edges = {other.edge for other in clocks if other.net == clock.net}
        edge = f"{clock.edge} " if len(edges) > 1 else ""
        names[clock] = edge + quoted(leaves[clock.net] if alone else clock.net)
    return names


def leaf(clock: Clock) -> str:
    """The last part of the net a clock comes from."""
    return clock.net.rpartition(".")[2]


def declare_same(clocks: Sequence[Clock]) -> list[str]:
    """What to write where several nets are one clock after all; empty for the two edges of one net."""
    nets = list(dict.fromkeys(clock.net for clock in clocks))
    if len(nets) < 2:
        return []
    names = ", ".join(f'"{net}"' for net in nets)
    return [
        "if they are one clock, such as both sides of a clock gate or buffer without source, say "
        f"`same = [[{names}]]` under `[clocks]` in memlint.toml"
    ]


def clock_places(memory: Memory, names: Mapping[Clock, str]) -> list[Related]:
    """One place for each clock: the first access that runs on it, and the net it comes from."""
    places = []
    for clock, name in names.items():
        access = _first_access(memory, clock)
        if access is not None:
            verb = "written" if access.kind == "write" else "read"
            gated = f", gated from `{clock.root}`" if clock.root else ""
            places.append(Related(access.span, f"{verb} on {name}, which comes from `{clock.net}`{gated}"))
    return places


def _first_access(memory: Memory, clock: Clock) -> Access | None:
    accesses = (access for port in memory.ports for access in port.accesses)
    return next((access for access in accesses if access.clock == clock), None)
