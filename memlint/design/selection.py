"""Selecting elements, slices and fields of values, and replacing them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from memlint.design.predefined import INTEGER
from memlint.design.types import (
    AnyType,
    Array,
    ElabType,
    Enum,
    Range,
    RealType,
    Struct,
    TextType,
    Vector,
    bits,
    element_type,
    field_type,
    outer_range,
)
from memlint.design.values import (
    ArrayValue,
    Int,
    Partial,
    Real,
    StructValue,
    Text,
    TypeValue,
    Unknown,
    Value,
    spell,
    text_bits,
    vector,
)


@dataclass(frozen=True, slots=True)
class At:
    """One element."""

    index: int


@dataclass(frozen=True, slots=True)
class Part:
    """A slice, by its own index range."""

    range: Range


@dataclass(frozen=True, slots=True)
class FieldOf:
    name: str


Step: TypeAlias = At | Part | FieldOf


def type_of_value(value: Value) -> AnyType:
    """The type a value has by itself."""
    match value:
        case Int(type=None, width=None):
            return INTEGER
        case Int(type=None, width=int(width)):
            return Vector((Range(width - 1, 0, True),), value.signed)
        case Int(type=type) if type is not None:
            return type
        case Real():
            return RealType()
        case Text(value=text):
            return TextType(range=Range(1, len(text), False))
        case ArrayValue(type=type) if type is not None:
            return type
        case ArrayValue(items=items, range=span):
            inner = type_of_value(items[0]) if items else Unknown("an empty array has no element type")
            return Array(span, inner)
        case StructValue(type=type):
            return type if type is not None else Unknown("the record's type is not known")
        case Partial(known=known):
            return type_of_value(known)
        case TypeValue(type=type):
            return type
        case _:
            assert isinstance(value, Unknown)
            return value


def type_after(type: AnyType, step: Step) -> AnyType:
    """The type of what a step selects from an object of `type`."""
    match step:
        case At():
            return element_type(type)
        case FieldOf(name=name):
            return field_type(type, name)
        case Part(range=span):
            match type:
                case Array():
                    return replace(type, range=span)
                case Vector(dimensions=(_, *rest)):
                    # A part select is unsigned (IEEE 1800-2017 11.8.1); in VHDL it keeps its type.
                    return replace(type, dimensions=(span, *rest), signed=type.signed and bool(type.name))
                case TextType():
                    return replace(type, range=span)
                case (
                    Enum(base=Vector())
                    | Struct(packed=True)
                    | Vector(dimensions=(), element=Enum() | Struct())
                ):
                    return Vector((span,))
                case Unknown():
                    return type
                case _:
                    return Unknown("only an array or a vector has slices")


def select(value: Value, step: Step) -> Value:
    """What a step selects from a value."""
    match value:
        case Unknown():
            return value
        case Int():
            return select_bits(value, step)
        case Partial(known=known, unset=unset):
            hidden = select_bits(replace(known, value=unset, signed=False), step)
            return partial(select_bits(known, step), hidden)
        case ArrayValue(items=items, range=span):
            match step:
                case At(index=index):
                    place = span.offset(index)
                    return items[place] if place is not None else outside(index, span)
                case Part(range=part):
                    covered = places(span, part)
                    if isinstance(covered, Unknown):
                        return covered
                    type = type_after(value.type, step) if value.type is not None else None
                    kept = None if isinstance(type, Unknown) else type
                    return ArrayValue(items[covered[0] : covered[1]], part, kept)
        case StructValue():
            if isinstance(step, FieldOf):
                found = value.get(step.name)
                return found if found is not None else Unknown(f"there is no field `{step.name}`")
        case Text(value=text):
            return _select_text(text, step)
        case _:
            pass
    return Unknown(misfit(step))


def partial(known: Value, unset: Value) -> Value:
    """A value and the mask of its bits that were never set, taken from one place."""
    if not isinstance(known, Int) or not isinstance(unset, Int) or not unset.pattern:
        return known
    if isinstance(known.type, Struct) or (isinstance(known.type, Vector) and known.type.element is not None):
        return Partial(known, unset.pattern)
    return Unknown("what is read here was never set")


def misfit(step: Step) -> str:
    if isinstance(step, FieldOf):
        return f"only a struct or record has a field `{step.name}`"
    return "only an array or a vector can be indexed"


def outside(index: int, span: Range) -> Unknown:
    word = "downto" if span.descending else "to"
    return Unknown(f"index {spell(index)} lies outside {spell(span.left)} {word} {spell(span.right)}")


def places(span: Range, part: Range) -> tuple[int, int] | Unknown:
    """The half-open range of places a slice covers, counted from the left bound."""
    if part.size == 0:
        return 0, 0
    first, last = span.offset(part.left), span.offset(part.right)
    if first is None:
        return outside(part.left, span)
    if last is None:
        return outside(part.right, span)
    return min(first, last), max(first, last) + 1


def _select_text(text: str, step: Step) -> Value:
    # VHDL strings count from 1. SystemVerilog's are selected from as vectors before they come here.
    span = Range(1, len(text), False)
    match step:
        case At(index=index):
            place = span.offset(index)
            return Text(text[place], character=True) if place is not None else outside(index, span)
        case Part(range=part):
            covered = places(span, part)
            return covered if isinstance(covered, Unknown) else Text(text[covered[0] : covered[1]])
        case FieldOf():
            return Unknown(misfit(step))


@dataclass(frozen=True, slots=True)
class BitPlace:
    """Where a selected part lies in a vector: `shift` bits from the right, `width` bits, its type."""

    shift: int
    width: int
    type: ElabType


def locate(value: Int, step: Step) -> BitPlace | Unknown:
    type = type_of_value(value)
    if isinstance(step, FieldOf):
        return _locate_field(type, step.name)
    span = outer_range(type)
    if isinstance(span, Unknown):
        return span
    if span is None or value.width is None:
        return Unknown(misfit(step))
    inner = element_type(type)
    size = bits(inner)
    if isinstance(size, Unknown) or isinstance(inner, Unknown):
        return size if isinstance(size, Unknown) else Unknown(misfit(step))
    if isinstance(step, At):
        place = span.offset(step.index)
        if place is None:
            return outside(step.index, span)
        return BitPlace((span.size - 1 - place) * size, size, inner)
    covered = places(span, step.range)
    if isinstance(covered, Unknown):
        return covered
    part = type_after(type, step)
    if isinstance(part, Unknown):
        return part
    return BitPlace((span.size - covered[1]) * size, (covered[1] - covered[0]) * size, part)


def _locate_field(type: AnyType, name: str) -> BitPlace | Unknown:
    if isinstance(type, Vector) and not type.dimensions and type.element is not None:
        type = type.element
    if not isinstance(type, Struct):
        return Unknown(misfit(FieldOf(name)))
    shift = 0
    for key, member in reversed(type.fields):
        size = bits(member)
        if isinstance(size, Unknown):
            return size
        if key == name and not isinstance(member, Unknown):
            return BitPlace(0 if type.union else shift, size, member)
        shift += size
    return Unknown(f"`{type.name or 'the struct'}` has no field `{name}`")


def _signed(type: ElabType) -> bool:
    match type:
        case Vector(element=None) | Struct():
            return type.signed
        case Vector(dimensions=(), element=element) if element is not None:
            return _signed(element)
        case Enum(base=base) if base is not None:
            return _signed(base)
        case _:
            return False


def select_bits(value: Int, step: Step) -> Value:
    place = locate(value, step)
    if isinstance(place, Unknown):
        return place
    return vector(value.value >> place.shift, place.width, _signed(place.type), place.type)


def as_vector(value: Value) -> Value:
    """A SystemVerilog string literal that is selected from, as the vector it stands for."""
    return text_bits(value.value) if isinstance(value, Text) else value
