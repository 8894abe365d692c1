"""A value made fit for a type, as assignment to an object of that type does it."""

from __future__ import annotations

import math
from dataclasses import replace

from memlint.design.limits import LARGEST_VECTOR
from memlint.design.types import (
    AnyType,
    Array,
    ElabType,
    Enum,
    Integer,
    Range,
    RealType,
    Struct,
    TextType,
    Unconstrained,
    Vector,
    bits,
)
from memlint.design.values import (
    ArrayValue,
    Int,
    Partial,
    Real,
    StructValue,
    Text,
    Unknown,
    Value,
    spell,
    text_bits,
    vector,
)


def round_half_away(value: float) -> int | Unknown:
    """A real as an integer (IEEE 1800-2017 6.12.1; IEEE 1076 leaves ties open, this is common practice)."""
    if not math.isfinite(value):
        return Unknown("a real that is not finite has no whole number")
    whole = math.floor(abs(value) + 0.5)
    # abs(value) + 0.5 may itself round up for the largest number below one half.
    if whole - abs(value) > 0.5:
        whole -= 1
    return whole if value >= 0 else -whole


def is_signed(type: ElabType) -> bool:
    match type:
        case Vector(dimensions=(), element=element) if element is not None:
            return is_signed(element)
        case Vector() | Struct():
            return type.signed
        case Enum(base=base):
            return base is not None and is_signed(base)
        case _:
            return False


def convert_verilog(value: Value, type: AnyType) -> Value:
    """`value` assigned to an object of a SystemVerilog type (IEEE 1800-2017 10.7, 6.12.1, 6.16)."""
    if isinstance(value, Unknown):
        return value
    match type:
        case Unknown():
            return type
        case Vector() | Enum() | Struct(packed=True):
            return _to_vector(value, type)
        case RealType():
            if isinstance(value, Int):
                return _to_real(value)
            return value if isinstance(value, Real) else _misfit(value, "a real")
        case TextType():
            return _to_text(value)
        case Array(range=span):
            if isinstance(span, Unknown):
                return span
            if not isinstance(value, ArrayValue):
                return _misfit(value, "an array")
            if len(value.items) != span.size:
                return Unknown(f"{len(value.items)} elements are given to an array of {spell(span.size)}")
            return replace(value, range=span, type=type)
        case Struct():
            return replace(value, type=type) if isinstance(value, StructValue) else _misfit(value, "a struct")
        case _:
            return value


def _misfit(value: Value, wanted: str) -> Unknown:
    names = {Int: "a number", Real: "a real", Text: "a string", ArrayValue: "an array"}
    return Unknown(f"{names.get(value.__class__, 'a type or record')} stands where {wanted} is needed")


def _to_real(value: Int) -> Value:
    try:
        return Real(float(value.value))
    except OverflowError:
        return Unknown("the number is too large for a real")


