"""The values of constant expressions and of named constants, of all languages.

`scope.Scope` is the other half: it looks names up and remembers what is worked out here.
"""

from __future__ import annotations

from dataclasses import replace

from memlint.design import verilog_expressions, vhdl_expressions, vhdl_types_of
from memlint.design.conversion import convert
from memlint.design.meanings import ConstantMeaning, Declared, EnumName, TypeMeaning
from memlint.design.predefined import predefined
from memlint.design.recursion import deep_recursion
from memlint.design.references import meaning_of_type, without_alias
from memlint.design.resolution import resolve
from memlint.design.scope import Scope
from memlint.design.types import (
    AnyType,
    Array,
    ElabType,
    Enum,
    Integer,
    RealType,
    Struct,
    Unconstrained,
    Vector,
    bits,
)
from memlint.design.values import Int, Real, Text, TypeValue, Unknown, Value, vector
from memlint.design.verilog_leaves import with_sign
from memlint.design.verilog_shapes import literal_width
from memlint.design.verilog_shapes import type_of as verilog_type_of
from memlint.reading.facts.expressions import DataType, Expr, Name, Open, TypeArgument
from memlint.reading.facts.items import Parameter, Port, Typedef, Variable
from memlint.text.source import Span


def evaluate(expr: Expr, scope: Scope, width: int | None = None, type: ElabType | None = None) -> Value:
    """The value of `expr` in `scope`. Never raises: what cannot be known is Unknown, with the reason.

    `width` is the least width of the context (an assignment's target, IEEE 1800-2017 11.6); `type` the
    type the context expects, which assignment patterns, aggregates and VHDL string literals need.
    """
    try:
        return _evaluate(expr, scope, width, type)
    except RecursionError:
        if scope.effort.depth > 0:
            raise
    try:
        with deep_recursion():
            return _evaluate(expr, scope, width, type)
    except RecursionError:
        return Unknown("the expression is nested too deeply to evaluate", expr.span)


def _evaluate(expr: Expr, scope: Scope, width: int | None, type: ElabType | None) -> Value:
    if scope.language == "vhdl":
        return vhdl_expressions.evaluate(expr, scope, type)
    return verilog_expressions.evaluate(expr, scope, width, type)


def type_of(expr: Expr, scope: Scope) -> AnyType:
    """The type of an expression: of a signal, an element or field of one, or a constant.

    Indices need not be constant; bounds of `:`, `to` and `downto` slices must be.
    """
    try:
        return _type_of(expr, scope)
    except RecursionError:
        if scope.effort.depth > 0:
            raise
    try:
        with deep_recursion():
            return _type_of(expr, scope)
    except RecursionError:
        return Unknown("the expression is nested too deeply to evaluate", expr.span)


def _type_of(expr: Expr, scope: Scope) -> AnyType:
    return vhdl_types_of.type_of(expr, scope) if scope.language == "vhdl" else verilog_type_of(expr, scope)


def declared_value(scope: Scope, name: str, item: Declared | None, given: Value | None) -> Value:
    """The value of a constant: what is given for it, else what its declaration says."""
    match item:
        case None:
            if given is not None:
                return given
            known = predefined(name) if scope.language == "vhdl" else None
            return known if isinstance(known, Int | Real) else Unknown(f"`{name}` has no value")
        case EnumName():
            return _enum_value(scope, name, item)
        case Parameter() | Variable():
            return _declared(scope, name, item, given)
        case _:
            return Unknown(f"`{name}` is not a constant")


def _enum_value(scope: Scope, name: str, item: EnumName) -> Value:
    owner = scope.declaration(item.owner)
    if isinstance(owner, Typedef) and owner.type is item.type:
        type = scope.own_type(item.owner)
    else:
        type = resolve(item.type, (), scope)
    if isinstance(type, Unknown):
        return type
    return scope.remembered(name) or Unknown(
        f"the enumeration member `{name}` has no value", item.member.span
    )


def _declared(scope: Scope, name: str, item: Parameter | Variable, given: Value | None) -> Value:
    type: AnyType | None = scope.constant_type(name)
    initial = item.value if isinstance(item, Parameter) else item.initial
    if isinstance(initial, Open):
        initial = None
    if given is None and initial is None:
        return _no_value(scope, name, item)
    if isinstance(type, Unknown):
        return type
    if given is not None:
        value = _adopt(given, type, scope.language)
    else:
        assert initial is not None
        value = evaluate(initial, scope, type=type)
    if item.type is not None and type is None and item.type.signed:
        return with_sign(value, True)
    return value


