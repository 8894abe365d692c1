"""From a clock as a process names it to the net it comes from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from memlint.design.body import ClockTerm, Drive, SelectStep, Signal
from memlint.design.hierarchy import Node, locate
from memlint.design.interface_views import InterfaceViews
from memlint.design.memory import Clock
from memlint.design.parts import actuals, part_text, selected
from memlint.design.port_parts import connected
from memlint.design.same_clocks import Source
from memlint.design.scope import Scope
from memlint.design.types import Vector, outer_range
from memlint.design.uses import CONVERSIONS
from memlint.design.values import Int
from memlint.reading.facts.expressions import (
    Binary,
    Call,
    Cast,
    Concat,
    Expr,
    Index,
    Member,
    Name,
    Slice,
    Unary,
)
from memlint.text.source import Span

_FARTHEST = 400
_CLOCK = re.compile(r"clk|clock|^ck$|^cp$")
_ENABLE = re.compile(r"(^|_)(en|ena|gate)(_|$)|enable|(?<!g)en$")


@dataclass(frozen=True, slots=True)
class _Place:
    """A net reached on the way: signal (with a fixed select) of a node, and whether it is inverted."""

    node: Node
    signal: Signal
    select: str
    inverted: bool


class ClockTracer:
    """Traces clocks through ports, interfaces and plain assignments; remembers what it found.

    `equal` gives the net that stands for each net declared equal to others (see `equal_nets`).
    """

    def __init__(
        self, equal: Mapping[str, Source] | None = None, views: InterfaceViews | None = None
    ) -> None:
        self.views = views if views is not None else InterfaceViews({})
        self._equal = equal or {}
        self._known: dict[tuple[int, int, str], tuple[str, bool, str | None]] = {}

    def clock(self, node: Node, term: ClockTerm) -> Clock | None:
        """The source of a clock term in a node, None where it names no net."""
        expr, inverted = _uninverted(term.signal)
        found = self._source(node, expr, term.scope)
        if found is None:
            return None
        net, flipped, root = found
        net, root = self._equal.get(net, (net, root))
        edge = term.edge
        if inverted != flipped and edge in ("rising", "falling"):
            edge = "falling" if edge == "rising" else "rising"
        return Clock(net, edge, root, span=term.span)

    def net(self, node: Node, name: str, scope: Scope) -> Clock | None:
        """The source of the net a plain (maybe dotted) name means in a node."""
        parts = name.split(".")
        span = Span("", 0, 0)
        expr: Expr = Name(parts[0], span=span)
        for part in parts[1:]:
            expr = Member(expr, part, span=span)
        return self.clock(node, ClockTerm(expr, "rising", scope, span))

    def _source(self, node: Node, expr: Expr, scope: Scope) -> tuple[str, bool, str | None] | None:
        located = locate(node, expr, scope)
        if located is None:
            return None
        at, signal, steps = located
        select = _fixed(steps, scope)
        if select is None:
            return None
        return self._follow(_Place(at, signal, select, False), 0)

    def _follow(self, place: _Place, far: int) -> tuple[str, bool, str | None]:
        key = (id(place.node), id(place.signal), place.select)
        known = self._known.get(key)
        if known is None:
            # Entered first, so that a loop of assignments ends at itself.
            self._known[key] = (self._named(place), False, None)
            known = self._step(place, far) if far < _FARTHEST else (self._named(place), False, None)
            self._known[key] = known
        net, inverted, root = known
        return net, inverted != place.inverted, root

    def _step(self, place: _Place, far: int) -> tuple[str, bool, str | None]:
        plain = replace(place, inverted=False)
        own = self._named(plain)
        node, signal = plain.node, plain.signal
        if signal.direction in ("input", "inout", "ref") and node.parent is not None:
            outer = self._through_port(plain, far)
            return outer if outer is not None else (own, False, None)
        drives = [one for one in signal.drives if not one.initial]
        drives = [one for one in drives if _may_drive(one, plain.select)]
        if drives:
            return self._driven(plain, drives, far)
        outside = [(at, one) for at, one in self.views.drives(node, signal) if not one.initial]
        if outside:
            at, first = outside[0]
            if len(outside) > 1 or first.clock is not None or first.guards or first.loops or first.part:
                return own, False, None
            part = selected(first.value, plain.select)
            found = self._expression(plain, at, part, first.scope, far) if part is not None else None
            return found if found is not None else (own, False, None)
        child = self._driving_child(plain, far)
        return child if child is not None else (own, False, None)

    def _through_port(self, place: _Place, far: int) -> tuple[str, bool, str | None] | None:
        node = place.node
        assert node.child is not None and node.parent is not None
        connection = node.child.connections.get(place.signal.name)
        if connection is None or connection.value is None:
            return None
        formal = outer_range(place.signal.type)
        inner, outer = place.signal.scope, node.child.scope
        part = connected(connection.value, place.select, formal, inner, outer)
        if part is None:
            return None
        return self._expression(place, node.parent, part, node.child.scope, far)

    def _driven(self, place: _Place, drives: list[Drive], far: int) -> tuple[str, bool, str | None]:
        own = self._named(place)
        first = drives[0]
        if len(drives) > 1 or first.clock is not None or first.guards or first.loops:
            return own, False, None
        if first.part is not None:
            return own, False, None
        value = first.value
        steps = first.steps
        if place.select and not steps:
            formal = outer_range(place.signal.type)
            part = connected(value, place.select, formal, first.scope, first.scope)
            if part is None:
                return own, False, None
            value = part
        found = self._expression(place, place.node, value, first.scope, far)
        return found if found is not None else (own, False, None)

    def _expression(
        self, place: _Place, node: Node, expr: Expr, scope: Scope, far: int
    ) -> tuple[str, bool, str | None] | None:
        """Follow an expression that drives a net: a name goes on, a gate ends with its root."""
        expr, inverted = _uninverted(expr)
        match expr:
            case Name() | Index() | Member() | Slice() | Call() if locate(node, expr, scope) is not None:
                located = locate(node, expr, scope)
                assert located is not None
                at, signal, steps = located
                select = _fixed(steps, scope)
                if select is None:
                    return None
                return self._follow(_Place(at, signal, select, inverted), far + 1)
            case Call(function=Name(name=name), arguments=(inner,)) if name in CONVERSIONS:
                found = self._expression(place, node, inner, scope, far)
                return None if found is None else (found[0], found[1] != inverted, found[2])
            case Concat(parts=(inner,)):
                return self._expression(place, node, inner, scope, far)
            case Binary(op="&" | "&&" | "|" | "||", left=left, right=right):
                root = self._root(node, left, right, scope, far)
                return self._named(place), False, root
            case _:
                return None

    def _root(self, node: Node, left: Expr, right: Expr, scope: Scope, far: int) -> str | None:
        """Of the two inputs of a gate the one that is a clock: it has no register or logic behind it."""
        candidates: list[str] = []
        for expr in (left, right):
            plain, _ = _uninverted(expr)
            if not isinstance(plain, Name | Index | Member | Call):
                continue
            located = locate(node, plain, scope)
            if located is None:
                continue
            at, signal, steps = located
            select = _fixed(steps, scope)
            if select is None or not _one_bit(signal, select):
                continue
            net, _, root = self._follow(_Place(at, signal, select, False), far + 1)
            if self._is_clock(signal, net):
                candidates.append(root or net)
        return candidates[0] if len(candidates) == 1 else None

    def _is_clock(self, signal: Signal, net: str) -> bool:
        """Whether a gate's input is the clock: nothing stores it, and it or its source is named like one."""
        if any(drive.clock is not None or drive.process.kind == "latch" for drive in signal.drives):
            return False
        names = (signal.item.name.lower(), net.rpartition(".")[2].lower())
        return any(map(_CLOCK.search, names)) and not any(map(_ENABLE.search, names))

    def _driving_child(self, place: _Place, far: int) -> tuple[str, bool, str | None] | None:
        """The output port of an instance that drives the net, followed into the instance."""
        node = place.node
        for name, inner in node.children.items():
            child = inner.child
            assert child is not None
            for port in inner.body.unit.ports:
                if port.direction not in ("output", "inout"):
                    continue
                connection = child.connections.get(port.name)
                if connection is None or connection.value is None:
                    continue
                for part, actual in actuals(connection.value):
                    located = locate(node, actual, child.scope)
                    if located is None or located[1] is not place.signal or located[0] is not node:
                        continue
                    select = _fixed(located[2], child.scope)
                    formal = part_text(part)
                    if select not in ("", place.select) or formal is None:
                        continue
                    signal = inner.body.signals.get(port.name)
                    if signal is None:
                        continue
                    rest = formal + (place.select if select == "" else "")
                    if not any(not one.initial for one in signal.drives) and not inner.children:
                        return f"{node.path}.{name}.{port.name}{rest}", False, None
                    return self._follow(_Place(inner, signal, rest, False), far + 1)
        return None

    def traced(self, node: Node, signal: Signal, select: str) -> Source:
        """The net that a signal, or a constant select of it, comes from, and the one it is gated from."""
        net, _, root = self._follow(_Place(node, signal, select, False), 0)
        return net, root

    def _named(self, place: _Place) -> str:
        return f"{place.node.path}.{place.signal.name}{place.select}"


def _uninverted(expr: Expr) -> tuple[Expr, bool]:
    inverted = False
    while True:
        match expr:
            case Unary(op="~" | "!" | "not", operand=operand):
                expr, inverted = operand, not inverted
            case Cast(value=value):
                expr = value
            case _:
                return expr, inverted


def _fixed(steps: tuple[SelectStep, ...], scope: Scope) -> str | None:
    """A select as text when it is constant (`[2]`), None when it is not."""
    text = ""
    for step in steps:
        if step.kind == "field":
            text += f".{step.name}"
            continue
        if step.kind != "index" or step.expr is None:
            return None
        value = scope.evaluate(step.expr)
        if not isinstance(value, Int):
            return None
        text += f"[{value.value}]"
    return text


def _may_drive(drive: Drive, select: str) -> bool:
    if not select or not drive.steps:
        return True
    return _fixed(drive.steps, drive.scope) in (select, None)


def _one_bit(signal: Signal, select: str) -> bool:
    if select:
        return True
    kind = signal.type
    return not isinstance(kind, Vector) or not kind.dimensions
