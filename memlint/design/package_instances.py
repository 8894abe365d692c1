"""Packages made from a generic one: `package p is new work.g generic map (…)`, anywhere."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.scope import Scope
from memlint.design.values import TypeValue, Unknown
from memlint.reading.facts.expressions import (
    DataType,
    Dimension,
    Expr,
    Name,
    Scoped,
    Slice,
    TypeArgument,
)
from memlint.reading.facts.items import Nested, Parameter, Unit


def instantiate(instance: Unit, generic: Iterable[Unit], scope: Scope) -> None:
    """Declare in the instance's scope what the generic package declares, its generics having their values.

    The reader gives each association as a local parameter of the instance; by position its name is ``.
    """
    from memlint.design.library import add_package

    units = list(generic)
    outer = Scope("vhdl", None, scope.packages, instance.name)
    outer.add_all(instance.items)
    header = next((one for one in units if one.kind == "package"), None)
    formals = [one for one in header.parameters if not one.local] if header is not None else []
    given: dict[str, Expr] = {}
    for at, actual in enumerate(instance.parameters):
        name = actual.name or (formals[at].name if at < len(formals) else "")
        if name and actual.value is not None:
            given[name] = actual.value
    add_package(scope, units)
    for formal in formals:
        if formal.name in given:
            _give(scope, outer, formal, given[formal.name])


def instantiate_nested(instance: Nested, outer: Scope, scope: Scope) -> None:
    """The same for an instance that stands inside another unit: `scope` becomes a copy of the generic one."""
    generic = outer.package(f"{instance.library}.{instance.of}" if instance.library else instance.of)
    if generic is None:
        return
    scope.copy_names(generic)
    formals = [one for one in generic.parameters() if not one.local]
    for at, actual in enumerate(instance.parameters):
        place = formals[at] if at < len(formals) else None
        formal = next((one for one in formals if one.name == actual.name), None) if actual.name else place
        if formal is not None and actual.value is not None:
            _give(scope, outer, formal, actual.value)


def _give(scope: Scope, outer: Scope, formal: Parameter, value: Expr) -> None:
    if not formal.is_type:
        scope.set(formal.name, outer.evaluate(value))
        return
    match value:
        case TypeArgument(type=written):
            type = outer.resolve(written)
        case Name(name=name):
            type = outer.resolve(DataType("named", name, span=value.span))
        case Scoped(scope=package, name=name):
            type = outer.resolve(DataType("named", name, package, span=value.span))
        case Slice(base=Name(name=name)):
            # `unsigned(7 downto 0)` looks like a part of an object.
            bounds = Dimension(value.left, value.right, value.kind, span=value.span)
            type = outer.resolve(DataType("named", name, dimensions=(bounds,), span=value.span))
        case _:
            return
    if not isinstance(type, Unknown):
        scope.set(formal.name, TypeValue(type))
