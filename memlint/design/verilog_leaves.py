"""SystemVerilog expressions that take no width from their context: names, selects, casts, calls, …"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from memlint.design import functions, system_functions
from memlint.design.frames import select_named
from memlint.design.limits import LARGEST_VECTOR
from memlint.design.meanings import ConstantMeaning, SubprogramMeaning, TypeMeaning
from memlint.design.operators import Shape, bit, compare, logical, to_shape, truth
from memlint.design.references import (
    called,
    meaning_of,
    missing_in,
    not_constant,
    not_declared,
    without_alias,
)
from memlint.design.scope import Scope
from memlint.design.selection import At, FieldOf, Part, as_vector, select
from memlint.design.types import Range, TextType, outer_range
from memlint.design.values import (
    ArrayValue,
    Int,
    Real,
    Text,
    TypeValue,
    Unknown,
    Value,
    spell,
    text_bits,
    vector,
)
from memlint.design.verilog_shapes import cast_target, integer, literal_width, shape_of, slice_range, type_of
from memlint.reading.facts import expressions as ex


def named(expr: ex.Name | ex.Scoped | ex.Member, scope: Scope) -> Value:
    """The value of what a name means."""
    meaning = without_alias(meaning_of(expr, scope))
    match meaning:
        case ConstantMeaning():
            return meaning.value
        case TypeMeaning():
            type = meaning.type
            return type if isinstance(type, Unknown) else TypeValue(type)
        case SubprogramMeaning():
            return functions.call(meaning, ex.Call(expr, (), span=expr.span), scope)
        case _:
            return not_constant(expr, meaning, scope)


def _member(expr: ex.Member, scope: Scope) -> Value:
    if meaning_of(expr, scope) is not None:
        return named(expr, scope)
    if isinstance(expr.base, ex.Name) and scope.lookup(expr.base.name) is None:
        return Unknown(f"`{expr.base.name}.{expr.name}` belongs to an instance or interface")
    return select(scope.evaluate(expr.base), FieldOf(expr.name))


def _number(expr: ex.Number, scope: Scope) -> Value:
    if expr.value is None:
        return Unknown("the literal has x or z digits")
    if expr.fill:
        return Int(expr.value, 1, False)
    if expr.width is None:
        return Int(expr.value, literal_width(expr.value, expr.signed), expr.signed)
    return Int(expr.value, expr.width, expr.signed)


def _index(expr: ex.Index, scope: Scope) -> Value:
    place = integer(expr.index, scope)
    if isinstance(place, Unknown):
        return place
    if isinstance(expr.base, ex.Name):
        found = select_named(expr.base, scope, At(place))
    else:
        found = select(as_vector(scope.evaluate(expr.base)), At(place))
    if isinstance(found, Unknown) and isinstance(type_of(expr.base, scope), TextType):
        return _character(scope.evaluate(expr.base), place)
    return found


def _character(text: Value, place: int) -> Value:
    """One byte of a string, counted from its left (6.16)."""
    if isinstance(text, Text) and 0 <= place < len(text.value):
        return Int(ord(text.value[place]) & 255, 8, False)
    return text if isinstance(text, Unknown) else Unknown(f"the string has no character {spell(place)}")


def _slice(expr: ex.Slice, scope: Scope) -> Value:
    base = outer_range(type_of(expr.base, scope)) if expr.kind != ":" else None
    span = slice_range(expr, scope, not isinstance(base, Range) or base.descending)
    if isinstance(span, Unknown):
        return span
    if isinstance(expr.base, ex.Name):
        return select_named(expr.base, scope, Part(span))
    return select(as_vector(scope.evaluate(expr.base)), Part(span))


def _concat(expr: ex.Concat, scope: Scope) -> Value:
    return _joined([scope.evaluate(part) for part in expr.parts])


def _joined(values: list[Value]) -> Value:
    """A concatenation: of strings a string, else a vector (11.4.12)."""
    if values and all(isinstance(value, Text) for value in values):
        return Text("".join(value.value for value in values if isinstance(value, Text)))
    pattern = width = 0
    for value in values:
        part = text_bits(value.value) if isinstance(value, Text) else value
        if not isinstance(part, Int) or part.width is None:
            return part if isinstance(part, Unknown) else Unknown("only vectors can be concatenated")
        width += part.width
        if width > LARGEST_VECTOR:
            return Unknown(f"a concatenation of more than {LARGEST_VECTOR} bits is not evaluated")
        pattern = pattern << part.width | part.pattern
    return Int(pattern, width, False)


def _replicate(expr: ex.Replicate, scope: Scope) -> Value:
    count = integer(expr.count, scope)
    if isinstance(count, Unknown):
        return count
    one = _joined([scope.evaluate(part) for part in expr.parts])
    if isinstance(one, Unknown):
        return one
    if count < 0:
        return Unknown(f"a replication {spell(count)} times")
    width = 8 * len(one.value) if isinstance(one, Text) else one.width if isinstance(one, Int) else None
    if width is None or width * count > LARGEST_VECTOR:
        return Unknown(f"a replication of {spell((width or 0) * count)} bits is too long to evaluate")
    if isinstance(one, Text):
        return Text(one.value * count)
    assert isinstance(one, Int)
    return Int(_repeat(one.pattern, width, count), width * count, False)


def _repeat(pattern: int, width: int, count: int) -> int:
    """`count` copies of a pattern side by side, by doubling."""
    result, length = 0, 0
    for digit in bin(count)[2:]:
        result |= result << length
        length *= 2
        if digit == "1":
            result = result << width | pattern
            length += width
    return result


def _cast(expr: ex.Cast, scope: Scope) -> Value:
    target = cast_target(expr, scope)
    if isinstance(target, Unknown):
        return target
    if isinstance(target, bool):
        return with_sign(scope.evaluate(expr.value), target)
    if not isinstance(target, int):
        return scope.evaluate(expr.value, type=target)
    if not 0 < target <= LARGEST_VECTOR:
        return Unknown(f"a cast to {spell(target)} bits")
    shape = shape_of(expr.value, scope)
    if isinstance(shape, Unknown):
        return shape
    value = scope.evaluate(expr.value, target)
    return to_shape(value, Shape(target, shape.signed and shape.kind == "int"))


def with_sign(value: Value, signed: bool) -> Value:
    """The same bits, taken as signed or unsigned."""
    if isinstance(value, Text):
        value = text_bits(value.value)
    if isinstance(value, Int) and value.width is not None:
        return vector(value.value, value.width, signed)
    return value if isinstance(value, Unknown) else Unknown("only a vector can be made signed or unsigned")


def _inside(expr: ex.Inside, scope: Scope) -> Value:
    """Set membership (11.4.13); an unknown choice matters only if no known one matches."""
    hidden: Unknown | None = None
    for choice in expr.choices:
        found = truth(matches(expr.value, choice, scope))
        if found is True:
            return bit(True)
        if isinstance(found, Unknown):
            hidden = hidden or found
    return hidden or bit(False)


def matches(subject: ex.Expr, choice: ex.Expr, scope: Scope) -> Value:
    """Whether `subject` equals a choice of `inside` or `case`, or lies in its range."""
    if isinstance(choice, ex.Slice) and isinstance(choice.base, ex.Name) and not choice.base.name:
        lower = _bounded(">=", subject, choice.left, scope)
        return logical("&&", lower, _bounded("<=", subject, choice.right, scope))
    if not isinstance(choice, ex.Number):
        value = scope.evaluate(choice)
        if isinstance(value, ArrayValue):
            wanted = scope.evaluate(subject)
            return bit(any(compare("==", wanted, item) == bit(True) for item in value.items))
    return scope.evaluate(ex.Binary("==", subject, choice, span=choice.span))


def _bounded(op: str, subject: ex.Expr, bound: ex.Expr, scope: Scope) -> bool | Unknown:
    if isinstance(bound, ex.Open):
        return True
    return truth(scope.evaluate(ex.Binary(op, subject, bound, span=bound.span)))


def _call(expr: ex.Call, scope: Scope) -> Value:
    function = expr.function
    if isinstance(function, ex.Name) and function.name.startswith("$"):
        return system_functions.call(expr, scope)
    meaning = called(function, scope)
    if isinstance(meaning, SubprogramMeaning):
        return functions.call(meaning, expr, scope)
    if meaning is not None:
        return Unknown("what is called here is no function")
    if isinstance(function, ex.Member):
        return system_functions.method(expr, function, scope)
    if isinstance(function, ex.Scoped):
        return missing_in(scope, function.scope, function.name)
    if isinstance(function, ex.Name):
        return Unknown(not_declared(scope, function.name))
    return Unknown("what is called here is no function")


def _type_argument(expr: ex.TypeArgument, scope: Scope) -> Value:
    type = scope.resolve(expr.type)
    return type if isinstance(type, Unknown) else TypeValue(type)


LEAVES: dict[type, Callable[[Any, Scope], Value]] = {
    ex.Name: named,
    ex.Number: _number,
    ex.Scoped: named,
    ex.Member: _member,
    ex.Index: _index,
    ex.Slice: _slice,
    ex.Call: _call,
    ex.Cast: _cast,
    ex.Concat: _concat,
    ex.Replicate: _replicate,
    ex.Inside: _inside,
    ex.TypeArgument: _type_argument,
    ex.Real: lambda expr, scope: Real(expr.value),
    ex.String: lambda expr, scope: Text(expr.value),
    ex.Pattern: lambda expr, scope: Unknown("an assignment pattern needs a type"),
    ex.Open: lambda expr, scope: Unknown("nothing stands here that has a value"),
    ex.Unsupported: lambda expr, scope: Unknown(f"{expr.what} is not evaluated"),
    ex.Attribute: lambda expr, scope: Unknown(f"`'{expr.name}` is no attribute of SystemVerilog"),
}
