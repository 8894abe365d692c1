"""Where the code compares a read address with a write address, by an equality of the two.

Such a comparison steers a bypass, or keeps read and write apart: what a tier gives when both meet then
matters less than the code around it. Registers that only delay an address count as the address.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from memlint.design.addresses import Key, Reach, key, wire_source
from memlint.design.body import Body, Drive, LoopVariable
from memlint.design.contents import is_constant
from memlint.design.hierarchy import Node, locate
from memlint.design.scope import Scope
from memlint.design.steering import EQUALITIES
from memlint.design.uses import CONVERSIONS
from memlint.reading.facts.children import children
from memlint.reading.facts.expressions import (
    Binary,
    Call,
    Cast,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Slice,
    String,
)
from memlint.text.source import Span

_LITERALS = (Number, String)
# Registers in a row that an address is followed back over, and plain wires and ports between them.
_DEEPEST = 3
_FARTHEST = 50


@dataclass(frozen=True, slots=True)
class Address:
    """An address as an access has it, and where its names are meant."""

    node: Node
    indices: tuple[Expr, ...]
    scope: Scope
    loops: tuple[LoopVariable, ...]


@dataclass(frozen=True, slots=True)
class _Comparison:
    left: frozenset[Key]
    right: frozenset[Key]
    span: Span

    def of(self, one: frozenset[Key], other: frozenset[Key]) -> bool:
        straight = bool(self.left & one) and bool(self.right & other)
        return straight or (bool(self.left & other) and bool(self.right & one))


# The comparisons of a node in the order of its body, and which of them have a name on their left.
_Known = tuple[list[_Comparison], dict[Key, list[int]]]


class Comparisons:
    """Knows the equalities of each node of a hierarchy; made on first question."""

    def __init__(self) -> None:
        self._known: dict[int, _Known] = {}

    def between(
        self, reads: Iterable[Address], writes: Iterable[Address], steering: Callable[[], frozenset[Span]]
    ) -> Span | None:
        """Where addresses are compared, if each read's is compared with each other one that is written.

        Another memory may have the same addresses: `steering` gives the equalities that count.
        """
        first: Span | None = None
        reads = tuple(reads)
        if not reads:
            return None
        written = [(write.node, [_names(write, one) for one in write.indices]) for write in writes]
        for read in reads:
            names = [_names(read, one) for one in read.indices]
            for node, others in written:
                for mine, theirs in zip(names, others, strict=False):
                    if mine & theirs:
                        continue
                    found = self._find(read.node, node, mine, theirs, steering)
                    if found is None:
                        return None
                    first = first or found
        return first

    def _find(
        self,
        node: Node,
        other: Node,
        mine: frozenset[Key],
        theirs: frozenset[Key],
        steering: Callable[[], frozenset[Span]],
    ) -> Span | None:
        if not mine or not theirs:
            return None
        places = {id(at): at for start in (node, other) for at in start.above()}
        for at in places.values():
            every, by_name = self._of(at)
            for number in sorted({n for name in (*mine, *theirs) for n in by_name.get(name, ())}):
                if every[number].of(mine, theirs) and every[number].span in steering():
                    return every[number].span
        return None

    def _of(self, node: Node) -> _Known:
        known = self._known.get(id(node))
        if known is None:
            known = [], {}
            for found, scope, loops in equalities(node.body):
                at = Address(node, (), scope, loops)
                # Most compare with a constant, which has no names.
                right = _names(at, found.right)
                left = _names(at, found.left) if right else right
                if left:
                    for name in left:
                        known[1].setdefault(name, []).append(len(known[0]))
                    known[0].append(_Comparison(left, right, found.span))
            self._known[id(node)] = known
        return known


def equalities(body: Body) -> list[tuple[Binary, Scope, tuple[LoopVariable, ...]]]:
    """The equalities in a body, made on first call and kept with it."""
    if body.equalities is None:
        body.equalities = list(_equalities(body))
    return body.equalities


def _equalities(body: Body) -> Iterator[tuple[Binary, Scope, tuple[LoopVariable, ...]]]:
    for drive in body.drives:
        if not drive.initial:
            for found in _within(drive.value):
                yield found, drive.scope, drive.loops
    for expr, scope, _, loops in body.reads:
        for found in _within(expr):
            yield found, scope, loops
    for child in body.children:
        for connection in child.connections.values():
            for found in _within(connection.value):
                yield found, child.scope, ()


def _within(expr: object) -> Iterator[Binary]:
    """The equalities in an expression whose sides are no literals."""
    stack: list[object] = [expr]
    while stack:
        one = stack.pop()
        if isinstance(one, tuple):
            stack.extend(reversed(one))
            continue
        if (
            isinstance(one, Binary)
            and one.op in EQUALITIES
            and not isinstance(one.left, _LITERALS)
            and not isinstance(one.right, _LITERALS)
        ):
            yield one
        inner = children(one)
        if inner is not None:
            stack.extend(reversed(inner(one)))


def _names(address: Address, expr: Expr, deep: int = 0) -> frozenset[Key]:
    """What an address is called: its net, the whole of it for a part, and what registers took it from."""
    found = {key(expr, address.scope, address.loops, address.node, Reach.DESIGN)}
    for one in tuple(found):
        if one[0] in ("net", "of"):
            kept = 3 if one[0] == "net" else 2
            if len(one) > kept and all(select[0] == "slice" for select in one[kept:]):
                found.add(one[:kept] if kept == 3 else one[1])
    if deep < _DEEPEST:
        for before, value in _taken(address, expr):
            found |= _names(before, value, deep + 1)
    return frozenset(one for one in found if one[0] in ("net", "of"))


def _taken(address: Address, expr: Expr) -> Iterator[tuple[Address, Expr]]:
    """What a register that an expression names takes over, where it takes one thing only."""
    node, scope = address.node, address.scope
    for _ in range(_FARTHEST):
        while True:
            match expr:
                case Cast(value=value):
                    expr = value
                case Call(function=Name(name=name), arguments=(inner, *_)) if name in CONVERSIONS:
                    expr = inner
                case _:
                    break
        if not isinstance(expr, Name | Index | Slice | Member | Call):
            return
        located = locate(node, expr, scope)
        if located is None:
            return
        node, signal, _steps = located
        source = wire_source(signal)
        if source is not None:
            expr, scope = source
            continue
        drives = [one for one in signal.drives if not one.initial and not one.reset]
        if drives:
            moved = _only_moved(drives)
            if moved is not None and moved.clock is not None and moved.part is None:
                yield Address(node, (), moved.scope, moved.loops), moved.value
            return
        if signal.direction != "input" or node.parent is None or node.child is None:
            return
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return
        expr, scope, node = connection.value, node.child.scope, node.parent


def _only_moved(drives: list[Drive]) -> Drive | None:
    """The one drive that puts something else than a constant, None where there is none or more than one."""
    if all(one.clock is None for one in drives):
        return None
    found: Drive | None = None
    for one in drives:
        if is_constant(one.value, one.scope):
            continue
        if found is not None:
            return None
        found = one
    return found
