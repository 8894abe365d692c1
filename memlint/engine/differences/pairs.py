"""One memory on both sides, and how people write what is compared of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from memlint.design.memory import Clock, Memory
from memlint.engine.sides import Side
from memlint.reading.intent.clauses import Clause
from memlint.rules.totals import blocks_of
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, bits, memory_ports, plural, shape


@dataclass(frozen=True, slots=True)
class Pair:
    """A memory on both sides. `net_now` gives the new name of an old net."""

    old: MemoryView
    new: MemoryView
    before: Side
    after: Side
    net_now: Callable[[str], str]


def shape_text(view: MemoryView) -> str:
    """`8,200 x 40 in 4 banks`."""
    memory = view.memory
    if memory.depth is None or memory.width is None:
        depth = "?" if memory.depth is None else f"{memory.depth:,}"
        width = "?" if memory.width is None else f"{memory.width:,}"
        return f"{depth} x {width}"
    banks = f" in {plural(memory.banks, 'bank')}" if memory.banks > 1 else ""
    return shape(memory.depth, memory.width) + banks


def ports_text(view: MemoryView) -> str:
    """`1w 2r`, after sharing."""
    return memory_ports(view.memory)


def clocks_text(memory: Memory, net_now: Callable[[str], str] = str) -> str:
    """The nets of the clocks, sorted."""
    names = sorted(clock_text(clock, net_now) for clock in memory.clocks)
    return ", ".join([*names, *([] if memory.clocks_known else ["unknown"])]) or "none"


def clock_text(clock: Clock | None, net_now: Callable[[str], str] = str) -> str:
    """The net of a clock, with its edge where that is not the rising one."""
    if clock is None:
        return "no clock"
    return net_now(clock.net) + ("" if clock.edge == "rising" else f" ({clock.edge})")


def read_text(view: MemoryView) -> str:
    """`synchronous`, `asynchronous`, `none` or `unknown`."""
    return view.memory.read or "unknown"


def tier_text(view: MemoryView) -> str:
    """The tier's name."""
    return "unknown" if view.tier is None else view.tier.name


def blocks_text(view: MemoryView) -> str:
    """`2.5` blocks, `512 FF`, the bits kept off the chip, or `unknown`."""
    if view.tier is not None and view.tier.role == "external":
        return "unknown" if view.memory.bits is None else bits(view.memory.bits)
    blocks = blocks_of(view)
    if blocks is None:
        return "unknown"
    is_registers = view.tier is not None and view.tier.role == "registers"
    return amount(blocks) + (" FF" if is_registers else "")


def clause_text(clause: Clause, side: Side) -> str:
    """A clause as it is written, on one line; empty where its text is not known."""
    source = side.judgement.sources.get(clause.span.file)
    return "" if source is None else " ".join(source.text[clause.span.start : clause.span.end].split())
