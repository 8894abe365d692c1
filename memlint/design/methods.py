"""Subprograms called as `object.name(…)`: of an interface, or of a shared variable of a protected type."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.design.body import Body, Signal
from memlint.design.meanings import ScopeMeaning, SignalMeaning, SubprogramMeaning, TypeMeaning
from memlint.design.references import meaning_of_type, protected_body
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.substitute import simple_names
from memlint.design.values import Int
from memlint.reading.facts.expressions import Expr, Index, Member, Name
from memlint.reading.facts.items import Port, Subprogram


@dataclass(frozen=True, slots=True)
class Method:
    """A called method, the object it belongs to, and what the names it shares with that object stand for."""

    subprogram: Subprogram
    owner: Signal
    names: dict[str, Expr]


def method(function: Expr, count: int, scope: Scope, body: Body) -> Method | None:
    """The method that `function` names when called with `count` arguments; None for any other function."""
    if not isinstance(function, Member):
        return None
    found = resolve(function.base, scope, body)
    inside = _inside(function.base, found[0], scope) if found is not None else None
    meaning = inside.lookup_own(function.name) if inside is not None else None
    if found is None or inside is None or not isinstance(meaning, SubprogramMeaning):
        return None
    every = meaning.subprograms
    subprogram = next((one for one in every if len(one.arguments) >= count), every[0])
    local = {one.name for one in subprogram.arguments}
    local.update(getattr(one, "name", "") for one in subprogram.items)
    names: dict[str, Expr] = {}
    for name in dict.fromkeys(simple_names(subprogram.body)):
        if name not in local and isinstance(inside.lookup_own(name), SignalMeaning | SubprogramMeaning):
            names[name] = Member(function.base, name, span=function.span)
    return Method(subprogram, found[0], names)


def _inside(base: Expr, owner: Signal, scope: Scope) -> Scope | None:
    """The scope in which an object's methods are declared."""
    if owner.direction == "interface":
        name = base.name if isinstance(base, Name) else ""
        if isinstance(base, Index) and isinstance(base.base, Name):
            place = scope.evaluate(base.index)
            name = f"{base.base.name}[{place.value}]" if isinstance(place, Int) else ""
        meaning = scope.lookup(name) if name else None
        return meaning.scope if isinstance(meaning, ScopeMeaning) else None
    item = owner.item
    if scope.language != "vhdl" or isinstance(item, Port) or item.type is None:
        return None
    type = meaning_of_type(item.type, owner.scope)
    if not isinstance(type, TypeMeaning):
        return None
    return protected_body(type.type, type.name, type.scope)
