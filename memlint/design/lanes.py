"""Write lanes: the parts of a word that are written separately."""

from __future__ import annotations

from itertools import pairwise

from memlint.design.arrays import Write
from memlint.design.body import SelectStep
from memlint.design.scope import Scope
from memlint.design.types import AnyType, Array, Range, Struct, Vector, bits, element_type, field_type
from memlint.design.values import Int

Extent = tuple[int, int]


def lanes(writes: tuple[Write, ...], word: AnyType, width: int) -> tuple[int, ...] | None:
    """Lane widths, lowest first; empty when every write covers the whole word, None when unknown."""
    extents: set[Extent] = set()
    for write in writes:
        if not write.inner:
            continue
        found = _extents(write, word, width)
        if found is None:
            return None
        extents.update(found)
    extents.discard((0, width))
    if not extents:
        return ()
    cuts = sorted({0, width, *(low for low, _ in extents), *(high for _, high in extents)})
    cuts = [cut for cut in cuts if 0 <= cut <= width]
    return tuple(high - low for low, high in pairwise(cuts))


def _extents(write: Write, word: AnyType, width: int) -> list[Extent] | None:
    rounds: list[Scope] = [write.scope]
    for loop in write.loops:
        if loop.values is None or len(loop.values) * len(rounds) > 4096:
            return None
        following: list[Scope] = []
        for scope in rounds:
            for value in loop.values:
                inner = Scope(scope.language, scope, scope.packages, scope.name)
                inner.set(loop.name, Int(value, 32 if scope.language != "vhdl" else None, True))
                following.append(inner)
        rounds = following
    found: list[Extent] = []
    for scope in rounds:
        extent = _extent(write.inner, word, width, scope)
        if extent is None:
            return None
        found.append(extent)
    return found


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
