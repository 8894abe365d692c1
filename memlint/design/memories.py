"""Every memory of an elaborated hierarchy, instance by instance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from memlint.design.addresses import Key, key, text
from memlint.design.arrays import ArrayFacts, Read, Write, arrays, constant_index, is_dynamic, mentions_loop
from memlint.design.attributes import storage_attribute
from memlint.design.body import Body, LoopVariable, Signal, Unread
from memlint.design.classify import PlainArray, StoredArray, classify, size
from memlint.design.dimensions import dimension_notes, settled_by
from memlint.design.hierarchy import Hierarchy, Node
from memlint.design.intents import IntentBinder
from memlint.design.lanes import lanes
from memlint.design.memory import Access, Clock, Memory, Note, NotMemory
from memlint.design.protected import unread_protected
from memlint.design.same_address import same_address
from memlint.design.scope import Scope
from memlint.design.sharing import Placed, share
from memlint.design.trace_clocks import ClockTracer
from memlint.design.trace_reads import ReadStyle, ReadTracer
from memlint.design.types import AnyType, Array, Shapeless, Struct, element_type, word_type
from memlint.design.values import Unknown
from memlint.reading.facts.expressions import Expr
from memlint.reading.facts.items import Parameter, Variable


@dataclass(slots=True)
class Found:
    """What a hierarchy holds: its memories, the arrays that are none, and constructs that were not read."""

    memories: list[Memory] = field(default_factory=list)
    others: list[NotMemory] = field(default_factory=list)
    unread: list[tuple[Unread, tuple[str, ...]]] = field(default_factory=list)


def memories(
    hierarchy: Hierarchy,
    clocks: ClockTracer,
    intents: IntentBinder,
    attributes: dict[str, str],
) -> Found:
    """All memories in order of the hierarchy; `attributes` map attribute names to what they mean."""
    found = Found()
    reads = ReadTracer(clocks)
    known: dict[int, list[StoredArray | PlainArray]] = {}
    shapeless: dict[int, list[tuple[Signal, str]]] = {}
    for node in hierarchy.nodes:
        body = node.body
        judged = known.get(id(body))
        if judged is None:
            every = arrays(body)
            judged = [classify(facts, body, every) for facts in every]
            known[id(body)] = judged
            shapeless[id(body)] = _shapeless(body)
            found.unread.extend(_unread(body, judged))
            found.unread.extend(unread_protected(body))
        found.others.extend(_listed(node, signal, reason) for signal, reason in shapeless[id(body)])
        for one in judged:
            if isinstance(one, PlainArray):
                found.others.append(_not_memory(node, one))
            else:
                found.memories.append(_memory(node, one, clocks, reads, intents, attributes))
    return found


def _shapeless(body: Body) -> list[tuple[Signal, str]]:
    """Dynamic arrays, queues, arrays in structs and their kin: no memories, but listed with the reason."""
    found: list[tuple[Signal, str]] = []
    for signal in body.signals.values():
        kind = signal.type
        if isinstance(kind, Shapeless) and kind.element is not None:
            found.append((signal, kind.reason))
        elif isinstance(kind, Struct) and signal.direction != "input":
            arrays_in = [f"`{name}`" for name, field in kind.fields if isinstance(field, Array)]
            if arrays_in and isinstance(signal.item, Variable) and signal.item.kind != "constant":
                names = ", ".join(arrays_in)
                found.append((signal, f"it is a struct: what is an array in it ({names}) is a field"))
    return found


def _listed(node: Node, signal: Signal, reason: str) -> NotMemory:
    item = signal.item
    path = f"{node.path}.{signal.name}"
    intents = item.intents if not isinstance(item, Parameter) else ()
    return NotMemory(
        path, node.body.unit.name, item.name, node.body.language, item.span, reason, intents=intents
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
    return replace(_listed(node, plain.facts.signal, plain.reason), depth=depth, width=width)


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
    accesses, unknown_clock = _accesses(node, stored, clocks, reads)
    style, style_known = _style(accesses)
    if style == "asynchronous":
        # One asynchronous read makes the memory asynchronous: no read port of it has a clock then.
        accesses = [_unclocked(one) for one in accesses]
    ports, sharing_notes = share(accesses)
    clocked = {one.access.clock for one in accesses if one.access.clock is not None}
    used = tuple(sorted(clocked, key=_clock_order))
    path = f"{node.path}.{facts.signal.name}"
    word = word_type(facts.signal.type)
    lane_widths = lanes(stored.writes, _lane_word(facts, word), width) if width is not None else ()
    notes = list(sharing_notes)
    if lane_widths is None:
        notes.append(Note("the write lanes could not be worked out", item.span))
    attribute, attribute_span = storage_attribute(node.body, facts.signal, attributes)
    statement = item.statement if isinstance(item, Variable) else item.span
    return Memory(
        path=path,
        unit=node.body.unit.name,
        name=item.name,
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
        decisions=tuple(_decisions(stored, accesses)),
        same_address=same_address(stored, (one.access for one in accesses)),
    )


def _unresolved(unknown: Unknown, signal: Signal) -> str:
    """Why a shape is not known, and what to assume to have it."""
    needs = unknown.needs or settled_by(signal)
    return f"{unknown.reason} (`{needs}` under `[assume]` would settle it)" if needs else unknown.reason


def _lane_word(facts: ArrayFacts, word: AnyType) -> AnyType:
    if not facts.shape.packed:
        return word
    inner = facts.signal.type
    for _ in facts.shape.dimensions:
        inner = element_type(inner)
    return inner


def _clock_order(clock: Clock) -> tuple[str, str]:
    return clock.net, clock.edge


def _accesses(
    node: Node, stored: StoredArray, clocks: ClockTracer, reads: ReadTracer
) -> tuple[list[Placed], bool]:
    placed: list[Placed] = []
    unknown = False
    for write in stored.writes:
        term = write.drive.clock or stored.whole_clock
        clock = clocks.clock(node, term) if term is not None else None
        unknown = unknown or (clock is None and not stored.latch)
        placed.append(_write(node, stored, write, clock))
    for read in stored.reads:
        style = reads.style(node, read, stored.written_values)
        if style.kind == "nothing":
            continue
        placed.append(_read(node, stored, read, style))
    return placed, unknown


def _unclocked(one: Placed) -> Placed:
    return one if one.access.kind == "write" else replace(one, access=replace(one.access, clock=None))


def _write(node: Node, stored: StoredArray, write: Write, clock: Clock | None) -> Placed:
    address, bank, times = _address(node, stored, write.indices, write.scope, write.loops)
    span = write.drive.span
    access = Access("write", span, _address_text(stored, write.shown), clock)
    return Placed(access, address, bank, write.drive.guards, id(write.drive.process), times)


def _read(node: Node, stored: StoredArray, read: Read, style: ReadStyle) -> Placed:
    use = read.use
    address, bank, times = _address(node, stored, read.indices, use.scope, use.loops)
    if style.register is not None and style.register[0] is node:
        drive = style.register[1]
        # A port with its address register inside sees the address before the register.
        address = (key(drive.value, drive.scope, drive.loops, node.body),)
    asynchronous = style.kind == "asynchronous"
    access = Access(
        "read",
        use.span,
        _address_text(stored, read.shown),
        style.clock,
        asynchronous,
        style.reason,
        style.span,
    )
    guards = use.drive.guards if use.drive is not None else ()
    return Placed(access, address, bank, guards, id(use.process), times)


def _address(
    node: Node,
    stored: StoredArray,
    indices: tuple[Expr, ...],
    scope: Scope,
    loops: tuple[LoopVariable, ...],
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
        address.append(key(index, scope, loops, node.body))
        for name in mentions_loop(index, loops):
            if name in bank_loops:
                continue
            values = next(loop.values for loop in loops if loop.name == name)
            times *= len(values) if values else 1
    return tuple(address), tuple(bank), times


def _address_text(stored: StoredArray, indices: tuple[Expr, ...]) -> str:
    shown = [text(index) for at, index in enumerate(indices) if at not in stored.banks]
    return ", ".join(shown) or "the only word"


def _style(accesses: list[Placed]) -> tuple[str, bool]:
    reads = [one.access for one in accesses if one.access.kind == "read"]
    if not reads:
        return "none", True
    if any(one.asynchronous for one in reads):
        return "asynchronous", True
    if any(one.clock is None for one in reads):
        return "", False
    return "synchronous", True


def _decisions(stored: StoredArray, accesses: list[Placed]) -> Iterator[Note]:
    """How ports and read style came about, for `memlint explain`."""
    if stored.banks:
        numbers = ", ".join(str(at + 1) for at in sorted(stored.banks))
        yield Note(f"dimension {numbers} is banks: one side indexes it by constants or loop variables only")
    for one in accesses:
        access = one.access
        where = access.clock.net if access.clock is not None else "no clock"
        if access.kind == "write":
            yield Note(f"written at address `{access.address}` on {where}", access.span)
        elif access.asynchronous:
            yield Note(
                f"read at address `{access.address}` without a clock: the word {access.reason}", access.span
            )
        elif access.clock is None:
            yield Note(f"read at address `{access.address}`: {access.reason}", access.span)
        else:
            yield Note(f"read at address `{access.address}`, registered on {where}", access.span)
    if stored.reset is not None:
        yield Note("a reset clears it", stored.reset)
    if stored.contents_span is not None:
        yield Note(f"has {stored.contents} contents at power-up", stored.contents_span)
