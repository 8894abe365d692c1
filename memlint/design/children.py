"""Instances: the unit they name, the parameters they override, the ports they connect."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from memlint.design.body import Body, Child, path_name
from memlint.design.components import by_name, component_of, defaults
from memlint.design.interfaces import connected_interfaces
from memlint.design.library import Library
from memlint.design.limits import MOST_ELEMENTS, limit_met
from memlint.design.meanings import ComponentMeaning
from memlint.design.scope import Scope
from memlint.design.types import AnyType, Array, Range, Unconstrained, Vector, bits, outer_range
from memlint.design.values import TypeValue, Unknown, Value
from memlint.reading.facts.expressions import (
    DataType,
    Expr,
    Index,
    Name,
    Number,
    Pattern,
    Scoped,
    Slice,
    TypeArgument,
)
from memlint.reading.facts.items import Connection, Import, Instance, Parameter, Port, Typedef, Unit
from memlint.text.source import Span

Deep = dict[tuple[str, ...], Value]
InstanceArrays = Callable[[str], tuple[int, ...]]
_BIT = DataType("builtin", "logic")


def children_of(
    item: Instance, scope: Scope, prefix: str, library: Library, deep: Deep, body: Body
) -> Iterator[Child]:
    """One child, or one for each element of an array of instances."""
    component = component_of(item, scope)
    if component is not None:
        item = by_name(item, component.component)
    unit = library.find(item.unit, scope.language == "vhdl", item.library, library.home(body.unit))
    architecture = library.architecture(unit, item.architecture) if unit is not None else None
    parameters, overridden = _overrides(item, unit, scope)
    if component is not None:
        parameters = [*_defaults(component, parameters, unit), *parameters]
    suffixes = _suffixes(item, scope, body)
    shared = _connections(item, unit)
    arrays = partial(_instance_array, body, prefix)
    for at, suffix in enumerate(suffixes):
        name = f"{prefix}{path_name(item.name)}{suffix}"
        path = tuple(name.split("."))
        inherited: list[tuple[tuple[str, ...], Value]] = []
        own = dict(parameters)
        for target, value in deep.items():
            if target[: len(path)] != path:
                continue
            rest = target[len(path) :]
            if len(rest) == 1:
                own[rest[0]] = value
            else:
                inherited.append((rest, value))
        connections = shared
        if len(suffixes) > 1:
            connections = _sliced(shared, unit, own, scope, arrays, len(suffixes) - 1 - at, len(suffixes))
        yield Child(
            name,
            item,
            scope,
            unit,
            architecture,
            tuple(sorted(own.items())),
            tuple(overridden),
            connections,
            tuple(inherited),
            _port_types(item, unit, scope),
            connected_interfaces(unit, connections, scope, library) if unit is not None else (),
        )


def _defaults(
    component: ComponentMeaning, given: list[tuple[str, Value]], unit: Unit | None
) -> Iterator[tuple[str, Value]]:
    """The defaults of a component's generics, under the names of the unit's parameters."""
    lowered = {one.name.lower(): one.name for one in unit.parameters} if unit is not None else {}
    for name, value in defaults(component, {name.lower(): value for name, value in given}).items():
        if name.lower() in lowered:
            yield lowered[name.lower()], value


def _suffixes(item: Instance, scope: Scope, body: Body) -> list[str]:
    """The index of each element of an array of instances. Of too many the first stands for all."""
    suffixes = [""]
    for dimension in item.dimensions:
        bound = scope.resolve(_BIT, (dimension,))
        span = getattr(bound, "range", None)
        if not isinstance(span, Range):
            return suffixes
        if span.size * len(suffixes) > MOST_ELEMENTS:
            count = f"{span.size * len(suffixes):,}" if span.size.bit_length() < 64 else "far too many"
            body.limits.append(
                limit_met(
                    f"`{item.name}` is an array of {count} instances, the most is {MOST_ELEMENTS:,}: "
                    "one of them is counted, the others are in no total",
                    item.span,
                    "check the bounds of the array",
                    "or give a parameter a smaller value",
                )
            )
            return [f"{before}[{span.left}]" for before in suffixes[:1]]
        suffixes = [f"{before}[{index}]" for before in suffixes for index in span.indices()]
    return suffixes


def _overrides(
    item: Instance, unit: Unit | None, scope: Scope
) -> tuple[list[tuple[str, Value]], list[tuple[str, Span]]]:
    settable = [one for one in unit.parameters if not one.local] if unit is not None else []
    lowered = {one.name.lower(): one.name for one in settable}
    found: list[tuple[str, Value]] = []
    spans: list[tuple[str, Span]] = []
    for at, override in enumerate(item.overrides):
        if override.value is None:
            continue
        if override.name is None:
            if at >= len(settable):
                continue
            name = settable[at].name
        else:
            name = override.name
            if name not in lowered.values():
                name = lowered.get(name.lower(), name)
        parameter = next((one for one in settable if one.name == name), None)
        if unit is not None and parameter is None:
            continue
        found.append((name, _override_value(override, parameter, unit, scope)))
        spans.append((name, override.span))
    return found, spans


def _override_value(
    override: Connection, parameter: Parameter | None, unit: Unit | None, scope: Scope
) -> Value:
    value = override.value
    assert value is not None
    if parameter is not None and parameter.is_type:
        type: AnyType
        if isinstance(value, TypeArgument):
            type = scope.resolve(value.type)
        elif isinstance(value, Name):
            type = scope.resolve(DataType("named", value.name, span=value.span))
        elif isinstance(value, Scoped):
            type = scope.resolve(DataType("named", value.name, value.scope, span=value.span))
        else:
            return scope.evaluate(value)
        return type if isinstance(type, Unknown) else TypeValue(type)
    if isinstance(value, Pattern) and parameter is not None and parameter.type is not None:
        # A pattern has no type of its own: it takes the parameter's, which the unit's scope knows.
        assert unit is not None
        expected = _inner_scope(unit, scope).resolve(parameter.type, parameter.dimensions)
        return expected if isinstance(expected, Unknown) else scope.evaluate(value, type=expected)
    return scope.evaluate(value)


def _inner_scope(unit: Unit, scope: Scope) -> Scope:
    """The names a unit's own declarations may use: its parameters and what it imports."""
    inner = Scope(unit.language, None, scope.packages, unit.name)
    for item in unit.items:
        if isinstance(item, Import | Typedef):
            inner.add(item)
    for parameter in unit.parameters:
        inner.add(parameter)
    return inner


