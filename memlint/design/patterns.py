"""Assignment patterns of SystemVerilog and aggregates of VHDL, built against a known type.

IEEE 1800-2017 10.9; IEEE 1076-2008 9.3.3.
"""

from __future__ import annotations

from memlint.design.conversion import is_signed
from memlint.design.limits import LARGEST_ARRAY, LARGEST_VECTOR
from memlint.design.scope import Scope
from memlint.design.types import (
    AnyType,
    Array,
    ElabType,
    Integer,
    Range,
    Shapeless,
    Struct,
    TextType,
    Unconstrained,
    Vector,
    constrain,
    element_type,
)
from memlint.design.values import ArrayValue, Int, StructValue, Text, Unknown, Value, spell, vector
from memlint.design.vhdl_attributes import range_of
from memlint.reading.facts import expressions as ex


def pattern_value(expr: ex.Pattern, type: ElabType, scope: Scope) -> Value:
    """The value of an assignment pattern or aggregate of the given type."""
    match type:
        case Array(range=span, element=element):
            if isinstance(span, Unknown):
                return span
            values = _elements(expr, span, element, scope)
            return values if isinstance(values, Unknown) else ArrayValue(tuple(values), span, type)
        case Vector(dimensions=(span, *_)):
            if isinstance(span, Unknown):
                return span
            inner = element_type(type)
            values = _elements(expr, span, inner, scope)
            return values if isinstance(values, Unknown) else _packed(values, type)
        case Struct():
            return _struct(expr, type, scope)
        case Shapeless(element=element) if element is not None:
            values = _elements(expr, Range(0, _count(expr, scope) - 1, False), element, scope)
            if isinstance(values, Unknown):
                return values
            span = Range(0, len(values) - 1, False)
            return ArrayValue(tuple(values), span, Array(span, element))
        case Unconstrained() | TextType(range=None):
            span = _free_range(expr, type, scope)
            if isinstance(span, Unknown):
                return span
            narrowed = constrain(type, (span,))
            return narrowed if isinstance(narrowed, Unknown) else pattern_value(expr, narrowed, scope)
        case TextType(range=Range() as span):
            values = _elements(expr, span, Unknown("characters"), scope)
            return values if isinstance(values, Unknown) else _text(values)
        case _:
            return Unknown("a list of elements stands where a single value is needed")


def _count(expr: ex.Pattern, scope: Scope) -> int:
    if expr.repeat is None:
        return len(expr.items)
    times = scope.evaluate(expr.repeat)
    return len(expr.items) * times.value if isinstance(times, Int) else 0


def _is_rest(key: ex.Expr | None) -> bool:
    return isinstance(key, ex.Name) and key.name in ("default", "others")


def _repeated(
    expr: ex.Pattern, room: int, scope: Scope
) -> tuple[tuple[ex.Expr | None, ex.Expr], ...] | Unknown:
    if expr.repeat is None:
        return expr.items
    times = scope.evaluate(expr.repeat)
    if not isinstance(times, Int):
        return times if isinstance(times, Unknown) else Unknown("a pattern repeated a broken number of times")
    if not 0 <= times.value * len(expr.items) <= room:
        return Unknown(f"a pattern repeated {spell(times.value)} times for {spell(room)} elements", expr.span)
    return expr.items * times.value


def _elements(expr: ex.Pattern, span: Range, element: AnyType, scope: Scope) -> list[Value] | Unknown:
    """The values of all elements, from the left bound to the right one."""
    if span.size > LARGEST_ARRAY:
        return Unknown(f"an array of {spell(span.size)} elements is too large to evaluate", expr.span)
    items = _repeated(expr, span.size, scope)
    if isinstance(items, Unknown):
        return items
    values: list[Value | None] = [None] * span.size
    rest: Value | None = None
    place = 0
    for key, item in items:
        if key is None:
            if place >= span.size:
                return Unknown(
                    f"{len(items)} elements are given to an array of {spell(span.size)}", expr.span
                )
            values[place] = _evaluate(item, element, scope)
            place += 1
        elif _is_rest(key):
            rest = _rest(key, item, element, scope)
        elif isinstance(key, ex.TypeArgument):
            if scope.resolve(key.type) == element:
                rest = _evaluate(item, element, scope)
        else:
            chosen = _places(key, span, scope)
            if isinstance(chosen, Unknown):
                return chosen
            value = _evaluate(item, element, scope)
            for place in chosen:
                values[place] = value
    if None in values and rest is None:
        given = sum(value is not None for value in values)
        return Unknown(f"{given} elements are given to an array of {spell(span.size)}", expr.span)
    return [rest if value is None and rest is not None else value for value in values]  # type: ignore[misc]


def _evaluate(item: ex.Expr, type: AnyType, scope: Scope) -> Value:
    return scope.evaluate(item, type=None if isinstance(type, Unknown) else type)


