"""Where the code compares a read address with a write address, by an equality of the two.

Such a comparison steers a bypass, or keeps read and write apart: what a tier gives when both meet then
matters less than the code around it. Registers that only delay an address count as the address.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from itertools import product

from memlint.design.addresses import Key, Reach, key, wire_source
from memlint.design.body import Body, LoopVariable
from memlint.design.contents import is_constant
from memlint.design.hierarchy import Node, locate
from memlint.design.scope import Scope
from memlint.design.uses import CONVERSIONS
from memlint.reading.facts.expressions import Binary, Call, Cast, Expr, Index, Member, Name, Slice
from memlint.text.source import Span

_EQUALITIES = frozenset(("==", "!=", "===", "!==", "==?", "!=?"))
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


class Comparisons:
    """Knows the equalities of each node of a hierarchy; made on first question."""

    def __init__(self) -> None:
        self._known: dict[int, list[_Comparison]] = {}

    def between(self, reads: Iterable[Address], writes: Iterable[Address]) -> Span | None:
        """Where addresses are compared, if each read's is compared with each other one that is written."""
        first: Span | None = None
        for read, write in product(reads, tuple(writes)):
            for one, other in zip(read.indices, write.indices, strict=False):
                mine, theirs = _names(read, one), _names(write, other)
                if mine & theirs:
                    continue
                found = self._find(read.node, write.node, mine, theirs)
                if found is None:
                    return None
                first = first or found
        return first

    def _find(self, node: Node, other: Node, mine: frozenset[Key], theirs: frozenset[Key]) -> Span | None:
        places = {id(at): at for start in (node, other) for at in start.above()}
        for at in places.values():
            for one in self._of(at):
                if one.of(mine, theirs):
                    return one.span
        return None

    def _of(self, node: Node) -> list[_Comparison]:
        known = self._known.get(id(node))
        if known is None:
            known = []
            for found, scope, loops in _equalities(node.body):
                left = _names(Address(node, (), scope, loops), found.left)
                right = _names(Address(node, (), scope, loops), found.right)
                known.append(_Comparison(left, right, found.span))
            self._known[id(node)] = known
        return known


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


def _within(node: object) -> Iterator[Binary]:
    stack: list[object] = [node]
    while stack:
        one = stack.pop()
        if isinstance(one, Binary) and one.op in _EQUALITIES:
            yield one
        if isinstance(one, tuple):
            stack.extend(reversed(one))
        elif is_dataclass(one) and not isinstance(one, Span | type):
            stack.extend(getattr(one, part.name) for part in reversed(fields(one)))


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
            moved = [one for one in drives if not is_constant(one.value, one.scope)]
            if len(moved) == 1 and moved[0].clock is not None and moved[0].part is None:
                yield Address(node, (), moved[0].scope, moved[0].loops), moved[0].value
            return
        if signal.direction != "input" or node.parent is None or node.child is None:
            return
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return
        expr, scope, node = connection.value, node.child.scope, node.parent