def _connections(item: Instance, unit: Unit | None) -> dict[str, Connection]:
    """Connections by port name. A missing unit's ordered ports are numbered."""
    found: dict[str, Connection] = {}
    ports = [port.name for port in unit.ports] if unit is not None else []
    lowered = {name.lower(): name for name in ports}
    rest: Connection | None = None
    for at, connection in enumerate(item.connections):
        if connection.name == "*":
            rest = connection
        elif connection.name is None:
            found[ports[at] if at < len(ports) else f"#{at}"] = connection
        else:
            name = connection.name
            if name not in ports:
                name = lowered.get(name.lower(), name)
            found[name] = connection
    if rest is not None:
        for name in ports:
            if name not in found:
                found[name] = Connection(name, Name(name, span=rest.span), span=rest.span)
    return found


def _sliced(
    connections: dict[str, Connection],
    unit: Unit | None,
    parameters: dict[str, Value],
    scope: Scope,
    arrays: InstanceArrays,
    place: int,
    count: int,
) -> dict[str, Connection]:
    """An array element's share of each connection: the right-hand instance has the lowest bits.

    `place` counts from the right. A connection as wide as the port goes to every instance whole.
    """
    if unit is None:
        return connections
    inner = _inner_scope(unit, scope)
    for name, value in parameters.items():
        inner.set(name, value)
    found = dict(connections)
    for port in unit.ports:
        connection = connections.get(port.name)
        if connection is None or connection.value is None:
            continue
        element = _element(connection.value, port, scope, arrays, count - 1 - place, count)
        if element is not None:
            found[port.name] = Connection(connection.name, element, span=connection.span)
            continue
        if not isinstance(connection.value, Name):
            continue
        width = bits(inner.resolve(port.type, port.dimensions))
        outer = scope.type_of(connection.value)
        total = bits(outer)
        span = outer_range(outer)
        if not isinstance(width, int) or not isinstance(total, int) or total <= width:
            continue
        if not isinstance(span, Range) or not isinstance(outer, Vector) or len(outer.dimensions) != 1:
            continue
        low = span.right + place * width if span.descending else span.right - place * width
        share: Expr = Index(connection.value, _number(low, connection), span=connection.value.span)
        if width > 1:
            share = Slice(
                connection.value,
                _number(low, connection),
                _number(width, connection),
                "+:" if span.descending else "-:",
                span=connection.value.span,
            )
        found[port.name] = Connection(connection.name, share, span=connection.span)
    return found


def _element(
    value: Expr, port: Port, scope: Scope, arrays: InstanceArrays, place: int, count: int
) -> Expr | None:
    """One element, counted from the left, of an unpacked array or an array of interfaces."""
    if port.dimensions:
        return None
    if isinstance(value, Name):
        known = arrays(value.name)
        if len(known) == count:
            return Index(value, Number(known[place], None, True, span=value.span), span=value.span)
    outer = scope.type_of(value)
    span = outer.range if isinstance(outer, Array) else None
    if not isinstance(span, Range) or span.size != count:
        return None
    return Index(value, Number(span.indices()[place], None, True, span=value.span), span=value.span)


def _instance_array(body: Body, prefix: str, name: str) -> tuple[int, ...]:
    """The indices of an array of instances, or of an interface port that is an array, from the left."""
    start = f"{prefix}{path_name(name)}["
    found = [one.name[len(start) : -1] for one in body.children if one.name.startswith(start)]
    if not found and name in body.interface_ports:
        item = body.interface_ports[name]
        type = body.scope.resolve(item.type, item.dimensions)
        span = type.range if isinstance(type, Array) else None
        return tuple(span.indices()) if isinstance(span, Range) else ()
    return tuple(int(index) for index in found if index.lstrip("-").isdecimal())


def _number(value: int, connection: Connection) -> Number:
    return Number(value, None, True, span=connection.span)


def _port_types(item: Instance, unit: Unit | None, scope: Scope) -> tuple[tuple[str, AnyType], ...]:
    """Types of VHDL ports that are declared without bounds, taken from what they are connected to."""
    if unit is None or unit.language != "vhdl":
        return ()
    found: list[tuple[str, AnyType]] = []
    connections = _connections(item, unit)
    for port in unit.ports:
        if port.type.dimensions or port.type.kind != "named":
            continue
        declared = scope.resolve(port.type)
        if not isinstance(declared, Unconstrained):
            continue
        connection = connections.get(port.name)
        if connection is not None and connection.value is not None:
            actual = scope.type_of(connection.value)
            if not isinstance(actual, Unknown):
                found.append((port.name, actual))
    return tuple(found)
