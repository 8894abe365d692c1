"""Whether an array is a memory (design.md, section 1), and which of its dimensions are banks."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.design.arrays import ArrayFacts, Read, Write, is_dynamic
from memlint.design.body import Body, ClockTerm, Drive, LoopVariable
from memlint.design.contents import is_constant, is_zero
from memlint.design.copies import reads_through_copies
from memlint.design.neighbours import Neighbours
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.types import Bound, Range
from memlint.reading.facts.expressions import Expr, Name, Unsupported
from memlint.text.source import Span

# Drivers of an array of wires that a reason names.
_MOST_NAMED = 3
# Assignments from a next state to the register that takes it over.
_LONGEST_WAY = 8


@dataclass(frozen=True, slots=True)
class StoredArray:
    """An array that is a memory: what counts of its accesses.

    `writes` and `reads` are those that count (resets, `initial` and simulation left out). `clock_of`
    gives a write its clock where that is not its drive's own (a next-state pair). `banks` are the
    numbers of the dimensions that are banks.
    """

    facts: ArrayFacts
    writes: tuple[Write, ...]
    reads: tuple[Read, ...]
    whole_clock: ClockTerm | None
    banks: frozenset[int]
    contents: str
    contents_span: Span | None
    reset: Span | None
    latch: bool
    written_values: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class PlainArray:
    """An array that is no memory, and why."""

    facts: ArrayFacts
    reason: str


def classify(facts: ArrayFacts, body: Body, beside: Neighbours) -> StoredArray | PlainArray:
    """Decide about one array; `beside` are all arrays of the body, for next-state pairs and copies."""
    clocked = [one for one in facts.writes if one.drive.clock is not None]
    others = [one for one in facts.writes if one.drive.clock is None]
    resets = [one for one in clocked if _is_reset(one, facts)]
    writes = [one for one in clocked if one not in resets]
    reset_span = resets[0].drive.span if resets else None
    whole_clock: ClockTerm | None = None
    reads = list(facts.reads)
    pair = _next_state(facts, beside, body)
    if pair is not None:
        other, drive = pair
        whole_clock = drive.clock
        writes = [one for one in other.writes if not _is_reset(one, other)]
        others = []
        reads = [one for one in reads if one.use.drive is None or not _assigns(one.use.drive, other)]
        reads.extend(other.reads)
    reads = reads_through_copies(facts, reads, beside, body)
    for drive in facts.whole_writes:
        if drive.clock is not None and (drive.reset or _clears(drive)) and reset_span is None:
            reset_span = drive.span
    latch = False
    if not writes and others and whole_clock is None:
        latched = [one for one in others if _is_latch(one, facts)]
        if latched:
            latch, writes = True, latched
    contents, contents_span = _contents(facts, beside)
    reason = _why_not(facts, writes, reads, others, contents, beside)
    if reason is not None:
        return PlainArray(facts, reason)
    return StoredArray(
        facts,
        tuple(writes),
        tuple(reads),
        whole_clock,
        _banks(facts, writes, reads),
        contents,
        contents_span,
        reset_span,
        latch,
        tuple(one.drive.value for one in writes),
    )


def _why_not(
    facts: ArrayFacts,
    writes: list[Write],
    reads: list[Read],
    combinational: list[Write],
    contents: str,
    beside: Neighbours,
) -> str | None:
    if facts.shape.packed and facts.shape.of_structs:
        return "it is a packed array of structs: a vector with one packed dimension"
    if not writes:
        if combinational or any(one.clock is None for one in facts.whole_writes):
            return "it is combinational: nothing writes it under a clock edge or a latch enable"
        if facts.whole_writes:
            return "it is only written as a whole, never word by word"
        driving = beside.outputs.get(facts.signal)
        if driving:
            some = ", ".join(f"`{name}`" for name in driving[:_MOST_NAMED])
            more = " and others" if len(driving) > _MOST_NAMED else ""
            return f"it is an array of wires: outputs of instances drive it ({some}{more})"
        if facts.writes:
            return "it is only cleared: nothing else is written to it"
        if contents == "none":
            if not facts.reads and not facts.whole_reads:
                return "nothing writes it and nothing reads it"
            return "nothing writes it and it has no contents"
    dynamic_write = any(_dynamic(one.indices, one.drive.scope, one.loops, one.body) for one in writes)
    dynamic_read = any(_dynamic(one.indices, one.use.scope, one.use.loops, one.body) for one in reads)
    if not writes and not reads:
        return "its contents are given and nothing reads them word by word"
    if not dynamic_write and not dynamic_read:
        return "it is only indexed by constants, generate variables or loop variables"
    if not reads and not facts.whole_reads and not writes:
        return "nothing reads it"
    return None


def _dynamic(indices: tuple[Expr, ...], scope: Scope, loops: tuple[LoopVariable, ...], body: Body) -> bool:
    return any(is_dynamic(index, scope, loops, body) for index in indices)


def _is_reset(write: Write, facts: ArrayFacts) -> bool:
    """A write that clears: in an asynchronous reset branch, or a constant put into every word by a loop."""
    if write.drive.reset:
        return True
    return _is_clearing(write.drive) and bool(write.loops) and _loops_over(write)


def _is_clearing(drive: Drive) -> bool:
    return is_constant(drive.value, drive.scope) and not isinstance(drive.value, Unsupported)


def _loops_over(write: Write) -> bool:
    loop_names = {loop.name for loop in write.loops}
    return any(isinstance(index, Name) and index.name in loop_names for index in write.indices)


def _clears(drive: Drive) -> bool:
    return is_constant(drive.value, drive.scope)


def _is_latch(write: Write, facts: ArrayFacts) -> bool:
    """Whether a combinational write keeps its word when not taken: a guard without its other branch."""
    drive = write.drive
    if drive.process.kind == "latch":
        return True
    if drive.process.kind != "combinational" or not drive.guards:
        return False
    if _only_inside(facts, drive):
        return False
    same = [one.drive for one in facts.writes if one.drive.process is drive.process]
    same.extend(one for one in facts.whole_writes if one.process is drive.process)
    if any(not one.guards for one in same):
        return False
    first = drive.guards[0].site
    branches = {one.guards[0].branch for one in same if one.guards and one.guards[0].site == first}
    return branches == {0}


def _only_inside(facts: ArrayFacts, drive: Drive) -> bool:
    """Whether all reads stand in the process that writes: a variable it works with, not a latch."""
    users = [*(one.use.process for one in facts.reads), *(one.process for one in facts.whole_reads)]
    return bool(users) and all(one is drive.process for one in users)


def _next_state(
    facts: ArrayFacts, beside: Neighbours, body: Body
) -> tuple[ArrayFacts, Drive] | None:
    """The other half of a `_d`/`_q` pair: an array this one takes over whole at each clock edge."""
    for drive in facts.whole_writes:
        if drive.clock is not None and not drive.reset:
            other = _taken_over(drive, facts, beside, body)
            if other is not None:
                return other, drive
    # Word by word: `q[i] <= d[i]` for every i.
    for write in facts.writes:
        drive = write.drive
        if drive.clock is None or drive.reset or not write.loops:
            continue
        base = getattr(drive.value, "base", None)
        if not isinstance(base, Name):
            continue
        for other in beside.by_name.get(base.name, ()):
            if other is facts or not other.writes:
                continue
            if other.signal.scope is facts.signal.scope and other.shape.dimensions == facts.shape.dimensions:
                combinational = all(one.drive.clock is None for one in other.writes)
                if combinational and any(not one.loops for one in other.writes):
                    return other, drive
    return None


def _assigns(drive: Drive, facts: ArrayFacts) -> bool:
    """Whether a drive assigns an array or a part of it, and not another field beside it."""
    return drive.signal is facts.signal and all(
        step.kind != "field" or step.name == wanted
        for step, wanted in zip(drive.steps, facts.shape.path, strict=False)
    )


def _taken_over(
    drive: Drive, facts: ArrayFacts, beside: Neighbours, body: Body
) -> ArrayFacts | None:
    """The array that a whole assignment takes over and that is written word by word.

    Maybe by way of others: `v.line(at) := d; r_in <= v;` and at the edge `r <= r_in;`.
    """
    seen = [facts]
    while len(seen) <= _LONGEST_WAY:
        found = resolve(drive.value, drive.scope, body)
        if found is None or [one.kind for one in (*drive.steps, *found[1]) if one.kind != "field"]:
            return None
        left = seen[-1].shape.path[len(drive.steps) :]
        way = (*(one.name for one in found[1]), *left)
        other = next((one for one in beside.by_signal.get(found[0], ()) if one.shape.path == way), None)
        if other is None or other in seen or other.shape.dimensions != facts.shape.dimensions:
            return None
        if other.writes:
            return other
        whole = [one for one in other.whole_writes if one.clock is None and not one.guards]
        if len(whole) != 1:
            return None
        seen.append(other)
        drive = whole[0]
    return None


def _contents(facts: ArrayFacts, beside: Neighbours) -> tuple[str, Span | None]:
    known = beside.contents.get(facts.signal, [])
    for one in known:
        if one.kind == "given":
            return "given", one.span
    if facts.initial:
        zero = all(is_zero(drive.value, drive.scope) for drive in facts.initial)
        return ("zero" if zero else "given"), facts.initial[0].span
    if known:
        return "zero", known[0].span
    return "none", None


def _banks(facts: ArrayFacts, writes: list[Write], reads: list[Read]) -> frozenset[int]:
    """Dimensions that all writes, or all reads, index by constants, generate or loop variables."""
    banks: set[int] = set()
    for at in range(len(facts.shape.dimensions)):
        fixed_writes = [
            not is_dynamic(one.indices[at], one.drive.scope, one.loops, one.body) for one in writes
        ]
        fixed_reads = [
            not is_dynamic(one.indices[at], one.use.scope, one.use.loops, one.body) for one in reads
        ]
        if (fixed_writes and all(fixed_writes)) or (fixed_reads and all(fixed_reads)):
            banks.add(at)
    return frozenset(banks)


def size(bound: Bound) -> int | None:
    """Words along a dimension, None when it cannot be known."""
    return bound.size if isinstance(bound, Range) else None
