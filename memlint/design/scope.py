"""Scopes: what a name means at a place, and its value, found on first use and remembered.

A scope is made per unit instance, generate block, package and subprogram call. Its owner adds the items
declared there, sets what overrides or loops give, and asks. Names of VHDL come in lower case.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import TypeAlias

from memlint.design.limits import DEEPEST_TYPE, MOST_STEPS
from memlint.design.meanings import (
    AliasMeaning,
    BuiltinMeaning,
    ComponentMeaning,
    ConstantMeaning,
    Declared,
    EnumName,
    Meaning,
    ScopeMeaning,
    SignalMeaning,
    SubprogramMeaning,
    TypeMeaning,
)
from memlint.design.predefined import STANDARD_LIBRARIES, is_predefined, predefined
from memlint.design.types import AnyType, ElabType
from memlint.design.values import Int, Real, TypeValue, Unknown, Value
from memlint.reading.facts.expressions import DataType, Dimension, Expr
from memlint.reading.facts.items import (
    Alias,
    Component,
    Import,
    Item,
    Nested,
    Parameter,
    Port,
    Subprogram,
    Typedef,
    Variable,
)

__all__ = [
    "AliasMeaning",
    "ConstantMeaning",
    "Effort",
    "Packages",
    "Scope",
    "SignalMeaning",
    "SubprogramMeaning",
    "TypeMeaning",
]

# Goes before the name of a protected type whose body a scope holds.
PROTECTED = "protected"

Packages: TypeAlias = "Callable[[str, str], Scope | None]"


@dataclass(slots=True)
class Effort:
    """What constant functions have spent so far; one for a tree of scopes, so that no loop runs away.

    `depth` counts bodies being run, `calls` calls being worked out: choosing among overloads costs too.
    `limit` is the most steps that one expression may take.
    """

    steps: int = 0
    depth: int = 0
    calls: int = 0
    limit: int = MOST_STEPS


@dataclass(slots=True)
class _Imports:
    named: dict[str, Import] = field(default_factory=dict)
    all: list[Import] = field(default_factory=list)


class Scope:
    """Names declared in one place.

    `name` is the dotted path used for `Unknown.needs`; `subprogram` the function a scope is the frame of.
    """

    def __init__(self, language: str, parent: Scope | None, packages: Packages, name: str = "") -> None:
        self.language = language
        self.parent = parent
        self.packages = packages
        self.name = name
        self.subprogram = ""
        self.effort: Effort = parent.effort if parent is not None else Effort()
        self._items: dict[str, Declared] = {}
        self._subprograms: dict[str, list[Subprogram]] = {}
        self._imports = _Imports()
        self._scopes: dict[str, Scope] = {}
        self._given: dict[str, Value] = {}
        self._given_types: dict[str, ElabType] = {}
        self._values: dict[str, Value] = {}
        self._types: dict[str, AnyType] = {}
        self._busy: set[str] = set()
        self._busy_types: set[str] = set()

    # Declaring

    def add(self, item: Item) -> None:
        """Declare a Parameter, Port, Variable, Typedef, Import, Subprogram, Alias or Component.

        Other items declare no names constants can use and are passed over. A VHDL constant without a
        value gives way to the one of the same name that has it, so a package and its body may be added
        to one scope, the body last.
        """
        match item:
            case Parameter() | Port() | Typedef() | Component() | Alias():
                self._items[item.name] = item
            case Variable():
                if item.initial is not None or item.name not in self._items:
                    self._items[item.name] = item
            case Subprogram():
                self._add_subprogram(item)
            case Nested():
                self._add_nested(item)
            case Import(name="*"):
                self._imports.all.append(item)
            case Import():
                self._imports.named[item.name] = item
            case _:
                return
        if isinstance(item, Typedef | Variable | Port | Parameter) and item.type is not None:
            self._add_members(item.name, item.type)

    def add_all(self, items: Iterable[Item]) -> None:
        for item in items:
            self.add(item)

    def _add_subprogram(self, item: Subprogram) -> None:
        known = self._subprograms.setdefault(item.name, [])
        if item.body is not None:
            # The body repeats its declaration's profile: it takes the declaration's place.
            known[:] = [other for other in known if other.body is not None or not _same_profile(other, item)]
        known.append(item)

    def _add_nested(self, item: Nested) -> None:
        """A package inside, or what a protected type's body declares; a body joins its declaration."""
        name = f"{PROTECTED} {item.name}" if item.kind == "protected_body" else item.name
        inner = self._scopes.get(name)
        if inner is None:
            inner = self._scopes[name] = Scope(self.language, self, self.packages, item.name)
        if item.of:
            from memlint.design.package_instances import instantiate_nested

            instantiate_nested(item, self, inner)
            return
        inner.add_all(item.parameters)
        inner.add_all(item.items)

    def copy_names(self, of: Scope) -> None:
        """Declare what another scope declares: an instance of a generic package is a copy of it."""
        self.parent = of.parent
        self._items.update(of._items)
        self._subprograms.update(of._subprograms)
        self._imports = of._imports
        self._scopes.update(of._scopes)

    def _add_members(self, owner: str, data_type: DataType) -> None:
        for member in data_type.members:
            self._items[member.name] = EnumName(member, owner, data_type)
        for part in data_type.fields:
            self._add_members(owner, part.type)
        if data_type.kind == "array" and data_type.element is not None:
            self._add_members(owner, data_type.element)

    def variables(self) -> list[Variable]:
        """The variables declared in this very scope, in order."""
        every = (one for one in self._items.values() if isinstance(one, Variable))
        return [one for one in every if one.kind in ("variable", "shared")]

    def parameters(self) -> list[Parameter]:
        """The parameters or generics declared in this very scope, in order."""
        return [one for one in self._items.values() if isinstance(one, Parameter)]

    def set(self, name: str, value: Value) -> None:
        """Give a parameter, genvar or loop variable its value; a declared type still converts it."""
        self._given[name] = value
        self._forget()

    def set_type(self, name: str, type: ElabType) -> None:
        """Give a signal or port its type: an unconstrained VHDL port's, from what it is connected to."""
        self._given_types[name] = type
        self._forget()

    def _forget(self) -> None:
        """Drop what was worked out from what is now different."""
        if self._values or self._types:
            self._values.clear()
            self._types.clear()

    def enter(self, name: str, scope: Scope) -> None:
        """Make the names of a generate block, instance or interface reachable as `name.…`."""
        self._scopes[name] = scope

    # Asking

    def lookup(self, name: str) -> Meaning | None:
        """What `name` means here: own names, then imports, then the parent's, then predefined ones."""
        scope: Scope | None = self
        while scope is not None:
            found = scope.lookup_own(name)
            if found is None and (scope._imports.all or scope._imports.named):
                found = scope._lookup_imported(name)
            if found is not None:
                return found
            scope = scope.parent
        return self._lookup_predefined(name) if self.language == "vhdl" else None

    def lookup_own(self, name: str) -> Meaning | None:
        """What `name` means among the names declared in this very scope."""
        item = self._items.get(name)
        if item is None:
            return self._lookup_without_item(name)
        match item:
            case Parameter(is_type=True) | Typedef():
                return TypeMeaning(name, self, item)
            case Parameter() | Variable(kind="constant" | "genvar"):
                return ConstantMeaning(name, self, item)
            case EnumName(member=member):
                return ConstantMeaning(name, self, member)
            case Port() | Variable():
                return SignalMeaning(item, self)
            case Component():
                return ComponentMeaning(item, self)
            case Alias():
                return AliasMeaning(item, self)

    def has_own(self, name: str) -> bool:
        """Whether `lookup_own` would find a meaning."""
        return (
            name in self._items or name in self._given or name in self._subprograms or name in self._scopes
        )

    def _lookup_without_item(self, name: str) -> Meaning | None:
        if name in self._given:
            given = self._given[name]
            if isinstance(given, TypeValue):
                return TypeMeaning(name, self, None)
            return ConstantMeaning(name, self, None)
        subprograms = self._subprograms.get(name)
        if subprograms:
            return SubprogramMeaning(tuple(subprograms), self)
        scope = self._scopes.get(name)
        return ScopeMeaning(scope) if scope is not None else None

    def _lookup_imported(self, name: str) -> Meaning | None:
        imports = self._imports
        found = imports.named.get(name)
        if found is not None:
            meaning = self._lookup_through(found, name)
            if meaning is not None:
                return meaning
        # A project's own package first: which standard package declares a built-in name is not known
        # here, and a `log2` for integers beside `use ieee.std_logic_1164.all` is the project's.
        standard: list[Import] = []
        for item in imports.all:
            if item.library in STANDARD_LIBRARIES:
                standard.append(item)
                continue
            meaning = self._lookup_through(item, name)
            if meaning is not None:
                return meaning
        for item in standard:
            meaning = self._lookup_through(item, name)
            if meaning is not None:
                return meaning
        return None

    def _lookup_through(self, item: Import, name: str) -> Meaning | None:
        if self.language == "vhdl" and item.library in STANDARD_LIBRARIES and is_predefined(name):
            # Built in, though the sources of the standard packages may be there as well.
            return self._lookup_predefined(name)
        package = self.packages(item.library, item.package)
        return package.lookup_exported(name) if package is not None and package is not self else None

    def lookup_exported(self, name: str) -> Meaning | None:
        """What `name` means to one who imports this package."""
        return self.lookup_own(name)

    def _lookup_predefined(self, name: str) -> Meaning | None:
        known = predefined(name)
        if known is None:
            return BuiltinMeaning(name) if is_predefined(name) else None
        root = self
        while root.parent is not None:
            root = root.parent
        if isinstance(known, Int | Real):
            return ConstantMeaning(name, root, None)
        return TypeMeaning(name, root, None)

    def lookup_in(self, package: str, name: str) -> Meaning | None:
        """What `package::name` or `[library.]package.name` means."""
        scope = self.package(package)
        if scope is None and self.language == "vhdl" and package.partition(".")[0] in STANDARD_LIBRARIES:
            return self._lookup_predefined(name)
        return scope.lookup_exported(name) if scope is not None else None

    def package(self, package: str) -> Scope | None:
        """The scope of a package named as it is written here, or None where its source is not read."""
        found = self._unit_package(package)
        if found is not None or self.language != "vhdl":
            return found
        outside, _, simple = package.rpartition(".")
        outer = self.package(outside) if outside else None
        meaning = outer.lookup_exported(simple) if outer is not None else None
        if not outside:
            meaning = self.lookup(simple)
        return meaning.scope if isinstance(meaning, ScopeMeaning) else None

    def _unit_package(self, package: str) -> Scope | None:
        library, _, simple = package.rpartition(".")
        if library or self.language != "vhdl":
            return self.packages(library, simple)
        for scope in self._outward():
            for item in (*scope._imports.named.values(), *scope._imports.all):
                if item.package == simple:
                    return self.packages(item.library, simple)
        return self.packages("work", simple)

    def missing_packages(self) -> tuple[str, ...]:
        """Imported packages whose source is not there: where a name not found may have come from.

        VHDL's standard ones are known without it.
        """
        missing: dict[str, None] = {}
        for scope in self._outward():
            for item in (*scope._imports.named.values(), *scope._imports.all):
                standard = self.language == "vhdl" and item.library in STANDARD_LIBRARIES
                if not standard and self.packages(item.library, item.package) is None:
                    missing[item.package] = None
        return tuple(missing)

    def _outward(self) -> Iterable[Scope]:
        scope: Scope | None = self
        while scope is not None:
            yield scope
            scope = scope.parent

    # Evaluating: constants need scopes and scopes constants; these four methods are where the two meet.

    def value(self, name: str) -> Value:
        """The value of a constant visible here; Unknown for everything else."""
        from memlint.design import constants

        return constants.named_value(self, name)

    def own_value(self, name: str) -> Value:
        """The value of a constant declared in this very scope."""
        value = self._values.get(name)
        if value is not None:
            return value
        if name in self._busy:
            return Unknown(f"`{name}` depends on itself")
        from memlint.design import constants

        self._busy.add(name)
        try:
            value = constants.declared_value(self, name, self._items.get(name), self._given.get(name))
        finally:
            self._busy.discard(name)
        self._values[name] = value
        return value

    def own_type(self, name: str) -> AnyType:
        """The type of a signal, or the type meant by a type's name, declared in this very scope."""
        type = self._types.get(name)
        if type is not None:
            return type
        if name in self._busy_types:
            return Unknown(f"`{name}` depends on itself")
        if len(self._busy_types) >= DEEPEST_TYPE:
            return Unknown(f"`{name}` stands behind more than {DEEPEST_TYPE} types that name each other")
        from memlint.design import constants

        self._busy_types.add(name)
        try:
            type = self._given_types.get(name) or constants.declared_type(
                self, name, self._items.get(name), self._given.get(name)
            )
        except RecursionError:
            type = Unknown(f"the type `{name}` nests too deeply to evaluate")
        finally:
            self._busy_types.discard(name)
        self._types[name] = type
        return type

    def constant_type(self, name: str) -> AnyType | None:
        """The declared type of a constant of this scope, None where it has none of its own."""
        item = self._items.get(name)
        if isinstance(item, Parameter | Variable) and item.type is not None and not _follows_value(item.type):
            return self.own_type(name)
        return None

    def declaration(self, name: str) -> Declared | None:
        """The item that declares a name in this very scope."""
        return self._items.get(name)

    def remembered(self, name: str) -> Value | None:
        """The value of a name of this very scope, if it has been worked out."""
        return self._values.get(name)

    def remember(self, name: str, value: Value) -> None:
        """Note the value of an enumeration member found while its type is resolved."""
        self._values[name] = value

    def evaluate(self, expr: Expr, width: int | None = None, type: ElabType | None = None) -> Value:
        return _evaluator()(expr, self, width, type)

    def type_of(self, expr: Expr) -> AnyType:
        """The type of an expression: of a signal, an element of it, a field, …"""
        from memlint.design import constants

        return constants.type_of(expr, self)

    def resolve(self, data_type: DataType, dimensions: tuple[Dimension, ...] = ()) -> AnyType:
        from memlint.design import resolution

        return resolution.resolve(data_type, dimensions, self)


@cache
def _evaluator() -> Callable[[Expr, Scope, int | None, ElabType | None], Value]:
    """`constants.evaluate`: constants need scopes too, and an import at each call would cost as much."""
    from memlint.design.constants import evaluate

    return evaluate


def _same_profile(first: Subprogram, second: Subprogram) -> bool:
    return [(port.name, port.type) for port in first.arguments] == [
        (port.name, port.type) for port in second.arguments
    ]


def _follows_value(type: DataType) -> bool:
    """`parameter signed P` gives a sign only; width and range are the value's (IEEE 1800-2017 6.20.2)."""
    return type.kind == "implicit" and not type.dimensions
