"""The values of VHDL expressions (IEEE 1076-2008 9)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from memlint.design.conversion import convert_vhdl
from memlint.design.frames import select_named
from memlint.design.operators import truth
from memlint.design.patterns import pattern_value
from memlint.design.scope import Scope
from memlint.design.selection import Part, select, type_of_value
from memlint.design.types import Array, ElabType, Enum, Range, Unconstrained, Vector
from memlint.design.values import ArrayValue, Int, Real, Text, TypeValue, Unknown, Value, vector
from memlint.design.vhdl_attributes import attribute, range_of
from memlint.design.vhdl_concatenation import concatenate
from memlint.design.vhdl_names import call, member, named, select_from
from memlint.design.vhdl_operators import binary, unary
from memlint.reading.facts import expressions as ex


def evaluate(expr: ex.Expr, scope: Scope, type: ElabType | None) -> Value:
    """The value of `expr`, as `constants.evaluate` says."""
    value = _typed(expr, scope, type) if type is not None else _value(expr, scope)
    return value.at(expr.span) if isinstance(value, Unknown) else value


def _typed(expr: ex.Expr, scope: Scope, type: ElabType) -> Value:
    """The value where the context expects a type, which literals and aggregates take on."""
    match expr:
        case ex.Pattern():
            return pattern_value(expr, type, scope)
        case ex.Name(name=name) if isinstance(type, Enum):
            return _member_or_name(name, expr, scope, type)
        case ex.Conditional(condition=condition, then=then, otherwise=otherwise):
            chosen = truth(scope.evaluate(condition))
            if isinstance(chosen, Unknown):
                return chosen
            return evaluate(then if chosen else otherwise, scope, type)
        case ex.Concat(parts=parts) if isinstance(type, Array | Unconstrained) and not _is_vector(type):
            return convert_vhdl(_concatenate_elements(parts, scope, type), type)
        case ex.Call():
            return convert_vhdl(call(expr, scope, type), type)
        case _:
            return convert_vhdl(_value(expr, scope), type)


def _is_vector(type: ElabType) -> bool:
    return isinstance(type, Unconstrained) and type.vector is not None


def _member_or_name(name: str, expr: ex.Name, scope: Scope, type: Enum) -> Value:
    """A name where an enumeration is expected: members of other enumerations give way to its own."""
    value = named(expr, scope)
    own = isinstance(value, Int) and isinstance(value.type, Enum) and value.type.members == type.members
    if not own:
        for place, (key, _) in enumerate(type.members):
            if key == name:
                return Int(place, None, False, type)
    return convert_vhdl(value, type)


def _concatenate_elements(parts: tuple[ex.Expr, ...], scope: Scope, type: Array | Unconstrained) -> Value:
    """A concatenation that makes an array of vectors: vectors in it are elements, not pieces of a word."""
    element = None if isinstance(type.element, Unknown) else type.element
    values: list[Value] = []
    for part in parts:
        value = scope.evaluate(part, type=element if isinstance(part, ex.Pattern) else None)
        if isinstance(value, Int | Text) and isinstance(element, Vector) and element.dimensions:
            value = ArrayValue((convert_vhdl(value, element),), Range(0, 0, False))
        values.append(value)
    return concatenate(values)


def _value(expr: ex.Expr, scope: Scope) -> Value:
    handler = _VALUES.get(expr.__class__)
    return handler(expr, scope) if handler is not None else Unknown("this expression is not evaluated")


def _number(expr: ex.Number, scope: Scope) -> Value:
    if expr.value is None:
        return Unknown("the literal has digits other than 0 and 1")
    if expr.width is None:
        return Int(expr.value)
    # A bit string literal is bits, whatever its base (15.8); its sign only said how to extend it.
    return vector(expr.value, expr.width, False, Vector((Range(0, expr.width - 1, False),)))


def _binary(expr: ex.Binary, scope: Scope) -> Value:
    left, right = expr.left, expr.right
    if isinstance(left, ex.Pattern):
        second = scope.evaluate(right)
        return binary(expr.op, _like(left, second, scope), second)
    first = scope.evaluate(left)
    if isinstance(right, ex.Pattern) or (isinstance(first, Int) and isinstance(first.type, Enum)):
        return binary(expr.op, first, _like(right, first, scope))
    return binary(expr.op, first, scope.evaluate(right))


def _like(expr: ex.Expr, other: Value, scope: Scope) -> Value:
    """An operand whose type is that of the other one."""
    type = type_of_value(other)
    return scope.evaluate(expr, type=None if isinstance(type, Unknown) else type)


def _conditional(expr: ex.Conditional, scope: Scope) -> Value:
    chosen = truth(scope.evaluate(expr.condition))
    if isinstance(chosen, Unknown):
        return chosen
    return scope.evaluate(expr.then if chosen else expr.otherwise)


def _index(expr: ex.Index, scope: Scope) -> Value:
    return select_from(expr.base, (expr.index,), scope)


def _slice(expr: ex.Slice, scope: Scope) -> Value:
    span = range_of(
        ex.Slice(ex.Name("", span=expr.span), expr.left, expr.right, expr.kind, span=expr.span), scope
    )
    if not isinstance(span, Range):
        return span or Unknown("a slice needs a range")
    if isinstance(expr.base, ex.Name):
        return select_named(expr.base, scope, Part(span))
    return select(scope.evaluate(expr.base), Part(span))


def _qualified(expr: ex.Cast, scope: Scope) -> Value:
    type = scope.resolve(expr.target) if isinstance(expr.target, ex.DataType) else scope.type_of(expr.target)
    return type if isinstance(type, Unknown) else scope.evaluate(expr.value, type=type)


def _inside(expr: ex.Inside, scope: Scope) -> Value:
    """Whether a value is among choices: of a case, or a selected assignment."""
    value = scope.evaluate(expr.value)
    hidden: Unknown | None = None
    for choice in expr.choices:
        found = _matches(value, choice, scope)
        if isinstance(found, Unknown):
            hidden = hidden or found
        elif found:
            return binary("==", Int(0), Int(0))
    return hidden or binary("==", Int(0), Int(1))


def _matches(value: Value, choice: ex.Expr, scope: Scope) -> bool | Unknown:
    if isinstance(value, Unknown):
        return value
    span = range_of(choice, scope)
    if isinstance(span, Range):
        return isinstance(value, Int) and span.offset(value.value) is not None
    return truth(binary("==", value, _like(choice, value, scope)))


def _type_argument(expr: ex.TypeArgument, scope: Scope) -> Value:
    type = scope.resolve(expr.type)
    return type if isinstance(type, Unknown) else TypeValue(type)


_VALUES: dict[type, Callable[[Any, Scope], Value]] = {
    ex.Name: named,
    ex.Number: _number,
    ex.Call: lambda expr, scope: call(expr, scope, None),
    ex.Binary: _binary,
    ex.Unary: lambda expr, scope: unary(expr.op, scope.evaluate(expr.operand)),
    ex.Attribute: attribute,
    ex.Member: member,
    ex.Scoped: named,
    ex.Conditional: _conditional,
    ex.Concat: lambda expr, scope: concatenate([scope.evaluate(part) for part in expr.parts]),
    ex.Index: _index,
    ex.Slice: _slice,
    ex.Cast: _qualified,
    ex.Inside: _inside,
    ex.TypeArgument: _type_argument,
    ex.Real: lambda expr, scope: Real(expr.value),
    ex.String: lambda expr, scope: Text(expr.value, expr.character),
    ex.Pattern: lambda expr, scope: Unknown("an aggregate needs a type"),
    ex.Open: lambda expr, scope: Unknown("nothing stands here that has a value"),
    ex.Unsupported: lambda expr, scope: Unknown(f"{expr.what} is not evaluated"),
}
