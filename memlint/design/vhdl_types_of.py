"""The types of VHDL expressions, whose indices need not be constant."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.meanings import (
    AliasMeaning,
    BuiltinMeaning,
    ConstantMeaning,
    Meaning,
    SignalMeaning,
    SubprogramMeaning,
    TypeMeaning,
)
from memlint.design.overloads import result_type
from memlint.design.predefined import BOOLEAN, INTEGER
from memlint.design.references import called, meaning_of, not_constant, without_alias
from memlint.design.scope import Scope
from memlint.design.selection import At, FieldOf, Part, type_after, type_of_value
from memlint.design.types import AnyType, Range, Shapeless, Unconstrained, Vector, bits, is_open
from memlint.design.values import Int, Unknown
from memlint.design.vhdl_attributes import attribute_type, range_of
from memlint.design.vhdl_names import missing_place
from memlint.reading.facts import expressions as ex

_RELATIONS = frozenset(("==", "!=", "<", "<=", ">", ">=", "==?", "!=?"))
# Functions whose result has the type of their first argument.
_SAME_TYPE = frozenset(("shift_left", "shift_right", "rotate_left", "rotate_right", "to_01", "to_x01"))
_SIZED = {"to_unsigned": False, "to_signed": True, "conv_unsigned": False, "conv_signed": True}


def type_of(expr: ex.Expr, scope: Scope) -> AnyType:
    """The type of an expression, as `constants.type_of` says."""
    match expr:
        case ex.Name() | ex.Scoped():
            return _type_of_name(expr, scope)
        case ex.Member(base=base, name=name):
            if meaning_of(expr, scope) is not None:
                return _type_of_name(expr, scope)
            return missing_place(expr, scope) or type_after(type_of(base, scope), FieldOf(name))
        case ex.Call():
            return _type_of_call(expr, scope)
        case ex.Index(base=base):
            return type_after(type_of(base, scope), At(0))
        case ex.Slice(base=base):
            return _type_of_slice(type_of(base, scope), expr, scope)
        case ex.Attribute():
            return attribute_type(expr, scope)
        case ex.Cast(target=ex.DataType() as target):
            type = scope.resolve(target)
            return type_of_value(scope.evaluate(expr)) if isinstance(type, Unconstrained) else type
        case ex.TypeArgument(type=type):
            return scope.resolve(type)
        case ex.Concat(parts=parts):
            return _type_of_concat(parts, expr, scope)
        case ex.Binary(op=op, left=left, right=right):
            return _type_of_binary(op, left, right, scope)
        case ex.Unary(operand=operand, op="not" | "-" | "+" | "abs"):
            return type_of(operand, scope)
        case ex.Conditional(then=then):
            return type_of(then, scope)
        case _:
            return type_of_value(scope.evaluate(expr))


def _type_of_name(expr: ex.Name | ex.Scoped | ex.Member, scope: Scope) -> AnyType:
    meaning = without_alias(meaning_of(expr, scope))
    match meaning:
        case ConstantMeaning():
            declared = meaning.type
            if declared is None or is_open(declared) or isinstance(declared, Unknown | Shapeless):
                return type_of_value(meaning.value)
            return declared
        case SignalMeaning() | TypeMeaning():
            return meaning.type
        case AliasMeaning():
            return meaning.scope.type_of(meaning.alias.target)
        case SubprogramMeaning():
            return result_type(meaning)
        case _:
            return not_constant(expr, meaning, scope)


def _type_of_call(expr: ex.Call, scope: Scope) -> AnyType:
    meaning = called(expr.function, scope)
    match meaning:
        case SubprogramMeaning():
            type = result_type(meaning)
            if isinstance(type, Unknown | Unconstrained):
                value = scope.evaluate(expr)
                return type if isinstance(value, Unknown) else type_of_value(value)
            return type
        case TypeMeaning():
            return _converted(meaning.type, expr, scope)
        case BuiltinMeaning(name=name):
            return _builtin_type(name, expr, scope)
        case None if isinstance(expr.function, ex.Name):
            return type_of_value(scope.evaluate(expr))
        case _:
            return _selected(type_of(expr.function, scope), meaning, expr, scope)


def _selected(type: AnyType, meaning: Meaning | None, expr: ex.Call, scope: Scope) -> AnyType:
    for argument in expr.arguments:
        span = range_of(argument, scope)
        if isinstance(span, Unknown):
            return span
        type = type_after(type, Part(span) if span is not None else At(0))
    return type


def _type_of_slice(type: AnyType, expr: ex.Slice, scope: Scope) -> AnyType:
    nothing = ex.Name("", span=expr.span)
    span = range_of(ex.Slice(nothing, expr.left, expr.right, expr.kind, span=expr.span), scope)
    if not isinstance(span, Range):
        return span or Unknown("a slice needs a range", expr.span)
    return type_after(type, Part(span))


def _converted(type: AnyType, expr: ex.Call, scope: Scope) -> AnyType:
    """A conversion to an open array type keeps the index range of its operand (9.3.6)."""
    if not isinstance(type, Unconstrained) or len(expr.arguments) != 1:
        return type
    operand = type_of(expr.arguments[0], scope)
    if isinstance(operand, Vector) and type.vector is not None:
        return replace(type.vector, dimensions=operand.dimensions)
    return operand


def _builtin_type(name: str, expr: ex.Call, scope: Scope) -> AnyType:
    if name in ("to_integer", "conv_integer"):
        return INTEGER
    if name in _SAME_TYPE and expr.arguments:
        return type_of(expr.arguments[0], scope)
    if name in ("rising_edge", "falling_edge", "is_x"):
        return BOOLEAN
    if (name in _SIZED or name == "resize") and len(expr.arguments) == 2:
        like = type_of(expr.arguments[0], scope)
        signed = like.signed if name == "resize" and isinstance(like, Vector) else _SIZED.get(name, False)
        size = scope.evaluate(expr.arguments[1])
        if isinstance(size, Int):
            label = "signed" if signed else "unsigned"
            return Vector((Range((size.width or size.value) - 1, 0, True),), signed, None, label)
    return type_of_value(scope.evaluate(expr))


def _type_of_concat(parts: tuple[ex.Expr, ...], expr: ex.Concat, scope: Scope) -> AnyType:
    value = scope.evaluate(expr)
    if not isinstance(value, Unknown):
        return type_of_value(value)
    types = [type_of(part, scope) for part in parts]
    total = 0
    for type in types:
        size = bits(type)
        if isinstance(size, Unknown) or not isinstance(type, Vector):
            return (
                size
                if isinstance(size, Unknown)
                else Unknown("the concatenation's type is not known", expr.span)
            )
        total += size
    like = next((type for type in types if isinstance(type, Vector) and type.dimensions), Vector())
    return replace(like, dimensions=(Range(0, total - 1, False),)) if isinstance(like, Vector) else value


def _type_of_binary(op: str, left: ex.Expr, right: ex.Expr, scope: Scope) -> AnyType:
    """An operator's result type: of two vectors the longer one's, of a product both lengths together."""
    if op in _RELATIONS:
        return BOOLEAN
    first, second = type_of(left, scope), type_of(right, scope)
    if not isinstance(first, Vector):
        return second if isinstance(second, Vector) else first
    if not isinstance(second, Vector) or op in ("<<", ">>", "<<<", ">>>"):
        return first
    a, b = bits(first), bits(second)
    if isinstance(a, Unknown) or isinstance(b, Unknown):
        return a if isinstance(a, Unknown) else first
    if op == "*":
        return replace(first, dimensions=(Range(a + b - 1, 0, True),))
    return first if a >= b else second
