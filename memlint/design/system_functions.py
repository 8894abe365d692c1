"""SystemVerilog's system functions in constant expressions (IEEE 1800-2017 20)."""

from __future__ import annotations

import math
from collections.abc import Callable

from memlint.design.operators import BIT_SHAPE, INT_SHAPE, REAL_SHAPE, Shape, bit
from memlint.design.scope import Scope
from memlint.design.selection import as_vector
from memlint.design.types import (
    AnyType,
    Array,
    Bound,
    Enum,
    Range,
    Shapeless,
    bits,
    element_type,
    outer_range,
    unpacked_dimensions,
)
from memlint.design.values import ArrayValue, Int, Real, Text, Unknown, Value, spell, text_bits, vector
from memlint.reading.facts import expressions as ex

_SAME_WIDTH = frozenset(("$signed", "$unsigned"))
_BITS = frozenset(("$onehot", "$onehot0", "$isunknown", "$isunbounded"))


def _integer(value: int) -> Int:
    return vector(value, 32, True)


def call(expr: ex.Call, scope: Scope) -> Value:
    """The value of a system function call."""
    name = _name(expr)
    handler = _FUNCTIONS.get(name)
    if handler is None:
        return Unknown(f"`{name}` is not evaluated", expr.span)
    if not expr.arguments:
        return Unknown(f"`{name}` has no argument", expr.span)
    return handler(name, expr, scope)


def _name(expr: ex.Call) -> str:
    return expr.function.name if isinstance(expr.function, ex.Name) else ""


def shape_of_call(
    expr: ex.Call, scope: Scope, shape_of: Callable[[ex.Expr, Scope], Shape | Unknown]
) -> Shape | Unknown:
    """Width and sign of a system function's result."""
    name = _name(expr)
    if name in _SAME_WIDTH and expr.arguments:
        shape = shape_of(expr.arguments[0], scope)
        return shape if isinstance(shape, Unknown) else Shape(shape.width, name == "$signed")
    if name in _BITS:
        return BIT_SHAPE
    if name in _REALS or name in ("$itor", "$pow", "$atan2", "$hypot"):
        return REAL_SHAPE
    if name in _FUNCTIONS:
        return INT_SHAPE
    return Unknown(f"`{name}` is not evaluated", expr.span)


def _pattern(name: str, expr: ex.Call, scope: Scope) -> Int | Unknown:
    """The first argument as a vector of bits."""
    value = as_vector(scope.evaluate(expr.arguments[0]))
    if isinstance(value, Int) and value.width is not None:
        return value
    return value if isinstance(value, Unknown) else Unknown(f"`{name}` needs a vector", expr.span)


def _clog2(name: str, expr: ex.Call, scope: Scope) -> Value:
    """The argument counts as unsigned; of 0 the result is 0 (20.8.1)."""
    value = scope.evaluate(expr.arguments[0])
    if isinstance(value, Real):
        value = scope.evaluate(
            ex.Cast(ex.DataType("builtin", "integer", signed=True), expr.arguments[0], span=expr.span)
        )
    if isinstance(value, Text):
        value = text_bits(value.value)
    if not isinstance(value, Int):
        return value if isinstance(value, Unknown) else Unknown("`$clog2` needs a number", expr.span)
    return _integer(max(0, value.pattern - 1).bit_length())


def _size_in_bits(name: str, expr: ex.Call, scope: Scope) -> Value:
    """`$bits` of a type or an expression (20.6.2)."""
    argument = expr.arguments[0]
    size = bits(scope.type_of(argument))
    if isinstance(size, Unknown):
        value = scope.evaluate(argument)
        if isinstance(value, ArrayValue):
            size = sum(item.width or 0 for item in value.items if isinstance(item, Int))
        elif isinstance(value, Text):
            size = 8 * len(value.value)
    return size if isinstance(size, Unknown) else _integer(size)


def _dimensions(type: AnyType) -> list[Bound]:
    """All dimensions of a type, slowest first; a packed struct or integer type has one (20.7)."""
    found: list[Bound] = []
    while True:
        span = outer_range(type)
        if span is None:
            return found
        found.append(span)
        inner = element_type(type)
        if isinstance(type, Enum) or isinstance(inner, Unknown):
            return found
        type = inner


def _argument_type(expr: ex.Call, scope: Scope) -> AnyType:
    type = scope.type_of(expr.arguments[0])
    if isinstance(type, Shapeless) and type.element is not None:
        value = scope.evaluate(expr.arguments[0])
        if isinstance(value, ArrayValue):
            return Array(value.range, type.element)
    return type


def _query(name: str, expr: ex.Call, scope: Scope) -> Value:
    """`$size`, `$left`, … of a dimension, the first where none is named (20.7)."""
    number: Value = Int(1, 32)
    if len(expr.arguments) > 1:
        number = scope.evaluate(expr.arguments[1])
    if not isinstance(number, Int):
        return number if isinstance(number, Unknown) else Unknown("a dimension is a whole number", expr.span)
    type = _argument_type(expr, scope)
    if isinstance(type, Unknown):
        return type
    known = _dimensions(type)
    if not 1 <= number.value <= len(known):
        return Unknown(f"`{name}` asks for dimension {spell(number.value)} of {len(known)}", expr.span)
    span = known[number.value - 1]
    return span if isinstance(span, Unknown) else _integer(_of_range(name, span))


