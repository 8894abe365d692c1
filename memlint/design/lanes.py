"""Write lanes: the parts of a word that can be written apart."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from memlint.design.addresses import Reach
from memlint.design.arrays import Write
from memlint.design.body import SelectStep
from memlint.design.hierarchy import Node
from memlint.design.scope import Scope
from memlint.design.types import AnyType, Array, Range, Struct, Vector, bits, element_type, field_type
from memlint.design.values import Int
from memlint.design.write_enables import Enable, Round, enables, in_round, written_together

Extent = tuple[int, int]
_MOST_ROUNDS = 4096


def lanes(
    node: Node, writes: tuple[Write, ...], word: AnyType, width: int, reach: Reach
) -> tuple[int, ...] | None:
    """Lane widths, lowest first; empty when every write covers the whole word, None when unknown.

    Parts whose writes always happen together are one; `node` is where the array stands.
    """
    if not any(write.inner for write in writes):
        return ()
    parts: dict[Enable, int] = {}
    for write in writes:
        rounds = _rounds(write)
        if rounds is None and write.inner:
            return None
        for enable, values in zip(enables(node, write, rounds or [()], reach), rounds or [()], strict=True):
            extent = _extent(write.inner, word, width, in_round(write.scope, values))
            if extent is None:
                return None
            low, high = extent
            parts[enable] = parts.get(enable, 0) | ((1 << (high - low)) - 1) << low
    whole = (1 << width) - 1
    cuts = {0, width}
    for together in written_together(parts):
        if together != whole:
            cuts.update(_edges(together))
    if len(cuts) == 2:
        return ()
    return tuple(high - low for low, high in pairwise(sorted(cuts)))


def _edges(bits: int) -> Iterator[int]:
    """Where runs of ones begin and end."""
    at = 0
    while bits:
        zeros = (bits & -bits).bit_length() - 1
        bits >>= zeros
        ones = (~bits & (bits + 1)).bit_length() - 1
        bits >>= ones
        yield at + zeros
        at += zeros + ones
        yield at


def _rounds(write: Write) -> list[Round] | None:
    """Every combination of values of the loops around a write, None where there is no end of them."""
    rounds: list[Round] = [()]
    for loop in write.loops:
        if loop.values is None or len(loop.values) * len(rounds) > _MOST_ROUNDS:
            return None
        rounds = [(*one, (loop.name, value)) for one in rounds for value in loop.values]
    return rounds


def _extent(steps: tuple[SelectStep, ...], kind: AnyType, width: int, scope: Scope) -> Extent | None:
    """The bits [low, high) a chain of selects covers, counted from the word's lowest bit."""
    low, high = 0, width
    for step in steps:
        if step.kind == "field":
            struct = kind.element if isinstance(kind, Vector) and not kind.dimensions else kind
            if not isinstance(struct, Struct):
                return None
            offset = _field_offset(struct, step.name)
            kind = field_type(kind, step.name)
            size = bits(kind)
            if offset is None or not isinstance(size, int):
                return None
            low, high = low + offset, low + offset + size
            continue
        if isinstance(kind, Array) or not isinstance(kind, Vector | Struct):
            return None
        outer = kind.dimensions[0] if isinstance(kind, Vector) and kind.dimensions else None
        if outer is None:
            outer = Range(high - low - 1, 0, True)
        if not isinstance(outer, Range) or step.expr is None:
            return None
        inner = element_type(kind)
        unit = bits(inner)
        if not isinstance(unit, int):
            return None
        bounds = _selected(step, outer, scope)
        if bounds is None:
            return None
        first, last = bounds
        if not 0 <= first <= last < outer.size:
            return None
        low, high = low + first * unit, low + (last + 1) * unit
        kind = inner if step.kind == "index" else Vector((Range(last - first, 0, True),))
    return low, high


def _selected(step: SelectStep, outer: Range, scope: Scope) -> Extent | None:
    """Lowest and highest place a select takes, counted from the low end of the dimension."""
    assert step.expr is not None
    left = scope.evaluate(step.expr)
    if not isinstance(left, Int):
        return None
    if step.kind == "index":
        place = _place(left.value, outer)
        return place, place
    if step.right is None:
        return None
    right = scope.evaluate(step.right)
    if not isinstance(right, Int):
        return None
    match step.slice_kind:
        case "+:":
            a, b = left.value, left.value + right.value - 1
        case "-:":
            a, b = left.value - right.value + 1, left.value
        case _:
            a, b = left.value, right.value
    first, last = _place(a, outer), _place(b, outer)
    return min(first, last), max(first, last)


def _place(index: int, outer: Range) -> int:
    # The right bound of a dimension is its low end, whichever way it runs.
    return index - outer.right if outer.descending else outer.right - index


def _field_offset(struct: Struct, name: str) -> int | None:
    offset = 0
    for key, kind in reversed(struct.fields):
        if key == name:
            return 0 if struct.union else offset
        size = bits(kind)
        if not isinstance(size, int):
            return None
        offset += size
    return None
