"""Accesses of an array that stand in other units: through ports, interfaces and hierarchical names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from memlint.design.array_shapes import array_shapes
from memlint.design.arrays import Far, is_dynamic
from memlint.design.body import Body, SelectStep, Signal
from memlint.design.far_names import may_name_elsewhere
from memlint.design.hierarchy import Node, locate
from memlint.design.interface_views import InterfaceViews
from memlint.design.parts import actuals
from memlint.design.scope import Scope
from memlint.design.uses import Use, uses
from memlint.design.values import Int
from memlint.reading.facts.expressions import Number

Steps = tuple[SelectStep, ...]
Target = tuple[Node, Signal]
_Seen = set[tuple[int, int]]


class Outside:
    """Finds, for the arrays of a node, who reads and writes them from elsewhere in the hierarchy."""

    def __init__(self, named: Mapping[Target, Sequence[Far]], views: InterfaceViews) -> None:
        self._named = named
        self._views = views
        self._candidates: dict[int, list[Signal]] = {}

    def of(self, node: Node) -> dict[Signal, list[Far]]:
        """Accesses in other units of the arrays that a node declares."""
        found: dict[Signal, list[Far]] = {}
        for signal in self._arrays(node.body):
            far = list(self._accesses(node, signal, {(id(node), id(signal))}))
            if far:
                found[signal] = far
        return found

    def stored_above(self, node: Node, signal: Signal, fields: str) -> str | None:
        """Why an array that is an input or ref port, or `fields` of one, is no memory of this node."""
        if signal.direction not in ("input", "ref"):
            return None
        kind = "an input port" if signal.direction == "input" else "a port by reference"
        at, here, select = node, signal, fields
        while here.direction in ("input", "ref"):
            if at.parent is None or at.child is None:
                return f"it is {kind}: what stores it stands outside the design"
            connection = at.child.connections.get(here.item.name)
            value = connection.value if connection is not None else None
            located = locate(at.parent, value, at.child.scope) if value is not None else None
            if located is None:
                return f"it is {kind}: what it is connected to is no array by name"
            steps = _constant(located[2], at.child.scope)
            at, here = located[0], located[1]
            select = f"{_shown(steps)}{select}" if steps is not None else "[…]"
        return f"it is {kind}: the array is `{at.path}.{here.name}{select}`"

    def _arrays(self, body: Body) -> list[Signal]:
        known = self._candidates.get(id(body))
        if known is None:
            ports = body.interface_ports
            known = [one for one in body.signals.values() if one.name not in ports and array_shapes(one)]
            self._candidates[id(body)] = known
        return known

    def _accesses(self, node: Node, signal: Signal, seen: _Seen) -> Iterator[Far]:
        """All but those in the node itself."""
        for use in uses(node.body).get(signal, ()):
            yield from self._down(node, use, use.steps, seen)
        for far in self._direct(node, signal):
            yield far
            if isinstance(far.access, Use):
                yield from self._down(far.node, far.access, far.steps, seen)
        if signal.direction in ("output", "buffer", "inout"):
            yield from self._up(node, signal, seen)

    def _direct(self, node: Node, signal: Signal) -> Iterator[Far]:
        """Those made through an interface, and by a hierarchical name."""
        if node.body.unit.kind == "interface":
            for at, drive in self._views.drives(node, signal):
                if drive.signal is not signal:
                    yield Far(at, _behind_member(drive.steps), drive)
            for at, use in self._views.uses(node, signal):
                if use.signal is not signal:
                    yield Far(at, _behind_member(use.steps), use)
        yield from self._named.get((node, signal), ())

    def _down(self, node: Node, use: Use, steps: Steps, seen: _Seen) -> Iterator[Far]:
        """Accesses inside an instance that the array, or a fixed part of it, is connected to."""
        if use.kind != "connection" or use.child is None or use.logic or use.others:
            return
        value = use.child.connections[use.port].value
        inner = node.children.get(use.child.name)
        port = inner.body.signals.get(use.port) if inner is not None else None
        if inner is None or port is None or value is None or value.span != use.span:
            return
        before = _constant(steps, use.scope)
        if before is None or (id(inner), id(port)) in seen or port not in self._arrays(inner.body):
            return
        seen.add((id(inner), id(port)))
        for one in uses(inner.body).get(port, ()):
            yield Far(inner, (*before, *one.steps), one)
        for drive in port.drives if port.direction in ("ref", "inout") else ():
            yield Far(inner, (*before, *drive.steps), drive)
        for far in self._accesses(inner, port, seen):
            yield replace(far, steps=(*before, *far.steps))

    def _up(self, node: Node, signal: Signal, seen: _Seen) -> Iterator[Far]:
        """Reads of what an output port is connected to."""
        if node.parent is None or node.child is None:
            return
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return
        for part, actual in actuals(connection.value):
            located = locate(node.parent, actual, node.child.scope) if part is None else None
            if located is None or (id(located[0]), id(located[1])) in seen:
                continue
            at, outer, steps = located
            select = _constant(steps, node.child.scope)
            if select is None:
                continue
            seen.add((id(at), id(outer)))
            own = [Far(at, use.steps, use) for use in uses(at.body).get(outer, ())]
            for far in (*own, *self._accesses(at, outer, seen)):
                if isinstance(far.access, Use):
                    yield from _within(far, far.access, select)


def named_from(node: Node) -> Iterator[tuple[Target, Far]]:
    """The signals of other nodes that a node names by their paths, and its accesses of them."""
    if node.parent is None and not node.body.unit.ports:
        # A test bench looks into what it tests.
        return
    body = node.body
    if not body.elsewhere and body.uses is None and not may_name_elsewhere(body):
        return
    uses(body)
    for expr, access in body.elsewhere:
        located = locate(node, expr, access.scope)
        if located is not None and located[0] is not node:
            at, signal, steps = located
            yield (at, signal), Far(node, steps, access)


def _within(far: Far, use: Use, select: Steps) -> Iterator[Far]:
    """A read of the part of an array that `select` chooses, seen from that part."""
    if len(far.steps) < len(select):
        return
    for step, wanted in zip(far.steps, select, strict=False):
        if step.kind != wanted.kind or step.name != wanted.name:
            return
        if step.expr is None or wanted.expr is None:
            continue
        place, fixed = use.scope.evaluate(step.expr), use.scope.evaluate(wanted.expr)
        if isinstance(place, Int):
            if isinstance(fixed, Int) and place.value != fixed.value:
                return
        elif is_dynamic(step.expr, use.scope, use.loops, far.node.body) and not use.logic:
            use = replace(use, logic="a multiplexer", logic_span=use.span)
    yield Far(far.node, far.steps[len(select) :], use)


def _behind_member(steps: Steps) -> Steps:
    """The steps into `bus.mem` or `bus[0].mem`."""
    return steps[2:] if steps and steps[0].kind == "index" else steps[1:]


def _constant(steps: Steps, scope: Scope) -> Steps | None:
    """The same steps with their indices worked out, None where one is not constant or is a slice."""
    found: list[SelectStep] = []
    for step in steps:
        if step.kind == "field":
            found.append(step)
            continue
        value = scope.evaluate(step.expr) if step.kind == "index" and step.expr is not None else None
        if not isinstance(value, Int) or step.expr is None:
            return None
        found.append(SelectStep("index", Number(value.value, None, True, span=step.expr.span)))
    return tuple(found)


def _shown(steps: Steps) -> str:
    """Constant steps as text."""
    text = ""
    for step in steps:
        if step.kind == "field":
            text += f".{step.name}"
        elif isinstance(step.expr, Number):
            text += f"[{step.expr.value}]"
    return text


