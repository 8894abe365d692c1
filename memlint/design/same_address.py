"""What the code gives when a word is read and written at one edge: the word before, after, or neither."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.arrays import Read, Write
from memlint.design.body import Guard
from memlint.design.classify import StoredArray
from memlint.design.memory import Access
from memlint.design.trace_reads import ReadStyle


def same_address(
    stored: StoredArray, reads: Iterable[tuple[Read, ReadStyle]], accesses: Iterable[Access]
) -> str | None:
    """`before`, `after`, `never` (no read and write at one edge), None where the code does not show it.

    `reads` and `accesses` are those that count.
    """
    known = list(accesses)
    if len({one.kind for one in known}) != 2 or any(one.clock is None for one in known):
        return None
    if len({one.clock for one in known}) != 1:
        return None
    given = {_given(read, style, stored.writes) for read, style in reads}
    return given.pop() if len(given) == 1 else None


def _given(read: Read, style: ReadStyle, writes: tuple[Write, ...]) -> str | None:
    if style.way == "address" or style.passes:
        # A registered address looks the word up after the edge; a bypass has it before.
        return "after"
    if style.passes is None:
        return None
    drive = read.use.drive
    own = drive if drive is not None and drive.clock is not None else None
    if own is not None and all(
        one.node is read.node and _exclusive(own.guards, one.drive.guards) for one in writes
    ):
        return "never"
    blocking = [one.drive for one in writes if one.drive.blocking]
    if not blocking:
        return "before"
    if own is None or len(blocking) < len(writes) or any(one.process is not own.process for one in blocking):
        # Which of two processes runs first is not settled (IEEE Std 1800-2017, 4.7).
        return None
    if all(one.order < own.order for one in blocking):
        return "after"
    return "before" if all(one.order > own.order for one in blocking) else None


def _exclusive(first: tuple[Guard, ...], second: tuple[Guard, ...]) -> bool:
    branches = {guard.site: guard.branch for guard in first}
    return any(guard.site in branches and branches[guard.site] != guard.branch for guard in second)
