"""The nets that a `clocks` clause may name at a place: those that clock something come first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from memlint.design.elaborate import inner_items
from memlint.reading.facts.expressions import Expr, Member, Name
from memlint.reading.facts.items import FileFacts, Item, Port, Process, Unit, Variable


def unit_at(facts: FileFacts, offset: int) -> Unit | None:
    """The unit whose text covers a place."""
    return next((unit for unit in facts.units if unit.whole.start <= offset <= unit.whole.end), None)


def with_entity(unit: Unit, every: Iterable[FileFacts]) -> tuple[Unit, ...]:
    """A unit, and for an architecture its entity, whose ports it sees."""
    if unit.kind != "architecture":
        return (unit,)
    entities = (one for facts in every for one in facts.units if one.kind == "entity")
    return (unit, *(one for one in entities if one.name.lower() == unit.of.lower()))


def clock_names(unit: Unit, every: Iterable[FileFacts]) -> tuple[str, ...]:
    """Names of nets in a unit: those whose edges a process waits for, then one-bit inputs and nets."""
    units = with_entity(unit, every)
    clocks = [name for one in units for process in _processes(one) for name in _edges(process)]
    others = [name for one in units for name in _narrow(one)]
    return tuple(dict.fromkeys([*clocks, *others]))


def declared(name: str, unit: Unit, every: Iterable[FileFacts]) -> Port | Variable | None:
    """The port or net that a name means in a unit."""
    same = str.lower if unit.language == "vhdl" else str
    for one in with_entity(unit, every):
        for item in (*one.ports, *_items(one)):
            if isinstance(item, Port | Variable) and same(item.name) == same(name):
                return item
    return None


def _items(unit: Unit) -> Iterator[Item]:
    for item in unit.items:
        yield item
        yield from inner_items(item)


def _processes(unit: Unit) -> Iterator[Process]:
    return (item for item in _items(unit) if isinstance(item, Process))


def _edges(process: Process) -> Iterator[str]:
    # A VHDL process says in its body which edge it waits for; one that waits for one signal is clocked by it.
    alone = len(process.events) == 1
    for event in process.events:
        if event.edge or (alone and process.kind == "process"):
            yield from _named(event.signal)


def _named(expr: Expr) -> Iterator[str]:
    match expr:
        case Name(name=name):
            yield name
        case Member(base=Name(name=base), name=name):
            yield f"{base}.{name}"


def _narrow(unit: Unit) -> Iterator[str]:
    for port in unit.ports:
        if port.direction in ("input", "inout") and not port.dimensions and not _is_vector(port):
            yield port.name
    for item in _items(unit):
        if not isinstance(item, Variable) or item.kind not in ("net", "variable", "signal"):
            continue
        if not item.dimensions and not _is_vector(item):
            yield item.name


def _is_vector(item: Port | Variable) -> bool:
    return bool(item.type.dimensions)
