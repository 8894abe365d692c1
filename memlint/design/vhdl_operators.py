"""VHDL's operators on values (IEEE 1076-2008 9.2; numeric_std in 16.8.5)."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.conversion import bit_of, bits_of_text
from memlint.design.limits import LARGEST_NUMBER
from memlint.design.operators import first_unknown, quotient, real_arithmetic, remainder
from memlint.design.predefined import FALSE, TRUE
from memlint.design.types import Enum, Range, Vector
from memlint.design.values import ArrayValue, Int, Real, StructValue, Text, Unknown, Value, vector

_LOGICAL = frozenset(("&", "|", "^", "~&", "~|", "~^"))
_RELATIONS = frozenset(("==", "!=", "<", "<=", ">", ">=", "==?", "!=?"))
_SHIFTS = frozenset(("<<", ">>", "<<<", ">>>"))


def binary(op: str, left: Value, right: Value) -> Value:
    """The value of a binary operator on evaluated operands."""
    if op in _LOGICAL:
        return _logical(op, left, right)
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    left, right = _as_bits(left, right), _as_bits(right, left)
    if isinstance(left, Unknown) or isinstance(right, Unknown):
        return left if isinstance(left, Unknown) else right
    if op in _RELATIONS:
        return _relation(op, left, right)
    if op in _SHIFTS:
        return shift(op, left, right)
    return _arithmetic(op, left, right)


def _as_bits(value: Value, other: Value) -> Value:
    """A literal beside a vector or bit becomes one itself."""
    if isinstance(value, Text) and isinstance(other, Int):
        if isinstance(other.type, Enum):
            return value
        if value.character:
            return bit_of(value)
        if other.width is not None:
            word = other.type if isinstance(other.type, Vector) else Vector()
            return bits_of_text(value.value, replace(word, dimensions=()))
    return value


def _boolean(value: bool) -> Int:
    return TRUE if value else FALSE


def _logical(op: str, left: Value, right: Value) -> Value:
    """`and`, `or`, …; of booleans a known operand may settle the result beside an unknown one (9.2.2)."""
    settling = {"&": 0, "~&": 0, "|": 1, "~|": 1}.get(op)
    for value in (left, right):
        if isinstance(value, Int) and isinstance(value.type, Enum) and value.value == settling:
            return _boolean((settling == 1) != op.startswith("~"))
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    a, b = _as_bits(left, right), _as_bits(right, left)
    if isinstance(a, Text) and isinstance(b, Text):
        a, b = bits_alone(a), bits_alone(b)
    if not (isinstance(a, Int) and isinstance(b, Int)):
        hidden = a if isinstance(a, Unknown) else b
        return hidden if isinstance(hidden, Unknown) else Unknown("a logical operator needs booleans or bits")
    x, y = _spread(a, b), _spread(b, a)
    bits = x & y if op in ("&", "~&") else x | y if op in ("|", "~|") else x ^ y
    wide = b if (b.width or 1) > (a.width or 1) else a
    if isinstance(wide.type, Enum) or wide.width is None:
        return _boolean(bool(bits & 1) != op.startswith("~"))
    return vector(~bits if op.startswith("~") else bits, wide.width, wide.signed, wide.type)


def bits_alone(value: Text) -> Value:
    return bit_of(value) if value.character else bits_of_text(value.value, Vector())


def _spread(value: Int, other: Int) -> int:
    """A bit beside a vector stands for each of its bits (9.2.2, VHDL-2008)."""
    if value.width == 1 and other.width is not None and other.width > 1:
        return (1 << other.width) - 1 if value.value else 0
    return value.pattern


def _relation(op: str, left: Value, right: Value) -> Value:
    """Ordering and equality; vectors compare as the numbers they are (9.2.3, 16.8.5)."""
    match left, right:
        case (Int() | Real(), Int() | Real()):
            if op in ("==", "!=") and _differ_in_length(left, right):
                return _boolean(op == "!=")
            return _ordered(op, left.value, right.value)
        case Text(value=a), Text(value=b):
            return _ordered(op, a, b)
        case _:
            pass
    hidden = first_unknown(left) or first_unknown(right)
    if hidden is not None:
        return hidden
    if op in ("==", "!=") and left.__class__ is right.__class__:
        return _boolean((_contents(left) == _contents(right)) == (op == "=="))
    return Unknown("a comparison of two things of different kinds")


def _differ_in_length(left: Int | Real, right: Int | Real) -> bool:
    """`=` of plain vectors of different length is false; of numeric ones only the numbers count."""
    if not (isinstance(left, Int) and isinstance(right, Int)):
        return False
    plain = isinstance(left.type, Vector) and left.type.name.startswith(("std_", "bit_"))
    return plain and left.width is not None and right.width is not None and left.width != right.width


def _contents(value: Value) -> object:
    match value:
        case ArrayValue(items=items):
            return [_contents(item) for item in items]
        case StructValue(fields=fields):
            return [_contents(item) for _, item in fields]
        case Int(value=number) | Real(value=number):
            return number
        case _:
            return value


def _ordered(op: str, a: float | str, b: float | str) -> Value:
    match op:
        case "==" | "==?":
            return _boolean(a == b)
        case "!=" | "!=?":
            return _boolean(a != b)
        case "<":
            return _boolean(a < b)  # type: ignore[operator]
        case "<=":
            return _boolean(a <= b)  # type: ignore[operator]
        case ">":
            return _boolean(a > b)  # type: ignore[operator]
        case _:
            return _boolean(a >= b)  # type: ignore[operator]


def shift(op: str, left: Value, right: Value) -> Value:
    """`sll srl sla sra` and numeric_std's shifts; a negative amount shifts the other way (9.2.4)."""
    if not (isinstance(left, Int) and isinstance(right, Int)) or left.width is None:
        return Unknown("a shift needs a vector and an integer")
    amount = right.value
    rightwards = op in (">>", ">>>")
    if amount < 0:
        amount, rightwards = -amount, not rightwards
    amount = min(amount, left.width)
    # numeric_std's arithmetic shift keeps the sign of `signed`; `sll` fills with zeros.
    if rightwards:
        number = left.value if op in (">>>", "<<<") and left.signed else left.pattern
        return vector(number >> amount, left.width, left.signed, left.type)
    return vector(left.pattern << amount, left.width, left.signed, left.type)


