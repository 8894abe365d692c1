"""Functions of VHDL's standard packages, known without their sources.

numeric_std and std_logic_1164: IEEE 1076-2008 16.8; math_real: 16.9. The older arithmetic packages'
`conv_…` functions are common practice, without a standard.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from memlint.design.conversion import bits_of_text, round_half_away
from memlint.design.limits import LARGEST_VECTOR
from memlint.design.predefined import FALSE
from memlint.design.types import Range, Vector
from memlint.design.values import Int, Real, Text, Unknown, Value, spell, vector
from memlint.design.vhdl_operators import numeric_type, shift, unary
from memlint.reading.facts import expressions as ex


def call_builtin(name: str, expr: ex.Call, values: list[Value]) -> Value:
    """The result of a standard function with evaluated arguments, in the order given."""
    hidden = next((value for value in values if isinstance(value, Unknown)), None)
    if hidden is not None:
        return hidden
    if name in _REAL and len(values) == 1:
        return _real(name, values[0])
    match name, values:
        case ("to_integer" | "conv_integer", [Text(value=text)]):
            return _integer(bits_of_text(text, Vector()))
        case ("to_integer" | "conv_integer", [value]):
            return _integer(value)
        case ("to_unsigned" | "conv_unsigned" | "conv_std_logic_vector", [Int(value=number), size]):
            plain = "std_logic_vector" if name == "conv_std_logic_vector" else "unsigned"
            return _sized(number, size, False, plain)
        case ("to_signed" | "conv_signed", [Int(value=number), size]):
            return _sized(number, size, True, "signed")
        case ("resize", [Int() as value, size]):
            return _resize(value, size)
        case ("shift_left" | "shift_right", [Int() as value, amount]):
            return shift("<<" if name == "shift_left" else ">>>", value, amount)
        case ("rotate_left" | "rotate_right", [Int() as value, Int(value=amount)]):
            return _rotate(value, amount if name == "rotate_left" else -amount)
        case ("maximum" | "realmax", [Int() | Real() as a, Int() | Real() as b]):
            return a if a.value >= b.value else b
        case ("minimum" | "realmin", [Int() | Real() as a, Int() | Real() as b]):
            return a if a.value <= b.value else b
        case ("maximum" | "minimum", [value]) if hasattr(value, "items"):
            return _extreme(name, list(value.items))
        case ("log", [Real(value=number), Real(value=base)]):
            return _guarded("log", lambda: math.log(number) / math.log(base))
        case ("arctan", [Real(value=y), Real(value=x)]):
            return _guarded("arctan", lambda: math.atan2(y, x))
        case ("to_string", [Int(value=number, width=None)]) if number.bit_length() <= 128:
            return Text(str(number))
        case ("is_x", [_]):
            return FALSE
        case (_, [value, *_]) if name.startswith("to_"):
            return _as_vector(name, value)
        case _:
            return Unknown(f"the function `{name}` is not evaluated for these arguments", expr.span)


def _integer(value: Value) -> Value:
    if isinstance(value, Int):
        return Int(value.value)
    return value if isinstance(value, Unknown) else Unknown("`to_integer` needs a vector")


def _size(value: Value) -> int | Unknown:
    """A length argument: a number, or an object whose length counts (VHDL-2008's size_res)."""
    if not isinstance(value, Int):
        return Unknown("a length must be a whole number")
    size = value.value if value.width is None else value.width
    if not 0 <= size <= LARGEST_VECTOR:
        return Unknown(f"a vector of {spell(size)} bits is not evaluated")
    return size


def _sized(number: int, size: Value, signed: bool, name: str) -> Value:
    width = _size(size)
    if isinstance(width, Unknown):
        return width
    return vector(number, width, signed, Vector((Range(width - 1, 0, True),), signed, None, name))


def _resize(value: Int, size: Value) -> Value:
    """numeric_std's resize: of a signed value the sign bit is kept when it gets shorter."""
    width = _size(size)
    if isinstance(width, Unknown):
        return width
    if value.width is None:
        return Unknown("`resize` needs a vector")
    type = numeric_type(value, width)
    if not value.signed or width >= value.width:
        return vector(value.value, width, value.signed, type)
    low = value.pattern & ((1 << max(0, width - 1)) - 1)
    negative = 1 << (width - 1) if value.value < 0 and width else 0
    return vector(low | negative, width, True, type)


def _rotate(value: Int, amount: int) -> Value:
    if not value.width:
        return Unknown("a rotation needs a vector")
    amount %= value.width
    pattern = value.pattern
    turned = pattern << amount | pattern >> (value.width - amount)
    return vector(turned, value.width, value.signed, value.type)


def _extreme(name: str, items: list[Value]) -> Value:
    numbers = [item for item in items if isinstance(item, Int | Real)]
    if not numbers or len(numbers) != len(items):
        return next((item for item in items if isinstance(item, Unknown)), Unknown(f"`{name}` needs numbers"))
    values = [number.value for number in numbers]
    return numbers[values.index(max(values) if name == "maximum" else min(values))]


def _as_vector(name: str, value: Value) -> Value:
    """Conversions between bit and logic types leave the bits as they are."""
    if isinstance(value, Text):
        value = bits_of_text(value.value, Vector())
    if isinstance(value, Int) and value.width is not None:
        if isinstance(value.type, Vector) and value.type.dimensions and name not in ("to_01", "to_x01"):
            return vector(
                value.value, value.width, False, replace(value.type, signed=False, name="std_logic_vector")
            )
        return value
    return value if isinstance(value, Unknown) else Unknown(f"`{name}` needs a vector or a bit")


def _real(name: str, value: Value) -> Value:
    if name == "sign" and isinstance(value, Real):
        return Real(float((value.value > 0) - (value.value < 0)))
    if name == "abs":
        return unary("abs", value)
    if not isinstance(value, Real):
        return Unknown(f"`{name}` needs a real")
    number = value.value
    return _guarded(name, lambda: _REAL[name](number))


def _guarded(name: str, compute: Callable[[], float]) -> Value:
    try:
        result = compute()
    except (ValueError, OverflowError, ZeroDivisionError):
        return Unknown(f"`{name}` has no result here")
    return Real(result) if math.isfinite(result) else Unknown(f"`{name}` has no finite result here")


def _round(number: float) -> float:
    whole = round_half_away(number)
    return float(whole) if isinstance(whole, int) else math.nan


_REAL: dict[str, Callable[[float], float]] = {
    "log2": math.log2,
    "log": math.log,
    "log10": math.log10,
    "exp": math.exp,
    "ceil": lambda x: float(math.ceil(x)),
    "floor": lambda x: float(math.floor(x)),
    "round": _round,
    "trunc": lambda x: float(math.trunc(x)),
    "sqrt": math.sqrt,
    "cbrt": math.cbrt,
    "sign": lambda x: math.copysign(1.0, x),
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "arcsin": math.asin,
    "arccos": math.acos,
    "arctan": math.atan,
    "sinh": math.sinh,
    "cosh": math.cosh,
    "tanh": math.tanh,
}
