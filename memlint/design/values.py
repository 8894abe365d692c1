"""Values of constant expressions, of all languages.

Evaluation never raises: what cannot be known is an `Unknown` that carries the first reason met, and an
`Unknown` that enters an operation comes out of it unchanged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeAlias

from memlint.text.source import Span

if TYPE_CHECKING:
    from memlint.design.types import ElabType, Range


@dataclass(frozen=True, slots=True)
class Unknown:
    """A value, size or type that cannot be known, and why.

    `reason` is a clause for a message, without a full stop. `needs` is the dotted name of a parameter
    whose value would settle it (for `[assume]`), where there is one.
    """

    reason: str
    span: Span | None = field(default=None, compare=False)
    needs: str | None = None

    def at(self, span: Span | None) -> Unknown:
        """The same, placed at `span` unless it has a place already."""
        return self if self.span is not None or span is None else replace(self, span=span)


class TooMany(Unknown):
    """An Unknown because a limit of ours was met, not because of what the source says."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Int:
    """An integral value: a vector of `width` bits, or (width None) a mathematical integer of VHDL.

    `value` is the number the bits denote: negative only where `signed`. `type` is there where more is
    known than width and sign: packed ranges, a packed struct, an enumeration, a VHDL subtype.
    """

    value: int
    width: int | None = None
    signed: bool = True
    type: ElabType | None = field(default=None, compare=False)

    @property
    def pattern(self) -> int:
        """The bits as a number not negative; for a mathematical integer the value itself."""
        return self.value if self.width is None else self.value & ((1 << self.width) - 1)


@dataclass(frozen=True, slots=True)
class Real:
    value: float


@dataclass(frozen=True, slots=True)
class Text:
    """A string. `character` marks a VHDL character literal, whose type only its context tells."""

    value: str
    character: bool = False


@dataclass(frozen=True, slots=True)
class ArrayValue:
    """`items` from the left bound of `range` to the right one."""

    items: Sequence[Value]
    range: Range
    type: ElabType | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class StructValue:
    """An unpacked struct or a record (a packed struct is an `Int` with a struct type)."""

    fields: tuple[tuple[str, Value], ...]
    type: ElabType | None = field(default=None, compare=False)

    def get(self, name: str) -> Value | None:
        return next((value for key, value in self.fields if key == name), None)


@dataclass(frozen=True, slots=True)
class Partial:
    """A packed struct some bits of which were never set; `unset` is their mask.

    Its other fields have values.
    """

    known: Int
    unset: int


@dataclass(frozen=True, slots=True)
class TypeValue:
    """The value of a type parameter."""

    type: ElabType


Value: TypeAlias = Int | Real | Text | ArrayValue | StructValue | Partial | TypeValue | Unknown


def vector(pattern: int, width: int, signed: bool = False, type: ElabType | None = None) -> Int:
    """The `width` low bits of `pattern` as a vector."""
    pattern &= (1 << width) - 1
    if signed and width and pattern >> (width - 1):
        pattern -= 1 << width
    return Int(pattern, width, signed, type)


def spell(number: int) -> str:
    """A number for a message. Python refuses to print very long ones, and nobody wants to read them."""
    return str(number) if number.bit_length() <= 128 else f"a number of {number.bit_length()} bits"


def text_bits(text: str) -> Int:
    """A SystemVerilog string literal as a vector: 8 bits a character, first one leftmost (5.9)."""
    data = text.encode("latin-1", "replace")
    return Int(int.from_bytes(data, "big"), max(8, 8 * len(data)), False)