def _rest(key: ex.Expr | None, item: ex.Expr, type: AnyType, scope: Scope) -> Value:
    """A default value; in SystemVerilog it goes down into nested arrays and structs (10.9.1, 10.9.2)."""
    nested = isinstance(type, Array) or (isinstance(type, Struct) and not type.packed)
    if nested and scope.language != "vhdl" and not isinstance(item, ex.Pattern):
        as_it_is = scope.evaluate(item)
        if not isinstance(as_it_is, ArrayValue | StructValue):
            item = ex.Pattern(((key, item),), span=item.span)
    return _evaluate(item, type, scope)


def _places(key: ex.Expr, span: Range, scope: Scope) -> list[int] | Unknown:
    """Where in an array a choice points to: an index, or a range of them."""
    chosen = range_of(key, scope) if scope.language == "vhdl" else None
    if isinstance(chosen, Range):
        indices = list(chosen.indices())
    else:
        index = scope.evaluate(key)
        if not isinstance(index, Int):
            return index if isinstance(index, Unknown) else Unknown("an element's index is a whole number")
        indices = [index.value]
    places: list[int] = []
    for one in indices:
        place = span.offset(one)
        if place is None:
            return Unknown(f"element {spell(one)} lies outside the array", key.span)
        places.append(place)
    return places


def _packed(values: list[Value], type: ElabType) -> Value:
    """Elements side by side as one vector, the first leftmost."""
    digits: list[str] = []
    for value in values:
        if not isinstance(value, Int) or value.width is None:
            return value if isinstance(value, Unknown) else Unknown("an element of a vector is no number")
        digits.append(f"{value.pattern:0{value.width}b}" if value.width else "")
    joined = "".join(digits)
    if len(joined) > LARGEST_VECTOR:
        return Unknown(f"a vector of {len(joined)} bits is too long to evaluate")
    return vector(int(joined or "0", 2), len(joined), is_signed(type), type)


def _struct(expr: ex.Pattern, type: Struct, scope: Scope) -> Value:
    found: dict[str, Value] = {}
    rest: tuple[ex.Expr, ex.Expr] | None = None
    by_type: list[tuple[AnyType, ex.Expr]] = []
    items = _repeated(expr, len(type.fields), scope)
    if isinstance(items, Unknown):
        return items
    members = dict(type.fields)
    for place, (key, item) in enumerate(items):
        if key is None:
            if place >= len(type.fields):
                return Unknown(f"{len(items)} values are given to {len(type.fields)} fields", expr.span)
            name, member = type.fields[place]
            found[name] = _evaluate(item, member, scope)
        elif _is_rest(key):
            rest = (key, item)
        elif isinstance(key, ex.TypeArgument):
            by_type.append((scope.resolve(key.type), item))
        elif isinstance(key, ex.Name) and key.name in members:
            found[key.name] = _evaluate(item, members[key.name], scope)
        else:
            return Unknown(f"`{type.name or 'the struct'}` has no such field", key.span)
    for name, member in type.fields:
        if name in found:
            continue
        fitting = next((item for wanted, item in by_type if wanted == member), None)
        if fitting is not None:
            found[name] = _evaluate(fitting, member, scope)
        elif rest is not None:
            found[name] = _rest(*rest, member, scope)
        else:
            return Unknown(f"the field `{name}` is given no value", expr.span)
    values = [found[name] for name, _ in type.fields]
    if type.packed:
        return _packed(values, type)
    return StructValue(tuple(zip(members, values, strict=True)), type)


def _free_range(expr: ex.Pattern, type: Unconstrained | TextType, scope: Scope) -> Range | Unknown:
    """The index range of an aggregate whose type leaves it open (IEEE 1076-2008 9.3.3.3)."""
    index = type.index if isinstance(type, Unconstrained) else None
    left = 1 if isinstance(type, TextType) else 0
    if isinstance(index, Integer) and isinstance(index.range, Range):
        left = index.range.left
    bounds: list[int] = []
    count = 0
    for key, _ in expr.items:
        if key is None:
            count += 1
            continue
        if _is_rest(key):
            return Unknown("`others` needs an array of known length", expr.span)
        chosen = range_of(key, scope)
        if isinstance(chosen, Range):
            if len(expr.items) == 1:
                return chosen
            bounds += [chosen.low, chosen.high]
            continue
        place = scope.evaluate(key)
        if not isinstance(place, Int):
            return place if isinstance(place, Unknown) else Unknown("an element's index is a whole number")
        bounds.append(place.value)
    if bounds:
        return Range(min(bounds), max(bounds), False)
    return Range(left, left + count - 1, False)


def _text(values: list[Value]) -> Value:
    hidden = next((value for value in values if not isinstance(value, Text)), None)
    if hidden is not None:
        return hidden if isinstance(hidden, Unknown) else Unknown("an element of a string is no character")
    return Text("".join(value.value for value in values if isinstance(value, Text)))
