"""Instances of VHDL components: what the component declares counts, not the entity bound to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from memlint.design.meanings import ComponentMeaning
from memlint.design.scope import Scope
from memlint.design.values import Value
from memlint.reading.facts.items import Component, Connection, Instance, Parameter, Port


def component_of(item: Instance, scope: Scope) -> ComponentMeaning | None:
    """The component an instance names, as declared where the instance stands; None for other instances."""
    if not item.component or scope.language != "vhdl":
        return None
    meaning = scope.lookup(item.unit)
    return meaning if isinstance(meaning, ComponentMeaning) else None


def by_name(item: Instance, component: Component) -> Instance:
    """The instance with what is associated by position associated by the component's names."""
    settable = tuple(one for one in component.parameters if not one.local)
    return replace(
        item,
        overrides=_named(item.overrides, settable),
        connections=_named(item.connections, component.ports),
    )


def _named(
    given: tuple[Connection, ...], declared: tuple[Parameter, ...] | tuple[Port, ...]
) -> tuple[Connection, ...]:
    return tuple(
        replace(one, name=declared[at].name) if one.name is None and at < len(declared) else one
        for at, one in enumerate(given)
    )


def defaults(meaning: ComponentMeaning, given: Mapping[str, Value]) -> dict[str, Value]:
    """The generics of a component that an instance leaves at their defaults, by name.

    They go to the entity, whose own defaults do not count then (IEEE Std 1076-2008, 6.5.6.2).
    """
    inner = Scope("vhdl", meaning.scope, meaning.scope.packages, meaning.component.name)
    for parameter in meaning.component.parameters:
        inner.add(parameter)
    for name, value in given.items():
        inner.set(name.lower(), value)
    return {
        one.name: inner.own_value(one.name)
        for one in meaning.component.parameters
        if one.name not in given and one.value is not None and not one.local and not one.is_type
    }
