"""Every memory of an elaborated hierarchy, instance by instance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache

from memlint.design.address_comparisons import Address
from memlint.design.address_text import text
from memlint.design.addresses import Key, Reach, key
from memlint.design.arrays import ArrayFacts, Read, Write, arrays, constant_index, is_dynamic, mentions_loop
from memlint.design.attributes import storage_attribute
from memlint.design.body import Body, LoopVariable, Signal, Unread
from memlint.design.classify import PlainArray, StoredArray, classify, size
from memlint.design.dimensions import dimension_notes, settled_by
from memlint.design.hierarchy import Node
from memlint.design.intents import IntentBinder
from memlint.design.lanes import lanes
from memlint.design.memory import ONLY_WORD, Access, Clock, Memory, Note, NotMemory
from memlint.design.neighbours import neighbours
from memlint.design.outside import Outside
from memlint.design.protected import unread_protected
from memlint.design.registers_behind import Word, word_key
from memlint.design.same_address import same_address
from memlint.design.scope import Scope
from memlint.design.sharing import Placed, share
from memlint.design.steering import steering
from memlint.design.trace_clocks import ClockTracer
from memlint.design.trace_reads import ReadStyle, ReadTracer
from memlint.design.types import Shapeless
from memlint.design.uses import uses
from memlint.design.values import Unknown
from memlint.reading.collection import paused
from memlint.reading.facts.expressions import Expr
from memlint.reading.facts.items import Parameter, Variable
from memlint.text.source import Span


@dataclass(slots=True)
class Found:
    """What a node holds: its memories, the arrays that are none, and constructs that were not read."""

    memories: list[Memory] = field(default_factory=list)
    others: list[NotMemory] = field(default_factory=list)
    unread: list[tuple[Unread, tuple[str, ...]]] = field(default_factory=list)


Judged = list[StoredArray | PlainArray]


def memories_of(
    node: Node,
    clocks: ClockTracer,
    outside: Outside,
    intents: IntentBinder,
    attributes: dict[str, str],
    known: dict[Body, Judged],
) -> Found:
    """The memories of a node; `attributes` map attribute names to what they mean.

    `known` are the arrays of bodies that only their own unit uses; new ones are entered.
    """
    with paused():
        return _memories_of(node, clocks, outside, intents, attributes, known)


def _memories_of(
    node: Node,
    clocks: ClockTracer,
    outside: Outside,
    intents: IntentBinder,
    attributes: dict[str, str],
    known: dict[Body, Judged],
) -> Found:
    found = Found()
    reads = ReadTracer(clocks)
    body = node.body
    far = outside.of(node)
    judged = known.get(body) if not far else None
    if judged is None:
        every = arrays(body, far)
        beside = neighbours(every, body)
        judged = [classify(facts, body, beside) for facts in every]
        if not far:
            known[body] = judged
    found.unread.extend(_unread(body, judged))
    found.unread.extend(unread_protected(body))
    found.others.extend(_listed(node, signal, reason) for signal, reason in _shapeless(body))
    for one in judged:
        above = outside.stored_above(node, one.facts.signal, one.facts.shape.fields)
        if above is not None:
            one = PlainArray(one.facts, above)
        if isinstance(one, PlainArray):
            found.others.append(_not_memory(node, one))
        else:
            found.memories.append(_memory(node, one, clocks, reads, intents, attributes))
    return found


def _shapeless(body: Body) -> list[tuple[Signal, str]]:
    """Dynamic arrays, queues and their kin: no memories, but listed with the reason."""
    found: list[tuple[Signal, str]] = []
    for signal in body.signals.values():
        kind = signal.type
        if isinstance(kind, Shapeless) and kind.element is not None:
            found.append((signal, kind.reason))
        elif isinstance(kind, Unknown) and signal.direction != "interface" and _picked_from(signal, body):
            found.append((signal, f"whether it is an array is not known: {kind.reason}"))
    return found


def _picked_from(signal: Signal, body: Body) -> bool:
    """Whether something is written or read in an object by an index that a signal decides."""
    places = [(one.steps, one.scope, one.loops) for one in signal.drives]
    places.extend((one.steps, one.scope, one.loops) for one in uses(body).get(signal, ()))
    return any(
        step.kind == "index" and step.expr is not None and is_dynamic(step.expr, scope, loops, body)
        for steps, scope, loops in places
        for step in steps
    )


def _listed(node: Node, signal: Signal, reason: str, fields: str = "") -> NotMemory:
    item = signal.item
    path = f"{node.path}.{signal.name}{fields}"
    name = f"{item.name}{fields}"
    intents = item.intents if not isinstance(item, Parameter) else ()
    return NotMemory(
        path, node.body.unit.name, name, node.body.language, item.span, reason, intents=intents
    )


def _unread(body: Body, judged: list[StoredArray | PlainArray]) -> Iterator[tuple[Unread, tuple[str, ...]]]:
    """Constructs that were not read and that touch an array."""
    names = {one.facts.signal.item.name for one in judged if _may_change(one.facts.signal)}
    for unread in body.unread:
        touched = tuple(name for name in unread.names if name in names)
        if touched:
            yield unread, touched


def _may_change(signal: Signal) -> bool:
    """Whether an access not read may matter: nothing inside a unit writes its inputs or its constants."""
    item = signal.item
    return signal.direction != "input" and not (
        isinstance(item, Parameter) or (isinstance(item, Variable) and item.kind == "constant")
    )


def _shape(facts: ArrayFacts, banks: frozenset[int]) -> tuple[int | None, int | None, int, Unknown | None]:
    depth, number = 1, 1
    unknown: Unknown | None = None
    for at, bound in enumerate(facts.shape.dimensions):
        words = size(bound)
        if words is None:
            unknown = unknown or (bound if isinstance(bound, Unknown) else Unknown("its size is not known"))
        elif at in banks:
            number *= words
        else:
            depth *= words
    width = facts.shape.width
    if isinstance(width, Unknown):
        return (None if unknown else depth), None, number, unknown or width
    return (None if unknown else depth), width, number, unknown


def _not_memory(node: Node, plain: PlainArray) -> NotMemory:
    depth, width, _, _ = _shape(plain.facts, frozenset())
    listed = _listed(node, plain.facts.signal, plain.reason, plain.facts.shape.fields)
    return replace(listed, depth=depth, width=width)


def _memory(
    node: Node,
    stored: StoredArray,
    clocks: ClockTracer,
    reads: ReadTracer,
    intents: IntentBinder,
    attributes: dict[str, str],
) -> Memory:
    facts = stored.facts
    item = facts.signal.item
    depth, width, banks, unknown = _shape(facts, stored.banks)
    accesses, styles, unknown_clock = _accesses(node, stored, clocks, reads)
    style, style_known = _style(accesses)
    ports, sharing_notes = share(accesses)
    clocked = {one.access.clock for one in accesses if one.access.clock is not None}
    used = tuple(sorted(clocked, key=_clock_order))
    compared = _compared(node, stored, styles, reads) if len(used) == 1 else None
    path = f"{node.path}.{facts.name}"
    lane_widths: tuple[int, ...] | None = ()
    if width is not None:
        lane_widths = lanes(node, stored.writes, facts.shape.word, width, _reach(stored))
    notes = list(sharing_notes)
    if lane_widths is None:
        notes.append(Note("the write lanes could not be worked out", item.span))
    attribute, attribute_span = storage_attribute(node.body, facts.signal, attributes)
    statement = item.statement if isinstance(item, Variable) else item.span
    return Memory(
        path=path,
        unit=node.body.unit.name,
        name=f"{item.name}{facts.shape.fields}",
        language=node.body.language,
        span=item.span,
        statement=statement,
        depth=depth,
        width=width,
        banks=banks,
        ports=ports,
        clocks=used,
        clocks_known=not unknown_clock,
        read=style if style_known else None,
        unresolved=_unresolved(unknown, facts.signal) if unknown is not None else None,
        unresolved_span=unknown.span if unknown is not None else None,
        lanes=lane_widths or (),
        contents=stored.contents,
        contents_span=stored.contents_span,
        reset=stored.reset,
        latch=stored.latch,
        packed=facts.shape.packed,
        attribute=attribute,
        attribute_span=attribute_span,
        intents=intents.bind(node, facts.signal, path),
        sources=tuple(dimension_notes(node, facts.signal)),
        notes=tuple(notes),
        decisions=tuple(_decisions(stored, accesses, compared)),
        same_address=same_address(stored, styles, (one.access for one in accesses)),
        compared=compared,
    )


def _unresolved(unknown: Unknown, signal: Signal) -> str:
    """Why a shape is not known, and what to assume to have it."""
    needs = unknown.needs or settled_by(signal)
    return f"{unknown.reason} (`{needs}` under `[assume]` would settle it)" if needs else unknown.reason


def _clock_order(clock: Clock) -> tuple[str, str]:
    return clock.net, clock.edge


def _accesses(
    node: Node, stored: StoredArray, clocks: ClockTracer, reads: ReadTracer
) -> tuple[list[Placed], list[tuple[Read, ReadStyle]], bool]:
    placed: list[Placed] = []
    styles: list[tuple[Read, ReadStyle]] = []
    unknown = False
    reach = _reach(stored)
    written = frozenset(
        word_key(one.drive.value, one.scope, one.loops, one.node or node) for one in stored.writes
    )
    for write in stored.writes:
        term = write.drive.clock or stored.whole_clock
        clock = clocks.clock(write.node or node, term) if term is not None else None
        unknown = unknown or (clock is None and not stored.latch)
        placed.append(_write(node, stored, write, clock, reach))
    for read in stored.reads:
        word = Word(clocks.views, (stored.facts.signal, read.use.signal), written)
        style = reads.style(read.node or node, read, word)
        if style.kind == "nothing":
            continue
        placed.append(_read(node, stored, read, style, reach))
        styles.append((read, style))
    return placed, styles, unknown


def _compared(
    node: Node, stored: StoredArray, styles: list[tuple[Read, ReadStyle]], reads: ReadTracer
) -> Span | None:
    """Where the code compares the addresses of reads and writes."""

    def plain(at: Node, indices: tuple[Expr, ...], scope: Scope, loops: tuple[LoopVariable, ...]) -> Address:
        return Address(at, tuple(one for n, one in enumerate(indices) if n not in stored.banks), scope, loops)

    read_at = [plain(one.node or node, one.indices, one.use.scope, one.use.loops) for one, _ in styles]
    written_at = [plain(one.node or node, one.indices, one.scope, one.loops) for one in stored.writes]

    @cache
    def steers() -> frozenset[Span]:
        writing = [(one.node or node, one.drive) for one in stored.writes]
        reading = [
            (one.node or node, one.use, style.register[1] if style.register is not None else None)
            for one, style in styles
        ]
        return steering(writing, reading, reads.views)

    return reads.comparisons.between(read_at, written_at, steers)


def _write(
    node: Node, stored: StoredArray, write: Write, clock: Clock | None, reach: Reach
) -> Placed:
    at = write.node or node
    address, bank, times = _address(at, stored, write.indices, write.scope, write.loops, reach)
    span = write.drive.span
    access = Access("write", span, _address_text(stored, write.shown), clock)
    return Placed(access, address, bank, write.drive.guards, hash((id(at), id(write.drive.process))), times)


def _read(node: Node, stored: StoredArray, read: Read, style: ReadStyle, reach: Reach) -> Placed:
    use = read.use
    at = read.node or node
    address, bank, times = _address(at, stored, read.indices, use.scope, use.loops, reach)
    taken, process = use.drive, use.process
    if style.register is not None and style.register[0] is at:
        taken = style.register[1]
        process = taken.process
        # A port with its address register inside sees the address before the register, where it loads.
        address = (key(taken.value, taken.scope, taken.loops, at, reach),)
    asynchronous = style.kind == "asynchronous"
    access = Access(
        "read",
        use.span,
        _address_text(stored, read.shown),
        style.clock,
        asynchronous,
        style.reason,
        style.span,
        style.also,
    )
    guards = taken.guards if taken is not None else ()
    return Placed(access, address, bank, guards, hash((id(at), id(process))), times)


def _reach(stored: StoredArray) -> Reach:
    apart = [one.node for one in stored.writes] + [one.node for one in stored.reads]
    return Reach.DESIGN if any(one is not None for one in apart) else Reach.UNIT


def _address(
    node: Node,
    stored: StoredArray,
    indices: tuple[Expr, ...],
    scope: Scope,
    loops: tuple[LoopVariable, ...],
    reach: Reach,
) -> tuple[Key, tuple[int | None, ...], int]:
    address: list[Key] = []
    bank: list[int | None] = []
    bank_loops: set[str] = set()
    for at, index in enumerate(indices):
        if at in stored.banks:
            fixed = None if is_dynamic(index, scope, loops, node.body) else constant_index(index, scope)
            bank.append(fixed)
            bank_loops.update(mentions_loop(index, loops))
    times = 1
    for at, index in enumerate(indices):
        if at in stored.banks:
            continue
        address.append(key(index, scope, loops, node, reach))
        for name in mentions_loop(index, loops):
            if name in bank_loops:
                continue
            values = next(loop.values for loop in loops if loop.name == name)
            times *= len(values) if values else 1
    return tuple(address), tuple(bank), times


def _address_text(stored: StoredArray, indices: tuple[Expr, ...]) -> str:
    shown = [text(index) for at, index in enumerate(indices) if at not in stored.banks]
    return ", ".join(shown) or ONLY_WORD


def _style(accesses: list[Placed]) -> tuple[str, bool]:
    reads = [one.access for one in accesses if one.access.kind == "read"]
    if not reads:
        return "none", True
    if any(one.asynchronous for one in reads):
        return "asynchronous", True
    if any(one.clock is None for one in reads):
        return "", False
    return "synchronous", True


def _decisions(
    stored: StoredArray, accesses: list[Placed], compared: Span | None
) -> Iterator[Note]:
    """How ports and read style came about, for `memlint explain`."""
    if stored.banks:
        numbers = ", ".join(str(at + 1) for at in sorted(stored.banks))
        yield Note(f"dimension {numbers} is banks: one side indexes it by constants or loop variables only")
    for one in accesses:
        access = one.access
        where = access.clock.net if access.clock is not None else "no clock"
        if access.kind == "write":
            yield Note(f"written at {access.place} on {where}", access.span)
        elif access.asynchronous:
            yield Note(
                f"read at {access.place} without a clock: the word {access.reason}", access.span
            )
        elif access.clock is None:
            yield Note(f"read at {access.place}: {access.reason}", access.span)
        else:
            yield Note(f"read at {access.place}, registered on {where}", access.span)
    if compared is not None:
        yield Note("read and write address are compared", compared)
    if stored.reset is not None:
        yield Note("a reset clears it", stored.reset)
    if stored.contents_span is not None:
        yield Note(f"has {stored.contents} contents at power-up", stored.contents_span)
