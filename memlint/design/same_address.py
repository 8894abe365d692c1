"""What the code gives when a word is read and written at one edge: the word before, after, or neither."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.arrays import Read, Write
from memlint.design.body import Drive, Guard
from memlint.design.classify import StoredArray
from memlint.design.memory import Access
from memlint.reading.facts.expressions import Expr


def same_address(stored: StoredArray, accesses: Iterable[Access]) -> str | None:
    """`before`, `after`, `never` (no read and write at one edge), None where the code does not show it."""
    known = list(accesses)
    reads = [one for one in known if one.kind == "read"]
    writes = [one for one in known if one.kind == "write"]
    if not reads or not writes or any(one.clock is None for one in known):
        return None
    if len({one.clock for one in known}) != 1:
        return None
    styles = {_style(read, stored.writes, stored.written_values) for read in stored.reads}
    return styles.pop() if len(styles) == 1 else None


def _style(read: Read, writes: tuple[Write, ...], written: tuple[Expr, ...]) -> str | None:
    drive = read.use.drive
    if drive is None or drive.clock is None:
        # The address is registered: the word is looked up after the edge.
        return "after"
    if any(other in written for other in read.use.others) or _bypassed(drive, written):
        return "after"
    if all(_exclusive(drive.guards, one.drive.guards) for one in writes):
        return "never"
    blocking = [one.drive for one in writes if one.drive.blocking]
    if not blocking:
        return "before"
    if len(blocking) < len(writes) or any(one.process is not drive.process for one in blocking):
        # Which of two processes runs first is not settled (IEEE Std 1800-2017, 4.7).
        return None
    if all(one.order < drive.order for one in blocking):
        return "after"
    return "before" if all(one.order > drive.order for one in blocking) else None


def _bypassed(drive: Drive, written: tuple[Expr, ...]) -> bool:
    """Whether what is written also goes straight into the register that takes the word."""
    return any(
        other is not drive and other.clock is not None and other.value in written
        for other in drive.signal.drives
    )


def _exclusive(first: tuple[Guard, ...], second: tuple[Guard, ...]) -> bool:
    branches = {guard.site: guard.branch for guard in first}
    return any(guard.site in branches and branches[guard.site] != guard.branch for guard in second)
