"""Elaborated types: what a declaration's type is once the constants in it have values.

A bound that cannot be known stays in its place as an `Unknown`, so an array of unknown depth is still an
array. `resolution.resolve` makes these from a `DataType`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from memlint.design.limits import LARGEST_SIZE, MOST_FIELDS
from memlint.design.values import Unknown
from memlint.text.source import Span

_TOO_LARGE = Unknown("it has more than 2^64 bits")


@dataclass(frozen=True, slots=True)
class Range:
    """A range of indices. A VHDL range against its direction is empty."""

    left: int
    right: int
    descending: bool

    @property
    def size(self) -> int:
        return max(0, (self.left - self.right if self.descending else self.right - self.left) + 1)

    @property
    def low(self) -> int:
        return self.right if self.descending else self.left

    @property
    def high(self) -> int:
        return self.left if self.descending else self.right

    def offset(self, index: int) -> int | None:
        """Places from the left bound to `index`, None outside the range."""
        place = self.left - index if self.descending else index - self.left
        return place if 0 <= place < self.size else None

    def indices(self) -> range:
        """All indices from left to right."""
        return range(self.left, self.right - 1, -1) if self.descending else range(self.left, self.right + 1)


def between(left: int, right: int) -> Range:
    """A Verilog range: its direction follows from its bounds."""
    return Range(left, right, left >= right)


Bound: TypeAlias = Range | Unknown


@dataclass(frozen=True, slots=True)
class Vector:
    """A scalar bit (no dimensions), a vector, or a packed array of several dimensions, outermost first.

    `element` is the packed struct or enumeration the dimensions repeat; None is a single bit.
    `two_state` tells types that start as 0 rather than as x. VHDL's one-dimensional arrays of bits that
    stand for numbers (`std_logic_vector`, `unsigned`, `bit_vector`, …) are vectors too.
    """

    dimensions: tuple[Bound, ...] = ()
    signed: bool = False
    element: ElabType | None = None
    name: str = ""
    two_state: bool = False


@dataclass(frozen=True, slots=True)
class Integer:
    """A VHDL integer type or subtype."""

    range: Bound
    name: str = "integer"


@dataclass(frozen=True, slots=True)
class Enum:
    """`members` are (name, value). `base` is SystemVerilog's base type, None in VHDL.

    `range` are the positions a VHDL subtype keeps (None: all).
    """

    members: tuple[tuple[str, int], ...]
    base: ElabType | None = None
    name: str = ""
    range: Range | None = None

    @property
    def positions(self) -> Range:
        return self.range or Range(0, len(self.members) - 1, False)


@dataclass(frozen=True, slots=True)
class Struct:
    """A struct, union or record; `fields` are (name, type), the most significant first."""

    fields: tuple[tuple[str, ElabType | Unknown], ...]
    packed: bool = False
    union: bool = False
    signed: bool = False
    name: str = ""


@dataclass(frozen=True, slots=True)
class Array:
    """One unpacked dimension, or one dimension of a VHDL array. `index` is VHDL's index subtype."""

    range: Bound
    element: ElabType | Unknown
    name: str = ""
    index: ElabType | None = None


@dataclass(frozen=True, slots=True)
class Unconstrained:
    """A VHDL array whose index range its objects give. `vector` tells those that stand for numbers."""

    element: ElabType | Unknown
    name: str = ""
    index: ElabType | None = None
    vector: Vector | None = None


@dataclass(frozen=True, slots=True)
class RealType:
    name: str = "real"


@dataclass(frozen=True, slots=True)
class TextType:
    """A string; `range` is there for VHDL strings of fixed length."""

    name: str = "string"
    range: Bound | None = None


@dataclass(frozen=True, slots=True)
class Shapeless:
    """A type that is never a memory, and why: dynamic arrays, queues, interfaces, handles, files.

    `element` is there for dynamic arrays.
    """

    reason: str
    element: ElabType | Unknown | None = None


ElabType: TypeAlias = (
    Vector | Integer | Enum | Struct | Array | Unconstrained | RealType | TextType | Shapeless
)
AnyType: TypeAlias = ElabType | Unknown

BIT = Vector()


def bits(type: AnyType) -> int | Unknown:
    """How many bits an object of the type holds, over all its dimensions.

    A VHDL integer takes what its range needs in two's complement (unsigned if it has no negative values),
    an enumeration ⌈log2⌉ of its members; each at least 1.
    """
    match type:
        case Vector(dimensions=dimensions, element=element):
            size: int | Unknown = 1 if element is None else bits(element)
            for dimension in dimensions:
                if isinstance(dimension, Unknown):
                    return dimension
                if isinstance(size, Unknown):
                    return size
                size *= dimension.size
                if size > LARGEST_SIZE:
                    return _TOO_LARGE
            return size
        case Array(range=span, element=element):
            if isinstance(span, Unknown):
                return span
            size = bits(element)
            if isinstance(size, Unknown):
                return size
            return size * span.size if size * span.size <= LARGEST_SIZE else _TOO_LARGE
        case Struct():
            return _struct_bits(type)
        case Enum(base=None):
            return max(1, (len(type.members) - 1).bit_length())
        case Enum(base=base):
            return bits(base) if base is not None else 1
        case Integer(range=span):
            return span if isinstance(span, Unknown) else integer_bits(span)
        case RealType():
            return 64
        case Unknown():
            return type
        case Unconstrained(name=name):
            return Unknown(f"`{name or 'the array'}` has no index range here")
        case Shapeless(reason=reason):
            return Unknown(reason)
        case TextType(range=span):
            if isinstance(span, Range):
                return 8 * span.size
            return span if span is not None else Unknown("a string has no fixed size")


