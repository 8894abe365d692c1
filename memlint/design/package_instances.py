"""Packages made from a generic one: `package p is new work.g generic map (…)`."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.scope import Scope
from memlint.design.values import TypeValue, Unknown
from memlint.reading.facts.expressions import DataType, Expr, Name, Scoped, TypeArgument
from memlint.reading.facts.items import Parameter, Unit


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
        case _:
            return
    if not isinstance(type, Unknown):
        scope.set(formal.name, TypeValue(type))
