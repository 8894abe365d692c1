"""Why ports, clocks or the read style of a memory changed: the writes and reads behind them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from memlint.design.memory import Access, Memory
from memlint.engine.differences.changes import Cause
from memlint.engine.differences.pairs import Pair, clock_text

_Key = tuple[str, str, str]


def clock_causes(pair: Pair) -> list[Cause]:
    """Why the memory runs on other clocks."""
    found = access_causes(pair)
    if not found and not pair.new.memory.clocks_known:
        found.append(Cause("a clock can no longer be traced to its net", pair.new.memory.span))
    return found


def read_causes(pair: Pair) -> list[Cause]:
    """Why the memory is read in another style."""
    found = [
        *_asynchronous(pair.new.memory, "the word now {}", "new"),
        *_asynchronous(pair.old.memory, "before, the word {}", "old"),
    ]
    return found or access_causes(pair)


def access_causes(pair: Pair) -> list[Cause]:
    """Writes and reads that came, went, or changed clocks."""
    return [*_differing(_accesses(pair.old.memory, pair.net_now), _accesses(pair.new.memory, str))]


def _differing(was: list[tuple[_Key, Access]], now: list[tuple[_Key, Access]]) -> Iterator[Cause]:
    gone = Counter(key for key, _ in was) - Counter(key for key, _ in now)
    come = Counter(key for key, _ in now) - Counter(key for key, _ in was)
    for key, access in now:
        if not come[key]:
            continue
        come[key] -= 1
        kind, address, clock = key
        before = next((one for one in gone if one[:2] == key[:2] and gone[one]), None)
        if before is not None:
            gone[before] -= 1
            yield Cause(f"the {kind} at {address} went from {before[2]} to {clock}", access.span)
        else:
            yield Cause(f"a {kind} at {address} on {clock} was added", access.span)
    for key, access in was:
        if gone[key]:
            gone[key] -= 1
            yield Cause(f"the {key[0]} at {key[1]} on {key[2]} is gone", access.span, "old")


def _accesses(memory: Memory, net_now: Callable[[str], str]) -> list[tuple[_Key, Access]]:
    return [
        ((access.kind, _shown(access), clock_text(access.clock, net_now)), access)
        for access in dict.fromkeys(access for port in memory.ports for access in port.accesses)
    ]


def _shown(access: Access) -> str:
    return access.place.removeprefix("address ")


def _asynchronous(memory: Memory, words: str, side: str) -> Iterator[Cause]:
    for port in memory.ports:
        for access in port.accesses:
            if access.asynchronous and access.reason:
                text = f"read at {_shown(access)}: {words.format(access.reason)}"
                yield Cause(text, access.reason_span or access.span, side)