def _arithmetic(op: str, left: Value, right: Value) -> Value:
    match left, right:
        case (Real(value=a), Real(value=b)):
            return _real(op, a, b)
        case (Real(value=a), Int(value=b, width=None)):
            # A universal real times or by a universal integer, and a real to an integer power (9.5, 9.2.8).
            return (
                _real(op, a, float(b))
                if abs(b) < 1 << 1000
                else Unknown("the number is too large for a real")
            )
        case (Int(value=a, width=None), Real(value=b)):
            return (
                _real(op, float(a), b)
                if abs(a) < 1 << 1000
                else Unknown("the number is too large for a real")
            )
        case (Int(value=a, width=None), Int(value=b, width=None)):
            return _integer(op, a, b)
        case (Int(), Int()):
            return _numeric(op, left, right)
        case _:
            return Unknown(f"`{op}` needs numbers")


def _real(op: str, a: float, b: float) -> Value:
    if op == "mod":
        return real_arithmetic("-", a, b * (a // b)) if b else Unknown("division by zero")
    return real_arithmetic(op, a, b)


def _integer(op: str, a: int, b: int) -> Value:
    """Arithmetic of integers (9.2.5 to 9.2.8)."""
    match op:
        case "+":
            return Int(a + b)
        case "-":
            return Int(a - b)
        case "*":
            if a.bit_length() + b.bit_length() > LARGEST_NUMBER:
                return Unknown(f"a product of more than {LARGEST_NUMBER} bits is not evaluated")
            return Int(a * b)
        case "/" | "%" | "mod":
            if b == 0:
                return Unknown("division by zero")
            return Int(quotient(a, b) if op == "/" else remainder(a, b) if op == "%" else a % b)
        case "**":
            if b < 0:
                return Unknown("an integer to a negative power")
            if a.bit_length() * b > LARGEST_NUMBER and abs(a) > 1:
                return Unknown(f"a power of more than {LARGEST_NUMBER} bits is not evaluated")
            return Int(a**b)
        case _:
            return Unknown(f"the operator `{op}` is not known")


def _numeric(op: str, left: Int, right: Int) -> Value:
    """Arithmetic of numeric_std; an integer operand takes the vector's length."""
    known = left if left.width is not None else right
    size, other = left.width or known.width or 1, right.width or known.width or 1
    signed = known.signed
    a, b = left.value, right.value
    match op:
        case "+" | "-":
            width = max(size, other)
            number = a + b if op == "+" else a - b
        case "*":
            width = size + other
            number = a * b
        case "/" | "%" | "mod":
            if b == 0:
                return Unknown("division by zero")
            width = size if op == "/" else other
            number = quotient(a, b) if op == "/" else remainder(a, b) if op == "%" else a % b
        case _:
            return Unknown(f"`{op}` does not take vectors")
    if width > LARGEST_NUMBER:
        return Unknown(f"`{op}` of {width} bits is more than is evaluated")
    return vector(number, width, signed, numeric_type(known, width))


def numeric_type(like: Int, width: int) -> Vector:
    """A vector type of another length, counted down to 0 as numeric_std's results are."""
    name = like.type.name if isinstance(like.type, Vector) else ""
    return Vector((Range(width - 1, 0, True),), like.signed, None, name)


def unary(op: str, value: Value) -> Value:
    """The value of a unary operator (9.2.2, 9.2.6, 9.2.8)."""
    if isinstance(value, Text) and (op == "not" or op in _LOGICAL):
        value = bits_alone(value)
    match value:
        case Unknown():
            return value
        case Real(value=number) if op in ("+", "-", "abs"):
            return Real(-number if op == "-" else abs(number) if op == "abs" else number)
        case Int(value=number, width=width):
            if op == "not":
                if width is None:
                    return _boolean(number == 0)
                return vector(~number, width, value.signed, value.type)
            if op in ("+", "-", "abs"):
                number = -number if op == "-" else abs(number) if op == "abs" else number
                return Int(number) if width is None else vector(number, width, value.signed, value.type)
            if op in _LOGICAL and width is not None:
                return _reduced(op, value.pattern, width)
    return Unknown(f"`{op}` does not take such an operand")


def _reduced(op: str, pattern: int, width: int) -> Value:
    """The logical reduction operators (9.2.2)."""
    if op in ("&", "~&"):
        result = pattern == (1 << width) - 1
    elif op in ("|", "~|"):
        result = pattern != 0
    else:
        result = pattern.bit_count() % 2 == 1
    return Int(int(result != op.startswith("~")), 1, False, Vector())
