"""What a `ports` clause with widths says about the ports that the HDL shows."""

from __future__ import annotations

from memlint.design.memory import Memory
from memlint.reading.intent.clauses import Ports
from memlint.rules.wording import ports

Counts = tuple[int, int, int]
"""w, r and rw ports."""


def counts_of(memory: Memory) -> Counts:
    """The ports the HDL shows, after sharing."""
    return memory.count(True, False), memory.count(False, True), memory.count(True, True)


def has_widths(stated: Ports) -> bool:
    """Whether the clause gives a port a width of its own."""
    return stated.write_width is not None or stated.read_width is not None


def as_stated(found: Counts, stated: Ports, width: int | None) -> bool:
    """Whether the counts are those stated.

    `rom` leaves the number of reads open. A side that is stated wider than the array's word moves
    several words at a time, each of them an access of its own in the HDL.
    """
    w, r, rw = found
    if stated.rom:
        return w == 0 and rw == 0
    writes = (stated.w, stated.w * _words(stated.write_width, width))
    reads = (stated.r, stated.r * _words(stated.read_width, width))
    return w in writes and r in reads and rw == stated.rw


def misfit(stated: Ports, width: int) -> int | None:
    """A stated width that neither holds whole words of the array nor divides one; None where all fit."""
    for side in (stated.write_width, stated.read_width):
        if side is not None and side % width and width % side:
            return side
    return None


def counted(memory: Memory, stated: Ports | None) -> tuple[Counts, int | None, int | None]:
    """The ports to count with, and the widths of a write and a read where they are not the word's.

    A wide port that the HDL writes out word by word counts once. Widths that do not go with what the
    HDL shows count for nothing: rules say so, and the memory is counted as the HDL has it.
    """
    found, width = counts_of(memory), memory.width
    if stated is None or width is None or not has_widths(stated):
        return found, None, None
    write, read = stated.write_width or width, stated.read_width or width
    if write == read or misfit(stated, width) is not None or not as_stated(found, stated, width):
        return found, None, None
    return (stated.w, stated.r, stated.rw), write, read


def statement(stated: Ports) -> str:
    """The clause's ports as it is written: `1w 2r`, `rom`, `1w(32) 1r(8)`."""
    if stated.rom:
        return "rom"
    if not has_widths(stated):
        return ports(stated.w, stated.r, stated.rw)
    return with_widths((stated.w, stated.r, stated.rw), stated.write_width, stated.read_width)


def with_widths(counts: Counts, write: int | None, read: int | None) -> str:
    """`1w(32) 1r(8)`; a side without a width of its own has none in it."""
    said = [
        f"{count}{kind}" + (f"({width})" if width is not None else "")
        for count, kind, width in zip(counts, ("w", "r", "rw"), (write, read, None), strict=True)
        if count
    ]
    return " ".join(said)


def _words(side: int | None, width: int | None) -> int:
    return side // width if side and width and side % width == 0 else 1
