"""SystemVerilog's operators on values of equal width and sign (IEEE 1800-2017 11.4)."""

from __future__ import annotations

import math
from typing import NamedTuple

from memlint.design.conversion import round_half_away
from memlint.design.limits import LARGEST_NUMBER
from memlint.design.values import (
    ArrayValue,
    Int,
    Partial,
    Real,
    StructValue,
    Text,
    Unknown,
    Value,
    text_bits,
    vector,
)


class Shape(NamedTuple):
    """Width and sign of an expression. kind: `int`, `real`, `text` (width counts its bits) or `other`."""

    width: int
    signed: bool
    kind: str = "int"


BIT_SHAPE = Shape(1, False)
INT_SHAPE = Shape(32, True)
REAL_SHAPE = Shape(64, True, "real")
OTHER_SHAPE = Shape(0, False, "other")


def combine(left: Shape | Unknown, right: Shape | Unknown) -> Shape | Unknown:
    """Two operands' shape together: a real wins; the wider; signed only if both are (11.6.1, 11.8.1)."""
    if isinstance(left, Unknown) or isinstance(right, Unknown):
        return left if isinstance(left, Unknown) else right
    if left == right:
        return left
    if left.kind == "other" or right.kind == "other":
        return OTHER_SHAPE
    if left.kind == "real" or right.kind == "real":
        return REAL_SHAPE
    kind = "text" if left.kind == right.kind == "text" else "int"
    return Shape(max(left.width, right.width), left.signed and right.signed, kind)


def fit(number: int, width: int, signed: bool) -> Int:
    """A number cut to a width."""
    if signed:
        half = 1 << (width - 1) if width else 0
        if -half <= number < half:
            return Int(number, width, True)
    elif 0 <= number < 1 << width:
        return Int(number, width, False)
    return vector(number, width, signed)


def to_shape(value: Value, shape: Shape) -> Value:
    """An operand converted to its context: first to the sign, then extended (11.8.2)."""
    if isinstance(value, Text) and shape.kind == "int":
        value = text_bits(value.value)
    match value:
        case Int(value=number, width=width, signed=signed):
            if shape.kind == "real":
                return _real(number)
            if shape.kind != "int" or (width == shape.width and signed == shape.signed):
                return value
            return fit(number if shape.signed else value.pattern, shape.width, shape.signed)
        case Real(value=real) if shape.kind == "int":
            whole = round_half_away(real)
            return whole if isinstance(whole, Unknown) else fit(whole, shape.width, shape.signed)
        case Unknown() | Real() | Text():
            return value
        case Partial(known=known) if known.width == shape.width:
            return value
        case _ if shape.kind == "other":
            return value
        case _:
            return Unknown("an array, struct or type stands where a number is needed")


def _real(number: int) -> Value:
    try:
        return Real(float(number))
    except OverflowError:
        return Unknown("the number is too large for a real")


def truth(value: Value) -> bool | Unknown:
    """Whether a value counts as true: any number but zero (11.4.7)."""
    match value:
        case Int(value=number) | Real(value=number):
            return number != 0
        case Text(value=text):
            return any(char != "\0" for char in text)
        case Unknown():
            return value
        case _:
            return Unknown("an array, struct or type is neither true nor false")


def bit(value: bool) -> Int:
    return Int(int(value), 1, False)


def arithmetic(op: str, left: Value, right: Value, shape: Shape) -> Value:
    """A binary operator whose operands have the shape of its result: arithmetic and bitwise ones."""
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    if isinstance(left, Real) and isinstance(right, Real):
        return real_arithmetic(op, left.value, right.value)
    if not (isinstance(left, Int) and isinstance(right, Int)):
        return Unknown(f"`{op}` needs numbers")
    width, signed = shape.width, shape.signed
    if width > LARGEST_NUMBER and op in "*/%**":
        return Unknown(f"`{op}` of {width} bits is more than is evaluated")
    a, b = left.value, right.value
    match op:
        case "+":
            return fit(a + b, width, signed)
        case "-":
            return fit(a - b, width, signed)
        case "*":
            return fit(a * b, width, signed)
        case "/" | "%":
            if b == 0:
                return Unknown("division by zero")
            return fit(quotient(a, b) if op == "/" else remainder(a, b), width, signed)
        case "&":
            return fit(a & b, width, signed)
        case "|":
            return fit(a | b, width, signed)
        case "^":
            return fit(a ^ b, width, signed)
        case "~^" | "~&" | "~|":
            inverted = {"~^": a ^ b, "~&": a & b, "~|": a | b}[op]
            return vector(~inverted, width, signed)
        case _:
            return Unknown(f"the operator `{op}` is not known")


def quotient(a: int, b: int) -> int:
    """Integer division that cuts towards zero (11.4.3; IEEE 1076 9.2.7)."""
    return abs(a) // abs(b) if (a < 0) == (b < 0) else -(abs(a) // abs(b))


def remainder(a: int, b: int) -> int:
    """The remainder that has the sign of the first operand (11.4.3)."""
    return abs(a) % abs(b) if a >= 0 else -(abs(a) % abs(b))


