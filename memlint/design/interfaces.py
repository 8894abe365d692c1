"""Interfaces as constants and shapes need them: their parameters, types and signals, without instances.

`$bits(bus.data)` and `bus.WIDTH` inside a module depend on the interface its port is connected to, so
the interface's scope is part of what a body is made from. Scopes of equal parameters are one object.
"""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.exact import exact
from memlint.design.library import WORK, Library, Questions
from memlint.design.meanings import ScopeMeaning
from memlint.design.scope import Scope
from memlint.design.types import Array, Range
from memlint.design.values import Int, Value
from memlint.reading.facts.expressions import Expr, Index, Member, Name, Slice
from memlint.reading.facts.items import (
    Connection,
    Import,
    Parameter,
    Port,
    Subprogram,
    Typedef,
    Unit,
    Variable,
)

Interfaces = tuple[tuple[str, Scope], ...]


def is_interface_port(port: Port, library: Library) -> bool:
    """A port of an interface type. `bus_if bus` after a port with a direction looks like any named type."""
    if port.direction == "interface" or port.type.kind == "interface":
        return port.type.kind != "named" or _names_interface(port, library) or not port.type.scope
    return port.type.kind == "named" and _names_interface(port, library)


def _names_interface(port: Port, library: Library) -> bool:
    return not port.type.scope and library.is_interface(port.type.name)


def interface_scope(unit: Unit, parameters: tuple[tuple[str, Value], ...], library: Library) -> Scope:
    """What an interface declares, for one set of parameters."""
    key = (unit.name, exact(parameters))
    known = library.interface_scopes.get(key)
    if known is None:
        known = library.interface_scopes[key] = _made(unit, parameters, library)
    return known[0]


def _made(
    unit: Unit, parameters: Iterable[tuple[str, Value]], library: Library
) -> tuple[Scope, Questions]:
    questions = Questions(library, WORK, unit.name)
    scope = Scope(unit.language, library.root_scope(unit.language), questions.package, unit.name)
    for parameter in unit.parameters:
        scope.add(parameter)
    for name, value in parameters:
        scope.set(name, value)
    for port in unit.ports:
        scope.add(port)
    for item in unit.items:
        if isinstance(item, Import | Typedef | Variable | Subprogram | Parameter):
            scope.add(item)
    return scope, questions


def enter_ports(scope: Scope, ports: Iterable[Port], interfaces: Interfaces) -> None:
    """Make the interfaces behind a unit's ports reachable by the ports' names."""
    known = dict(interfaces)
    for port in ports:
        inner = known.get(port.name)
        if inner is None:
            continue
        scope.enter(port.name, inner)
        type = scope.resolve(port.type, port.dimensions) if port.dimensions else None
        if isinstance(type, Array) and isinstance(type.range, Range):
            for index in type.range.indices():
                scope.enter(f"{port.name}[{index}]", inner)


def connected_interfaces(
    unit: Unit, connections: dict[str, Connection], scope: Scope, library: Library
) -> Interfaces:
    """The scopes of the interfaces that a unit's ports are connected to, by port."""
    found: list[tuple[str, Scope]] = []
    for port in unit.ports:
        connection = connections.get(port.name)
        if connection is None or connection.value is None or not is_interface_port(port, library):
            continue
        inner = _scope_of(connection.value, scope)
        if inner is not None:
            found.append((port.name, inner))
    return tuple(found)


def _scope_of(expr: Expr, scope: Scope) -> Scope | None:
    match expr:
        case Name(name=name):
            meaning = scope.lookup(name)
            return meaning.scope if isinstance(meaning, ScopeMeaning) else None
        case Index(base=Name(name=name), index=index):
            place = scope.evaluate(index)
            meaning = scope.lookup(f"{name}[{place.value}]") if isinstance(place, Int) else None
            return meaning.scope if isinstance(meaning, ScopeMeaning) else _scope_of(expr.base, scope)
        case Slice(base=base):
            return _scope_of(base, scope)
        case Member(base=base, name=name):
            outer = _scope_of(base, scope)
            if outer is None:
                return None
            meaning = outer.lookup_own(name)
            # What an interface does not declare as anything else is a modport of it.
            return meaning.scope if isinstance(meaning, ScopeMeaning) else outer
        case _:
            return None
