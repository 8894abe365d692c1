"""The tree of instances below each root."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from memlint.design.body import Body, Child, SelectStep, Signal
from memlint.design.elaborate import elaborate, inner_items
from memlint.design.library import Library
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.values import Value
from memlint.reading.facts.expressions import Expr, Member, Name
from memlint.reading.facts.items import Component, Instance
from memlint.text.source import Span

Located = tuple["Node", Signal, tuple[SelectStep, ...]]
# A deeper hierarchy is a unit that instantiates itself without an end.
DEEPEST = 100


@dataclass(eq=False, slots=True)
class Node:
    """One instance: its dotted path, its body, and the instance above that holds it."""

    path: str
    body: Body
    parent: Node | None
    child: Child | None
    children: dict[str, Node] = field(default_factory=dict)

    def above(self) -> Iterator[Node]:
        """This node and those that hold it, inmost first."""
        node: Node | None = self
        while node is not None:
            yield node
            node = node.parent


@dataclass(slots=True)
class Hierarchy:
    """All roots, the units missing from them, and every node in order of its path's declaration."""

    roots: list[Node] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)
    missing: dict[str, list[tuple[str, Span]]] = field(default_factory=dict)
    too_deep: list[tuple[str, Span]] = field(default_factory=list)


def roots_of(library: Library) -> tuple[str, ...]:
    """The units nobody instantiates, in the order they were read; interfaces and primitives are none."""
    used: set[str] = set()
    every = [*library.units.values(), *(one for many in library.architectures.values() for one in many)]
    for unit in every:
        for item in unit.items:
            for one in (item, *inner_items(item)):
                if isinstance(one, Instance):
                    used.add(one.unit if unit.language != "vhdl" else one.unit.lower())
                elif isinstance(one, Component):
                    used.add(one.name)
    lowered = {name.lower() for name in used}
    found = []
    for name, unit in library.units.items():
        if unit.kind not in ("module", "entity", "program"):
            continue
        if name in used or (unit.language == "vhdl" and name in lowered):
            continue
        found.append(name)
    return tuple(found)


def build(library: Library, tops: Iterable[str], parameters: Mapping[str, Value]) -> Hierarchy:
    """The hierarchy below the named units, whose parameters take the given values where they have them."""
    hierarchy = Hierarchy()
    bodies: dict[object, Body] = {}
    for name in tops:
        unit = library.find(name, vhdl=True)
        if unit is None:
            continue
        lowered = {one.name.lower(): one.name for one in unit.parameters if not one.local}
        own = tuple(
            sorted(
                (lowered[key.lower()], value) for key, value in parameters.items() if key.lower() in lowered
            )
        )
        body = elaborate(unit, library.architecture(unit), own, library)
        root = Node(unit.name, body, None, None)
        hierarchy.roots.append(root)
        _grow(root, hierarchy, library, bodies)
    return hierarchy


def _grow(root: Node, hierarchy: Hierarchy, library: Library, bodies: dict[object, Body]) -> None:
    # A stack rather than recursion; children are pushed backwards so that nodes come in source order.
    stack: list[tuple[Node, int]] = [(root, 0)]
    while stack:
        node, depth = stack.pop()
        hierarchy.nodes.append(node)
        below: list[tuple[Node, int]] = []
        for child in node.body.children:
            path = f"{node.path}.{child.name}"
            if child.unit is None:
                hierarchy.missing.setdefault(child.instance.unit, []).append((path, child.instance.span))
                continue
            if depth >= DEEPEST:
                hierarchy.too_deep.append((path, child.instance.span))
                continue
            inner = Node(path, _body(child, library, bodies), node, child)
            node.children[child.name] = inner
            below.append((inner, depth + 1))
        stack.extend(reversed(below))


def _body(child: Child, library: Library, bodies: dict[object, Body]) -> Body:
    unit = child.unit
    assert unit is not None
    architecture = child.architecture
    key = (id(unit), id(architecture), child.parameters, child.deep, child.port_types)
    try:
        known = bodies.get(key)
    except TypeError:
        # A parameter value that cannot be hashed: the body is not shared.
        return elaborate(unit, architecture, child.parameters, library, child.deep, child.port_types)
    if known is None:
        known = elaborate(unit, architecture, child.parameters, library, child.deep, child.port_types)
        bodies[key] = known
    return known


def locate(node: Node, expr: Expr, scope: Scope) -> Located | None:
    """The signal an expression names, in this node or, through an interface or a path, in another."""
    found = resolve(expr, scope, node.body)
    if found is not None:
        signal, steps = found
        if steps and steps[0].kind == "field" and signal.name in node.body.interface_ports:
            inner = interface_node(node, signal.name)
            if inner is not None:
                member = inner.body.signals.get(steps[0].name)
                if member is not None:
                    return inner, member, steps[1:]
        return node, signal, steps
    return _through_instances(node, expr)


def _through_instances(node: Node, expr: Expr) -> Located | None:
    """`u_a.u_b.name`: a signal of an instance below (an interface instance, a hierarchical name)."""
    if not isinstance(expr, Member):
        return None
    path = _dotted(expr.base)
    if path is None:
        return None
    inner = node.children.get(path)
    at = node
    if inner is None:
        for part in path.split("."):
            found = at.children.get(part)
            if found is None:
                return None
            at = found
        inner = at
    signal = inner.body.signals.get(expr.name)
    return (inner, signal, ()) if signal is not None else None


def _dotted(expr: Expr) -> str | None:
    match expr:
        case Name(name=name):
            return name
        case Member(base=base, name=name):
            inner = _dotted(base)
            return None if inner is None else f"{inner}.{name}"
        case _:
            return None


def interface_node(node: Node, port: str) -> Node | None:
    """The interface instance that an interface port is connected to."""
    if node.child is None or node.parent is None:
        return None
    connection = node.child.connections.get(port)
    if connection is None or connection.value is None:
        return None
    value = connection.value
    if isinstance(value, Member):
        # `bus.slave`: a modport is chosen where the port is connected.
        path = _dotted(value)
        if path is not None and path in node.parent.children:
            return node.parent.children[path]
        value = value.base
    path = _dotted(value)
    if path is None:
        return None
    if path in node.parent.children:
        return node.parent.children[path]
    if path in node.parent.body.interface_ports:
        return interface_node(node.parent, path)
    return None
