"""What a name can mean: the answers of `scope.Scope.lookup`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from memlint.design.types import AnyType
from memlint.design.values import Value
from memlint.reading.facts.expressions import DataType, EnumMember
from memlint.reading.facts.items import Alias, Component, Parameter, Port, Subprogram, Typedef, Variable

if TYPE_CHECKING:
    from memlint.design.scope import Scope


@dataclass(frozen=True, slots=True)
class ConstantMeaning:
    """A parameter, generic, constant, genvar, loop variable or enumeration member."""

    name: str
    scope: Scope
    item: Parameter | Variable | EnumMember | None

    @property
    def value(self) -> Value:
        return self.scope.own_value(self.name)

    @property
    def type(self) -> AnyType | None:
        """Its declared type, None where its type is that of its value."""
        return self.scope.constant_type(self.name)


@dataclass(frozen=True, slots=True)
class TypeMeaning:
    """A type's name. `item` is its declaration, None for predefined types."""

    name: str
    scope: Scope
    item: Typedef | Parameter | None

    @property
    def type(self) -> AnyType:
        return self.scope.own_type(self.name)


@dataclass(frozen=True, slots=True)
class SignalMeaning:
    """A port, net, variable or signal: something that has a type but no value before simulation."""

    item: Port | Variable
    scope: Scope

    @property
    def type(self) -> AnyType:
        return self.scope.own_type(self.item.name)


@dataclass(frozen=True, slots=True)
class SubprogramMeaning:
    """A function, task or procedure; VHDL may give several of one name. `scope` is where they stand."""

    subprograms: tuple[Subprogram, ...]
    scope: Scope


@dataclass(frozen=True, slots=True)
class BuiltinMeaning:
    """A function of a standard VHDL package, known without its source."""

    name: str


@dataclass(frozen=True, slots=True)
class ComponentMeaning:
    component: Component
    scope: Scope


@dataclass(frozen=True, slots=True)
class AliasMeaning:
    """A VHDL alias; what its target means is asked in `scope`."""

    alias: Alias
    scope: Scope


@dataclass(frozen=True, slots=True)
class ScopeMeaning:
    """A package, generate block, instance or interface: something names are looked up in."""

    scope: Scope


Meaning: TypeAlias = (
    ConstantMeaning
    | TypeMeaning
    | SignalMeaning
    | SubprogramMeaning
    | BuiltinMeaning
    | ComponentMeaning
    | AliasMeaning
    | ScopeMeaning
)


@dataclass(frozen=True, slots=True)
class EnumName:
    """An enumeration member, the name of the declaration it stands in, and its enumeration."""

    member: EnumMember
    owner: str
    type: DataType


Declared: TypeAlias = Parameter | Port | Variable | Typedef | Alias | Component | EnumName
