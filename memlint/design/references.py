"""What a name with dots, scopes or indices before it means, in all languages."""

from __future__ import annotations

from memlint.design.meanings import AliasMeaning, ConstantMeaning, Meaning, ScopeMeaning, TypeMeaning
from memlint.design.predefined import STANDARD_LIBRARIES
from memlint.design.scope import PROTECTED, Scope
from memlint.design.types import AnyType, Shapeless, Struct
from memlint.design.values import Int, Unknown
from memlint.reading.facts.expressions import DataType, Expr, Index, Member, Name, Scoped

# An alias of an alias of … is followed this far.
LONGEST_ALIAS_CHAIN = 20


def meaning_of(expr: Expr, scope: Scope) -> Meaning | None:
    """What a Name, a Scoped name, or a Member of a package, block or instance means.

    None for anything else, as for a field of a record or struct.
    """
    match expr:
        case Name(name=name):
            return scope.lookup(name)
        case Scoped(scope="$unit", name=name):
            return scope.lookup(name)
        case Scoped(scope=package, name=name):
            return scope.lookup_in(package, name)
        case Member(base=base, name=name):
            inner = _scope_of(base, scope)
            if inner is not None:
                return inner.lookup_exported(name)
            standard = _standard_package(base) if scope.language == "vhdl" else None
            return scope.lookup_in(standard, name) if standard is not None else None
        case _:
            return None


def _standard_package(expr: Expr) -> str | None:
    """The dotted name of a package of the standard libraries, known without its source."""
    match expr:
        case Member(base=Name(name=library), name=package) if library in STANDARD_LIBRARIES:
            return f"{library}.{package}"
        case _:
            return None


def _scope_of(expr: Expr, scope: Scope) -> Scope | None:
    """The scope that names after `expr.` are looked up in, None where `expr` denotes no such place."""
    match expr:
        case Name(name=name):
            meaning = scope.lookup(name)
            if isinstance(meaning, ScopeMeaning):
                return meaning.scope
            return scope.package(name) if meaning is None and scope.language == "vhdl" else None
        case Member(base=Name(name=library), name=package) if scope.language == "vhdl":
            meaning = scope.lookup(library)
            if isinstance(meaning, ScopeMeaning):
                return _inner_scope(meaning.scope, package)
            return scope.packages(library, package) if meaning is None else None
        case Member(base=base, name=name):
            outer = _scope_of(base, scope)
            return _inner_scope(outer, name) if outer is not None else None
        case Index(base=Name(name=name), index=index):
            place = scope.evaluate(index)
            if isinstance(place, Int):
                meaning = scope.lookup(f"{name}[{place.value}]")
                return meaning.scope if isinstance(meaning, ScopeMeaning) else None
            return None
        case _:
            return None


def _inner_scope(scope: Scope, name: str) -> Scope | None:
    meaning = scope.lookup_exported(name)
    return meaning.scope if isinstance(meaning, ScopeMeaning) else None


def called(expr: Expr, scope: Scope) -> Meaning | None:
    """What the function of a call means. A function's own name inside it is its result, unless called."""
    meaning = without_alias(meaning_of(expr, scope))
    while isinstance(meaning, ConstantMeaning) and meaning.scope.subprogram == meaning.name:
        meaning = meaning.scope.parent.lookup(meaning.name) if meaning.scope.parent is not None else None
    return meaning


def without_alias(meaning: Meaning | None) -> Meaning | None:
    """The meaning of what an alias of a whole name stands for; an AliasMeaning where it is no whole name."""
    for _ in range(LONGEST_ALIAS_CHAIN):
        if not isinstance(meaning, AliasMeaning):
            return meaning
        target = meaning_of(meaning.alias.target, meaning.scope)
        if target is None:
            return meaning
        meaning = target
    return None


def named_type(data_type: DataType, scope: Scope) -> AnyType:
    """The type a name means, or why there is none."""
    found = meaning_of_type(data_type, scope)
    meaning = without_alias(found)
    if isinstance(meaning, TypeMeaning):
        type = meaning.type
        body = protected_body(type, meaning.name, meaning.scope) if scope.language == "vhdl" else None
        return type if body is None else stored_by(body, meaning.name)
    if found is not None:
        return Unknown(f"`{data_type.name}` is no type", data_type.span)
    if data_type.scope and data_type.scope != "$unit":
        return missing_in(scope, data_type.scope, data_type.name).at(data_type.span)
    return Unknown(not_declared(scope, data_type.name), data_type.span)


def protected_body(type: AnyType, name: str, scope: Scope) -> Scope | None:
    """What the body of a protected type declares, None where the type is none or its body is not there."""
    if not isinstance(type, Shapeless):
        return None
    meaning = scope.lookup_own(f"{PROTECTED} {name}")
    return meaning.scope if isinstance(meaning, ScopeMeaning) else None


def stored_by(body: Scope, name: str) -> AnyType:
    """An object of a protected type, as a record of the variables that its body declares."""
    fields = tuple((one.name, body.own_type(one.name)) for one in body.variables())
    return Struct(fields, name=name)


def meaning_of_type(data_type: DataType, scope: Scope) -> Meaning | None:
    """What the name of a named data type means; it may turn out to be a constant (`WIDTH'(x)`)."""
    if data_type.scope and data_type.scope != "$unit":
        return scope.lookup_in(data_type.scope, data_type.name)
    return scope.lookup(data_type.name)


def not_constant(expr: Name | Scoped | Member, meaning: Meaning | None, scope: Scope) -> Unknown:
    """Why a name has no value: it means nothing, or something that is no constant."""
    if meaning is None and isinstance(expr, Name):
        return Unknown(not_declared(scope, expr.name), expr.span)
    if meaning is None and isinstance(expr, Scoped):
        return missing_in(scope, expr.scope, expr.name).at(expr.span)
    return Unknown(f"`{expr.name}` is not a constant", expr.span)


def missing_in(scope: Scope, package: str, name: str) -> Unknown:
    """Why `package::name` or `package.name` means nothing."""
    if scope.package(package) is None:
        return Unknown(f"the package `{package}` is not among the sources")
    return Unknown(f"the package `{package}` declares no `{name}`")


def not_declared(scope: Scope, name: str) -> str:
    """Why a simple name means nothing."""
    if name.startswith("`"):
        return f"the macro {name} is not defined"
    missing = scope.missing_packages()
    if not missing:
        return f"`{name}` is not declared where it is used"
    listed = ", ".join(f"`{package}`" for package in missing)
    packages = "the package" if len(missing) == 1 else "the packages"
    verb = "is" if len(missing) == 1 else "are"
    return f"`{name}` is not declared where it is used, and {packages} {listed} {verb} not among the sources"
