"""Ports after sharing (design.md, "Ports"): accesses of one bank that can use one port are one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from memlint.design.addresses import Key
from memlint.design.body import Guard
from memlint.design.memory import Access, Clock, MemoryPort, Note


@dataclass(frozen=True, slots=True)
class Placed:
    """An access with what sharing asks: address key, bank (None: any or every), guards, process.

    `times` is how many different addresses one statement uses at once (a loop over addresses).
    """

    access: Access
    key: Key
    bank: tuple[int | None, ...]
    guards: tuple[Guard, ...]
    process: int
    times: int = 1


@dataclass(frozen=True, slots=True)
class _Group:
    """Accesses with one clock and one address."""

    key: Key
    clock: Clock | None
    writes: tuple[Placed, ...]
    reads: tuple[Placed, ...]
    keys: frozenset[Key]
    times: int


def share(accesses: Iterable[Placed]) -> tuple[tuple[MemoryPort, ...], tuple[Note, ...]]:
    """The ports of the busiest bank, and notes on what could be shared further."""
    known = list(accesses)
    banks = {one.bank for one in known if all(index is not None for index in one.bank)}
    best: tuple[tuple[MemoryPort, ...], tuple[Note, ...]] | None = None
    fixed: dict[tuple[int | None, ...], list[int]] = {}
    for at, one in enumerate(known):
        fixed.setdefault(one.bank, []).append(at)
    # Of accesses that name their bank only those to it are looked at: there may be thousands of banks.
    several = [at for bank, many in fixed.items() if bank not in banks for at in many]
    for bank in sorted(banks, key=str) or [()]:
        partly = [at for at in several if _touches(known[at].bank, bank)]
        here = [known[at] for at in sorted([*partly, *fixed.get(bank, ())])]
        ports = _ports(here)
        if best is None or len(ports[0]) > len(best[0]):
            best = ports
    return best if best is not None else ((), ())


def _touches(bank: tuple[int | None, ...], wanted: tuple[int | None, ...]) -> bool:
    if not wanted:
        return True
    return all(index is None or index == other for index, other in zip(bank, wanted, strict=True))


def _ports(accesses: list[Placed]) -> tuple[tuple[MemoryPort, ...], tuple[Note, ...]]:
    groups: list[_Group] = []
    for one in accesses:
        groups = _add(groups, one)
    groups = _merge_exclusive_writes(groups)
    ports: list[MemoryPort] = []
    for group in groups:
        port = MemoryPort(
            bool(group.writes),
            bool(group.reads),
            group.clock,
            tuple(one.access for one in (*group.writes, *group.reads)),
        )
        ports.extend([port] * group.times)
    return tuple(ports), tuple(_notes(groups))


def _add(groups: list[_Group], one: Placed) -> list[_Group]:
    clock = one.access.clock
    for at, group in enumerate(groups):
        if group.key != one.key:
            continue
        # An asynchronous read is on no clock, so it shares a port with its like only.
        if group.clock != clock or (clock is None and bool(group.writes) != (one.access.kind == "write")):
            continue
        if not one.key and bool(group.writes) != (one.access.kind == "write"):
            continue
        if one.access.kind == "write":
            group = replace(group, writes=(*group.writes, one))
        else:
            group = replace(group, reads=(*group.reads, one))
        group = replace(group, times=max(group.times, one.times))
        return [*groups[:at], group, *groups[at + 1 :]]
    writes = (one,) if one.access.kind == "write" else ()
    reads = (one,) if one.access.kind == "read" else ()
    return [*groups, _Group(one.key, clock, writes, reads, frozenset((one.key,)), one.times)]


def _merge_exclusive_writes(groups: list[_Group]) -> list[_Group]:
    """Writes in mutually exclusive branches of one process are one port; its address a multiplexer."""
    merged: list[_Group] = []
    for group in groups:
        if not group.writes:
            merged.append(group)
            continue
        for at, other in enumerate(merged):
            if other.writes and _can_join(other, group):
                merged[at] = _Group(
                    other.key,
                    other.clock,
                    (*other.writes, *group.writes),
                    (*other.reads, *group.reads),
                    other.keys | group.keys,
                    max(other.times, group.times),
                )
                break
        else:
            merged.append(group)
    return merged


def _can_join(first: _Group, second: _Group) -> bool:
    if first.clock != second.clock:
        return False
    # A read that shares one of the addresses would hold the port while the other branch writes.
    if first.reads and second.reads:
        return False
    return all(_exclusive(a, b) for a in first.writes for b in second.writes)


def _exclusive(a: Placed, b: Placed) -> bool:
    """Whether two statements of one process can never run at the same edge."""
    if a.process != b.process:
        return False
    branches = {guard.site: guard.branch for guard in a.guards}
    return any(guard.site in branches and branches[guard.site] != guard.branch for guard in b.guards)


def _notes(groups: list[_Group]) -> Iterable[Note]:
    """A read and a write in exclusive branches stay two ports, but could be one."""
    for group in groups:
        for other in groups:
            if group is other or not group.writes or group.reads or other.writes:
                continue
            if group.clock == other.clock and all(
                _exclusive(a, b) for a in group.writes for b in other.reads
            ):
                yield Note(
                    "read and write stand in exclusive branches: with one address they could be 1rw",
                    other.reads[0].access.span,
                )


def counts(ports: Iterable[MemoryPort]) -> Counter[str]:
    """How many ports of each kind: `w`, `r`, `rw`."""
    return Counter("rw" if port.writes and port.reads else "w" if port.writes else "r" for port in ports)
