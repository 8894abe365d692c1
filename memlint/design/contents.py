"""Contents an array has at power-up, and values known before simulation."""

from __future__ import annotations

from memlint.design.scope import Scope
from memlint.design.values import ArrayValue, Int, StructValue, Unknown, Value
from memlint.reading.facts.expressions import (
    Cast,
    Concat,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Pattern,
    Replicate,
    Slice,
    String,
)


def is_zero(expr: Expr, scope: Scope) -> bool:
    """Whether initial contents are all zero, as far as the expression shows it."""
    match expr:
        case Number(value=value):
            return value == 0
        case String(value=text):
            return bool(text) and set(text) == {"0"}
        case Pattern(items=items):
            return bool(items) and all(is_zero(value, scope) for _, value in items)
        case Replicate(parts=parts):
            return all(is_zero(part, scope) for part in parts)
        case _:
            return _all_zero(scope.evaluate(expr))


def is_constant(expr: Expr, scope: Scope) -> bool:
    """Whether an expression has a value before simulation (digits x and z count: nothing reads them)."""
    match expr:
        case Number() | String():
            return True
        case Name() | Index() | Slice() | Member():
            value = scope.evaluate(expr)
            return isinstance(value, Int)
        case Concat(parts=parts) | Replicate(parts=parts):
            return all(is_constant(part, scope) for part in parts)
        case Pattern(items=items):
            return all(is_constant(value, scope) for _, value in items)
        case Cast(value=value):
            return is_constant(value, scope)
        case _:
            return not isinstance(scope.evaluate(expr), Unknown)


def _all_zero(value: Value) -> bool:
    match value:
        case Int(value=number):
            return number == 0
        case ArrayValue(items=items):
            return bool(items) and all(map(_all_zero, items))
        case StructValue(fields=fields):
            return all(_all_zero(one) for _, one in fields)
        case _:
            return False
