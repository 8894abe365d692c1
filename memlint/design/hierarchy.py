"""The tree of instances below each root."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial

from memlint.design.body import Body, Child, SelectStep, Signal
from memlint.design.elaborate import elaborate, inner_items
from memlint.design.library import Library
from memlint.design.scope import Scope
from memlint.design.signals import dotted_path, resolve
from memlint.design.types import Array, Range
from memlint.design.values import Int, Value
from memlint.reading.facts.expressions import Expr, Index, Member, Slice
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
    used: set[int] = set()
    architectures = (one for many in library.architectures.values() for one in many)
    for unit in (*library.every, *architectures):
        vhdl, home = unit.language == "vhdl", library.home(unit)
        for item in unit.items:
            for one in (item, *inner_items(item)):
                if isinstance(one, Instance):
                    used.add(id(library.find(one.unit, vhdl, one.library, home)))
                elif isinstance(one, Component):
                    used.add(id(library.find(one.name, vhdl, "", home)))
    found = []
    for unit in library.every:
        if unit.kind not in ("module", "entity", "program") or id(unit) in used:
            continue
        plain = library.find(unit.name, vhdl=True) is unit
        found.append(unit.name if plain else f"{library.home(unit)}.{unit.name}")
    return tuple(found)


def build(library: Library, tops: Iterable[str], parameters: Mapping[str, Value]) -> Hierarchy:
    """The hierarchy below the named units, whose parameters take the given values where they have them."""
    hierarchy = Hierarchy()
    bodies: dict[object, Body] = {}
    for name in tops:
        unit = library.top(name)
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
            body = _body(child, library, bodies) if depth < DEEPEST else None
            # A body within itself has no end. Followed to the limit, several at each level would be too many.
            if body is None or any(above.body is body for above in node.above()):
                hierarchy.too_deep.append((path, child.instance.span))
                continue
            inner = Node(path, body, node, child)
            node.children[child.name] = inner
            below.append((inner, depth + 1))
        stack.extend(reversed(below))


def _body(child: Child, library: Library, bodies: dict[object, Body]) -> Body:
    unit = child.unit
    assert unit is not None
    architecture = child.architecture
    interfaces = tuple((name, id(scope)) for name, scope in child.interfaces)
    key = (id(unit), id(architecture), child.parameters, child.deep, child.port_types, interfaces)
    made = partial(
        elaborate,
        unit,
        architecture,
        child.parameters,
        library,
        child.deep,
        child.port_types,
        child.interfaces,
    )
    try:
        known = bodies.get(key)
    except TypeError:
        # A parameter value that cannot be hashed: the body is not shared.
        return made()
    if known is None:
        known = bodies[key] = made()
    return known


def locate(node: Node, expr: Expr, scope: Scope) -> Located | None:
    """The signal an expression names, in this node or, through an interface or a path, in another."""
    found = resolve(expr, scope, node.body)
    if found is not None:
        signal, steps = found
        if signal.name in node.body.interface_ports or signal.name in node.body.interface_instances:
            inner = member_of(node, signal, steps, scope)
            if inner is not None:
                return inner
        return node, signal, steps
    return _through_instances(node, expr, scope)


def member_of(
    node: Node, signal: Signal, steps: tuple[SelectStep, ...], scope: Scope
) -> Located | None:
    """`bus.name` or `bus[i].name`: a signal of an interface instance, or of the one behind a port."""
    select = ""
    if steps and steps[0].kind == "index" and steps[0].expr is not None:
        place = scope.evaluate(steps[0].expr)
        if not isinstance(place, Int):
            return None
        select, steps = f"[{place.value}]", steps[1:]
    if not steps or steps[0].kind != "field":
        return None
    inner = node.children.get(signal.name + select)
    if signal.name in node.body.interface_ports:
        inner = interface_node(node, signal.name, select)
    member = inner.body.signals.get(steps[0].name) if inner is not None else None
    return (inner, member, steps[1:]) if inner is not None and member is not None else None


def _through_instances(node: Node, expr: Expr, scope: Scope) -> Located | None:
    """`u_a.u_b.name`: a signal of an instance below or beside (an interface, a hierarchical name)."""
    steps: list[SelectStep] = []
    while True:
        path = dotted_path(expr, scope)
        if path is not None and "." in path:
            found = _below(node, path, scope) or _above(node, path)
            if found is not None:
                inner, name = found
                signal = inner.body.signals.get(name)
                if signal is not None:
                    return inner, signal, tuple(reversed(steps))
        match expr:
            case Index(base=base, index=index):
                steps.append(SelectStep("index", index))
            case Slice(base=base, left=left, right=right, kind=kind):
                steps.append(SelectStep("slice", left, right, kind))
            case Member(base=base, name=name):
                steps.append(SelectStep("field", None, name=name))
            case _:
                return None
        expr = base


def _below(node: Node, path: str, scope: Scope) -> tuple[Node, str] | None:
    """The node a path leads to from a scope of `node`, and the name left over inside it."""
    for prefix in _prefixes(node, scope):
        inner, name = _descend(node, prefix + path)
        if inner is not node:
            return inner, name
    return None


def _above(node: Node, path: str) -> tuple[Node, str] | None:
    """The same for a path that starts at an instance that holds `node` (IEEE Std 1800-2017, 23.8)."""
    first, _, rest = path.partition(".")
    for at in node.above():
        own = at.path.rpartition(".")[2]
        if first in (own, at.body.unit.name):
            return _descend(at, rest)
        inner, name = _descend(at, path)
        if inner is not at:
            return inner, name
    return None


def _descend(node: Node, path: str) -> tuple[Node, str]:
    name = ""
    for part in path.split("."):
        name = f"{name}.{part}" if name else part
        inner = node.children.get(name)
        if inner is not None:
            node, name = inner, ""
    return node, name


def _prefixes(node: Node, scope: Scope) -> Iterator[str]:
    """The local paths of the blocks around a scope, inmost first, each with its dot."""
    _, _, inside = scope.name.partition(".")
    while inside:
        yield f"{inside}."
        inside = inside.rpartition(".")[0]
    yield ""


def interface_node(node: Node, port: str, select: str = "") -> Node | None:
    """The interface instance that an interface port, or one element of an array of them, is connected to."""
    if node.child is None or node.parent is None:
        return None
    connection = node.child.connections.get(port)
    if connection is None or connection.value is None:
        return None
    scope = node.child.scope
    for value in (connection.value, getattr(connection.value, "base", None)):
        # `bus.slave`: a modport is chosen where the port is connected.
        path = dotted_path(value, scope) if value is not None else None
        if path is None:
            continue
        found = _instance(node.parent, path + select, scope)
        if found is None and select:
            found = _nth(node.parent, path, scope, _place(node, port, select))
        if found is not None:
            return found
    return None


def _instance(node: Node, path: str, scope: Scope) -> Node | None:
    found = _below(node, path, scope)
    if found is not None and not found[1]:
        return found[0]
    name, bracket, rest = path.partition("[")
    if name in node.body.interface_ports:
        return interface_node(node, name, bracket + rest)
    return None


def _place(node: Node, port: str, select: str) -> int:
    """Which element of its own port an index chooses, counted from the left."""
    item = node.body.interface_ports[port]
    bound = node.body.scope.resolve(item.type, item.dimensions)
    span = bound.range if isinstance(bound, Array) else None
    index = int(select[1:-1])
    place = span.offset(index) if isinstance(span, Range) else None
    return index if place is None else place


def _nth(node: Node, path: str, scope: Scope, place: int) -> Node | None:
    """The element of an array of instances at a place: ports are connected from left to left."""
    for prefix in _prefixes(node, scope):
        start = f"{prefix}{path}["
        every = [inner for name, inner in node.children.items() if name.startswith(start)]
        if place < len(every):
            return every[place]
    return None
