"""Which part of what a port is connected to one element of the port is."""

from __future__ import annotations

from memlint.design.parts import actuals, selected
from memlint.design.scope import Scope
from memlint.design.types import Array, Range, bits, outer_range
from memlint.design.values import Int
from memlint.reading.facts.expressions import Call, Concat, Expr, Index, Name, Number, Pattern, Slice


def connected(value: Expr, select: str, formal: object, inner: Scope, outer: Scope) -> Expr | None:
    """What an element of a port (`[2]`, then further constant selects) is connected to; None: not shown.

    Elements are matched from left to right, whatever the bounds on either side are (IEEE Std 1076-2008,
    6.5.7.1; IEEE Std 1800-2017, 23.3.3). `formal` is the range of the port's outermost dimension;
    `inner` is the scope its parts are meant in, `outer` that of the connection.
    """
    first, bracket, rest = select.partition("]")
    if not bracket or not first.startswith("[") or not isinstance(formal, Range):
        return selected(value, select)
    index = int(first[1:])
    if isinstance(value, Pattern):
        row = formal.offset(index)
        if row is not None and row < len(value.items) and all(key is None for key, _ in value.items):
            return _then(value.items[row][1], rest)
        for part, actual in actuals(value):
            span = _range(part, inner) if isinstance(part, Slice) else None
            place = span.offset(index) if span is not None else None
            if place is not None and span is not None:
                return _then(_place(actual, place, span.size, outer), rest)
        return selected(value, select)
    place = formal.offset(index)
    return selected(value, select) if place is None else _then(_place(value, place, formal.size, outer), rest)


def _then(expr: Expr | None, rest: str) -> Expr | None:
    return selected(expr, rest) if expr is not None else None


def _place(value: Expr, place: int, size: int, scope: Scope) -> Expr | None:
    """The element at a place, counted from the left, of an expression with `size` of them."""
    match value:
        case Call(function=base, arguments=(Slice(base=Name(name="")) as part,)):
            return _of_slice(base, part, place, scope)
        case Slice(base=base):
            return _of_slice(base, value, place, scope)
        case Concat(parts=parts):
            for one in parts:
                width = _elements(one, scope)
                if width is None:
                    return None
                if place < width:
                    return one if width == 1 else _place(one, place, width, scope)
                place -= width
            return None
        case _:
            bound = outer_range(scope.type_of(value))
            if not isinstance(bound, Range) or place >= bound.size or bound.size != size:
                return value if size == 1 else None
            return _at(value, bound.indices()[place])


def _elements(part: Expr, scope: Scope) -> int | None:
    type = scope.type_of(part)
    if isinstance(type, Array):
        return type.range.size if isinstance(type.range, Range) else None
    width = bits(type)
    return width if isinstance(width, int) else None


def _of_slice(base: Expr, part: Slice, place: int, scope: Scope) -> Expr | None:
    span = _range(part, scope)
    if span is None or place >= span.size:
        return None
    return _at(base, span.indices()[place])


def _range(part: Slice, scope: Scope) -> Range | None:
    left, right = scope.evaluate(part.left), scope.evaluate(part.right)
    if not isinstance(left, Int) or not isinstance(right, Int):
        return None
    match part.kind:
        case "+:" | "-:":
            low = left.value if part.kind == "+:" else left.value - right.value + 1
            high = low + right.value - 1
            bound = outer_range(scope.type_of(part.base))
            descending = not isinstance(bound, Range) or bound.descending
            return Range(high, low, True) if descending else Range(low, high, False)
        case "to":
            return Range(left.value, right.value, False)
        case "downto":
            return Range(left.value, right.value, True)
        case _:
            return Range(left.value, right.value, left.value >= right.value)


def _at(base: Expr, index: int) -> Expr:
    return Index(base, Number(index, None, True, span=base.span), span=base.span)
