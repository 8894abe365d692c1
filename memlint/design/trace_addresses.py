"""Where the address of a read comes from: straight out of a register that nothing else uses, or not.

Rule (b) of design.md, "Reads": such a register can move into the memory, so the read is synchronous.
"""

from __future__ import annotations

from dataclasses import dataclass

from memlint.design.array_shapes import array_shapes
from memlint.design.arrays import Read, is_dynamic
from memlint.design.body import Drive, Signal
from memlint.design.contents import is_constant
from memlint.design.hierarchy import Node, locate, member_of
from memlint.design.memory import Clock
from memlint.design.parts import actuals, concerned, part_text, selected
from memlint.design.scope import Scope
from memlint.design.trace_clocks import ClockTracer
from memlint.design.uses import CONVERSIONS, Use, uses
from memlint.reading.facts.expressions import (
    Call,
    Cast,
    Concat,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Slice,
    String,
)
from memlint.text.source import Span

_FARTHEST = 60


@dataclass(frozen=True, slots=True)
class AddressRegister:
    """A register that an address comes straight out of.

    `drive` is what it takes, None where several registers make up the address. `elsewhere` tells what else
    uses it and `span` where: it cannot move into the memory then.
    """

    node: Node
    drive: Drive | None
    clock: Clock
    name: str
    span: Span
    elsewhere: str = ""


