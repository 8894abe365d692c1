"""From a data type as written to an elaborated type."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.conversion import is_signed
from memlint.design.limits import LARGEST_SIZE
from memlint.design.references import named_type
from memlint.design.scope import Scope
from memlint.design.types import (
    AnyType,
    Array,
    Bound,
    ElabType,
    Enum,
    Range,
    RealType,
    Shapeless,
    Struct,
    TextType,
    Vector,
    between,
    bits,
    limited,
)
from memlint.design.values import Int, Unknown, Value, spell, vector
from memlint.design.vhdl_resolution import resolve_vhdl
from memlint.reading.facts.expressions import DataType, Dimension, Open

# Widths of the integer types with a fixed one (IEEE 1800-2017 table 6-8), and whether they start as 0.
# All but `time` are signed unless declared otherwise; readers say so where a sign could be written.
_INTEGERS = {
    "integer": (32, False),
    "int": (32, True),
    "byte": (8, True),
    "shortint": (16, True),
    "longint": (64, True),
    "time": (64, False),
}
_LARGEST_INTEGER = (1 << 31) - 1
_REALS = frozenset(("real", "realtime", "shortreal"))
_SHAPELESS = frozenset(("event", "chandle", "void"))
DYNAMIC = "a dynamic array, queue or associative array"


def resolve(data_type: DataType, dimensions: tuple[Dimension, ...], scope: Scope) -> AnyType:
    """The type of `data_type` with unpacked `dimensions` after its name, in `scope`.

    What is not known inside it (a bound, a field's type) stays Unknown in its place; Unknown as a whole
    is returned only where not even the kind of type is known.
    """
    if scope.language == "vhdl":
        return resolve_vhdl(data_type, scope)
    type = _without_unpacked(data_type, scope)
    for dimension in reversed(dimensions):
        if dimension.kind == "dynamic" or isinstance(dimension.left, Open):
            # `[$:7]` is a queue of at most eight elements (7.10).
            type = Shapeless(DYNAMIC, type)
        else:
            type = Array(_bound(dimension, scope), type)
    return type


def _bound(dimension: Dimension, scope: Scope) -> Bound:
    """The range of one dimension; `[N]` is `[0:N-1]` (7.4.2)."""
    left = _integer(scope.evaluate(dimension.left), dimension)
    if isinstance(left, Unknown):
        return left
    if dimension.right is None:
        if left > 0:
            return Range(0, left - 1, False)
        return Unknown(f"the array size {spell(left)} is not positive", dimension.span)
    right = _integer(scope.evaluate(dimension.right), dimension)
    return right if isinstance(right, Unknown) else between(left, right)


def _integer(value: Value, dimension: Dimension) -> int | Unknown:
    if isinstance(value, Int):
        # A bound is an `integer` (6.9.1): what an unsigned `0 - 1` leaves there is -1.
        if abs(value.value) > LARGEST_SIZE:
            return Unknown("a bound of more than 64 bits is larger than any array", dimension.span)
        wraps = value.width == 32 and value.value > _LARGEST_INTEGER
        return value.value - (1 << 32) if wraps else value.value
    if isinstance(value, Unknown):
        return value.at(dimension.span)
    return Unknown("a bound of a range must be a whole number", dimension.span)


def _without_unpacked(data_type: DataType, scope: Scope) -> AnyType:
    match data_type.kind:
        case "builtin" | "implicit":
            return _builtin(data_type, scope)
        case "named":
            return _packed(named_type(data_type, scope), data_type, scope)
        case "struct" | "union":
            fields = tuple(
                (field.name, resolve(field.type, field.dimensions, scope)) for field in data_type.fields
            )
            union = data_type.kind == "union"
            struct = limited(Struct(fields, data_type.packed, union, data_type.signed), data_type.span)
            return _packed(struct, data_type, scope)
        case "enum":
            return _packed(_enum(data_type, scope), data_type, scope)
        case "interface":
            return Shapeless(f"the interface `{data_type.name}`" if data_type.name else "an interface")
        case _:
            return Unknown(f"{data_type.name or 'this type'} is not evaluated", data_type.span)


def _builtin(data_type: DataType, scope: Scope) -> AnyType:
    name = data_type.name
    if name in _INTEGERS:
        width, two_state = _INTEGERS[name]
        span = Range(width - 1, 0, True)
        return Vector((span,), data_type.signed, two_state=two_state)
    if name in _REALS:
        return RealType(name)
    if name == "string":
        return TextType()
    if name in _SHAPELESS:
        return Shapeless(f"`{name}` has no bits")
    dimensions = tuple(_bound(dimension, scope) for dimension in data_type.dimensions)
    return Vector(dimensions, data_type.signed, two_state=name == "bit")


def _packed(type: AnyType, data_type: DataType, scope: Scope) -> AnyType:
    """Packed dimensions put before a type (7.4.1)."""
    if not data_type.dimensions or isinstance(type, Unknown):
        return type
    outer = tuple(_bound(dimension, scope) for dimension in data_type.dimensions)
    match type:
        case Vector(dimensions=inner):
            return replace(type, dimensions=(*outer, *inner), name="")
        case Struct(packed=True) | Enum():
            return Vector(outer, False, type)
        case _:
            return Unknown("only a packed type can have packed dimensions", data_type.span)


def _enum(data_type: DataType, scope: Scope) -> Enum | Unknown:
    """An enumeration; a member without value follows the one before it (6.19)."""
    base = _enum_base(data_type, scope)
    width = bits(base)
    if isinstance(width, Unknown):
        return width
    signed = is_signed(base)
    members: list[tuple[str, int]] = []
    following: Value = vector(0, width, signed)
    for member in data_type.members:
        if member.value is not None:
            following = scope.evaluate(member.value, type=base)
        scope.remember(member.name, following)
        if isinstance(following, Int):
            members.append((member.name, following.value))
            following = vector(following.value + 1, width, signed)
    enum = Enum(tuple(members), base)
    for name, value in members:
        scope.remember(name, Int(value, width, signed, enum))
    return enum


def _enum_base(data_type: DataType, scope: Scope) -> ElabType:
    """The base type, `int` where none is given; an implicit one has only dimensions and sign."""
    if data_type.element is not None:
        base = resolve(data_type.element, (), scope)
        if not isinstance(base, Unknown):
            return base
        return Vector((base,), data_type.element.signed)
    return Vector((Range(31, 0, True),), True, two_state=True)
