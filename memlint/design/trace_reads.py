"""How a word that is read ends: in registers on one clock, or through logic (design.md, "Reads").

A read is synchronous (a) if its word reaches only the data inputs of registers on one clock, through
wires, ports, bit selects and concatenations, or (b) if its address comes straight out of a register on
one clock that feeds nothing but read addresses.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from memlint.design.arrays import Read, array_shape, is_dynamic
from memlint.design.body import Drive, SelectStep, Signal
from memlint.design.hierarchy import Node, locate, member_of
from memlint.design.memory import Clock
from memlint.design.parts import actuals, concerned, part_text, selected
from memlint.design.registers_behind import (
    Part,
    carried,
    holds,
    other_part,
    overridden,
    register_behind,
)
from memlint.design.scope import Scope
from memlint.design.trace_clocks import ClockTracer
from memlint.design.uses import CONVERSIONS, Use, uses
from memlint.design.values import Int, Unknown
from memlint.reading.facts.expressions import (
    Call,
    Cast,
    Concat,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Pattern,
    Replicate,
    Slice,
    String,
)
from memlint.text.source import Span

_FARTHEST = 60


@dataclass(frozen=True, slots=True)
class ReadStyle:
    """kind: `synchronous` (with `clock`), `asynchronous` (with `reason`), `nothing` or `unknown`.

    `way` is `data` or `address` for a synchronous read: which register makes it so. `register` is the
    address register's next value and the scope it is meant in, for telling equal addresses.
    """

    kind: str
    clock: Clock | None = None
    reason: str = ""
    span: Span | None = None
    way: str = ""
    register: tuple[Node, Drive] | None = None


NOTHING = ReadStyle("nothing")


class ReadTracer:
    """Answers for reads in nodes; follows nets through the hierarchy with a clock tracer at hand."""

    def __init__(self, clocks: ClockTracer, missing: str = "unit") -> None:
        self.clocks = clocks
        self.views = clocks.views

    def style(self, node: Node, read: Read, written: tuple[Expr, ...] = ()) -> ReadStyle:
        """The style of one read; `written` are values written to the array (a bypass is no logic)."""
        by_data = self._use(node, read.use, written, frozenset(), 0)
        if by_data.kind in ("synchronous", "nothing"):
            return by_data
        by_address = self._address(node, read)
        return by_address if by_address is not None else by_data

    # --- forward: where the word goes ---

    def _use(
        self,
        node: Node,
        use: Use,
        written: tuple[Expr, ...],
        seen: frozenset[tuple[int, int, Part]],
        far: int,
        part: Part = (),
    ) -> ReadStyle:
        """Where one use of a word goes; `part` is what of the used signal holds the word, () all of it."""
        if use.process is not None and use.process.kind == "initial":
            return NOTHING
        if use.logic:
            return ReadStyle("asynchronous", None, f"goes through {use.logic}", use.logic_span or use.span)
        match use.kind:
            case "index":
                array = f"`{use.array.item.name}`" if use.array is not None else "another object"
                return ReadStyle("asynchronous", None, f"selects from {array}", use.span)
            case "guard":
                return ReadStyle("asynchronous", None, "decides a condition", use.span)
            case "connection":
                return self._connection(node, use, seen, far, part)
            case _:
                return self._value(node, use, written, seen, far, part)

    def _connection(
        self, node: Node, use: Use, seen: frozenset[tuple[int, int, Part]], far: int, part: Part
    ) -> ReadStyle:
        assert use.child is not None
        inner = node.children.get(use.child.name)
        if inner is None:
            unit = use.child.instance.unit
            return ReadStyle("unknown", None, f"goes into `{unit}`, whose source is not read", use.span)
        signal = inner.body.signals.get(use.port)
        if signal is None:
            return NOTHING
        connection = use.child.connections[use.port]
        whole = connection.value is not None and connection.value.span == use.span
        return self._follow(inner, signal, (), seen, far + 1, part[len(use.steps) :] if whole else ())

    def _value(
        self,
        node: Node,
        use: Use,
        written: tuple[Expr, ...],
        seen: frozenset[tuple[int, int, Part]],
        far: int,
        part: Part,
    ) -> ReadStyle:
        drive = use.drive
        if drive is None:
            return NOTHING
        target = drive.signal
        part = carried(use, drive, part)
        blocked = self._mux(node, drive, use, written, part)
        if blocked is not None:
            return blocked
        if drive.clock is None:
            at, target = driven(node, drive)
            if target.direction == "interface":
                reason = f"leaves the design through the interface port `{target.item.name}`"
                return ReadStyle("asynchronous", None, reason, drive.span)
            return self._follow(at, target, written, seen, far + 1, part)
        clock = self.clocks.clock(node, drive.clock)
        if drive.blocking:
            inside = [
                one
                for one in uses(node.body).get(target, [])
                if one.process is drive.process and one.drive is not drive and not other_part(one.steps, part)
            ]
            if inside:
                # A variable passed on inside its process is a wire there.
                styles = [self._use(node, one, written, seen, far + 1, part) for one in inside]
                outside = [one for one in uses(node.body).get(target, []) if one.process is not drive.process]
                if outside:
                    styles.append(ReadStyle("synchronous", clock, way="data"))
                return _together(styles)
        if clock is None:
            return ReadStyle("unknown", None, "its register's clock is not known", drive.span)
        return ReadStyle("synchronous", clock, way="data", span=drive.span)

    def _mux(
        self, node: Node, drive: Drive, use: Use, written: tuple[Expr, ...], part: Part
    ) -> ReadStyle | None:
        """A reason when a multiplexer stands before the target; reset, hold and bypass are none."""
        register = register_behind(node, drive.signal, part) if drive.clock is None else None
        clocked = drive.clock is not None or register is not None
        for other in use.others:
            if not (
                clocked and (is_constant(other, drive.scope) or _is_target(other, drive) or other in written)
            ):
                return ReadStyle("asynchronous", None, "goes through a multiplexer", other.span)
        if not clocked and drive.guards and drive.process.kind != "latch":
            condition = drive.guards[-1].condition
            return ReadStyle("asynchronous", None, "goes through a multiplexer", condition.span)
        for other_drive in drive.signal.drives:
            if other_drive is drive or other_drive.initial or other_drive.reset:
                continue
            if overridden(other_drive, drive):
                continue
            if register is not None and holds(node, other_drive, register):
                continue
            if not _overlap(other_drive.steps, drive.steps, other_drive.scope, drive.scope):
                continue
            if other_drive.value == drive.value and other_drive.scope is drive.scope:
                continue
            if clocked and (
                is_constant(other_drive.value, other_drive.scope)
                or _is_target(other_drive.value, other_drive)
                or other_drive.value in written
                or _same_array(other_drive, use)
            ):
                continue
            return ReadStyle("asynchronous", None, "goes through a multiplexer", other_drive.span)
        return None

    def _follow(
        self,
        node: Node,
        signal: Signal,
        written: tuple[Expr, ...],
        seen: frozenset[tuple[int, int, Part]],
        far: int,
        part: Part = (),
    ) -> ReadStyle:
        key = (id(node), id(signal), part)
        if key in seen:
            return NOTHING
        if far > _FARTHEST:
            return ReadStyle("unknown", None, f"is passed on more than {_FARTHEST} times", signal.item.span)
        seen = seen | {key}
        styles = [
            self._use(at, one, written, seen, far, part)
            for at, one in self.views.uses(node, signal)
            if not other_part(one.steps, part)
        ]
        if signal.direction in ("output", "inout", "buffer"):
            styles.append(self._upward(node, signal, written, seen, far, part))
        return _together(styles)

    def _upward(
        self,
        node: Node,
        signal: Signal,
        written: tuple[Expr, ...],
        seen: frozenset[tuple[int, int, Part]],
        far: int,
        part: Part,
    ) -> ReadStyle:
        if node.parent is None or node.child is None:
            reason = f"leaves the design through the port `{signal.item.name}` without a register"
            return ReadStyle("asynchronous", None, reason, signal.item.span)
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return NOTHING
        styles: list[ReadStyle] = []
        for formal, target in actuals(connection.value):
            here = part
            if isinstance(formal, Name) and part and part[0].kind == "field":
                if formal.name != part[0].name:
                    continue
                here = part[1:]
            located = locate(node.parent, target, node.child.scope)
            if located is None:
                styles.append(ReadStyle("unknown", None, "goes to a net that was not found", connection.span))
                continue
            at, outer, steps = located
            inner = (*steps, *here) if formal is None or isinstance(formal, Name) else steps
            styles.append(self._follow(at, outer, (), seen, far + 1, inner))
        return _together(styles)

    # --- backward: where the address comes from ---

    def _address(self, node: Node, read: Read) -> ReadStyle | None:
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
        if not self._only_addresses(path):
            return None
        register = (found[0][0], found[0][2]) if len(found) == 1 else None
        return ReadStyle("synchronous", clock, way="address", span=found[0][2].span, register=register)

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
            return self._origin_in_child(at, signal, found, path, far)
        return False

    def _passed_on(self, node: Node, drive: Drive) -> bool:
        """Whether a clocked variable is read again inside its own process: then it is no register there."""
        return drive.blocking and any(
            one.process is drive.process for one in uses(node.body).get(drive.signal, [])
        )

    def _origin_in_child(
        self,
        node: Node,
        signal: Signal,
        found: list[tuple[Node, Signal, Drive]],
        path: list[tuple[Node, Signal]],
        far: int,
    ) -> bool:
        for inner in node.children.values():
            child = inner.child
            assert child is not None
            for port in inner.body.unit.ports:
                connection = child.connections.get(port.name)
                if port.direction != "output" or connection is None or connection.value is None:
                    continue
                for part, actual in actuals(connection.value):
                    located = locate(node, actual, child.scope)
                    if located is None or located[1] is not signal or located[2]:
                        continue
                    formal = selected(Name(port.name, span=port.span), part_text(part) or "")
                    if formal is not None:
                        return self._origin(inner, formal, inner.body.scope, found, path, far + 1)
        return False

    def _only_addresses(self, path: list[tuple[Node, Signal]]) -> bool:
        """Whether nets on the way feed nothing but read addresses and the next net of the way."""
        on_path = {(id(node), id(signal)) for node, signal in path}
        for node, signal in path:
            for at, use in self.views.uses(node, signal):
                if use.process is not None and use.process.kind == "initial":
                    continue
                if use.kind == "index":
                    reads_array = use.array is not None and array_shape(use.array) is not None
                    if reads_array and not use.write_index and not use.logic:
                        continue
                    return False
                if use.logic:
                    return False
                if use.kind == "value" and use.drive is not None:
                    into, target = driven(at, use.drive)
                    if (id(into), id(target)) in on_path or target is signal:
                        continue
                    return False
                if use.kind == "connection" and use.child is not None:
                    inner = at.children.get(use.child.name)
                    port = inner.body.signals.get(use.port) if inner is not None else None
                    if inner is not None and port is not None and (id(inner), id(port)) in on_path:
                        continue
                    return False
                return False
            if signal.direction in ("output", "inout", "buffer") and not self._upward_on_path(
                node, signal, on_path
            ):
                return False
        return True

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


def driven(node: Node, drive: Drive) -> tuple[Node, Signal]:
    """What a drive assigns; for `bus.data` the signal of the interface."""
    if drive.signal.direction != "interface":
        return node, drive.signal
    found = member_of(node, drive.signal, drive.steps, drive.scope)
    return (found[0], found[1]) if found is not None else (node, drive.signal)


def _together(styles: Iterable[ReadStyle]) -> ReadStyle:
    """One style for a word that goes to several places."""
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
    return result


def is_constant(expr: Expr, scope: Scope) -> bool:
    """Whether an expression has a value before simulation (digits x and z count: nothing reads them)."""
    match expr:
        case Number() | String():
            return True
        case Name() | Index() | Slice() | Member():
            value = scope.evaluate(expr)
            return isinstance(value, Int)
        case Concat(parts=parts) | Replicate(parts=parts):
            return all(is_constant(part, scope) for part in parts)
        case Pattern(items=items):
            return all(is_constant(value, scope) for _, value in items)
        case Cast(value=value):
            return is_constant(value, scope)
        case _:
            return not isinstance(scope.evaluate(expr), Unknown)


def _is_target(expr: Expr, drive: Drive) -> bool:
    """Whether an expression is the drive's own target: a register that holds."""
    match expr:
        case Name(name=name):
            return name == drive.signal.item.name
        case Index(base=base) | Slice(base=base):
            return _is_target(base, drive)
        case _:
            return False


def _overlap(
    first: tuple[SelectStep, ...], second: tuple[SelectStep, ...], scope: Scope, other: Scope
) -> bool:
    """Whether two drives may touch the same bits; constant selects that differ do not."""
    for a, b in zip(first, second, strict=False):
        if a.kind == "field" and b.kind == "field":
            if a.name != b.name:
                return False
            continue
        if a.kind != b.kind or a.expr is None or b.expr is None:
            continue
        low, high = scope.evaluate(a.expr), other.evaluate(b.expr)
        if isinstance(low, Int) and isinstance(high, Int) and low.value != high.value:
            return False
    return True


def _same_array(other: Drive, use: Use) -> bool:
    """Whether the other drive reads the same array: two addresses then share one port, no logic."""
    value = other.value
    while isinstance(value, Index | Slice):
        value = value.base
    return isinstance(value, Name) and value.name == use.signal.item.name