def _struct_bits(struct: Struct) -> int | Unknown:
    sizes: list[int] = []
    for _, member in struct.fields:
        size = bits(member)
        if isinstance(size, Unknown):
            return size
        sizes.append(size)
    return max(sizes, default=0) if struct.union else sum(sizes)


def limited(struct: Struct, span: Span | None) -> Struct | Unknown:
    """The struct, Unknown where it has too many fields: each of 60 types may hold the one before twice."""
    if _fields(struct) <= MOST_FIELDS:
        return struct
    return Unknown(f"a struct of more than {MOST_FIELDS:,} fields is not evaluated", span)


def _fields(type: AnyType) -> int:
    """Fields at every depth; what is in a type that was limited before is few."""
    match type:
        case Struct(fields=fields):
            return 1 + sum(_fields(member) for _, member in fields)
        case Array(element=element):
            return 1 + _fields(element)
        case Vector(element=Struct() as element):
            return 1 + _fields(element)
        case _:
            return 1


def integer_bits(span: Range) -> int:
    """Bits the values of a VHDL integer range need."""
    low, high = span.low, span.high
    if low >= 0:
        return max(1, high.bit_length())
    return max(max(high, 0).bit_length(), (-low - 1).bit_length()) + 1


def unpacked_dimensions(type: AnyType) -> tuple[Bound, ...]:
    """The unpacked dimensions (or those of nested VHDL arrays), outermost first."""
    found: list[Bound] = []
    while isinstance(type, Array):
        found.append(type.range)
        type = type.element
    return tuple(found)


def word_type(type: AnyType) -> AnyType:
    """What is left when all unpacked dimensions are taken off."""
    while isinstance(type, Array):
        type = type.element
    return type


def packed_dimensions(type: AnyType) -> tuple[Bound, ...]:
    """The packed dimensions of the innermost element, outermost first.

    A packed struct or an enumeration inside adds none of its own.
    """
    word = word_type(type)
    return word.dimensions if isinstance(word, Vector) else ()


def element_type(type: AnyType) -> AnyType:
    """What one index selects: of an array its element, of a packed array its next inner part.

    An enumeration or packed struct is selected from as the vector it lies in.
    """
    match type:
        case Array(element=element) | Unconstrained(element=element):
            return element
        case Vector(dimensions=(_,), element=element):
            return element if element is not None else Vector(two_state=type.two_state)
        case Vector(dimensions=(_, *rest)):
            # A select of a packed array is unsigned, whatever the array is (IEEE 1800-2017 11.8.1).
            return replace(type, dimensions=tuple(rest), signed=False, name="")
        case Vector(dimensions=(), element=Enum() | Struct() as inner):
            return element_type(inner)
        case Enum(base=Vector() as base):
            return element_type(base)
        case Struct(packed=True):
            return BIT
        case Shapeless(element=element) if element is not None:
            return element
        case TextType():
            return Vector((Range(7, 0, True),), two_state=True)
        case Unknown():
            return type
        case _:
            return Unknown("only an array or a vector can be indexed")


def outer_range(type: AnyType) -> Bound | None:
    """The range of the outermost dimension, unpacked or packed; None where there is none."""
    match type:
        case Array(range=span) | TextType(range=span):
            return span
        case Vector(dimensions=(first, *_)):
            return first
        case Enum(base=Vector() as base):
            return outer_range(base)
        case Struct(packed=True) | Vector(dimensions=(), element=Struct() | Enum()):
            size = bits(type)
            return size if isinstance(size, Unknown) else Range(size - 1, 0, True)
        case Unknown():
            return type
        case _:
            return None


def field_type(type: AnyType, name: str) -> AnyType:
    """The type of a field of a struct, union or record."""
    if isinstance(type, Unknown):
        return type
    if isinstance(type, Vector) and not type.dimensions and type.element is not None:
        type = type.element
    if not isinstance(type, Struct):
        return Unknown(f"it has no fields, so no `{name}`")
    for key, member in type.fields:
        if key == name:
            return member
    return Unknown(f"`{type.name or 'the struct'}` has no field `{name}`")


def is_open(type: AnyType) -> bool:
    """Whether a VHDL type leaves its index range to the object."""
    return isinstance(type, Unconstrained) or (isinstance(type, TextType) and type.range is None)


def constrain(type: AnyType, ranges: tuple[Bound | None, ...]) -> AnyType:
    """A VHDL type under an index or range constraint, outermost first; None leaves a dimension open."""
    if not ranges:
        return type
    first, rest = ranges[0], ranges[1:]
    match type:
        case Unconstrained(vector=Vector() as word) if first is not None:
            return replace(word, dimensions=(first,))
        case Unconstrained(element=element) if first is not None:
            return Array(first, constrain(element, rest), type.name, type.index)
        case Unconstrained():
            return replace(type, element=constrain(type.element, rest))
        case Array():
            return replace(type, element=constrain(type.element, rest if first is None else ranges))
        case Integer() | TextType() if first is not None:
            return replace(type, range=first)
        case Enum() if isinstance(first, Range):
            return replace(type, range=first)
        case _:
            return type