def _to_text(value: Value) -> Value:
    if isinstance(value, Int) and value.width is not None:
        data = value.pattern.to_bytes((value.width + 7) // 8, "big")
        return Text(data.replace(b"\0", b"").decode("latin-1"))
    return value if isinstance(value, Text) else _misfit(value, "a string")


def _to_vector(value: Value, type: ElabType) -> Value:
    size = bits(type)
    if isinstance(size, Unknown):
        return size
    if size > LARGEST_VECTOR:
        return Unknown(f"a vector of {spell(size)} bits is too long to evaluate")
    match value:
        case Int():
            return vector(value.value, size, is_signed(type), type)
        case Partial(known=known) if known.width == size:
            return replace(value, known=vector(known.value, size, is_signed(type), type))
        case Real(value=number):
            whole = round_half_away(number)
            return whole if isinstance(whole, Unknown) else vector(whole, size, is_signed(type), type)
        case Text(value=text):
            return vector(text_bits(text).value, size, is_signed(type), type)
        case _:
            return _misfit(value, "a vector")


def convert_vhdl(value: Value, type: AnyType) -> Value:
    """`value` as an object of a VHDL type holds it: literals get their type, arrays their index range."""
    if isinstance(value, Unknown):
        return value
    match type:
        case Unknown():
            return type
        case Vector(dimensions=()):
            return bit_of(value, type)
        case Vector(dimensions=(span, *_)):
            if isinstance(span, Unknown):
                return span
            if isinstance(value, Text):
                value = bits_of_text(value.value, type)
            if not isinstance(value, Int) or value.width is None:
                return value if isinstance(value, Unknown) else _misfit(value, "a vector")
            if value.width != span.size:
                return Unknown(f"{value.width} bits are given to a vector of {spell(span.size)}")
            return vector(value.value, value.width, type.signed, type)
        case Unconstrained(vector=Vector() as word):
            return _free_vector(value, word)
        case Unconstrained():
            return _free_array(value, type)
        case Array(range=span):
            if isinstance(span, Unknown):
                return span
            if isinstance(value, Text):
                value = _array_of_text(value.value, type.element)
            if not isinstance(value, ArrayValue):
                return value if isinstance(value, Unknown) else _misfit(value, "an array")
            if len(value.items) != span.size:
                return Unknown(f"{len(value.items)} elements are given to an array of {spell(span.size)}")
            return replace(value, range=span, type=type)
        case Integer() | Enum():
            if isinstance(value, Int):
                typed = value.type is not None and value.width is None
                return value if typed else Int(value.value, None, True, type)
            if isinstance(value, Text) and isinstance(type, Enum):
                return _enum_of_text(value, type)
            return _misfit(value, "a whole number")
        case RealType():
            return value if isinstance(value, Real) else _misfit(value, "a real")
        case Struct():
            return replace(value, type=type) if isinstance(value, StructValue) else _misfit(value, "a record")
        case _:
            return value


def _free_vector(value: Value, word: Vector) -> Value:
    if isinstance(value, Text):
        return bits_of_text(value.value, word)
    if not isinstance(value, Int) or value.width is None:
        return _misfit(value, "a vector")
    known = value.type.dimensions if isinstance(value.type, Vector) else ()
    span = known or (Range(0, value.width - 1, False),)
    return vector(value.value, value.width, word.signed, replace(word, dimensions=span))


def _free_array(value: Value, type: Unconstrained) -> Value:
    if isinstance(value, Text):
        value = _array_of_text(value.value, type.element)
    if not isinstance(value, ArrayValue):
        return value if isinstance(value, Unknown) else _misfit(value, "an array")
    return replace(value, type=Array(value.range, type.element, type.name, type.index))


_BITS = {"0": 0, "1": 1, "l": 0, "h": 1, "L": 0, "H": 1}


def bit_of(value: Value, type: AnyType | None = None) -> Value:
    """A VHDL character literal as a bit; `L` and `H` are 0 and 1 (IEEE 1076 16.8.2, to_x01)."""
    known = None if isinstance(type, Unknown) else type
    if isinstance(value, Text) and len(value.value) == 1:
        bit = _BITS.get(value.value)
        if bit is None:
            return Unknown(f"'{value.value}' is neither 0 nor 1")
        return Int(bit, 1, False, known or Vector())
    if isinstance(value, Int) and value.width == 1:
        return value
    return value if isinstance(value, Unknown) else _misfit(value, "a bit")


def bits_of_text(text: str, word: Vector) -> Value:
    """A VHDL string literal of bits as a vector; its leftmost character is index 0 unless constrained."""
    text = text.replace("_", "")
    digits = "".join(str(_BITS.get(char, "?")) for char in text)
    if "?" in digits:
        return Unknown(f'"{text[:40]}" holds characters other than 0 and 1')
    type = word if word.dimensions else replace(word, dimensions=(Range(0, len(text) - 1, False),))
    return vector(int(digits or "0", 2), len(text), word.signed, type)


def _array_of_text(text: str, element: AnyType) -> Value:
    items = tuple(convert_vhdl(Text(char, character=True), element) for char in text)
    return ArrayValue(items, Range(0, len(items) - 1, False))


def _enum_of_text(value: Text, type: Enum) -> Value:
    for name, position in type.members:
        if name in (value.value, f"'{value.value}'"):
            return Int(position, None, False, type)
    return Unknown(f"'{value.value}' is no member of `{type.name}`")


def convert(value: Value, type: AnyType, language: str) -> Value:
    """`value` as an object of `type` holds it, by the rules of the language."""
    return convert_vhdl(value, type) if language == "vhdl" else convert_verilog(value, type)
