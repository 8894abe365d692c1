"""Instances, and the signals that expressions name in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from memlint.design.body import Body, Child, SelectStep, Signal
from memlint.design.scope import Scope
from memlint.design.signals import dotted_path, resolve
from memlint.design.types import Array, Range
from memlint.design.values import Int
from memlint.reading.facts.expressions import Expr, Index, Member, Slice
from memlint.reading.facts.items import Unit

Located = tuple["Node", Signal, tuple[SelectStep, ...]]


@dataclass(slots=True)
class Watch:
    """Notes which nodes are looked at, while somebody wants to know."""

    seen: set[Node] | None = None


class Node:
    """One instance: its dotted path, its body, and the instance above that holds it.

    What an instance is may change from one state of the project to the next; `watch` notes who looks.
    `below` are the instances in it in the order of the body.
    """

    __slots__ = ("_body", "_child", "_children", "below", "parent", "path", "watch")

    def __init__(self, path: str, body: Body, parent: Node | None, child: Child | None, watch: Watch) -> None:
        self.path = path
        self.parent = parent
        self.below: list[Node] = []
        self.watch = watch
        self._body = body
        self._child = child
        self._children: dict[str, Node] = {}

    @property
    def body(self) -> Body:
        if self.watch.seen is not None:
            self.watch.seen.add(self)
        body = self._body
        if body.again is not None:
            body.again()
        return body

    @property
    def child(self) -> Child | None:
        """How the instance above has it."""
        if self.watch.seen is not None:
            self.watch.seen.add(self)
        if self.parent is not None and self.parent._body.again is not None:
            self.parent._body.again()
        return self._child

    @property
    def unit(self) -> Unit:
        """What it is an instance of."""
        if self.watch.seen is not None:
            self.watch.seen.add(self)
        return self._body.unit

    @property
    def last_body(self) -> Body:
        """The very object that `body` gives, maybe with places of a text before: to tell it from others."""
        return self._body

    @property
    def last_child(self) -> Child | None:
        """The same of `child`."""
        return self._child

    @property
    def children(self) -> dict[str, Node]:
        """The instances in it, by their names in the body."""
        if self.watch.seen is not None:
            self.watch.seen.add(self)
        return self._children

    def become(self, body: Body, child: Child | None) -> None:
        """The instance is of another body now, or is another child."""
        self._body, self._child = body, child

    def hold(self, below: list[Node]) -> None:
        """These are the instances in it."""
        self.below = below
        self._children = {one._child.name: one for one in below if one._child is not None}

    def above(self) -> Iterator[Node]:
        """This node and those that hold it, inmost first."""
        node: Node | None = self
        while node is not None:
            yield node
            node = node.parent


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