def _no_value(scope: Scope, name: str, item: Parameter | Variable) -> Unknown:
    if isinstance(item, Variable):
        if item.kind == "genvar":
            return Unknown(f"the generate variable `{name}` has no value here", item.span)
        return Unknown(f"the value of the constant `{name}` is not among the sources", item.span)
    dotted = f"{scope.name}.{name}" if scope.name else name
    return Unknown(f"`{name}` has no value", item.span, dotted)


def _adopt(value: Value, type: AnyType | None, language: str) -> Value:
    """A value given from outside, maybe from a unit of another language or from memlint.toml."""
    if language == "vhdl":
        match value, type:
            case Int(width=int()), Integer():
                value = Int(value.value)
            case Int(width=int(), value=number), Enum():
                value = Int(number, None, False, type)
            case Int(width=None, value=number, type=None), Vector():
                size = bits(type)
                value = vector(number, size) if isinstance(size, int) else value
            case Text(value=text), Enum():
                value = Text(text.lower())
            case Int(value=number), RealType():
                value = Real(float(number))
            case _:
                pass
    elif isinstance(value, Int) and value.width is None and type is None:
        value = Int(value.value, literal_width(value.value, True), True)
    return value if type is None else convert(value, type, language)


def declared_type(scope: Scope, name: str, item: Declared | None, given: Value | None) -> AnyType:
    """The type a name stands for, or that a signal or constant is declared with."""
    match item:
        case Typedef(type=data_type, dimensions=dimensions):
            type = resolve(data_type, dimensions, scope)
            return type if item.subtype else _name_type(type, name, scope)
        case Parameter(is_type=True):
            if given is not None:
                return (
                    given.type
                    if isinstance(given, TypeValue)
                    else Unknown(f"`{name}` is given no type", item.span)
                )
            return _default_type(scope, item)
        case Parameter(type=None) | EnumName():
            return Unknown(f"`{name}` has the type of its value")
        case Parameter(type=DataType() as data_type, dimensions=dimensions):
            return resolve(data_type, dimensions, scope)
        case Port(type=data_type, dimensions=dimensions) | Variable(type=data_type, dimensions=dimensions):
            return resolve(data_type, dimensions, scope)
        case None if isinstance(given, TypeValue):
            return given.type
        case None if scope.language == "vhdl":
            known = predefined(name)
            if known is None or isinstance(known, Int | Real):
                return Unknown(f"`{name}` is no type")
            return known
        case _:
            return Unknown(f"`{name}` is no type")


def _default_type(scope: Scope, item: Parameter) -> AnyType:
    match item.value:
        case TypeArgument(type=data_type):
            return resolve(data_type, (), scope)
        case Name(name=name):
            meaning = without_alias(meaning_of_type(DataType("named", name), scope))
            return (
                meaning.type
                if isinstance(meaning, TypeMeaning)
                else Unknown(f"`{name}` is no type", item.span)
            )
        case None:
            dotted = f"{scope.name}.{item.name}" if scope.name else item.name
            return Unknown(f"the type `{item.name}` is not given", item.span, dotted)
        case value:
            found = evaluate(value, scope)
            if isinstance(found, TypeValue):
                return found.type
            return (
                found if isinstance(found, Unknown) else Unknown(f"`{item.name}` is given no type", item.span)
            )


def _name_type(type: AnyType, name: str, scope: Scope) -> AnyType:
    """A type under the name it is declared with; its enumeration members are of that named type."""
    if not isinstance(type, Enum | Struct | Array | Unconstrained | Integer):
        return type
    if scope.language != "vhdl" and isinstance(type, Array):
        return type
    named = replace(type, name=name)
    if isinstance(named, Enum):
        for member, _ in named.members:
            value = scope.remembered(member)
            if isinstance(value, Int):
                scope.remember(member, replace(value, type=named))
    return named


def named_value(scope: Scope, name: str) -> Value:
    """The value of a constant visible in `scope`."""
    meaning = scope.lookup(name)
    if isinstance(meaning, ConstantMeaning):
        return meaning.value
    return evaluate(Name(name, span=Span("", 0, 0)), scope)
