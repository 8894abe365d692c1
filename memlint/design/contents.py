"""Contents an array has at power-up, and values known before simulation."""

from __future__ import annotations

from memlint.design.scope import Scope, SignalMeaning
from memlint.design.values import ArrayValue, Int, StructValue, Unknown, Value
from memlint.reading.facts.expressions import (
    Binary,
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
    Unary,
)

# Operators of Verilog that have no value unless both operands do.
_BOTH_NEEDED = frozenset("+ - * / % & | ^ ~^ == != === !== ==? !=? < <= > >=".split())


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
        case _ if depends_on_signal(expr, scope):
            return False
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


def depends_on_signal(expr: Expr, scope: Scope) -> bool:
    """Whether a quick look shows that a signal keeps an expression from having a value.

    Most expressions of a design are of that kind, and evaluating them gives no more than a reason.
    """
    while True:
        match expr:
            case Name(name=name):
                return isinstance(scope.lookup(name), SignalMeaning)
            case _ if scope.language == "vhdl":
                # A function may be called by an operator, and need not look at what it is given.
                return False
            case Index(base=inner) | Slice(base=inner) | Unary(operand=inner):
                expr = inner
            case Binary(op=op, left=left, right=right):
                # Leftwards without recursion: a sum may have thousands of terms.
                if depends_on_signal(right, scope) is (op in _BOTH_NEEDED):
                    return op in _BOTH_NEEDED
                expr = left
            case _:
                return False


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
