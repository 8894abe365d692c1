"""Which subprogram a call means, of several with one name (IEEE 1076-2008 12.5)."""

from __future__ import annotations

from memlint.design.meanings import SubprogramMeaning
from memlint.design.scope import Scope
from memlint.design.types import (
    AnyType,
    Array,
    Enum,
    Integer,
    RealType,
    Struct,
    TextType,
    Unconstrained,
    Vector,
)
from memlint.design.values import ArrayValue, Int, Real, StructValue, Text, Unknown, Value
from memlint.reading.facts import expressions as ex
from memlint.reading.facts.items import Port, Subprogram


def result_type(meaning: SubprogramMeaning) -> AnyType:
    """The type a function returns, where all of that name return the same."""
    results = [subprogram.result for subprogram in meaning.subprograms if subprogram.result is not None]
    name = meaning.subprograms[0].name
    if not results:
        return Unknown(f"`{name}` gives no value")
    if any(result != results[0] for result in results[1:]):
        return Unknown(f"`{name}` has several result types")
    return meaning.scope.resolve(results[0])


def choose(
    meaning: SubprogramMeaning,
    expr: ex.Call,
    scope: Scope,
    wanted: AnyType | None,
    known: dict[int, Value] | None = None,
) -> Subprogram | Unknown:
    """The overload a call means: by number and kind of arguments, then by the result wanted.

    `known` takes up the values of arguments that are the same whatever type is wanted of them.
    """
    fitting = [one for one in meaning.subprograms if takes(one, expr)]
    if not fitting:
        return Unknown(f"`{meaning.subprograms[0].name}` does not take these arguments", expr.span)
    if len(fitting) == 1:
        return fitting[0]
    effort = scope.effort
    effort.steps += len(fitting)
    if effort.steps > effort.limit:
        return Unknown(f"it takes more than {effort.limit} steps to evaluate", expr.span)
    values = [scope.evaluate(argument) for argument in expr.arguments]
    if known is not None:
        known.update((at, values[at]) for at, one in enumerate(expr.arguments) if _settled(one, scope))
    scores = [_score(one, values, meaning.scope, wanted) for one in fitting]
    best = max(scores)
    if best < 0:
        return Unknown(f"no `{meaning.subprograms[0].name}` takes these arguments", expr.span)
    return fitting[scores.index(best)]


def _settled(argument: ex.Expr, scope: Scope) -> bool:
    """Whether an argument is a call whose overloads give one type, so that none need be wanted of it."""
    if not isinstance(argument, ex.Call) or not isinstance(argument.function, ex.Name):
        return False
    meaning = scope.lookup(argument.function.name)
    if not isinstance(meaning, SubprogramMeaning):
        return False
    results = [one.result for one in meaning.subprograms if takes(one, argument)]
    return bool(results) and all(result == results[0] for result in results)


def takes(function: Subprogram, expr: ex.Call) -> bool:
    """Whether a subprogram takes as many arguments, and those named, as a call gives."""
    given = len(expr.arguments) + len(expr.named)
    needed = sum(port.initial is None for port in function.arguments)
    names = {port.name for port in function.arguments}
    return needed <= given <= len(function.arguments) and all(name in names for name, _ in expr.named)


def _score(function: Subprogram, values: list[Value], scope: Scope, wanted: AnyType | None) -> int:
    """How well an overload fits; below 0 where an argument cannot be of its type."""
    score = 0
    for port, value in zip(function.arguments, values, strict=False):
        fit = _fits(value, scope.resolve(port.type, port.dimensions))
        if fit < 0:
            return -1
        score += fit
    if wanted is not None and function.result is not None:
        score += _same_kind(scope.resolve(function.result), wanted)
    return score + (function.body is not None)


def _fits(value: Value, type: AnyType) -> int:
    """4: certainly of the type; 2: may be; -1: cannot be."""
    match value, type:
        case (Unknown(), _) | (_, Unknown()):
            return 2
        case Int(width=None, type=Enum(name=name)), Enum(name=other):
            return 4 if name == other else -1
        case Int(width=None), Integer():
            return -1 if isinstance(value.type, Enum) else 4
        case Int(width=int()), Vector(name=name) | Unconstrained(name=name):
            same = isinstance(value.type, Vector) and value.type.name == name
            return 4 if same else 2 if isinstance(type, Vector) or type.vector is not None else -1
        case Real(), RealType():
            return 4
        case Text(character=True), Vector() | Enum():
            return 4
        case Text(), TextType():
            return 4
        case Text(), Vector() | Unconstrained():
            return 2
        case ArrayValue(), Array() | Unconstrained(vector=None):
            same_name = isinstance(value.type, Array) and value.type.name == type.name
            return 4 if same_name else 2
        case StructValue(type=Struct(name=name)), Struct(name=other):
            return 4 if name == other else -1
        case _:
            return -1


def _same_kind(result: AnyType, wanted: AnyType) -> int:
    if result.__class__ is not wanted.__class__:
        vectors = (Vector, Unconstrained)
        return 1 if isinstance(result, vectors) and isinstance(wanted, vectors) else 0
    return 2 if getattr(result, "name", "") == getattr(wanted, "name", "") else 1


def outputs(function: Subprogram, expr: ex.Call) -> list[tuple[Port, ex.Expr]]:
    """The output arguments of a call and what they are given to."""
    named = dict(expr.named)
    found: list[tuple[Port, ex.Expr]] = []
    for place, port in enumerate(function.arguments):
        target = expr.arguments[place] if place < len(expr.arguments) else named.get(port.name)
        if port.direction in ("output", "inout", "ref") and target is not None:
            found.append((port, target))
    return found