def real_arithmetic(op: str, a: float, b: float) -> Value:
    """An arithmetic operator on reals (11.3.1)."""
    try:
        match op:
            case "+":
                result = a + b
            case "-":
                result = a - b
            case "*":
                result = a * b
            case "/":
                result = a / b
            case "**":
                result = math.pow(a, b)
            case _:
                return Unknown(f"`{op}` does not take reals")
    except ZeroDivisionError:
        return Unknown("division by zero")
    except (OverflowError, ValueError):
        return Unknown(f"`{op}` has no real result here")
    return Real(result) if math.isfinite(result) else Unknown(f"`{op}` has no finite result here")


def power(left: Value, right: Value, shape: Shape) -> Value:
    """`**` of integers by table 11-4; the exponent has its own sign and width."""
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    if not (isinstance(left, Int) and isinstance(right, Int)):
        return Unknown("`**` needs numbers")
    a, b = left.value, right.value
    if shape.width > LARGEST_NUMBER:
        return Unknown(f"`**` of {shape.width} bits is more than is evaluated")
    if b >= 0:
        return vector(pow(a, b, 1 << shape.width), shape.width, shape.signed)
    if a == 0:
        return Unknown("zero to a negative power")
    result = 1 if a == 1 else (0 if a != -1 else (-1 if b % 2 else 1))
    return fit(result, shape.width, shape.signed)


def shift(op: str, left: Value, right: Value, shape: Shape) -> Value:
    """A shift; the amount counts as unsigned, `>>>` keeps the sign of a signed result (11.4.10)."""
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Text):
        right = text_bits(right.value)
    if isinstance(right, Unknown):
        return right
    if not (isinstance(left, Int) and isinstance(right, Int)):
        return Unknown(f"`{op}` needs whole numbers")
    width, signed = shape.width, shape.signed
    amount = min(right.pattern, width)
    match op:
        case "<<" | "<<<":
            return vector(left.pattern << amount, width, signed)
        case ">>>" if signed:
            return fit(left.value >> amount, width, True)
        case _:
            return vector(left.pattern >> amount, width, signed)


def compare(op: str, left: Value, right: Value) -> Value:
    """A comparison of operands already of one shape. Values here have no x and no z, so `===` is `==`."""
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    if isinstance(left, Text) and isinstance(right, Text):
        return _ordered(op, left.value, right.value)
    if isinstance(left, Int | Real) and isinstance(right, Int | Real):
        return _ordered(op, left.value, right.value)
    if op in ("==", "===", "!=", "!==") and left.__class__ is right.__class__:
        hidden = first_unknown(left) or first_unknown(right)
        if hidden is not None:
            return hidden
        same = _contents(left) == _contents(right)
        return bit(same == (op in ("==", "===")))
    return Unknown(f"`{op}` compares two things of different kinds")


def _contents(value: Value) -> object:
    """What two arrays or structs of one type have in common if they are equal."""
    match value:
        case ArrayValue(items=items):
            return [_contents(item) for item in items]
        case StructValue(fields=fields):
            return [_contents(item) for _, item in fields]
        case Int(value=number) | Real(value=number):
            return number
        case _:
            return value


def first_unknown(value: Value) -> Unknown | None:
    """The first unknown element or field inside a value."""
    match value:
        case Unknown():
            return value
        case ArrayValue(items=items):
            return next((found for item in items if (found := first_unknown(item)) is not None), None)
        case StructValue(fields=fields):
            return next((found for _, item in fields if (found := first_unknown(item)) is not None), None)
        case _:
            return None


def _ordered(op: str, a: float | str, b: float | str) -> Value:
    match op:
        case "==" | "===" | "==?":
            return bit(a == b)
        case "!=" | "!==" | "!=?":
            return bit(a != b)
        case "<":
            return bit(a < b)  # type: ignore[operator]
        case "<=":
            return bit(a <= b)  # type: ignore[operator]
        case ">":
            return bit(a > b)  # type: ignore[operator]
        case ">=":
            return bit(a >= b)  # type: ignore[operator]
        case _:
            return Unknown(f"the operator `{op}` is not known")


def reduce(op: str, value: Value) -> Value:
    """A reduction operator over the bits of a value (11.4.9)."""
    if isinstance(value, Text):
        value = text_bits(value.value)
    if not isinstance(value, Int) or value.width is None:
        return value if isinstance(value, Unknown) else Unknown(f"`{op}` reduces only vectors")
    pattern = value.pattern
    match op:
        case "&" | "~&":
            result = pattern == (1 << value.width) - 1
        case "|" | "~|":
            result = pattern != 0
        case _:
            result = pattern.bit_count() % 2 == 1
    return bit(result != op.startswith("~"))


def logical(op: str, left: bool | Unknown, right: bool | Unknown) -> Value:
    """`&&`, `||`, `->`, `<->`. A known operand that settles the result does so beside an unknown one."""
    match op:
        case "&&":
            if left is False or right is False:
                return bit(False)
            result = True
        case "||":
            if left is True or right is True:
                return bit(True)
            result = False
        case "->":
            if left is False or right is True:
                return bit(True)
            result = False
        case _:
            result = left == right
    if isinstance(left, Unknown):
        return left
    return right if isinstance(right, Unknown) else bit(result)
