"""Facts of all files → the elaborated design."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Generic, TypeVar

from memlint.design.analysis import Analysis, Holding
from memlint.design.black_boxes import BlackBox
from memlint.design.bodies import Bodies
from memlint.design.body import Body
from memlint.design.growth import Gone, Hierarchy
from memlint.design.hierarchy import Node, Watch
from memlint.design.intents import ConfiguredIntent, Speaking
from memlint.design.library_update import LibraryKeeper
from memlint.design.memory import Memory, NotMemory
from memlint.design.recursion import deep_recursion
from memlint.design.roots import Roots
from memlint.design.same_clocks import unknown_nets
from memlint.design.shift import Shift
from memlint.design.values import Int, Text, Value
from memlint.reading.facts.items import FileFacts, Problem
from memlint.reading.intent.clauses import Intent
from memlint.text.order import by_number
from memlint.text.source import Span

Listed = TypeVar("Listed", Memory, NotMemory)


@dataclass(frozen=True, slots=True)
class DesignOptions:
    """What a project says beside its sources (memlint.toml).

    `tops` empty: every unit nobody instantiates is a root. `parameters` are the top unit's, `assume`
    settles parameters HDL alone does not, `same_clocks` are nets declared equal, `black_boxes` describe
    memory units without source. `libraries` gives files their VHDL library; others are in `work`.
    """

    tops: tuple[str, ...] = ()
    parameters: Mapping[str, int | str] = field(default_factory=dict)
    assume: Mapping[str, int | str] = field(default_factory=dict)
    same_clocks: tuple[tuple[str, ...], ...] = ()
    attributes: Mapping[str, str] = field(default_factory=dict)
    intents: Sequence[ConfiguredIntent] = ()
    black_boxes: Sequence[BlackBox] = ()
    libraries: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class MissingUnitFact:
    name: str
    instances: tuple[tuple[str, Span], ...]


@dataclass(frozen=True, slots=True)
class UnreadFact:
    """A construct that was not read and touches arrays of a unit."""

    what: str
    names: tuple[str, ...]
    span: Span
    unit: str


@dataclass(frozen=True, slots=True)
class Design:
    """The elaborated design. Memories and arrays are in order of their paths."""

    roots: tuple[str, ...]
    nodes: tuple[Node, ...]
    memories: tuple[Memory, ...]
    not_memories: tuple[NotMemory, ...]
    missing: tuple[MissingUnitFact, ...]
    unread: tuple[UnreadFact, ...]
    unbound: tuple[tuple[Intent, str], ...]
    unknown_tops: tuple[str, ...]
    too_deep: tuple[tuple[str, Span], ...]
    limits: tuple[Problem, ...] = ()
    unknown_same: tuple[tuple[str, list[str]], ...] = ()
    budgets: tuple[tuple[Node, Intent], ...] = ()


def elaborate_design(files: Iterable[FileFacts], options: DesignOptions) -> Design:
    """The design of a set of files, in compilation order. Never raises for any source text."""
    return Elaboration(options).update(tuple(files))


class Elaboration:
    """Elaborates one project again and again: what did not change is not worked out anew.

    An earlier design's nodes stand for the present state of their instances after an update.
    """

    def __init__(self, options: DesignOptions) -> None:
        self.options = options
        self._keeper = LibraryKeeper(options.assume, options.libraries)
        self._bodies = Bodies(self._keeper.library)
        self._found_roots = Roots()
        self._within = _Tree(self._bodies, options)
        self._beside: _Tree | None = None
        self._gone: Gone | None = None
        self._shift = Shift()
        self._packages_changed = True
        self._asked_outside = True

    def update(self, files: Sequence[FileFacts]) -> Design:
        """The design of the files as they are now, in compilation order."""
        with deep_recursion():
            return self._update(files)

    def _update(self, files: Sequence[FileFacts]) -> Design:
        library, options = self._keeper.library, self.options
        if not self._asked_outside:
            self._beside = None
        self._asked_outside = False
        changes = self._keeper.update(files)
        if changes.everything:
            self._bodies.forget_all()
        self._gone = None if changes.everything else self._bodies.update(changes.names, changes.shift.units)
        self._shift = changes.shift
        self._packages_changed = changes.everything or not changes.names.isdisjoint(
            name.lower() for name in library.packages
        )
        roots = self._found_roots.of(library, changes.outline) if not options.tops else ()
        parameters: dict[str, Value] = {
            name: Text(value) if isinstance(value, str) else Int(int(value), None, True)
            for name, value in options.parameters.items()
        }
        design = self._within.update(
            options.tops or roots, parameters, self._gone, self._shift, self._packages_changed
        )
        self._bodies.forget_spare(self._within.hierarchy.body_count, self._used())
        unknown = tuple(top for top in options.tops if library.top(top) is None)
        return replace(design, unknown_tops=unknown) if unknown else design

    def outside(self, tops: tuple[str, ...]) -> Design | None:
        """The design below other units of the same files, at default parameters; None for no unit.

        Quick where it was asked for after the update before, too.
        """
        self._asked_outside = True
        if not tops:
            self._beside = None
            return None
        gone = self._gone if self._beside is not None else None
        self._beside = self._beside or _Tree(self._bodies, self.options)
        with deep_recursion():
            return self._beside.update(tops, {}, gone, self._shift, self._packages_changed)

    def _used(self) -> Iterator[Body]:
        for tree in (self._within, self._beside):
            if tree is not None:
                yield from tree.hierarchy.bodies


class _Tree:
    """The instances below some units, and what they hold."""

    def __init__(self, bodies: Bodies, options: DesignOptions) -> None:
        watch = Watch()
        self.hierarchy = Hierarchy(bodies, watch)
        self._same_clocks = options.same_clocks
        self._memories: _InOrder[Memory] = _InOrder()
        self._others: _InOrder[NotMemory] = _InOrder()
        self._analysis = Analysis(
            bodies.library,
            watch,
            options.same_clocks,
            options.intents,
            dict(options.attributes),
            options.black_boxes,
        )

    def update(
        self,
        tops: tuple[str, ...],
        parameters: Mapping[str, Value],
        gone: Gone | None,
        shift: Shift,
        packages_changed: bool,
    ) -> Design:
        hierarchy = self.hierarchy
        moved = hierarchy.update(tops, parameters, gone, shift)
        holdings = self._analysis.update(hierarchy, moved, packages_changed, shift)
        boxes = [one for holding in holdings for one in holding.boxes]
        memories = [
            *(one for holding in holdings for one in holding.memories),
            *boxes,
            *(one for holding in holdings for one in holding.planned),
        ]
        described = {one.path for one in boxes}
        missing = tuple(
            MissingUnitFact(name, left)
            for name, places in sorted(hierarchy.missing.items())
            if (left := tuple(place for place in places if place[0] not in described))
        )
        return Design(
            roots=tuple(root.path for root in hierarchy.roots),
            nodes=hierarchy.nodes,
            memories=self._memories.sorted(memories),
            not_memories=self._others.sorted([one for holding in holdings for one in holding.others]),
            missing=missing,
            unread=tuple(_unread(hierarchy.nodes, holdings)),
            unbound=tuple(_unbound(holdings)),
            unknown_tops=(),
            too_deep=tuple(hierarchy.too_deep),
            limits=(*hierarchy.limits, *_limits(holdings)),
            unknown_same=tuple(unknown_nets(self._same_clocks, hierarchy.nodes)) if self._same_clocks else (),
            budgets=tuple(
                (node, intent)
                for node, holding in zip(hierarchy.nodes, holdings, strict=True)
                for intent in holding.budgets
            ),
        )


class _InOrder(Generic[Listed]):
    """Sorts by paths, again and again: the order of paths that are the same is known."""

    def __init__(self) -> None:
        self._paths: list[str] = []
        self._order: list[int] = []

    def sorted(self, found: list[Listed]) -> tuple[Listed, ...]:
        """In the order of their paths."""
        paths = [one.path for one in found]
        if paths != self._paths:
            keys = [by_number(path) for path in paths]
            self._paths, self._order = paths, sorted(range(len(paths)), key=keys.__getitem__)
        return tuple([found[at] for at in self._order])


def _unread(nodes: Sequence[Node], holdings: Sequence[Holding]) -> Iterator[UnreadFact]:
    """Constructs that were not read, each body's once."""
    bodies: set[Body] = set()
    for node, holding in zip(nodes, holdings, strict=True):
        if holding.unread and node.last_body not in bodies:
            bodies.add(node.last_body)
            for one, names in holding.unread:
                yield UnreadFact(one.what, names, one.span, one.scope.name)


def _unbound(holdings: Sequence[Holding]) -> list[tuple[Intent, str]]:
    """Intents on instances that no memory answered to, each once, with an instance's path."""
    hooks = [hook for holding in holdings for hook in holding.hooks]
    used: set[Speaking] = set().union(*(holding.used for holding in holdings)) if hooks else set()
    found: dict[Speaking, tuple[Intent, str]] = {}
    for unit, intent, path in hooks:
        if (unit, intent.span) not in used:
            found.setdefault((unit, intent.span), (intent, path))
    return list(found.values())


def _limits(holdings: Sequence[Holding]) -> Iterator[Problem]:
    """The limits met in the bodies, each place once however many bodies it has."""
    yield from {one.span: one for holding in holdings for one in holding.limits}.values()
