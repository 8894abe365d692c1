"""Widths, signs and types of SystemVerilog expressions by themselves (IEEE 1800-2017 11.6.1, 11.8.1).

Calls of functions are not evaluated for it: their result types are enough.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from memlint.design import system_functions
from memlint.design.conversion import is_signed
from memlint.design.meanings import ConstantMeaning, SignalMeaning, SubprogramMeaning, TypeMeaning
from memlint.design.operators import BIT_SHAPE, INT_SHAPE, OTHER_SHAPE, REAL_SHAPE, Shape, combine
from memlint.design.overloads import result_type
from memlint.design.references import called, meaning_of, meaning_of_type, not_constant, without_alias
from memlint.design.scope import Scope
from memlint.design.selection import At, FieldOf, Part, as_vector, type_after, type_of_value
from memlint.design.types import (
    AnyType,
    Enum,
    Range,
    RealType,
    Shapeless,
    Struct,
    TextType,
    Unconstrained,
    Vector,
    between,
    bits,
)
from memlint.design.values import Int, Partial, Real, Text, TypeValue, Unknown, Value, spell, text_bits
from memlint.reading.facts import expressions as ex

ARITHMETIC = frozenset(("+", "-", "*", "/", "%", "&", "|", "^", "~^"))
SIGNED_INTEGERS = frozenset(("integer", "int", "byte", "shortint", "longint"))
SHIFTS = frozenset(("<<", ">>", "<<<", ">>>"))


def shape_of(expr: ex.Expr, scope: Scope) -> Shape | Unknown:
    """Width and sign of an expression by itself."""
    handler = _SHAPES.get(expr.__class__)
    return handler(expr, scope) if handler is not None else shape_of_type(type_of(expr, scope))


def _shape_of_number(expr: ex.Number, scope: Scope) -> Shape | Unknown:
    if expr.fill:
        return BIT_SHAPE
    width = literal_width(expr.value, expr.signed) if expr.width is None else expr.width
    return Shape(width, expr.signed)


def _shape_of_name(expr: ex.Name, scope: Scope) -> Shape | Unknown:
    meaning = scope.lookup(expr.name)
    if isinstance(meaning, ConstantMeaning):
        return shape_of_value(meaning.value)
    return shape_of_type(_type_of_name(expr, scope))


def literal_width(value: int | None, signed: bool) -> int:
    """An unsized literal has at least 32 bits (5.7.1); a longer one keeps all of its digits."""
    if value is None or -(1 << 31) <= value < (1 << 31):
        return 32
    return max(32, value.bit_length() + signed)


def shape_of_value(value: Value) -> Shape | Unknown:
    """Width and sign of a value."""
    if isinstance(value, Int):
        return Shape(value.width, value.signed) if value.width is not None else INT_SHAPE
    match value:
        case Partial(known=known):
            return shape_of_value(known)
        case Real():
            return REAL_SHAPE
        case Text(value=text):
            return Shape(text_bits(text).width or 8, False, "text")
        case Unknown():
            return value
        case _:
            return OTHER_SHAPE


def shape_of_type(type: AnyType) -> Shape | Unknown:
    match type:
        case Vector() | Enum() | Struct(packed=True):
            size = bits(type)
            return size if isinstance(size, Unknown) else Shape(size, is_signed(type))
        case RealType():
            return REAL_SHAPE
        case TextType():
            return Shape(8, False, "text")
        case Unknown():
            return type
        case _:
            return OTHER_SHAPE


def _shape_of_binary(expr: ex.Binary, scope: Scope) -> Shape | Unknown:
    op = expr.op
    if op in ARITHMETIC:
        return combine(shape_of(expr.left, scope), shape_of(expr.right, scope))
    if op in SHIFTS:
        return shape_of(expr.left, scope)
    if op == "**":
        base, exponent = shape_of(expr.left, scope), shape_of(expr.right, scope)
        real = isinstance(exponent, Shape) and exponent.kind == "real"
        return REAL_SHAPE if real and not isinstance(base, Unknown) else base
    return BIT_SHAPE


def _shape_of_unary(expr: ex.Unary, scope: Scope) -> Shape | Unknown:
    return shape_of(expr.operand, scope) if expr.op in ("+", "-", "~") else BIT_SHAPE


def _shape_of_conditional(expr: ex.Conditional, scope: Scope) -> Shape | Unknown:
    return combine(shape_of(expr.then, scope), shape_of(expr.otherwise, scope))


def _shape_of_call(expr: ex.Call, scope: Scope) -> Shape | Unknown:
    if isinstance(expr.function, ex.Name) and expr.function.name.startswith("$"):
        return system_functions.shape_of_call(expr, scope, shape_of)
    return shape_of_type(type_of(expr, scope))


def _shape_of_parts(parts: tuple[ex.Expr, ...], scope: Scope) -> Shape | Unknown:
    width = 0
    kind = "text"
    for part in parts:
        shape = shape_of(part, scope)
        if isinstance(shape, Unknown):
            return shape
        width += shape.width
        kind = kind if shape.kind == "text" else "int"
    return Shape(width, False, kind)


def _shape_of_replicate(expr: ex.Replicate, scope: Scope) -> Shape | Unknown:
    count = integer(expr.count, scope)
    shape = _shape_of_parts(expr.parts, scope)
    if isinstance(shape, Unknown) or isinstance(count, Unknown):
        return count if isinstance(count, Unknown) else shape
    return Shape(max(0, shape.width * count), False, shape.kind)


def _shape_of_cast(expr: ex.Cast, scope: Scope) -> Shape | Unknown:
    """A cast to a size or sign keeps the other of its operand (6.24.1)."""
    target = cast_target(expr, scope)
    if isinstance(target, Unknown):
        return target
    if not isinstance(target, int | bool):
        return shape_of_type(target)
    shape = shape_of(expr.value, scope)
    if isinstance(shape, Unknown):
        return shape
    if isinstance(target, bool):
        return Shape(shape.width, target)
    return Shape(target, shape.signed and shape.kind == "int")


_SHAPES: dict[type, Callable[[Any, Scope], Shape | Unknown]] = {
    ex.Number: _shape_of_number,
    ex.Name: _shape_of_name,
    ex.Binary: _shape_of_binary,
    ex.Unary: _shape_of_unary,
    ex.Conditional: _shape_of_conditional,
    ex.Real: lambda expr, scope: REAL_SHAPE,
    ex.String: lambda expr, scope: shape_of_value(Text(expr.value)),
    ex.Concat: lambda expr, scope: _shape_of_parts(expr.parts, scope),
    ex.Replicate: _shape_of_replicate,
    ex.Inside: lambda expr, scope: BIT_SHAPE,
    ex.Call: _shape_of_call,
    ex.Cast: _shape_of_cast,
    ex.Pattern: lambda expr, scope: OTHER_SHAPE,
    ex.TypeArgument: lambda expr, scope: OTHER_SHAPE,
    ex.Unsupported: lambda expr, scope: Unknown(f"{expr.what} is not evaluated", expr.span),
}


def cast_target(expr: ex.Cast, scope: Scope) -> AnyType | int | bool:
    """What a cast is to: a type, a size in bits (int), or a sign alone (bool, whether signed)."""
    target = expr.target
    if isinstance(target, ex.DataType):
        if target.kind == "implicit" and not target.dimensions:
            return target.signed
        if target.kind == "named":
            meaning = without_alias(meaning_of_type(target, scope))
            if isinstance(meaning, ConstantMeaning):
                return _cast_size(meaning.value)
        if target.name in SIGNED_INTEGERS:
            # The type of a cast is one word, so it has the sign that word stands for (6.11.3).
            target = replace(target, signed=True)
        return scope.resolve(target)
    size = scope.evaluate(target)
    return size.type if isinstance(size, TypeValue) else _cast_size(size)


def _cast_size(size: Value) -> int | Unknown:
    if isinstance(size, Int):
        return size.value
    return size if isinstance(size, Unknown) else Unknown("a cast needs a type or a size")


def integer(expr: ex.Expr, scope: Scope) -> int | Unknown:
    """The value of an expression that must be a whole number."""
    value = scope.evaluate(expr)
    if isinstance(value, Int):
        return value.value
    return value if isinstance(value, Unknown) else Unknown("a whole number is needed here", expr.span)


def slice_range(expr: ex.Slice, scope: Scope, descending: bool) -> Range | Unknown:
    """The range a part select covers (11.5.1); `+:` and `-:` have the direction of what they select from."""
    left = integer(expr.left, scope)
    right = integer(expr.right, scope)
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    if expr.kind == ":":
        return between(left, right)
    if right <= 0:
        return Unknown(f"a part select of {spell(right)} bits", expr.right.span)
    low, high = (left, left + right - 1) if expr.kind == "+:" else (left - right + 1, left)
    return Range(high, low, True) if descending else Range(low, high, False)


# Types


def type_of(expr: ex.Expr, scope: Scope) -> AnyType:
    """The type of an expression, as `constants.type_of` says. Indices need not be constant."""
    match expr:
        case ex.Name() | ex.Scoped():
            return _type_of_name(expr, scope)
        case ex.Member(base=base, name=name):
            if meaning_of(expr, scope) is not None:
                return _type_of_name(expr, scope)
            return type_after(type_of(base, scope), FieldOf(name))
        case ex.Index(base=base):
            return type_after(type_of(base, scope), At(0))
        case ex.Slice(base=base):
            span = _width_of_slice(expr, scope)
            return span if isinstance(span, Unknown) else type_after(type_of(base, scope), Part(span))
        case ex.Call(function=function):
            meaning = called(function, scope)
            if isinstance(meaning, SubprogramMeaning):
                return result_type(meaning)
            return _own_type(scope.evaluate(expr))
        case ex.Cast():
            target = cast_target(expr, scope)
            return _type_of_shape(shape_of(expr, scope)) if isinstance(target, int | bool) else target
        case ex.TypeArgument(type=type):
            return scope.resolve(type)
        case ex.Pattern() | ex.Open() | ex.Attribute():
            return Unknown("an expression without a type of its own", expr.span)
        case _:
            return _type_of_shape(shape_of(expr, scope))


def _own_type(value: Value) -> AnyType:
    return type_of_value(as_vector(value))


def _width_of_slice(expr: ex.Slice, scope: Scope) -> Range | Unknown:
    """The range of a part select whose index may be a signal: `[i +: 8]` has 8 bits all the same."""
    if expr.kind == ":":
        return slice_range(expr, scope, descending=True)
    size = integer(expr.right, scope)
    if isinstance(size, Unknown):
        return size
    return (
        Range(size - 1, 0, True)
        if size > 0
        else Unknown(f"a part select of {spell(size)} bits", expr.right.span)
    )


def _type_of_shape(shape: Shape | Unknown) -> AnyType:
    if isinstance(shape, Unknown):
        return shape
    match shape.kind:
        case "real":
            return RealType()
        case "other":
            return Unknown("the expression has no type that is known")
        case _:
            return Vector((Range(shape.width - 1, 0, True),), shape.signed)


def _type_of_name(expr: ex.Name | ex.Scoped | ex.Member, scope: Scope) -> AnyType:
    meaning = without_alias(meaning_of(expr, scope))
    match meaning:
        case ConstantMeaning():
            declared = meaning.type
            if declared is None or isinstance(declared, Unknown | Shapeless | Unconstrained):
                return _own_type(meaning.value)
            return declared
        case SignalMeaning() | TypeMeaning():
            return meaning.type
        case SubprogramMeaning():
            return result_type(meaning)
        case _:
            return not_constant(expr, meaning, scope)
