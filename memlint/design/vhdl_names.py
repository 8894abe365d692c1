"""VHDL names and what may follow them in parentheses: a call, an index, a slice or a conversion.

Which of them it is, the meaning of the name decides (IEEE 1076-2008 8, 9.3.4, 9.3.6).
"""

from __future__ import annotations

from memlint.design import functions
from memlint.design.conversion import convert_vhdl, round_half_away
from memlint.design.frames import select_named
from memlint.design.meanings import (
    AliasMeaning,
    BuiltinMeaning,
    ConstantMeaning,
    SignalMeaning,
    SubprogramMeaning,
    TypeMeaning,
)
from memlint.design.overloads import takes
from memlint.design.predefined import BUILTIN_FUNCTIONS
from memlint.design.references import called, meaning_of, not_constant, without_alias
from memlint.design.scope import Scope
from memlint.design.selection import At, FieldOf, Part, Step, select
from memlint.design.types import AnyType, Integer, RealType, Unconstrained, Vector
from memlint.design.values import Int, Real, TypeValue, Unknown, Value
from memlint.design.vhdl_attributes import range_of
from memlint.design.vhdl_functions import call_builtin
from memlint.design.vhdl_operators import binary
from memlint.reading.facts import expressions as ex

_OPERATOR_FUNCTIONS = {
    '"and"': "&", '"or"': "|", '"xor"': "^", '"nand"': "~&", '"nor"': "~|", '"xnor"': "~^",
    '"="': "==", '"/="': "!=", '"<"': "<", '"<="': "<=", '">"': ">", '">="': ">=",
    '"+"': "+", '"-"': "-", '"*"': "*", '"/"': "/", '"mod"': "mod", '"rem"': "%", '"**"': "**",
}  # fmt: skip
_ROTATIONS = {'"rol"': "rotate_left", '"ror"': "rotate_right"}


def named(expr: ex.Name | ex.Scoped | ex.Member, scope: Scope) -> Value:
    """The value of what a name means; a function's name alone calls it without arguments."""
    meaning = without_alias(meaning_of(expr, scope))
    match meaning:
        case ConstantMeaning():
            return meaning.value
        case TypeMeaning():
            type = meaning.type
            return type if isinstance(type, Unknown) else TypeValue(type)
        case SubprogramMeaning():
            return functions.call(meaning, ex.Call(expr, (), span=expr.span), scope)
        case AliasMeaning():
            return meaning.scope.evaluate(meaning.alias.target)
        case _:
            return not_constant(expr, meaning, scope)


def member(expr: ex.Member, scope: Scope) -> Value:
    """A constant of a package, or a field of a record."""
    if meaning_of(expr, scope) is not None:
        return named(expr, scope)
    place = missing_place(expr, scope)
    if place is not None:
        return place
    if isinstance(expr.base, ex.Name):
        return select_named(expr.base, scope, FieldOf(expr.name))
    return select(scope.evaluate(expr.base), FieldOf(expr.name))


def missing_place(expr: ex.Member, scope: Scope) -> Unknown | None:
    """Why `package.name` or `library.package.name` means nothing; None where its prefix is an object."""
    parts: list[str] = [expr.name]
    base = expr.base
    while isinstance(base, ex.Member):
        if meaning_of(base, scope) is not None:
            return None
        parts.insert(0, base.name)
        base = base.base
    if not isinstance(base, ex.Name) or scope.lookup(base.name) is not None:
        return None
    parts.insert(0, base.name)
    package = parts[1] if len(parts) > 2 else parts[0]
    library = parts[0] if len(parts) > 2 else "work"
    known = scope.packages(library, package) if len(parts) > 2 else scope.package(package)
    if known is None:
        return Unknown(f"the package `{'.'.join(parts[:-1])}` is not among the sources", expr.span)
    return Unknown(f"the package `{package}` declares no `{expr.name}`", expr.span)


def call(expr: ex.Call, scope: Scope, wanted: AnyType | None) -> Value:
    """A name with parentheses."""
    function = expr.function
    meaning = called(function, scope)
    match meaning:
        case SubprogramMeaning():
            name = meaning.subprograms[0].name
            if name in BUILTIN_FUNCTIONS and not any(takes(one, expr) for one in meaning.subprograms):
                return _builtin(name, expr, scope)
            return functions.call(meaning, expr, scope, wanted)
        case BuiltinMeaning(name=name):
            return _builtin(name, expr, scope)
        case TypeMeaning():
            return _conversion(meaning.type, expr, scope)
        case None if isinstance(function, ex.Name) and function.name in _OPERATOR_FUNCTIONS:
            return _operator(_OPERATOR_FUNCTIONS[function.name], expr, scope)
        case None if isinstance(function, ex.Name) and function.name in _ROTATIONS:
            return _builtin(_ROTATIONS[function.name], expr, scope)
        case None if isinstance(function, ex.Member) and function.name in BUILTIN_FUNCTIONS:
            # `ieee.math_real.ceil(x)`: a standard function by its full name.
            return _builtin(function.name, expr, scope)
        case _:
            return select_from(function, expr.arguments, scope)


def _builtin(name: str, expr: ex.Call, scope: Scope) -> Value:
    values = [scope.evaluate(argument) for argument in expr.arguments]
    values += [scope.evaluate(argument) for _, argument in expr.named]
    return call_builtin(name, expr, values)


def _operator(op: str, expr: ex.Call, scope: Scope) -> Value:
    if len(expr.arguments) != 2:
        return Unknown(f"`{op}` as a function takes two arguments")
    return binary(op, scope.evaluate(expr.arguments[0]), scope.evaluate(expr.arguments[1]))


def _conversion(type: AnyType, expr: ex.Call, scope: Scope) -> Value:
    """A type conversion (9.3.6)."""
    if isinstance(type, Unknown):
        return type
    if len(expr.arguments) != 1:
        return Unknown("a type conversion takes one argument")
    value = scope.evaluate(expr.arguments[0])
    match type, value:
        case Integer(), Real(value=number):
            whole = round_half_away(number)
            return whole if isinstance(whole, Unknown) else Int(whole)
        case RealType(), Int(value=number):
            try:
                return Real(float(number))
            except OverflowError:
                return Unknown("the number is too large for a real")
        case (Unconstrained() | Vector(), Int(width=None)):
            return Unknown("a whole number is converted to a vector")
        case _:
            return convert_vhdl(value, type)


def select_from(base: ex.Expr, arguments: tuple[ex.Expr, ...], scope: Scope) -> Value:
    """Elements or a slice of a constant."""
    value: Value | None = None
    for argument in arguments:
        step = step_of(argument, scope)
        if isinstance(step, Unknown):
            return step
        if value is not None:
            value = select(value, step)
        elif isinstance(base, ex.Name) and _is_object(base, scope):
            value = select_named(base, scope, step)
        else:
            value = select(scope.evaluate(base), step)
    return value if value is not None else Unknown("nothing stands in the parentheses")


def _is_object(base: ex.Name, scope: Scope) -> bool:
    return isinstance(scope.lookup(base.name), ConstantMeaning | SignalMeaning)


def step_of(argument: ex.Expr, scope: Scope) -> Step | Unknown:
    """What an argument in parentheses selects: a slice where it is a range, else an element."""
    span = range_of(argument, scope)
    if span is not None:
        return span if isinstance(span, Unknown) else Part(span)
    index = scope.evaluate(argument)
    if isinstance(index, Int):
        return At(index.value)
    return index if isinstance(index, Unknown) else Unknown("an index is a whole number", argument.span)
