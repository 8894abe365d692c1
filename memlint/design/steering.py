"""Which equalities steer a memory: its enables, and the multiplexers that its read words go through.

From the conditions that decide over a write, a read, or a net that a read word reaches, back through flags:
nets and registers made of such equalities.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from memlint.design.body import Drive, Signal
from memlint.design.contents import is_constant
from memlint.design.hierarchy import Node, locate
from memlint.design.interface_views import InterfaceViews
from memlint.design.parts import actuals
from memlint.design.scope import Scope
from memlint.design.trace_addresses import driven
from memlint.design.types import bits
from memlint.design.uses import Use
from memlint.reading.facts.children import children
from memlint.reading.facts.expressions import Binary, Conditional, Expr, Index, Member, Name, Slice
from memlint.text.source import Span

_MOST_NETS = 400
EQUALITIES = frozenset(("==", "!=", "===", "!==", "==?", "!=?"))
# An expression, the node it stands in, and where its names are meant.
_Told = tuple[Node, Expr, Scope]


def steering(
    writes: Iterable[tuple[Node, Drive]],
    reads: Iterable[tuple[Node, Use, Drive | None]],
    views: InterfaceViews,
) -> frozenset[Span]:
    """Where the equalities stand that steer a memory with these accesses.

    With a read comes the drive of its address register, where it has one.
    """
    waiting: list[_Told] = []
    for node, drive in writes:
        waiting.extend(_deciding(node, drive))
    for node, use, register in reads:
        if register is not None:
            waiting.extend(_deciding(node, register))
        for at, drive in _cone(node, use, views):
            waiting.extend(_deciding(at, drive))
            waiting.extend(_masks(at, drive))
    return frozenset(_equalities(waiting))


def _deciding(node: Node, drive: Drive) -> Iterator[_Told]:
    """The conditions over a drive, and those of multiplexers in its value."""
    for guard in drive.guards:
        yield node, guard.condition, guard.scope
    for one in _conditionals(drive.value):
        yield node, one.condition, drive.scope


def _masks(node: Node, drive: Drive) -> Iterator[_Told]:
    """Flags that a word is joined with by logic; whole words beside it are no flags."""
    for one in _within(drive.value):
        if isinstance(one, Binary) and one.op in EQUALITIES:
            yield node, one, drive.scope
        elif isinstance(one, Name | Index | Slice | Member):
            located = locate(node, one, drive.scope)
            if located is not None and bits(located[1].type) == 1:
                yield node, one, drive.scope


def _conditionals(expr: Expr) -> Iterator[Conditional]:
    return (one for one in _within(expr) if isinstance(one, Conditional))


def _within(expr: Expr) -> Iterator[object]:
    """An expression and all that it holds."""
    stack: list[object] = [expr]
    while stack:
        one = stack.pop()
        if isinstance(one, tuple):
            stack.extend(one)
            continue
        yield one
        inner = children(one)
        if inner is not None:
            stack.extend(inner(one))


def _cone(node: Node, use: Use, views: InterfaceViews) -> Iterator[tuple[Node, Drive]]:
    """All drives of nets that a read word reaches, through registers, multiplexers and ports."""
    seen: set[tuple[int, int]] = set()
    waiting = [(node, use)]
    while waiting and len(seen) < _MOST_NETS:
        at, one = waiting.pop()
        reached: list[tuple[Node, Signal]] = []
        if one.kind == "value" and one.drive is not None:
            reached.append(driven(at, one.drive))
            yield at, one.drive
        elif one.kind == "connection" and one.child is not None:
            inner = at.children.get(one.child.name)
            signal = inner.body.signals.get(one.port) if inner is not None else None
            if inner is not None and signal is not None:
                reached.append((inner, signal))
        while reached:
            where, signal = reached.pop()
            if (id(where), id(signal)) in seen:
                continue
            seen.add((id(where), id(signal)))
            yield from ((where, drive) for drive in signal.drives if not drive.initial)
            waiting.extend(views.uses(where, signal))
            if signal.direction in ("output", "inout", "buffer"):
                reached.extend(_above(where, signal))


def _above(node: Node, signal: Signal) -> Iterator[tuple[Node, Signal]]:
    if node.parent is None or node.child is None:
        return
    connection = node.child.connections.get(signal.item.name)
    if connection is None or connection.value is None:
        return
    for _, actual in actuals(connection.value):
        located = locate(node.parent, actual, node.child.scope)
        if located is not None:
            yield located[0], located[1]


def _equalities(waiting: list[_Told]) -> Iterator[Span]:
    """The equalities in some expressions, and in what flags that they name are made of."""
    seen: set[tuple[int, int]] = set()
    while waiting and len(seen) < _MOST_NETS:
        node, expr, scope = waiting.pop()
        stack: list[object] = [expr]
        while stack:
            one = stack.pop()
            if isinstance(one, tuple):
                stack.extend(one)
                continue
            if isinstance(one, Conditional) and not _is_flag(one, scope):
                # Its condition steers what is beside it, and that is another memory's or none's.
                stack.extend((one.then, one.otherwise))
                continue
            if isinstance(one, Binary) and one.op in EQUALITIES:
                yield one.span
            if isinstance(one, Name | Index | Slice | Member):
                located = locate(node, one, scope)
                if located is not None and (id(located[0]), id(located[1])) not in seen:
                    seen.add((id(located[0]), id(located[1])))
                    waiting.extend(_made_of(located[0], located[1]))
            inner = children(one)
            if inner is not None:
                stack.extend(inner(one))


def _is_flag(one: Conditional, scope: Scope) -> bool:
    return is_constant(one.then, scope) and is_constant(one.otherwise, scope)


def _made_of(node: Node, signal: Signal) -> Iterator[_Told]:
    """What a net takes; the conditions too where they decide over a constant or over one bit."""
    one_bit = bits(signal.type) == 1
    for drive in signal.drives:
        if drive.initial:
            continue
        yield node, drive.value, drive.scope
        if one_bit or is_constant(drive.value, drive.scope):
            for guard in drive.guards:
                yield node, guard.condition, guard.scope
    if signal.direction == "input" and node.parent is not None and node.child is not None:
        connection = node.child.connections.get(signal.item.name)
        if connection is not None and connection.value is not None:
            yield node.parent, connection.value, node.child.scope
    for inner in node.children.values():
        child = inner.child
        assert child is not None
        for port in inner.body.unit.ports:
            if port.direction not in ("output", "buffer"):
                continue
            connection = child.connections.get(port.name)
            if connection is None or connection.value is None:
                continue
            formal = inner.body.signals.get(port.name)
            for _, actual in actuals(connection.value):
                located = locate(node, actual, child.scope)
                if formal is not None and located is not None and located[1] is signal:
                    yield from _made_of(inner, formal)
