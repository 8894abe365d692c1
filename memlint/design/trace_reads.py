"""How a word that is read ends: in registers on one clock, or through logic (design.md, "Reads").

A read is synchronous (a) if its word reaches only the data inputs of registers on one clock, through
wires, ports, bit selects and concatenations, or (b) if its address comes straight out of a register on
one clock that feeds nothing but read addresses.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

from memlint.design.address_comparisons import Comparisons
from memlint.design.address_text import text
from memlint.design.arrays import Read
from memlint.design.body import Drive, Signal
from memlint.design.hierarchy import Node, locate
from memlint.design.limits import MOST_NETS
from memlint.design.memory import Clock, Note
from memlint.design.parts import actuals
from memlint.design.registers_behind import (
    Kind,
    Other,
    Word,
    beside,
    carried,
    kinds,
    other_drives,
    passed_on,
)
from memlint.design.steps import Part, other_part
from memlint.design.trace_addresses import AddressTracer, driven
from memlint.design.trace_clocks import ClockTracer
from memlint.design.uses import Use, uses
from memlint.reading.facts.expressions import Name
from memlint.text.source import Span

_FARTHEST = 60
# Wires without a use that are looked over; so few are left over from verification.
_MOST_UNUSED = 200
# A longer name of a value says less than its place does.
_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class ReadStyle:
    """kind: `synchronous` (with `clock`), `asynchronous` (with `reason`), `nothing` or `unknown`.

    `way` is `data` or `address` for a synchronous read: which register makes it so. `register` is the
    address register's next value and the node it stands in, for telling equal addresses. `passes` tells
    whether what is being written goes past the array into the word's register (None: into some of
    several). `also` are further places that matter to an asynchronous read.
    """

    kind: str
    clock: Clock | None = None
    reason: str = ""
    span: Span | None = None
    way: str = ""
    register: tuple[Node, Drive] | None = None
    passes: bool | None = False
    also: tuple[Note, ...] = ()


NOTHING = ReadStyle("nothing")


_Seen: TypeAlias = "dict[object, set[object]]"
"""What came to each place already."""


@dataclass(frozen=True, slots=True)
class _Way:
    """What a word carries along: `part` of a net holds it, () all.

    `others` are values of registers that may stand there in its place; `passes` tells whether what is
    being written to the array may.
    """

    word: Word
    part: Part = ()
    others: tuple[Other, ...] = ()
    passes: bool = False
    far: int = 0

    def on(self, part: Part, others: tuple[Other, ...]) -> _Way:
        # Each once: a variable that comes round again within a process would bring its own again.
        once = {(id(one.node), id(one.value), one.place): one for one in others}
        return replace(self, part=part, others=tuple(once.values()), far=self.far + 1)

    def beside(self, fresh: Iterable[Other]) -> _Way | Other:
        """The way with more values beside the word; one of them where it is logic, whatever follows."""
        kept, passes = list(self.others), self.passes
        for other in fresh:
            found = set(kinds(other, self.word, None))
            if Kind.DATA in found:
                return other
            if Kind.REGISTERED in found:
                kept.append(other)
            passes = passes or Kind.BYPASS in found
        return replace(self, others=tuple(kept), passes=passes)

    def news(self, place: object, seen: _Seen) -> _Way | None:
        """The way with what has not come to a place before, which is noted; None where nothing is new.

        Everything found is put together in the end, and each of `others` is judged by itself, so nothing
        needs to be followed twice: by every combination of them it would never end.
        """
        known = seen.setdefault(place, set())
        fresh: dict[object, Other] = {}
        for one in self.others:
            told = id(one.node), id(one.value), one.place
            if told not in known:
                fresh[told] = one
        # The word itself counts as one of those that come along, with and without a bypass.
        if not fresh and self.passes in known:
            return None
        known.update(fresh)
        known.add(self.passes)
        return self if len(fresh) == len(self.others) else replace(self, others=tuple(fresh.values()))


class ReadTracer:
    """Answers for reads in nodes; follows nets through the hierarchy with a clock tracer at hand."""

    def __init__(self, clocks: ClockTracer) -> None:
        self.clocks = clocks
        self.views = clocks.views
        self.addresses = AddressTracer(clocks)
        self.comparisons = Comparisons()

    def style(self, node: Node, read: Read, word: Word) -> ReadStyle:
        """The style of one read of a node; what is written to its array may pass it by."""
        by_data = self._use(node, read.use, _Way(word), {})
        if by_data.kind in ("synchronous", "nothing"):
            return by_data
        register = self.addresses.register(node, read)
        if register is None:
            return by_data
        if not register.elsewhere:
            inside = (register.node, register.drive) if register.drive is not None else None
            return ReadStyle(
                "synchronous", register.clock, way="address", span=register.span, register=inside
            )
        if by_data.kind != "asynchronous":
            return by_data
        # The register would make it synchronous: what keeps it from that is what the reader can change.
        told = f"its address register `{register.name}` also {register.elsewhere}"
        return replace(
            by_data,
            reason=f"{by_data.reason}, and {told}",
            also=(Note(f"the address register `{register.name}` also {register.elsewhere}", register.span),),
        )

    def _use(self, node: Node, use: Use, way: _Way, seen: _Seen) -> ReadStyle:
        """Where one use of a net that holds the word goes."""
        news = way.news((id(node), id(use), way.part), seen)
        if news is None or (use.process is not None and use.process.kind == "initial"):
            return NOTHING
        way = news
        too_far = _too_far(way, seen, use.span)
        if too_far is not None:
            return too_far
        if use.logic:
            if self._unused(node, use, set()):
                return NOTHING
            return self._ends(way, f"goes through {use.logic}", use.logic_span or use.span)
        match use.kind:
            case "index":
                array = f"`{use.array.item.name}`" if use.array is not None else "another object"
                return self._ends(way, f"selects from {array}", use.span)
            case "guard":
                return self._ends(way, "decides a condition", use.span)
            case "connection":
                return self._connection(node, use, way, seen)
            case _:
                return self._value(node, use, way, seen)

    def _unused(self, node: Node, use: Use, seen: set[object]) -> bool:
        """Whether what is worked out goes into wires that nothing takes: only verification looks at them."""
        drive = use.drive
        if use.kind != "value" or drive is None or drive.clock is not None or len(seen) > _MOST_UNUSED:
            return False
        at, target = driven(node, drive)
        if (id(at), id(target)) in seen:
            return True
        seen.add((id(at), id(target)))
        if target.direction in ("output", "inout", "buffer", "interface"):
            return False
        return all(self._unused(where, one, seen) for where, one in self.views.uses(at, target))

    def _ends(self, way: _Way, reason: str, span: Span) -> ReadStyle:
        """An end without a register; a multiplexer on the way, which needs one behind it, comes first."""
        return _multiplexer(way.others[0]) if way.others else ReadStyle("asynchronous", None, reason, span)

    def _connection(self, node: Node, use: Use, way: _Way, seen: _Seen) -> ReadStyle:
        assert use.child is not None
        inner = node.children.get(use.child.name)
        if inner is None:
            unit = use.child.instance.unit
            return ReadStyle("unknown", None, f"goes into `{unit}`, whose source is not read", use.span)
        signal = inner.body.signals.get(use.port)
        value = use.child.connections[use.port].value
        if signal is None or value is None:
            return NOTHING
        part = way.part[len(use.steps) :] if value.span == use.span else ()
        own = [Other(node, one, use.scope, use.loops, (), (), one.span) for one in use.others]
        further = way.on(part, passed_on(way.others, use, value, ())).beside(own)
        return (
            _multiplexer(further)
            if isinstance(further, Other)
            else self._follow(inner, signal, further, seen)
        )

    def _value(self, node: Node, use: Use, way: _Way, seen: _Seen) -> ReadStyle:
        drive = use.drive
        if drive is None:
            return NOTHING
        part = carried(use, drive, way.part)
        others = passed_on(way.others, use, drive.value, drive.steps)
        further = way.on(part, others).beside(beside(node, use, drive, part))
        if isinstance(further, Other):
            return _multiplexer(further)
        way = further
        if drive.clock is None:
            return self._wire(node, drive, way, seen)
        clock = self.clocks.clock(node, drive.clock)
        target = drive.signal
        if drive.blocking:
            inside = [
                one
                for one in uses(node.body).get(target, [])
                if one.process is drive.process and one.drive is not drive and not other_part(one.steps, part)
            ]
            if inside:
                # A variable passed on inside its process is a wire there.
                styles = [self._use(node, one, way, seen) for one in inside]
                if any(one.process is not drive.process for one in uses(node.body).get(target, [])):
                    styles.append(self._register(node, drive, clock, way))
                return _together(styles)
        return self._register(node, drive, clock, way)

    def _wire(self, node: Node, drive: Drive, way: _Way, seen: _Seen) -> ReadStyle:
        if drive.guards and drive.process.kind != "latch" and not any(other_drives(drive)):
            reason = f"is held by a latch: nothing else is assigned to `{drive.signal.item.name}`"
            return self._ends(way, reason, drive.guards[-1].condition.span)
        at, target = driven(node, drive)
        if target.direction == "interface":
            reason = f"leaves the design through the interface port `{target.item.name}`"
            return self._ends(way, reason, drive.span)
        return self._follow(at, target, way, seen)

    def _register(self, node: Node, drive: Drive, clock: Clock | None, way: _Way) -> ReadStyle:
        """A register takes the word: whatever else it takes is its enable, its reset, a bypass, or logic."""
        register = (node, drive.signal)
        for other in way.others:
            if Kind.DATA in kinds(other, way.word, register):
                return _multiplexer(other)
        if clock is None:
            return ReadStyle("unknown", None, "its register's clock is not known", drive.span)
        return ReadStyle("synchronous", clock, way="data", span=drive.span, passes=way.passes)

    def _follow(self, node: Node, signal: Signal, way: _Way, seen: _Seen) -> ReadStyle:
        news = way.news((id(node), id(signal), way.part), seen)
        if news is None:
            return NOTHING
        too_far = _too_far(news, seen, signal.item.span)
        return too_far if too_far is not None else _together(self._ways(node, signal, news, seen))

    def _ways(self, node: Node, signal: Signal, way: _Way, seen: _Seen) -> Iterator[ReadStyle]:
        for at, use in self.views.uses(node, signal):
            if not other_part(use.steps, way.part):
                yield self._use(at, use, way, seen)
        if signal.direction in ("output", "inout", "buffer"):
            yield self._upward(node, signal, way, seen)

    def _upward(self, node: Node, signal: Signal, way: _Way, seen: _Seen) -> ReadStyle:
        if node.parent is None or node.child is None:
            reason = f"leaves the design through the port `{signal.item.name}` without a register"
            return self._ends(way, reason, signal.item.span)
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return NOTHING
        styles: list[ReadStyle] = []
        for formal, target in actuals(connection.value):
            here = way.part
            dropped = 0
            if isinstance(formal, Name) and here and here[0].kind == "field":
                if formal.name != here[0].name:
                    continue
                here, dropped = here[1:], 1
            located = locate(node.parent, target, node.child.scope)
            if located is None:
                styles.append(ReadStyle("unknown", None, "goes to a net that was not found", connection.span))
                continue
            at, outer, steps = located
            whole = formal is None or isinstance(formal, Name)
            others = tuple(
                replace(one, place=_outside(one.place, steps, dropped) if whole else None)
                for one in way.others
            )
            styles.append(self._follow(at, outer, way.on((*steps, *here) if whole else steps, others), seen))
        return _together(styles)


def _multiplexer(other: Other) -> ReadStyle:
    name = text(other.value)
    named = len(name) <= _LONGEST_NAME and "…" not in name
    which = f" whose other input is `{name}`" if named else ""
    return ReadStyle("asynchronous", None, f"goes through a multiplexer{which}", other.span)


def _outside(place: Part | None, steps: Part, dropped: int) -> Part | None:
    return None if place is None else (*steps, *place[dropped:])


def _too_far(way: _Way, seen: _Seen, span: Span) -> ReadStyle | None:
    """An answer where a word is followed no farther."""
    if len(seen) > MOST_NETS:
        return ReadStyle("unknown", None, f"goes over more than {MOST_NETS:,} nets", span)
    if way.far > _FARTHEST:
        return ReadStyle("unknown", None, f"is passed on more than {_FARTHEST} times", span)
    return None


def _together(styles: Iterable[ReadStyle]) -> ReadStyle:
    """One style for a word that goes to several places; nothing is followed beyond the first logic."""
    result = NOTHING
    for style in styles:
        match style.kind:
            case "nothing":
                continue
            case "asynchronous":
                return style
            case "unknown":
                result = style
            case _ if result.kind == "nothing":
                result = style
            case _ if result.kind == "synchronous" and result.clock != style.clock:
                return ReadStyle("asynchronous", None, "goes to registers on two clocks", style.span)
            case _ if result.kind == "synchronous" and result.passes is not style.passes:
                result = replace(result, passes=None)
    return result
