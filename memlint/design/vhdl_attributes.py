"""Predefined attributes and discrete ranges of VHDL (IEEE 1076-2008 16.2, 5.2.1)."""

from __future__ import annotations

from memlint.design.limits import LARGEST_SIZE
from memlint.design.meanings import SignalMeaning, TypeMeaning
from memlint.design.predefined import FALSE, INTEGER, TRUE
from memlint.design.references import meaning_of, without_alias
from memlint.design.scope import Scope
from memlint.design.selection import type_of_value
from memlint.design.types import (
    AnyType,
    Bound,
    ElabType,
    Enum,
    Integer,
    Range,
    RealType,
    element_type,
    is_open,
    outer_range,
)
from memlint.design.values import Int, Real, Text, TypeValue, Unknown, Value, spell
from memlint.reading.facts import expressions as ex

_RANGES = frozenset(("range", "reverse_range"))
_BOUNDS = frozenset(("left", "right", "high", "low", "length", "ascending"))


def range_of(expr: ex.Expr, scope: Scope) -> Range | Unknown | None:
    """The range an expression denotes: bounds, a `'range` attribute or a discrete subtype.

    None where it denotes no range but a value.
    """
    match expr:
        case ex.Slice(base=ex.Name(name=""), kind="box"):
            return range_of(expr.left, scope)
        case ex.Slice(base=ex.Name(name=""), left=left, right=right, kind=kind):
            return _bounds(scope.evaluate(left), scope.evaluate(right), kind == "downto", expr)
        case ex.Attribute(name=name) if name in _RANGES:
            span = _attribute_range(expr, scope)
            if isinstance(span, Unknown) or name == "range":
                return span
            return Range(span.right, span.left, not span.descending)
        case ex.Name() | ex.Member() | ex.Scoped():
            meaning = without_alias(meaning_of(expr, scope))
            return _discrete_range(meaning.type) if isinstance(meaning, TypeMeaning) else None
        case ex.Call(arguments=(argument,)) | ex.Index(index=argument):
            # `integer range 0 to 3` may be read as a type under a constraint.
            function = expr.function if isinstance(expr, ex.Call) else expr.base
            is_type = isinstance(without_alias(meaning_of(function, scope)), TypeMeaning)
            return range_of(argument, scope) if is_type else None
        case _:
            return None


def _bounds(left: Value, right: Value, descending: bool, expr: ex.Slice) -> Range | Unknown:
    if isinstance(left, Unknown):
        return left
    if isinstance(right, Unknown):
        return right
    if isinstance(left, Int) and isinstance(right, Int):
        if max(abs(left.value), abs(right.value)) > LARGEST_SIZE:
            return Unknown("a bound of more than 64 bits is larger than any array", expr.span)
        return Range(left.value, right.value, descending)
    if isinstance(left, Text) and isinstance(right, Text) and left.value and right.value:
        return Range(ord(left.value[0]), ord(right.value[0]), descending)
    return Unknown("a bound of a range must be a whole number", expr.span)


def _discrete_range(type: AnyType) -> Range | Unknown:
    match type:
        case Integer(range=span):
            return span
        case Enum():
            return type.positions
        case Unknown():
            return type
        case _:
            return outer_range(type) or Unknown("the type has no range")


def range_type(expr: ex.Expr, scope: Scope) -> ElabType | None:
    """The type of the values in a range: a subtype, or that of its bounds; None where nothing is known."""
    match expr:
        case ex.Slice(base=ex.Name(name=""), kind="box"):
            return range_type(expr.left, scope)
        case ex.Slice(base=ex.Name(name=""), left=left):
            value = scope.evaluate(left)
            return value.type if isinstance(value, Int) and isinstance(value.type, Enum) else INTEGER
        case ex.Name() | ex.Member() | ex.Scoped():
            meaning = without_alias(meaning_of(expr, scope))
            if isinstance(meaning, TypeMeaning) and not isinstance(meaning.type, Unknown):
                return meaning.type
            return None
        case ex.Attribute(name=name, prefix=prefix) if name in _RANGES:
            index = getattr(prefix_type(prefix, scope), "index", None)
            return index if isinstance(index, Integer | Enum) else INTEGER
        case _:
            return INTEGER


def prefix_type(prefix: ex.Expr, scope: Scope) -> AnyType:
    """The type an attribute's prefix is or has; of an object of open type, the one of its value."""
    type = scope.type_of(prefix)
    if is_open(type) and not _names_type(prefix, scope):
        value = scope.evaluate(prefix)
        if isinstance(value, Unknown) and isinstance(meaning_of(prefix, scope), SignalMeaning):
            return Unknown(f"the index range of `{getattr(prefix, 'name', '')}` is left open", prefix.span)
        return type_of_value(value)
    return type


def _names_type(prefix: ex.Expr, scope: Scope) -> bool:
    return isinstance(without_alias(meaning_of(prefix, scope)), TypeMeaning)


