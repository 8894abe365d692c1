"""Counted loops, of generate constructs and of procedures: the values their variable takes."""

from __future__ import annotations

from memlint.design.scope import Scope
from memlint.design.types import Range, outer_range
from memlint.design.values import Int, TooMany, Unknown
from memlint.reading.facts.expressions import (
    Attribute,
    Binary,
    Call,
    Expr,
    Member,
    Name,
    Number,
    Scoped,
    Slice,
)
from memlint.reading.facts.statements import For

# A loop of more rounds is not unrolled: no design has it, a mistyped bound does.
MOST_ROUNDS = 65_536


def count(
    scope: Scope, variable: str, first: Expr, condition: Expr | None, following: Expr | None
) -> tuple[int, ...] | Unknown:
    """The values of `variable` from `first` while `condition`, or over the VHDL range `first`."""
    if condition is None or following is None:
        return range_values(scope, first)
    plain = _plain_range(scope, variable, first, condition, following)
    if plain is not None:
        if len(plain) > MOST_ROUNDS:
            return TooMany(f"the loop over `{variable}` runs more than {MOST_ROUNDS:,} times")
        return tuple(plain)
    trial = Scope(scope.language, scope, scope.packages, scope.name)
    value = scope.evaluate(first)
    values: list[int] = []
    while True:
        if isinstance(value, Unknown):
            return value
        if not isinstance(value, Int):
            return Unknown(f"the loop variable `{variable}` has no integer value")
        trial.set(variable, Int(value.value, 32, True))
        holds = trial.evaluate(condition)
        if isinstance(holds, Unknown):
            return holds
        if not isinstance(holds, Int) or not holds.value:
            return tuple(values)
        values.append(value.value)
        if len(values) > MOST_ROUNDS:
            return TooMany(f"the loop over `{variable}` runs more than {MOST_ROUNDS:,} times")
        value = trial.evaluate(following)


def _plain_range(
    scope: Scope, variable: str, first: Expr, condition: Expr, following: Expr
) -> range | None:
    """The values of the usual loop, `i = a; i < b; i = i + c`, without evaluating every round."""
    if not isinstance(condition, Binary) or condition.left != Name(variable, span=condition.span):
        return None
    if not isinstance(following, Binary) or following.op not in ("+", "-"):
        return None
    if following.left != Name(variable, span=following.span) or not isinstance(following.right, Number):
        return None
    step = following.right.value
    start, limit = scope.evaluate(first), scope.evaluate(condition.right)
    if not step or not isinstance(start, Int) or not isinstance(limit, Int):
        return None
    if limit.value < 0 and not limit.signed:
        return None
    step = step if following.op == "+" else -step
    # An unsigned bound makes the comparison unsigned: only non-negative values compare as they look.
    lowest = min(start.value, limit.value)
    if lowest < 0 and not (limit.signed and (start.signed or start.width is None)):
        return None
    match condition.op:
        case "<" if step > 0:
            return range(start.value, limit.value, step)
        case "<=" if step > 0:
            return range(start.value, limit.value + 1, step)
        case ">" if step < 0 and limit.signed:
            return range(start.value, limit.value, step)
        case ">=" if step < 0 and limit.signed and limit.value >= 0:
            return range(start.value, limit.value - 1, step)
        case _:
            return None


def loop_values(scope: Scope, loop: For) -> tuple[int, ...] | None:
    """The values of a procedural loop's variable; None when they cannot be known."""
    if loop.first is None:
        return None
    if loop.kind == "foreach":
        bound = outer_range(scope.type_of(loop.first))
        return _indices(bound) if isinstance(bound, Range) else None
    following: Expr | None = None
    if loop.step is not None:
        step = loop.step
        following = Binary(step.op, step.target, step.value, span=step.span) if step.op else step.value
    values = count(scope, loop.variable, loop.first, loop.condition, following)
    return None if isinstance(values, Unknown) else values


def range_values(scope: Scope, expr: Expr) -> tuple[int, ...] | Unknown:
    """The values of a VHDL discrete range: `a to b`, `x'range`, a type's name."""
    match expr:
        case Slice(base=Name(name=""), left=left, right=right, kind=kind):
            low, high = scope.evaluate(left), scope.evaluate(right)
            if isinstance(low, Unknown):
                return low
            if isinstance(high, Unknown):
                return high
            if not isinstance(low, Int) or not isinstance(high, Int):
                return Unknown("a loop's range has no integer bounds")
            if abs(high.value - low.value) > MOST_ROUNDS:
                return TooMany(f"a loop runs more than {MOST_ROUNDS:,} times")
            step = -1 if kind == "downto" else 1
            return tuple(range(low.value, high.value + step, step))
        case Attribute(prefix=prefix, name=name) if name in ("range", "reverse_range"):
            bound = outer_range(scope.type_of(prefix))
            if isinstance(bound, Unknown):
                return bound
            if bound is None:
                return Unknown("a loop runs over the range of something that has none")
            values = _indices(bound)
            if values is None:
                return TooMany(f"a loop runs more than {MOST_ROUNDS:,} times")
            return values[::-1] if name == "reverse_range" else values
        case Name() | Member() | Scoped() | Call() if scope.language == "vhdl":
            from memlint.design.vhdl_attributes import range_of

            span = range_of(expr, scope)
            if isinstance(span, Unknown):
                return span
            values = _indices(span) if span is not None else None
            return values if values is not None else Unknown("a loop's range is no subtype")
        case _:
            return Unknown("a loop's range was not understood")


def _indices(bound: Range) -> tuple[int, ...] | None:
    return tuple(bound.indices()) if bound.size <= MOST_ROUNDS else None
