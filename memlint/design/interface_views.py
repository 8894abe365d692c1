"""Uses and drives of an interface's signals, which stand in the units that it connects."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from memlint.design.body import Drive, SelectStep, Signal
from memlint.design.hierarchy import Node, interface_node
from memlint.design.scope import Scope
from memlint.design.types import Array, Range
from memlint.design.uses import Use, uses
from memlint.design.values import Int

# A node that sees an interface, the port or instance it sees it by, and which element of an array it is.
View = tuple[Node, Signal, int | None]


class InterfaceViews:
    """Knows, for each interface instance of a hierarchy, who sees it by what name."""

    def __init__(self, known: Mapping[Node, Sequence[View]]) -> None:
        self._known = known

    def uses(self, node: Node, signal: Signal) -> Iterator[tuple[Node, Use]]:
        """Every use of a signal of a node; of an interface's signal also those made through ports."""
        for use in uses(node.body).get(signal, ()):
            yield node, use
        for at, seen_as, index in self._views(node):
            for use in uses(at.body).get(seen_as, ()):
                if _is_member(use.steps, use.scope, index, signal.item.name):
                    yield at, use

    def drives(self, node: Node, signal: Signal) -> Iterator[tuple[Node, Drive]]:
        """Every drive of a signal of a node, likewise."""
        for drive in signal.drives:
            yield node, drive
        for at, seen_as, index in self._views(node):
            for drive in seen_as.drives:
                if _is_member(drive.steps, drive.scope, index, signal.item.name):
                    yield at, drive

    def _views(self, node: Node) -> Sequence[View]:
        return self._known.get(node, ()) if node.body.unit.kind == "interface" else ()


def views_from(node: Node) -> Iterator[tuple[Node, View]]:
    """The interface instances that a node sees, and how."""
    for name, item in node.body.interface_ports.items():
        signal = node.body.signals[name]
        type = node.body.scope.resolve(item.type, item.dimensions) if item.dimensions else None
        indices: tuple[int | None, ...] = (None,)
        if isinstance(type, Array) and isinstance(type.range, Range):
            indices = tuple(type.range.indices())
        for index in indices:
            inner = interface_node(node, name, "" if index is None else f"[{index}]")
            if inner is not None:
                yield inner, (node, signal, index)
    for path, signal in node.body.interface_instances.items():
        inner = node.children.get(path)
        if inner is not None:
            yield inner, (node, signal, None)
            continue
        for name, inner in node.children.items():
            if name.startswith(f"{path}[") and name[len(path) + 1 : -1].lstrip("-").isdecimal():
                yield inner, (node, signal, int(name[len(path) + 1 : -1]))


def _is_member(steps: tuple[SelectStep, ...], scope: Scope, index: int | None, name: str) -> bool:
    if index is not None:
        if not steps or steps[0].kind != "index" or steps[0].expr is None:
            return False
        place = scope.evaluate(steps[0].expr)
        if not isinstance(place, Int) or place.value != index:
            return False
        steps = steps[1:]
    return bool(steps) and steps[0].kind == "field" and steps[0].name == name