def _attribute_range(expr: ex.Attribute, scope: Scope) -> Range | Unknown:
    """The range of a prefix's dimension; of a scalar type its own."""
    type = prefix_type(expr.prefix, scope)
    dimension = 1
    if expr.arguments:
        given = scope.evaluate(expr.arguments[0])
        if not isinstance(given, Int):
            return given if isinstance(given, Unknown) else Unknown("a dimension is a whole number")
        dimension = given.value
    for _ in range(dimension - 1):
        type = element_type(type)
    if isinstance(type, Unknown):
        return type
    if isinstance(type, Integer | Enum):
        return _discrete_range(type)
    span: Bound | None = outer_range(type)
    if span is None:
        return Unknown(f"`'{expr.name}` needs an array of known range", expr.span)
    return span


def attribute(expr: ex.Attribute, scope: Scope) -> Value:
    """The value of a predefined attribute."""
    name = expr.name
    if name in _BOUNDS:
        return _bound_attribute(expr, scope)
    if name in _RANGES:
        return Unknown(f"`'{name}` is a range, not a value", expr.span)
    if name in ("pos", "val", "succ", "pred", "leftof", "rightof", "image", "value") and expr.arguments:
        return _scalar_attribute(expr, scope)
    if name in ("subtype", "base", "element"):
        type = attribute_type(expr, scope)
        return type if isinstance(type, Unknown) else TypeValue(type)
    if name in ("image", "instance_name", "path_name", "simple_name"):
        return Unknown(f"`'{name}` is not evaluated", expr.span)
    return Unknown(f"the attribute `'{name}` is not evaluated", expr.span)


def attribute_type(expr: ex.Attribute, scope: Scope) -> AnyType:
    """The type that `'subtype`, `'base` or `'element` gives, or that an attribute's value has."""
    match expr.name:
        case "subtype" | "base":
            return prefix_type(expr.prefix, scope)
        case "element":
            return element_type(prefix_type(expr.prefix, scope))
        case _:
            return type_of_value(attribute(expr, scope))


def _bound_attribute(expr: ex.Attribute, scope: Scope) -> Value:
    span = _attribute_range(expr, scope)
    if isinstance(span, Unknown):
        return span.at(expr.span)
    if expr.name == "length":
        return Int(span.size)
    if expr.name == "ascending":
        return FALSE if span.descending else TRUE
    number = {"left": span.left, "right": span.right, "high": span.high, "low": span.low}[expr.name]
    type = prefix_type(expr.prefix, scope)
    index = type if isinstance(type, Enum | Integer) else getattr(type, "index", None)
    return Int(number, None, True, index if isinstance(index, Enum) else None)


def _scalar_attribute(expr: ex.Attribute, scope: Scope) -> Value:
    type = prefix_type(expr.prefix, scope)
    if isinstance(type, Unknown):
        return type
    value = scope.evaluate(expr.arguments[0], type=type if expr.name != "val" else None)
    if isinstance(value, Unknown):
        return value
    if expr.name == "image":
        return _image(value, type)
    if expr.name == "value":
        return _value(value, type)
    if not isinstance(value, Int) or not isinstance(type, Integer | Enum):
        return Unknown(f"`'{expr.name}` needs a discrete type", expr.span)
    match expr.name:
        case "pos":
            return Int(value.value)
        case "val":
            return _checked(value.value, type)
        case "succ":
            return _checked(value.value + 1, type)
        case "pred":
            return _checked(value.value - 1, type)
        case _:
            span = _discrete_range(type)
            if isinstance(span, Unknown):
                return span
            rightwards = (expr.name == "rightof") != span.descending
            return _checked(value.value + (1 if rightwards else -1), type)


def _checked(number: int, type: Integer | Enum) -> Value:
    if isinstance(type, Enum) and not 0 <= number < len(type.members):
        return Unknown(f"`{type.name}` has no member at position {spell(number)}")
    return Int(number, None, True, type)


def _image(value: Value, type: ElabType) -> Value:
    match value, type:
        case Int(value=number), Enum(members=members) if 0 <= number < len(members):
            return Text(members[number][0])
        case Int(value=number, width=None), _ if number.bit_length() <= 128:
            return Text(str(number))
        case Int(value=number, width=1), _:
            return Text(f"'{number}'")
        case Text(value=text, character=True), _:
            return Text(f"'{text}'")
        case Real(), RealType():
            return Unknown("the image of a real is not evaluated")
        case _:
            return Unknown("this image is not evaluated")


def _value(value: Value, type: ElabType) -> Value:
    if not isinstance(value, Text):
        return Unknown("`'value` needs a string")
    text = value.value.strip().lower()
    if isinstance(type, Enum):
        for name, place in type.members:
            if name == text:
                return Int(place, None, False, type)
        return Unknown(f'"{text}" is no member of `{type.name}`')
    try:
        return Int(int(text.replace("_", ""))) if isinstance(type, Integer) else Unknown("not evaluated")
    except ValueError:
        return Unknown(f'"{text[:40]}" is no whole number')
