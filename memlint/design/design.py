"""Facts of all files → the elaborated design."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from memlint.design.black_boxes import BlackBox, black_box_memories
from memlint.design.hierarchy import Node, build, roots_of
from memlint.design.intents import ConfiguredIntent, IntentBinder, unbound
from memlint.design.interface_views import InterfaceViews
from memlint.design.library import library_of
from memlint.design.memories import memories
from memlint.design.memory import Memory, NotMemory
from memlint.design.planned import planned_memories
from memlint.design.trace_clocks import ClockTracer
from memlint.design.values import Int, Text, Value
from memlint.reading.facts.items import FileFacts
from memlint.reading.intent.clauses import Intent
from memlint.text.source import Span


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


def elaborate_design(files: Iterable[FileFacts], options: DesignOptions) -> Design:
    """The design of a set of files, in compilation order. Never raises for any source text."""
    library = library_of(files, options.assume, options.libraries)
    tops = options.tops or roots_of(library)
    parameters: dict[str, Value] = {
        name: Text(value) if isinstance(value, str) else Int(int(value), None, True)
        for name, value in options.parameters.items()
    }
    hierarchy = build(library, tops, parameters)
    clocks = ClockTracer(options.same_clocks, InterfaceViews(hierarchy.nodes))
    binder = IntentBinder(clocks, options.intents)
    found = memories(hierarchy, clocks, binder, dict(options.attributes))
    boxes = tuple(black_box_memories(hierarchy.nodes, options.black_boxes, library, clocks, binder))
    found.memories.extend(boxes)
    known = {one.path for one in boxes}
    missing = tuple(
        MissingUnitFact(name, left)
        for name, places in sorted(hierarchy.missing.items())
        if (left := tuple(place for place in places if place[0] not in known))
    )
    return Design(
        roots=tuple(root.path for root in hierarchy.roots),
        nodes=tuple(hierarchy.nodes),
        memories=tuple(
            sorted(
                [*found.memories, *planned_memories(tuple(hierarchy.nodes), binder)], key=lambda one: one.path
            )
        ),
        not_memories=tuple(sorted(found.others, key=lambda one: one.path)),
        missing=missing,
        unread=tuple(UnreadFact(one.what, names, one.span, one.scope.name) for one, names in found.unread),
        unbound=tuple(unbound(hierarchy.nodes, binder.used)),
        unknown_tops=tuple(top for top in options.tops if library.top(top) is None),
        too_deep=tuple(hierarchy.too_deep),
    )
