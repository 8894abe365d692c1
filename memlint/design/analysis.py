"""What the nodes of a hierarchy hold, worked out again for those that changed and those that look at them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from memlint.design.arrays import Far
from memlint.design.black_boxes import BlackBox, black_box_memories
from memlint.design.body import Body, Unread
from memlint.design.growth import Hierarchy, Moved
from memlint.design.hierarchy import Node, Watch
from memlint.design.intents import ConfiguredIntent, IntentBinder, Speaking, on_instances
from memlint.design.interface_views import InterfaceViews, View, views_from
from memlint.design.library import Library
from memlint.design.library_update import same_with_spans
from memlint.design.looked_at import LookedAt
from memlint.design.memories import Judged, memories_of
from memlint.design.memory import Memory, NotMemory
from memlint.design.outside import Outside, Target, named_from
from memlint.design.planned import planned_memories
from memlint.design.same_clocks import Source, equal_nets
from memlint.design.shift import Shift
from memlint.design.trace_clocks import ClockTracer
from memlint.reading.facts.items import Problem
from memlint.reading.intent.clauses import Budget, Intent

Key = TypeVar("Key")
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Holding:
    """What one node holds. `used` are the intents on instances that spoke for one of its memories; `hooks`
    those on the instances in it, each with its unit and an instance's path; `budgets` its unit's."""

    memories: tuple[Memory, ...]
    boxes: tuple[Memory, ...]
    planned: tuple[Memory, ...]
    others: tuple[NotMemory, ...]
    unread: tuple[tuple[Unread, tuple[str, ...]], ...]
    limits: tuple[Problem, ...]
    used: frozenset[Speaking]
    hooks: tuple[tuple[str, Intent, str], ...]
    budgets: tuple[Intent, ...]


class Analysis:
    """Knows what each node of one hierarchy holds."""

    def __init__(
        self,
        library: Library,
        watch: Watch,
        same_clocks: tuple[tuple[str, ...], ...],
        intents: Collection[ConfiguredIntent],
        attributes: dict[str, str],
        black_boxes: Collection[BlackBox],
    ) -> None:
        self._library = library
        self._same_clocks = same_clocks
        self._equal: Mapping[str, Source] = {}
        self._intents = tuple(intents)
        self._attributes = attributes
        self._black_boxes = tuple(black_boxes)
        self._views = _Shared[Node, View](LookedAt(watch))
        self._named = _Shared[Target, Far](LookedAt(watch))
        self._holdings: LookedAt[Holding] = LookedAt(watch)
        self._judged: dict[Body, Judged] = {}

    def update(
        self, hierarchy: Hierarchy, moved: Moved, packages_changed: bool, shift: Shift
    ) -> list[Holding]:
        """What the nodes hold, in their order. `packages_changed`: the sizes of black boxes may be others."""
        if moved.bodies is None:
            self._judged.clear()
        for body in moved.bodies or ():
            self._judged.pop(body, None)
        moved.changed.update(self._told_of(moved.shifted))
        moved.shifted -= moved.changed
        changed = set(moved.changed)
        if packages_changed and self._black_boxes:
            changed.update(node for node, one in self._holdings.answers.items() if one.boxes)
            changed -= moved.gone
        targets = self._views.update(hierarchy.nodes, moved, views_from)
        targets.update(node for node, _ in self._named.update(hierarchy.nodes, moved, named_from))
        changed.update(targets - moved.gone)
        views = InterfaceViews(self._views.known)
        if self._same_clocks:
            equal = equal_nets(self._same_clocks, hierarchy.nodes, ClockTracer(views=views).traced)
            if equal != self._equal:
                changed.update(hierarchy.nodes)
            self._equal = equal
        outside = Outside(self._named.known, views)
        again = self._holdings.update(
            changed, moved.gone, lambda node, before: self._holding(node, before, views, outside)
        )
        self._shift(moved, shift, {node for node, _ in again})
        if len(self._judged) > 2 * len(hierarchy.nodes) + 100:
            kept = {node.last_body for node in hierarchy.nodes}
            self._judged = {body: judged for body, judged in self._judged.items() if body in kept}
        return [self._holdings.answers[node] for node in hierarchy.nodes]

    def _told_of(self, shifted: set[Node]) -> set[Node]:
        """Of the nodes whose unit moved, those whose signals and accesses other nodes know."""
        if not shifted:
            return shifted
        targets = {node for node, _ in self._named.known}
        told = {
            node.last_body
            for node in shifted
            if node in targets or self._named.tells(node) or self._views.tells(node)
        }
        return {node for node in shifted if node.last_body in told}

    def _shift(self, moved: Moved, shift: Shift, but: Collection[Node]) -> None:
        """Tell places after the edit in all that units which moved have a part in: through a node of theirs,
        or through one that they hold, in how it is connected and set."""
        if not moved.shifted:
            return
        near = {*moved.shifted, *(below for node in moved.shifted for below in node.below)}
        answers = self._holdings.answers
        for node in near.union(self._holdings.lookers(near)).difference(but):
            answers[node] = shift.of(answers[node])

    def _holding(
        self, node: Node, before: Holding | None, views: InterfaceViews, outside: Outside
    ) -> Holding:
        # A tracer of its own: what another found on the way would not be known to be looked at from here.
        clocks = ClockTracer(self._equal, views)
        binder = IntentBinder(clocks, self._intents)
        found = memories_of(node, clocks, outside, binder, self._attributes, self._judged)
        boxes = black_box_memories((node,), self._black_boxes, self._library, clocks, binder)
        return Holding(
            _kept(found.memories, before.memories if before is not None else ()),
            _kept(boxes, before.boxes if before is not None else ()),
            _kept(planned_memories((node,), binder), before.planned if before is not None else ()),
            tuple(found.others),
            tuple(found.unread),
            tuple(node.body.limits),
            frozenset(binder.used),
            tuple(on_instances(node)),
            tuple(one for one in node.body.intents if any(isinstance(each, Budget) for each in one.clauses)),
        )


def _kept(found: Iterable[Memory], before: Iterable[Memory]) -> tuple[Memory, ...]:
    """The memories, each the object it was before where nothing about it is different: what the rules found
    about that holds for it."""
    known = {one.path: one for one in before}
    return tuple(
        was if (was := known.get(one.path)) is not None and same_with_spans(was, one) else one
        for one in found
    )


class _Shared(Generic[Key, Value]):
    """What nodes say of others: by what it is about, in the order of the nodes that say it."""

    def __init__(self, told: LookedAt[tuple[tuple[Key, Value], ...]]) -> None:
        self.known: dict[Key, list[Value]] = {}
        self._told = told

    def tells(self, node: Node) -> bool:
        """Whether a node says anything of others."""
        return bool(self._told.answers.get(node))

    def update(
        self,
        nodes: Iterable[Node],
        moved: Moved,
        tell: Callable[[Node], Iterator[tuple[Key, Value]]],
    ) -> set[Key]:
        """What is told otherwise than before, or in another order."""
        before = self._told.update(moved.changed, moved.gone, lambda node, _: tuple(tell(node)))
        answers = self._told.answers
        if not moved.places and not any(old or answers.get(node) for node, old in before):
            return set()
        known: dict[Key, list[Value]] = {}
        for node in nodes:
            for key, value in answers[node]:
                known.setdefault(key, []).append(value)
        was, self.known = self.known, known
        return {
            key
            for key in was.keys() | known.keys()
            if list(map(id, was.get(key, ()))) != list(map(id, known.get(key, ())))
        }