def _of_range(name: str, span: Range) -> int:
    match name:
        case "$size":
            return span.size
        case "$left":
            return span.left
        case "$right":
            return span.right
        case "$low":
            return span.low
        case "$high":
            return span.high
        case _:
            return 1 if span.left >= span.right else -1


def _count_dimensions(name: str, expr: ex.Call, scope: Scope) -> Value:
    type = _argument_type(expr, scope)
    if isinstance(type, Unknown):
        return type
    return _integer(len(unpacked_dimensions(type) if name == "$unpacked_dimensions" else _dimensions(type)))


def _sign(name: str, expr: ex.Call, scope: Scope) -> Value:
    value = _pattern(name, expr, scope)
    return value if isinstance(value, Unknown) else vector(value.value, value.width or 1, name == "$signed")


def _count(name: str, expr: ex.Call, scope: Scope) -> Value:
    value = _pattern(name, expr, scope)
    if isinstance(value, Unknown):
        return value
    ones = value.pattern.bit_count()
    match name:
        case "$countones":
            return _integer(ones)
        case "$onehot":
            return bit(ones == 1)
        case "$onehot0":
            return bit(ones <= 1)
        case _:
            # A value that is known has no x and no z.
            return bit(False)


def _reals(name: str, expr: ex.Call, scope: Scope) -> list[float] | Unknown:
    numbers: list[float] = []
    for argument in expr.arguments:
        value = scope.evaluate(argument)
        if not isinstance(value, Int | Real):
            return value if isinstance(value, Unknown) else Unknown(f"`{name}` needs numbers", expr.span)
        try:
            numbers.append(float(value.value))
        except OverflowError:
            return Unknown("the number is too large for a real", expr.span)
    return numbers


def _real_function(name: str, expr: ex.Call, scope: Scope) -> Value:
    numbers = _reals(name, expr, scope)
    if isinstance(numbers, Unknown):
        return numbers
    try:
        result = float(_REALS[name](*numbers))
    except (ValueError, OverflowError, ZeroDivisionError, TypeError):
        return Unknown(f"`{name}` has no result here", expr.span)
    return (
        Real(result) if math.isfinite(result) else Unknown(f"`{name}` has no finite result here", expr.span)
    )


def _truncate(name: str, expr: ex.Call, scope: Scope) -> Value:
    """`$rtoi` cuts towards zero (20.5)."""
    numbers = _reals(name, expr, scope)
    return numbers if isinstance(numbers, Unknown) else _integer(math.trunc(numbers[0]))


def method(expr: ex.Call, function: ex.Member, scope: Scope) -> Value:
    """A built-in method of an enumeration, array or string (6.19.5, 7.5.2, 6.16)."""
    type = scope.type_of(function.base)
    if isinstance(type, Enum) and type.members:
        members = type.members
        match function.name:
            case "num":
                return _integer(len(members))
            case "first" | "last":
                size = bits(type)
                number = members[0 if function.name == "first" else -1][1]
                return size if isinstance(size, Unknown) else Int(number, size, number < 0, type)
            case _:
                pass
    if function.name in ("size", "len"):
        value = scope.evaluate(function.base)
        if isinstance(value, ArrayValue):
            return _integer(len(value.items))
        if isinstance(value, Text):
            return _integer(len(value.value))
        if isinstance(value, Unknown):
            return value
    return Unknown(f"the method `{function.name}` is not evaluated", expr.span)


_REALS: dict[str, Callable[..., float]] = {
    "$itor": float,
    "$ceil": math.ceil,
    "$floor": math.floor,
    "$pow": math.pow,
    "$ln": math.log,
    "$log10": math.log10,
    "$exp": math.exp,
    "$sqrt": math.sqrt,
    "$sin": math.sin,
    "$cos": math.cos,
    "$tan": math.tan,
    "$asin": math.asin,
    "$acos": math.acos,
    "$atan": math.atan,
    "$atan2": math.atan2,
    "$hypot": math.hypot,
    "$sinh": math.sinh,
    "$cosh": math.cosh,
    "$tanh": math.tanh,
}
_FUNCTIONS: dict[str, Callable[[str, ex.Call, Scope], Value]] = {
    "$clog2": _clog2,
    "$bits": _size_in_bits,
    **dict.fromkeys(("$size", "$left", "$right", "$low", "$high", "$increment"), _query),
    **dict.fromkeys(("$dimensions", "$unpacked_dimensions"), _count_dimensions),
    **dict.fromkeys(("$signed", "$unsigned"), _sign),
    **dict.fromkeys(("$countones", "$onehot", "$onehot0", "$isunknown"), _count),
    "$rtoi": _truncate,
    **dict.fromkeys(_REALS, _real_function),
}
