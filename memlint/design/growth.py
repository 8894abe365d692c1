"""The tree of instances, grown from the roots and kept in step with the bodies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from memlint.design.bodies import Bodies
from memlint.design.body import Body, Child
from memlint.design.hierarchy import Node, Watch
from memlint.design.library import Parameters
from memlint.design.limits import MOST_INSTANCES, limit_met
from memlint.design.shift import Shift
from memlint.design.values import Value
from memlint.reading.facts.items import Problem, Unit
from memlint.text.source import Span

# Bodies that no longer hold, and those whose unit moved.
Gone = tuple[Sequence[Body], Sequence[Body]]
# A deeper hierarchy is a unit that instantiates itself without an end.
DEEPEST = 100


class _NotInPlace(Exception):
    """The tree has to be grown anew: what changed may concern more of it than the nodes that changed."""


@dataclass(slots=True)
class Moved:
    """Nodes that are not what they were (new ones too), the others of bodies whose unit moved in its file,
    nodes that are gone, and whether any came, went or changed places. `bodies` no longer are what they were;
    None: none is."""

    changed: set[Node] = field(default_factory=set)
    shifted: set[Node] = field(default_factory=set)
    gone: set[Node] = field(default_factory=set)
    places: bool = False
    bodies: Sequence[Body] | None = None


class Hierarchy:
    """All roots, the units missing from them, and every node in order of its path's declaration."""

    def __init__(self, bodies: Bodies, watch: Watch) -> None:
        self.roots: list[Node] = []
        self.nodes: tuple[Node, ...] = ()
        self.too_deep: list[tuple[str, Span]] = []
        self.limits: list[Problem] = []
        self._bodies = bodies
        self._watch = watch
        self._tops: tuple[str, ...] = ()
        self._missing: dict[Node, list[tuple[str, str, Span]]] = {}
        self._of_body: dict[int, dict[Node, None]] = {}

    @property
    def missing(self) -> dict[str, list[tuple[str, Span]]]:
        """By the name of a unit that is not there, its instances' paths and places."""
        found: dict[str, list[tuple[str, Span]]] = {}
        for node in self.nodes if self._missing else ():
            for name, path, span in self._missing.get(node, ()):
                found.setdefault(name, []).append((path, span))
        return found

    @property
    def body_count(self) -> int:
        """How many bodies there are."""
        return len(self._of_body)

    @property
    def bodies(self) -> list[Body]:
        """The bodies that nodes have."""
        return [next(iter(nodes)).last_body for nodes in self._of_body.values()]

    def update(
        self, tops: Sequence[str], parameters: Mapping[str, Value], gone: Gone | None, shift: Shift
    ) -> Moved:
        """The tree below the named units, whose parameters take the given values where they have them.

        `gone` are bodies that no longer hold, and those whose unit was moved by `shift`; None: none of
        those before holds.
        """
        try:
            if gone is None or self.too_deep or self.limits or len(set(tops)) != len(tops):
                raise _NotInPlace
            # First: what is missing from a node that changes is noted with the places of after.
            shifted = self._shift(gone[1], shift)
            moved = self._in_place(tuple(tops), parameters, gone[0])
            moved.shifted = shifted - moved.changed - moved.gone
        except _NotInPlace:
            moved = self._anew(tuple(tops), parameters)
        while wrong := self._made_for_another(moved):
            for body in wrong:
                self._bodies.forget(body)
            again = self._anew(tuple(tops), parameters)
            moved = Moved(again.changed, gone=again.gone | moved.gone, places=True)
        if gone is not None:
            moved.bodies = (*gone[0], *gone[1])
        return moved

    def _shift(self, bodies: Iterable[Body], shift: Shift) -> set[Node]:
        """The nodes of some bodies; what is missing from them is where it is now."""
        nodes = {node for body in bodies for node in self._of_body.get(id(body), ())}
        for node in self._missing.keys() & nodes:
            self._missing[node] = [(unit, path, shift.span(span)) for unit, path, span in self._missing[node]]
        return nodes

    def _anew(self, tops: tuple[str, ...], parameters: Mapping[str, Value]) -> Moved:
        moved = Moved(gone=set(self.nodes), places=True)
        self._tops, self.roots, self.too_deep, self.limits = tops, [], [], []
        self._missing.clear()
        self._of_body.clear()
        nodes: list[Node] = []
        for name in tops:
            unit = self._bodies.library.top(name)
            if unit is not None:
                root = self._root(unit, parameters)
                self.roots.append(root)
                self._grow(root, nodes)
        self.nodes = tuple(nodes)
        moved.changed.update(nodes)
        return moved

    def _root(self, unit: Unit, parameters: Mapping[str, Value]) -> Node:
        return Node(unit.name, self._bodies.of_root(unit, _own(unit, parameters)), None, None, self._watch)

    def _grow(self, root: Node, nodes: list[Node]) -> None:
        # A stack rather than recursion; children are pushed backwards so that nodes come in source order.
        stack: list[tuple[Node, int]] = [(root, 0)]
        while stack:
            node, depth = stack.pop()
            nodes.append(node)
            self._of_body.setdefault(id(node.last_body), {})[node] = None
            if node.last_body.children and len(nodes) + len(stack) > MOST_INSTANCES:
                self.limits.append(_too_many(node))
                return
            below: list[Node] = []
            for child in node.last_body.children:
                if child.unit is None:
                    self._miss(node, child)
                    continue
                body = self._bodies.of_child(child) if depth < DEEPEST else None
                # A body within itself has no end. Followed to the limit, several at each level would be
                # too many.
                if body is None or any(above.last_body is body for above in node.above()):
                    self.too_deep.append((f"{node.path}.{child.name}", _place(node, child)))
                    continue
                below.append(Node(f"{node.path}.{child.name}", body, node, child, self._watch))
            node.hold(below)
            stack.extend((one, depth + 1) for one in reversed(below))

    def _miss(self, node: Node, child: Child) -> None:
        found = (child.instance.unit, f"{node.path}.{child.name}", _place(node, child))
        self._missing.setdefault(node, []).append(found)

    # --- in place ---

    def _in_place(
        self, tops: tuple[str, ...], parameters: Mapping[str, Value], gone: Iterable[Body]
    ) -> Moved:
        moved = Moved()
        stale = [node for body in gone for node in self._of_body.get(id(body), ())]
        self._roots_in_place(tops, parameters, moved)
        # From the root down: what is below a node that changed is looked at with it.
        for node in sorted(stale, key=_depth):
            if node in moved.gone or self._bodies.holds(node.last_body) or node.last_child is None:
                continue
            self._become(node, self._bodies.of_child(node.last_child), node.last_child, moved)
        if moved.places:
            self.nodes = tuple(_in_order(self.roots))
            if len(self.nodes) > MOST_INSTANCES:
                raise _NotInPlace
        return moved

    def _roots_in_place(
        self, tops: tuple[str, ...], parameters: Mapping[str, Value], moved: Moved
    ) -> None:
        library = self._bodies.library
        known = {root.path: root for root in self.roots}
        roots: list[Node] = []
        for name in tops:
            unit = library.top(name)
            if unit is None:
                continue
            root = known.pop(unit.name, None)
            if root is None:
                root = self._root(unit, parameters)
                self._enter(root, moved)
            elif root.last_body is not (body := self._bodies.of_root(unit, _own(unit, parameters))):
                self._become(root, body, None, moved)
            roots.append(root)
        if len({root.path for root in roots}) != len(roots):
            raise _NotInPlace
        for root in known.values():
            self._remove(root, moved)
        if list(map(id, roots)) != list(map(id, self.roots)):
            self.roots, moved.places = roots, True

    def _enter(self, node: Node, moved: Moved) -> None:
        """A new node with all that is below it."""
        moved.changed.add(node)
        moved.places = True
        self._of_body.setdefault(id(node.last_body), {})[node] = None
        self._hold(node, moved)

    def _become(self, node: Node, body: Body, child: Child | None, moved: Moved) -> None:
        """A node is of another body, or another child, from now on."""
        if any(above.last_body is body for above in node.above() if above is not node):
            raise _NotInPlace
        same = node.last_body is body
        if not same:
            if body.children and any(node in other.above() for other in self._of_body.get(id(body), ())):
                raise _NotInPlace
            self._leave(node)
            self._of_body.setdefault(id(body), {})[node] = None
            # The order of the nodes is told with the names of their units.
            moved.places |= node.last_body.unit.name != body.unit.name
        node.become(body, child)
        moved.changed.add(node)
        if not same:
            self._hold(node, moved)

    def _hold(self, node: Node, moved: Moved) -> None:
        """Let a node hold the children of its body."""
        before = {one.last_child.name: one for one in node.below if one.last_child is not None}
        depth = _depth(node)
        below: list[Node] = []
        self._missing.pop(node, None)
        for child in node.last_body.children:
            if child.unit is None:
                self._miss(node, child)
                continue
            one = before.pop(child.name, None)
            if one is None or one.last_child is not child or not self._bodies.holds(one.last_body):
                body = self._bodies.of_child(child)
                if depth >= DEEPEST or any(above.last_body is body for above in node.above()):
                    raise _NotInPlace
                if one is None:
                    one = Node(f"{node.path}.{child.name}", body, node, child, self._watch)
                    self._enter(one, moved)
                else:
                    self._become(one, body, child, moved)
            below.append(one)
        if len({one.path for one in below}) != len(below):
            raise _NotInPlace
        for one in before.values():
            self._remove(one, moved)
        if list(map(id, below)) != list(map(id, node.below)):
            moved.places = True
        node.hold(below)

    def _remove(self, node: Node, moved: Moved) -> None:
        moved.places = True
        for one in _in_order([node]):
            moved.gone.add(one)
            moved.changed.discard(one)
            self._leave(one)
            self._missing.pop(one, None)

    def _leave(self, node: Node) -> None:
        nodes = self._of_body[id(node.last_body)]
        del nodes[node]
        if not nodes:
            del self._of_body[id(node.last_body)]

    def _made_for_another(self, moved: Moved) -> list[Body]:
        """Shared bodies that would be others if made for the first node that has them.

        Values may be equal and yet of other types, or unknown for another reason.
        """
        special = self._bodies.special
        if not special or not (moved.changed or moved.gone):
            return []
        wrong: list[Body] = []
        seen: set[int] = set()
        for node in self.nodes:
            for one in node.below:
                at = id(one.last_body)
                if at in special and at not in seen and one.last_child is not None:
                    seen.add(at)
                    if not self._bodies.is_made_for(one.last_body, one.last_child):
                        wrong.append(one.last_body)
        return wrong


def _own(unit: Unit, parameters: Mapping[str, Value]) -> Parameters:
    lowered = {one.name.lower(): one.name for one in unit.parameters if not one.local}
    return tuple(
        sorted((lowered[key.lower()], value) for key, value in parameters.items() if key.lower() in lowered)
    )


def _place(node: Node, child: Child) -> Span:
    """Where an instance in a node is now: a body that was to be made again is."""
    again = node.last_body.again
    if again is not None:
        again()
    return child.instance.span


def _depth(node: Node) -> int:
    return sum(1 for _ in node.above())


def _in_order(roots: Iterable[Node]) -> Iterable[Node]:
    stack = list(roots)[::-1]
    while stack:
        node = stack.pop()
        yield node
        stack.extend(reversed(node.below))


def _too_many(node: Node) -> Problem:
    return limit_met(
        f"the design has more than {MOST_INSTANCES:,} instances: what lies below `{node.path}` "
        "and behind it was not read, and is in no total",
        _place(node, node.last_body.children[0]),
        "check the bounds of generate loops and arrays of instances",
        "or name a lower unit as `top`",
    )
