"""Ports after sharing (design.md, "Ports"): accesses of one bank that can use one port are one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from memlint.design.addresses import Key
from memlint.design.body import Guard
from memlint.design.memory import Access, Clock, MemoryPort, Note

# Groups that write, of which every division over ports is tried. Of more, two: it may then be more ports than
# the fewest, never less.
_ALL_WAYS = 6


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
        if best is None or _taken(ports[0]) > _taken(best[0]):
            best = ports
    return best if best is not None else ((), ())


def _taken(ports: tuple[MemoryPort, ...]) -> tuple[int, int]:
    return len(ports), sum(port.writes for port in ports)


def _touches(bank: tuple[int | None, ...], wanted: tuple[int | None, ...]) -> bool:
    if not wanted:
        return True
    return all(index is None or index == other for index, other in zip(bank, wanted, strict=True))


def _ports(accesses: list[Placed]) -> tuple[tuple[MemoryPort, ...], tuple[Note, ...]]:
    groups: list[_Group] = []
    for one in accesses:
        groups = _add(groups, one)
    groups = _divide(groups)
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
    return [*groups, _Group(one.key, clock, writes, reads, one.times)]


def _divide(groups: list[_Group]) -> list[_Group]:
    """Groups that write joined where they exclude each other, the addresses then a multiplexer's.

    Accesses on one port have one address or exclude each other, pairwise: a read that may happen while
    another group writes goes to a port of its own. The fewest ports count, of as many those that write least.
    """
    result = [(at, group) for at, group in enumerate(groups) if not group.writes]
    for clock in dict.fromkeys(group.clock for group in groups if group.writes):
        places = [at for at, group in enumerate(groups) if group.writes and group.clock == clock]
        writers = [groups[at] for at in places]
        best = _Division(((0,),), frozenset()) if len(writers) == 1 else _best(writers)
        for part in best.parts:
            reading = [writers[one] for one in part if one not in best.apart]
            result.append((places[part[0]], _joined([writers[one] for one in part], reading)))
        result.extend((places[one], _read_alone(writers[one])) for one in sorted(best.apart))
    result.sort(key=lambda one: one[0])
    return [group for _, group in result]


@dataclass(frozen=True, slots=True)
class _Division:
    """Which writing groups, by number, are on one port, and whose reads are on ports of their own."""

    parts: tuple[tuple[int, ...], ...]
    apart: frozenset[int]

    @property
    def cost(self) -> tuple[int, int]:
        return len(self.parts) + len(self.apart), len(self.parts)


def _best(writers: list[_Group]) -> _Division:
    apart = _Exclusions(writers)
    reading = [(at,) for at, group in enumerate(writers) if group.reads]
    silent = apart.first_fit(at for at, group in enumerate(writers) if not group.reads)
    tries = [apart.division(parts) for parts in (apart.first_fit(range(len(writers))), [*reading, *silent])]
    # One part is the first tried; with two, two ports are the fewest there are.
    if len(writers) <= _ALL_WAYS and min(one.cost for one in tries) > (2, 2):
        tries.extend(apart.division(parts) for parts in apart.every(len(writers)))
    return min(tries, key=lambda one: one.cost)


class _Exclusions:
    """Which of some writing groups exclude each other, worked out once for each pair."""

    def __init__(self, writers: list[_Group]) -> None:
        self._writers = writers
        self._known: dict[tuple[int, int, str], bool] = {}

    def first_fit(self, numbers: Iterable[int]) -> list[tuple[int, ...]]:
        parts: list[tuple[int, ...]] = []
        for one in numbers:
            fits = [all(self._apart(one, other, "ww") for other in part) for part in parts]
            at = fits.index(True) if True in fits else None
            if at is None:
                parts.append((one,))
            else:
                parts[at] = (*parts[at], one)
        return parts

    def every(self, many: int) -> Iterator[list[tuple[int, ...]]]:
        """Every way to divide the first `many` groups in which writes of one part exclude each other."""
        if not many:
            yield []
            return
        last = many - 1
        for parts in self.every(last):
            for at, part in enumerate(parts):
                if all(self._apart(other, last, "ww") for other in part):
                    yield [*parts[:at], (*part, last), *parts[at + 1 :]]
            yield [*parts, (last,)]

    def division(self, parts: Iterable[tuple[int, ...]]) -> _Division:
        """The division, with the reads that cannot stay with their part's writes and with each other."""
        apart: set[int] = set()
        for part in parts:
            readers = [one for one in part if self._writers[one].reads]
            others = {one: [other for other in part if other != one] for one in readers}
            may = [one for one in readers if all(self._apart(one, other, "rw") for other in others[one])]
            apart.update(set(readers).difference(self._stay(may)))
        return _Division(tuple(parts), frozenset(apart))

    def _stay(self, may: list[int]) -> tuple[int, ...]:
        """The most of these groups whose reads exclude each other."""
        if len(may) > _ALL_WAYS:
            return (may[0],)
        for many in range(len(may), 0, -1):
            for some in combinations(may, many):
                if all(self._apart(one, other, "rr") for one, other in combinations(some, 2)):
                    return some
        return ()

    def _apart(self, one: int, other: int, kinds: str) -> bool:
        known = self._known.get((one, other, kinds))
        if known is None:
            first, second = self._writers[one], self._writers[other]
            mine = first.writes if kinds[0] == "w" else first.reads
            theirs = second.writes if kinds[1] == "w" else second.reads
            known = all(_exclusive(a, b) for a in mine for b in theirs)
            self._known[one, other, kinds] = known
        return known


def _joined(part: list[_Group], reading: list[_Group]) -> _Group:
    reads = tuple(read for group in reading for read in group.reads)
    writes = tuple(write for group in part for write in group.writes)
    return _Group(part[0].key, part[0].clock, writes, reads, max(one.times for one in (*writes, *reads)))


def _read_alone(group: _Group) -> _Group:
    return replace(group, writes=(), times=max(one.times for one in group.reads))


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
