"""VHDL types and subtype indications as elaborated types (IEEE 1076-2008 5 and 6.3)."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.predefined import NATURAL
from memlint.design.references import named_type
from memlint.design.scope import Scope
from memlint.design.types import (
    AnyType,
    Array,
    Bound,
    ElabType,
    Enum,
    Integer,
    RealType,
    Shapeless,
    Struct,
    Unconstrained,
    constrain,
    limited,
)
from memlint.design.values import Int, Unknown
from memlint.design.vhdl_attributes import range_of, range_type
from memlint.reading.facts.expressions import DataType, Dimension, Name, Open, Slice


def resolve_vhdl(data_type: DataType, scope: Scope) -> AnyType:
    """The type of a definition or subtype indication."""
    match data_type.kind:
        case "enum":
            return _enumeration(data_type, scope)
        case "struct":
            fields = tuple((field.name, resolve_vhdl(field.type, scope)) for field in data_type.fields)
            return limited(Struct(fields), data_type.span)
        case "array":
            element = (
                resolve_vhdl(data_type.element, scope)
                if data_type.element is not None
                else Unknown("the array's element type is not read", data_type.span)
            )
            return _array(data_type.dimensions, element, scope)
        case "builtin" if any(key == "range" for key, _ in data_type.parameters):
            return _numeric(data_type, scope)
        case "named" | "builtin":
            return _subtype(named_type(data_type, scope), data_type, scope)
        case "unsupported":
            return Shapeless(f"its type ({data_type.name}) is not evaluated")
        case _:
            return Unknown(f"{data_type.name or 'this type'} is not evaluated", data_type.span)


def _enumeration(data_type: DataType, scope: Scope) -> Enum:
    enum = Enum(tuple((member.name, place) for place, member in enumerate(data_type.members)))
    for name, place in enum.members:
        scope.remember(name, Int(place, None, False, enum))
    return enum


def _numeric(data_type: DataType, scope: Scope) -> AnyType:
    """`type t is range 0 to 255` (5.2.3)."""
    if data_type.name == "real":
        return RealType()
    bounds = dict(data_type.parameters)["range"]
    span = range_of(bounds, scope)
    return Integer(span if span is not None else Unknown("its range is not read", bounds.span))


def _array(dimensions: tuple[Dimension, ...], element: AnyType, scope: Scope) -> AnyType:
    """An array definition; several dimensions nest (5.3.2)."""
    type: AnyType = element
    for dimension in reversed(dimensions):
        if dimension.kind == "box":
            index = None if isinstance(dimension.left, Open) else range_type(dimension.left, scope)
            type = Unconstrained(type, index=index or NATURAL)
        else:
            type = Array(bound_of(dimension, scope), type, index=_index_type(dimension, scope))
    return type


def _index_type(dimension: Dimension, scope: Scope) -> ElabType | None:
    if dimension.kind == "subtype":
        return range_type(dimension.left, scope)
    if dimension.right is None:
        return None
    return range_type(_as_slice(dimension), scope)


def _as_slice(dimension: Dimension) -> Slice:
    assert dimension.right is not None
    nothing = Name("", span=dimension.span)
    return Slice(nothing, dimension.left, dimension.right, dimension.kind, span=dimension.span)


def bound_of(dimension: Dimension, scope: Scope) -> Bound:
    """The range of a dimension: bounds, a discrete subtype, or a `'range` attribute."""
    index = dimension.left if dimension.kind == "subtype" or dimension.right is None else _as_slice(dimension)
    span = range_of(index, scope)
    if span is None:
        return Unknown("what stands for an index range is none", dimension.span)
    return span.at(dimension.span) if isinstance(span, Unknown) else span


def _subtype(type: AnyType, data_type: DataType, scope: Scope) -> AnyType:
    """A type under the constraints of a subtype indication (6.3)."""
    for key, bounds in data_type.parameters:
        if key == "range" and isinstance(type, Integer | Enum):
            span = range_of(bounds, scope)
            type = constrain(
                type, (span if span is not None else Unknown("its range is not read", bounds.span),)
            )
    if data_type.fields and isinstance(type, Struct):
        type = _constrain_fields(type, data_type, scope)
    ranges = tuple(
        None if dimension.kind == "box" else bound_of(dimension, scope) for dimension in data_type.dimensions
    )
    type = constrain(type, ranges)
    if data_type.element is not None:
        type = _constrain_element(type, data_type.element, scope, max(1, len(ranges)))
    return type


def _constrain_fields(type: Struct, data_type: DataType, scope: Scope) -> Struct:
    given = {field.name: field.type for field in data_type.fields}
    fields = tuple(
        (name, _subtype(member, given[name], scope) if name in given else member)
        for name, member in type.fields
    )
    return replace(type, fields=fields)


def _constrain_element(type: AnyType, constraint: DataType, scope: Scope, depth: int) -> AnyType:
    """A constraint of the element, below as many dimensions as the array's own constraint has."""
    if depth == 0:
        return _subtype(type, constraint, scope)
    if isinstance(type, Array | Unconstrained):
        return replace(type, element=_constrain_element(type.element, constraint, scope, depth - 1))
    return type