class AddressTracer:
    """Follows addresses back through the hierarchy, with a clock tracer at hand."""

    def __init__(self, clocks: ClockTracer) -> None:
        self.clocks = clocks
        self.views = clocks.views

    def register(self, node: Node, read: Read) -> AddressRegister | None:
        """The register an address comes straight out of; None where logic or no register stands there."""
        use = read.use
        found: list[tuple[Node, Signal, Drive]] = []
        path: list[tuple[Node, Signal]] = []
        for index in read.indices:
            if not is_dynamic(index, use.scope, use.loops, node.body):
                continue
            if not self._origin(node, index, use.scope, found, path, 0):
                return None
        if not found:
            return None
        clock: Clock | None = None
        for at, _signal, drive in found:
            assert drive.clock is not None
            one = self.clocks.clock(at, drive.clock)
            if one is None or (clock is not None and one != clock):
                return None
            clock = one
        assert clock is not None
        at, signal, drive = found[0]
        single = drive if len(found) == 1 else None
        other = self._elsewhere(path)
        if other is None:
            return AddressRegister(at, single, clock, signal.item.name, drive.span)
        return AddressRegister(at, single, clock, signal.item.name, other[1], other[0])

    def _origin(
        self,
        node: Node,
        expr: Expr,
        scope: Scope,
        found: list[tuple[Node, Signal, Drive]],
        path: list[tuple[Node, Signal]],
        far: int,
    ) -> bool:
        """Whether an expression comes straight out of registers; notes them and the nets on the way."""
        if far > _FARTHEST:
            return False
        match expr:
            case Number() | String():
                return True
            case Concat(parts=parts):
                return all(self._origin(node, part, scope, found, path, far) for part in parts)
            case Cast(value=value):
                return self._origin(node, value, scope, found, path, far)
            case Call(function=Name(name=name), arguments=(first, *_)) if name in CONVERSIONS:
                return self._origin(node, first, scope, found, path, far)
            case Name() | Index() | Slice() | Member() | Call():
                pass
            case _:
                return False
        if is_constant(expr, scope):
            return True
        located = locate(node, expr, scope)
        if located is None:
            return False
        at, signal, steps = located
        path.append((at, signal))
        driving = [(where, one) for where, one in self.views.drives(at, signal) if not one.initial]
        drives = [one for _, one in driving]
        if signal.direction == "input" and not drives:
            if at.parent is None or at.child is None:
                return False
            connection = at.child.connections.get(signal.item.name)
            if connection is None or connection.value is None:
                return False
            return all(
                self._origin(at.parent, actual, at.child.scope, found, path, far + 1)
                for actual in concerned(connection.value, steps)
            )
        live = [(where, one) for where, one in driving if not one.reset]
        if live and all(one.clock is not None for _, one in live):
            clocks = {(id(where), one.clock) for where, one in live}
            if len(clocks) != 1 or any(self._passed_on(where, one) for where, one in live):
                return False
            found.append((live[0][0], signal, live[0][1]))
            return True
        if len(live) == 1 and not live[0][1].guards and live[0][1].part is None:
            where, one = live[0]
            return self._origin(where, one.value, one.scope, found, path, far + 1)
        if not drives:
            below = child_output(at, signal)
            if below is None:
                return False
            inner, formal = below
            return self._origin(inner, formal, inner.body.scope, found, path, far + 1)
        return False

    def _passed_on(self, node: Node, drive: Drive) -> bool:
        """Whether a clocked variable is read again inside its own process: then it is no register there."""
        return drive.blocking and any(
            one.process is drive.process for one in uses(node.body).get(drive.signal, [])
        )

    def _elsewhere(self, path: list[tuple[Node, Signal]]) -> tuple[str, Span] | None:
        """What else the nets on the way feed, beside read addresses and the next net of the way."""
        on_path = {(id(node), id(signal)) for node, signal in path}
        for node, signal in path:
            for at, use in self.views.uses(node, signal):
                other = self._other_use(at, use, signal, on_path)
                if other:
                    return other, use.span
            if signal.direction in ("output", "inout", "buffer") and not self._upward_on_path(
                node, signal, on_path
            ):
                port = signal.item
                return f"leaves `{node.body.unit.name}` through the port `{port.name}`", port.span
        return None

    def _other_use(self, at: Node, use: Use, signal: Signal, on_path: set[tuple[int, int]]) -> str:
        """What a use is for that is no read address, `` for one that is."""
        if use.process is not None and use.process.kind == "initial":
            return ""
        if use.kind == "index":
            array = f"`{use.array.item.name}`" if use.array is not None else "another object"
            if use.write_index:
                return f"addresses a write to {array}"
            if use.logic:
                return f"goes through {use.logic}"
            reads_array = use.array is not None and bool(array_shapes(use.array))
            return "" if reads_array else f"selects from {array}"
        if use.logic:
            return f"goes through {use.logic}"
        if use.kind == "value" and use.drive is not None:
            into, target = driven(at, use.drive)
            on_way = (id(into), id(target)) in on_path or target is signal
            return "" if on_way else f"goes to `{target.item.name}`"
        if use.kind == "connection" and use.child is not None:
            inner = at.children.get(use.child.name)
            port = inner.body.signals.get(use.port) if inner is not None else None
            on_way = inner is not None and port is not None and (id(inner), id(port)) in on_path
            return "" if on_way else f"goes into `{use.child.instance.name}`"
        return "decides a condition"

    def _upward_on_path(self, node: Node, signal: Signal, on_path: set[tuple[int, int]]) -> bool:
        if node.parent is None or node.child is None:
            return False
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return True
        for _, actual in actuals(connection.value):
            located = locate(node.parent, actual, node.child.scope)
            if located is None or (id(located[0]), id(located[1])) not in on_path:
                return False
        return True


def child_output(node: Node, signal: Signal) -> tuple[Node, Expr] | None:
    """The instance whose output drives a whole signal, and the formal (or a part of it) that does."""
    for inner in node.children.values():
        child = inner.child
        assert child is not None
        for port in inner.body.unit.ports:
            connection = child.connections.get(port.name)
            if port.direction not in ("output", "buffer") or connection is None or connection.value is None:
                continue
            for part, actual in actuals(connection.value):
                located = locate(node, actual, child.scope)
                if located is None or located[1] is not signal or located[2]:
                    continue
                formal = selected(Name(port.name, span=port.span), part_text(part) or "")
                if formal is not None:
                    return inner, formal
    return None


def driven(node: Node, drive: Drive) -> tuple[Node, Signal]:
    """What a drive assigns; for `bus.data` the signal of the interface."""
    if drive.signal.direction != "interface":
        return node, drive.signal
    found = member_of(node, drive.signal, drive.steps, drive.scope)
    return (found[0], found[1]) if found is not None else (node, drive.signal)
