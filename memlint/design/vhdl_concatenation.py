"""VHDL's concatenation (IEEE 1076-2008 9.2.5)."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.limits import LARGEST_VECTOR
from memlint.design.types import Array, Range, Unconstrained, Vector
from memlint.design.values import ArrayValue, Int, Real, StructValue, Text, Unknown, Value, vector
from memlint.design.vhdl_operators import bits_alone


def concatenate(values: list[Value]) -> Value:
    """`a & b & …`: strings, vectors and bits, or arrays and their elements (9.2.5)."""
    hidden = next((value for value in values if isinstance(value, Unknown)), None)
    if hidden is not None:
        return hidden
    if any(isinstance(value, ArrayValue) for value in values):
        return _joined_arrays(values)
    if all(isinstance(value, Text) for value in values):
        return Text("".join(value.value for value in values if isinstance(value, Text)))
    known = next((value for value in values if isinstance(value, Int)), None)
    if known is None or all(isinstance(value, StructValue | Real) for value in values):
        return Unknown("only arrays and their elements can be concatenated")
    if known.width is None:
        return _array_of(values)
    return _joined_bits(values, known)


def _joined_bits(values: list[Value], known: Int) -> Value:
    pattern = width = 0
    vectors = [value for value in values if isinstance(value, Int) and _is_vector(value)]
    like = vectors[0] if vectors else known
    for value in values:
        part = value
        if isinstance(part, Text):
            part = bits_alone(part)
        if not isinstance(part, Int) or part.width is None:
            return part if isinstance(part, Unknown) else Unknown("only vectors and bits can be concatenated")
        width += part.width
        if width > LARGEST_VECTOR:
            return Unknown(f"a concatenation of more than {LARGEST_VECTOR} bits is not evaluated")
        pattern = pattern << part.width | part.pattern
    # The result starts at the left bound of the index subtype (9.2.5): 0 for all of these.
    name = like.type.name if isinstance(like.type, Vector) and _is_vector(like) else ""
    type = Vector((Range(0, width - 1, False),), like.signed and _is_vector(like), None, name)
    return vector(pattern, width, type.signed, type)


def _is_vector(value: Int) -> bool:
    return isinstance(value.type, Vector) and len(value.type.dimensions) > 0


def _array_of(values: list[Value]) -> Value:
    return ArrayValue(tuple(values), Range(0, len(values) - 1, False))


def _joined_arrays(values: list[Value]) -> Value:
    items: list[Value] = []
    first = next(value for value in values if isinstance(value, ArrayValue))
    for value in values:
        if isinstance(value, ArrayValue):
            items.extend(value.items)
        else:
            items.append(value)
    left = 0
    if isinstance(first.type, Array | Unconstrained) and first.type.index is not None:
        index = first.type.index
        span = getattr(index, "range", None)
        left = span.left if isinstance(span, Range) else 0
    span = Range(left, left + len(items) - 1, False)
    type = replace(first.type, range=span) if isinstance(first.type, Array) else None
    return ArrayValue(tuple(items), span, type)
